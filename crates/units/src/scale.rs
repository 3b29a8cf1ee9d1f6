//! Drawing scales: how many units of the building one unit of paper stands for.

use std::fmt;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use crate::number;

/// A drawing scale, as the building's length over the paper's (1/4 in = 1 ft is 48).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Scale(pub u32);

/// Why a text is not a scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ScaleError {
    /// What was expected, in lower case, no full stop.
    pub expected: &'static str,
}

impl fmt::Display for ScaleError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "expected {}", self.expected)
    }
}

impl std::error::Error for ScaleError {}

const EXPECTED: ScaleError = ScaleError {
    expected: "a scale such as 1/4 (inch to the foot) or 1:50",
};

impl Scale {
    /// Inches to the foot: 1, 3/4, 1/2, 3/8, 1/4, 3/16, 1/8, largest first.
    /// The scales that architects' scale rules carry; common practice.
    pub const FEET_INCHES: [Self; 7] = [
        Self(12),
        Self(16),
        Self(24),
        Self(32),
        Self(48),
        Self(64),
        Self(96),
    ];
    /// 1:20, 1:25, 1:50, 1:100, largest first. 1:20, 1:50 and 1:100 are those of ISO 5455;
    /// 1:25 is common practice on metric scale rules.
    pub const METRIC: [Self; 4] = [Self(20), Self(25), Self(50), Self(100)];

    /// The scales that a drawing may have, largest first.
    pub const fn allowed(metric: bool) -> &'static [Self] {
        if metric {
            &Self::METRIC
        } else {
            &Self::FEET_INCHES
        }
    }

    /// Paper millimetres for so many millimetres of the building.
    pub fn paper(self, mm: f64) -> f64 {
        mm / f64::from(self.0)
    }
}

/// A number of inches to the foot as a scale; it has to come to a whole number.
fn inches_to_the_foot(over: i128, under: i128) -> Result<Scale, ScaleError> {
    if over == 0 || (12 * under) % over != 0 {
        return Err(EXPECTED);
    }
    u32::try_from(12 * under / over)
        .map(Scale)
        .map_err(|_| EXPECTED)
}

impl FromStr for Scale {
    type Err = ScaleError;
    /// The whole of a text as a scale: `1/4`, `1/4"`, `1/4 in`, `1/4" = 1'-0"`, `1:50`.
    fn from_str(text: &str) -> Result<Self, ScaleError> {
        let text = text.trim();
        let number = number::read(text).map_err(|_| EXPECTED)?;
        let rest = text[number.bytes..].trim_start();
        if let Some(run) = rest.strip_prefix(':') {
            let building = number::read(run).map_err(|_| EXPECTED)?;
            let whole = number.whole() && number.over == 1 && building.whole() && building.over > 0;
            if !whole || building.bytes < run.len() {
                return Err(EXPECTED);
            }
            return u32::try_from(building.over).map(Self).map_err(|_| EXPECTED);
        }
        let marks = ["\"", "″", "”", "''", "inch", "in"];
        let rest = marks
            .iter()
            .find_map(|mark| rest.strip_prefix(mark))
            .unwrap_or(rest);
        let foot = rest.trim_start().strip_prefix('=').map(str::trim);
        match (rest.trim(), foot) {
            ("", _) | (_, Some("1'" | "1'-0\"" | "1'0\"" | "1 ft" | "1ft")) => {
                inches_to_the_foot(number.over, number.under)
            }
            _ => Err(EXPECTED),
        }
    }
}

impl fmt::Display for Scale {
    /// `1/4" = 1'-0"` where it is a whole number of sixteenths to the foot, otherwise `1:50`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0 == 0 || 192 % self.0 != 0 {
            return write!(f, "1:{}", self.0);
        }
        let sixteenths = 192 / self.0;
        let shared = 1 << sixteenths.trailing_zeros().min(4);
        let (over, under) = (sixteenths / shared, 16 / shared);
        match under {
            1 => write!(f, "{over}\" = 1'-0\""),
            _ => write!(f, "{over}/{under}\" = 1'-0\""),
        }
    }
}

impl Serialize for Scale {
    /// As the number of building units to one of paper.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_u32(self.0)
    }
}
