//! What a job says of use, supplies, amendments and methods, as plain data.

use wyeline_job::model::{
    DeviceKind, Facts, Friction, GasKind, GasMethod, Insulation, Setting, StepKind, Use,
    WaterSource,
};
use wyeline_job::{Job, Severity, read, tidy};
use wyeline_units::{Flow, Len, Pressure, Temperature};

fn job(text: &str) -> Job {
    let reading = read(text);
    assert_eq!(reading.diagnostics, [], "{text}");
    reading.job
}

fn facts(line: &str) -> Facts {
    let text = format!("level main floor 0\nfixture A sink main 0,0 faces east {line}");
    job(&text).fixtures[0].facts
}

#[test]
fn a_job_that_says_nothing_chooses_nothing() {
    assert_eq!(
        job("units mm").design,
        wyeline_job::model::Design::default()
    );
}

#[test]
fn the_use_of_the_job_and_of_a_fixture_are_apart() {
    let told = job("use public");
    assert_eq!(told.design.usage.map(|(usage, _)| usage), Some(Use::Public));
    assert_eq!(facts("use assembly").usage, Some(Use::Assembly));
    assert_eq!(facts("").usage, None);
}

#[test]
fn an_amendment_keeps_its_words() {
    let told = job("amend rules vent.rise-least 8 in by \"Ordinance 12\"");
    let amendment = &told.design.amendments[0];
    assert_eq!(amendment.table.text, "rules");
    assert_eq!(amendment.key.text, "vent.rise-least");
    assert_eq!(
        (amendment.value.as_str(), amendment.unit.as_str()),
        ("8", "in")
    );
    assert_eq!(amendment.by, "Ordinance 12");
}

#[test]
fn amendments_may_stand_as_often_as_needed() {
    let line = "amend \"T\" a 1 by \"x\"\n";
    assert_eq!(job(&line.repeat(3)).design.amendments.len(), 3);
}

/// A number is parted from its unit; sizes and slopes have none and stay as they are written.
#[test]
fn only_a_number_is_parted_from_its_unit() {
    let said = |value: &str| {
        let told = job(&format!("amend t \"a b\" {value} by \"x\""));
        let amendment = told.design.amendments[0].clone();
        (amendment.value, amendment.unit)
    };
    let pair = |value: &str, unit: &str| (value.to_owned(), unit.to_owned());
    assert_eq!(said("4 dfu"), pair("4", "dfu"));
    assert_eq!(said("1,000 ft"), pair("1000", "ft"));
    assert_eq!(said("2-1/2 in"), pair("2.5", "in"));
    assert_eq!(said("1-1/2\""), pair("1-1/2\"", ""));
    assert_eq!(said("1/8 in per ft"), pair("1/8 in per ft", ""));
    assert_eq!(said("1:50"), pair("1:50", ""));
    assert_eq!(said("no limit"), pair("no limit", ""));
}

#[test]
fn the_pressure_that_flows_and_the_one_that_stands_are_two() {
    let told = job(
        "level main floor 0\nsupply pressure 55 psi at main floor -6\" from well\nsupply pressure 4 bar static",
    );
    let [flowing, standing] = told.design.supplies.as_slice() else {
        panic!("two supplies")
    };
    assert_eq!(flowing.pressure, Pressure::psi(55.0));
    assert_eq!((flowing.standing, flowing.from), (false, WaterSource::Well));
    assert_eq!(
        flowing.at.as_ref().map(|at| at.offset),
        Some(Len::inches(-6))
    );
    assert_eq!(standing.pressure.pa, 400_000.0);
    assert_eq!(
        (standing.standing, standing.from),
        (true, WaterSource::Street)
    );
}

#[test]
fn the_gas_supply_is_told_apart_from_the_water() {
    let told = job("supply gas propane pressure 11 in-wc drop 0.5 in-wc gravity 1.5");
    let gas = told.design.gas.expect("a gas supply");
    assert_eq!(gas.kind, GasKind::Propane);
    // A drop of 0.5 in out of 11 in.
    assert!((gas.pressure.pa / gas.drop.expect("a drop").pa - 22.0).abs() < 1e-9);
    assert_eq!((gas.gravity, gas.heating_value), (Some(1.5), None));
    assert!(told.design.supplies.is_empty());
}

#[test]
fn each_method_is_chosen_by_itself() {
    let methods = job("method gas branch-length\nmethod friction darcy-weisbach")
        .design
        .methods;
    assert_eq!(methods.gas, Some(GasMethod::BranchLength));
    assert_eq!(methods.friction, Some(Friction::DarcyWeisbach));
    assert_eq!((methods.water, methods.demand), (None, None));
}

#[test]
fn facts_of_a_fixture_stand_in_any_order_among_its_ports() {
    let told = facts("flow 2.5 gpm drain left protected flushometer hot up 20\" limit 120 F");
    assert_eq!(told.flow, Some(Flow::gpm(2.5)));
    assert_eq!(told.limit, Some(Temperature::fahrenheit(120.0)));
    assert!(told.flushometer && told.protected);
}

