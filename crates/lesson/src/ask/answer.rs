//! Keys, and whether what a learner typed is right.

use wyeline_units::{Len, UnitSystem};

use crate::steps::words::length;

/// The key to a question.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// One of several.
    Choice {
        /// What can be chosen.
        options: Vec<String>,
        /// Which of them is right, from 0.
        right: usize,
    },
    /// A length.
    Length {
        /// The length, mm.
        mm: f64,
        /// How far off an answer may be, mm.
        within_mm: f64,
    },
    /// A fall; told with or without a sign.
    Fall {
        /// How far, mm.
        mm: f64,
        /// How far off an answer may be, mm.
        within_mm: f64,
    },
    /// A number of things.
    Number(u32),
    /// A word.
    Word {
        /// The word, and others that mean the same.
        right: Vec<String>,
        /// All words that can be meant.
        known: Vec<String>,
    },
}

/// Numbers that learners write as words.
const NUMBERS: [&str; 13] = [
    "none", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve",
];

impl Answer {
    /// Whether an answer is right.
    ///
    /// * `units`: how a length without a unit is read
    ///
    /// # Errors
    /// It is none; words that say what was expected.
    pub fn is_right(&self, typed: &str, units: UnitSystem) -> Result<bool, String> {
        let plain = plain(typed);
        if plain.is_empty() {
            return Err("nothing is answered".to_owned());
        }
        match self {
            Self::Choice { options, right } => options
                .iter()
                .position(|option| self::plain(option) == plain)
                .map(|chosen| chosen == *right)
                .ok_or_else(|| format!("choose one of these: {}", options.join("; "))),
            Self::Length { mm, within_mm } => {
                let told = read(typed, units)?;
                Ok((told - mm).abs() <= within_mm + NOTHING)
            }
            Self::Fall { mm, within_mm } => {
                let told = read(typed, units)?;
                Ok((told.abs() - mm).abs() <= within_mm + NOTHING)
            }
            Self::Number(count) => {
                let word = NUMBERS.iter().position(|word| *word == plain);
                let told = word.map(|n| n as u32).or_else(|| plain.parse().ok());
                told.map(|told| told == *count)
                    .ok_or_else(|| "expected a whole number, as 3".to_owned())
            }
            Self::Word { right, known } => {
                if right.iter().any(|word| self::plain(word) == plain) {
                    Ok(true)
                } else if known.iter().any(|word| self::plain(word) == plain) {
                    Ok(false)
                } else {
                    Err(format!("expected one of these: {}", known.join(", ")))
                }
            }
        }
    }

    /// The key as it is printed.
    pub fn key(&self, units: UnitSystem) -> String {
        match self {
            Self::Choice { options, right } => options[*right].clone(),
            Self::Length { mm, .. } | Self::Fall { mm, .. } => length(*mm, units),
            Self::Number(count) => count.to_string(),
            Self::Word { right, .. } => right[0].clone(),
        }
    }

    /// How an answer is typed; nothing where one is chosen.
    pub fn hint(&self, units: UnitSystem) -> Option<String> {
        match self {
            Self::Choice { .. } => None,
            Self::Length { within_mm, .. } | Self::Fall { within_mm, .. } => {
                let as_written = match units {
                    UnitSystem::FeetInches => "as 4'3-1/2\" or 51.5 in",
                    UnitSystem::Inches => "as 51-1/2\" or 4'3-1/2\"",
                    UnitSystem::Millimetres => "in mm, or as 1.3 m",
                    UnitSystem::Metres => "in m, or as 1300 mm",
                };
                Some(format!(
                    "{as_written}; {} more or less counts",
                    length(*within_mm, units)
                ))
            }
            Self::Number(_) => Some("a number".to_owned()),
            Self::Word { .. } => Some("its name on the drawing".to_owned()),
        }
    }
}

/// Rounding in the last place, mm.
const NOTHING: f64 = 1e-6;

/// A length as it is typed, mm.
fn read(typed: &str, units: UnitSystem) -> Result<f64, String> {
    let typed = typed.trim().trim_end_matches('.');
    let expected = |what: &str| format!("expected a length, as 4'3\", 51 in or 1.3 m{what}");
    let reading = Len::read(typed, units).map_err(|error| {
        let help = [error.expected, error.help]
            .into_iter()
            .find(|words| !words.is_empty());
        expected(&help.map_or_else(String::new, |help| format!(": {help}")))
    })?;
    if typed[reading.bytes..].trim().is_empty() {
        Ok(reading.len.mm())
    } else {
        Err(expected(" and nothing after it"))
    }
}

/// Words without case, blanks round and in them, and a stop at the end.
fn plain(words: &str) -> String {
    let words: Vec<&str> = words.split_whitespace().collect();
    words.join(" ").trim_end_matches('.').to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    const FEET: UnitSystem = UnitSystem::FeetInches;

    /// 4 ft 3 in are 51 in are 1295.4 mm; a sixteenth of an inch is 1.5875 mm.
    #[test]
    fn a_length_is_read_in_any_unit_and_counts_within_its_tolerance() {
        let key = Answer::Length {
            mm: 1295.4,
            within_mm: 25.4 / 16.0,
        };
        for (typed, right) in [
            ("4'3\"", true),
            ("4' 3\"", true),
            ("51 in", true),
            ("51\"", true),
            ("1.2954m", true),
            ("1296 mm", true),
            ("51-1/16\"", true),
            ("51-1/8\"", false),
            ("1.3 m", false),
            ("4'3\".", true),
            // Bare numbers are feet in such a job.
            ("51", false),
        ] {
            assert_eq!(key.is_right(typed, FEET), Ok(right), "{typed}");
        }
    }

    #[test]
    fn what_is_no_length_is_told_in_words() {
        let key = Answer::Length {
            mm: 1000.0,
            within_mm: 1.0,
        };
        for typed in ["", "  ", "long", "4'3\" or so", "é", "4''''"] {
            let said = key.is_right(typed, FEET).expect_err(typed);
            assert!(!said.is_empty() && !said.contains("Err"), "{typed}: {said}");
        }
    }

    #[test]
    fn a_fall_counts_with_its_sign_or_without() {
        let key = Answer::Fall {
            mm: 50.8,
            within_mm: 25.4 / 16.0,
        };
        assert_eq!(key.is_right("2\"", FEET), Ok(true));
        assert_eq!(key.is_right("-2\"", FEET), Ok(true));
        assert_eq!(key.is_right("2-1/4\"", FEET), Ok(false));
    }

    #[test]
    fn words_and_numbers_are_read_in_any_case() {
        let word = Answer::Word {
            right: vec!["LAV1".to_owned()],
            known: vec!["LAV1".to_owned(), "WC1".to_owned()],
        };
        assert_eq!(word.is_right(" lav1 ", FEET), Ok(true));
        assert_eq!(word.is_right("WC1", FEET), Ok(false));
        assert!(
            word.is_right("bath", FEET)
                .expect_err("none")
                .contains("WC1")
        );
        let number = Answer::Number(3);
        assert_eq!(number.is_right("3", FEET), Ok(true));
        assert_eq!(number.is_right("Three", FEET), Ok(true));
        assert_eq!(number.is_right("4", FEET), Ok(false));
        assert!(number.is_right("some", FEET).is_err());
        let choice = Answer::Choice {
            options: vec!["north".to_owned(), "south".to_owned()],
            right: 1,
        };
        assert_eq!(choice.is_right("South", FEET), Ok(true));
        assert_eq!(choice.is_right("north", FEET), Ok(false));
        assert!(choice.is_right("left", FEET).is_err());
    }
}
