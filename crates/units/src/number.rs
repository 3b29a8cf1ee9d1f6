//! Turns the digits at the start of a text into an exact fraction.
//!
//! Reads `7`, `3.5`, `.5`, `3/4`, `3-1/2`, `3 1/2`, `3½`; knows no units.

/// A number as typed, exact: `over / under`, never negative.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Number {
    pub over: i128,
    /// Above 0.
    pub under: i128,
    /// Bytes of text it took.
    pub bytes: usize,
    /// Typed with a fraction bar (or a fraction sign).
    pub fraction: bool,
    /// Typed with a decimal point.
    pub decimal: bool,
}

impl Number {
    /// A whole number without point or bar.
    pub fn whole(&self) -> bool {
        !self.fraction && !self.decimal
    }
}

/// Why there is no number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum NumberFault {
    /// The text does not begin with one.
    None,
    /// More digits than any length on a building needs.
    TooManyDigits,
    /// A fraction over nothing.
    OverZero,
}

/// Digits of a number; with [`MOST_IN_FRACTION`] the product of any two numbers stays inside 128 bits.
const MOST_DIGITS: usize = 15;
/// Digits above and below a fraction bar.
const MOST_IN_FRACTION: usize = 6;

/// Single signs for fractions, as phones write them: over, under.
const SIGNS: [(char, i128, i128); 9] = [
    ('½', 1, 2),
    ('¼', 1, 4),
    ('¾', 3, 4),
    ('⅛', 1, 8),
    ('⅜', 3, 8),
    ('⅝', 5, 8),
    ('⅞', 7, 8),
    ('⅓', 1, 3),
    ('⅔', 2, 3),
];

fn digits(text: &str) -> &str {
    &text[..text.bytes().take_while(u8::is_ascii_digit).count()]
}

fn value(digits: &str, most: usize) -> Result<i128, NumberFault> {
    if digits.trim_start_matches('0').len() > most {
        return Err(NumberFault::TooManyDigits);
    }
    Ok(digits
        .bytes()
        .fold(0, |sum, digit| sum * 10 + i128::from(digit - b'0')))
}

/// `over/under` at the start of the text, with the bytes it took.
fn fraction(text: &str) -> Result<Option<(i128, i128, usize)>, NumberFault> {
    if let Some(&(sign, over, under)) = SIGNS.iter().find(|(sign, ..)| text.starts_with(*sign)) {
        return Ok(Some((over, under, sign.len_utf8())));
    }
    let over = digits(text);
    let Some(rest) = text[over.len()..].strip_prefix('/') else {
        return Ok(None);
    };
    let under = digits(rest);
    if over.is_empty() || under.is_empty() {
        return Ok(None);
    }
    match value(under, MOST_IN_FRACTION)? {
        0 => Err(NumberFault::OverZero),
        below => Ok(Some((
            value(over, MOST_IN_FRACTION)?,
            below,
            over.len() + 1 + under.len(),
        ))),
    }
}

/// The number at the start of `text`, without a sign.
pub(crate) fn read(text: &str) -> Result<Number, NumberFault> {
    if let Some((over, under, bytes)) = fraction(text)? {
        return Ok(Number {
            over,
            under,
            bytes,
            fraction: true,
            decimal: false,
        });
    }
    let whole = digits(text);
    let after = &text[whole.len()..];
    if let Some(rest) = after.strip_prefix('.') {
        let decimals = digits(rest);
        if !decimals.is_empty() {
            let kept = decimals.trim_end_matches('0');
            if whole.trim_start_matches('0').len() + kept.len() > MOST_DIGITS {
                return Err(NumberFault::TooManyDigits);
            }
            let under = 10_i128.pow(kept.len() as u32);
            let over = value(whole, MOST_DIGITS)? * under + value(kept, MOST_DIGITS)?;
            let bytes = whole.len() + 1 + decimals.len();
            return Ok(Number {
                over,
                under,
                bytes,
                fraction: false,
                decimal: true,
            });
        }
    }
    if whole.is_empty() {
        return Err(NumberFault::None);
    }
    let units = value(whole, MOST_DIGITS)?;
    // `3-1/2`, `3 1/2`, `3½`
    let gap = match after.strip_prefix('-') {
        Some(_) => 1,
        None => after.len() - after.trim_start().len(),
    };
    if let Some((over, under, bytes)) = fraction(&after[gap..])? {
        // `31/2` has been read as a plain fraction above; a sign may follow directly.
        return Ok(Number {
            over: units * under + over,
            under,
            bytes: whole.len() + gap + bytes,
            fraction: true,
            decimal: false,
        });
    }
    Ok(Number {
        over: units,
        under: 1,
        bytes: whole.len(),
        fraction: false,
        decimal: false,
    })
}
