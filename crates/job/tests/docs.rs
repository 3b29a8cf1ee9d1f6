//! Every example of the language page is read as the page says.

use wyeline_job::model::Coord;
use wyeline_job::words::{BODIES, COMPASS, DEVICES, PORTS, STATEMENTS, STEPS};
use wyeline_job::{line_index, read, tidy};
use wyeline_units::Len;

const PAGE: &str = include_str!("../../../docs/job-language.md");

/// A fenced block: what stands after its opening marks, and its lines.
struct Block {
    kind: String,
    text: String,
}

fn blocks() -> Vec<Block> {
    let mut blocks: Vec<Block> = Vec::new();
    let mut open = false;
    for line in PAGE.lines() {
        match line.strip_prefix("```") {
            Some(_) if open => open = false,
            Some(kind) => {
                open = true;
                blocks.push(Block {
                    kind: kind.to_owned(),
                    text: String::new(),
                });
            }
            None if open => {
                let text = &mut blocks.last_mut().expect("a block is open").text;
                text.push_str(line);
                text.push('\n');
            }
            None => {}
        }
    }
    blocks
}

/// The house that the examples are said about.
fn house() -> String {
    blocks()
        .into_iter()
        .find(|block| block.kind == "wye-house")
        .expect("the house")
        .text
}

/// The codes found in a text, each with its line.
fn faults(text: &str) -> Vec<String> {
    let index = line_index(text);
    let found = read(text).diagnostics;
    let line = |at| index.text(index.line(at)).to_owned();
    found
        .iter()
        .map(|fault| format!("{}: {}", fault.code, line(fault.span.start)))
        .collect()
}

#[test]
fn examples_read_without_a_mistake() {
    let none: Vec<String> = Vec::new();
    for block in blocks() {
        match block.kind.as_str() {
            "wye" => assert_eq!(faults(&format!("{}{}", house(), block.text)), none),
            "wye-house" | "wye-alone" => assert_eq!(faults(&block.text), none),
            kind => assert!(kind.starts_with("wye-wrong "), "unknown block {kind}"),
        }
    }
}

#[test]
fn wrong_examples_have_the_mistake_they_show_and_no_other() {
    let wrong = blocks()
        .into_iter()
        .filter(|block| block.kind.starts_with("wye-wrong"));
    let mut count = 0;
    for block in wrong {
        let text = format!("{}{}", house(), block.text);
        let codes: Vec<&str> = read(&text)
            .diagnostics
            .iter()
            .map(|fault| fault.code)
            .collect();
        assert_eq!(codes, [&block.kind["wye-wrong ".len()..]]);
        count += 1;
    }
    assert!(count > 0);
}

#[test]
fn every_word_that_begins_a_line_has_an_example() {
    let all: Vec<Block> = blocks()
        .into_iter()
        .filter(|block| !block.kind.contains("wrong"))
        .collect();
    let shown: Vec<&str> = all
        .iter()
        .flat_map(|block| block.text.lines())
        .filter_map(|line| line.split_whitespace().next())
        .collect();
    let devices = DEVICES.iter().map(|(word, _)| word);
    let bodies = BODIES.iter().map(|(word, _)| word);
    for word in STATEMENTS.iter().chain(&STEPS).chain(devices).chain(bodies) {
        assert!(shown.contains(word), "no example of `{word}`");
    }
}

#[test]
fn the_page_names_every_port_and_compass_word() {
    for word in PORTS.iter().chain(COMPASS.iter().map(|(word, _)| word)) {
        assert!(PAGE.contains(word), "`{word}` is not told");
    }
}

#[test]
fn tidied_examples_still_read_without_a_mistake() {
    let none: Vec<String> = Vec::new();
    for block in blocks().into_iter().filter(|block| block.kind == "wye") {
        assert_eq!(faults(&tidy(&format!("{}{}", house(), block.text))), none);
    }
}

#[test]
fn the_nested_lavatory_lies_where_the_page_says() {
    let block = blocks()
        .into_iter()
        .find(|block| block.text.contains("group floor"))
        .expect("the example of a floor");
    let job = read(&format!("{}{}", house(), block.text)).job;
    let tags: Vec<&str> = job
        .fixtures
        .iter()
        .map(|fixture| fixture.tag.text.as_str())
        .filter(|tag| tag.contains('/'))
        .collect();
    assert_eq!(tags, ["F0/E/LAV", "F0/W/LAV", "F1/E/LAV", "F1/W/LAV"]);
    // 30',6'6" as the page works out.
    let last = job.fixtures.last().expect("fixtures");
    assert_eq!(
        last.at,
        (Coord::At(Len::feet(30)), Coord::At(Len::inches(6 * 12 + 6)))
    );
}
