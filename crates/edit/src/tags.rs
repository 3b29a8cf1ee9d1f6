//! A fixture's sides swapped, and its tag changed wherever it is spoken of.

use std::collections::BTreeSet;

use wyeline_job::Span;
use wyeline_job::is_name;
use wyeline_job::words::PORTS;
use wyeline_network::kinds::DefaultHand;

use crate::draft::Draft;
use crate::edit::Edit;
use crate::fixtures::{line_of, no_tag};
use crate::plan::{Plan, scope};
use crate::{Refusal, Work};

/// Makes the edits that change a fixture's words and stay where it stands.
pub fn apply<'p, 'a>(plan: &'p Plan<'a>, edit: &Edit) -> Result<Work<'p, 'a>, Refusal> {
    match edit {
        Edit::Mirror { tag } => mirror(plan, tag),
        Edit::Tag { tag, to } => rename(plan, tag, to),
        _ => Err(Refusal::new("this changes no fixture", "choose a fixture")),
    }
}

/// Hot and cold stay on their sides of the user, as where a group is mirrored.
fn keeps_its_side(port: &str) -> bool {
    matches!(port, "hot" | "cold")
}

fn mirror<'p, 'a>(plan: &'p Plan<'a>, tag: &str) -> Result<Work<'p, 'a>, Refusal> {
    let told = plan.fixture(tag)?;
    let kind = Plan::kind(&told.kind.text)?;
    let line = line_of(plan, told)?;
    let words = plan.page.words(line);
    let mut draft = Draft::new(&plan.page);
    let mut swapped = false;
    let mut port = "";
    for range in &words {
        match plan.page.cut(range) {
            word if PORTS.contains(&word) => port = word,
            side @ ("left" | "right") if !port.is_empty() && !keeps_its_side(port) => {
                let other = if side == "left" { "right" } else { "left" };
                draft.replace(range.clone(), other);
                swapped = true;
            }
            _ => {}
        }
    }
    // A side that only the kind gives has to be told to be another.
    for row in &kind.port {
        let Some(usual) = row.default.filter(|_| !keeps_its_side(&row.name)) else {
            continue;
        };
        let other = match usual {
            DefaultHand::Left => "right",
            DefaultHand::Right => "left",
        };
        let said = told.ports.iter().find(|said| said.port.text == row.name);
        match said {
            Some(said) if said.hand.is_some() || said.right.is_some() => continue,
            Some(said) => {
                let end = said.port.span.end as usize;
                draft.replace(end..end, format!(" {other}"));
            }
            None => {
                let Some(faces) = words.get(6) else { continue };
                draft.replace(faces.end..faces.end, format!(" {} {other}", row.name));
            }
        }
        swapped = true;
    }
    if !swapped {
        return Err(Refusal::new(
            format!("{tag}, a {}, has the same on both sides", kind.name),
            "tell a port's side first, as in `drain left`",
        ));
    }
    draft.choose(line);
    Ok(Work::new(draft))
}

fn rename<'p, 'a>(plan: &'p Plan<'a>, tag: &str, to: &str) -> Result<Work<'p, 'a>, Refusal> {
    let told = plan.fixture(tag)?;
    if !is_name(to) {
        return Err(no_tag(to));
    }
    let old = plan.page.cut(&Plan::bytes(told.tag.span));
    let placed = plan
        .job
        .fixtures
        .iter()
        .filter(|one| one.tag.span == told.tag.span);
    let all: Vec<&str> = placed.map(|one| one.tag.text.as_str()).collect();
    let mut places: BTreeSet<(u32, u32)> = BTreeSet::new();
    places.insert((told.tag.span.start, told.tag.span.end));
    for (name, span) in spoken(plan) {
        if all.contains(&name) {
            places.insert((span.start, span.end));
        }
    }
    let mut draft = Draft::new(&plan.page);
    for (start, end) in places {
        // In another place it may be `PLACEMENT/TAG`; a `$WORD` is told where the group is placed.
        let range = start as usize..end as usize;
        let told = plan.page.cut(&range);
        if told == old || told.ends_with(&format!("/{old}")) {
            draft.replace(range.end - old.len()..range.end, to);
        }
    }
    for line in 1..=plan.page.count() {
        if plan.page.first_word(line) == "place" {
            given(plan, &mut draft, line, &all, scope(tag).is_empty(), to);
        }
    }
    draft.choose(plan.line(told.span));
    Ok(Work::new(draft))
}

/// The names after `with` in a placement that mean one of the tags.
fn given(
    plan: &Plan<'_>,
    draft: &mut Draft<'_, '_>,
    line: u32,
    tags: &[&str],
    outside: bool,
    to: &str,
) {
    let words = plan.page.words(line);
    for three in words.windows(3) {
        let name = plan.page.cut(&three[2]);
        let meant = tags.contains(&name) && (outside || name.contains('/'));
        if plan.page.cut(&three[0]) == "with" && meant {
            let begin = name.rfind('/').map_or(0, |slash| slash + 1);
            draft.replace(three[2].start + begin..three[2].end, to);
        }
    }
}

/// Every name that a step speaks of, with its place in the text.
fn spoken<'p>(plan: &'p Plan<'_>) -> impl Iterator<Item = (&'p str, Span)> {
    let steps = plan.job.runs.iter().flat_map(|run| &run.steps);
    let names = steps.filter_map(|step| step.kind.speaks_of());
    names.map(|name| (name.text.as_str(), name.span))
}
