//! Roles, intervals and sizes of drains, one matter each; expected values from the tables named beside them.

mod support;

use std::fmt::Write as _;

use support::{Sizing, sizing};
use wyeline_network::model::FixtureIx;
use wyeline_sizing::{GapAt, Governs, Role, Step, why};

/// A house of two storeys: a bath on each, one stack, a building drain to the west.
const HOUSE: &str = r"
job house
units ft-in
level main  floor 0'
level upper floor 9'
roof 19'
fixture WC1 water-closet main  10',12' faces south
fixture LV1 lavatory     main  13',12' faces south
fixture SH1 shower       main  17',12' faces south
fixture WC2 water-closet upper 10',12' faces south
fixture LV2 lavatory     upper 13',12' faces south
fixture BT2 bathtub      upper 17',12' faces south drain left
waste drain
  start -10',6' main floor -3'
  slope 1/4 in per ft
  east  18'
  up    to main floor -1'
  point S1
  up    to upper floor -1'
  point S2
vent stack-vent
  start S2
  up    through roof
waste main-bath
  start S1
  slope 1/4 in per ft
  east  to abreast WC1.drain
  catch WC1
  east  to abreast LV1.tee
  catch LV1
  east  to abreast SH1.drain
  end   SH1
waste upper-bath
  start S2
  slope 1/4 in per ft
  east  to abreast WC2.drain
  catch WC2
  east  to abreast LV2.tee
  catch LV2
  east  to abreast BT2.drain
  end   BT2
";

fn house() -> Sizing {
    sizing("ipc-2021", HOUSE)
}

#[test]
fn a_level_drain_above_a_stack_is_a_branch_and_below_it_building_drain() {
    let house = house();
    assert_eq!(house.pipe("upper-bath/1").role, Role::Branch);
    assert_eq!(house.pipe("main-bath/1").role, Role::Branch);
    assert_eq!(house.pipe("drain/3").role, Role::Stack);
    assert_eq!(house.pipe("drain/1").role, Role::BuildingDrain);
}

#[test]
fn what_serves_one_fixture_down_to_the_first_junction_is_its_drain() {
    let house = house();
    assert_eq!(house.pipe("upper-bath/WC2/1").role, Role::FixtureDrain);
    assert_eq!(house.pipe("LV2/arm/1").role, Role::FixtureDrain);
}

/// Closet 3, lavatory 1 and bath 2 are 6 by themselves; as a group 5 (IPC Table 709.1). Two groups: 10.
#[test]
fn a_bathroom_group_is_counted_where_its_fixtures_have_met() {
    let house = house();
    assert_eq!(
        house.pipe("upper-bath/2").load.drain,
        3.0,
        "lavatory and tub"
    );
    assert_eq!(house.pipe("upper-bath/1").load.drain, 5.0);
    assert_eq!(house.pipe("drain/1").load.drain, 10.0);
    assert_eq!(house.pipe("drain/1").load.closets, 2);
}

/// The house's two branches join 9 ft apart: two intervals; the drops of the fixtures are none.
#[test]
fn branches_8_feet_apart_are_two_intervals() {
    let steps = why(
        &house().job,
        &house().network,
        &house().pack,
        &house().sized,
        house().ix("drain/2"),
    );
    assert!(
        steps
            .iter()
            .any(|step| step.text.contains("2 branch intervals")),
        "{steps:#?}"
    );
}

/// Public closets count 4, lavatories 1 (IPC Table 709.1), and no groups are made of them.
#[test]
fn public_use_counts_more_and_no_groups() {
    let public = sizing(
        "ipc-2021",
        &HOUSE.replace("units ft-in", "units ft-in\nuse public"),
    );
    assert_eq!(public.pipe("upper-bath/1").load.drain, 4.0 + 1.0 + 2.0);
}

/// 42 units fit 3 in at 1/4 in per ft, 43 do not (IPC 2018 Table 710.1(1): 3 in 42, 4 in 216).
#[test]
fn a_building_drain_exactly_at_its_limit_keeps_its_size() {
    let with = |units: u32| {
        let text = format!(
            "job b\nunits ft-in\nlevel main floor 0'\nwaste d\n  start 0',0' main floor -3'\n  slope 1/4 in per ft\n  \
             east 10'\n  continues \"all\" load {units} dfu\n"
        );
        sizing("ipc-2021", &text).needs("d/1")
    };
    assert_eq!(with(42), "3\"");
    assert_eq!(with(43), "4\"");
}

/// 10 gpm that run on count 2 units for each gpm (IPC 709.3, from memory): 20 with nothing else.
#[test]
fn a_flow_that_runs_on_counts_by_the_codes_factor() {
    let text = "job b\nunits ft-in\nlevel main floor 0'\nwaste d\n  start 0',0' main floor -3'\n  slope 1/4 in per ft\n  \
                east 10'\n  continues \"pump\" load 10 gpm\n";
    let load = sizing("ipc-2021", text).pipe("d/1").load.drain;
    assert!((load - 20.0).abs() < 1e-9, "{load}");
}

/// A stated 4 in upstream of a drain for which 3 in would do: 4 in is needed, by that pipe.
#[test]
fn a_drain_is_never_smaller_than_what_flows_into_it() {
    let text = HOUSE.replace("catch WC1\n", "catch WC1 size 4\"\n");
    let house = sizing("ipc-2021", &text);
    assert_eq!(house.needs("main-bath/1"), "4\"");
    let Governs::Upstream { pipe, .. } = house.pipe("main-bath/1").governs else {
        panic!("{:?}", house.pipe("main-bath/1").governs);
    };
    assert_eq!(house.network.pipe(pipe).id, "main-bath/WC1/1");
}

