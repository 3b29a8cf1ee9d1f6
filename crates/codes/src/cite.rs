//! Where a value comes from, and what is said where there is none.

use std::fmt;
use std::sync::Arc;

/// How a value was come by.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Deserialize, serde::Serialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum How {
    /// Read in the text named.
    Seen,
    /// Worked out from a formula that is named.
    Computed,
    /// What the trade does where no document says it.
    CommonPractice,
    /// Recalled from the document and not read again: to be checked against the printed code.
    Memory,
    /// Said by the job, with its own citation: a local amendment.
    Local,
}

impl fmt::Display for How {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Seen => "seen",
            Self::Computed => "computed",
            Self::CommonPractice => "common practice",
            Self::Memory => "from memory",
            Self::Local => "local amendment",
        })
    }
}

/// Where a value comes from.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Cite {
    /// Document and edition (`IPC 2021`), or the citation of a local amendment.
    pub document: Arc<str>,
    /// Table or section (`Table 710.1(2)`).
    pub place: Arc<str>,
    /// How it was come by.
    pub how: How,
}

impl fmt::Display for Cite {
    /// `IPC 2021 Table 710.1(2)`, with a remark where it cannot be trusted fully.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.document, self.place)?;
        match self.how {
            How::Seen => Ok(()),
            how => write!(f, " ({how})"),
        }
    }
}

/// A value with where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Cited<T> {
    /// The value.
    pub value: T,
    /// Where it comes from.
    pub cite: Cite,
}

/// A code does not hold what it was asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoValue {
    /// Where it was looked for.
    pub cite: Cite,
    /// What was asked, in words: `a drain of 2000 dfu at 1/8 in per ft`.
    pub asked: String,
    /// What to do: state the size, amend the code, look in the printed document.
    pub help: String,
}

impl fmt::Display for NoValue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} says nothing of {}", self.cite, self.asked)
    }
}
