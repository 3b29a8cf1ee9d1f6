//! Turns what is typed into a [`Len`]: feet, inches and fractions, or metric.
//!
//! In: text and the job's units. Out: the exact length and the bytes it took.
//! The forms are those of the table in `docs/job-language.md`.

use crate::length::{INCH, Len, LenError, LenFault, MILLIMETRE, Reading, UnitSystem};
use crate::number::{self, Number, NumberFault};

/// What stands behind a number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Mark {
    Feet,
    Inches,
    Millimetres,
    Centimetres,
    Metres,
}

impl Mark {
    const fn units(self) -> i64 {
        match self {
            Self::Feet => 12 * INCH,
            Self::Inches => INCH,
            Self::Millimetres => MILLIMETRE,
            Self::Centimetres => 10 * MILLIMETRE,
            Self::Metres => 1000 * MILLIMETRE,
        }
    }
}

/// Longest length read: 100 km, far beyond any job and far inside 64 bits.
const LONGEST: i128 = 100_000_000 * MILLIMETRE as i128;

const SIGNS: [(&str, Mark); 9] = [
    // Two foot marks make an inch mark, so they are tried first.
    ("''", Mark::Inches),
    ("′′", Mark::Inches),
    ("\"", Mark::Inches),
    ("″", Mark::Inches),
    ("”", Mark::Inches),
    ("“", Mark::Inches),
    ("'", Mark::Feet),
    ("′", Mark::Feet),
    ("’", Mark::Feet),
];

const WORDS: [(&str, Mark); 9] = [
    ("feet", Mark::Feet),
    ("foot", Mark::Feet),
    ("ft", Mark::Feet),
    ("inches", Mark::Inches),
    ("inch", Mark::Inches),
    ("in", Mark::Inches),
    ("mm", Mark::Millimetres),
    ("cm", Mark::Centimetres),
    ("m", Mark::Metres),
];

/// The mark at the start of the text, with the bytes it took.
fn mark(text: &str) -> Option<(Mark, usize)> {
    if let Some((sign, mark)) = SIGNS.iter().find(|(sign, _)| text.starts_with(sign)) {
        return Some((*mark, sign.len()));
    }
    let word = text.trim_start();
    let gap = text.len() - word.len();
    let (name, mark) = WORDS.iter().find(|(name, _)| word.starts_with(name))?;
    let mut after = word[name.len()..].chars();
    let ends = match after.next() {
        Some('-') => after.next().is_some_and(|c| c.is_ascii_digit()),
        Some(c) => !c.is_alphabetic() && c != '_',
        None => true,
    };
    ends.then_some((*mark, gap + name.len()))
}

fn fault(at: usize, fault: LenFault, expected: &'static str, help: &'static str) -> LenError {
    LenError {
        expected,
        at,
        fault,
        help,
    }
}

fn no_number(at: usize, why: NumberFault) -> LenError {
    match why {
        NumberFault::None => fault(
            at,
            LenFault::NotALength,
            "a length",
            "for example 5'3-1/2\", 40.5\", 1.6m or 1600mm",
        ),
        NumberFault::TooManyDigits => {
            fault(at, LenFault::TooLong, "a number of at most 15 digits", "")
        }
        NumberFault::OverZero => fault(
            at,
            LenFault::NotALength,
            "a fraction over a number above 0",
            "for example 3/4\"",
        ),
    }
}

/// So many of a unit, exact.
fn exact(number: Number, mark: Mark, at: usize) -> Result<i128, LenError> {
    let over = number.over * i128::from(mark.units());
    if over % number.under != 0 {
        return Err(fault(
            at,
            LenFault::Inexact,
            "a length that whole steps of 25 nm hold exactly",
            "use fractions of an inch down to 1/64, or decimals down to 0.001 of a foot, an inch or a millimetre",
        ));
    }
    Ok(over / number.under)
}

