//! A mistake or a remark, at its place in the text, as plain data.

use serde::Serialize;

/// A stretch of the job's text, in bytes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
pub struct Span {
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// The stretch from `start` up to `end`.
    pub const fn new(start: usize, end: usize) -> Self {
        Self {
            start: start as u32,
            end: end as u32,
        }
    }
    /// The least stretch that holds both.
    #[must_use]
    pub fn to(self, other: Self) -> Self {
        Self {
            start: self.start.min(other.start),
            end: self.end.max(other.end),
        }
    }
}

/// How much a diagnostic matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// The user's mistake: what is concerned is left out of the drawing or drawn as far as understood.
    Mistake,
    /// Understood, but probably not meant.
    Warning,
}

/// One mistake or warning.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Diagnostic {
    /// Stable name of the fault, in kebab case (`unknown-tag`).
    pub code: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// The fault, in lower case with no full stop.
    pub message: String,
    /// Where it is.
    pub span: Span,
    /// What was expected there, shown under the place itself; may be empty.
    pub label: String,
    /// Other places that matter to it, each with what to see there.
    pub notes: Vec<(Span, String)>,
    /// What to do about it.
    pub help: Option<String>,
}

impl Diagnostic {
    /// A mistake at a place.
    pub fn mistake(code: &'static str, span: Span, message: impl Into<String>) -> Self {
        Self {
            code,
            severity: Severity::Mistake,
            message: message.into(),
            span,
            label: String::new(),
            notes: Vec::new(),
            help: None,
        }
    }
    /// A warning at a place.
    pub fn warning(code: &'static str, span: Span, message: impl Into<String>) -> Self {
        Self {
            severity: Severity::Warning,
            ..Self::mistake(code, span, message)
        }
    }
    /// The same with what was expected at the place.
    #[must_use]
    pub fn expected(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }
    /// The same with another place to look at.
    #[must_use]
    pub fn note(mut self, span: Span, text: impl Into<String>) -> Self {
        self.notes.push((span, text.into()));
        self
    }
    /// The same with what to do.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }
}
