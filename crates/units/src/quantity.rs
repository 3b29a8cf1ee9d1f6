//! Pressures, flows, temperatures, heat and volumes as they are typed: a number and its unit.
//!
//! In: `55 psi`, `1.28gpf`, `40,000 btu/h`. Out: one type for each dimension, in SI. Knows no job and no code.

use std::fmt;

use serde::Serialize;

use crate::{UnitSystem, number};

/// A pressure, above that of the air around.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize)]
pub struct Pressure {
    /// In pascals.
    pub pa: f64,
}

/// A flow of water.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize)]
pub struct Flow {
    /// In litres per second.
    pub lps: f64,
}

/// A temperature.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize)]
pub struct Temperature {
    /// In degrees Celsius.
    pub celsius: f64,
}

/// Heat or energy in a time: what an appliance takes in.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize)]
pub struct Power {
    /// In watts.
    pub watts: f64,
}

/// A volume of water: of one flush, of a vessel.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize)]
pub struct Volume {
    /// In litres.
    pub litres: f64,
}

/// The heat that a volume of gas gives.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize)]
pub struct HeatingValue {
    /// In joules per cubic metre.
    pub j_per_m3: f64,
}

/// An amount of one of the dimensions that are known here.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Quantity {
    /// A pressure.
    Pressure(Pressure),
    /// A flow.
    Flow(Flow),
    /// A temperature.
    Temperature(Temperature),
    /// Heat in a time.
    Power(Power),
    /// A volume.
    Volume(Volume),
    /// Heat of a volume of gas.
    HeatingValue(HeatingValue),
}

/// What a quantity measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dimension {
    /// Pressure.
    Pressure,
    /// Flow.
    Flow,
    /// Temperature.
    Temperature,
    /// Heat in a time.
    Power,
    /// Volume.
    Volume,
    /// Heat of a volume of gas.
    HeatingValue,
}

/// The unit of that name, whatever its capitals: name, dimension, and one of it in SI.
fn unit(word: &str) -> Option<&'static (&'static str, Dimension, f64)> {
    let small = word.to_lowercase();
    UNITS.iter().find(|(name, ..)| *name == small)
}

impl Dimension {
    /// What a unit measures; nothing for a word that is none.
    pub fn of_unit(word: &str) -> Option<Self> {
        unit(word).map(|&(_, dimension, _)| dimension)
    }
    /// With its article, and an amount for example: `a pressure`, `60 psi or 400 kPa`.
    pub const fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Pressure => ("a pressure", "60 psi, 400 kPa, 4 bar or 7 in-wc"),
            Self::Flow => ("a flow", "2.5 gpm, 0.15 l/s or 9 l/min"),
            Self::Temperature => ("a temperature", "140 F or 60 C"),
            Self::Power => ("an input", "40,000 btu/h or 12 kW"),
            Self::Volume => ("a volume", "1.28 gpf, 4.8 l or 40 gal"),
            Self::HeatingValue => ("a heating value", "1,000 btu/ft3 or 37.3 MJ/m3"),
        }
    }
}

/// Pascals in a pound-force per square inch: 0.45359237 kg x 9.80665 m/s2 over 0.0254 m squared.
const PSI: f64 = 6_894.757_293_168;
/// Pascals in an inch of water at 4 degrees (NIST SP 811, appendix B.8, from memory).
const INCH_OF_WATER: f64 = 249.088_91;
/// Litres in a gallon (United States): 231 cubic inches.
const GALLON: f64 = 3.785_411_784;
/// Watts in a Btu per hour: 1055.05585262 J over 3600 s (International Table Btu).
const BTU_PER_HOUR: f64 = 1_055.055_852_62 / 3_600.0;
/// Joules per cubic metre in a Btu per cubic foot.
const BTU_PER_CUBIC_FOOT: f64 = 1_055.055_852_62 / 0.028_316_846_592;

