//! A half bath drawn by hand from an empty job, gesture by gesture.

mod common;

use common::edit;
use serde_json::{Value, json};

fn inches(inches: f64) -> f64 {
    inches * 25.4
}

/// 8 ft by 6 ft, a closet on the north wall at 2 ft and a lavatory at 6 ft; the drain along 4 ft north, 9 in
/// under the floor, and the lavatory's vent. Every place is a little off, as a hand is.
#[test]
fn a_half_bath() {
    let at = |x: f64, y: f64| [inches(x), inches(y)];
    let gestures: Vec<Value> = vec![
        json!({"do": "add", "words": "units ft-in"}),
        json!({"do": "add", "words": "level main floor 0' ceiling 8'"}),
        json!({"do": "add", "words": "roof 10'"}),
        json!({"do": "room", "level": "main", "a": at(0.3, -0.2), "b": at(96.2, 71.9), "name": "BATH", "thick": "4-1/2\"", "within": 40.0}),
        json!({"do": "fixture", "kind": "water-closet", "level": "main", "at": at(24.4, 60.0), "within": 40.0}),
        json!({"do": "fixture", "kind": "lavatory", "level": "main", "at": at(71.7, 65.0), "within": 40.0}),
        json!({"do": "start", "system": "waste", "level": "main", "at": at(-24.2, 48.1), "within": 40.0, "size": "3\""}),
        json!({"do": "pull", "run": "waste-1", "to": at(23.2, 49.0), "within": 40.0}),
        json!({"do": "catch", "run": "waste-1", "tag": "WC1"}),
        json!({"do": "step", "run": "waste-1", "words": "size 2\""}),
        json!({"do": "pull", "run": "waste-1", "to": at(72.9, 47.4), "within": 40.0}),
        json!({"do": "meet", "run": "waste-1", "at": at(72.0, 73.5), "within": 40.0}),
        json!({"do": "start", "system": "vent", "level": "main", "at": at(72.2, 74.0), "within": 40.0, "size": "1-1/2\""}),
        json!({"do": "rise", "run": "vent-1", "to": "up through roof"}),
        json!({"do": "height", "line": 13, "words": "main floor -1'"}),
    ];
    let mut text = String::new();
    for gesture in &gestures {
        text = edit(&text, gesture).text;
    }
    let wanted = "units ft-in

level main floor 0' ceiling 8'
roof 10'

wall main 0',0' 8',0' 8',6' 0',6' 0',0' thick 4-1/2\"
room \"BATH\" main 4',3'

fixture WC1 water-closet main 2',6' faces south
fixture LAV1 lavatory    main 6',6' faces south

waste waste-1
  start -2',4' main floor -1'
  size  3\"
  east  to abreast WC1.drain
  catch WC1
  size  2\"
  east  to abreast LAV1.tee
  end   LAV1

vent vent-1
  start LAV1.tee
  size  1-1/2\"
  up    through roof
";
    assert_eq!(text, wanted);
    let reading = wyeline_job::read(&text);
    let built = wyeline_network::build(&reading.job, &text);
    assert!(
        reading.diagnostics.is_empty() && built.diagnostics.is_empty(),
        "{:?}",
        built.diagnostics
    );
}
