//! Units that data files may be written in, and what they are turned into.
//!
//! In: the name of a unit. Out: what it measures and the factor to the unit in which answers are given.

use crate::pack::Family;

/// What a value measures; answers are given in the unit named here.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Dim {
    /// A nominal pipe size.
    Size,
    /// A slope.
    Slope,
    /// Load on a drain: drainage fixture units, or l/s under EN 12056-2.
    Drain,
    /// Load on a supply: water supply fixture units, or loading units under EN 806-3.
    Supply,
    /// Flow, l/s.
    Flow,
    /// Drainage fixture units for each l/s.
    DrainPerFlow,
    /// Length, mm.
    Length,
    /// Pressure, Pa.
    Pressure,
    /// Velocity, m/s.
    Velocity,
    /// Temperature, °C.
    Temperature,
    /// Volume, l.
    Volume,
    /// Volume held by a length of pipe, l/m.
    VolumePerLength,
    /// Flow of gas, cubic feet an hour (the unit of every gas table held).
    Gas,
    /// Power, W.
    Power,
    /// Time, s.
    Time,
    /// Angle, degrees.
    Angle,
    /// A number of things, or a plain factor.
    Number,
    /// Yes or no.
    Flag,
    /// Words.
    Text,
    /// A kind of fixture, by its name in the job language.
    Kind,
}

impl Dim {
    /// The unit in which answers of a pack of that family are given.
    pub fn unit(self, family: Family) -> &'static str {
        let metric = family == Family::En;
        match self {
            Self::Size => "size",
            Self::Slope => "slope",
            Self::Drain if metric => "l/s",
            Self::Drain => "dfu",
            Self::Supply if metric => "LU",
            Self::Supply => "wsfu",
            Self::Flow => "l/s",
            Self::DrainPerFlow => "dfu per l/s",
            Self::Length => "mm",
            Self::Pressure => "Pa",
            Self::Velocity => "m/s",
            Self::Temperature => "°C",
            Self::Volume => "l",
            Self::VolumePerLength => "l/m",
            Self::Gas => "cfh",
            Self::Power => "W",
            Self::Time => "s",
            Self::Angle => "deg",
            Self::Number => "number",
            Self::Flag => "flag",
            Self::Text => "text",
            Self::Kind => "kind",
        }
    }
    /// Whether a value in that unit can stand here.
    pub fn takes(self, unit: &Unit, family: Family) -> bool {
        match self {
            // Loads of different codes must never be mixed: only the family's own unit will do.
            Self::Drain | Self::Supply => unit.name == self.unit(family),
            dim => unit.dim == dim,
        }
    }
}

/// A unit as it is written in a data file.
#[derive(Debug)]
pub struct Unit {
    /// As written.
    pub name: &'static str,
    /// What it measures.
    pub dim: Dim,
    /// Times this gives the unit of answers.
    pub factor: f64,
    /// Taken off before the factor is applied (temperatures).
    pub zero: f64,
}

const fn unit(name: &'static str, dim: Dim, factor: f64) -> Unit {
    Unit {
        name,
        dim,
        factor,
        zero: 0.0,
    }
}

/// l in a US gallon, exactly 231 cubic inches.
const GALLON: f64 = 3.785_411_784;
/// l/s in a US gallon a minute.
const GPM: f64 = GALLON / 60.0;
/// mm in a foot.
const FOOT: f64 = 304.8;

/// All units that data files may use. Factors: exact definitions (inch, gallon, pound-force,
/// international table Btu); inches of water at 4 °C by NIST SP 811.
pub const UNITS: &[Unit] = &[
    unit("size", Dim::Size, 1.0),
    unit("slope", Dim::Slope, 1.0),
    unit("dfu", Dim::Drain, 1.0),
    unit("wsfu", Dim::Supply, 1.0),
    unit("LU", Dim::Supply, 1.0),
    unit("l/s", Dim::Flow, 1.0),
    unit("gpm", Dim::Flow, GPM),
    unit("dfu per gpm", Dim::DrainPerFlow, 1.0 / GPM),
    unit("dfu per l/s", Dim::DrainPerFlow, 1.0),
    unit("mm", Dim::Length, 1.0),
    unit("in", Dim::Length, 25.4),
    unit("ft", Dim::Length, FOOT),
    unit("m", Dim::Length, 1000.0),
    unit("Pa", Dim::Pressure, 1.0),
    unit("kPa", Dim::Pressure, 1000.0),
    unit("bar", Dim::Pressure, 100_000.0),
    unit("in-wc", Dim::Pressure, 249.088_91),
    unit("psi", Dim::Pressure, 6_894.757_293_168_361),
    unit("m/s", Dim::Velocity, 1.0),
    unit("ft/s", Dim::Velocity, FOOT / 1000.0),
    unit("°C", Dim::Temperature, 1.0),
    Unit {
        name: "°F",
        dim: Dim::Temperature,
        factor: 5.0 / 9.0,
        zero: 32.0,
    },
    unit("l", Dim::Volume, 1.0),
    unit("gal", Dim::Volume, GALLON),
    unit("fl oz", Dim::Volume, GALLON / 128.0),
    unit("l/m", Dim::VolumePerLength, 1.0),
    unit(
        "fl oz/ft",
        Dim::VolumePerLength,
        GALLON / 128.0 / FOOT * 1000.0,
    ),
    unit("cfh", Dim::Gas, 1.0),
    unit("W", Dim::Power, 1.0),
    unit("Btu/h", Dim::Power, 1_055.055_852_62 / 3600.0),
    unit("s", Dim::Time, 1.0),
    unit("deg", Dim::Angle, 1.0),
    unit("number", Dim::Number, 1.0),
    unit("%", Dim::Number, 0.01),
    unit("flag", Dim::Flag, 1.0),
    unit("text", Dim::Text, 1.0),
    unit("kind", Dim::Kind, 1.0),
];

impl Unit {
    /// The unit of that name.
    pub fn named(name: &str) -> Option<&'static Self> {
        UNITS.iter().find(|unit| unit.name == name)
    }
    /// A number written in it, in the unit of answers.
    pub fn canonical(&self, number: f64) -> f64 {
        (number - self.zero) * self.factor
    }
    /// A number in the unit of answers, as written in it.
    pub fn written(&self, number: f64) -> f64 {
        number / self.factor + self.zero
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(unit: &str, number: f64, expected: f64) {
        let unit = Unit::named(unit).expect("a unit");
        let got = unit.canonical(number);
        assert!((got - expected).abs() < 1e-4 * expected.abs(), "{got}");
        assert!((unit.written(got) - number).abs() < 1e-9 * number.abs());
    }

    #[test]
    fn written_units_become_those_of_answers() {
        check("ft", 5.0, 1524.0); // 5 x 304.8 mm
        check("gpm", 1.0, 0.063_090_2); // NIST SP 811: 6.309 020 E-05 m3/s
        check("psi", 1.0, 6_894.757); // NIST SP 811
        check("°F", 120.0, 48.888_89); // (120 - 32) x 5/9
        check("Btu/h", 1000.0, 293.071_1); // NIST SP 811: 2.930 711 E-01 W
        check("dfu per gpm", 2.0, 31.700_6); // 2 / 0.0630902
    }
}
