//! Checks names once all of the text has been read: levels, groups, and what is told twice.

use std::collections::{HashMap, HashSet};

use crate::diagnostic::{Diagnostic, Span};
use crate::groups::{Group, Parts, Placement};
use crate::model::{Level, Name};
use crate::near;
use crate::placing::Placing;

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
fn with_near<'a>(
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

fn twice(code: &'static str, name: &Name, first: Span, what: &str) -> Diagnostic {
    Diagnostic::mistake(
        code,
        name.span,
        format!("the {what} `{}` is told twice", name.text),
    )
    .expected("expected another name")
    .note(first, "told here first")
}

/// Checks groups and places them all.
pub fn place_all(
    groups: &[Group],
    placements: &[Placement],
    levels: &[Level],
    parts: &mut Parts,
    found: &mut Vec<Diagnostic>,
) {
    let mut known: HashMap<&str, &Group> = HashMap::new();
    for group in groups {
        unique(&group.parts, found);
        if let Some(first) = known.get(group.name.text.as_str()) {
            if !group.name.text.is_empty() {
                found.push(twice(
                    "duplicate-group",
                    &group.name,
                    first.name.span,
                    "group",
                ));
            }
        } else {
            known.insert(&group.name.text, group);
        }
    }
    let storeys: HashMap<&str, usize> = levels
        .iter()
        .enumerate()
        .rev()
        .map(|(storey, level)| (level.name.text.as_str(), storey))
        .collect();
    let mut prefixes: HashMap<&str, Span> = HashMap::new();
    let mut own: HashMap<&str, HashSet<&str>> = HashMap::new();
    let mut spent = 0;
    for placement in placements {
        let prefix = &placement.prefix;
        if let Some(first) = prefixes.get(prefix.text.as_str()) {
            found.push(twice("duplicate-placement", prefix, *first, "placement"));
            continue;
        }
        prefixes.insert(&prefix.text, prefix.span);
        if let Some(group) = known.get(placement.group.text.as_str()) {
            let own = own
                .entry(&group.name.text)
                .or_insert_with(|| group.parts.names().map(|name| name.text.as_str()).collect());
            if !within(&mut spent, group, placement, found) {
                break;
            }
            // An unknown level has been reported where it is named.
            if let Some(&storey) = storeys.get(placement.level.text.as_str()) {
                let mut placing = Placing {
                    group,
                    placement,
                    levels,
                    storey,
                    own,
                    found,
                };
                placing.check_words();
                placing.place(parts);
            }
        } else {
            let name = &placement.group;
            let mistake = Diagnostic::mistake(
                "unknown-group",
                name.span,
                format!("there is no group `{}`", name.text),
            )
            .expected("expected a group");
            let names = groups.iter().map(|group| group.name.text.as_str());
            found.push(with_near(mistake, &name.text, names, "group", found.len()));
        }
    }
    for group in groups.iter().filter(|group| !group.name.text.is_empty()) {
        if !own.contains_key(group.name.text.as_str()) {
            let warning = Diagnostic::warning(
                "group-not-placed",
                group.name.span,
                format!("the group `{}` is never placed", group.name.text),
            )
            .help(format!("place {} as A at 0,0 on LEVEL", group.name.text));
            found.push(warning);
        }
    }
}

/// Most things that placing may make; a tower of 50,000 pipes stays far below.
const MOST_PLACED: usize = 1_000_000;

/// Keeps a small text from growing without bound.
fn within(
    spent: &mut usize,
    group: &Group,
    placement: &Placement,
    found: &mut Vec<Diagnostic>,
) -> bool {
    *spent += group.parts.weight();
    if *spent <= MOST_PLACED {
        return true;
    }
    let mistake = Diagnostic::mistake(
        "too-much-placed",
        placement.span,
        "placing this makes the job too large",
    )
    .expected(format!(
        "expected at most {MOST_PLACED} steps and things in all"
    ))
    .help("split the job into several files");
    found.push(mistake);
    false
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
