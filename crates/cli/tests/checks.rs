//! `wyeline check` and `wyeline explain`: findings at their place, exit codes, and what was not checked.

mod common;

use common::{root, run, run_in};
use serde_json::Value;

fn check(job: &str) -> common::Ran {
    run_in(&root(), &["check", "-"], job.as_bytes())
}

fn check_json(job: &str) -> (i32, Value) {
    let ran = run_in(&root(), &["check", "-", "--json"], job.as_bytes());
    let json =
        serde_json::from_str(ran.text()).unwrap_or_else(|error| panic!("{error}: {}", ran.err));
    (ran.code, json)
}

/// A lavatory whose 1-1/2 in trap arm is so long, vented at its far end.
fn arm(length: &str) -> String {
    format!(
        "units ft-in\ncode ipc-2021\nslope 1/4 in per ft\nlevel cellar floor -8'\nlevel main floor 0' ceiling 8'\nroof 10'\n\
         fixture LAV1 lavatory main 0',0' faces south\n\
         waste drain\n  start LAV1.tee\n  cap\n\
         waste stack\n  start {length},0' cellar floor -1'\n  size 2\"\n  material pvc\n  up to main floor +1'\n  point TEE\n\
         \x20 size 1-1/2\"\n  end LAV1\n\
         vent up\n  start TEE\n  size 1-1/2\"\n  material pvc\n  up through roof\n"
    )
    .replace("waste drain\n  start LAV1.tee\n  cap\n", "")
}

fn rules(json: &Value) -> Vec<String> {
    let all = json["findings"].as_array().expect("findings");
    all.iter()
        .map(|finding| finding["rule"].as_str().unwrap_or_default().to_owned())
        .collect()
}

/// IPC Table 909.1: a 1-1/2 in trap may be 6 ft from its vent.
#[test]
fn a_trap_arm_of_eight_feet_is_too_long_and_one_of_four_is_not() {
    let (code, long) = check_json(&arm("8'"));
    assert_eq!(code, 1);
    assert!(
        rules(&long).contains(&"trap-arm-length".to_owned()),
        "{long:#}"
    );
    let (_, short) = check_json(&arm("4'"));
    assert!(
        !rules(&short).contains(&"trap-arm-length".to_owned()),
        "{short:#}"
    );
}

#[test]
fn a_finding_is_shown_as_a_mistake_is_with_the_section_and_a_way_out() {
    let ran = check(&arm("8'"));
    assert_eq!(ran.code, 1);
    let text = ran.text();
    assert!(text.contains("[trap-arm-length]"), "{text}");
    // The line of the fixture, the 7th, is shown.
    assert!(text.contains("standard input:7:1"), "{text}");
    assert!(text.contains("fixture LAV1 lavatory main"), "{text}");
    assert!(text.contains("by IPC 2021"), "{text}");
    assert!(text.contains("help: "), "{text}");
    assert!(
        !text.contains('\x1b'),
        "no colour where there is no terminal"
    );
}

#[test]
fn a_finding_in_json_has_its_number_place_and_source() {
    let (_, json) = check_json(&arm("8'"));
    let all = json["findings"].as_array().expect("findings");
    for (at, finding) in all.iter().enumerate() {
        assert_eq!(finding["number"], at + 1);
        assert!(finding["line"].as_u64().is_some_and(|line| line >= 1));
        for field in ["document", "place", "how"] {
            assert!(finding["cite"][field].is_string(), "{finding:#}");
        }
        assert!(finding["at"]["kind"].is_string());
    }
}

#[test]
fn what_was_not_checked_is_always_told() {
    for job in [
        "code ipc-2021\nlevel main floor 0'\n",
        &arm("4'"),
        &arm("8'"),
    ] {
        let ran = check(job);
        assert!(ran.text().contains("Not checked"), "{}", ran.text());
        assert!(
            ran.text().contains("no rule is about: supports"),
            "{}",
            ran.text()
        );
        let (_, json) = check_json(job);
        assert!(json["unchecked"].is_array() && json["not_in_code"].is_array());
    }
}

