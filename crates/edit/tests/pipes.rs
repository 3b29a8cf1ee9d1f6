//! Pipes parted, and what their moves say of them.

mod common;

use common::{BATH, edit, mistakes, network, new_lines, try_edit};
use serde_json::{Value, json};
use wyeline_network::model::Pipe;

const RUNS: &str = "
waste drain
  start 0',3'3\" cellar floor -9\"
  size  3\"
  east  to abreast WC1.drain
  catch WC1
  east  5'
  up    2'
  cap

cold c
  start 1',1' main floor -5\"
  north 4'
  northeast legs 1'
  east  into wall
  cap
";

fn text() -> String {
    format!("{BATH}{RUNS}")
}

/// The `n`-th pipe of a run, from 0.
fn pipe_of(text: &str, run: &str, n: usize) -> Pipe {
    let network = network(text);
    let run = network.runs.iter().find(|one| one.name == run).unwrap();
    network.pipe(run.pipes[n]).clone()
}

fn of(action: &str, pipe: &Pipe, words: &str) -> Value {
    json!({"do": action, "pipe": pipe.id, "words": words})
}

/// The pipe told by a span that holds these words.
fn told(text: &str, words: &str) -> Pipe {
    let network = network(text);
    let mut pipes = network.pipes.iter();
    let says = |pipe: &Pipe| text[pipe.span.start as usize..pipe.span.end as usize] == *words;
    pipes.rfind(|pipe| says(pipe)).unwrap().clone()
}

/// After a split every node stands where it was, to 1e-9 mm, and the point between them.
fn stands(old: &str, new: &str) {
    let (old, new) = (network(old), network(new));
    for node in &old.nodes {
        let near = new.nodes.iter().map(|other| other.at.distance(node.at));
        assert!(near.fold(f64::INFINITY, f64::min) < 1e-9, "{}", node.id);
    }
    assert_eq!(new.nodes.len(), old.nodes.len() + 1);
}

/// Each kind of move, parted in its middle.
#[test]
fn split() {
    let text = text();
    let cases = [
        (
            "east  5'",
            [60.0, 39.0],
            vec!["  east  2'", "  point P1", "  east  3'"],
        ),
        (
            "east  to abreast WC1.drain",
            [10.2, 39.0],
            vec!["  east  10\"", "  point P1"],
        ),
        (
            "up    2'",
            [0.0, 0.0],
            vec!["  up    1'", "  point P1", "  up    1'"],
        ),
        (
            "north 4'",
            [12.0, 24.0],
            vec!["  north 1'", "  point P1", "  north 3'"],
        ),
        (
            "northeast legs 1'",
            [18.0, 66.0],
            vec!["  northeast legs 6\"", "  point P1", "  northeast legs 6\""],
        ),
        (
            "east  into wall",
            [48.0, 72.0],
            vec!["  east  2'", "  point P1"],
        ),
    ];
    for (words, at, lines) in cases {
        let pipe = told(&text, words);
        let at = at.map(|inches| inches * 25.4);
        let done = edit(&text, &json!({"do": "split", "pipe": pipe.id, "at": at}));
        let rest = if words.contains("to") {
            format!("\n  {words}")
        } else {
            String::new()
        };
        let wanted = format!("{}{rest}\n", lines.join("\n"));
        assert!(done.text.contains(&wanted), "{words}: {}", done.text);
        stands(&text, &done.text);
    }
}

/// A branch to a fixture is one piece with its catch.
#[test]
fn a_catch_is_not_parted() {
    let pipe = told(&text(), "catch WC1");
    let refusal = try_edit(
        &text(),
        &json!({"do": "split", "pipe": pipe.id, "at": [914.4, 1300.0]}),
    )
    .unwrap_err();
    assert_eq!(
        refusal.message,
        "this pipe is told by `catch WC1` and is one piece with it"
    );
}

/// The first leg of an `end` is told by a move of its own, where that leaves the pipe as it is.
#[test]
fn an_end_is_parted() {
    let text = format!(
        "{BATH}\ncold c\n  start 9'6\",5' main floor +21\"\n  north to abreast LAV1.cold\n  end   LAV1\n"
    );
    let pipe = told(&text, "end   LAV1");
    let done = edit(
        &text,
        &json!({"do": "split", "pipe": pipe.id, "at": [2743.2, 2038.35]}),
    );
    assert_eq!(new_lines(&text, &done), ["  west  6\"", "  point P1"]);
    stands(&text, &done.text);
}

