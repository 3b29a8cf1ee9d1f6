//! The verbs that draw nothing, their output and exit codes.

mod common;

use std::fs;

use common::{examples, run, run_in};

const GOOD: &str = "examples/heron-cottage.wye";
const BAD: &str = "examples/mistakes.wye";

#[test]
fn check_is_content_with_a_good_job() {
    let ran = run(&["check", "examples/half-bath.wye"]);
    assert_eq!((ran.code, ran.err.as_str()), (0, ""), "{}", ran.text());
    assert!(
        ran.text().contains("examples/half-bath.wye: no findings"),
        "{}",
        ran.text()
    );
}

/// The place is shown as the trade of compilers does: file, line, column, and the line itself underlined.
#[test]
fn check_shows_a_mistake_at_its_place() {
    let job = "units ft-in\nlevel main floor 0'\nfixture WC1 water-closet mian 0',3' faces east\n";
    let ran = run_in(&common::root(), &["check", "-"], job.as_bytes());
    assert_eq!(ran.code, 1);
    // Line 3, and `mian` begins after `fixture WC1 water-closet `: 7 + 1 + 3 + 1 + 12 + 1 = 25 characters.
    assert!(ran.err.contains("standard input:3:26"), "{}", ran.err);
    assert!(
        ran.err
            .contains("fixture WC1 water-closet mian 0',3' faces east"),
        "{}",
        ran.err
    );
    assert!(ran.err.contains("^^^^"), "{}", ran.err);
    assert!(ran.err.contains("did you mean `main`?"), "{}", ran.err);
    assert!(
        !ran.err.contains('\x1b'),
        "no colour where there is no terminal"
    );
}

#[test]
fn check_finds_many_mistakes_in_one_go() {
    let ran = run(&["check", BAD, "--json"]);
    assert_eq!(ran.code, 1);
    let all: serde_json::Value = serde_json::from_str(ran.text()).expect("JSON");
    let list = all["mistakes"].as_array().expect("a list");
    let lines: std::collections::BTreeSet<u64> = list
        .iter()
        .map(|mistake| mistake["line"].as_u64().expect("a line"))
        .collect();
    // Every line of the example that explains a mistake in a remark at its end has one.
    let text = fs::read_to_string(common::root().join(BAD)).unwrap();
    for (at, line) in text.lines().enumerate() {
        let says = line.split(" #").next().unwrap_or_default();
        if line.contains(" # ") && !says.trim().is_empty() {
            assert!(lines.contains(&(at as u64 + 1)), "line {}: {line}", at + 1);
        }
    }
}

/// Columns count characters, not bytes: `é` is two bytes.
#[test]
fn columns_in_json_count_characters() {
    let job = "note \"café\" nonsense\n";
    let ran = run_in(&common::root(), &["check", "-", "--json"], job.as_bytes());
    let all: serde_json::Value = serde_json::from_str(ran.text()).unwrap();
    let list: Vec<&serde_json::Value> = all["mistakes"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|mistake| mistake["code"] != "no-code")
        .collect();
    // `note "café" ` is 4 + 1 + 6 + 1 = 12 characters.
    assert_eq!(
        (&list[0]["line"], &list[0]["column"]),
        (&1.into(), &13.into())
    );
}

#[test]
fn bytes_that_are_no_text_are_a_mistake_not_a_crash() {
    let ran = run_in(
        &common::root(),
        &["check", "-"],
        b"job \xff\xfe\nlevel main floor 0'\n",
    );
    assert_eq!(ran.code, 1);
    assert!(ran.err.contains("not UTF-8"), "{}", ran.err);
}

#[test]
fn network_prints_a_table() {
    let ran = run(&["network", GOOD]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.text().contains("house-drain"), "{}", ran.text());
}

#[test]
fn network_as_json_has_both_heights_of_every_node() {
    let ran = run(&["network", GOOD, "--json"]);
    let network: serde_json::Value = serde_json::from_str(ran.text()).unwrap();
    let nodes = network["nodes"].as_array().unwrap();
    assert!(!nodes.is_empty());
    for node in nodes {
        assert!(node["z"].is_f64() && node["z_drawn"].is_f64(), "{node}");
    }
}

#[test]
fn tidy_prints_what_tidy_check_is_content_with() {
    let folder = tempfile::tempdir().unwrap();
    let untidy = "level   main floor   0'\n      roof 12'   # flat\n";
    let tidied = run_in(folder.path(), &["tidy", "-"], untidy.as_bytes());
    assert_eq!(tidied.code, 0, "{}", tidied.err);
    assert_eq!(
        run_in(folder.path(), &["tidy", "--check", "-"], untidy.as_bytes()).code,
        1
    );
    assert_eq!(
        run_in(folder.path(), &["tidy", "--check", "-"], &tidied.out).code,
        0
    );
}

#[test]
fn tidy_writes_the_file_itself_when_told_to() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("job.wye");
    fs::write(&file, "level   main floor   0'\n").unwrap();
    assert_eq!(
        run_in(folder.path(), &["tidy", "-w", "job.wye"], b"").code,
        0
    );
    assert_eq!(
        run_in(folder.path(), &["tidy", "--check", "job.wye"], b"").code,
        0
    );
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn best_names_a_corner_and_the_reason() {
    let ran = run(&["best", GOOD]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let first = ran.text().lines().next().unwrap();
    let (corner, reason) = first.split_once(": ").expect("corner: reason");
    assert!(
        ["south-west", "south-east", "north-east", "north-west"].contains(&corner),
        "{first}"
    );
    assert!(reason.len() > 10, "{first}");
}

#[test]
fn example_prints_the_file_that_is_shipped() {
    for name in examples() {
        let ran = run(&["example", &name]);
        assert_eq!(ran.code, 0);
        assert!(
            ran.out == fs::read(common::root().join(format!("examples/{name}.wye"))).unwrap(),
            "{name}"
        );
    }
}

#[test]
fn example_lists_the_names() {
    let ran = run(&["example"]);
    let listed: Vec<&str> = ran
        .text()
        .lines()
        .filter_map(|line| line.split_whitespace().next())
        .collect();
    for name in examples() {
        assert!(listed.contains(&name.as_str()), "{name}");
    }
}

#[test]
fn an_example_that_is_nearly_named_is_guessed() {
    let ran = run(&["example", "heron-cotage"]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err.contains("did you mean `heron-cottage`?"),
        "{}",
        ran.err
    );
}

#[test]
fn completions_name_every_verb() {
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let ran = run(&["completions", shell]);
        assert_eq!(ran.code, 0);
        for verb in [
            "draw", "network", "size", "check", "explain", "tidy", "best", "example",
        ] {
            assert!(ran.text().contains(verb), "{shell}: {verb}");
        }
    }
}

#[test]
fn every_help_page_has_an_example() {
    for verb in [
        "draw",
        "network",
        "size",
        "check",
        "explain",
        "tidy",
        "best",
        "example",
        "completions",
    ] {
        let ran = run(&[verb, "--help"]);
        assert_eq!(ran.code, 0);
        assert!(
            ran.text().contains(&format!("  wyeline {verb}")),
            "{}",
            ran.text()
        );
    }
}

#[test]
fn a_wrong_command_line_is_told_with_exit_code_2() {
    assert_eq!(run(&["drwa"]).code, 2);
    assert_eq!(
        run(&["draw", GOOD, "-o", "x.svg", "--corner", "middle"]).code,
        2
    );
    assert_eq!(
        run(&["draw", GOOD, "-o", "x.svg", "--scale", "one to fifty"]).code,
        2
    );
}
