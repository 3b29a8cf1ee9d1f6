//! Fixtures put, moved and turned: which words that is.

mod common;

use common::{BATH, ROOM, chosen, edit, new_lines, try_edit};
use serde_json::json;

/// A lavatory held a hand's breadth in front of the north wall stands against it and looks south. The wall's
/// face lies at 6'6"; 8'6-1/4" (2597 mm) along it becomes the whole inch.
#[test]
fn a_fixture_turns_to_the_wall() {
    let done = edit(
        ROOM,
        &json!({"do": "fixture", "kind": "lavatory", "level": "main", "at": [2597.0, 1900.0], "within": 100.0}),
    );
    let line = "fixture LAV1 lavatory main 8'6\",6'6\" faces south";
    assert_eq!(done.text, format!("{ROOM}\n{line}\n"));
    assert_eq!(done.said, line);
    assert_eq!(chosen(&done), line);
    let snap = done.snap.unwrap();
    assert_eq!(snap.why, "against the wall, facing south");
    // 8 ft 6 in and 6 ft 6 in, in mm.
    assert_eq!(snap.at, [2590.8, 1981.2, 0.0]);
}

/// The far side of a wall is a face too: 4-1/2 in south of the room's south face, looking south.
#[test]
fn the_other_side_of_a_wall() {
    let done = edit(
        ROOM,
        &json!({"do": "fixture", "kind": "lavatory", "level": "main", "at": [609.6, -300.0], "within": 50.0}),
    );
    assert_eq!(
        done.said,
        "fixture LAV1 lavatory main 2',-4-1/2\" faces south"
    );
}

/// A floor drain stays where it is put, to the whole inch.
#[test]
fn a_centred_kind_stays_at_the_point() {
    let done = edit(
        ROOM,
        &json!({"do": "fixture", "kind": "floor-drain", "level": "main", "at": [1530.0, 320.0], "within": 100.0}),
    );
    // 1530 mm are 60.2 in, 320 mm 12.6 in.
    assert_eq!(
        done.said,
        "fixture FD1 floor-drain main 5',1'1\" faces south"
    );
}

/// A second lavatory gets the next free tag and stands in the columns of the others.
#[test]
fn a_free_tag_in_the_columns_of_the_neighbours() {
    let done = edit(
        BATH,
        &json!({"do": "fixture", "kind": "lavatory", "level": "main", "at": [10.0, 914.4], "within": 100.0}),
    );
    assert_eq!(
        done.text,
        format!("{BATH}fixture LAV2 lavatory     main 0',3'     faces east\n")
    );
}

/// A closet moved from the north wall to the west one: place and facing change, column and remark stay.
#[test]
fn moved_to_another_wall() {
    let done = edit(
        BATH,
        &json!({"do": "move", "tag": "WC1", "at": [50.0, 990.0], "within": 100.0}),
    );
    assert_eq!(
        new_lines(BATH, &done),
        ["fixture WC1  water-closet main 0',3'3\"   faces east  # by the window"]
    );
}

/// Counter-clockwise from south is east.
#[test]
fn turned_by_a_quarter() {
    let done = edit(BATH, &json!({"do": "turn", "tag": "WC1"}));
    assert_eq!(
        new_lines(BATH, &done),
        ["fixture WC1  water-closet main 3',6'6\"   faces east  # by the window"]
    );
    let back = edit(
        &done.text,
        &json!({"do": "face", "tag": "WC1", "dir": "south"}),
    );
    assert_eq!(back.text, BATH);
}

/// A told side becomes the other; cold and hot stay on the user's sides.
#[test]
fn mirrored() {
    let told = "fixture KS1 kitchen-sink main 5',0' faces north drain left 3\" hot left 4\" cold right 4\"\n";
    let text = format!("{ROOM}\n{told}");
    let done = edit(&text, &json!({"do": "mirror", "tag": "KS1"}));
    assert_eq!(
        done.said,
        "fixture KS1 kitchen-sink main 5',0' faces north drain right 3\" hot left 4\" cold right 4\""
    );
}

/// A bathtub's drain is on the right where nothing is said (rough-in table), so the mirror says left.
#[test]
fn the_usual_side_mirrored_is_told() {
    let text = format!("{ROOM}\nfixture BT1 bathtub main 5',0' faces north\n");
    let done = edit(&text, &json!({"do": "mirror", "tag": "BT1"}));
    assert_eq!(
        done.said,
        "fixture BT1 bathtub main 5',0' faces north drain left"
    );
    let again = edit(&done.text, &json!({"do": "mirror", "tag": "BT1"}));
    assert_eq!(
        again.said,
        "fixture BT1 bathtub main 5',0' faces north drain right"
    );
}

