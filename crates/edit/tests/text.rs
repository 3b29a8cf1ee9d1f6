//! Lines said, added and deleted; heights told anew.

mod common;

use common::{BATH, ROOM, chosen, edit, mistakes, new_lines, try_edit};
use serde_json::json;

const RUNS: &str = "
# the drain
waste drain
  start 0',3'3\" cellar floor -9\" unverified  # ask the neighbour
  east  to abreast WC1.drain
  catch WC1
  point P1
  east  to abreast LAV1.tee
  end   LAV1

vent v
  start LAV1.tee
  up    to main floor +4' unverified
  point V1
  up    through roof
";

fn text() -> String {
    format!("{BATH}{RUNS}")
}

fn line(text: &str, what: &str) -> usize {
    text.lines().position(|line| line.contains(what)).unwrap() + 1
}

/// The words change; indentation and remark stay.
#[test]
fn said_anew() {
    let text = text();
    let at = line(&text, "ask the neighbour");
    let done = edit(
        &text,
        &json!({"do": "say", "line": at, "words": "start 0',3' cellar floor -1'"}),
    );
    assert_eq!(
        new_lines(&text, &done),
        ["  start 0',3' cellar floor -1'  # ask the neighbour"]
    );
    assert_eq!(done.chosen, Some(at as u32));
}

/// What does not read is refused in the reader's words.
#[test]
fn said_wrongly() {
    let text = text();
    let at = line(&text, "ask the neighbour");
    let refusal = try_edit(
        &text,
        &json!({"do": "say", "line": at, "words": "start 0',3' celar floor -1'"}),
    )
    .unwrap_err();
    assert_eq!(refusal.message, "there is no level `celar`");
    assert_eq!(refusal.help, "did you mean `cellar`?");
}

/// A statement goes to its kind, a first one in the order of the language.
#[test]
fn added_where_its_kind_stands() {
    let level = edit(ROOM, &json!({"do": "add", "words": "level upper floor 9'"}));
    assert!(
        level
            .text
            .contains("ceiling 8'\nlevel upper  floor 9'\nroof 10'"),
        "{}",
        level.text
    );
    let fixture = edit(
        ROOM,
        &json!({"do": "add", "words": "fixture FD1 floor-drain main 5',3' faces south"}),
    );
    assert!(
        fixture
            .text
            .ends_with("thick 4-1/2\"\n\nfixture FD1 floor-drain main 5',3' faces south\n")
    );
    let run = edit(
        &fixture.text,
        &json!({"do": "add", "words": "waste w\n  start 0',0' main floor -9\"\n  end FD1"}),
    );
    assert!(
        run.text
            .ends_with("\n\nwaste w\n  start 0',0' main floor -9\"\n  end FD1\n")
    );
    let code = edit(ROOM, &json!({"do": "add", "words": "code ipc-2021"}));
    assert!(
        code.text
            .starts_with("units ft-in\ncode ipc-2021\nlevel cellar")
    );
}

/// An empty job grows in the order of the language whatever is said first.
#[test]
fn an_empty_job() {
    let mut text = String::new();
    for words in [
        "level main floor 0'",
        "waste w\n  start 0',0' main floor -9\"\n  cap",
        "units ft-in",
        "fixture FD1 floor-drain main 5',3' faces south",
        "wall main 0',0' 5',0'",
    ] {
        text = edit(&text, &json!({"do": "add", "words": words})).text;
    }
    let wanted = "units ft-in

level main floor 0'

wall main 0',0' 5',0'

fixture FD1 floor-drain main 5',3' faces south

waste w
  start 0',0' main floor -9\"
  cap
";
    assert_eq!(text, wanted);
}

/// Said after a line it stands there, laid out as that line is.
#[test]
fn added_after_a_line() {
    let text = text();
    let at = line(&text, "catch WC1");
    let done = edit(
        &text,
        &json!({"do": "add", "words": "size 2\"", "after": at}),
    );
    assert_eq!(chosen(&done), "  size  2\"");
    assert!(done.text.contains("  catch WC1\n  size  2\"\n  point P1"));
}

/// A fixture goes with the `catch` that names it; an `end` becomes a cap, a move abreast of it a plain length.
#[test]
fn a_fixture_deleted() {
    let text = text();
    let done = edit(
        &text,
        &json!({"do": "delete", "line": line(&text, "fixture WC1")}),
    );
    // The closet's drain stands at 3'.
    let wanted = text
        .replace(
            "fixture WC1  water-closet main 3',6'6\"   faces south  # by the window\n",
            "",
        )
        .replace("  east  to abreast WC1.drain\n  catch WC1\n", "  east 3'\n");
    assert_eq!(done.text, wanted);
    assert!(mistakes(&done.text).is_empty());
}

