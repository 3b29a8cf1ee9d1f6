//! Every mistake the reader knows: the cases stand in `mistakes.txt`.

use std::collections::BTreeSet;

use wyeline_job::{Severity, Span, read, read_bytes};

#[derive(Default)]
struct Case {
    code: String,
    text: String,
    span: Span,
    message: String,
    /// Part of the help; empty where there is none.
    help: String,
}

fn cases() -> Vec<Case> {
    let file = include_str!("mistakes.txt").replace('␀', "\0");
    let blocks = file.split("\n\n").filter(|block| !block.starts_with('#'));
    blocks.map(|block| case(block.trim())).collect()
}

fn case(block: &str) -> Case {
    let mut case = Case::default();
    let mut marked = Vec::new();
    for line in block.lines() {
        match line.split_at(1) {
            ("|", text) => marked.push(text.strip_prefix(' ').unwrap_or(text)),
            ("=", text) => text.trim().clone_into(&mut case.message),
            ("?", text) => text.trim().clone_into(&mut case.help),
            _ => line.clone_into(&mut case.code),
        }
    }
    let marked = marked.join("\n");
    let (before, rest) = marked.split_once('«').expect("an opening mark");
    let (place, after) = rest.split_once('»').expect("a closing mark");
    case.span = Span::new(before.len(), before.len() + place.len());
    case.text = format!("{before}{place}{after}");
    case
}

#[test]
fn each_mistake_is_the_only_one_and_stands_at_its_place() {
    for case in cases() {
        let found = read(&case.text).diagnostics;
        let codes: Vec<&str> = found.iter().map(|mistake| mistake.code).collect();
        assert_eq!(codes, [case.code.as_str()], "in {:?}", case.text);
        assert_eq!(found[0].span, case.span, "{} in {:?}", case.code, case.text);
    }
}

#[test]
fn each_mistake_says_what_is_wrong_and_what_to_do() {
    for case in cases() {
        let found = read(&case.text).diagnostics.remove(0);
        assert_eq!(found.message, case.message);
        match found.help {
            None => assert_eq!(case.help, "", "{} gives no help", case.code),
            Some(help) => {
                assert!(
                    !case.help.is_empty() && help.contains(&case.help),
                    "{}: {help}",
                    case.code
                );
            }
        }
    }
}

#[test]
fn messages_are_lower_case_without_a_full_stop() {
    for case in cases() {
        assert!(
            !case.message.starts_with(char::is_uppercase),
            "{}",
            case.message
        );
        assert!(!case.message.ends_with('.'), "{}", case.message);
    }
}

#[test]
fn only_what_is_probably_not_meant_is_a_warning() {
    let all = cases();
    let warnings: BTreeSet<&str> = all
        .iter()
        .filter(|case| read(&case.text).diagnostics[0].severity == Severity::Warning)
        .map(|case| case.code.as_str())
        .collect();
    assert_eq!(
        warnings,
        BTreeSet::from(["group-not-placed", "word-not-used"])
    );
}

#[test]
fn the_language_page_lists_the_codes_and_each_has_a_case() {
    let page = include_str!("../../../docs/job-language.md");
    let listed: BTreeSet<&str> = page
        .split_once("## Mistakes")
        .expect("a chapter on mistakes")
        .1
        .lines()
        .filter_map(|line| line.strip_prefix("| `")?.split('`').next())
        .collect();
    // These need more than a line: a text of 4 GB, bytes that are no text, a million things, 17 groups (tests of their own).
    let elsewhere = [
        "text-too-long",
        "not-utf8",
        "too-much-placed",
        "nested-too-deep",
    ];
    let all = cases();
    let tested: BTreeSet<&str> = all
        .iter()
        .map(|case| case.code.as_str())
        .chain(elsewhere)
        .collect();
    assert_eq!(listed, tested);
}

#[test]
fn bytes_that_are_not_utf8_are_a_mistake_and_reading_goes_on() {
    // 0xE9 is é in an old one-byte encoding. Before it stand 5 bytes.
    let reading = read_bytes(b"job H\xE9ron\ncode ipc-2021\n");
    assert_eq!(reading.diagnostics.len(), 1);
    assert_eq!(reading.diagnostics[0].code, "not-utf8");
    assert_eq!(
        reading.diagnostics[0].message,
        "byte 5 of the file (0xE9) is not UTF-8"
    );
    assert_eq!(reading.diagnostics[0].span, Span::new(5, 8)); // U+FFFD takes three bytes
    assert_eq!(reading.job.title.job.unwrap().text, "H\u{FFFD}ron");
    assert_eq!(reading.job.code.unwrap().text, "ipc-2021");
}

#[test]
fn all_mistakes_of_a_text_are_reported_in_order() {
    let text = "level main flor 0 slub 4\"\nwall mian 0,0 1,1\ncold c\nstart 0,0 main floor 9\"\neast -5' now";
    let codes: Vec<&str> = read(text)
        .diagnostics
        .iter()
        .map(|mistake| mistake.code)
        .collect();
    let expected = [
        "unknown-word",     // flor
        "unknown-word",     // slub
        "unknown-level",    // mian
        "sign-missing",     // 9"
        "run-not-finished", // the last line as a whole, which begins first
        "not-above-zero",   // -5'
        "unexpected-words", // now
    ];
    assert_eq!(codes, expected);
}

#[test]
fn a_misspelt_run_does_not_spoil_its_steps() {
    let text = "wste w\n  start 0,0 datum\n  east 5'\n  cap\nnote \"n\"";
    let codes: Vec<&str> = read(text)
        .diagnostics
        .iter()
        .map(|mistake| mistake.code)
        .collect();
    assert_eq!(codes, ["unknown-statement"]);
}

#[test]
fn a_run_with_a_misread_step_is_kept_and_marked() {
    let reading = read("cold c\nstart 0,0 datum\neast five\nup 1\ncap");
    assert_eq!(reading.diagnostics.len(), 1);
    assert!(reading.job.runs[0].misread);
    assert_eq!(reading.job.runs[0].steps.len(), 3); // start, up, cap
}