/// A water closet has no sides.
#[test]
fn nothing_to_mirror() {
    let refusal = try_edit(BATH, &json!({"do": "mirror", "tag": "WC1"})).unwrap_err();
    assert_eq!(
        refusal.message,
        "WC1, a water-closet, has the same on both sides"
    );
}

/// A copy says the same of itself, elsewhere.
#[test]
fn copied() {
    let text = BATH.replace("faces south\n", "faces south existing\n");
    let done = edit(
        &text,
        &json!({"do": "copy", "tag": "LAV1", "level": "main", "at": [609.6, 30.0], "within": 100.0}),
    );
    assert_eq!(
        done.said,
        "fixture LAV2 lavatory     main 2',0'     faces north existing"
    );
}

/// Two fixtures on two more levels get four free tags.
#[test]
fn repeated_on_other_levels() {
    let text = BATH.replace("roof", "level upper floor 9'\nlevel attic floor 18'\nroof");
    let done = edit(
        &text,
        &json!({"do": "repeat", "tags": ["WC1", "LAV1"], "levels": ["upper", "attic"]}),
    );
    let said: Vec<&str> = done.said.lines().collect();
    assert_eq!(
        said,
        [
            "fixture WC2  water-closet upper 3',6'6\"  faces south",
            "fixture LAV2 lavatory     upper 8'6\",6'6\" faces south",
            "fixture WC3  water-closet attic 3',6'6\"  faces south",
            "fixture LAV3 lavatory     attic 8'6\",6'6\" faces south",
        ]
    );
}

/// A new tag holds wherever the old one was spoken of, and nowhere else.
#[test]
fn renamed_everywhere() {
    let text = format!(
        "{BATH}
waste drain  # to LAV1
  start 0',3' cellar floor -9\"
  east  to abreast LAV1.tee
  catch LAV1
  end   WC1
vent v
  start LAV1.tee
  up    through roof
"
    );
    let done = edit(&text, &json!({"do": "tag", "tag": "LAV1", "to": "BASIN"}));
    let wanted = text
        .replace("fixture LAV1 ", "fixture BASIN ")
        .replace("LAV1.tee", "BASIN.tee")
        .replace("catch LAV1", "catch BASIN");
    assert_eq!(done.text, wanted);
    let refusal = try_edit(&text, &json!({"do": "tag", "tag": "LAV1", "to": "WC1"})).unwrap_err();
    assert_eq!(refusal.message, "the name `WC1` is told twice");
}

/// A kind that there is none of is refused with the nearest there is.
#[test]
fn an_unknown_kind() {
    let refusal = try_edit(
        ROOM,
        &json!({"do": "fixture", "kind": "lavatroy", "level": "main", "at": [0.0, 0.0], "within": 10.0}),
    )
    .unwrap_err();
    assert_eq!(refusal.message, "there is no kind of fixture `lavatroy`");
    assert_eq!(refusal.help, "did you mean `lavatory`?");
}

const GROUP: &str = "\
units ft-in
level main floor 0' ceiling 8'
group bath
  wall    here 0',0' 8',0' thick 4-1/2\"
  fixture LAV lavatory here 2',0' faces north
end-group
place bath as A at 20',0' on main
place bath as B at 40',10' on main turned 90 mirrored east-west
";

/// A fixture of a group is moved in the group's own coordinates. B is mirrored, then turned by a quarter: its
/// wall runs from 40',10' south to 40',2', the lavatory at 40',8' looking west. 40',5' is 5' down the wall.
#[test]
fn moved_in_its_group() {
    let done = edit(
        GROUP,
        &json!({"do": "move", "tag": "B/LAV", "at": [12_192.0 - 20.0, 1524.0], "within": 50.0}),
    );
    assert_eq!(done.said, "fixture LAV lavatory here 5',0' faces north");
}

/// Held a little inside the north wall, near the corner, it stands against the north wall all the same.
#[test]
fn held_inside_the_wall() {
    let done = edit(
        ROOM,
        &json!({"do": "fixture", "kind": "lavatory", "level": "main", "at": [300.0, 2000.0], "within": 100.0}),
    );
    assert_eq!(done.said, "fixture LAV1 lavatory main 1',6'6\" faces south");
}
