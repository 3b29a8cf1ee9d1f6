//! What a job says of materials, fittings and bars, as plain data.

mod support;

use support::meaning;
use wyeline_job::model::{Bar, FittingData, Leg, SpareOf, StepKind, System};
use wyeline_job::{Job, read, tidy};
use wyeline_units::{Len, Size};

fn job(text: &str) -> Job {
    let reading = read(text);
    assert_eq!(reading.diagnostics, [], "{text}");
    reading.job
}

fn told(text: &str) -> FittingData {
    job(text).fitting
}

const fn inch(whole: u16) -> Size {
    Size::Inch { eighths: whole * 8 }
}

fn bar(length: Len) -> Bar {
    Bar {
        length,
        coil: false,
    }
}

fn coil(length: Len) -> Bar {
    Bar { length, coil: true }
}

#[test]
fn a_job_that_says_nothing_tells_nothing() {
    assert_eq!(told("units mm"), FittingData::default());
}

#[test]
fn a_material_is_told_of_several_systems_at_once() {
    let text = "material waste, vent abs\nmaterial hot-return copper-l";
    let materials = told(text).materials;
    let said: Vec<(System, &str)> = materials
        .iter()
        .map(|(system, name, _)| (*system, name.text.as_str()))
        .collect();
    let expected = [
        (System::Waste, "abs"),
        (System::Vent, "abs"),
        (System::HotReturn, "copper-l"),
    ];
    assert_eq!(said, expected);
    let (_, name, span) = &materials[1];
    assert_eq!(&text[span.start as usize..span.end as usize], "vent");
    assert_eq!(
        &text[name.span.start as usize..name.span.end as usize],
        "abs"
    );
}

#[test]
fn commas_between_systems_stand_with_or_without_spaces() {
    let systems = |text: &str| -> Vec<System> {
        let materials = told(text).materials;
        materials.iter().map(|(system, _, _)| *system).collect()
    };
    let expected = [System::Waste, System::Vent, System::Storm];
    for text in [
        "material waste,vent,storm pvc",
        "material waste , vent ,storm pvc",
    ] {
        assert_eq!(systems(text), expected, "{text}");
    }
}

/// In a run the same word is a step, and the run goes on after it.
#[test]
fn the_material_of_a_run_is_none_of_the_job() {
    let told = job("cold c\nstart 0,0 datum\neast 1'\nmaterial pex\neast 1'\ncap");
    assert_eq!(told.fitting.materials, []);
    assert!(
        told.runs[0]
            .steps
            .iter()
            .any(|step| matches!(&step.kind, StepKind::Material(name) if name.text == "pex"))
    );
}

#[test]
fn a_measured_length_keeps_its_fitting_sizes_and_leg() {
    let told = told(
        "measured pvc 3\" long-sweep 4-5/8\"\nmeasured pvc 2\" sanitary-tee branch 2-3/8\"\n\
         measured abs 3\" x 2\" reducer total 22mm",
    );
    let [sweep, tee, reducer] = told.measured.as_slice() else {
        panic!("three of them")
    };
    let name = |one: &wyeline_job::model::Measured| one.fitting.as_ref().map(|f| f.text.clone());
    assert_eq!(name(sweep).as_deref(), Some("long-sweep"));
    assert_eq!((sweep.size, sweep.other, sweep.leg), (inch(3), None, None));
    // 4-5/8 in is 37 eighths; 25.4 mm to the inch.
    assert_eq!(sweep.length.mm(), 37.0 / 8.0 * 25.4);
    assert_eq!(
        (name(tee).as_deref(), tee.leg),
        (Some("sanitary-tee"), Some(Leg::Branch))
    );
    assert_eq!((reducer.size, reducer.other), (inch(3), Some(inch(2))));
    assert_eq!((reducer.leg, reducer.length.mm()), (Some(Leg::Total), 22.0));
}

#[test]
fn the_depth_of_sockets_is_told_of_all_fittings_or_of_one() {
    let told = told("measured pvc 1-1/2\" depth 11/16\"\nmeasured pvc 1-1/2\" wye depth 3/4\"");
    let all = &told.measured[0];
    assert_eq!((all.fitting.as_ref(), all.leg), (None, Some(Leg::Depth)));
    let one = &told.measured[1];
    assert_eq!(
        one.fitting.as_ref().map(|name| name.text.as_str()),
        Some("wye")
    );
    assert_eq!(one.leg, Some(Leg::Depth));
}

/// Another size, end or leg is another dimension.
#[test]
fn dimensions_that_differ_in_anything_may_stand_side_by_side() {
    let text = "measured pvc 3\" wye 1\"\nmeasured pvc 2\" wye 1\"\nmeasured abs 3\" wye 1\"\n\
                measured pvc 3\" x 2\" wye 1\"\nmeasured pvc 3\" wye branch 1\"\nmeasured pvc 3\" tee 1\"";
    assert_eq!(told(text).measured.len(), 6);
}

#[test]
fn stock_is_told_of_a_size_or_of_all() {
    let told = told("stock pvc 10' 20'\nstock copper-l 3/4\" 10' coil 60' 100'");
    let [pvc, copper] = told.stock.as_slice() else {
        panic!("two of them")
    };
    assert_eq!(pvc.size, None);
    assert_eq!(pvc.bars, [bar(Len::feet(10)), bar(Len::feet(20))]);
    assert_eq!(copper.size, Some(Size::Inch { eighths: 6 }));
    assert_eq!(
        copper.bars,
        [
            bar(Len::feet(10)),
            coil(Len::feet(60)),
            coil(Len::feet(100))
        ]
    );
}

