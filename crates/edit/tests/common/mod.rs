//! Jobs and edits of the tests.

#![allow(dead_code, reason = "each test file uses some of it")]

use wyeline_edit::{Done, Edit, Refusal, apply};
use wyeline_network::Network;

/// A bath of 10 ft by 6 ft 6 in on a floor over a cellar, with nothing in it.
pub const ROOM: &str = "\
units ft-in
level cellar floor -8'
level main   floor 0' ceiling 8'
roof 10'

wall main 0',0' 10',0' 10',6'6\" 0',6'6\" 0',0' thick 4-1/2\"
";

/// The same bath with fixtures.
pub const BATH: &str = "\
units ft-in
level cellar floor -8'
level main   floor 0' ceiling 8'
roof 10'

wall main 0',0' 10',0' 10',6'6\" 0',6'6\" 0',0' thick 4-1/2\"

fixture WC1  water-closet main 3',6'6\"   faces south  # by the window
fixture LAV1 lavatory     main 8'6\",6'6\" faces south
fixture WH1  water-heater main 9',1'     faces west
";

/// A gesture, as the page in the browser sends it.
pub fn gesture(json: &serde_json::Value) -> Edit {
    serde_json::from_value(json.clone()).expect("a gesture")
}

/// Makes an edit of a text.
pub fn try_edit(text: &str, json: &serde_json::Value) -> Result<Done, Refusal> {
    let reading = wyeline_job::read(text);
    let built = wyeline_network::build(&reading.job, text);
    apply(text, &reading.job, &built.network, &gesture(json))
}

/// Makes an edit that has to succeed; what is changed comes to the new text.
pub fn edit(text: &str, json: &serde_json::Value) -> Done {
    let done = try_edit(text, json).unwrap_or_else(|refusal| panic!("{refusal:?}"));
    assert_eq!(
        changed(text, &done),
        done.text,
        "the changes are not those of the text"
    );
    done
}

/// The old text with the changes made.
pub fn changed(old: &str, done: &Done) -> String {
    let mut text = String::new();
    let mut at = 0;
    for change in &done.changes {
        assert!(at == 0 || change.from as usize > at, "changes touch");
        text.push_str(&old[at..change.from as usize]);
        text.push_str(&change.text);
        at = change.to as usize;
    }
    text.push_str(&old[at..]);
    text
}

/// Lines of the new text that the old one has not, at their places.
pub fn new_lines(old: &str, done: &Done) -> Vec<String> {
    let old: Vec<&str> = old.lines().collect();
    let new = done.text.lines().filter(|line| !old.contains(line));
    new.map(ToOwned::to_owned).collect()
}

/// The chosen line of the new text.
pub fn chosen(done: &Done) -> &str {
    let line = done.chosen.expect("a line is chosen") as usize;
    done.text.lines().nth(line - 1).expect("the chosen line")
}

/// The network of a text.
pub fn network(text: &str) -> Network {
    let reading = wyeline_job::read(text);
    wyeline_network::build(&reading.job, text).network
}

/// The mistakes of a text, its meaning left aside.
pub fn mistakes(text: &str) -> Vec<&'static str> {
    let found = wyeline_job::read(text).diagnostics;
    found.into_iter().map(|one| one.code).collect()
}
