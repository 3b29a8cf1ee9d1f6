//! Where a new statement stands: after its kind, in the order of the language.

use wyeline_job::words::{STATEMENTS, system};

use crate::draft::Draft;
use crate::page::Statement;
use crate::plan::Plan;

/// Kinds of statements that stand together, in their order.
fn class(first: &str) -> usize {
    match first {
        "level" | "roof" => 1,
        "wall" | "room" | "door" | "window" => 2,
        "beam" | "girder" | "duct" | "footing" | "slab" | "column" => 3,
        "fixture" => 4,
        "group" | "end-group" => 5,
        "place" => 6,
        word if system(word).is_some() => 7,
        _ => 0,
    }
}

fn rank(first: &str) -> usize {
    let known = STATEMENTS.iter().position(|word| *word == first);
    known.unwrap_or(STATEMENTS.len())
}

/// Statements outside groups, a group as one with its end.
fn outside<'a>(plan: &Plan<'a>) -> Vec<Statement<'a>> {
    let mut all: Vec<Statement<'a>> = Vec::new();
    for one in plan.page.statements() {
        if one.in_group || one.first == "end-group" {
            if let Some(group) = all.last_mut() {
                group.last = one.last;
            }
        } else {
            all.push(one);
        }
    }
    all
}

/// Puts the lines of statements of one kind where that stands, and chooses the first of them, or the last.
pub fn put(plan: &Plan<'_>, draft: &mut Draft<'_, '_>, first: &str, lines: &[String], last: bool) {
    let all = outside(plan);
    let kind = class(first);
    let anchor = all
        .iter()
        .rev()
        .find(|one| one.first == first && kind != 7)
        .or_else(|| {
            let mut same = all.iter().rev();
            same.find(|one| {
                class(one.first) == kind && (kind > 0 || rank(one.first) <= rank(first))
            })
        })
        .or_else(|| {
            let lower = all.iter().filter(|one| class(one.first) < kind);
            lower.max_by_key(|one| (class(one.first), one.line))
        });
    let mut written: Vec<String> = Vec::new();
    let page = &plan.page;
    let mut chosen = if last { lines.len() - 1 } else { 0 };
    let after = if let Some(anchor) = anchor {
        let alone = class(anchor.first) != kind || kind == 7 && !tight(&all);
        if alone {
            written.push(String::new());
            chosen += 1;
        }
        let alike = |line: &String| {
            if anchor.first == first && kind != 7 {
                page.like(line, anchor.line)
            } else {
                line.clone()
            }
        };
        written.extend(lines.iter().map(alike));
        // What follows at once is of another kind.
        let next = anchor.last + 1;
        if alone && next <= page.count() && !page.blank(next) {
            written.push(String::new());
        }
        anchor.last
    } else {
        written.extend(lines.iter().cloned());
        all.first().map_or(page.count(), |next| {
            if class(next.first) != kind {
                written.push(String::new());
            }
            next.line - 1
        })
    };
    draft.insert_after(after, &written, Some(chosen));
}

/// Whether runs follow each other without an empty line.
fn tight(all: &[Statement<'_>]) -> bool {
    let runs = all
        .windows(2)
        .filter(|pair| pair.iter().all(|one| class(one.first) == 7));
    let mut gaps = runs.map(|pair| pair[1].line - pair[0].last);
    gaps.next() == Some(1) && gaps.all(|gap| gap == 1)
}
