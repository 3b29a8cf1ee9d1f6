//! Questions asked of the IPC, answered from its printed tables.

use crate::common::pack;
use wyeline_codes::{Allowed, Change, Family, Flush, GasDrop, How, Use};
use wyeline_units::{Size, Slope};

fn size(text: &str) -> Size {
    text.parse().expect("a size")
}
fn slope(text: &str) -> Slope {
    text.parse().expect("a slope")
}

#[test]
fn the_family_is_that_of_fixture_units() {
    assert_eq!(pack("ipc-2021").family(), Family::DfuIpc);
}

#[test]
fn a_branch_takes_the_first_row_that_holds_its_load() {
    // Table 710.1(2): 3 in 20, 4 in 160. 20 is on the limit, 20.5 above it.
    let ipc = pack("ipc-2021");
    let on = ipc.least_branch(20.0, None).expect("a size").value;
    assert_eq!((on.size, on.allows), (size("3\""), 20.0));
    let above = ipc.least_branch(20.5, None).expect("a size").value;
    assert_eq!((above.size, above.allows), (size("4\""), 160.0));
}

#[test]
fn a_branch_in_dn_is_read_at_the_inch_size_that_stands_for_it() {
    let found = pack("ipc-2021")
        .branch_allows(size("DN80"), None)
        .expect("DN80 is 3 in");
    assert_eq!(found.value, 20.0);
}

#[test]
fn a_building_drain_without_a_slope_gets_no_size() {
    let missing = pack("ipc-2021")
        .least_building_drain(10.0, None)
        .expect_err("no slope");
    assert_eq!(missing.help, "state its slope");
}

#[test]
fn a_slope_between_two_columns_is_read_at_the_flatter() {
    // 3/16 in per ft lies between 1/8 (36) and 1/4 (42).
    let found = pack("ipc-2021").building_drain_allows(size("3\""), slope("3/16 in per ft"));
    assert_eq!(found.expect("a row").value, 36.0);
}

#[test]
fn a_load_above_the_table_is_said_to_be_above_it() {
    // Table 710.1(1) ends at 12000 dfu, 15 in at 1/2 in per ft.
    let ipc = pack("ipc-2021");
    let steep = Some(slope("1/2 in per ft"));
    assert!(ipc.least_building_drain(12_000.0, steep).is_ok());
    let missing = ipc
        .least_building_drain(12_001.0, steep)
        .expect_err("above the table");
    assert_eq!(
        missing.to_string(),
        "IPC 2021 Table 710.1(1) says nothing of a building drain of 12001 dfu at 1/2 in/ft"
    );
}

#[test]
fn a_stack_must_hold_its_total_and_each_interval() {
    // 4 in: 90 in one interval, 240 in three, 500 above. 6 in: 350 in one interval; 5 in: 200.
    let ipc = pack("ipc-2021");
    let of = |units, intervals, one| {
        ipc.least_stack(units, intervals, one)
            .expect("a size")
            .value
            .size
    };
    assert_eq!(of(240.0, 3, 90.0), size("4\""));
    assert_eq!(of(240.0, 3, 91.0), size("5\""));
    assert_eq!(of(241.0, 3, 90.0), size("5\""));
    assert_eq!(of(241.0, 4, 90.0), size("4\""));
}

#[test]
fn a_receptor_without_units_counts_by_its_outlet() {
    // Section 709.4: not less than the outlet; Table 709.2: 2 in is 3.
    let load = pack("ipc-2021")
        .drain_load("floor-sink", Use::Public)
        .expect("a load");
    assert_eq!(
        (load.value.units, load.value.trap),
        (3.0, Some(size("2\"")))
    );
}

#[test]
fn variants_change_the_line() {
    let ipc = pack("ipc-2021");
    let units = |variant| {
        ipc.drain_load_of("water-closet", variant, Use::Public)
            .expect("a load")
            .value
            .units
    };
    assert_eq!((units(""), units("over-1.6-gpf")), (4.0, 6.0));
    assert!(
        ipc.drain_load_of("water-closet", "dry", Use::Public)
            .expect_err("no such closet")
            .help
            .contains("over-1.6-gpf")
    );
}

#[test]
fn one_dfu_per_half_gallon_a_minute_of_continuous_flow() {
    // 2 dfu for each gpm; a gpm is 0.0630902 l/s.
    let factor = pack("ipc-2021")
        .continuous_factor()
        .expect("a factor")
        .value;
    assert!((factor * 0.063_090_2 - 2.0).abs() < 1e-5);
}

#[test]
fn vents_of_branches_are_half_the_drain_and_larger_when_long() {
    // Half of 3 in is 1-1/2, of 2 in is 1 but never under 1-1/4; above 40 ft one size larger.
    let ipc = pack("ipc-2021");
    let of = |drain, feet: f64| {
        ipc.other_vent(size(drain), 1.0, feet * 304.8)
            .expect("a vent")
            .value
            .size
    };
    assert_eq!(of("3\"", 40.0), size("1-1/2\""));
    assert_eq!(of("3\"", 40.1), size("2\""));
    assert_eq!(of("2\"", 10.0), size("1-1/4\""));
    assert_eq!(of("4\"", 10.0), size("2\""));
}

