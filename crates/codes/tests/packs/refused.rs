//! Broken copies of the real data files are refused, each with the file and the row.

use wyeline_codes::{BadData, Pack};

use super::common::folder;

/// The files of a code as they stand in its folder.
fn files(code: &str) -> Vec<(String, String)> {
    folder(&format!("data/{code}"))
}

fn read(files: &[(String, String)]) -> Result<Pack, Vec<BadData>> {
    let files: Vec<_> = files
        .iter()
        .map(|(name, text)| (&**name, &**text))
        .collect();
    Pack::read(&files)
}

/// Breaks one file of the code by putting one text in place of another, and gives what is said.
#[track_caller]
fn broken(code: &str, file: &str, from: &str, to: &str) -> Vec<String> {
    let mut files = files(code);
    let (_, text) = files
        .iter_mut()
        .find(|(name, _)| name == file)
        .expect("the file");
    assert_eq!(
        text.matches(from).count(),
        1,
        "`{from}` stands once in {file}"
    );
    *text = text.replace(from, to);
    let faults = read(&files).expect_err("it is refused");
    faults.iter().map(ToString::to_string).collect()
}

#[track_caller]
fn check(code: &str, file: &str, from: &str, to: &str, expected: &str) {
    let said = broken(code, file, from, to);
    assert!(said.iter().any(|line| line == expected), "{said:#?}");
}

#[test]
fn the_files_as_they_stand_are_accepted() {
    for code in ["ipc-2021", "upc-2021", "en-12056", "npc-2020"] {
        assert!(read(&files(code)).is_ok(), "{code}");
    }
}

#[test]
fn a_missing_row_is_named_by_its_size() {
    check(
        "ipc-2021",
        "branches-and-stacks.toml",
        "  ['4\"', 160, 90, 240, 500],\n",
        "",
        "branches-and-stacks.toml, row 5: the row for 4\" is missing before this one",
    );
}

#[test]
fn a_missing_row_is_noticed_where_sizes_do_not_tell() {
    check(
        "ipc-2021",
        "demand.toml",
        "  [60, 32, 54, { seen = [\"tank\"] }],\n",
        "",
        "demand.toml, row 52: a row is missing or too many: `count` says 52, 51 stand here",
    );
}

#[test]
fn a_line_that_fixtures_name_must_stand_in_its_table() {
    let said = broken(
        "ipc-2021",
        "supply-sizes.toml",
        "\"shower\", \"Shower, single head\"",
        "\"showers\", \"Shower, single head\"",
    );
    let rows: Vec<_> = said
        .iter()
        .filter(|line| line.contains("line `shower` is missing in table `supply-sizes`"))
        .collect();
    assert_eq!(rows.len(), 2, "the shower and its variant: {said:#?}");
    assert!(
        rows.iter()
            .all(|line| line.starts_with("fixtures.toml, row "))
    );
}

#[test]
fn a_column_must_not_fall_where_loads_rise_with_size() {
    check(
        "ipc-2021",
        "branches-and-stacks.toml",
        "['4\"', 160, 90, 240, 500]",
        "['4\"', 16, 90, 240, 500]",
        "branches-and-stacks.toml, row 5: column `branch` falls from 20 to 16",
    );
}

#[test]
fn a_row_must_not_fall_where_steeper_drains_hold_more() {
    check(
        "ipc-2021",
        "building-drains.toml",
        "['3\"', \"-\", 36, 42, 50]",
        "['3\"', \"-\", 46, 42, 50]",
        "building-drains.toml, row 5: along the row, `1/8 in per ft` has 46 and `1/4 in per ft` has 42",
    );
}

#[test]
fn longer_vents_must_not_be_allowed_for_larger_loads() {
    check(
        "ipc-2021",
        "vents-by-length.toml",
        "['3\"', 53, \"-\", 27, 94, 230, 680,",
        "['3\"', 53, \"-\", 27, 194, 230, 680,",
        "vents-by-length.toml, row 9: column `2\"` rises from 110 to 194",
    );
}

#[test]
fn a_wrong_unit_is_refused() {
    check(
        "ipc-2021",
        "branches-and-stacks.toml",
        "{ name = \"branch\", unit = \"dfu\" }",
        "{ name = \"branch\", unit = \"gpm\" }",
        "branches-and-stacks.toml: column `branch` is in `gpm`: a wrong unit, it should be dfu or its like",
    );
}

#[test]
fn the_unit_of_another_code_is_a_wrong_unit() {
    check(
        "en-12056",
        "primary-vented-stacks.toml",
        "{ name = \"square\", unit = \"l/s\" }",
        "{ name = \"square\", unit = \"dfu\" }",
        "primary-vented-stacks.toml: column `square` is in `dfu`: a wrong unit, it should be l/s or its like",
    );
}

