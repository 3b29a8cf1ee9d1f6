//! Local amendments: they override, they are cited, they are listed, and slips in them are told.

use crate::common::pack;
use wyeline_codes::{Amendment, Flush, How, Pack, Use};
use wyeline_job::{Diagnostic, Span};
use wyeline_units::Size;

fn amendment(table: &str, key: &str, value: &str, unit: &str) -> Amendment {
    Amendment {
        table: table.to_owned(),
        key: key.to_owned(),
        value: value.to_owned(),
        unit: unit.to_owned(),
        by: "City Ordinance 14-2, 7.3".to_owned(),
        span: Span::new(10, 20),
    }
}

/// The IPC with one amendment, which must be understood.
#[track_caller]
fn amended(table: &str, key: &str, value: &str, unit: &str) -> Pack {
    let (pack, said) = pack("ipc-2021").amended(&[amendment(table, key, value, unit)]);
    assert_eq!(said, []);
    pack
}

/// What is said of an amendment that cannot be understood.
#[track_caller]
fn refused(table: &str, key: &str, value: &str, unit: &str) -> Diagnostic {
    let (pack, mut said) = pack("ipc-2021").amended(&[amendment(table, key, value, unit)]);
    assert_eq!(said.len(), 1);
    assert_eq!(pack.amendments(), []);
    said.remove(0)
}

fn size(text: &str) -> Size {
    text.parse().expect("a size")
}

#[test]
fn an_amended_cell_answers_with_the_amendments_citation() {
    let pack = amended("branches-and-stacks", "3\" branch", "15", "");
    let found = pack.least_branch(20.0, None).expect("a size");
    assert_eq!(found.value.size, size("4\""));
    let found = pack.branch_allows(size("3\""), None).expect("a row");
    assert_eq!((found.value, found.cite.how), (15.0, How::Local));
    assert_eq!(
        found.cite.to_string(),
        "City Ordinance 14-2, 7.3 in place of IPC 2021 Table 710.1(2) (local amendment)"
    );
}

#[test]
fn neighbours_keep_the_codes_citation() {
    let pack = amended("branches-and-stacks", "3\" branch", "15", "");
    let found = pack.branch_allows(size("4\""), None).expect("a row");
    assert_eq!(found.cite.to_string(), "IPC 2021 Table 710.1(2)");
}

#[test]
fn reports_can_list_what_was_and_what_holds() {
    let pack = amended("trap-arms", "1-1/2\" longest", "42", "in");
    let [done] = pack.amendments() else {
        panic!("one amendment");
    };
    // 42 in are 3.5 ft, the unit of the table.
    assert_eq!((&*done.was, &*done.now), ("6 ft", "3.5 ft"));
    assert_eq!(done.instead_of.to_string(), "IPC 2021 Table 909.1");
    assert_eq!(done.span, Span::new(10, 20));
    let arm = pack.trap_arm(size("1-1/2\"")).expect("a row").value;
    assert!((arm.longest_mm - 42.0 * 25.4).abs() < 1e-9);
}

#[test]
fn a_single_value_is_amended_by_its_name() {
    // A city counts 1 dfu for each gpm of continuous flow, where the code has 2.
    let pack = amended("rules", "drain.continuous-units", "1", "dfu per gpm");
    let found = pack.continuous_factor().expect("a factor");
    assert!((found.value * 0.063_090_2 - 1.0).abs() < 1e-5);
    assert_eq!(found.cite.how, How::Local);
}

#[test]
fn a_single_value_that_the_code_does_not_state_can_be_stated() {
    assert!(
        pack("ipc-2021")
            .size_rule("drain.underground-least")
            .is_err()
    );
    let pack = amended("rules", "drain.underground-least", "2\"", "");
    assert_eq!(
        pack.size_rule("drain.underground-least")
            .expect("stated")
            .value,
        size("2\"")
    );
    assert_eq!(pack.amendments()[0].was, "nothing");
}

#[test]
fn reading_between_rows_can_be_allowed_and_is_marked() {
    // 65 wsfu lies midway between 60 (32.0 gpm) and 70 (35.0 gpm).
    let pack = amended("rules", "water.demand-interpolated", "yes", "");
    let found = pack.demand(65.0, Flush::Tank).expect("a flow");
    assert!((found.value / 0.063_090_2 - 33.5).abs() < 1e-3);
    assert_eq!(found.cite.how, How::Computed);
}

