//! Lengths, slopes, pipe sizes and drawing scales as types.
//!
//! In: what a plumber types. Out: exact values that never drift through edit
//! and save. Knows nothing of jobs, codes or drawings.

mod length;
mod number;
mod read;
mod scale;
mod show;
mod size;
mod slope;

pub use length::{Len, LenError, LenFault, Reading, UnitSystem};
pub use scale::{Scale, ScaleError};
pub use size::{Size, SizeError};
pub use slope::{Slope, SlopeError};
