//! `wyeline size`: loads, sizes, reasons, pressures, and what closes each report. Expected values are those of the
//! tables cited, worked out in sight.

mod common;

use common::{root, run, run_in};
use serde_json::Value;

fn json(ran: &common::Ran) -> Value {
    serde_json::from_str(ran.text()).unwrap_or_else(|error| panic!("{error}: {}", ran.err))
}

fn sized(job: &str) -> Value {
    let ran = run_in(&root(), &["size", "-", "--json"], job.as_bytes());
    assert_eq!(ran.code, 0, "{}", ran.err);
    json(&ran)
}

fn pipe<'a>(result: &'a Value, id: &str) -> &'a Value {
    let pipes = result["pipes"].as_array().expect("pipes");
    let found = pipes.iter().find(|pipe| pipe["id"] == id);
    found.unwrap_or_else(|| panic!("no pipe {id}"))
}

fn fixture<'a>(result: &'a Value, tag: &str) -> &'a Value {
    let fixtures = result["fixtures"].as_array().expect("fixtures");
    let found = fixtures.iter().find(|fixture| fixture["tag"] == tag);
    found.unwrap_or_else(|| panic!("no fixture {tag}"))
}

/// IPC Table 709.1: a private water closet 3 dfu, a lavatory 1; the half bath carries 3 + 1 = 4.
#[test]
fn the_half_bath_puts_four_units_on_its_drain() {
    let result = json(&run(&["size", "examples/half-bath.wye", "--json"]));
    assert_eq!(result["code"], "ipc-2021");
    assert_eq!(fixture(&result, "WC1")["drain"], 3.0);
    assert_eq!(fixture(&result, "LAV1")["drain"], 1.0);
    assert_eq!(pipe(&result, "half-bath/1")["drain"], 4.0);
    // A water closet's drain is not under 3 in.
    assert_eq!(pipe(&result, "half-bath/1")["least"], "3\"");
}

/// 46 ft of 3/4 in and 9 ft of 1/2 in type L copper, at 0.0251 and 0.0121 gal/ft (from inside diameters of 0.785
/// and 0.545 in): 1.155 + 0.109 = 1.263 gal; at 1.2 gpm they take 63 s.
#[test]
fn hot_water_arrives_after_the_pipe_has_been_emptied() {
    let result = sized(
        "units ft-in\ncode ipc-2021\nlevel main floor 0'\n\
         fixture WH1 water-heater main 0',0' faces north cold out 0' right 1' up 5' hot out 0' right 0' up 5'\n\
         fixture LAV1 lavatory main 45',6' faces south hot out 0' right 0' up 3' flow 1.2 gpm\n\
         cold service\n  start 1',-3' main floor +5'\n  size 3/4\"\n  material copper-l\n  end WH1.cold\n\
         hot h1\n  start WH1.hot\n  size 3/4\"\n  material copper-l\n  up 1'\n  east 45'\n  size 1/2\"\n  end LAV1\n",
    );
    let lavatory = fixture(&result, "LAV1");
    // 1 + 45 ft, then 6 ft north and 3 ft down: 55 ft.
    let length = lavatory["hot_length_mm"].as_f64().expect("a length");
    assert!((length - 55.0 * 304.8).abs() < 0.1, "{length}");
    let litres = lavatory["hot_volume_l"].as_f64().expect("a volume");
    let gallons = litres / 3.785_411_784;
    assert!((gallons - 1.263).abs() < 0.005, "{gallons}");
    let seconds = lavatory["hot_wait_s"].as_f64().expect("a time");
    assert!((seconds - 63.2).abs() < 0.3, "{seconds}");
}

/// The example of IFGC 2018 A.7.1: outlets A 35,000, B 75,000, C 35,000, D 100,000 btu/h of gas of 1,000 btu/ft3, a
/// drop of 0.5 in w.c., 60 ft to A. Row 60 of Table 402.4(2) carries 65, 137 and 257 cfh in 1/2, 3/4 and 1 in:
/// A 1/2, B 3/4, A and B (110 cfh) 3/4, C and D (135 cfh) 3/4, all (245 cfh) 1 in.
const GAS: &str = "units ft-in\ncode ipc-2021\nlevel main floor 0'\n\
    supply gas natural pressure 7 in-wc drop 0.5 in-wc heating-value 1,000 btu/ft3\nmethod gas longest-length\n\
    fixture A gas-range main 40',20' faces south gas out 0' right 0' up 1' input 35,000 btu/h\n\
    fixture B gas-range main 30',25' faces south gas out 0' right 0' up 1' input 75,000 btu/h\n\
    fixture C gas-range main 30',-20' faces south gas out 0' right 0' up 1' input 35,000 btu/h\n\
    fixture D gas-range main 40',-10' faces south gas out 0' right 0' up 1' input 100,000 btu/h\n\
    gas main\n  start 0',0' main floor +1'\n  material steel\n  east 30'\n  point P\n  north 20'\n  point Q\n  east 10'\n  end A\n\
    gas to-b\n  start Q\n  material steel\n  north 5'\n  end B\n\
    gas south\n  start P\n  material steel\n  south 10'\n  point R\n  east 10'\n  end D\n\
    gas to-c\n  start R\n  material steel\n  south 10'\n  end C\n";

