//! Lengths, slopes, pipe sizes and drawing scales as types.
//!
//! In: what a plumber types. Out: exact values that never drift through edit
//! and save. Knows nothing of jobs, codes or drawings.

mod length;
mod scale;
mod size;
mod slope;

pub use length::{Len, LenError, Reading, UnitSystem};
pub use scale::Scale;
pub use size::Size;
pub use slope::Slope;
