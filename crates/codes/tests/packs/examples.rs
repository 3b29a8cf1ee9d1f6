//! Worked examples of others, by the tables alone. The whole networks of them are sized elsewhere.

use crate::common::pack;
use wyeline_codes::{GasDrop, Pack, Use};
use wyeline_units::{Size, Slope};

fn size(text: &str) -> Size {
    text.parse().expect("a size")
}
fn slope(text: &str) -> Slope {
    text.parse().expect("a slope")
}
fn ipc() -> &'static Pack {
    pack("ipc-2021")
}

/// Textbook, office of five floors: 36 dfu branches, 64 dfu into the stack at each floor, vent stack of 338 dfu
/// and 70 ft, building drain of 350 dfu. Expected there: branch 4 in, stack 4 in, vent stack 3 in.
#[test]
fn office_of_five_floors() {
    assert_eq!(
        ipc().least_branch(36.0, None).expect("a size").value.size,
        size("4\"")
    );
    let stack = ipc()
        .least_stack(5.0 * 64.0, 5, 64.0)
        .expect("a size")
        .value;
    assert_eq!((stack.size, stack.allows), (size("4\""), 500.0));
    let vent = ipc()
        .vent_by_length(size("4\""), 338.0, 70.0 * 304.8)
        .expect("a vent")
        .value;
    assert_eq!(vent.size, size("3\""));
    // The line is that of 540 dfu, which allows 150 ft.
    assert!((vent.allows - 150.0 * 304.8).abs() < 1e-6);
    // The building drain is cut off in the copy; 216 < 350 <= 480 at 1/4 in per ft makes it 5 in.
    let drain = ipc()
        .least_building_drain(350.0, Some(slope("1/4 in per ft")))
        .expect("a size")
        .value;
    assert_eq!(drain.size, size("5\""));
}

/// A public question of a house with three stacks, answered by the 2003 code: A 25 dfu with 7, 13, 5 by floor, B 10 dfu with
/// 4 and 6, C 10 dfu. Expected there: A 3 in, B 2 in, A and B together (35) 3 in at 1/8 in per ft, all (45) 3 in at 1/2 or 4 in at 1/8.
#[test]
fn house_with_three_stacks() {
    let stack = |units, intervals, one| {
        ipc()
            .least_stack(units, intervals, one)
            .expect("a size")
            .value
    };
    // A would be 3 in by 13 in one interval (20) and 25 in all (48).
    assert_eq!(stack(25.0, 3, 13.0).size, size("3\""));
    // B is on the limit of 2 in: 6 in one interval, 10 in all.
    assert_eq!(
        (stack(10.0, 2, 6.0).size, stack(10.0, 2, 6.0).allows),
        (size("2\""), 10.0)
    );
    let drain = |units, at: &str| {
        ipc()
            .least_building_drain(units, Some(slope(at)))
            .expect("a size")
            .value
            .size
    };
    assert_eq!(drain(35.0, "1/8 in per ft"), size("3\""));
    assert_eq!(drain(45.0, "1/2 in per ft"), size("3\""));
    assert_eq!(drain(45.0, "1/8 in per ft"), size("4\""));
}

/// IFGC 2018 A.7.1: outlets 35, 75, 35, 100 cfh; longest run 60 ft, which every section uses.
/// Expected there: A 1/2, B 3/4, A+B 3/4, C+D 3/4, all 1 in.
#[test]
fn gas_by_the_longest_length() {
    let of = |cfh| {
        ipc()
            .least_gas_pipe(GasDrop::HalfInch, 60.0 * 304.8, cfh)
            .expect("a pipe")
            .value
            .size
    };
    assert_eq!(of(35.0), size("1/2\""));
    assert_eq!(of(75.0), size("3/4\""));
    assert_eq!(of(35.0 + 75.0), size("3/4\""));
    assert_eq!(of(35.0 + 100.0), size("3/4\""));
    assert_eq!(of(245.0), size("1\""));
}

/// IPC Appendix E example, cold side: a 2 in tap at 108 gpm loses 1.61 psi, the row of 120 gpm.
#[test]
fn tap_of_the_appendix_example() {
    let loss = ipc()
        .tap_loss(size("2\""), 108.0 * 0.063_090_2)
        .expect("a loss")
        .value;
    assert!((loss / 6_894.757 - 1.61).abs() < 1e-3);
}

/// A public question of a house with two units by the UPC: 2 washers 8, 10 closets 25, 10 lavatories 10, 8 showers 16,
/// 2 sinks 3, 2 dishwashers 3, 2 hose bibbs 3.5: 68.5 units.
#[test]
fn house_with_two_units_by_the_upc() {
    let upc = pack("upc-2021");
    let of = |kind, variant, count: f64| {
        count
            * upc
                .water_load_of(kind, variant, Use::Private)
                .expect("listed")
                .value
                .total
    };
    let parts = [
        (of("clothes-washer", "", 2.0), 8.0),
        (of("water-closet", "", 10.0), 25.0),
        (of("lavatory", "", 10.0), 10.0),
        (of("shower", "", 8.0), 16.0),
        (of("kitchen-sink", "", 2.0), 3.0),
        (of("dishwasher", "", 2.0), 3.0),
        (
            of("hose-bibb", "", 1.0) + of("hose-bibb", "each-further", 1.0),
            3.5,
        ),
    ];
    for (found, expected) in parts {
        assert_eq!(found, expected);
    }
    assert_eq!(parts.iter().map(|part| part.0).sum::<f64>(), 68.5);
}

/// IECC 2018 Table C404.5.1: the longest pipe holds 64 fl oz, at most 50 ft: `min(50, 64 / ounces per foot)` for every row.
#[test]
fn longest_hot_pipes_hold_half_a_gallon() {
    for (at, ounces) in [
        ("1/2\"", 1.5),
        ("3/4\"", 3.0),
        ("1\"", 5.0),
        ("1-1/2\"", 11.0),
        ("2\"", 18.0),
    ] {
        let pipe = ipc().hot_pipe(size(at)).expect("a row").value;
        let longest = (64.0_f64 / ounces).min(50.0);
        assert!(
            (pipe.other_mm / 304.8 - longest).abs() <= 0.5,
            "{at}: printed in whole feet"
        );
    }
}

/// Table 402.4(2) falls as 0.5 in of drop over the length; its row of 100 ft is Table A.3.4 at 0.5 in per 100 ft.
#[test]
fn gas_table_agrees_with_the_drop_for_a_hundred_feet() {
    let printed = [
        ("1/2\"", 50.0),
        ("3/4\"", 104.0),
        ("1\"", 195.0),
        ("1-1/4\"", 400.0),
        ("1-1/2\"", 600.0),
        ("2\"", 1160.0),
    ];
    for (at, cfh) in printed {
        let found = ipc()
            .gas_allows(GasDrop::HalfInch, size(at), 100.0 * 304.8)
            .expect("a cell")
            .value;
        assert_eq!(found, cfh, "{at}");
    }
}