/// The inches that belong to a foot mark just read, with the bytes they took.
fn inches_after(text: &str, at: usize) -> Result<Option<(Number, usize)>, LenError> {
    let trimmed = text.trim_start();
    let spaced = trimmed.len() < text.len();
    let body = match trimmed.strip_prefix('-') {
        // `5' -9"` is two lengths; `5' - 9"` and `5'-9"` are one.
        Some(rest) if spaced && !rest.starts_with(char::is_whitespace) => return Ok(None),
        Some(rest) if spaced => rest.trim_start(),
        Some(rest) => rest,
        None => trimmed,
    };
    let skipped = text.len() - body.len();
    let dashed = trimmed.starts_with('-');
    let number = match number::read(body) {
        Ok(number) => number,
        Err(NumberFault::None) if !dashed => return Ok(None),
        Err(NumberFault::None) => {
            return Err(fault(
                at + skipped,
                LenFault::NotALength,
                "inches after the foot mark",
                "",
            ));
        }
        Err(why) => return Err(no_number(at + skipped, why)),
    };
    let rest = &body[number.bytes..];
    match mark(rest) {
        Some((Mark::Inches, bytes)) => Ok(Some((number, skipped + number.bytes + bytes))),
        Some(_) if spaced && !dashed => Ok(None),
        Some(_) => Err(fault(
            at + skipped,
            LenFault::NotALength,
            "inches after the foot mark",
            "for example 5'3\"",
        )),
        None => {
            let ends = rest.chars().next().is_none_or(char::is_whitespace);
            if spaced && !dashed && !ends {
                Ok(None)
            } else {
                Ok(Some((number, skipped + number.bytes)))
            }
        }
    }
}

/// Feet and inches, exact: whole feet, less than a foot of inches.
fn feet_and_inches(feet: Number, inches: Number, at: usize) -> Result<i128, LenError> {
    if !feet.whole() {
        return Err(fault(
            0,
            LenFault::NotALength,
            "whole feet before inches",
            "for example 5'6\" or 5.5', not both",
        ));
    }
    if inches.over >= 12 * inches.under {
        return Err(fault(
            at,
            LenFault::NotALength,
            "less than 12 inches after the feet",
            "write whole feet in front of the foot mark, or the whole length in inches",
        ));
    }
    Ok(exact(feet, Mark::Feet, 0)? + exact(inches, Mark::Inches, at)?)
}

/// A number without a mark, in the job's units; `5-3.5` is feet and inches.
fn bare(text: &str, number: Number, units: UnitSystem) -> Result<(i128, usize), LenError> {
    let rest = &text[number.bytes..];
    let dashed = rest
        .strip_prefix('-')
        .filter(|rest| rest.starts_with(|c: char| c.is_ascii_digit()));
    if let Some(rest) = dashed
        && number.whole()
    {
        if units.is_metric() {
            return Err(fault(
                number.bytes,
                LenFault::TwoMeanings,
                "a length with its marks",
                "in a metric job write feet and inches with their marks, as 5'3.5\"",
            ));
        }
        let at = number.bytes + 1;
        let inches = number::read(rest).map_err(|why| no_number(at, why))?;
        let mut bytes = at + inches.bytes;
        match mark(&text[bytes..]) {
            Some((Mark::Inches, more)) => bytes += more,
            Some(_) => {
                return Err(fault(
                    at,
                    LenFault::NotALength,
                    "inches after the dash",
                    "for example 5-3.5",
                ));
            }
            None => {}
        }
        return Ok((feet_and_inches(number, inches, at)?, bytes));
    }
    let mark = match units {
        UnitSystem::FeetInches => Mark::Feet,
        UnitSystem::Inches => Mark::Inches,
        UnitSystem::Millimetres => Mark::Millimetres,
        UnitSystem::Metres => Mark::Metres,
    };
    if number.fraction && mark != Mark::Inches {
        return Err(fault(
            number.bytes,
            LenFault::TwoMeanings,
            "an inch or foot mark after the fraction",
            "write 5-1/2\" for inches, 5'0-1/2\" for feet and a fraction of an inch",
        ));
    }
    Ok((exact(number, mark, 0)?, number.bytes))
}

/// The length at the start of a text that has no sign.
fn unsigned(text: &str, units: UnitSystem) -> Result<(i128, usize), LenError> {
    let number = number::read(text).map_err(|why| no_number(0, why))?;
    let Some((mark, bytes)) = mark(&text[number.bytes..]) else {
        return bare(text, number, units);
    };
    let end = number.bytes + bytes;
    if mark == Mark::Feet
        && let Some((inches, more)) = inches_after(&text[end..], end)?
    {
        return Ok((feet_and_inches(number, inches, end)?, end + more));
    }
    Ok((exact(number, mark, 0)?, end))
}

pub(crate) fn read(text: &str, units: UnitSystem) -> Result<Reading, LenError> {
    let (below, body) = match text.strip_prefix(['-', '\u{2212}']) {
        Some(rest) => (true, rest),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    let sign = text.len() - body.len();
    let moved = |error: LenError| LenError {
        at: error.at + sign,
        ..error
    };
    let (value, bytes) = unsigned(body, units).map_err(moved)?;
    if value > LONGEST {
        return Err(fault(
            0,
            LenFault::TooLong,
            "a length of at most 100 km",
            "",
        ));
    }
    let value = if below { -value } else { value };
    Ok(Reading {
        len: Len::from_units(value as i64),
        bytes: sign + bytes,
    })
}
