//! Checks names once all of the text has been read: levels, and what is told twice.

use std::collections::HashMap;

use crate::diagnostic::{Diagnostic, Span};
use crate::groups::Parts;
use crate::model::{Level, Name};
use crate::near;

/// After so many mistakes the search for near names is given up, lest it take longer than all the rest.
const MOST_SEARCHED: usize = 200;
/// Names looked at in such a search.
const MOST_NAMES: usize = 2_000;

/// Levels told twice, and levels spoken of that nobody told.
pub fn levels(told: &[Level], spoken: &[Name], found: &mut Vec<Diagnostic>) {
    let mut known: HashMap<&str, Span> = HashMap::new();
    for level in told {
        let name = &level.name;
        if let Some(first) = known.get(name.text.as_str()) {
            found.push(twice("duplicate-level", name, *first, "level"));
        } else {
            known.insert(&name.text, name.span);
        }
    }
    for name in spoken
        .iter()
        .filter(|name| !known.contains_key(name.text.as_str()))
    {
        let mistake = Diagnostic::mistake(
            "unknown-level",
            name.span,
            format!("there is no level `{}`", name.text),
        )
        .expected("expected a level");
        let names = told.iter().map(|level| level.name.text.as_str());
        found.push(with_near(mistake, &name.text, names, "level", found.len()));
    }
}

/// Adds what may have been meant, or all there are.
pub fn with_near<'a>(
    mistake: Diagnostic,
    text: &str,
    names: impl Iterator<Item = &'a str> + Clone,
    what: &str,
    reported: usize,
) -> Diagnostic {
    if reported > MOST_SEARCHED {
        return mistake;
    }
    let names = names.take(MOST_NAMES);
    if let Some(help) = near::did_you_mean(text, names.clone()) {
        return mistake.help(help);
    }
    let all: Vec<&str> = names.take(9).collect();
    match all.len() {
        0 => mistake.help(format!("no {what} is told in this job")),
        1..=8 => mistake.help(format!("{what}s told: {}", all.join(", "))),
        _ => mistake,
    }
}

/// A name told twice; `first` is where it stands before.
pub fn twice(code: &'static str, name: &Name, first: Span, what: &str) -> Diagnostic {
    Diagnostic::mistake(
        code,
        name.span,
        format!("the {what} `{}` is told twice", name.text),
    )
    .expected("expected another name")
    .note(first, "told here first")
}

/// Tags, points and runs told twice.
pub fn unique(parts: &Parts, found: &mut Vec<Diagnostic>) {
    let mut tags: HashMap<&str, Span> = HashMap::new();
    for name in parts.names() {
        if let Some(first) = tags.get(name.text.as_str()) {
            found.push(twice("duplicate-tag", name, *first, "name"));
        } else {
            tags.insert(&name.text, name.span);
        }
    }
    let mut runs: HashMap<&str, Span> = HashMap::new();
    for run in &parts.runs {
        if let Some(first) = runs.get(run.name.text.as_str()) {
            found.push(twice("duplicate-run", &run.name, *first, "run"));
        } else {
            runs.insert(&run.name.text, run.name.span);
        }
    }
}

/// Sorts by place, and keeps one of those that a group's placements repeat.
pub fn in_order(found: &mut Vec<Diagnostic>) {
    found.sort_by_key(|diagnostic| (diagnostic.span, diagnostic.code));
    found.dedup_by(|later, first| {
        later.span == first.span && later.code == first.code && later.notes == first.notes
    });
}