/// 40,000 Btu/h at 3,412 Btu/h for each kilowatt is 11.72 kW.
#[test]
fn a_gas_input_may_be_told_in_either_unit() {
    let british = facts("input 40,000 btu/h").input.expect("an input").watts;
    assert!((british - 11_723.0).abs() < 1.0, "{british}");
    assert_eq!(
        facts("input 12 kW").input.expect("an input").watts,
        12_000.0
    );
}

#[test]
fn a_fixture_in_a_group_keeps_its_facts_where_it_is_placed() {
    let told = job(
        "level main floor 0\ngroup g\nfixture A sink here 0,0 faces east use public\nend-group\n\
         place g as P at 0,0 on main mirrored east-west",
    );
    assert_eq!(told.fixtures[0].facts.usage, Some(Use::Public));
}

#[test]
fn a_device_is_set_in_the_unit_of_its_kind() {
    let told = job(
        "cold c\nstart 0,0 datum\npressure-reducing-valve P set 60 psi loses 3 psi\n\
                    mixing-valve set 120 F\npump set 0.5 gpm length 8\"\ncap",
    );
    let devices: Vec<_> = told.runs[0]
        .steps
        .iter()
        .filter_map(|step| match &step.kind {
            StepKind::Device {
                kind,
                setting,
                loses,
                ..
            } => Some((*kind, *setting, *loses)),
            _ => None,
        })
        .collect();
    let sixty = Setting::Pressure(Pressure::psi(60.0));
    assert_eq!(
        devices,
        [
            (
                DeviceKind::PressureReducingValve,
                Some(sixty),
                Some(Pressure::psi(3.0))
            ),
            (
                DeviceKind::MixingValve,
                Some(Setting::Temperature(Temperature::fahrenheit(120.0))),
                None
            ),
            (DeviceKind::Pump, Some(Setting::Flow(Flow::gpm(0.5))), None),
        ]
    );
}

#[test]
fn insulation_may_be_told_with_or_without_its_thickness() {
    let told = job("hot h\nstart 0,0 datum\ninsulated\neast 1'\ninsulated 1\"\neast 1'\nbare\ncap");
    let said: Vec<Option<Insulation>> = told.runs[0]
        .steps
        .iter()
        .filter_map(|step| match step.kind {
            StepKind::Insulated(said) => Some(said),
            _ => None,
        })
        .collect();
    let thick = |thick| Some(Insulation { thick });
    assert_eq!(said, [thick(None), thick(Some(Len::inches(1))), None]);
}

/// A statement ends an open run, so that a run left open is still told of.
#[test]
fn a_statement_of_design_ends_a_run() {
    let reading = read("cold c\nstart 0,0 datum\neast 1'\nuse public");
    let codes: Vec<&str> = reading.diagnostics.iter().map(|found| found.code).collect();
    assert_eq!(codes, ["run-not-finished"]);
    assert!(
        reading
            .diagnostics
            .iter()
            .all(|found| found.severity == Severity::Mistake)
    );
}

#[test]
fn tidying_keeps_quoted_tables_whole() {
    let text = "amend   \"Table  709.1\"  water-closet   4 dfu   by \"x  y\"\nuse   public\n";
    assert_eq!(
        tidy(text),
        "amend \"Table  709.1\" water-closet 4 dfu by \"x  y\"\nuse   public\n"
    );
}

/// 0 F is -17.8 C, by the definition of the two scales; both may be below nought.
#[test]
fn the_winter_may_be_below_nought() {
    let celsius = |line: &str| job(line).design.winter.expect("a winter").0.celsius;
    assert!((celsius("winter 0 F") - -17.777_777_8).abs() < 1e-6);
    assert!((celsius("winter -40 F") - -40.0).abs() < 1e-9);
    assert!((celsius("winter -18 C") - -18.0).abs() < 1e-9);
    assert!((celsius("winter 10 F") - -12.222_222_2).abs() < 1e-6);
}

/// Eight inches below the floor of main, and 3 ft 6 in of frost: 42 in.
#[test]
fn the_ground_and_how_deep_it_freezes() {
    let told =
        job("units ft-in\nlevel main floor 0\ngrade main floor -8\" unverified\nfrost-depth 3'6\"")
            .design;
    let grade = told.grade.expect("a grade");
    assert_eq!((grade.offset, grade.unverified), (Len::inches(-8), true));
    assert_eq!(
        told.frost_depth.map(|(depth, _)| depth),
        Some(Len::inches(42))
    );
}

#[test]
fn joists_are_sawn_unless_told_otherwise() {
    let joists = |words: &str| {
        let told = job(&format!(
            "units ft-in\nlevel main floor 0 joists 11-7/8\" {words}run east-west"
        ));
        told.levels[0].joists.clone().expect("joists").engineered
    };
    assert!(joists("engineered "));
    assert!(!joists(""));
}
