//! One line of the history: `{"sum":"1a2b3c4d","entry":{...}}`, the sum being the CRC-32 of the bytes of the entry, in
//! hexadecimal. A line that was torn or damaged is known by its sum and never half believed.

use std::ops::Range;

use serde::{Deserialize, Serialize};

use crate::disk::Stamp;

const HEAD: &[u8] = br#"{"sum":""#;
const MIDDLE: &[u8] = br#"","entry":"#;
const SUM_DIGITS: usize = 8;

/// A text that the job had, and how it came to it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct Entry {
    /// Grows from entry to entry.
    pub(crate) version: u64,
    /// Seconds since 1970, as the caller knew it.
    pub(crate) time: u64,
    /// What was done, in the caller's words.
    pub(crate) what: String,
    pub(crate) step: Step,
    pub(crate) body: Body,
    /// CRC-32 of the text.
    pub(crate) text_sum: u32,
    /// What lay in the file before. If it still does, the save was cut short after this line.
    pub(crate) over: Option<Over>,
}

/// The state of the file that a save replaces.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Over {
    pub(crate) stamp: Stamp,
    /// CRC-32 of its text.
    pub(crate) text_sum: u32,
}

/// Where on the way of undo and redo an entry stands. States are named by the version that made them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Step {
    /// The first text: nothing to undo.
    Start,
    /// A new state.
    Change {
        /// The state it was made from, to which undo leads.
        from: u64,
    },
    /// An earlier state again.
    Undo {
        /// The state gone back to.
        to: u64,
    },
    /// A state that was undone again.
    Redo {
        /// The state gone forward to.
        to: u64,
    },
}

/// The text of an entry.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Body {
    Full(String),
    /// The text of version `of` with the bytes `cut` replaced by `put`.
    Replace {
        of: u64,
        cut: Range<usize>,
        put: String,
    },
}

impl Entry {
    /// The entry as a line, with its end.
    pub(crate) fn line(&self) -> serde_json::Result<Vec<u8>> {
        let entry = serde_json::to_vec(self)?;
        Ok([HEAD, sum_of(&entry).as_bytes(), MIDDLE, &entry, b"}\n"].concat())
    }

    /// The entry of a line without its end, `None` where anything of it is damaged.
    pub(crate) fn of_line(line: &[u8]) -> Option<Self> {
        let rest = line.strip_prefix(HEAD)?;
        let (sum, rest) = rest.split_at_checked(SUM_DIGITS)?;
        let entry = rest.strip_prefix(MIDDLE)?.strip_suffix(b"}")?;
        if sum != sum_of(entry).as_bytes() {
            return None;
        }
        serde_json::from_slice(entry).ok()
    }
}

impl Body {
    /// The shorter of the whole text and what changed of `before`, the text of version `of`.
    pub(crate) fn shorter(of: u64, before: &str, text: &str) -> Self {
        let start = before
            .bytes()
            .zip(text.bytes())
            .take_while(|(a, b)| a == b)
            .count();
        let start = floor(before, floor(text, start));
        let rest = before.len().min(text.len()) - start;
        let same = before
            .bytes()
            .rev()
            .zip(text.bytes().rev())
            .take(rest)
            .take_while(|(a, b)| a == b)
            .count();
        let end = (before.len() - same..=before.len())
            .find(|&at| before.is_char_boundary(at))
            .unwrap_or(before.len());
        let put = &text[start..text.len() - (before.len() - end)];
        if put.len() < text.len() {
            Self::Replace {
                of,
                cut: start..end,
                put: put.to_owned(),
            }
        } else {
            Self::Full(text.to_owned())
        }
    }

    /// The text, made from that of the version it builds on; `None` where it does not fit.
    pub(crate) fn applied(&self, before: impl FnOnce(u64) -> Option<String>) -> Option<String> {
        match self {
            Self::Full(text) => Some(text.clone()),
            Self::Replace { of, cut, put } => {
                let mut text = before(*of)?;
                text.get(cut.clone())?;
                text.replace_range(cut.clone(), put);
                Some(text)
            }
        }
    }
}

fn sum_of(bytes: &[u8]) -> String {
    format!("{:0SUM_DIGITS$x}", crc32fast::hash(bytes))
}

fn floor(text: &str, at: usize) -> usize {
    (0..=at)
        .rev()
        .find(|&at| text.is_char_boundary(at))
        .unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn back(before: &str, text: &str) -> Option<String> {
        Body::shorter(1, before, text).applied(|_| Some(before.to_owned()))
    }

    /// Only the bytes that differ are written down: of `room 8'` to `room 12'` the `8`, which stands at byte 5.
    #[test]
    fn only_what_differs_is_kept() {
        let body = Body::shorter(1, "room 8'", "room 12'");
        assert_eq!(
            body,
            Body::Replace {
                of: 1,
                cut: 5..6,
                put: "12".into()
            }
        );
    }

    /// `é` (c3 a9) and `è` (c3 a8) share their first byte, `½` (c2 bd) and `ý` (c3 bd) their last: never cut in two.
    #[test]
    fn letters_of_several_bytes_are_never_cut() {
        for (before, text) in [
            ("é", "è"),
            ("½", "ý"),
            ("aéb", "aèb"),
            ("", "é"),
            ("é", ""),
            ("éé", "é"),
            ("aa", "aaa"),
        ] {
            assert_eq!(
                back(before, text).as_deref(),
                Some(text),
                "{before} to {text}"
            );
        }
    }

    /// A line is believed whole or not at all: with any one bit turned over it is no entry.
    #[test]
    fn any_bit_turned_over_is_seen() {
        let entry = Entry {
            version: 7,
            time: 3,
            what: "a \"quoted\"\nname".into(),
            step: Step::Undo { to: 4 },
            body: Body::Full("½ in\r\n".into()),
            text_sum: 9,
            over: None,
        };
        let line = entry.line().unwrap();
        let line = line.strip_suffix(b"\n").unwrap();
        assert!(!line.contains(&b'\n'));
        assert_eq!(Entry::of_line(line), Some(entry));
        for bit in 0..line.len() * 8 {
            let mut damaged = line.to_vec();
            damaged[bit / 8] ^= 1 << (bit % 8);
            assert_eq!(Entry::of_line(&damaged), None, "bit {bit}");
        }
    }
}