#[test]
fn a_job_in_which_nothing_is_found_ends_with_0() {
    let ran = check("code ipc-2021\nlevel main floor 0'\n");
    assert_eq!((ran.code, ran.err.as_str()), (0, ""));
    assert!(ran.text().contains("no findings"), "{}", ran.text());
}

/// An exit code of 0 would say that it was checked.
#[test]
fn a_job_without_a_code_does_not_end_with_0() {
    let ran = check("level main floor 0'\n");
    assert_eq!(ran.code, 1);
    assert!(ran.err.contains("names no code"), "{}", ran.err);
    assert!(ran.text().contains("Not checked: any rule of a code"));
    let with = run_in(
        &root(),
        &["check", "-", "--code", "ipc-2021"],
        b"level main floor 0'\n",
    );
    assert_eq!(with.code, 0, "{}", with.err);
}

#[test]
fn an_unknown_code_is_a_mistake_at_its_place() {
    let ran = check("units ft-in\ncode ipc-2012\n");
    assert_eq!(ran.code, 1);
    assert!(ran.err.contains("standard input:2:6"), "{}", ran.err);
    assert!(ran.err.contains("did you mean `ipc-2021`?"), "{}", ran.err);
}

#[test]
fn a_job_that_cannot_be_read_ends_with_2() {
    assert_eq!(run(&["check", "examples/nowhere.wye"]).code, 2);
}

/// Work that is already there is told apart, after the rest.
#[test]
fn existing_work_is_told_apart() {
    let job = arm("8'")
        .replace("  size 2\"", "  existing\n  size 2\"")
        .replace("faces south\n", "faces south existing\n");
    let ran = check(&job);
    let text = ran.text();
    assert!(text.contains("Existing work, as it is told:"), "{text}");
    let (_, json) = check_json(&job);
    let old: Vec<bool> = json["findings"]
        .as_array()
        .expect("findings")
        .iter()
        .map(|finding| finding["existing"].as_bool().unwrap_or_default())
        .collect();
    assert!(old.is_sorted(), "{old:?}");
    assert!(old.contains(&true), "{old:?}");
}

#[test]
fn every_rule_that_check_names_can_be_explained() {
    let list = run(&["explain"]);
    let (_, json) = check_json("code ipc-2021\nlevel main floor 0'\n");
    let looked_at = json["looked_at"].as_object().expect("rules");
    let others = json["not_in_code"].as_array().expect("rules");
    let names = looked_at.keys().map(String::as_str);
    let names: Vec<&str> = names
        .chain(others.iter().filter_map(Value::as_str))
        .collect();
    assert!(names.len() >= 40, "{}", names.len());
    for name in names {
        assert!(list.text().contains(name), "{name}");
        let page = run(&["explain", name]);
        assert_eq!(page.code, 0, "{name}: {}", page.err);
        assert!(
            page.text().starts_with(&format!("# {name}\n")),
            "{}",
            page.text()
        );
    }
}

#[test]
fn a_rule_that_is_nearly_named_is_guessed() {
    let ran = run(&["explain", "trap-arm-lenght"]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err.contains("did you mean `trap-arm-length`?"),
        "{}",
        ran.err
    );
}

fn draw(job: &str, options: &[&str]) -> (String, String) {
    let mut arguments = vec!["draw", "-", "--format", "svg", "--sheet", "1", "-o", "-"];
    arguments.extend(options);
    let ran = run_in(&root(), &arguments, job.as_bytes());
    assert_eq!(ran.code, 0, "{}", ran.err);
    (ran.text().to_owned(), ran.err)
}

#[test]
fn each_finding_is_a_flag_on_the_drawing_and_a_line_of_its_list() {
    let job = arm("8'");
    let (_, json) = check_json(&job);
    let (sheet, said) = draw(&job, &[]);
    assert!(said.contains("flagged"), "{said}");
    assert!(sheet.contains("Flags: what breaks a rule, by number"));
    for finding in json["findings"].as_array().expect("findings") {
        let message = finding["message"].as_str().expect("a message");
        // The list may break the line anywhere; its first words stand together.
        let first: Vec<&str> = message.split_whitespace().take(3).collect();
        let first = first.join(" ").replace('&', "&amp;");
        assert!(sheet.contains(&first), "{first}");
    }
    // Each that has a place stands once, in a hexagon: the only label marks of that pen.
    let hexagons = |sheet: &str| {
        let marks = sheet
            .lines()
            .filter(|line| line.contains("class=\"label-mark\""));
        marks
            .filter(|line| line.contains("stroke-width=\"0.5\""))
            .count()
    };
    let findings = json["findings"].as_array().expect("findings");
    let placed = findings
        .iter()
        .filter(|finding| finding["at"]["kind"] != "job");
    assert_eq!(hexagons(&sheet), placed.count());
    let (plain, said) = draw(&job, &["--flags", "off"]);
    assert!(!plain.contains("Flags: what breaks a rule") && !said.contains("flagged"));
    assert_eq!(hexagons(&plain), 0);
}

