//! The short code of an exercise: level, code of practice, seed and place in the class, in nine letters and digits that can be read aloud.
//!
//! Digits are Crockford's base 32 (no I, L, O, U); the last one is a check, so that a slip of the pen names no other exercise.

use std::fmt;
use std::str::FromStr;

use wyeline_codes::Pack;

use crate::level::Level;

/// Crockford's digits.
const DIGITS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";
/// Seeds go below this: four digits.
pub const SEEDS: u32 = 1 << 20;
/// Places in a class go below this: two digits.
pub const MEMBERS: u16 = 1 << 10;

/// Which exercise: everything that its layout depends on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Code {
    /// The level.
    pub level: Level,
    /// The code of practice, by its place among those that are held.
    practice: u8,
    /// The seed of the set.
    seed: u32,
    /// The place in the class, from 0.
    member: u16,
}

/// Why there is no such exercise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CodeError {
    /// Not nine letters and digits.
    Form,
    /// The check digit does not fit the rest.
    Check,
    /// There is no such level.
    Level,
    /// There is no such code of practice.
    Practice,
    /// The seed is not below [`SEEDS`].
    Seed,
    /// The place is not below [`MEMBERS`].
    Member,
}

impl fmt::Display for CodeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Form => {
                f.write_str("an exercise's code is nine letters and digits, as in 3B-0007-005")
            }
            Self::Check => {
                f.write_str("that code has a slip in it: its last sign does not fit the others")
            }
            Self::Level => write!(f, "there are levels 1 to {}", Level::all().len()),
            Self::Practice => f.write_str("there is no such code of practice here"),
            Self::Seed => write!(f, "a seed goes from 0 to {}", SEEDS - 1),
            Self::Member => write!(f, "a class has {MEMBERS} places at most"),
        }
    }
}

impl std::error::Error for CodeError {}

impl Code {
    /// The exercise of a level by a code of practice (`ipc-2021`), of a set's seed, for the place `member` in the class, from 0.
    ///
    /// # Errors
    /// Any of them is beyond what a code can say.
    pub fn new(level: Level, practice: &str, seed: u32, member: u16) -> Result<Self, CodeError> {
        let place = Pack::all().iter().position(|pack| pack.id() == practice);
        let practice = place
            .and_then(|place| u8::try_from(place).ok())
            .ok_or(CodeError::Practice)?;
        if seed >= SEEDS {
            return Err(CodeError::Seed);
        }
        if member >= MEMBERS {
            return Err(CodeError::Member);
        }
        Ok(Self {
            level,
            practice,
            seed,
            member,
        })
    }

    /// The code of practice.
    pub fn practice(self) -> &'static Pack {
        &Pack::all()[usize::from(self.practice)]
    }
    /// The seed of its set.
    pub fn seed(self) -> u32 {
        self.seed
    }
    /// Its place in the class, from 0.
    pub fn member(self) -> u16 {
        self.member
    }

    /// The digits before the check: level, practice, four of the seed, two of the place.
    fn digits(self) -> [u8; 8] {
        let five = |value: u32, shift: u32| (value >> shift) as u8 & 31;
        let member = u32::from(self.member);
        [
            self.level.number(),
            self.practice + 10,
            five(self.seed, 15),
            five(self.seed, 10),
            five(self.seed, 5),
            five(self.seed, 0),
            five(member, 5),
            five(member, 0),
        ]
    }
}

/// The check digit: each digit weighted by its place, modulo 31 (a prime): any one wrong digit and any two swapped are seen, but for the pair
/// 0 and Z (31).
fn check(digits: [u8; 8]) -> u8 {
    let sum: u32 = digits
        .iter()
        .zip(1..)
        .map(|(digit, place)| u32::from(*digit) * place)
        .sum();
    (sum % 31) as u8
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let digits = self.digits();
        for (place, digit) in digits.iter().chain([&check(digits)]).enumerate() {
            if place == 2 || place == 6 {
                f.write_str("-")?;
            }
            write!(f, "{}", char::from(DIGITS[usize::from(*digit)]))?;
        }
        Ok(())
    }
}

impl FromStr for Code {
    type Err = CodeError;

    /// Reads a code in either case, with or without hyphens; I and L are read as 1, O as 0.
    fn from_str(text: &str) -> Result<Self, CodeError> {
        let mut digits = Vec::new();
        for letter in text
            .trim()
            .chars()
            .filter(|letter| !matches!(letter, '-' | ' '))
        {
            let letter = match letter.to_ascii_uppercase() {
                'I' | 'L' => '1',
                'O' => '0',
                other => other,
            };
            let place = DIGITS.iter().position(|digit| char::from(*digit) == letter);
            digits.push(place.ok_or(CodeError::Form)? as u8);
        }
        let [rest @ .., last] = digits.as_slice() else {
            return Err(CodeError::Form);
        };
        let rest: [u8; 8] = rest.try_into().map_err(|_| CodeError::Form)?;
        if check(rest) != *last {
            return Err(CodeError::Check);
        }
        let level = Level::new(rest[0]).ok_or(CodeError::Level)?;
        let practice = rest[1].checked_sub(10).ok_or(CodeError::Practice)?;
        if usize::from(practice) >= Pack::all().len() {
            return Err(CodeError::Practice);
        }
        let number = |digits: &[u8]| {
            digits
                .iter()
                .fold(0, |sum, digit| sum * 32 + u32::from(*digit))
        };
        Ok(Self {
            level,
            practice,
            seed: number(&rest[2..6]),
            member: number(&rest[6..8]) as u16,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn some(seed: u32, member: u16) -> Code {
        Code::new(Level::new(3).expect("a level"), "ipc-2021", seed, member).expect("within bounds")
    }

    #[test]
    fn what_is_written_is_read_back() {
        for (seed, member) in [(0, 0), (7, 19), (SEEDS - 1, MEMBERS - 1)] {
            let code = some(seed, member);
            assert_eq!(code.to_string().parse(), Ok(code));
            assert_eq!(
                code.to_string().to_lowercase().replace('-', " ").parse(),
                Ok(code)
            );
        }
    }

    #[test]
    fn one_wrong_sign_names_no_exercise() {
        let right = some(7, 19).to_string();
        for place in (0..right.len()).filter(|place| right.as_bytes()[*place] != b'-') {
            for digit in DIGITS {
                let mut wrong = right.clone().into_bytes();
                let old = std::mem::replace(&mut wrong[place], *digit);
                let pair = [old, *digit];
                if old == *digit || pair == [b'0', b'Z'] || pair == [b'Z', b'0'] {
                    continue;
                }
                let wrong = String::from_utf8(wrong).expect("plain letters");
                assert!(wrong.parse::<Code>().is_err(), "{wrong} for {right}");
            }
        }
    }

    #[test]
    fn what_no_code_can_say_is_refused() {
        let level = Level::new(1).expect("a level");
        assert_eq!(Code::new(level, "ipc-2021", SEEDS, 0), Err(CodeError::Seed));
        assert_eq!(
            Code::new(level, "ipc-2021", 0, MEMBERS),
            Err(CodeError::Member)
        );
        assert_eq!(Code::new(level, "none", 0, 0), Err(CodeError::Practice));
        for text in ["", "é", "3A-0007-01", "3A-0007-01MM"] {
            assert_eq!(text.parse::<Code>(), Err(CodeError::Form), "{text:?}");
        }
    }
}
