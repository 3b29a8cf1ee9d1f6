//! Turns the text of a job into a [`Job`], and back into tidied text.
//!
//! In: the text, and nothing else. Out: everything that was understood, each
//! thing with its place in the text, and every mistake found. Knows no
//! geometry and no code of practice. The language is `docs/job-language.md`.

pub mod diagnostic;
pub mod model;

pub use diagnostic::{Diagnostic, Severity, Span};
pub use model::Job;