#[test]
fn a_dash_can_be_filled() {
    let pack = amended("branches-and-stacks", "15\" low-stack", "9000", "dfu");
    assert_eq!(
        pack.stack_sizes(3)
            .expect("rows")
            .last()
            .map(|row| row.value.allows),
        Some(9000.0)
    );
}

#[test]
fn loads_of_fixtures_are_amended_by_line_and_use() {
    let pack = amended("drain-fixtures", "water-closet private", "4", "dfu");
    assert_eq!(
        pack.drain_load("water-closet", Use::Private)
            .expect("a load")
            .value
            .units,
        4.0
    );
    assert_eq!(
        pack.drain_load("water-closet", Use::Public)
            .expect("a load")
            .value
            .units,
        4.0
    );
}

#[test]
fn curly_marks_and_capitals_in_a_key_do_not_matter() {
    let pack = amended("branches-and-stacks", " 3”  Branch", "15", "");
    assert_eq!(
        pack.branch_allows(size("3\""), None).expect("a row").value,
        15.0
    );
}

#[test]
fn inches_and_slopes_in_a_key_may_be_written_out() {
    let pack = amended("building-drains", "3 in 1/8 in per ft", "30", "dfu");
    let slope = "1/8 in per ft".parse().expect("a slope");
    let found = pack.building_drain_allows(size("3\""), slope);
    assert_eq!(found.expect("a row").value, 30.0);
}

#[test]
fn a_size_may_come_with_its_unit_apart() {
    let pack = amended("rules", "vent.least", "2", "in");
    assert_eq!(
        pack.size_rule("vent.least").expect("stated").value,
        size("2\"")
    );
}

#[test]
fn a_slope_is_amended_as_it_is_written() {
    let pack = amended("slopes", "3\" slope", "1/4 in per ft", "");
    let found = pack.least_slope(size("4\"")).expect("a row").value;
    assert_eq!(found, "1/4 in per ft".parse().expect("a slope"));
}

#[test]
fn the_code_itself_stays_as_it_is() {
    drop(amended("branches-and-stacks", "3\" branch", "15", ""));
    assert_eq!(
        pack("ipc-2021")
            .branch_allows(size("3\""), None)
            .expect("a row")
            .value,
        20.0
    );
    assert_eq!(pack("ipc-2021").amendments(), []);
}

#[test]
fn slips_are_told_with_the_nearest() {
    let said = refused("branches-and-stakcs", "3\" branch", "15", "");
    assert_eq!(
        (said.code, said.help.as_deref()),
        (
            "unknown-code-table",
            Some("did you mean `branches-and-stacks`?")
        )
    );
    let said = refused("branches-and-stacks", "3\" brnach", "15", "");
    assert_eq!(
        (said.code, said.help.as_deref()),
        ("unknown-code-value", Some("did you mean `3 in branch`?"))
    );
    let said = refused("rules", "vent.leest", "2\"", "");
    assert_eq!(said.help.as_deref(), Some("did you mean `vent.least`?"));
    assert_eq!(said.span, Span::new(10, 20));
}

#[test]
fn a_table_that_the_code_does_not_have_cannot_be_amended() {
    let said = refused("drains-and-vents", "3\" vent", "15", "");
    assert_eq!(said.message, "IPC 2021 holds no table `drains-and-vents`");
}

#[test]
fn wrong_units_and_values_are_told() {
    assert_eq!(
        refused("branches-and-stacks", "3\" branch", "15", "gpm").code,
        "amendment-value"
    );
    assert_eq!(
        refused("branches-and-stacks", "3\" branch", "lots", "").message,
        "`lots` is not a number"
    );
    assert_eq!(
        refused("rules", "vent.least", "2", "").code,
        "amendment-value"
    );
    assert_eq!(
        refused("rules", "vent.least", "2\"", "psi").code,
        "amendment-value"
    );
}

#[test]
fn keys_of_a_row_are_not_values() {
    assert_eq!(
        refused("branches-and-stacks", "3\" size", "4\"", "").code,
        "unknown-code-value"
    );
}

#[test]
fn an_amendment_without_a_source_is_refused() {
    let mut nobody = amendment("branches-and-stacks", "3\" branch", "15", "");
    nobody.by.clear();
    let (_, said) = pack("ipc-2021").amended(&[nobody]);
    assert_eq!(said[0].code, "amendment-without-source");
}
