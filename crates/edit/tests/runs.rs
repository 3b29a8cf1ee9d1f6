//! Runs begun, pulled, led on and ended: which words that is.

mod common;

use common::{BATH, ROOM, chosen, edit, mistakes, network, new_lines, try_edit};
use serde_json::{Value, json};

/// Inches in millimetres.
fn inches(inches: f64) -> f64 {
    inches * 25.4
}

fn start(system: &str, at: [f64; 2]) -> Value {
    json!({"do": "start", "system": system, "level": "main", "at": at, "within": 60.0})
}

fn pull(run: &str, to: [f64; 2]) -> Value {
    json!({"do": "pull", "run": run, "to": to, "within": 60.0})
}

/// A vent begun at a lavatory begins at its tee, which lies in the wall 2-1/4 in behind the face.
#[test]
fn a_vent_begins_at_the_tee() {
    let done = edit(BATH, &start("vent", [inches(102.0), inches(80.0)]));
    assert_eq!(
        done.text,
        format!("{BATH}\nvent vent-1\n  start LAV1.tee\n")
    );
    assert_eq!(done.run.as_deref(), Some("vent-1"));
    assert_eq!(chosen(&done), "  start LAV1.tee");
    assert_eq!(done.snap.unwrap().why, "at LAV1.tee");
    assert_eq!(mistakes(&done.text), ["run-not-finished"]);
}

/// In the open it begins at whole inches, at a height that is asked for.
#[test]
fn a_drain_begins_in_space() {
    let done = edit(BATH, &start("waste", [inches(-24.3), inches(39.2)]));
    assert_eq!(
        done.said,
        "waste waste-1\nstart -2',3'3\" main floor -9\" unverified"
    );
    let network = network(&done.text);
    let doubts: Vec<&str> = network
        .doubts
        .iter()
        .map(|doubt| doubt.text.as_str())
        .collect();
    assert!(doubts.contains(&"waste-1: centre -9\""), "{doubts:?}");
}

/// Name, height and size are those that are said.
#[test]
fn begun_as_said() {
    let said = json!({"do": "start", "system": "waste", "level": "main", "at": [0.0, inches(39.0)],
        "within": 10.0, "name": "drain", "height": "invert cellar floor -9\"", "size": "3\""});
    let done = edit(BATH, &said);
    assert_eq!(
        done.text,
        format!("{BATH}\nwaste drain\n  start 0',3'3\" invert cellar floor -9\"\n  size  3\"\n")
    );
}

/// Hot water comes from the heater, not from a lavatory: that end is refused.
#[test]
fn water_begins_at_its_source() {
    let done = edit(
        BATH,
        &json!({"do": "start", "system": "hot", "level": "main",
        "at": [inches(108.0), inches(12.0)], "within": 200.0}),
    );
    assert!(
        done.text.ends_with("hot hot-1\n  start WH1.hot\n"),
        "{}",
        done.text
    );
    let refusal = try_edit(BATH, &start("hot", [inches(98.0), inches(80.0)])).unwrap_err();
    assert_eq!(
        refusal.message,
        "a hot run is told from its source, and LAV1.hot lies at the other"
    );
}

const DRAIN: &str = "
waste drain
  start 0',3'3\" cellar floor -9\"
  size  3\"
";

fn drain() -> String {
    format!("{BATH}{DRAIN}")
}

/// Pulled a little east of the closet's drain, 12 in out from the wall at 3': abreast of it.
#[test]
fn pulled_abreast_of_a_port() {
    let done = edit(&drain(), &pull("drain", [inches(37.0), inches(41.0)]));
    assert_eq!(
        done.text,
        format!("{}  east  to abreast WC1.drain\n", drain())
    );
    let snap = done.snap.unwrap();
    assert_eq!(snap.why, "abreast of WC1.drain");
    assert!((snap.at[0] - inches(36.0)).abs() < 1e-9);
    assert_eq!(done.run.as_deref(), Some("drain"));
}

