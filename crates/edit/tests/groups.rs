//! Things of placed groups: their own lines are changed where that means the same everywhere.

mod common;

use common::{edit, new_lines, try_edit};
use serde_json::json;

/// A bath placed twice, the second time mirrored and turned, and a stack that both drain to.
const TEXT: &str = "\
units ft-in
level cellar floor -8'
level main   floor 0' ceiling 8'

group bath
  wall    here 0',0' 8',0' thick 4-1/2\"
  fixture LAV lavatory here 4',0' faces north
  waste branch
    start $stack
    size  2\"
    north 3'
    point HEEL
  vent branch-vent
    start LAV.tee
    up    5'
    point TOP
    north 2'
    cap
end-group

place bath as A at 20',0' on main with stack S
place bath as B at 0',20' on main turned 90 mirrored east-west with stack S

waste stack
  start 15',-2' cellar floor -9\"
  up    to main floor -9\"
  point S
";

const FOOT: f64 = 304.8;

/// East in B is the group's south: mirrored it stays south, and a quarter turn from south is east. So the same
/// words go north in A's own way round.
#[test]
fn pulled_in_its_own_way() {
    let text = TEXT.replace("    north 2'\n    cap\n", "");
    let at = wyeline_job::read(&text).job;
    let network = wyeline_network::build(&at, &text).network;
    let tee = network
        .fixtures
        .iter()
        .find(|one| one.tag == "B/LAV")
        .unwrap();
    let tee = tee.ports.iter().find(|port| port.name == "tee").unwrap().at;
    let pull = json!({"do": "pull", "run": "B/branch-vent", "to": [tee.x + 3.0 * FOOT, tee.y], "within": 20.0});
    let done = edit(&text, &pull);
    assert_eq!(done.said, "south 3'");
    assert_eq!(new_lines(&text, &done), ["    south 3'"]);
    assert_eq!(done.run.as_deref(), Some("B/branch-vent"));
}

/// Steps and points of a group are told in its own names.
#[test]
fn caught_by_its_own_name() {
    let done = edit(
        TEXT,
        &json!({"do": "catch", "run": "A/branch", "tag": "A/LAV"}),
    );
    assert_eq!(new_lines(TEXT, &done), ["    catch LAV"]);
    let other = try_edit(
        TEXT,
        &json!({"do": "catch", "run": "A/branch", "tag": "B/LAV"}),
    );
    assert_eq!(
        other.unwrap_err().message,
        "`A/branch` belongs to a placed group, and `B/LAV` does not"
    );
}

/// A pipe of a group parted: every placement has the point, and each is spoken of by its placement.
#[test]
fn begun_on_a_pipe_of_a_group() {
    let reading = wyeline_job::read(TEXT);
    let network = wyeline_network::build(&reading.job, TEXT).network;
    let run = network
        .runs
        .iter()
        .find(|run| run.name == "A/branch-vent")
        .unwrap();
    let pipe = network.pipe(run.pipes[1]);
    let (from, to) = network.true_ends(pipe);
    let middle = (from + to) / 2.0;
    let done = edit(
        TEXT,
        &json!({"do": "start", "system": "vent", "level": "main",
        "at": [middle.x, middle.y], "within": 20.0}),
    );
    assert_eq!(
        new_lines(TEXT, &done),
        [
            "    north 1'",
            "    point P1",
            "    north 1'",
            "vent vent-1",
            "  start A/P1"
        ]
    );
}

/// A new tag of a fixture in a group.
#[test]
fn renamed_in_its_group() {
    let done = edit(TEXT, &json!({"do": "tag", "tag": "A/LAV", "to": "BASIN"}));
    let wanted = TEXT
        .replace("fixture LAV ", "fixture BASIN ")
        .replace("start LAV.tee", "start BASIN.tee");
    assert_eq!(done.text, wanted);
}

/// A copy of it would have to be placed.
#[test]
fn not_copied_out_of_its_group() {
    let copy =
        json!({"do": "copy", "tag": "A/LAV", "level": "main", "at": [0.0, 0.0], "within": 20.0});
    assert_eq!(
        try_edit(TEXT, &copy).unwrap_err().message,
        "A/LAV belongs to a placed group"
    );
}

/// A placement whose fixture a run ends at goes, and that run is capped; one whose point a run joins stays.
#[test]
fn a_placement_deleted() {
    let line = TEXT
        .lines()
        .position(|line| line.starts_with("place bath as A"))
        .unwrap()
        + 1;
    let caught = format!("{TEXT}\nwaste other\n  start S\n  end   A/LAV\n");
    let done = edit(&caught, &json!({"do": "delete", "line": line}));
    let wanted = caught
        .replace("place bath as A at 20',0' on main with stack S\n", "")
        .replace("  end   A/LAV", "  cap");
    assert_eq!(done.text, wanted);
    let joined = format!("{TEXT}\nvent other\n  start B/LAV.tee\n  up    6'\n  join  A/TOP\n");
    let refusal = try_edit(&joined, &json!({"do": "delete", "line": line})).unwrap_err();
    assert_eq!(refusal.message, "the run `other` joins at `A/TOP`");
}
