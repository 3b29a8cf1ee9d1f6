//! The drafting table: plan, isometric and words of a job side by side in the browser, served on this machine alone.
//!
//! In: a folder, a job, a port. Out: pages and what they ask for, until somebody stops it. All computing is in the stages; this
//! crate takes requests ([`routes`]), lets nobody else in ([`guard`]), keeps the open jobs ([`desk`], [`open`]) and shows them ([`look`],
//! [`sheets`]). The page itself stands in `page/`.

pub mod answer;
mod assets;
pub mod desk;
pub mod guard;
pub mod home;
pub mod look;
pub mod open;
mod plan;
mod practice;
mod refusal;
pub mod routes;
pub mod said;
mod serve;
pub mod sheets;
pub mod shop;
mod underlay;
pub mod work;

pub use serve::{Served, Table, serve};
