//! Nominal pipe sizes: a name, not a measure. The bore comes from a pipe standard's table.

use std::fmt;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use crate::number::{self, Number};

/// A nominal pipe size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Size {
    /// Nominal inches, in eighths (1-1/2 in is 12).
    Inch {
        /// Eighths of an inch.
        eighths: u16,
    },
    /// Nominal millimetres (DN).
    Dn(u16),
}

/// Why a text is not a nominal size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SizeError {
    /// What was expected, in lower case, no full stop.
    pub expected: &'static str,
}

impl fmt::Display for SizeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "expected {}", self.expected)
    }
}

impl std::error::Error for SizeError {}

/// Largest nominal size read, in inches and in millimetres; larger is a slip of the pen.
const LARGEST: (i128, i128) = (96, 2400);

const EXPECTED: SizeError = SizeError {
    expected: "a nominal size such as 3\", 1-1/2\" or DN100",
};

fn nominal_mm(number: Number) -> Result<Size, SizeError> {
    if !number.whole() || number.over == 0 || number.over > LARGEST.1 {
        return Err(SizeError {
            expected: "whole nominal millimetres between 1 and 2400",
        });
    }
    Ok(Size::Dn(number.over as u16))
}

fn nominal_inches(number: Number) -> Result<Size, SizeError> {
    let eighths = number.over * 8;
    if eighths == 0 || eighths % number.under != 0 || eighths > LARGEST.0 * 8 * number.under {
        return Err(SizeError {
            expected: "a nominal size in eighths of an inch, up to 96\"",
        });
    }
    Ok(Size::Inch {
        eighths: (eighths / number.under) as u16,
    })
}

impl Size {
    /// The size at the start of `text` and the bytes it took:
    /// `3"`, `1-1/2"`, `1 1/2"`, `3/4 in`, `DN100`, `100mm`.
    ///
    /// # Errors
    /// Says what was expected; a number without a mark is refused, for it could be either.
    pub fn read(text: &str) -> Result<(Self, usize), SizeError> {
        if let Some(rest) = text.strip_prefix("DN").or_else(|| text.strip_prefix("dn")) {
            let body = rest.trim_start();
            let number = number::read(body).map_err(|_| EXPECTED)?;
            return Ok((nominal_mm(number)?, text.len() - body.len() + number.bytes));
        }
        let number = number::read(text).map_err(|_| EXPECTED)?;
        let after = &text[number.bytes..];
        for mark in ["\"", "″", "”", "“", "''"] {
            if after.starts_with(mark) {
                return Ok((nominal_inches(number)?, number.bytes + mark.len()));
            }
        }
        let word = after.trim_start();
        let end = word
            .find(|c: char| !c.is_alphanumeric())
            .unwrap_or(word.len());
        let bytes = text.len() - word.len() + end;
        match &word[..end] {
            "in" | "inch" | "inches" => Ok((nominal_inches(number)?, bytes)),
            "mm" => Ok((nominal_mm(number)?, bytes)),
            _ => Err(SizeError {
                expected: "an inch mark or mm after the number, as 3\" or 100mm",
            }),
        }
    }
}

impl FromStr for Size {
    type Err = SizeError;
    fn from_str(text: &str) -> Result<Self, SizeError> {
        match Self::read(text)? {
            (size, bytes) if bytes == text.len() => Ok(size),
            _ => Err(EXPECTED),
        }
    }
}

impl fmt::Display for Size {
    /// `1-1/2"` or `DN40`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let eighths = match *self {
            Self::Dn(mm) => return write!(f, "DN{mm}"),
            Self::Inch { eighths } => eighths,
        };
        let (whole, part) = (eighths / 8, eighths % 8);
        // 4/8 is 1/2, 2/8 and 6/8 are fourths, the rest are eighths.
        let shared = 1 << part.trailing_zeros().min(3);
        match (whole, part) {
            (whole, 0) => write!(f, "{whole}\""),
            (0, part) => write!(f, "{}/{}\"", part / shared, 8 / shared),
            (whole, part) => write!(f, "{whole}-{}/{}\"", part / shared, 8 / shared),
        }
    }
}

impl Serialize for Size {
    /// As it is displayed.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}