/// Units by their names in small letters, with what one of them is in SI.
const UNITS: [(&str, Dimension, f64); 30] = [
    ("psi", Dimension::Pressure, PSI),
    ("kpa", Dimension::Pressure, 1_000.0),
    ("pa", Dimension::Pressure, 1.0),
    ("bar", Dimension::Pressure, 100_000.0),
    ("mbar", Dimension::Pressure, 100.0),
    ("in-wc", Dimension::Pressure, INCH_OF_WATER),
    ("ft-wc", Dimension::Pressure, 12.0 * INCH_OF_WATER),
    ("gpm", Dimension::Flow, GALLON / 60.0),
    ("gph", Dimension::Flow, GALLON / 3_600.0),
    ("l/s", Dimension::Flow, 1.0),
    ("l/min", Dimension::Flow, 1.0 / 60.0),
    ("l/h", Dimension::Flow, 1.0 / 3_600.0),
    ("m3/h", Dimension::Flow, 1_000.0 / 3_600.0),
    ("f", Dimension::Temperature, 1.0),
    ("°f", Dimension::Temperature, 1.0),
    ("c", Dimension::Temperature, 1.0),
    ("°c", Dimension::Temperature, 1.0),
    ("btu/h", Dimension::Power, BTU_PER_HOUR),
    ("btuh", Dimension::Power, BTU_PER_HOUR),
    ("mbh", Dimension::Power, 1_000.0 * BTU_PER_HOUR),
    ("w", Dimension::Power, 1.0),
    ("kw", Dimension::Power, 1_000.0),
    ("gpf", Dimension::Volume, GALLON),
    ("gal", Dimension::Volume, GALLON),
    ("lpf", Dimension::Volume, 1.0),
    ("l", Dimension::Volume, 1.0),
    ("litre", Dimension::Volume, 1.0),
    ("litres", Dimension::Volume, 1.0),
    ("btu/ft3", Dimension::HeatingValue, BTU_PER_CUBIC_FOOT),
    ("mj/m3", Dimension::HeatingValue, 1_000_000.0),
];

/// Why a text does not begin with a quantity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum QuantityError {
    /// There is no number.
    NoNumber,
    /// The number, which ends at this byte, has no unit that is known.
    NoUnit(usize),
}

impl Quantity {
    /// The quantity at the start of `text` and the bytes it takes: a number, its unit beside it or after a space.
    ///
    /// # Errors
    /// There is no number, or no unit that is known here.
    pub fn read(text: &str) -> Result<(Self, usize), QuantityError> {
        let (value, bytes) = read_number(text).ok_or(QuantityError::NoNumber)?;
        let rest = &text[bytes..];
        let gap = rest.len() - rest.trim_start().len();
        let word = rest[gap..].split_whitespace().next().unwrap_or_default();
        let &(name, dimension, factor) = unit(word).ok_or(QuantityError::NoUnit(bytes))?;
        let fahrenheit = name.ends_with('f') && dimension == Dimension::Temperature;
        let si = value * factor;
        let quantity = match dimension {
            Dimension::Pressure => Self::Pressure(Pressure { pa: si }),
            Dimension::Flow => Self::Flow(Flow { lps: si }),
            Dimension::Temperature if fahrenheit => {
                Self::Temperature(Temperature::fahrenheit(value))
            }
            Dimension::Temperature => Self::Temperature(Temperature { celsius: value }),
            Dimension::Power => Self::Power(Power { watts: si }),
            Dimension::Volume => Self::Volume(Volume { litres: si }),
            Dimension::HeatingValue => Self::HeatingValue(HeatingValue { j_per_m3: si }),
        };
        Ok((quantity, bytes + gap + word.len()))
    }

    /// What it measures.
    pub const fn dimension(self) -> Dimension {
        match self {
            Self::Pressure(_) => Dimension::Pressure,
            Self::Flow(_) => Dimension::Flow,
            Self::Temperature(_) => Dimension::Temperature,
            Self::Power(_) => Dimension::Power,
            Self::Volume(_) => Dimension::Volume,
            Self::HeatingValue(_) => Dimension::HeatingValue,
        }
    }
}

