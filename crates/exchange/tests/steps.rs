//! Steps as one animated SVG: well-formed, all there where it stands still, and one after the other where it moves.

mod support;

use wyeline_exchange::{Frame, svg_steps};
use wyeline_sheet::Sheet;

/// Three steps of one picture, the sentences of different length.
fn written(sheet: &Sheet) -> String {
    let sentences = [
        "First.",
        "Then a longer sentence that takes longer to read.",
        "Last & <done>.",
    ];
    let frames = sentences.map(|sentence| Frame {
        title: "A step",
        sentence,
        sheet,
    });
    svg_steps(&frames)
}

fn sheet() -> Sheet {
    support::ten_feet().sheets[0].clone()
}

/// A reader that knows no style sheets shows the last picture, no sentence by itself, and the list of all.
#[test]
fn it_stands_still_where_nothing_moves_it() {
    let text = written(&sheet());
    let document = roxmltree::Document::parse(&text).expect("well-formed");
    let shown: Vec<&str> = document
        .descendants()
        .filter(|node| {
            node.attribute("class")
                .is_some_and(|class| class.starts_with("step "))
        })
        .filter(|node| node.attribute("display") != Some("none"))
        .filter_map(|node| node.attribute("class"))
        .collect();
    assert_eq!(shown, ["step s2"]);
    let list = document
        .descendants()
        .find(|node| node.attribute("class") == Some("list"))
        .expect("a list");
    let said: Vec<&str> = list.descendants().filter_map(|node| node.text()).collect();
    let said = said.join(" ");
    for sentence in ["First.", "Then a longer sentence", "Last & <done>."] {
        assert!(said.contains(sentence), "{said}");
    }
}

/// Nothing moves but on a screen whose owner did not ask for less; there is no script.
#[test]
fn it_moves_only_where_it_may() {
    let text = written(&sheet());
    assert!(!text.contains("<script") && !text.contains("<animate"));
    let (_, style) = text.split_once("<style>").expect("a style sheet");
    let (style, _) = style.split_once("</style>").expect("its end");
    let condition = "@media screen and (prefers-reduced-motion: no-preference) {";
    assert_eq!(style.trim().find(condition), Some(0));
    // Braces close with the condition's own: no rule stands outside it.
    let mut depth = 0;
    let rules = style.trim();
    for (at, c) in rules.char_indices() {
        depth += i32::from(c == '{') - i32::from(c == '}');
        assert!(
            depth > 0 || at + 1 == rules.len() || at < condition.len(),
            "at {at}"
        );
    }
}

/// The steps' shares of the time follow one another without a gap, up to the whole.
#[test]
fn one_step_goes_as_the_next_comes() {
    let text = written(&sheet());
    let percent = |words: &str| -> f64 { words.trim().parse().expect("a number") };
    let mut ends = 0.0;
    for n in 0..3 {
        let (_, frames) = text
            .split_once(&format!("@keyframes k{n} {{"))
            .expect("key frames");
        let frames = frames.lines().next().expect("a line");
        let (before, after) = frames
            .split_once("% { visibility: visible; }")
            .expect("it is seen");
        let begins = percent(before.rsplit(' ').next().expect("a number"));
        assert!((begins - ends).abs() < 1e-9, "{n}: {begins}, {ends}");
        ends = after
            .split_once('%')
            .map_or(100.0, |(number, _)| percent(number));
        assert!(ends > begins);
    }
    assert_eq!(ends, 100.0);
}

#[test]
fn no_steps_are_a_document_too() {
    let text = svg_steps(&[]);
    assert!(roxmltree::Document::parse(&text).is_ok(), "{text}");
}
