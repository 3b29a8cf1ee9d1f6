//! Collects mistakes and doubts while a network is built, each at its place in the text.

use wyeline_job::{Diagnostic, Span};
use wyeline_units::{Len, UnitSystem};

use crate::model::{Doubt, DoubtKind};

/// Where mistakes and doubts go, with what is needed to word them.
pub(crate) struct Remarks<'a> {
    pub diagnostics: Vec<Diagnostic>,
    pub doubts: Vec<Doubt>,
    pub units: UnitSystem,
    lines: wyeline_job::LineIndex<'a>,
}

/// A length below this is none, mm: far under the 25 nm that lengths are held in.
pub(crate) const NOTHING: f64 = 1e-6;

/// After so many mistakes near names are no longer looked for, lest that take longer than all the rest.
const MOST_SEARCHED: usize = 200;
/// Names looked at in such a search.
const MOST_NAMES: usize = 2_000;

impl<'a> Remarks<'a> {
    pub fn new(text: &'a str, units: UnitSystem) -> Self {
        Self {
            diagnostics: Vec::new(),
            doubts: Vec::new(),
            units,
            lines: wyeline_job::line_index(text),
        }
    }
    /// The line a place begins on, from 1.
    pub fn line(&self, span: Span) -> u32 {
        self.lines.line(span.start)
    }
    /// A length as it is printed, to 1/16 in or 1 mm.
    pub fn show(&self, mm: f64) -> String {
        show(mm, self.units)
    }
    pub fn push(&mut self, diagnostic: Diagnostic) {
        self.diagnostics.push(diagnostic);
    }
    /// A mistake for a name that is not known, with the nearest that is; not pushed yet.
    pub fn unknown<'n>(
        &self,
        code: &'static str,
        span: Span,
        word: &str,
        what: &str,
        known: impl IntoIterator<Item = &'n str>,
    ) -> Diagnostic {
        let mistake = Diagnostic::mistake(code, span, format!("there is no {what} `{word}`"))
            .expected(format!("expected a {what}"));
        if self.diagnostics.len() > MOST_SEARCHED {
            return mistake;
        }
        match wyeline_job::did_you_mean(word, known.into_iter().take(MOST_NAMES)) {
            Some(hint) => mistake.help(hint),
            None => mistake,
        }
    }
    pub fn doubt(&mut self, why: DoubtKind, span: Span, text: String) {
        let line = self.line(span);
        self.doubts.push(Doubt {
            text,
            why,
            span,
            line,
        });
    }
}

/// A length as it is printed, to 1/16 in or 1 mm.
pub(crate) fn show(mm: f64, units: UnitSystem) -> String {
    let text = Len::from_mm(mm).show(units, 16);
    match units {
        UnitSystem::Millimetres => text + " mm",
        UnitSystem::Metres => text + " m",
        UnitSystem::FeetInches | UnitSystem::Inches => text,
    }
}