/// Toward the middle of the north wall's core, 2-1/4 in behind its face at 6'6".
#[test]
fn pulled_into_a_wall() {
    let text = format!("{ROOM}\nvent v\n  start 5',3' main floor +4'\n");
    let done = edit(&text, &pull("v", [inches(61.0), inches(79.5)]));
    assert_eq!(done.said, "north into wall");
    assert_eq!(done.snap.unwrap().why, "into the wall");
    let end = network(&done.text).nodes.last().unwrap().at;
    assert!((end.y - inches(80.25)).abs() < 1e-9);
}

/// Where nothing else is near: whole inches, and one of the eight ways. 45 degrees off by 4: northeast, and
/// 40 in in both directions are 56.6 in of travel.
#[test]
fn pulled_by_whole_inches() {
    let text = format!("{BATH}\ncold c\n  start 1',1' main floor -5\"\n");
    let east = edit(&text, &pull("c", [inches(12.0 + 63.3), inches(14.0)]));
    assert_eq!(east.said, "east  5'3\"");
    assert_eq!(east.snap.unwrap().why, "5'-3\"");
    let slanted = edit(
        &text,
        &pull("c", [inches(12.0 + 42.0), inches(12.0 + 38.0)]),
    );
    assert_eq!(slanted.said, "northeast 4'9\"");
}

/// To the line of another pipe: 4' from 1' to the hot main at 5'.
#[test]
fn pulled_to_the_line_of_a_pipe() {
    let text = format!(
        "{BATH}\nhot main-line\n  start 5',0' main floor -7\"\n  north 5'\n  cap\n\ncold c\n  start 1',1' main floor -5\"\n"
    );
    let done = edit(&text, &pull("c", [inches(61.0), inches(12.0)]));
    assert_eq!(done.said, "east  4'");
    assert_eq!(done.snap.unwrap().why, "on the hot main-line");
}

/// A typed length is the pipe's length: 6'3-1/2" are 75.5 in.
#[test]
fn a_typed_length_is_exact() {
    let typed = json!({"do": "pull", "run": "drain", "to": [inches(37.0), inches(39.0)], "within": 60.0, "typed": "6' 3-1/2\""});
    let done = edit(&drain(), &typed);
    assert_eq!(done.said, "east  6'3-1/2\"");
    let network = network(&done.text);
    assert!((network.length_mm(&network.pipes[0]) - inches(75.5)).abs() < 1e-9);
}

/// Words that are no length are refused as the reader does.
#[test]
fn a_typed_word_that_is_no_length() {
    let typed = json!({"do": "pull", "run": "drain", "to": [900.0, 990.6], "within": 60.0, "typed": "5-1/2"});
    let refusal = try_edit(&drain(), &typed).unwrap_err();
    assert_eq!(refusal.message, "`5-1/2` is not a length");
    assert!(refusal.help.starts_with("expected "), "{}", refusal.help);
}

/// Pulled on in the same way the move is lengthened; back, shortened; after a point it is a new one.
#[test]
fn the_same_way_again() {
    let text = format!("{}  east  2'  # along the beam\n", drain());
    let longer = edit(&text, &pull("drain", [inches(60.0), inches(40.0)]));
    assert_eq!(new_lines(&text, &longer), ["  east  5'  # along the beam"]);
    let shorter = edit(&text, &pull("drain", [inches(16.0), inches(39.0)]));
    assert_eq!(
        new_lines(&text, &shorter),
        ["  east  1'4\"  # along the beam"]
    );
    let named = format!("{text}  point P1\n");
    let new = edit(&named, &pull("drain", [inches(60.0), inches(40.0)]));
    assert_eq!(new_lines(&named, &new), ["  east  3'"]);
}

/// Free of the eight ways it goes straight to the point.
#[test]
fn pulled_freely() {
    let free = json!({"do": "pull", "run": "drain", "to": [inches(50.2), inches(60.8)], "within": 10.0, "free": true});
    assert_eq!(edit(&drain(), &free).said, "to    4'2\",5'1\"");
}