#[test]
fn gas_is_sized_as_in_the_codes_own_example() {
    let result = sized(GAS);
    let least = |id: &str| {
        pipe(&result, id)["least"]
            .as_str()
            .unwrap_or_default()
            .to_owned()
    };
    assert_eq!(least("main/1"), "1\"");
    assert_eq!(least("main/2"), "3/4\"");
    assert_eq!(least("main/3"), "1/2\"");
    assert_eq!(least("to-b/1"), "3/4\"");
    assert_eq!(least("south/1"), "3/4\"");
}

#[test]
fn gas_sizes_carry_their_caution() {
    let ran = run_in(&root(), &["size", "-"], GAS.as_bytes());
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(
        ran.text().contains("licensed gas fitter to verify"),
        "{}",
        ran.text()
    );
    let without = run(&["size", "examples/half-bath.wye"]);
    assert!(!without.text().contains("gas fitter"));
}

#[test]
fn every_report_closes_with_who_decides() {
    for arguments in [
        &["size", "examples/half-bath.wye"][..],
        &["size", "examples/half-bath.wye", "--pipe", "half-bath/1"],
        &["check", "examples/half-bath.wye"],
    ] {
        let text = run(arguments).text().to_owned();
        assert!(
            text.contains("The authority having jurisdiction decides"),
            "{text}"
        );
        assert!(text.contains("persons licensed"), "{text}");
        // Nothing is called safe, approved or compliant.
        for word in ["approved", "compliant", "complies", "certified as"] {
            assert!(!text.contains(word), "{word}: {text}");
        }
    }
}

#[test]
fn each_line_says_where_its_size_stands_and_how_that_was_come_by() {
    let result = json(&run(&["size", "examples/half-bath.wye", "--json"]));
    let cite = &pipe(&result, "half-bath/1")["governs"]["cite"];
    assert_eq!(cite["document"], "IPC 2021");
    assert!(
        cite["place"]
            .as_str()
            .is_some_and(|place| !place.is_empty()),
        "{cite}"
    );
    let how = cite["how"].as_str().expect("how it was come by");
    assert!(
        ["seen", "memory", "computed", "common-practice"].contains(&how),
        "{how}"
    );
}

#[test]
fn a_pipes_derivation_names_its_fixtures_and_the_step_that_decided() {
    let result = json(&run(&[
        "size",
        "examples/half-bath.wye",
        "--pipe",
        "half-bath/1",
        "--json",
    ]));
    let steps = result["steps"].as_array().expect("steps");
    let all = steps
        .iter()
        .map(|step| step["text"].as_str().unwrap_or_default());
    let all: Vec<&str> = all.collect();
    let text = all.join("\n");
    assert!(text.contains("WC1") && text.contains("LAV1"), "{text}");
    assert!(steps.iter().any(|step| step["governs"] == true), "{text}");
}

#[test]
fn a_pipe_that_is_not_there_is_told_with_exit_code_2() {
    let ran = run(&["size", "examples/half-bath.wye", "--pipe", "half-bat/1"]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err.contains("did you mean `half-bath/1`?"),
        "{}",
        ran.err
    );
}

#[test]
fn without_a_code_nothing_is_sized() {
    let ran = run_in(&root(), &["size", "-"], b"level main floor 0'\n");
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("names no code"), "{}", ran.err);
}

#[test]
fn a_code_that_is_not_held_is_guessed() {
    let ran = run(&["size", "examples/half-bath.wye", "--code", "ipc-2020"]);
    assert_eq!(ran.code, 2);
    assert!(ran.err.contains("did you mean `ipc-2021`?"), "{}", ran.err);
}

/// UPC Table 702.1: a private water closet of 1.6 gal a flush or less counts 3, a lavatory 1, under both codes; but its
/// supply counts 2.5 wsfu (UPC Table 610.3) where the IPC has 2.2 (Table E103.3(2)).
#[test]
fn the_code_may_be_given_instead_of_the_jobs() {
    let water = |code: &str| {
        let result = json(&run(&[
            "size",
            "examples/half-bath.wye",
            "--code",
            code,
            "--json",
        ]));
        assert_eq!(result["code"], code);
        fixture(&result, "WC1")["water"][0].as_f64()
    };
    assert_eq!(water("ipc-2021"), Some(2.2));
    assert_eq!(water("upc-2021"), Some(2.5));
}

