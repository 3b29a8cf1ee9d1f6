//! Gas by the tables of IFGC 2018: fittings as lengths, and what is not held.

mod support;

use std::fmt::Write;

use support::{Sizing, sizing};

/// A line of 58 ft with so many elbows in it to one appliance of 64,000 Btu/h: 64 cfh at 1,000 Btu per cubic foot.
fn line(elbows: usize, size: &str) -> Sizing {
    // 10 ft pieces, each at right angles to the last; the rest in one.
    let ways = ["east", "north", "east", "north", "east"];
    let mut moves = String::new();
    for way in &ways[..elbows] {
        let _ = writeln!(moves, "  {way} 10'");
    }
    let _ = writeln!(moves, "  {} {}'", ways[elbows], 58 - 10 * elbows);
    sizing(
        "ipc-2021",
        &format!(
            "job gas\nunits ft-in\nsupply gas natural pressure 7 in-wc drop 0.5 in-wc heating-value 1,000 btu/ft3\n\
             level main floor 0'\ngas g\n  start 0',0' main floor +1'\n{size}{moves}  continues \"heater\" load 64000 btu/h\n"
        ),
    )
}

fn feet(done: &Sizing, id: &str) -> f64 {
    done.pipe(id).developed_mm.expect("a length") / 304.8
}

/// A.3.2 step 2: three fittings in a section do not count. 58 ft are read at 60, where 1/2 in takes 65 cfh.
#[test]
fn three_elbows_do_not_count() {
    let done = line(3, "");
    assert!((feet(&done, "g/1") - 58.0).abs() < 1e-6);
    assert_eq!(done.needs("g/1"), "1/2\"");
}

/// Four do. In 1/2 in they add 4 x 1.55 = 6.2 ft (Table A.2.2): 64.2 ft are read at 70, where 1/2 in takes 60 cfh and 3/4 in 126.
/// In 3/4 in they add 4 x 2.06 = 8.24 ft: 66.24 ft.
#[test]
fn four_elbows_count_at_the_size_that_they_ask_for() {
    let done = line(4, "");
    assert_eq!(done.needs("g/1"), "3/4\"");
    assert!(
        (feet(&done, "g/1") - 66.24).abs() < 1e-6,
        "{}",
        feet(&done, "g/1")
    );
}

/// Stated pipe has fittings of its own size: 4 x 2.62 = 10.48 ft in 1 in, 68.48 ft together, read at 70.
#[test]
fn fittings_of_stated_pipe_are_of_its_size() {
    let done = line(4, "  size 1\"\n");
    assert!(
        (feet(&done, "g/1") - 68.48).abs() < 1e-6,
        "{}",
        feet(&done, "g/1")
    );
    assert_eq!(done.needs("g/1"), "3/4\"");
}

/// Where gas parts a section ends: two elbows before a tee and two behind it are no four, and nothing is added. The way is
/// 10 + 10 + 10 + 10 + 10 + 10 = 60 ft.
#[test]
fn a_section_ends_where_gas_parts() {
    let done = sizing(
        "ipc-2021",
        "job gas\nunits ft-in\nsupply gas natural pressure 7 in-wc drop 0.5 in-wc heating-value 1,000 btu/ft3\n\
         level main floor 0'\ngas g\n  start 0',0' main floor +1'\n  east 10'\n  north 10'\n  east 10'\n  point T\n  east 10'\n  north 10'\n  east 10'\n\
         \x20 continues \"heater\" load 30000 btu/h\n\
         gas b\n  start T\n  south 5'\n  continues \"range\" load 20000 btu/h\n",
    );
    assert!((feet(&done, "g/1") - 60.0).abs() < 1e-6);
}

fn said(code: &str, supply: &str) -> Sizing {
    sizing(
        code,
        &format!(
            "job gas\nunits ft-in\n{supply}level main floor 0'\ngas g\n  start 0',0' main floor +1'\n  east 10'\n  continues \"heater\" load 64000 btu/h\n"
        ),
    )
}

fn says(done: &Sizing, words: &str) -> bool {
    done.sized.gaps.iter().any(|gap| gap.why.contains(words))
}

/// No table for propane is held: it is said, and the tables of natural gas are not taken for it.
#[test]
fn propane_is_not_sized() {
    let done = said(
        "ipc-2021",
        "supply gas propane pressure 11 in-wc drop 0.5 in-wc\n",
    );
    assert!(says(&done, "no table for propane"));
    assert_eq!(done.needs("g/1"), "nothing");
}

/// Of the tables of the UPC one is held: another pressure gets no size, said once for the job.
#[test]
fn a_table_that_is_not_held_is_said_once() {
    let done = said("upc-2021", "supply gas natural pressure 2 psi drop 1 psi\n");
    let told = done.sized.gaps.iter();
    assert_eq!(
        told.filter(|gap| gap.why.contains("no table for that pressure"))
            .count(),
        1
    );
    assert_eq!(done.needs("g/1"), "nothing");
    // IFGC Table 402.4(5), 10 ft: 1/2 in takes 1510 cfh.
    let held = said("ipc-2021", "supply gas natural pressure 2 psi drop 1 psi\n");
    assert_eq!(held.needs("g/1"), "1/2\"");
}

/// IFGC: from 2,000 ft above the sea inputs and capacities are corrected, which is not done here and is said.
#[test]
fn height_above_the_sea_is_said_not_to_count() {
    let done = said("ipc-2021", "supply gas natural pressure 7 in-wc\n");
    assert!(
        says(&done, "2000'") || says(&done, "2,000'"),
        "{:#?}",
        done.sized.gaps
    );
    assert!(says(&done, "licensed fitter"));
}
