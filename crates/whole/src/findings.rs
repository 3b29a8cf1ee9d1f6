//! Findings in the words of a report and as JSON, with what was looked at and what was not checked.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::{Value, json};
use wyeline_checks::{At, Checked, rules};
use wyeline_codes::Cite;
use wyeline_job::line_index;
use wyeline_network::Network;
use wyeline_sizing::Sized;

use crate::places::{Note, Place};
use crate::words;

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
pub struct Left {
    /// The rule's name.
    pub rule: &'static str,
    /// Why not.
    pub why: String,
    /// Where.
    pub places: Vec<At>,
}

/// What was not checked, in the order of the rules, one entry for each reason.
pub fn left(checked: &Checked) -> Vec<Left> {
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
