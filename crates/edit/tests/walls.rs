//! Walls, rooms and openings: which words that is.

mod common;

use common::{ROOM, edit, new_lines, try_edit};
use serde_json::json;

const FOOT: f64 = 304.8;

/// Traced round, the line closes on its first corner; corners an inch off go square and to whole inches.
#[test]
fn a_wall_that_closes() {
    let text = "units ft-in\nlevel main floor 0'\n";
    let points = [
        [3.0, -4.0],
        [10.0 * FOOT + 9.0, 20.0],
        [10.0 * FOOT, 6.5 * FOOT + 3.0],
        [-10.0, 6.5 * FOOT],
        [12.0, 11.0],
    ];
    let done = edit(
        text,
        &json!({"do": "wall", "level": "main", "points": points, "thick": "4-1/2\"", "within": 30.0}),
    );
    assert_eq!(
        done.text,
        format!("{text}\nwall main 0',0' 10',0' 10',6'6\" 0',6'6\" 0',0' thick 4-1/2\"\n")
    );
    assert_eq!(done.snap.unwrap().why, "closed");
}

/// A partition begun near a corner begins in it, and ends on the face it comes to.
#[test]
fn a_partition_snaps_to_the_walls() {
    let points = [
        [10.0 * FOOT - 20.0, 25.0],
        [6.0 * FOOT, 10.0],
        [6.0 * FOOT, 6.5 * FOOT - 20.0],
    ];
    let done = edit(
        ROOM,
        &json!({"do": "wall", "level": "main", "points": points, "thick": null, "within": 40.0}),
    );
    assert_eq!(new_lines(ROOM, &done), ["wall main 10',0' 6',0' 6',6'6\""]);
}

/// A room is a rectangle of walls, walked counter-clockwise, with its name in the middle.
#[test]
fn a_room_with_its_name() {
    let text = "units mm\nlevel main floor 0\n";
    let done = edit(
        text,
        &json!({"do": "room", "level": "main", "a": [3004.0, 2502.0], "b": [1.0, -3.0],
        "name": "BATH", "thick": "120", "within": 5.0}),
    );
    assert_eq!(
        done.said,
        "wall main 0,0 3000,0 3000,2500 0,2500 0,0 thick 120\nroom \"BATH\" main 1500,1250"
    );
}

/// The south side of the bath made 12 ft long: the east wall goes along, the north side takes it up.
#[test]
fn a_typed_side() {
    let done = edit(
        ROOM,
        &json!({"do": "side", "line": 6, "side": 1, "length": "12'"}),
    );
    assert_eq!(
        new_lines(ROOM, &done),
        ["wall main 0',0' 12',0' 12',6'6\" 0',6'6\" 0',0' thick 4-1/2\""]
    );
}

/// The last side of a closed line moves its first corner, and the end of the line with it.
#[test]
fn the_last_side() {
    let done = edit(
        ROOM,
        &json!({"do": "side", "line": 6, "side": 4, "length": "5'"}),
    );
    assert_eq!(
        new_lines(ROOM, &done),
        ["wall main 0',1'6\" 10',1'6\" 10',6'6\" 0',6'6\" 0',1'6\" thick 4-1/2\""]
    );
}

/// In an open line all that follows shifts along.
#[test]
fn an_open_line_shifts() {
    let text = "units ft-in\nlevel main floor 0'\nwall main 0',0' 5',0' 5',4' 9',4'  # the porch\n";
    let done = edit(
        text,
        &json!({"do": "side", "line": 3, "side": 1, "length": "6'6\""}),
    );
    assert_eq!(
        new_lines(text, &done),
        ["wall main 0',0' 6'6\",0' 6'6\",4' 10'6\",4'  # the porch"]
    );
}

/// Pushed to the left of its walk, which is into a room walked counter-clockwise: 1 ft 1 mm is 1 ft.
#[test]
fn a_side_pushed() {
    let done = edit(
        ROOM,
        &json!({"do": "push", "line": 6, "side": 1, "by": FOOT + 1.0, "within": 20.0}),
    );
    assert_eq!(
        new_lines(ROOM, &done),
        ["wall main 0',1' 10',1' 10',6'6\" 0',6'6\" 0',1' thick 4-1/2\""]
    );
}

/// A door held over a wall lies on its room face, at a whole inch along it.
#[test]
fn a_door() {
    let done = edit(
        ROOM,
        &json!({"do": "opening", "kind": "door", "level": "main", "at": [4.0 * FOOT + 5.0, -60.0],
        "wide": null, "within": 30.0}),
    );
    assert_eq!(done.said, "door main 4',0' wide 2'8\"");
    let none = try_edit(
        ROOM,
        &json!({"do": "opening", "kind": "door", "level": "main", "at": [5.0 * FOOT, 900.0],
        "wide": null, "within": 30.0}),
    );
    assert_eq!(none.unwrap_err().message, "no wall of main lies here");
}

/// A door goes along with its wall: pushed in by a foot it is in the wall still, and with the wall's length it
/// keeps its distance from the corner that stays.
#[test]
fn doors_go_along() {
    let text =
        format!("{ROOM}door main 4',0' wide 2'8\"\ndoor main 10',2' wide 2'8\"  # to the hall\n");
    let pushed = edit(
        &text,
        &json!({"do": "push", "line": 6, "side": 1, "by": FOOT, "within": 0.0}),
    );
    assert!(
        pushed
            .text
            .ends_with("door main 4',1' wide 2'8\"\ndoor main 10',2' wide 2'8\"  # to the hall\n")
    );
    let longer = edit(
        &text,
        &json!({"do": "side", "line": 6, "side": 1, "length": "12'"}),
    );
    assert!(
        longer
            .text
            .ends_with("door main 4',0' wide 2'8\"\ndoor main 12',2' wide 2'8\"  # to the hall\n")
    );
}
