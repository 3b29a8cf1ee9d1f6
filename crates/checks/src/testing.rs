//! Reads a job, sizes it and lets one rule look at it: what the tests of the rules share.

use wyeline_codes::{Amendment, Pack};
use wyeline_job::{Severity, Span};

use crate::context::Context;
use crate::finding::{Finding, Unchecked};
use crate::rule::{Said, look};
use crate::rules;

/// What each job of a test begins with.
const BEFORE: &str = "job test\nunits ft-in\nslope 1/4 in per ft\n\
     level cellar floor -10' ceiling 8'\nlevel main floor 0' ceiling 8'\nlevel upper floor 10' ceiling 8'\nroof 20'\n";

/// What a rule says of a job, by a code. The job is told after the units and a level `main` at 0 with
/// a ceiling at 8 ft, a level `upper` at 10 ft and a flat roof at 20 ft.
pub fn said_by(code: &str, body: &str, rule: &str) -> Said {
    let text = format!("{BEFORE}{body}");
    whole(code, &text, rule)
}

/// What a rule says of a job, by a code with one of its single values amended; nothing where the rule does not hold then.
pub fn amended(code: &str, (key, value): (&str, &str), body: &str, rule: &str) -> Option<Said> {
    let pack = Pack::named(code).expect("the code is held");
    let amendment = Amendment {
        table: "rules".to_owned(),
        key: key.to_owned(),
        value: value.to_owned(),
        unit: String::new(),
        by: "a local ordinance".to_owned(),
        span: Span { start: 0, end: 0 },
    };
    let (pack, mistakes) = pack.amended(&[amendment]);
    assert!(mistakes.is_empty(), "{mistakes:#?}");
    by_pack(&pack, &format!("{BEFORE}{body}"), rule)
}

/// What a rule says of a job told in full.
pub fn whole(code: &str, text: &str, rule: &str) -> Said {
    let pack = Pack::named(code).expect("the code is held");
    by_pack(pack, text, rule).expect("the code has this rule")
}

fn by_pack(pack: &Pack, text: &str, rule: &str) -> Option<Said> {
    let reading = wyeline_job::read(text);
    assert!(
        reading.diagnostics.is_empty(),
        "the text is mistaken: {:#?}",
        reading.diagnostics
    );
    let built = wyeline_network::build(&reading.job, text);
    let mut mistakes = built.diagnostics.iter();
    if let Some(mistake) = mistakes.find(|d| d.severity == Severity::Mistake) {
        panic!("{mistake:#?}");
    }
    let sized = wyeline_sizing::size(&reading.job, &built.network, pack);
    let context = Context::new(&reading.job, &built.network, &sized, pack);
    let all = rules::ALL.iter();
    let mut all = all.filter(|known| known.name == rule);
    let rule = all.next().expect("the rule is listed");
    look(rule, &context)
}

/// What breaks a rule in a job, by the IPC.
pub fn fires(body: &str, rule: &str) -> Vec<Finding> {
    said_by("ipc-2021", body, rule).findings
}

/// What breaks a rule in a job, by the UPC.
pub fn fires_upc(body: &str, rule: &str) -> Vec<Finding> {
    said_by("upc-2021", body, rule).findings
}

/// The one finding of a rule in a job, by the IPC.
pub fn one(body: &str, rule: &str) -> Finding {
    let mut found = fires(body, rule);
    assert_eq!(found.len(), 1, "{found:#?}");
    found.remove(0)
}

/// A rule that looked somewhere and found nothing, by the IPC.
pub fn silent(body: &str, rule: &str) {
    let said = said_by("ipc-2021", body, rule);
    assert!(said.findings.is_empty(), "{:#?}", said.findings);
    assert!(said.places > 0, "it looked nowhere: {:#?}", said.unchecked);
}

/// Where a rule could not look, by the IPC.
pub fn unchecked(body: &str, rule: &str) -> Vec<Unchecked> {
    said_by("ipc-2021", body, rule).unchecked
}
