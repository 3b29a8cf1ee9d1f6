//! Texts far larger or stranger than any job: read to the end, with nothing lost.

use std::fmt::Write;

use wyeline_job::{read, read_bytes, tidy};

#[test]
fn an_empty_file_is_an_empty_job() {
    let reading = read_bytes(b"");
    assert_eq!(reading.diagnostics, []);
    assert_eq!(reading.job, wyeline_job::Job::default());
    assert_eq!(tidy(""), "");
}

#[test]
fn a_hundred_thousand_lines_are_all_read() {
    let mut text = String::from("level main floor 0\n");
    for n in 0..50_000 {
        writeln!(text, "fixture F{n} lavatory main {n}',0' faces south").unwrap();
        writeln!(text, "east to nowhere").unwrap();
    }
    let reading = read(&text);
    assert_eq!(reading.job.fixtures.len(), 50_000);
    assert_eq!(reading.diagnostics.len(), 50_000);
    assert!(
        reading
            .diagnostics
            .iter()
            .all(|mistake| mistake.code == "step-outside-run")
    );
    assert_eq!(tidy(&text).lines().count(), 100_001);
}

#[test]
fn a_long_run_is_one_run() {
    let steps = "  east 1'\n  up 1'\n".repeat(50_000);
    let text = format!("cold c\n  start 0,0 datum\n{steps}  cap\n");
    let reading = read(&text);
    assert_eq!(reading.diagnostics, []);
    assert_eq!(reading.job.runs[0].steps.len(), 100_002); // start, 2 x 50,000 moves, cap
}

#[test]
fn a_line_of_a_megabyte_is_one_line() {
    let corners = " 0',0' 10',0'".repeat(80_000);
    assert!(corners.len() > 1_000_000);
    let reading = read(&format!("level main floor 0\nwall main{corners}"));
    assert_eq!(reading.diagnostics, []);
    assert_eq!(reading.job.walls[0].points.len(), 160_000);
}

#[test]
fn a_word_of_a_megabyte_is_one_mistake_with_a_short_message() {
    for word in [
        "x".repeat(1 << 20),
        "9".repeat(1 << 20),
        "\"".repeat((1 << 20) + 1),
        "½".repeat(1 << 19),
    ] {
        let reading = read(&word);
        assert_eq!(reading.diagnostics.len(), 1);
        assert!(reading.diagnostics[0].message.len() < 300);
        let reading = read(&format!("level main floor {word}"));
        assert!((1..=2).contains(&reading.diagnostics.len()));
    }
}

#[test]
fn unknown_names_by_the_thousand_are_all_reported() {
    let mut text = String::new();
    for n in 0..20_000 {
        writeln!(text, "level L{n} floor {n}\ndoor M{n} 0,0 wide 3'").unwrap();
    }
    assert_eq!(read(&text).diagnostics.len(), 20_000);
}

#[test]
fn placing_without_bound_is_refused() {
    // 1,000 fixtures placed 1,100 times would be 1,100,000.
    let mut text = String::from("level main floor 0\ngroup g\n");
    for n in 0..1_000 {
        writeln!(text, "fixture F{n} lavatory here {n}',0' faces south").unwrap();
    }
    text.push_str("end-group\n");
    for n in 0..1_100 {
        writeln!(text, "place g as P{n} at 0,0 on main").unwrap();
    }
    let reading = read(&text);
    let codes: Vec<&str> = reading
        .diagnostics
        .iter()
        .map(|mistake| mistake.code)
        .collect();
    assert_eq!(codes, ["too-much-placed"]);
}