/// Let go over the closet's drain, a waste run ends there.
#[test]
fn ends_at_a_port() {
    let at = [inches(36.5), inches(66.0)];
    let done = edit(
        &drain(),
        &json!({"do": "meet", "run": "drain", "at": at, "within": 60.0}),
    );
    assert_eq!(done.said, "end   WC1");
    assert_eq!(done.run, None, "it is finished");
    assert!(mistakes(&done.text).is_empty());
}

const PLUMBED: &str = "
waste drain
  start 0',3'3\" cellar floor -9\"
  size  3\"
  east  to abreast WC1.drain  # toward the closet
  catch WC1
  east  5'
  cap
";

fn plumbed() -> String {
    format!("{BATH}{PLUMBED}")
}

/// A branch begun in the middle of a drain splits it there; the move abreast of the closet stays abreast.
#[test]
fn begins_on_a_pipe() {
    let text = plumbed();
    let at = [inches(18.2), inches(40.0)];
    let done = edit(
        &text,
        &json!({"do": "start", "system": "waste", "level": "cellar", "at": at, "within": 60.0}),
    );
    let split = text.replace(
        "  east  to abreast WC1.drain",
        "  east  1'6\"\n  point P1\n  east  to abreast WC1.drain",
    );
    assert_eq!(done.text, format!("{split}\nwaste waste-1\n  start P1\n"));
    assert_eq!(chosen(&done), "  start P1");
    assert_eq!(done.snap.unwrap().why, "on the waste drain");
}

/// A plain length is told in two that make the whole: 5' are 1'8" and 3'4".
#[test]
fn joins_a_pipe() {
    let text = format!("{}\nvent v\n  start LAV1.tee\n", plumbed());
    let at = [inches(56.0), inches(39.0)];
    let done = edit(
        &text,
        &json!({"do": "meet", "run": "v", "at": at, "within": 60.0}),
    );
    assert_eq!(
        new_lines(&text, &done),
        ["  east  1'8\"", "  point P1", "  east  3'4\"", "  join  P1"]
    );
    assert!(mistakes(&done.text).is_empty());
}

/// Near the end of a move the point is that end.
#[test]
fn begins_at_a_turn() {
    let text = plumbed();
    let at = [inches(35.0), inches(39.0)];
    let begun =
        json!({"do": "start", "system": "waste", "level": "cellar", "at": at, "within": 60.0});
    let done = edit(&text, &begun);
    assert_eq!(
        new_lines(&text, &done),
        ["  point P1", "waste waste-1", "  start P1"]
    );
    // Once named, the point is begun at by its name.
    let again = edit(&done.text, &begun);
    assert_eq!(new_lines(&done.text, &again), ["waste waste-2"]);
    assert!(again.text.ends_with("waste waste-2\n  start P1\n"));
}

/// Where nothing lies that it may meet, the run does not end.
#[test]
fn meets_nothing() {
    let refusal = try_edit(
        &drain(),
        &json!({"do": "meet", "run": "drain", "at": [5000.0, 5000.0], "within": 60.0}),
    );
    assert_eq!(
        refusal.unwrap_err().message,
        "nothing that waste may meet lies here"
    );
}

/// Steps of a run at its open end, in its columns.
#[test]
fn led_on_by_words() {
    let text = format!("{}  east  to abreast WC1.drain\n", drain());
    let caught = edit(&text, &json!({"do": "catch", "run": "drain", "tag": "WC1"}));
    assert_eq!(new_lines(&text, &caught), ["  catch WC1"]);
    let two = edit(
        &caught.text,
        &json!({"do": "step", "run": "drain", "words": "size 2\"\neast 4'"}),
    );
    assert!(two.text.ends_with("  size  2\"\n  east  4'\n"));
    let up = edit(
        &two.text,
        &json!({"do": "rise", "run": "drain", "to": "up to main floor -9\""}),
    );
    assert_eq!(new_lines(&two.text, &up), ["  up    to main floor -9\""]);
    assert_eq!(up.run.as_deref(), Some("drain"));
    let capped = edit(&up.text, &json!({"do": "finish", "run": "drain"}));
    assert_eq!(new_lines(&up.text, &capped), ["  cap"]);
    assert_eq!(capped.run, None);
    let on = try_edit(
        &capped.text,
        &json!({"do": "rise", "run": "drain", "to": "up 1'"}),
    );
    assert_eq!(
        on.unwrap_err().message,
        "the run `drain` is finished by `cap`"
    );
}