#[test]
fn a_stated_size_is_kept_and_stands_beside_the_needed_one() {
    let text = HOUSE.replace(
        "  start -10',6' main floor -3'\n",
        "  start -10',6' main floor -3'\n  size 2\"\n",
    );
    let house = sizing("ipc-2021", &text);
    let drain = house.pipe("drain/1");
    assert!(drain.stated);
    assert_eq!(
        drain.size.map(|size| size.to_string()),
        Some("2\"".to_owned())
    );
    assert_eq!(house.needs("drain/1"), "3\"");
}

/// Without a told slope the job's default of 1/4 in per ft is assumed: the result says so.
#[test]
fn a_size_that_rests_on_an_assumed_slope_is_named() {
    let text = HOUSE.replace(
        "  start -10',6' main floor -3'\n  slope 1/4 in per ft\n",
        "  start -10',6' main floor -3'\n",
    );
    let house = sizing("ipc-2021", &text);
    let gaps: Vec<_> = house
        .sized
        .gaps
        .iter()
        .map(|gap| gap.why.as_str())
        .collect();
    assert!(
        gaps.iter()
            .any(|why| why.contains("slope of drain is not stated")),
        "{gaps:?}"
    );
}

/// UPC Table 703.2, note 4: three closets on a horizontal 3 in drain, whatever its load; the fourth asks for 4 in.
#[test]
fn the_fourth_closet_makes_a_upc_drain_4_inches() {
    let closets = |count: u32| {
        let mut text = "job b\nunits ft-in\nlevel main floor 0'\n".to_owned();
        for ix in 0..count {
            let _ = writeln!(
                text,
                "fixture W{ix} water-closet main {}',5' faces south",
                10 + 4 * ix
            );
        }
        text += "waste d\n  start 0',2' main floor -3'\n  slope 1/4 in per ft\n  east 5'\n";
        for ix in 0..count - 1 {
            let _ = writeln!(text, "  east to abreast W{ix}.drain\n  catch W{ix}");
        }
        let _ = writeln!(
            text,
            "  east to abreast W{}.drain\n  end W{}",
            count - 1,
            count - 1
        );
        sizing("upc-2021", &text).needs("d/1")
    };
    assert_eq!(closets(3), "3\"");
    assert_eq!(closets(4), "4\"");
}

#[test]
fn a_derivation_names_its_fixtures_and_marks_what_decided() {
    let house = house();
    let steps = why(
        &house.job,
        &house.network,
        &house.pack,
        &house.sized,
        house.ix("upper-bath/1"),
    );
    let has = |words: &str| steps.iter().any(|step: &Step| step.text.contains(words));
    assert!(has("LV2 1"), "{steps:#?}");
    assert!(has("bathroom group"), "{steps:#?}");
    assert_eq!(
        steps.iter().filter(|step| step.governs).count(),
        1,
        "{steps:#?}"
    );
    assert!(
        steps
            .iter()
            .filter(|step| step.governs)
            .all(|step| step.cite.is_some())
    );
}

/// EN 12056-2 Table 2 has no drinking fountain, and no table by the size of a trap.
#[test]
fn what_a_code_does_not_list_is_a_gap_and_not_a_guess() {
    let text = "job f\nunits ft-in\nlevel main floor 0'\nfixture F drinking-fountain main 10',10' faces south\n\
                waste d\n  start 0',5' main floor -2'\n  slope 1/4 in per ft\n  east to abreast F.tee\n  end F\n";
    let en = sizing("en-12056", text);
    assert_eq!(en.pipe("d/1").load.drain, 0.0);
    let gap = &en.sized.gaps[0];
    assert_eq!(gap.at, GapAt::Fixture(FixtureIx(0)));
    assert!(gap.why.contains("drinking-fountain"), "{}", gap.why);
    // The derivation says so too, and no table is asked for nothing.
    let steps = why(&en.job, &en.network, &en.pack, &en.sized, en.ix("d/1"));
    let told: Vec<&str> = steps.iter().map(|step| step.text.as_str()).collect();
    assert!(
        told.contains(&"no load is held for F: it is not in what follows"),
        "{told:#?}"
    );
    assert!(
        !told.iter().any(|text| text.contains("carries 0")),
        "{told:#?}"
    );
}

/// A rolling offset falls 45 degrees and tells no slope: it is sized like the level run that it is part of,
/// by UPC 2021 Table 703.2 and its note 3 (3 in for one closet).
#[test]
fn an_offset_is_sized_like_its_run() {
    let text = "job o\nunits ft-in\nlevel main floor 0'\nfixture WC1 water-closet main 20',12' faces south\n\
                waste d\n  start 0',5' main floor -4'\n  slope 1/4 in per ft\n  east 5'\n  \
                offset up 6\" south 8\" at 45\n  east to abreast WC1.drain\n  end WC1\n";
    let upc = sizing("upc-2021", text);
    let needed: Vec<_> = (1..=3)
        .map(|n| {
            upc.pipe(&format!("d/{n}"))
                .needed
                .expect("a size")
                .to_string()
        })
        .collect();
    assert_eq!(needed, ["3\""; 3], "{:?}", upc.sized.gaps);
}