#[test]
fn a_local_amendment_takes_the_codes_place_and_is_named() {
    let job = std::fs::read_to_string(root().join("examples/half-bath.wye")).expect("the example");
    let amended = format!(
        "{job}\namend rules drain.closet-building-drain-least 4\" by \"County ordinance 12\"\n\
         amend drain-fixtures \"lavatory private\" 2 dfu by \"County ordinance 13\"\n"
    );
    let result = sized(&amended);
    // 3 + 2 = 5 where the code itself has 3 + 1.
    assert_eq!(pipe(&result, "half-bath/1")["drain"], 5.0);
    let named = result["amendments"].as_array().expect("amendments");
    assert_eq!(named.len(), 2);
    let ran = run_in(&root(), &["size", "-"], amended.as_bytes());
    assert!(ran.text().contains("County ordinance 13"), "{}", ran.text());
    assert!(
        ran.text()
            .contains("with the 2 local amendments named here"),
        "{}",
        ran.text()
    );
}

#[test]
fn an_amendment_of_nothing_is_a_mistake_at_its_place() {
    let job = "code ipc-2021\nlevel main floor 0'\namend branches-and-stocks \"2 in branch\" 4 dfu by \"x\"\n";
    let ran = run_in(&root(), &["check", "-"], job.as_bytes());
    assert_eq!(ran.code, 1);
    assert!(ran.err.contains("standard input:3:1"), "{}", ran.err);
    assert!(
        ran.err.contains("did you mean `branches-and-stacks`?"),
        "{}",
        ran.err
    );
}

/// 60 psi less 10 ft of water: a foot of water at 10 C presses 0.4333 psi, so 55.7 psi stand 10 ft higher.
#[test]
fn pressure_that_stands_falls_with_height_alone() {
    let result = sized(
        "units ft-in\ncode ipc-2021\nlevel main floor 0'\nsupply pressure 60 psi static\nsupply pressure 50 psi\n\
         fixture HB1 hose-bibb main 10',0' faces south cold out 0' right 0' up 12'\n\
         cold c\n  start 0',0' main floor +2'\n  size 3/4\"\n  material copper-l\n  east 10'\n  end HB1\n",
    );
    let standing = fixture(&result, "HB1")["standing_pa"][0]
        .as_f64()
        .expect("a pressure");
    let psi = standing / 6_894.757;
    assert!((psi - (60.0 - 10.0 * 0.4333)).abs() < 0.02, "{psi}");
}

/// What is assumed stands in the job's units: 10 C is 50 F, 21 kPa 3.0 psi.
#[test]
fn what_is_assumed_stands_in_the_units_of_the_job() {
    let job =
        std::fs::read_to_string(root().join("examples/heron-cottage.wye")).expect("the example");
    let told = run_in(&root(), &["size", "-"], job.as_bytes());
    assert!(
        told.text().contains("cold water of 50 F"),
        "{}",
        told.text()
    );
    assert!(
        told.text().contains("3.0 psi lost in each water-heater"),
        "{}",
        told.text()
    );
}

/// Of a building drain at 1/4 in per ft 2 in carry 21 units (IPC Table 710.1(1)). Its bore of 2.067 in puts the invert 1.0335 in below the
/// centre at -3 ft: -3 ft 1-1/16 in, to the nearest sixteenth (0.0335 is more than half of one). Both carry the dagger, and the foot of the table says what it means.
#[test]
fn a_size_that_was_worked_out_gives_its_invert() {
    let job = "units ft-in\ncode ipc-2021\nlevel main floor 0'\nslope 1/4 in per ft\n\
        waste d\n  start 0',0' main floor -3'\n  east 20'\n  continues \"baths\" load 20 dfu\n";
    let ran = run_in(&root(), &["size", "-"], job.as_bytes());
    assert!(ran.text().contains("2\"\u{2020}"), "{}", ran.text());
    assert!(
        ran.text().contains("-3'-1 1/16\"\u{2020}"),
        "{}",
        ran.text()
    );
    assert!(
        ran.text()
            .contains("\u{2020} by a size that was worked out"),
        "{}",
        ran.text()
    );
    let drain = &sized(job)["falls"][0];
    assert_eq!(drain["size_worked_out"], true);
    let invert = drain["invert_mm"][1].as_f64().expect("an invert");
    assert!(
        (invert / 25.4 + 36.0 + 2.067 / 2.0).abs() < 1e-6,
        "{invert}"
    );
}
