//! Reads lengths, sizes, angles and slopes in a line, and says what is wrong with them.

use wyeline_units::{Len, LenError, LenFault, Size, Slope};

use crate::diagnostic::{Diagnostic, Span};
use crate::line::{Line, looks_like_amount};
use crate::source::{shown, word_len};
use crate::words::look_up;

/// Fitting angles, hundredths of a degree.
const ANGLES: [(&str, u32); 7] = [
    ("11.25", 1125),
    ("22.5", 2250),
    ("30", 3000),
    ("45", 4500),
    ("60", 6000),
    ("67.5", 6750),
    ("72", 7200),
];

impl Line<'_, '_> {
    /// A length.
    pub fn length(&mut self, what: &str) -> Option<Len> {
        let rest = self.rest();
        if rest.is_empty() {
            self.too_short(what);
            return None;
        }
        let word = word_len(rest);
        match Len::read(rest, self.units) {
            Ok(reading) if ends(&rest[reading.bytes..]) => {
                self.take(reading.bytes);
                Some(reading.len)
            }
            Ok(reading) => {
                let bytes = reading.bytes + word_len(&rest[reading.bytes..]);
                let span = self.take(bytes);
                let text = &rest[..bytes];
                let mistake = Diagnostic::mistake(
                    "not-a-length",
                    span,
                    format!("`{}` is not a length", shown(text)),
                )
                .expected(format!("expected {what}"))
                .help("for example 5'3-1/2\", 40.5\", 1.6m or 1600mm");
                self.report(mistake);
                None
            }
            Err(error) => {
                if error.fault == LenFault::NotALength && error.at == 0 && !looks_like_amount(rest)
                {
                    // A word of the language: the length itself is missing.
                    self.missing("not-a-length", what);
                    return None;
                }
                let bytes = if error.at < word {
                    word
                } else {
                    error.at + word_len(&rest[error.at..])
                };
                let span = self.take(bytes);
                let text = &rest[..bytes];
                self.report(bad_length(span, text, &error));
                None
            }
        }
    }

    /// A length above 0.
    pub fn positive(&mut self, what: &str) -> Option<Len> {
        let before = self.ahead(0);
        let length = self.length(what)?;
        if length > Len::ZERO {
            return Some(length);
        }
        let span = Span::new(before.start as usize, self.offset());
        let mistake =
            Diagnostic::mistake("not-above-zero", span, format!("{what} has to be above 0"))
                .expected("expected a length above 0");
        self.report(mistake);
        None
    }

    /// A nominal pipe size.
    pub fn size(&mut self) -> Option<Size> {
        let rest = self.rest();
        if rest.is_empty() || !looks_like_amount(rest) && !rest.starts_with(['D', 'd']) {
            self.missing("not-a-size", "a pipe size");
            return None;
        }
        let expected = match Size::read(rest) {
            Ok((size, bytes)) if ends(&rest[bytes..]) => {
                self.take(bytes);
                return Some(size);
            }
            Ok(_) => "a pipe size",
            Err(error) => error.expected,
        };
        let (word, span) = self.word();
        let message = format!("`{}` is not a pipe size", shown(word));
        let mistake = Diagnostic::mistake("not-a-size", span, message)
            .expected(format!("expected {expected}"))
            .help("for example 3\", 1-1/2\" or DN100");
        self.report(mistake);
        None
    }

    /// A fitting angle, in hundredths of a degree.
    pub fn angle(&mut self) -> Option<u32> {
        let word = self.peek();
        let bare = word.strip_suffix('°').unwrap_or(word);
        if let Some(angle) = look_up(&ANGLES, bare) {
            self.word();
            return Some(angle);
        }
        let help = "fittings are made for 11.25, 22.5, 30, 45, 60, 67.5 and 72 degrees";
        self.wrong("not-an-angle", "a fitting angle", Some(help.to_owned()));
        None
    }

    /// A slope, to the end of the line.
    pub fn slope(&mut self, level_allowed: bool) -> Option<(Slope, Span)> {
        if self.done() {
            self.too_short("a slope");
            return None;
        }
        let (text, span) = self.remainder();
        if text == "level" && level_allowed {
            return Some((Slope::LEVEL, span));
        }
        match text.parse() {
            Ok(slope) => Some((slope, span)),
            Err(error) => {
                let mistake = Diagnostic::mistake(
                    "not-a-slope",
                    span,
                    format!("`{}` is not a slope", shown(text)),
                )
                .expected(error.to_string())
                .help("for example 1/4 in per ft, 1:50 or 2%");
                self.report(mistake);
                None
            }
        }
    }
}

/// The mistake for a length that could not be read.
pub fn bad_length(span: Span, text: &str, error: &LenError) -> Diagnostic {
    let (code, message) = match error.fault {
        LenFault::NotALength => ("not-a-length", format!("`{}` is not a length", shown(text))),
        LenFault::TwoMeanings => (
            "length-in-doubt",
            format!("`{}` could be two lengths", shown(text)),
        ),
        LenFault::Inexact => (
            "length-not-exact",
            format!("`{}` cannot be held exactly", shown(text)),
        ),
        LenFault::TooLong => (
            "length-too-long",
            format!("`{}` is longer than any job", shown(text)),
        ),
    };
    let mistake =
        Diagnostic::mistake(code, span, message).expected(format!("expected {}", error.expected));
    if error.help.is_empty() {
        mistake
    } else {
        mistake.help(error.help)
    }
}

/// Whether a word ends before this text.
fn ends(text: &str) -> bool {
    text.chars().next().is_none_or(char::is_whitespace)
}
