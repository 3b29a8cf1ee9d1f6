//! Slopes as exact ratios of fall to level run.

use std::fmt;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use crate::UnitSystem;
use crate::number;

/// A slope: `fall` in `run`, both in the same unit, kept exactly.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Slope {
    fall: u32,
    run: u32,
}

/// Why a text is not a slope.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SlopeError {
    /// What was expected, in lower case, no full stop.
    pub expected: &'static str,
}

impl fmt::Display for SlopeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "expected {}", self.expected)
    }
}

impl std::error::Error for SlopeError {}

const EXPECTED: SlopeError = SlopeError {
    expected: "a slope such as 1/4 in per ft, 1:50 or 2%",
};

fn common(a: i128, b: i128) -> i128 {
    if b == 0 { a } else { common(b, a % b) }
}

impl Slope {
    /// No fall at all.
    pub const LEVEL: Self = Self { fall: 0, run: 1 };
    /// 1/4 inch per foot: what is drawn, and marked assumed, where nothing is said.
    ///
    /// # Source
    /// Common practice; the usual least slope for pipe of 2-1/2 in and less in
    /// North American codes (each code's own table governs).
    pub const QUARTER_INCH_PER_FOOT: Self = Self { fall: 1, run: 48 };
    /// 1 in 50: the same in metric jobs. Common practice.
    pub const ONE_IN_FIFTY: Self = Self { fall: 1, run: 50 };

    /// `fall` in `run`, reduced; nothing where `run` is 0.
    pub fn new(fall: u32, run: u32) -> Option<Self> {
        Self::reduced(i128::from(fall), i128::from(run))
    }
    /// The fall per unit of level run (0.02 = 1 in 50).
    pub fn ratio(self) -> f64 {
        f64::from(self.fall) / f64::from(self.run)
    }
    /// The exact terms, fall and run.
    pub const fn terms(self) -> (u32, u32) {
        (self.fall, self.run)
    }

    fn reduced(fall: i128, run: i128) -> Option<Self> {
        let shared = common(fall, run);
        if run <= 0 || fall < 0 {
            return None;
        }
        let fall = u32::try_from(fall / shared).ok()?;
        let run = u32::try_from(run / shared).ok()?;
        Some(Self { fall, run })
    }

    /// As the trade writes it: `1/4 in/ft` or `0.24 in/ft` in feet and inches;
    /// `1:50`, or `2.1%` where one part does not divide the run, in metric.
    pub fn show(self, units: UnitSystem) -> String {
        let (fall, run) = (u64::from(self.fall), u64::from(self.run));
        if self.fall == 0 {
            return "level".to_owned();
        }
        if units.is_metric() {
            return if fall == 1 {
                format!("1:{run}")
            } else {
                format!("{}%", decimals(fall * 100, run))
            };
        }
        // Fall in sixteenths of an inch per foot.
        let sixteenths = fall * 12 * 16;
        if sixteenths % run != 0 {
            return format!("{} in/ft", decimals(fall * 12, run));
        }
        let parts = sixteenths / run;
        let (whole, part) = (parts / 16, parts % 16);
        let shared = 1 << part.trailing_zeros().min(4);
        match (whole, part) {
            (whole, 0) => format!("{whole} in/ft"),
            (0, part) => format!("{}/{} in/ft", part / shared, 16 / shared),
            (whole, part) => format!("{whole}-{}/{} in/ft", part / shared, 16 / shared),
        }
    }
}

/// `over / under` to three decimals, without idle zeros.
fn decimals(over: u64, under: u64) -> String {
    let thousandths = (over * 1000 + under / 2) / under;
    let text = format!("{}.{:03}", thousandths / 1000, thousandths % 1000);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Drops a unit word from the start of a text.
fn without<'a>(text: &'a str, words: &[&str]) -> Option<&'a str> {
    let text = text.trim_start();
    words.iter().find_map(|word| text.strip_prefix(word))
}

impl FromStr for Slope {
    type Err = SlopeError;
    /// The whole of a text as a slope: `1/4 in per ft`, `1/4"/ft`, `1:50`, `2%`, `20mm per m`.
    fn from_str(text: &str) -> Result<Self, SlopeError> {
        let text = text.trim();
        let fall = number::read(text).map_err(|_| EXPECTED)?;
        let rest = &text[fall.bytes..];
        let steep = SlopeError {
            expected: "a slope with a run above 0 and terms below 4 thousand million",
        };
        if let Some(run) = rest.trim_start().strip_prefix(':') {
            let run = run.trim_start();
            let length = number::read(run).map_err(|_| EXPECTED)?;
            if length.bytes < run.len() {
                return Err(EXPECTED);
            }
            return Self::reduced(fall.over * length.under, fall.under * length.over).ok_or(steep);
        }
        if let Some(rest) = rest.trim_start().strip_prefix('%') {
            return if rest.is_empty() {
                Self::reduced(fall.over, fall.under * 100).ok_or(steep)
            } else {
                Err(EXPECTED)
            };
        }
        let inch: &[&str] = &["\"", "″", "”", "''", "inches", "inch", "in"];
        let (rest, parts, longs): (_, i128, &[&str]) = if let Some(rest) = without(rest, &["mm"]) {
            (rest, 1000, &["metre", "m"])
        } else {
            (
                without(rest, inch).ok_or(EXPECTED)?,
                12,
                &["foot", "ft", "'"],
            )
        };
        let rest = without(rest, &["/", "per "]).ok_or(EXPECTED)?;
        match without(rest, longs) {
            Some("") => Self::reduced(fall.over, fall.under * parts).ok_or(steep),
            _ => Err(EXPECTED),
        }
    }
}

impl fmt::Display for Slope {
    /// The exact ratio, `1:48`; reading it back gives the same slope.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.fall, self.run)
    }
}

impl Serialize for Slope {
    /// As the exact ratio, `"1:48"`.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}