/// No bar is as short as the largest size, so that the first amount is one or the other by how much it is.
#[test]
fn a_first_amount_is_a_size_up_to_two_feet() {
    let size = |text: &str| (told(text).stock[0].size, told(text).stock[0].bars.len());
    assert_eq!(size("stock pvc 24\" 120\""), (Some(inch(24)), 1));
    assert_eq!(size("stock pvc 24-1/8\" 120\""), (None, 2));
    assert_eq!(size("stock pvc-u 600mm 3m"), (Some(Size::Dn(600)), 1));
    assert_eq!(size("stock pvc-u 601mm 3m"), (None, 2));
    assert_eq!(size("stock pvc-u DN700 3m"), (Some(Size::Dn(700)), 1));
    assert_eq!(size("units m\nstock pvc-u 3 6"), (None, 2));
}

#[test]
fn offcuts_are_counted() {
    let told = told("offcut pvc 3\" 4'7\" x2\noffcut pvc 2\" 31\"");
    let counts: Vec<u32> = told.offcuts.iter().map(|offcut| offcut.count).collect();
    assert_eq!(counts, [2, 1]);
    assert_eq!(told.offcuts[0].length, Len::inches(4 * 12 + 7));
    assert_eq!(told.offcuts[0].size, inch(3));
}

#[test]
fn a_kerf_may_be_of_one_material_and_nothing_at_all() {
    let told = told("kerf 1/8\"\nkerf cast-iron 0");
    assert_eq!(told.kerfs[0].material, None);
    assert_eq!(told.kerfs[0].length.mm(), 25.4 / 8.0);
    let other = told.kerfs[1].material.as_ref();
    assert_eq!(other.map(|name| name.text.as_str()), Some("cast-iron"));
    assert_eq!(told.kerfs[1].length, Len::ZERO);
}

#[test]
fn spare_is_told_of_all_of_a_system_or_of_a_material() {
    let told = told("spare 5 %\nspare 7.5% for hot-return\nspare 0 % for pvc");
    let percents: Vec<f64> = told.spare.iter().map(|spare| spare.percent).collect();
    assert_eq!(percents, [5.0, 7.5, 0.0]);
    assert_eq!(told.spare[0].of, SpareOf::All);
    assert_eq!(told.spare[1].of, SpareOf::System(System::HotReturn));
    assert!(matches!(&told.spare[2].of, SpareOf::Material(name) if name.text == "pvc"));
}

fn fittings(job: &Job) -> Vec<Vec<&str>> {
    let steps = job.runs.iter().flat_map(|run| &run.steps);
    steps
        .filter_map(|step| match &step.kind {
            StepKind::Fitting(names) => Some(names.iter().map(|name| name.text.as_str()).collect()),
            _ => None,
        })
        .collect()
}

#[test]
fn fittings_of_a_point_are_told_in_their_order() {
    let told = job(
        "waste w\nstart 0,0 datum\neast 1'\nfitting long-sweep\nup 1'\n\
         fitting eighth-bend reducer eighth-bend\nnorth 1'\ncap",
    );
    assert_eq!(
        fittings(&told),
        [
            vec!["long-sweep"],
            vec!["eighth-bend", "reducer", "eighth-bend"]
        ]
    );
}

#[test]
fn a_fitting_in_a_group_is_told_wherever_it_is_placed() {
    let told = job(
        "level main floor 0\ngroup g\nwaste w\nstart 0,0 here floor\neast 1'\nfitting long-sweep\nup 1'\ncap\nend-group\n\
         place g as A at 0,0 on main\nplace g as B at 9',0 on main mirrored east-west",
    );
    assert_eq!(fittings(&told), [["long-sweep"], ["long-sweep"]]);
}

#[test]
fn these_statements_end_a_run_that_is_open() {
    for statement in [
        "measured pvc 3\" wye 1\"",
        "stock pvc 10'",
        "kerf 0",
        "spare 5 %",
    ] {
        let text = format!("cold c\nstart 0,0 datum\neast 1'\n{statement}");
        let (_, codes) = meaning(&text);
        assert_eq!(codes, ["run-not-finished"], "{statement}");
    }
}

#[test]
fn tidying_lays_them_in_columns_and_changes_no_meaning() {
    let text = "material  waste,vent   pvc\nmeasured pvc 3\"   long-sweep 4-5/8\"\n\
                measured copper-l   3/4\" elbow-90 9/16\"\nspare  5 %\n\
                waste w\nstart 0,0 datum\neast 1'\nfitting   long-sweep\nmaterial abs\nup 1'\ncap\n";
    let laid = "material waste,vent pvc\nmeasured pvc      3\"   long-sweep 4-5/8\"\n\
                measured copper-l 3/4\" elbow-90 9/16\"\nspare    5 %\n\
                waste w\n  start    0,0 datum\n  east     1'\n  fitting  long-sweep\n  material abs\n  up       1'\n  cap\n";
    assert_eq!(tidy(text), laid);
    assert_eq!(meaning(&tidy(text)), meaning(text));
}