/// The plain number at the start of a text, and the bytes it takes: `55`, `0.5`, `1-1/2`, `40,000`.
pub fn read_number(text: &str) -> Option<(f64, usize)> {
    let grouped = text
        .bytes()
        .take_while(|byte| byte.is_ascii_digit() || *byte == b',')
        .count();
    let mut groups = text[..grouped].split(',');
    let first = groups.next().unwrap_or_default();
    let rest: Vec<&str> = groups.collect();
    if !rest.is_empty() {
        let whole = (1..=3).contains(&first.len()) && rest.iter().all(|group| group.len() == 3);
        let value = text[..grouped].replace(',', "").parse().ok()?;
        return whole.then_some((value, grouped));
    }
    let number = number::read(text).ok()?;
    Some((number.over as f64 / number.under as f64, number.bytes))
}

impl Pressure {
    /// From pounds per square inch.
    pub const fn psi(psi: f64) -> Self {
        Self { pa: psi * PSI }
    }
    /// In pounds per square inch.
    pub const fn to_psi(self) -> f64 {
        self.pa / PSI
    }
    /// In inches of water.
    pub const fn to_inches_of_water(self) -> f64 {
        self.pa / INCH_OF_WATER
    }
    /// To a tenth of a psi, or to a kilopascal in metric jobs.
    pub fn show(self, units: UnitSystem) -> String {
        if units.is_metric() {
            format!("{:.0} kPa", self.pa / 1_000.0)
        } else {
            format!("{:.1} psi", self.to_psi())
        }
    }
}

impl Flow {
    /// From gallons per minute.
    pub const fn gpm(gpm: f64) -> Self {
        Self {
            lps: gpm * GALLON / 60.0,
        }
    }
    /// In gallons per minute.
    pub const fn to_gpm(self) -> f64 {
        self.lps * 60.0 / GALLON
    }
    /// To a tenth of a gpm, or to a hundredth of a litre per second in metric jobs.
    pub fn show(self, units: UnitSystem) -> String {
        if units.is_metric() {
            format!("{:.2} l/s", self.lps)
        } else {
            format!("{:.1} gpm", self.to_gpm())
        }
    }
}

impl Temperature {
    /// From degrees Fahrenheit.
    pub const fn fahrenheit(degrees: f64) -> Self {
        Self {
            celsius: (degrees - 32.0) / 1.8,
        }
    }
    /// In degrees Fahrenheit.
    pub const fn to_fahrenheit(self) -> f64 {
        self.celsius * 1.8 + 32.0
    }
    /// To a degree: `140 F`, `60 C`.
    pub fn show(self, units: UnitSystem) -> String {
        if units.is_metric() {
            format!("{:.0} C", self.celsius)
        } else {
            format!("{:.0} F", self.to_fahrenheit())
        }
    }
}

impl Power {
    /// From Btu per hour.
    pub const fn btu_per_hour(btu: f64) -> Self {
        Self {
            watts: btu * BTU_PER_HOUR,
        }
    }
    /// In Btu per hour.
    pub const fn to_btu_per_hour(self) -> f64 {
        self.watts / BTU_PER_HOUR
    }
    /// To a Btu/h with commas between thousands, or to a tenth of a kilowatt in metric jobs.
    pub fn show(self, units: UnitSystem) -> String {
        if units.is_metric() {
            format!("{:.1} kW", self.watts / 1_000.0)
        } else {
            format!("{} btu/h", thousands(self.to_btu_per_hour()))
        }
    }
}