/// A step that does not read is refused in the reader's own words.
#[test]
fn a_step_that_does_not_read() {
    let refusal = try_edit(
        &drain(),
        &json!({"do": "step", "run": "drain", "words": "northeast lugs 3'"}),
    );
    let refusal = refusal.unwrap_err();
    let read = wyeline_job::read(&format!("{}  northeast lugs 3'\n  cap\n", drain()));
    assert_eq!(refusal.message, read.diagnostics[0].message);
}

/// Water does not go into a drain: the network's own words.
#[test]
fn systems_that_do_not_meet() {
    let text = format!("{BATH}\ncold c\n  start 1',1' main floor -5\"\n  east  1'\n");
    let refusal = try_edit(
        &text,
        &json!({"do": "catch", "run": "c", "tag": "WC1", "port": "drain"}),
    );
    assert_eq!(
        refusal.unwrap_err().message,
        "cold does not go into the drain of WC1"
    );
}

/// A text of another line break keeps it.
#[test]
fn line_breaks_stay() {
    let text = drain().replace('\n', "\r\n");
    let done = edit(&text, &pull("drain", [inches(37.0), inches(41.0)]));
    assert_eq!(done.text, format!("{text}  east  to abreast WC1.drain\r\n"));
    let bare = drain();
    let done = edit(
        bare.trim_end(),
        &pull("drain", [inches(37.0), inches(41.0)]),
    );
    assert_eq!(
        done.text,
        format!("{}  east  to abreast WC1.drain", drain())
    );
}

/// In metres lengths are written in metres, at whole centimetres.
#[test]
fn in_metres() {
    let text = "units m\nlevel main floor 0 ceiling 2.4\n\ncold c\n  start 1,1 main floor -0.1\n";
    let done = edit(
        text,
        &json!({"do": "pull", "run": "c", "to": [2603.0, 1002.0], "within": 20.0}),
    );
    assert_eq!(done.said, "east  1.6m");
}

const STACK: &str = "
waste stack
  start 5',3' cellar floor -9\"
  up    to main floor +3'
  cap
";

/// On a riser the run begins at the height that is said; the riser still ends where it did.
#[test]
fn begins_on_a_riser() {
    let text = format!("{BATH}{STACK}");
    let said = json!({"do": "start", "system": "waste", "level": "main", "at": [inches(60.5), inches(36.0)],
        "within": 60.0, "height": "main floor -8-1/2\""});
    let done = edit(&text, &said);
    assert_eq!(
        new_lines(&text, &done),
        [
            "  up    to main floor -8-1/2\"",
            "  point P1",
            "waste waste-1",
            "  start P1"
        ]
    );
    let at = done.snap.unwrap().at;
    let wanted = [60.0, 36.0, -8.5].map(inches);
    assert!(
        at.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 1e-9),
        "{at:?}"
    );
}

/// A height told in words is that of the snap: the cellar's floor lies at -8', 9 in under it are -105 in.
#[test]
fn the_height_of_a_start_in_words() {
    let said = json!({"do": "start", "system": "waste", "level": "main", "at": [0.0, 0.0],
        "within": 1.0, "height": "cellar floor -9\""});
    assert_eq!(
        edit(BATH, &said).snap.unwrap().at,
        [0.0, 0.0, inches(-105.0)]
    );
}