/// The stack's 2 in are stated; with that line gone its size is worked out, and carries a dagger.
#[test]
fn a_size_that_nobody_stated_is_worked_out_and_marked() {
    let job = arm("4'")
        .replace("  size 2\"\n", "")
        .replace("  size 1-1/2\"\n  end", "  end");
    let (sheet, _) = draw(&job, &[]);
    assert!(sheet.contains('\u{2020}'), "a dagger");
    assert!(sheet.contains("size worked out by IPC 2021: nobody stated it."));
    let (stated, _) = draw(&job, &["--sizes", "stated"]);
    assert!(!stated.contains('\u{2020}'));
}

#[test]
fn loads_are_drawn_where_they_are_asked_for() {
    let (without, _) = draw(&arm("4'"), &[]);
    assert!(!without.contains("1 dfu"));
    // IPC Table 709.1: a lavatory counts 1.
    let (with, _) = draw(&arm("4'"), &["--loads"]);
    assert!(with.contains("1 dfu"));
}

/// A group of one closet and one lavatory 24 in apart (IPC 405.3.1 asks for 30), placed three times: one line of the text, told
/// once with the numbers that its flags have; as JSON three findings.
#[test]
fn what_a_line_of_a_group_breaks_is_told_once() {
    let job = "units ft-in\ncode ipc-2021\nlevel main floor 0' ceiling 8'\n\
        group bath\n  fixture WC  water-closet here 3',0' faces north\n  fixture LAV lavatory here 5',0' faces north\nend-group\n\
        place bath as A at 0',0' on main\nplace bath as B at 20',0' on main\nplace bath as C at 40',0' on main\n";
    let ran = check(job);
    assert_eq!(
        ran.text().matches("[fixture-apart]").count(),
        1,
        "{}",
        ran.text()
    );
    assert!(
        ran.text().contains("findings 1 to 3[fixture-apart]"),
        "{}",
        ran.text()
    );
    assert!(
        ran.text().contains("the same line, the same at B/"),
        "{}",
        ran.text()
    );
    let (_, json) = check_json(job);
    assert_eq!(rules(&json), ["fixture-apart"; 3]);
}

/// IPC 405.3.1 asks for 15 in beside a closet, which stands 16 in from the wall: fine. A local 18 in is not kept, and the finding and the
/// report name the ordinance; a slip in the figure's name is told at its place.
#[test]
fn an_amended_figure_of_a_rule_holds_in_its_place() {
    let job = |amend: &str| {
        format!(
            "units ft-in\ncode ipc-2021\n{amend}level main floor 0' ceiling 8'\nwall main 0',0' 10',0' 10',10' 0',10' 0',0'\n\
             fixture WC1 water-closet main 1'4\",0' faces north\n"
        )
    };
    assert!(!check(&job("")).text().contains("[fixture-side]"));
    let amended = check(&job(
        "amend limits fixture-side 18 in by \"County ordinance 12\"\n",
    ));
    assert!(
        amended.text().contains("[fixture-side]"),
        "{}",
        amended.text()
    );
    assert!(
        amended.text().contains(
            "local amendment: limits fixture-side: 18 in instead of 15 in (IPC 2021 405.3.1), by County ordinance 12"
        ),
        "{}",
        amended.text()
    );
    let slip = check(&job(
        "amend limits fixture-sdie 18 in by \"County ordinance 12\"\n",
    ));
    assert!(
        slip.err.contains("did you mean `fixture-side`?"),
        "{}",
        slip.err
    );
}
