//! Lengths held exactly, as whole numbers of 25 nm, read and written as the trade does.
//!
//! 1/64 in is 15,875 units, 0.001 ft is 12,192 and 1 mm is 40,000, so neither
//! fractions of an inch nor millimetres are ever rounded (1 in = 25.4 mm exactly,
//! international yard and pound agreement of 1959).

use std::fmt;
use std::ops::{Add, AddAssign, Mul, Neg, Sub, SubAssign};
use std::str::FromStr;

use serde::{Serialize, Serializer};

/// A length or a height, exact, in units of 25 nm.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Len(i64);

/// Units per inch.
pub(crate) const INCH: i64 = 1_016_000;
/// Units per millimetre.
pub(crate) const MILLIMETRE: i64 = 40_000;

/// What a bare number means and how lengths are printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum UnitSystem {
    /// Feet, inches and fractions; a bare number is feet.
    #[default]
    FeetInches,
    /// Inches and fractions; a bare number is inches.
    Inches,
    /// Millimetres; a bare number is millimetres.
    Millimetres,
    /// Metres; a bare number is metres.
    Metres,
}

impl UnitSystem {
    /// Whether lengths are printed in metric units.
    pub const fn is_metric(self) -> bool {
        matches!(self, Self::Millimetres | Self::Metres)
    }
}

/// A length found at the start of a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reading {
    /// The length read.
    pub len: Len,
    /// How many bytes of the text it took.
    pub bytes: usize,
}

/// Why a text is not a length.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LenError {
    /// What was expected, in lower case, no full stop.
    pub expected: &'static str,
    /// Byte offset in the text where reading stopped.
    pub at: usize,
    /// What kind of fault it is.
    pub fault: LenFault,
    /// What to write instead; may be empty.
    pub help: &'static str,
}

/// Kinds of faults in a length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LenFault {
    /// There is no length here.
    NotALength,
    /// It could be read in two ways.
    TwoMeanings,
    /// 25 nm cannot hold it exactly.
    Inexact,
    /// Longer than any job.
    TooLong,
}

impl fmt::Display for LenError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "expected {}", self.expected)
    }
}

impl std::error::Error for LenError {}

impl Len {
    /// No length.
    pub const ZERO: Self = Self(0);

    /// A length of so many units of 25 nm.
    pub const fn from_units(units: i64) -> Self {
        Self(units)
    }
    /// The length in units of 25 nm.
    pub const fn units(self) -> i64 {
        self.0
    }
    /// Whole inches.
    pub const fn inches(inches: i64) -> Self {
        Self(inches.saturating_mul(INCH))
    }
    /// Whole feet.
    pub const fn feet(feet: i64) -> Self {
        Self(feet.saturating_mul(12 * INCH))
    }
    /// Whole millimetres.
    pub const fn millimetres(mm: i64) -> Self {
        Self(mm.saturating_mul(MILLIMETRE))
    }
    /// `count` sixty-fourths of an inch.
    pub const fn sixty_fourths(count: i64) -> Self {
        Self(count.saturating_mul(INCH / 64))
    }
    /// The nearest length to so many millimetres.
    pub fn from_mm(mm: f64) -> Self {
        Self((mm * MILLIMETRE as f64).round() as i64)
    }
    /// The length in millimetres.
    pub fn mm(self) -> f64 {
        self.0 as f64 / MILLIMETRE as f64
    }
    /// The length without its sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.saturating_abs())
    }
}

impl Add for Len {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}
impl Sub for Len {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}
impl AddAssign for Len {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}
impl SubAssign for Len {
    fn sub_assign(&mut self, other: Self) {
        *self = *self - other;
    }
}
impl Neg for Len {
    type Output = Self;
    fn neg(self) -> Self {
        Self(self.0.saturating_neg())
    }
}
impl Mul<i64> for Len {
    type Output = Self;
    fn mul(self, times: i64) -> Self {
        Self(self.0.saturating_mul(times))
    }
}

impl Len {
    /// The length at the start of `text`, read in `units`.
    ///
    /// Reads `5'3-1/2"`, `5'-3 1/2"`, `5' 3 1/2`, `5ft 3.5in`, `3-4.5`, `40.5"`,
    /// `1.6m`, `1600mm`, `160cm`, and a bare number in `units`; a leading sign is allowed.
    /// Typographic primes and quotes count as foot and inch marks.
    ///
    /// # Errors
    /// Says what was expected and where reading stopped; also for values that
    /// 25 nm cannot hold exactly, for a bare fraction whose unit is in doubt, for
    /// 12 inches and more after feet, and beyond 100 km.
    pub fn read(text: &str, units: UnitSystem) -> Result<Reading, LenError> {
        crate::read::read(text, units)
    }

    /// The length as the trade writes it, rounded to `1/fraction` inch (or to 1 mm in metric):
    /// `5'-3 1/2"`, `63 1/2"`, `1613`, `1.613`. Halves are rounded away from zero.
    pub fn show(self, units: UnitSystem, fraction: u32) -> String {
        crate::show::show(self, units, fraction)
    }

    /// The length with nothing rounded away, as it is written into a job:
    /// reading it back gives the same length.
    pub fn exact(self, units: UnitSystem) -> String {
        crate::show::exact(self, units)
    }
}

impl FromStr for Len {
    type Err = LenError;
    /// The whole of a text as a length; a bare number is feet.
    fn from_str(text: &str) -> Result<Self, LenError> {
        let reading = Self::read(text, UnitSystem::FeetInches)?;
        if reading.bytes < text.len() {
            return Err(LenError {
                expected: "nothing after the length",
                at: reading.bytes,
                fault: LenFault::NotALength,
                help: "",
            });
        }
        Ok(reading.len)
    }
}

impl Serialize for Len {
    /// As a number of millimetres.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(self.mm())
    }
}

impl FromStr for UnitSystem {
    type Err = ();
    /// `ft-in`, `in`, `mm` or `m`.
    fn from_str(word: &str) -> Result<Self, ()> {
        match word {
            "ft-in" => Ok(Self::FeetInches),
            "in" => Ok(Self::Inches),
            "mm" => Ok(Self::Millimetres),
            "m" => Ok(Self::Metres),
            _ => Err(()),
        }
    }
}

impl UnitSystem {
    /// The word the job language uses.
    pub const fn word(self) -> &'static str {
        match self {
            Self::FeetInches => "ft-in",
            Self::Inches => "in",
            Self::Millimetres => "mm",
            Self::Metres => "m",
        }
    }
}

impl Serialize for UnitSystem {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.word())
    }
}

impl fmt::Display for Len {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.show(UnitSystem::FeetInches, 16))
    }
}
