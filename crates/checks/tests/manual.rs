//! The rules as a whole: every one explained, cited and tested; the manual's pages made from them.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use wyeline_checks::rules::ALL;
use wyeline_checks::{page, pages};
use wyeline_codes::Pack;

fn source(rule: &str) -> String {
    let name = rule.replace('-', "_");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("src/rules/{name}.rs"));
    fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// Each rule stands in a file of its own name; each file of the folder is a listed rule or helps one.
#[test]
fn one_file_for_each_rule() {
    let mut names = BTreeSet::new();
    for rule in ALL {
        assert!(names.insert(rule.name), "{} stands twice", rule.name);
        assert!(
            source(rule.name).contains(&format!("name: \"{}\"", rule.name)),
            "{}",
            rule.name
        );
    }
    assert!(ALL.len() >= 40, "{} rules", ALL.len());
}

/// A page says why, what is measured and what is let through: three paragraphs at least; the title is one sentence.
#[test]
fn every_rule_is_explained() {
    for rule in ALL {
        let paragraphs = rule.page.split("\n\n").count();
        assert!(paragraphs >= 3, "{}: {paragraphs} paragraphs", rule.name);
        assert!(
            rule.title.ends_with('.') && rule.title.matches(". ").count() == 0,
            "{}",
            rule.name
        );
    }
}

/// At least one code says each rule, with document and place.
#[test]
fn every_rule_is_cited() {
    for rule in ALL {
        let cites: Vec<_> = Pack::all().iter().filter_map(rule.cite).collect();
        assert!(!cites.is_empty(), "no code says {}", rule.name);
        for cite in cites {
            assert!(
                !cite.document.is_empty() && !cite.place.is_empty(),
                "{}",
                rule.name
            );
        }
    }
}

/// Every rule's file tests that it speaks and that it is silent: a test counts or takes what was found, and another (or the
/// same) finds nothing.
#[test]
fn every_rule_is_tested() {
    for rule in ALL {
        let text = source(rule.name);
        let tests = text
            .split_once("#[cfg(test)]")
            .map_or("", |(_, tests)| tests);
        let any = |words: &[&str]| words.iter().any(|word| tests.contains(word));
        assert!(tests.contains("#[test]"), "{} has no test", rule.name);
        assert!(
            any(&["one(", ".len()", "found[0]", "findings[0]"]),
            "{} is never heard",
            rule.name
        );
        assert!(
            any(&["silent(", "is_empty()", ", 0)"]),
            "{} is never silent",
            rule.name
        );
    }
}

/// A page names every code that is held, whether it has the rule or not.
#[test]
fn pages_name_every_code() {
    let all = pages();
    assert_eq!(all.len(), ALL.len());
    for (name, text) in all {
        assert!(text.starts_with(&format!("# {name}\n\n")), "{name}");
        for pack in Pack::all() {
            assert!(
                text.contains(&format!("| {} |", pack.name())),
                "{name}: {}",
                pack.name()
            );
        }
    }
    assert!(page(ALL[0]).contains("| code | where it stands |"));
}
