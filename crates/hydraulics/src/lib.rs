//! Flow, friction, pressures and heat in pipes by published formulas, in SI units.
//!
//! In: bores, lengths, flows, temperatures as plain numbers. Out: velocities, losses, pressures,
//! times. Knows no code of practice and no network of the drawing: a tree is given by its parents.
//!
//! Metres, seconds, m3/s, Pa, kg, W and degrees Celsius throughout; [`mod@unit`] converts. What has no meaning
//! (a bore of 0, a flow that is not a number) gives 0 or the limit of the formula, never a panic.

pub mod channel;
pub mod expansion;
pub mod fitting;
pub mod friction;
pub mod hot;
pub mod loss;
pub mod material;
pub mod stack;
pub mod tree;
pub mod unit;
pub mod water;

pub use friction::{Friction, Regime};
pub use water::Water;
