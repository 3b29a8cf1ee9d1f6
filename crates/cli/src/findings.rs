//! Findings at their place in the text, and what was not checked: for people as mistakes are shown, for programs as JSON.

use std::collections::BTreeMap;
use std::fmt::Write;

use annotate_snippets::{Level, Renderer};
use wyeline_checks::{Checked, Finding};
use wyeline_codes::Pack;
use wyeline_job::{LineIndex, line_index};
use wyeline_network::Network;
use wyeline_sizing::Sized;

use wyeline_whole::findings::left;
use wyeline_whole::words;

use crate::mistakes;
use crate::table::Table;

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
