//! What of a network breaks which section of the code in force, in the words of the trade, at its place, with a
//! way out.
//!
//! In: a network, its sizes, the code pack, gathered in a [`Context`]. Out: findings, and what was not checked and why.
//! Each rule is one small file in `rules`, listed in [`rules::ALL`]; [`pages`] makes the manual's pages of them.

pub mod air;
pub mod context;
mod figures;
pub mod finding;
mod framing;
mod grid;
pub mod index;
mod keys;
pub mod kind;
pub mod limits;
mod measure;
pub mod outlets;
mod page;
mod place;
pub mod practice;
mod rests;
pub mod rule;
pub mod rules;
pub mod supply;
#[cfg(test)]
mod tell;
#[cfg(test)]
mod testing;
mod undersized;

pub use context::Context;
pub use finding::{At, Checked, Finding, Unchecked};
pub use page::{page, pages};
pub use rule::{Rule, Said, check};