/// The move gets the length, and the pipe has it: 6'3-1/2" are 75.5 in.
#[test]
fn a_length() {
    let text = text();
    for words in [
        "east  5'",
        "east  to abreast WC1.drain",
        "north 4'",
        "northeast legs 1'",
        "east  into wall",
        "up    2'",
    ] {
        let pipe = told(&text, words);
        let done = edit(&text, &of("length", &pipe, "6'3-1/2\""));
        let first = words.split_whitespace().next().unwrap();
        assert!(
            done.said.starts_with(first) && done.said.ends_with(" 6'3-1/2\""),
            "{}",
            done.said
        );
        let network = network(&done.text);
        let new = network.pipes.iter().find(|one| one.id == pipe.id).unwrap();
        // A plumb drain is drawn from where its level run is drawn; its true length is what was told.
        let (a, b) = network.true_ends(new);
        let long = if words.starts_with("up") {
            a.distance(b)
        } else {
            network.length_mm(new)
        };
        assert!((long - 75.5 * 25.4).abs() < 1e-9, "{words}: {long}");
    }
}

/// What follows from a fixture's place has no length of its own.
#[test]
fn the_length_of_a_catch() {
    let pipe = told(&text(), "catch WC1");
    let refusal = try_edit(&text(), &of("length", &pipe, "2'")).unwrap_err();
    assert_eq!(
        refusal.message,
        "the length of this pipe follows from where WC1 stands"
    );
}

/// One pipe gets a size; the catch and the move after it keep theirs.
#[test]
fn a_size() {
    let text = text();
    let pipe = told(&text, "east  to abreast WC1.drain");
    let done = edit(&text, &of("size", &pipe, "4\""));
    assert_eq!(
        done.text,
        text.replace(
            "  size  3\"\n  east  to abreast WC1.drain\n",
            "  size  4\"\n  east  to abreast WC1.drain\n  size  3\"\n"
        )
    );
    let pipe = told(&text, "up    2'");
    let done = edit(&text, &of("size", &pipe, "2\""));
    assert_eq!(new_lines(&text, &done), ["  size  2\""]);
    let pipe = told(&text, "catch WC1");
    let done = edit(&text, &of("size", &pipe, "2\""));
    assert_eq!(new_lines(&text, &done), ["  catch WC1 size 2\""]);
    let again = edit(&done.text, &of("size", &pipe, "4\""));
    assert_eq!(new_lines(&text, &again), ["  catch WC1 size 4\""]);
}

/// Slope and material likewise; what nobody told before cannot be put back.
#[test]
fn slope_and_material() {
    let text = format!("slope 1/4 in per ft\n{}", text());
    let pipe = told(&text, "east  5'");
    let sloped = edit(&text, &of("slope", &pipe, "1/8 in per ft"));
    assert_eq!(
        new_lines(&text, &sloped),
        ["  slope 1/8 in per ft", "  slope 1/4 in per ft"]
    );
    let made = edit(&text, &of("material", &pipe, "pvc"));
    assert_eq!(new_lines(&text, &made), ["  material pvc"]);
    assert!(try_edit(&text, &of("slope", &pipe, "steep")).is_err());
}

/// A valve in the middle of a pipe, and two on one point refused.
#[test]
fn a_device() {
    let text = text();
    let pipe = told(&text, "north 4'");
    let valve =
        json!({"do": "device", "pipe": pipe.id, "at": [304.8, 914.4], "words": "ball-valve V1"});
    let done = edit(&text, &valve);
    assert!(
        done.text
            .contains("  north 2'\n  ball-valve V1\n  north 2'\n"),
        "{}",
        done.text
    );
    assert!(mistakes(&done.text).is_empty());
    let pipe = pipe_of(&done.text, "c", 0);
    let there = json!({"do": "device", "pipe": pipe.id, "at": [304.8, 914.4], "words": "union"});
    let refusal = try_edit(&done.text, &there).unwrap_err();
    assert_eq!(refusal.message, "there is something at this point already");
}
