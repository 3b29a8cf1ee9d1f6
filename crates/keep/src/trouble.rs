//! What can stand in the way of a save, in words a user can act on. In every case the file holds a whole text and the
//! caller's new text is still the caller's.

use std::fmt;
use std::io;

/// Why a text was not saved.
#[derive(Debug)]
pub enum Trouble {
    /// The new text and what is there now change the same lines of the text both were made from. Nothing of the new
    /// text is written. A text that settles it is saved with `version` as its base.
    Conflict {
        /// The text both were made from.
        base: String,
        /// The new text.
        ours: String,
        /// The text that is there now.
        theirs: String,
        /// The version of `theirs`.
        version: u64,
    },
    /// The job has changed since the version that undo or redo was asked for; nothing is undone.
    Behind {
        /// The version that is there now.
        version: u64,
    },
    /// The text of the version named as base is not known, so nothing can be merged.
    UnknownBase {
        /// The version named.
        base: u64,
    },
    /// Another program has written bytes into the file that are no text (UTF-8). They are left alone.
    NotText(io::Error),
    /// Another program has removed the file. The next save writes it again.
    Gone,
    /// The disk would not: full, read-only, locked by another program. The old text is whole; it can be tried again.
    NotWritten(io::Error),
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Conflict { .. } => {
                f.write_str("the same lines were changed here and elsewhere; nothing is written before one is chosen")
            }
            Self::Behind { version } => {
                write!(f, "the job has changed meanwhile and is at version {version}; nothing was undone")
            }
            Self::UnknownBase { base } => write!(f, "the text of version {base} is not in the history"),
            Self::NotText(error) => write!(f, "another program has changed the file: {error}"),
            Self::Gone => f.write_str("the file is no longer there; the next save writes it again"),
            Self::NotWritten(error) => write!(f, "not saved, the old text is whole: {error}"),
        }
    }
}

impl std::error::Error for Trouble {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            Self::NotText(error) | Self::NotWritten(error) => Some(error),
            _ => None,
        }
    }
}

impl From<io::Error> for Trouble {
    fn from(error: io::Error) -> Self {
        match error.kind() {
            io::ErrorKind::InvalidData => Self::NotText(error),
            _ => Self::NotWritten(error),
        }
    }
}
