//! Lengths, slopes, pipe sizes, drawing scales, pressures, flows and temperatures as types.
//!
//! In: what a plumber types. Out: exact values that never drift through edit
//! and save. Knows nothing of jobs, codes or drawings.

mod length;
mod number;
mod quantity;
mod read;
mod scale;
mod show;
mod size;
mod slope;

pub use length::{Len, LenError, LenFault, Reading, UnitSystem};
pub use quantity::{
    Dimension, Flow, HeatingValue, Power, Pressure, Quantity, QuantityError, Temperature, Volume,
    read_number,
};
pub use scale::{Scale, ScaleError};
pub use size::{Size, SizeError};
pub use slope::{Slope, SlopeError};
