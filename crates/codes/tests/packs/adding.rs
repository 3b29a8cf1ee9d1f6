//! A code is added by data alone: the invented one that `docs/adding-a-code.md` writes is read and asked.

use std::fs;
use std::path::Path;

use wyeline_codes::spec::SPECS;
use wyeline_codes::{How, Pack, Use};
use wyeline_units::Size;

use super::common::folder;

const FOLDER: &str = "tests/packs/heron-2020";

fn page() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/adding-a-code.md");
    fs::read_to_string(path).expect("the page")
}

/// The files written in the page: blocks headed `toml NAME`.
fn written(page: &str) -> Vec<(String, String)> {
    page.split("\n```")
        .filter_map(|block| {
            let (head, body) = block.split_once('\n')?;
            let name = head.strip_prefix("toml ")?;
            Some((name.to_owned(), format!("{body}\n")))
        })
        .collect()
}

fn heron() -> Pack {
    let files = written(&page());
    let files: Vec<_> = files
        .iter()
        .map(|(name, text)| (&**name, &**text))
        .collect();
    Pack::read(&files).expect("the code of the page is right")
}

#[test]
fn the_page_writes_the_files_of_the_folder() {
    let held = folder(FOLDER);
    let mut page = written(&page());
    page.sort();
    assert_eq!(page, held);
}

#[test]
fn the_code_of_the_page_answers() {
    // Schedule A of the page: 3 in holds 18 on a branch, 4 in holds 150.
    let heron = heron();
    let size = |text: &str| text.parse::<Size>().expect("a size");
    assert_eq!(
        heron.least_branch(18.0, None).expect("a size").value.size,
        size("3\"")
    );
    let found = heron.least_branch(19.0, None).expect("a size");
    assert_eq!((found.value.size, found.value.allows), (size("4\""), 150.0));
    assert_eq!(found.cite.to_string(), "Heron Bylaw 2020 Schedule A");
}

#[test]
fn its_cells_keep_how_they_were_come_by() {
    // 4 in, tall stack: from memory by the row's remark; the rest of the row was seen.
    let found = heron().stack_sizes(4).expect("rows");
    assert_eq!(found.last().map(|row| row.cite.how), Some(How::Memory));
    let found = heron().stack_sizes(3).expect("rows");
    assert_eq!(found.last().map(|row| row.cite.how), Some(How::Seen));
}

#[test]
fn its_single_values_and_fixtures_answer() {
    let heron = heron();
    assert_eq!(heron.scalar("trap.seal-least").expect("stated").value, 50.0);
    let rise = heron
        .scalar("vent.rise-above-flood-rim")
        .expect("stated")
        .value;
    assert!((rise - 152.4).abs() < 1e-9, "6 in");
    assert_eq!(
        heron
            .drain_load("water-closet", Use::Public)
            .expect("listed")
            .value
            .units,
        5.0
    );
}

#[test]
fn what_it_does_not_hold_is_said() {
    let missing = heron()
        .wet_vent_row("2\"".parse().expect("a size"))
        .expect_err("absent");
    assert_eq!(
        missing.to_string(),
        "Heron Bylaw 2020 Schedule C says nothing of a 2\" wet vent"
    );
    assert_eq!(missing.help, "state the size of the wet vent in the job");
    assert!(heron().drain_load("shower", Use::Private).is_err());
}

#[test]
fn the_page_lists_every_sort_of_table_and_its_columns() {
    let page = page();
    for spec in SPECS {
        let line = page
            .lines()
            .find(|line| line.starts_with(&format!("| `{}` |", spec.name)));
        let line = line.unwrap_or_else(|| panic!("the page does not list {}", spec.name));
        for column in spec.columns {
            assert!(
                line.contains(&format!("`{}`", column.name)),
                "{}: {}",
                spec.name,
                column.name
            );
        }
    }
}

#[test]
fn the_page_lists_every_single_value() {
    let page = page();
    for rule in wyeline_codes::rules::RULES {
        assert!(
            page.contains(&format!("| `{}` |", rule.key)),
            "the page does not list {}",
            rule.key
        );
    }
}

#[test]
fn the_page_lists_every_unit() {
    let page = page();
    for unit in wyeline_codes::unit::UNITS {
        assert!(
            page.contains(&format!("`{}`", unit.name)),
            "the page does not list {}",
            unit.name
        );
    }
}