/// A vent that starts at the fixture is named, and the fixture stays.
#[test]
fn a_fixture_where_a_vent_starts() {
    let text = text();
    let refusal = try_edit(
        &text,
        &json!({"do": "delete", "line": line(&text, "fixture LAV1")}),
    )
    .unwrap_err();
    assert_eq!(refusal.message, "the run `v` starts at `LAV1`");
}

/// The end of a run deleted leaves it open, to be walked on.
#[test]
fn an_end_deleted() {
    let text = text();
    let done = edit(
        &text,
        &json!({"do": "delete", "line": line(&text, "end   LAV1")}),
    );
    assert_eq!(done.run.as_deref(), Some("drain"));
    assert_eq!(mistakes(&done.text), ["run-not-finished"]);
}

/// A run that is deleted takes the empty line before it; its remark stays.
#[test]
fn a_run_deleted() {
    let text = text();
    let vent = edit(&text, &json!({"do": "delete-run", "run": "v"}));
    assert_eq!(vent.text, text[..text.find("\nvent v").unwrap()]);
    let drain = edit(
        &vent.text,
        &json!({"do": "delete", "line": line(&text, "waste drain")}),
    );
    assert_eq!(drain.text, format!("{BATH}\n# the drain\n"));
}

/// A point at which another run starts does not go before that.
#[test]
fn a_point_where_a_run_starts() {
    let text = format!("{}\nwaste branch\n  start P1\n  north 1'\n  cap\n", text());
    let refusal = try_edit(&text, &json!({"do": "delete-run", "run": "drain"})).unwrap_err();
    assert_eq!(refusal.message, "the run `branch` starts at `P1`");
}

/// A level that is spoken of does not go: the reader's own words.
#[test]
fn a_level_deleted() {
    let refusal = try_edit(&text(), &json!({"do": "delete", "line": 2})).unwrap_err();
    assert_eq!(refusal.message, "there is no level `cellar`");
}

/// A height is told anew; `unverified` goes unless it is said again.
#[test]
fn a_height() {
    let text = text();
    let at = line(&text, "ask the neighbour");
    let done = edit(
        &text,
        &json!({"do": "height", "line": at, "words": "invert cellar floor -10\""}),
    );
    assert_eq!(
        new_lines(&text, &done),
        ["  start 0',3'3\" invert cellar floor -10\"  # ask the neighbour"]
    );
    let at = line(&text, "main floor +4'");
    let done = edit(
        &text,
        &json!({"do": "height", "line": at, "words": "main ceiling -6\" unverified"}),
    );
    assert_eq!(done.said, "up    to main ceiling -6\" unverified");
    let none = try_edit(
        &text,
        &json!({"do": "height", "line": line(&text, "catch WC1"), "words": "roof"}),
    );
    assert_eq!(none.unwrap_err().message, "no height is told in this line");
}

/// What is verified loses the word and nothing else.
#[test]
fn verified() {
    let text = text();
    let at = line(&text, "ask the neighbour");
    let done = edit(&text, &json!({"do": "known", "line": at}));
    assert_eq!(done.text, text.replacen(" unverified", "", 1));
    assert!(try_edit(&done.text, &json!({"do": "known", "line": at})).is_err());
}

/// A drawing of another text is not edited.
#[test]
fn a_stale_drawing() {
    let reading = wyeline_job::read(ROOM);
    let network = wyeline_network::build(&reading.job, ROOM).network;
    let edit = common::gesture(&json!({"do": "known", "line": 1}));
    let refusal = wyeline_edit::apply(BATH, &reading.job, &network, &edit).unwrap_err();
    assert_eq!(refusal.message, "the drawing is not that of this text");
}

/// A gesture with a word too many is none: the page and this crate have to mean the same.
#[test]
fn a_word_too_many() {
    let turn = |json: serde_json::Value| serde_json::from_value::<wyeline_edit::Edit>(json);
    assert!(turn(json!({"do": "turn", "tag": "WC1"})).is_ok());
    assert!(turn(json!({"do": "turn", "tag": "WC1", "by": 90})).is_err());
    assert!(turn(json!({"do": "spin", "tag": "WC1"})).is_err());
}
