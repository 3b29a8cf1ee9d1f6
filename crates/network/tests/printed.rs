//! The network printed: in words for people, as JSON for programs.

mod support;

use support::built;
use wyeline_network::{report, to_json};

const JOB: &str = "job Shed\nlevel main floor 0'\nwaste d\nstart 0',0' invert datum -1'\nsize 3\"\nmaterial pvc\n\
    slope 1/4 in per ft\neast 4'\npoint P1\nnorth 2'\narrives invert datum -10\"\ncap\n";

/// Lengths, slope and inverts to 1/16 in: -12 and 4 ft at 1/4 in per ft is -11, 2 ft more -10-1/2;
/// -10 is 1/2 in off, and 2 in over 6 ft would be 1/3 in per ft.
#[test]
fn a_run_in_words() {
    let text = report(&built(JOB).network);
    let expected = "\
Shed: 1 runs, 2 pipes, 0 fixtures

waste d: developed length 6'-0\", rise 0\", fall 1 1/2\"
  d/1  3\"  4'-0\"  1/4 in/ft  P1 inv -11\"       -> d:0 inv -1'-0\"
  d/2  3\"  2'-0\"  1/4 in/ft  d:2 inv -10 1/2\"  -> P1 inv -11\"
  d:2: misses by 1/2\"; room for 0.333 in per ft over 6'-0\"

points (east,north and height of the centre)
  P1  4'-0\",0\"  -9 7/16\"
";
    assert_eq!(text, expected);
}

/// Metric jobs are printed to the millimetre.
#[test]
fn a_run_in_millimetres() {
    let text = report(
        &built("units mm\nlevel main floor 0\nwaste d\nstart 0,0 datum\neast 1000\ncap\n").network,
    );
    assert!(text.contains("developed length 1000 mm"), "{text}");
    assert!(text.contains("1:50 assumed"), "{text}");
    assert!(text.contains("CL 20 mm"), "{text}");
}

/// What is not known for certain is listed under its reason.
#[test]
fn doubts_in_words() {
    let text = report(
        &built("level main floor 0'\nwaste d\nstart 0',0' datum -1' unverified\neast 1'\ncap\n")
            .network,
    );
    let after = text
        .split("\nunknown\n")
        .nth(1)
        .expect("a list of what is unknown");
    assert!(after.starts_with("  line 4  d: no size is said"), "{text}");
    assert!(
        text.contains("\nunverified\n  line 3  d: centre -1'-0\"\n"),
        "{text}"
    );
    assert!(
        text.contains("\nassumed\n  line 4  d: slope 1/4 in/ft\n"),
        "{text}"
    );
}

/// JSON holds millimetres and the ids by which pipes name their nodes.
#[test]
fn a_network_as_json() {
    let json = to_json(&built(JOB).network);
    // 4 ft is 1219.2 mm; the centre is 1.534 in above the invert of -11 in: -9.466 x 25.4 = -240.4364.
    let point = json["nodes"]
        .as_array()
        .unwrap()
        .iter()
        .find(|n| n["name"] == "P1")
        .unwrap();
    assert_eq!(point["x"], 1219.2);
    assert_eq!(point["z"], -240.4364);
    assert_eq!(point["z_drawn"], -265.8364);
    let pipe = &json["pipes"][0];
    assert_eq!(
        (pipe["from"].as_str(), pipe["to"].as_str()),
        (Some("d:1"), Some("d:0"))
    );
    assert_eq!(pipe["fall"], 25.4);
    assert_eq!(pipe["invert_to"], -304.8);
    assert_eq!(pipe["slope"], "1:48");
    assert_eq!(pipe["line"], 8);
    assert_eq!(json["runs"][0]["pipes"], serde_json::json!(["d/1", "d/2"]));
}

/// Building twice prints the same.
#[test]
fn nothing_depends_on_chance() {
    let print = || to_json(&built(JOB).network).to_string();
    assert_eq!(print(), print());
}
