//! Mistakes at their place in the text: for people on standard error, for programs as JSON.

use std::io::Write;

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use wyeline_job::{Diagnostic, LineIndex, Severity, Span, line_index};
use wyeline_whole::places::list;

/// More than so many are not read by anybody; the rest are counted.
const MOST: usize = 50;
/// Places farther apart than so many lines are shown one by one.
const APART: u32 = 8;

/// Writes mistakes and warnings on standard error, coloured on a terminal.
pub fn show(name: &str, text: &str, diagnostics: &[Diagnostic]) {
    if diagnostics.is_empty() {
        return;
    }
    let index = line_index(text);
    let renderer = Renderer::styled();
    let mut out = anstream::stderr().lock();
    // Nothing can be said if standard error cannot be written to.
    for diagnostic in diagnostics.iter().take(MOST) {
        let _ = writeln!(
            out,
            "{}\n",
            render(&renderer, name, text, &index, diagnostic)
        );
    }
    if let Some(more) = diagnostics.len().checked_sub(MOST).filter(|more| *more > 0) {
        let _ = writeln!(
            out,
            "and {more} more; `wyeline check --json` lists them all\n"
        );
    }
    let mistakes = diagnostics
        .iter()
        .filter(|diagnostic| diagnostic.severity == Severity::Mistake)
        .count();
    let _ = writeln!(
        out,
        "{name}: {}",
        summary(mistakes, diagnostics.len() - mistakes)
    );
}

/// `2 mistakes, 1 warning`.
pub fn summary(mistakes: usize, warnings: usize) -> String {
    let count = |count: usize, word: &str| match count {
        0 => format!("no {word}s"),
        1 => format!("1 {word}"),
        _ => format!("{count} {word}s"),
    };
    match warnings {
        0 => count(mistakes, "mistake"),
        _ => format!(
            "{}, {}",
            count(mistakes, "mistake"),
            count(warnings, "warning")
        ),
    }
}

/// Says what was chosen where the command line left it open.
pub fn remark(name: &str, remarks: &[String]) {
    let mut out = anstream::stderr().lock();
    for remark in remarks {
        let _ = writeln!(out, "{name}: {remark}");
    }
}

/// Says in words why nothing was done.
pub fn complain(words: &str) {
    let mut out = anstream::stderr().lock();
    let report = [Level::ERROR
        .primary_title(words)
        .elements(Vec::<annotate_snippets::Element>::new())];
    let _ = writeln!(out, "{}", Renderer::styled().render(&report));
}

fn render(
    renderer: &Renderer,
    name: &str,
    text: &str,
    index: &LineIndex<'_>,
    diagnostic: &Diagnostic,
) -> String {
    let level = match diagnostic.severity {
        Severity::Mistake => Level::ERROR.with_name("mistake"),
        Severity::Warning => Level::WARNING,
    };
    let mut group = level
        .primary_title(diagnostic.message.as_str())
        .id(diagnostic.code)
        .elements(excerpts(
            name,
            text,
            index,
            (diagnostic.span, &diagnostic.label),
            &diagnostic.notes,
        ));
    if let Some(help) = &diagnostic.help {
        group = group.element(Level::HELP.message(help.as_str()));
    }
    renderer.render(&[group])
}

/// The lines concerned: one excerpt where the places are near each other, otherwise one for each.
/// Only the lines needed are handed on, so that a long job costs no more than a short one.
pub fn excerpts<'a>(
    name: &'a str,
    text: &'a str,
    index: &LineIndex<'_>,
    (span, label): (Span, &'a str),
    notes: &'a [(Span, String)],
) -> Vec<Snippet<'a, annotate_snippets::Annotation<'a>>> {
    let main = (AnnotationKind::Primary, span, label);
    let notes = notes.iter();
    let notes = notes.map(|(span, words)| (AnnotationKind::Context, *span, words.as_str()));
    let places: Vec<(AnnotationKind, Span, &str)> = std::iter::once(main).chain(notes).collect();
    let lines = |span: Span| (index.line(span.start), index.line(span.end.max(span.start)));
    let (main_first, main_last) = lines(span);
    let near = |span: Span| {
        let (first, last) = lines(span);
        first + APART >= main_first && last <= main_last + APART
    };
    let (together, apart): (Vec<_>, Vec<_>) =
        places.into_iter().partition(|(_, span, _)| near(*span));
    std::iter::once(together)
        .chain(apart.into_iter().map(|place| vec![place]))
        .map(|places| {
            let from = places
                .iter()
                .map(|(_, span, _)| span.start)
                .min()
                .unwrap_or_default();
            let to = places
                .iter()
                .map(|(_, span, _)| span.end)
                .max()
                .unwrap_or_default();
            excerpt(name, text, index.line(from), from, to, &places)
        })
        .collect()
}

fn excerpt<'a>(
    name: &'a str,
    text: &'a str,
    line: u32,
    from: u32,
    to: u32,
    places: &[(AnnotationKind, Span, &'a str)],
) -> Snippet<'a, annotate_snippets::Annotation<'a>> {
    let (from, to) = (
        (from as usize).min(text.len()),
        (to as usize).min(text.len()),
    );
    let begin = text[..from].rfind('\n').map_or(0, |at| at + 1);
    let end = text[to..].find('\n').map_or(text.len(), |at| to + at);
    let mut snippet = Snippet::source(&text[begin..end])
        .path(name)
        .line_start(line as usize);
    for (kind, span, label) in places {
        let (a, b) = (span.start as usize, span.end as usize);
        let (a, b) = (a.clamp(begin, end) - begin, b.clamp(begin, end) - begin);
        let mut annotation = kind.span(a..b);
        if !label.is_empty() {
            annotation = annotation.label(*label);
        }
        snippet = snippet.annotation(annotation);
    }
    snippet
}

/// Mistakes and warnings as a JSON list; lines and columns count from 1, columns in characters.
pub fn to_json(text: &str, diagnostics: &[Diagnostic]) -> String {
    let list = list(&line_index(text), diagnostics);
    let mut json =
        serde_json::to_string_pretty(&list).expect("plain words and numbers are always JSON");
    json.push('\n');
    json
}