impl Volume {
    /// In gallons (United States).
    pub const fn to_gallons(self) -> f64 {
        self.litres / GALLON
    }
    /// To a hundredth of a gallon, or to a tenth of a litre in metric jobs.
    pub fn show(self, units: UnitSystem) -> String {
        if units.is_metric() {
            format!("{:.1} l", self.litres)
        } else {
            format!("{:.2} gal", self.to_gallons())
        }
    }
}

impl HeatingValue {
    /// In Btu per cubic foot.
    pub const fn to_btu_per_cubic_foot(self) -> f64 {
        self.j_per_m3 / BTU_PER_CUBIC_FOOT
    }
}

impl fmt::Display for Dimension {
    /// `a pressure`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words().0)
    }
}

/// A whole number with commas between thousands.
fn thousands(value: f64) -> String {
    let digits = format!("{value:.0}");
    let (sign, digits) = match digits.strip_prefix('-') {
        Some(digits) => ("-", digits),
        None => ("", digits.as_str()),
    };
    let mut out = sign.to_owned();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pascals(text: &str) -> f64 {
        match Quantity::read(text) {
            Ok((Quantity::Pressure(pressure), _)) => pressure.pa,
            other => panic!("{text}: {other:?}"),
        }
    }

    /// A column of water 2.31 ft high presses 1 psi, as every trade book has it: 12 x 2.31 = 27.7 in.
    #[test]
    fn a_psi_is_27_7_inches_of_water() {
        assert!((pascals("27.7 in-wc") - pascals("1 psi")).abs() < 10.0);
        assert!((pascals("2.31 ft-wc") - pascals("1 psi")).abs() < 15.0);
    }

    #[test]
    fn metric_pressures_are_multiples_of_a_pascal() {
        assert_eq!(pascals("4 bar"), 400_000.0);
        assert_eq!(pascals("400kPa"), 400_000.0);
        assert_eq!(pascals("20 mbar"), 2_000.0);
    }

    /// Water boils at 212 F, which is 100 C, and freezes at 32 F.
    #[test]
    fn fahrenheit_and_celsius_meet_at_freezing_and_boiling() {
        let celsius = |text| match Quantity::read(text) {
            Ok((Quantity::Temperature(found), _)) => found.celsius,
            other => panic!("{other:?}"),
        };
        assert_eq!(
            (celsius("212 F"), celsius("32°F"), celsius("60 C")),
            (100.0, 0.0, 60.0)
        );
    }

    #[test]
    fn thousands_may_stand_apart_by_commas() {
        assert_eq!(read_number("40,000 btu/h"), Some((40_000.0, 6)));
        assert_eq!(read_number("1,234,567"), Some((1_234_567.0, 9)));
        assert_eq!(read_number("1,23"), None);
        assert_eq!(read_number("1234,567"), None);
        assert_eq!(
            Power::btu_per_hour(1_234_567.0).show(UnitSystem::FeetInches),
            "1,234,567 btu/h"
        );
    }

    /// A kilowatt is 3,412 Btu/h (3600 / 1.055056).
    #[test]
    fn a_kilowatt_is_3412_btu_per_hour() {
        assert_eq!(
            Power { watts: 1_000.0 }.show(UnitSystem::FeetInches),
            "3,412 btu/h"
        );
    }

    /// 1.28 gal x 3.785 l = 4.85 l.
    #[test]
    fn a_flush_told_in_gallons_is_the_same_in_litres() {
        let (flush, bytes) = Quantity::read("1.28gpf flushometer").unwrap();
        let Quantity::Volume(flush) = flush else {
            panic!("{flush:?}")
        };
        assert_eq!(
            (flush.show(UnitSystem::Metres).as_str(), bytes),
            ("4.8 l", 7)
        );
    }

    #[test]
    fn a_number_without_a_unit_is_no_quantity() {
        assert_eq!(Quantity::read("55"), Err(QuantityError::NoUnit(2)));
        assert_eq!(Quantity::read("55 static"), Err(QuantityError::NoUnit(2)));
        assert_eq!(Quantity::read("much"), Err(QuantityError::NoNumber));
    }
}
