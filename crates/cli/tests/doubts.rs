//! What reports say of what nobody has verified, of existing pipe, of another rule's formula, and of gas.

mod common;

use common::{root, run_in};
use serde_json::Value;

fn told(verb: &str, more: &[&str], job: &str) -> String {
    let mut arguments = vec![verb, "-"];
    arguments.extend(more);
    let ran = run_in(&root(), &arguments, job.as_bytes());
    assert_ne!(ran.code, 2, "{}", ran.err);
    ran.text().to_owned()
}

fn line<'a>(text: &'a str, start: &str) -> &'a str {
    let found = text
        .lines()
        .find(|line| line.trim_start().starts_with(start));
    found.unwrap_or_else(|| panic!("no line of {start} in\n{text}"))
}

const GAS: &str = "units ft-in\ncode ipc-2021\nlevel main floor 0'\nsupply gas natural pressure 7 in-wc\n\
    gas g\n  start 0',0' main floor +1'\n  east 10'\n  continues \"heater\" load 64000 btu/h\n";

/// A size of gas pipe never stands without its caution, in the tables, the derivation, the check, and as JSON.
#[test]
fn gas_is_for_a_licensed_fitter_to_verify() {
    for (verb, more) in [
        ("size", vec![]),
        ("size", vec!["--pipe", "g/1"]),
        ("size", vec!["--json"]),
        ("size", vec!["--json", "--pipe", "g/1"]),
        ("check", vec![]),
        ("check", vec!["--json"]),
    ] {
        let text = told(verb, &more, GAS);
        assert!(
            text.contains("CAUTION") && text.contains("licensed gas fitter"),
            "{verb} {more:?}\n{text}"
        );
    }
}

const OLD_MAIN: &str = "units ft-in\ncode ipc-2021\nuse private\nlevel main floor 0'\nsupply pressure 60 psi\n\
    cold main\n  start 0',0' main floor +2'\n  existing\n  unverified\n  size 3/4\"\n  material copper\n  east 10'\n  point T\n  east 10'\n  continues \"on\" load 2 wsfu\n\
    cold branch\n  start T\n  material copper\n  north 10'\n  continues \"up\" load 2 wsfu\n";

/// A new branch behind an old main that nobody has verified says so in its own line; the main is marked as existing.
#[test]
fn a_result_names_what_it_rests_on() {
    let text = told("size", &[], OLD_MAIN);
    assert!(
        line(&text, "branch/1").contains("NOT VERIFIED: place and heights of main"),
        "{text}"
    );
    assert!(line(&text, "main/1").contains("existing stated"), "{text}");
    let json: Value = serde_json::from_str(&told("size", &["--json"], OLD_MAIN)).expect("json");
    let pipes = json["pipes"].as_array().expect("pipes");
    let branch = pipes
        .iter()
        .find(|pipe| pipe["id"] == "branch/1")
        .expect("the branch");
    assert_eq!(branch["rests_on"][0], "place and heights of main");
}

/// The same main with as much behind it that 3/4 in is too small: a finding on existing work, apart, that names what it rests on.
#[test]
fn a_finding_on_an_old_main_stands_apart_and_names_its_doubt() {
    let text = told("check", &[], &OLD_MAIN.replace("2 wsfu", "20 wsfu"));
    let existing = text.find("Existing work, as it is told").expect("apart");
    let finding = text.find("[water-pipe-undersized]").expect("a finding");
    assert!(existing < finding, "{text}");
    assert!(
        text.contains("rests on what nobody has verified: place and heights of main"),
        "{text}"
    );
}

/// Under EN 806-3 peaks are marked as by the formula of DIN 1988-300, which is from memory.
#[test]
fn whose_peak_it_is_stands_with_it() {
    let job = "units m\ncode en-12056\nuse private\nlevel main floor 0\n\
        cold s\n  start 0,0 main floor +1\n  material copper\n  east 2\n  continues \"dwelling\" load 12 LU\n";
    let text = told("size", &[], job);
    // 1.48 x 1.2^0.19 - 0.94 = 0.59 l/s.
    assert!(line(&text, "s/1").contains("0.59 l/s*"), "{text}");
    assert!(
        text.contains("* peak by the formula of DIN 1988-300:2012-05 Table 3 (from memory)"),
        "{text}"
    );
}