#[test]
fn a_wrong_unit_of_a_single_value_is_refused() {
    check(
        "ipc-2021",
        "rules-water.toml",
        "[\"water.static-pressure-most\", 80, \"psi\",",
        "[\"water.static-pressure-most\", 80, \"ft\",",
        "rules-water.toml, row 16: `water.static-pressure-most` is in `ft`: a wrong unit, it should be Pa or its like",
    );
}

#[test]
fn an_unknown_kind_of_fixture_is_refused_with_the_nearest() {
    check(
        "ipc-2021",
        "fixtures.toml",
        "[\"bathtub\", \"-\"",
        "[\"bath-tub\", \"-\"",
        "fixtures.toml, row 10: column `kind`: there is no kind of fixture `bath-tub`; did you mean `bathtub`?",
    );
}

#[test]
fn a_row_must_not_stand_twice() {
    check(
        "ipc-2021",
        "wet-vents.toml",
        "['2-1/2\"', 6]",
        "['2\"', 4]",
        "wet-vents.toml, row 3: `2\"` stands twice, first in row 2",
    );
}

#[test]
fn a_single_value_must_not_stand_twice() {
    check(
        "ipc-2021",
        "rules-water.toml",
        "[\"hot.volume-from-loop\", 24,",
        "[\"hot.volume-from-heater\", 24,",
        "rules-water.toml, row 5: `hot.volume-from-heater` stands twice",
    );
}

#[test]
fn a_table_without_a_citation_is_refused() {
    for (from, to, expected) in [
        (
            "place = \"Table 912.3\"\n",
            "",
            "wet-vents.toml: no citation: `place` (table or section) is missing",
        ),
        (
            "document = \"IPC 2021\"\n",
            "document = \" \"\n",
            "wet-vents.toml: no citation: `document` is missing",
        ),
        (
            "how = \"memory\"\n",
            "",
            "wet-vents.toml: no citation: `how` (seen, memory …) is missing",
        ),
    ] {
        check("ipc-2021", "wet-vents.toml", from, to, expected);
    }
}

#[test]
fn a_single_value_without_a_section_is_refused() {
    check(
        "ipc-2021",
        "rules-water.toml",
        "[\"water.static-pressure-most\", 80, \"psi\", \"Section 604.8\",",
        "[\"water.static-pressure-most\", 80, \"psi\", \"\",",
        "rules-water.toml, row 16: no citation: the section is missing",
    );
}

#[test]
fn a_size_in_the_wrong_order_is_refused() {
    check(
        "ipc-2021",
        "trap-arms.toml",
        "['2\"', \"1/4 in per ft\", 8,",
        "['1\"', \"1/4 in per ft\", 8,",
        "trap-arms.toml, row 3: column `size` falls from 1-1/2\" to 1\"",
    );
}

#[test]
fn a_word_that_a_fitting_cannot_be_is_refused() {
    check(
        "ipc-2021",
        "fittings.toml",
        "[\"sanitary-tee\", \"yes\", \"no\", \"no\"]",
        "[\"sanitary-tee\", \"yes\", \"maybe\", \"no\"]",
        "fittings.toml, row 7: `maybe` is none of yes, no, fixture drains to SIZE",
    );
}

#[test]
fn an_unknown_table_is_refused_with_the_nearest() {
    check(
        "ipc-2021",
        "wet-vents.toml",
        "table = \"wet-vents\"",
        "table = \"wet-vent\"",
        "wet-vents.toml: there is no table `wet-vent`; did you mean `wet-vents`?",
    );
}

#[test]
fn an_unknown_single_value_is_refused_with_the_nearest() {
    check(
        "ipc-2021",
        "rules-water.toml",
        "[\"hot.length-most\",",
        "[\"hot.lenght-most\",",
        "rules-water.toml, row 1: there is no single value `hot.lenght-most`; did you mean `hot.length-most`?",
    );
}

#[test]
fn a_cell_too_few_is_refused() {
    check(
        "ipc-2021",
        "branches-and-stacks.toml",
        "['4\"', 160, 90, 240, 500]",
        "['4\"', 160, 90, 240]",
        "branches-and-stacks.toml, row 5: 5 columns are named, 4 cells stand here",
    );
}

#[test]
fn a_negative_number_is_refused() {
    check(
        "ipc-2021",
        "drain-by-trap.toml",
        "['1-1/2\"', 2]",
        "['1-1/2\"', -1]",
        "drain-by-trap.toml, row 2: column `units`: `-1` is not a number from 0 up",
    );
}

#[test]
fn what_is_not_toml_is_refused_and_never_panics() {
    let said = broken("ipc-2021", "wet-vents.toml", "rows = [", "rows = ");
    assert!(
        said.iter().all(|line| line.starts_with("wet-vents.toml: ")),
        "{said:#?}"
    );
    assert!(Pack::read(&[]).is_err());
    assert!(Pack::read(&[("pack.toml", "id = 3")]).is_err());
}
