//! Mistakes and places of the text as they are written in JSON: lines and columns from 1, columns in characters.

use serde::Serialize;
use wyeline_job::{Diagnostic, LineIndex, Severity, Span};

/// Where a stretch of the text begins and ends, counted from 1.
#[derive(Serialize)]
pub struct Place {
    line: u32,
    column: u32,
    end_line: u32,
    end_column: u32,
}

/// Another place to look at.
#[derive(Serialize)]
pub struct Note<'a> {
    #[serde(flatten)]
    place: Place,
    text: &'a str,
}

/// A mistake or warning as it is written in JSON.
#[derive(Serialize)]
pub struct Mistake<'a> {
    code: &'a str,
    severity: Severity,
    message: &'a str,
    label: &'a str,
    #[serde(flatten)]
    place: Place,
    notes: Vec<Note<'a>>,
    help: Option<&'a str>,
}

impl Place {
    /// The place of a stretch.
    pub fn of(index: &LineIndex<'_>, span: Span) -> Self {
        let (start, end) = index.span(span);
        Self {
            line: start.line,
            column: start.column,
            end_line: end.line,
            end_column: end.column,
        }
    }
}

impl<'a> Note<'a> {
    /// Notes with their places.
    pub fn all(index: &LineIndex<'_>, notes: &'a [(Span, String)]) -> Vec<Self> {
        let notes = notes.iter();
        notes
            .map(|(span, text)| Self {
                place: Place::of(index, *span),
                text,
            })
            .collect()
    }
}

/// Mistakes and warnings with their places in lines and columns.
pub fn list<'a>(index: &LineIndex<'_>, diagnostics: &'a [Diagnostic]) -> Vec<Mistake<'a>> {
    diagnostics
        .iter()
        .map(|diagnostic| Mistake {
            code: diagnostic.code,
            severity: diagnostic.severity,
            message: &diagnostic.message,
            label: &diagnostic.label,
            place: Place::of(index, diagnostic.span),
            notes: Note::all(index, &diagnostic.notes),
            help: diagnostic.help.as_deref(),
        })
        .collect()
}
