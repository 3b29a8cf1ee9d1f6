//! Turns the text of a job into a [`Job`], and back into tidied text.
//!
//! In: the text, and nothing else. Out: everything that was understood, each
//! thing with its place in the text, and every mistake found. Knows no
//! geometry and no code of practice. The language is `docs/job-language.md`.

mod amounts;
mod bytes;
mod design;
pub mod diagnostic;
mod fitting;
mod groups;
mod line;
pub mod model;
mod motion;
mod names;
mod near;
mod nesting;
mod placing;
mod quantities;
mod reading;
mod runs;
mod source;
mod statements;
mod steps;
mod tidy;
mod values;
pub mod words;

pub use bytes::{read_bytes, text_of};
pub use diagnostic::{Diagnostic, Severity, Span};
pub use line::is_name;
pub use model::Job;
pub use near::did_you_mean;
pub use reading::{Reading, read};
pub use source::{LineIndex, Position, line_index, split_remark, word_len};
pub use tidy::{columns, tidy};
