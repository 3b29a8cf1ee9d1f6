//! Roles, lengths and sizes of vents, one matter each.

mod support;

use support::{Sizing, sizing};
use wyeline_sizing::Role;

/// One lavatory whose vent goes up, level for a while, and through the roof.
fn lavatory(level_ft: u32) -> Sizing {
    sizing(
        "ipc-2021",
        &format!(
            "job v\nunits ft-in\nlevel main floor 0'\nroof 12'\nfixture L lavatory main 10',10' faces south\n\
             waste d\n  start 0',5' main floor -2'\n  slope 1/4 in per ft\n  east to abreast L.tee\n  end L\n\
             vent v\n  start L.tee\n  up to main floor +8'\n  slope level\n  east {level_ft}'\n  up through roof\n"
        ),
    )
}

/// Tee 18 in up, then to 8 ft: 6-1/2 ft; 20 ft level; from 8 ft to 12 ft 6 in: 4-1/2 ft. Together 31 ft.
#[test]
fn developed_length_is_measured_along_the_pipe_to_the_open_air() {
    let v = lavatory(20);
    for id in ["v/1", "v/2", "v/3"] {
        let feet = v.pipe(id).developed_mm.expect("a length") / 304.8;
        assert!((feet - 31.0).abs() < 1e-6, "{id}: {feet}");
    }
}

/// 1-1/4 in up to 40 ft, one size larger beyond it for the whole length (IPC 906.2). 29 ft level make 40 ft, 30 make 41.
#[test]
fn a_vent_longer_than_40_feet_is_one_size_larger() {
    assert_eq!(lavatory(29).needs("v/1"), "1-1/4\"");
    assert_eq!(lavatory(30).needs("v/1"), "1-1/2\"");
    assert_eq!(lavatory(30).needs("v/3"), "1-1/2\"");
}

/// Half of the 3 in drain that a closet requires is 1-1/2 in (IPC 906.2).
#[test]
fn a_vent_is_half_of_the_drain_required() {
    let text = "job v\nunits ft-in\nlevel main floor 0'\nroof 12'\nfixture W water-closet main 10',10' faces south\n\
                waste d\n  start 0',9' main floor -2'\n  slope 1/4 in per ft\n  east 8'\n  point T\n  east to abreast W.drain\n  end W\n\
                vent v\n  start T\n  up through roof\n";
    let v = sizing("ipc-2021", text);
    assert_eq!(v.pipe("v/1").role, Role::IndividualVent);
    assert_eq!(v.needs("v/1"), "1-1/2\"");
    // A drain stated larger than required does not make its vent larger.
    let wide = sizing(
        "ipc-2021",
        &text.replace("  slope 1/4", "  size 6\"\n  slope 1/4"),
    );
    assert_eq!(wide.needs("v/1"), "1-1/2\"");
}

/// Two stacks of 30 units, 40 ft high, on one header. IPC 904.5: the loads are added (60), and the length is counted
/// from the base of the farther stack. 60 units on a 4 in stack are in the row of 140.
#[test]
fn a_header_adds_its_stacks_and_counts_from_the_farthest_base() {
    let text = "job v\nunits ft-in\nlevel f1 floor 0'\nlevel f2 floor 20'\nlevel f3 floor 40'\nroof 50'\n\
        waste d\n  start -20',0' f1 floor -3'\n  slope 1/4 in per ft\n  east 20'\n  point X\n  east 30'\n  size 4\"\n  up to f2 floor -1'\n  point A1\n  \
        up to f3 floor -1'\n  point A\n\
        waste e\n  start X\n  size 4\"\n  up to f2 floor -1'\n  point B1\n  up to f3 floor -1'\n  point B\n\
        waste a1\n  start A1\n  north 2'\n  continues \"a\" load 15 dfu\n\
        waste a2\n  start A\n  north 2'\n  continues \"a\" load 15 dfu\n\
        waste b1\n  start B1\n  north 2'\n  continues \"b\" load 15 dfu\n\
        waste b2\n  start B\n  north 2'\n  continues \"b\" load 15 dfu\n\
        vent va\n  start A\n  up 5'\n  slope level\n  west 30'\n  point H\n  up through roof\n\
        vent vb\n  start B\n  up 5'\n  join H\n";
    let v = sizing("ipc-2021", text);
    assert_eq!(v.pipe("va/3").role, Role::StackVent);
    assert_eq!(v.pipe("va/3").load.drain, 60.0);
    assert_eq!(v.pipe("va/1").load.drain, 30.0);
    // From the base of stack A (3 ft below the floor, and 30 ft of building drain at 1/4 in per ft higher) up to
    // 39 ft, 5 ft on, 30 ft level, and 50 ft 6 in - 44 ft.
    let base = -3.0 + 50.0 / 48.0;
    let expected = (39.0 - base) + 5.0 + 30.0 + 6.5;
    let feet = v.pipe("va/3").developed_mm.expect("a length") / 304.8;
    assert!((feet - expected).abs() < 0.01, "{feet} for {expected}");
}

/// UPC Table 703.2: a third of the permitted length may be level. 1-1/2 in, 60 ft: 20 ft level are allowed, 21 are not.
#[test]
fn a_upc_vent_with_too_much_of_it_level_is_one_size_larger() {
    let with = |feet: u32| {
        let text = format!(
            "job v\nunits ft-in\nlevel main floor 0'\nroof 12'\nfixture K kitchen-sink main 10',10' faces south\n\
             waste d\n  start 0',5' main floor -2'\n  slope 1/4 in per ft\n  east to abreast K.tee\n  end K\n\
             vent v\n  start K.tee\n  up to main floor +8'\n  slope level\n  east {feet}'\n  up through roof\n"
        );
        sizing("upc-2021", &text).needs("v/1")
    };
    assert_eq!(with(20), "1-1/2\"");
    assert_eq!(with(21), "2\"");
}

/// The island's vent returns under the floor, goes on to the wall, and is told down to the drain as well: that piece
/// airs the drain, and both go up through the roof.
#[test]
fn a_vent_told_down_to_a_drain_is_turned_round() {
    let text = "job v\nunits ft-in\nlevel main floor 0'\nroof 12'\nfixture K kitchen-sink main 10',10' faces south\n\
        waste d\n  start 0',5' main floor -2'\n  slope 1/4 in per ft\n  east 6'\n  point LOOP\n  east to abreast K.tee\n  end K\n\
        vent loop\n  start K.tee\n  up to main floor +2'8\"\n  west 1'\n  down to main floor -10\"\n  point FOOT\n  join LOOP\n\
        vent foot\n  start FOOT\n  west 2'\n  up through roof\n";
    let v = sizing("ipc-2021", text);
    assert_ne!(v.pipe("foot/2").role, Role::Unknown);
    assert_eq!(v.needs("foot/2"), "1-1/4\"");
}
