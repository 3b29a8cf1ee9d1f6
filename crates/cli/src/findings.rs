//! Findings at their place in the text, and what was not checked: for people as mistakes are shown, for programs as JSON.

use std::collections::BTreeMap;
use std::fmt::Write;

use annotate_snippets::{Level, Renderer};
use serde::Serialize;
use serde_json::{Value, json};
use wyeline_checks::{At, Checked, Finding, rules};
use wyeline_codes::{Cite, Pack};
use wyeline_job::{LineIndex, line_index};
use wyeline_network::Network;
use wyeline_sizing::Sized;

use crate::mistakes::{self, Note, Place};
use crate::table::Table;
use crate::words;

/// All findings, new work before existing, each numbered as the flags on the drawing are; what one line of a
/// group breaks wherever it is placed is told once.
pub fn show(name: &str, text: &str, network: &Network, checked: &Checked) -> String {
    let index = line_index(text);
    let renderer = Renderer::styled();
    let mut out = String::new();
    let mut existing = false;
    let alike = |a: &Finding, b: &Finding| {
        (a.existing, a.span, a.rule) == (b.existing, b.span, b.rule) && a.at != b.at
    };
    let mut number = 1;
    for told in checked.findings.chunk_by(alike) {
        if told[0].existing && !existing {
            existing = true;
            out.push_str("Existing work, as it is told:\n\n");
        }
        let words = render(&renderer, (name, text), &index, network, number, told);
        let _ = writeln!(out, "{words}\n");
        number += told.len();
    }
    out
}

fn render(
    renderer: &Renderer,
    (name, text): (&str, &str),
    index: &LineIndex<'_>,
    network: &Network,
    number: usize,
    told: &[Finding],
) -> String {
    let finding = &told[0];
    let title = match told.len() {
        1 => format!("finding {number}"),
        many => format!("findings {number} to {}", number + many - 1),
    };
    let others = told[1..].iter().map(|one| words::place(network, one.at));
    let also = format!("the same line, the same at {}", words::places(others));
    let by = format!("by {}", words::stands(&finding.cite));
    let rests = format!(
        "rests on what nobody has verified: {}",
        finding.unverified.join("; ")
    );
    let level = if finding.existing {
        Level::WARNING
    } else {
        Level::ERROR
    };
    let place = (finding.span, "");
    let mut group = level
        .with_name(title)
        .primary_title(finding.message.as_str())
        .id(finding.rule)
        .elements(mistakes::excerpts(name, text, index, place, &finding.notes))
        .element(Level::NOTE.no_name().message(by.as_str()));
    if told.len() > 1 {
        group = group.element(Level::NOTE.no_name().message(also.as_str()));
    }
    if !finding.unverified.is_empty() {
        group = group.element(Level::NOTE.message(rests.as_str()));
    }
    if !finding.help.is_empty() {
        group = group.element(Level::HELP.message(finding.help.as_str()));
    }
    renderer.render(&[group])
}

/// `3 findings, 1 of them on existing work`.
pub fn summary(checked: &Checked) -> String {
    let count = |count: usize| match count {
        0 => "no findings".to_owned(),
        1 => "1 finding".to_owned(),
        count => format!("{count} findings"),
    };
    let old = checked.findings.iter().filter(|f| f.existing).count();
    let all = checked.findings.len();
    match old {
        0 => count(all),
        old if old == all => format!("{} on existing work", count(all)),
        old => format!("{}, {old} of them on existing work", count(all)),
    }
}

/// Something that was not checked, with every place where it was not for that reason.
struct Left {
    rule: &'static str,
    why: String,
    places: Vec<At>,
}

/// What was not checked, in the order of the rules, one entry for each reason.
fn left(checked: &Checked) -> Vec<Left> {
    let order: BTreeMap<&str, usize> = rules::ALL
        .iter()
        .enumerate()
        .map(|(at, rule)| (rule.name, at))
        .collect();
    let mut known: BTreeMap<(usize, &str), Left> = BTreeMap::new();
    for one in &checked.unchecked {
        let key = (
            order.get(one.rule).copied().unwrap_or(usize::MAX),
            &*one.why,
        );
        let left = known.entry(key).or_insert_with(|| Left {
            rule: one.rule,
            why: one.why.to_string(),
            places: Vec::new(),
        });
        left.places.push(one.at);
    }
    known.into_values().collect()
}