#[test]
fn a_stack_vent_is_never_under_half_its_stack() {
    // 3 in, 10 dfu: 1-1/2 holds 42 ft; 4 in, 43 dfu: 2 in holds 35 ft.
    let ipc = pack("ipc-2021");
    let of = |stack, units, feet: f64| {
        ipc.vent_by_length(size(stack), units, feet * 304.8)
            .expect("a vent")
            .value
            .size
    };
    assert_eq!(of("3\"", 10.0, 42.0), size("1-1/2\""));
    assert_eq!(of("3\"", 10.0, 43.0), size("2\""));
    assert_eq!(of("4\"", 40.0, 20.0), size("2\""));
    // 10 in, 4000 dfu: the first column printed is 5 in, which is half.
    assert_eq!(of("10\"", 4000.0, 20.0), size("5\""));
}

#[test]
fn fittings_are_judged_by_the_change_they_make() {
    let ipc = pack("ipc-2021");
    let of = |fitting, change| ipc.fitting_allowed(fitting, change).expect("listed").value;
    assert_eq!(
        of("sanitary-tee", Change::VerticalToHorizontal),
        Allowed::No
    );
    assert_eq!(of("wye", Change::HorizontalToHorizontal), Allowed::Yes);
    let sweep = Allowed::FixtureDrains {
        up_to: size("2\""),
        or_from: Some(size("3\"")),
    };
    assert_eq!(of("short-sweep", Change::VerticalToHorizontal), sweep);
}

#[test]
fn a_trap_and_a_trap_arms_slope_are_cited_by_themselves() {
    // Table 709.1: lavatory 1-1/4 in, from memory; private units seen. Table 909.1: 1/4 in per ft, from memory; 6 ft seen.
    let ipc = pack("ipc-2021");
    let trap = ipc.least_trap("lavatory", "").expect("printed");
    assert_eq!((trap.value, trap.cite.how), (size("1-1/4\""), How::Memory));
    assert!(
        ipc.least_trap("water-closet", "").is_err(),
        "it follows the outlet"
    );
    let arm = ipc.trap_arm_slope(size("1-1/2\"")).expect("printed");
    assert_eq!(
        (arm.value, arm.cite.how),
        (slope("1/4 in per ft"), How::Memory)
    );
    assert_eq!(
        ipc.trap_arm(size("1-1/2\"")).expect("printed").cite.how,
        How::Seen
    );
}

#[test]
fn demand_is_read_at_the_next_row_up() {
    // Appendix E example: 288, 264 and 132 wsfu give 108.0, 104.5 and 77.0 gpm.
    let ipc = pack("ipc-2021");
    for (units, gpm) in [(288.0, 108.0), (264.0, 104.5), (132.0, 77.0)] {
        let found = ipc.demand(units, Flush::Flushometer).expect("a flow").value;
        assert!((found / 0.063_090_2 - gpm).abs() < 1e-3, "{units}: {found}");
    }
    // Below the first row of the flushometer column, 5 wsfu, that row holds.
    assert!(
        (ipc.demand(2.0, Flush::Flushometer).expect("a flow").value / 0.063_090_2 - 15.0).abs()
            < 1e-3
    );
    assert_eq!(ipc.demand(0.0, Flush::Tank).expect("no flow").value, 0.0);
    assert!(ipc.demand(5001.0, Flush::Tank).is_err());
}

#[test]
fn loads_without_a_row_for_the_use_are_not_made_up() {
    let ipc = pack("ipc-2021");
    assert_eq!(
        ipc.water_load("urinal", Use::Public)
            .expect("listed")
            .value
            .total,
        5.0
    );
    assert!(ipc.water_load("urinal", Use::Private).is_err());
    // A column for assembly does not exist: it counts as public.
    assert_eq!(
        ipc.water_load("lavatory", Use::Assembly)
            .expect("listed")
            .value
            .total,
        2.0
    );
}

#[test]
fn service_pipe_and_meter_come_from_one_line() {
    // Table E201.1, 40 to 49 psi, 100 ft: 3/4 in meter and 1 in pipe hold 26; the 3/4 in pipe holds 7.
    let ipc = pack("ipc-2021");
    let psi = 6_894.757_3;
    let found = ipc
        .size_by_table(45.0 * psi, 95.0 * 304.8, 20.0, None)
        .expect("a line")
        .value;
    assert_eq!(
        (found.meter, found.pipe, found.allows),
        (size("3/4\""), size("1\""), 26.0)
    );
    // 39.5 psi lies between two bands: the lower one, where the same line holds 16.5 and the 1 in meter 21.
    let found = ipc
        .size_by_table(39.5 * psi, 95.0 * 304.8, 20.0, None)
        .expect("a line")
        .value;
    assert_eq!(
        (found.meter, found.pipe, found.allows),
        (size("1\""), size("1\""), 21.0)
    );
}

#[test]
fn gas_is_read_at_the_next_length_up() {
    // Table 402.4(2), row 60: 65, 137, 257 cfh for 1/2, 3/4, 1 in. 51 ft is read at 60.
    let ipc = pack("ipc-2021");
    let of = |feet: f64, cfh| {
        ipc.least_gas_pipe(GasDrop::HalfInch, feet * 304.8, cfh)
            .expect("a pipe")
            .value
            .size
    };
    assert_eq!(of(51.0, 65.0), size("1/2\""));
    assert_eq!(of(60.0, 66.0), size("3/4\""));
    assert_eq!(of(60.0, 138.0), size("1\""));
    assert!(
        ipc.least_gas_pipe(GasDrop::HalfInch, 301.0 * 304.8, 1.0)
            .is_err()
    );
}