/// The table of what was not checked, and why: it always stands in a report.
pub fn not_checked(network: &Network, pack: &Pack, sized: &Sized, checked: &Checked) -> String {
    let mut table = Table::new(&["rule", "where", "why"]);
    for one in left(checked) {
        let names = one.places.iter().map(|at| words::place(network, *at));
        table.row(vec![one.rule.to_owned(), words::places(names), one.why]);
    }
    let nowhere: Vec<&str> = checked
        .looked_at
        .iter()
        .filter(|(rule, places)| {
            *places == 0 && !checked.unchecked.iter().any(|one| one.rule == *rule)
        })
        .map(|(rule, _)| *rule)
        .collect();
    let mut text = String::from("Not checked:\n");
    table.write("  ", &mut text);
    if table.is_empty() {
        text.clear();
        text.push_str("Not checked: no rule that was looked at lacked what it needs.\n");
    }
    let mut say = |what: &str, rules: &[&str]| {
        if !rules.is_empty() {
            text.push_str(&words::listed(what, rules));
        }
    };
    say("nothing in this job that they are about", &nowhere);
    say(
        &format!(
            "{} has no such rule, or no value of it is held here",
            pack.document()
        ),
        &checked.not_in_code,
    );
    let mut gaps: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for gap in &sized.gaps {
        gaps.entry(&gap.why)
            .or_default()
            .push(words::gap_place(network, gap.at));
    }
    for (why, names) in gaps {
        let _ = writeln!(
            text,
            "  not sized, {}: {why}",
            words::places(names.into_iter())
        );
    }
    text.push_str("  no rule is about: supports, fire stopping, tests, workmanship, and what the job does not tell\n");
    text
}

/// What was looked at, in words.
pub fn looked_at(checked: &Checked) -> String {
    let rules = checked.looked_at.iter().filter(|(_, places)| *places > 0);
    let (mut count, mut places) = (0, 0);
    for (_, looked) in rules {
        count += 1;
        places += looked;
    }
    format!("{count} rules looked at {places} places")
}

#[derive(Serialize)]
struct InJson<'a> {
    number: usize,
    rule: &'a str,
    message: &'a str,
    at: Value,
    #[serde(flatten)]
    place: Place,
    cite: &'a Cite,
    help: &'a str,
    notes: Vec<Note<'a>>,
    existing: bool,
    unverified: &'a [String],
}

/// What something is about, by its kind and its name.
fn at_json(network: &Network, at: At) -> Value {
    let kind = match at {
        At::Node(_) => "node",
        At::Pipe(_) => "pipe",
        At::Fixture(_) => "fixture",
        At::Job => return json!({ "kind": "job" }),
    };
    let id = match at {
        At::Node(ix) => &network.node(ix).id,
        at => words::place(network, at),
    };
    json!({ "kind": kind, "id": id })
}

/// Findings, what was looked at and what was not, as JSON.
pub fn to_json(text: &str, network: &Network, sized: &Sized, checked: &Checked) -> Value {
    let index = line_index(text);
    let findings: Vec<InJson> = checked
        .findings
        .iter()
        .enumerate()
        .map(|(at, finding)| InJson {
            number: at + 1,
            rule: finding.rule,
            message: &finding.message,
            at: at_json(network, finding.at),
            place: Place::of(&index, finding.span),
            cite: &finding.cite,
            help: &finding.help,
            notes: Note::all(&index, &finding.notes),
            existing: finding.existing,
            unverified: &finding.unverified,
        })
        .collect();
    let unchecked: Vec<Value> = left(checked)
        .into_iter()
        .map(|one| {
            let places: Vec<Value> = one.places.iter().map(|at| at_json(network, *at)).collect();
            json!({ "rule": one.rule, "why": one.why, "at": places })
        })
        .collect();
    let looked_at: serde_json::Map<String, Value> = checked
        .looked_at
        .iter()
        .map(|(rule, places)| ((*rule).to_owned(), json!(places)))
        .collect();
    let gaps: Vec<Value> = sized
        .gaps
        .iter()
        .map(|gap| {
            let at = words::gap_place(network, gap.at);
            json!({ "at": at, "why": gap.why, "help": gap.help })
        })
        .collect();
    json!({
        "findings": findings,
        "unchecked": unchecked,
        "looked_at": looked_at,
        "not_in_code": checked.not_in_code,
        "not_sized": gaps,
    })
}
