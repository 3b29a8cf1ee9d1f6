//! What a network asks for, counted from the words of a shipped job; and a drawing made elsewhere, read from SVG.

use std::fmt::Write;

use wyeline_draw::Corner;
use wyeline_job::model::System;
use wyeline_lesson::figure::{Role, What};
use wyeline_lesson::mark::{Rubric, Task, mark};
use wyeline_lesson::{Drawing, Figure};
use wyeline_units::Scale;

use super::common::{example, key, marked, moved};

fn count(figure: &Figure, what: impl Fn(&What) -> bool) -> usize {
    figure.spots.iter().filter(|spot| what(&spot.what)).count()
}

/// half-bath.wye: a closet, a lavatory, a kitchen sink; one vent through the roof; cold and hot.
#[test]
fn the_half_bath_asks_for_what_its_job_tells() {
    let figure = example("half-bath");
    let tags: Vec<&str> = figure
        .spots
        .iter()
        .filter_map(|spot| match &spot.what {
            What::Fixture { tag, .. } => Some(tag.as_str()),
            _ => None,
        })
        .collect();
    assert_eq!(tags, ["WC1", "LAV1", "KS1"]);
    // The closet has its trap in itself.
    assert_eq!(count(&figure, |what| matches!(what, What::Trap { .. })), 2);
    let lettered = |word: &str| {
        count(
            &figure,
            |what| matches!(what, What::Letters { letters, .. } if letters[0] == word),
        )
    };
    assert_eq!(
        (
            lettered("VTR"),
            lettered("C"),
            lettered("H"),
            lettered("CO")
        ),
        (1, 1, 1, 0)
    );
    // One arrow at each fixture; one where each drop turns level: below the closet, the sink and the lavatory; one where the sink's drain drops into the
    // building drain and one where the new drain does.
    assert_eq!(
        count(&figure, |what| matches!(what, What::Flow { .. })),
        3 + 3 + 2
    );
    // What lies between a fixture and the first junction serves it alone: the closet's drop and 3 ft 6 in of drain up to LAV-WYE.
    let alone = figure
        .lines
        .iter()
        .filter(|line| line.part == "half-bath" && line.role == Role::Branch(System::Waste));
    assert_eq!(alone.count(), 2);
    let main = figure
        .lines
        .iter()
        .filter(|line| line.part == "building-drain");
    assert!(
        main.into_iter()
            .all(|line| line.role == Role::Pipe(System::Waste))
    );
}

#[test]
fn falls_are_left_out_and_lines_lie_along_the_axes() {
    for name in ["half-bath", "heron-cottage"] {
        for line in &example(name).lines {
            let way = line.to - line.from;
            let axes = way
                .to_array()
                .iter()
                .filter(|along| along.abs() > 1e-6)
                .count();
            assert_eq!(axes, 1, "{name}: {line:?}");
        }
    }
}

/// The key of an example written as SVG in inches, with dashes as a pattern would make them, is read back and marks as full.
#[test]
fn a_drawing_from_svg_is_marked_like_one_from_the_page() {
    let figure = example("half-bath");
    let drawing = key(&figure, Corner::Nw);
    let mut svg = String::from(
        "<svg xmlns='http://www.w3.org/2000/svg' width='20in' height='20in' viewBox='0 0 508 508'>",
    );
    for stroke in &drawing.strokes {
        let points: Vec<String> = stroke
            .iter()
            .map(|at| format!("{} {}", at[0], at[1]))
            .collect();
        write!(
            svg,
            "<path fill='none' stroke='black' d='M{}'/>",
            points.join("L")
        )
        .expect("a string");
    }
    for letters in &drawing.letters {
        let (x, y) = (letters.at[0], letters.at[1] + letters.height / 2.0);
        write!(
            svg,
            "<text x='{x}' y='{y}' font-size='{}' text-anchor='middle'>{}</text>",
            letters.height / 0.7,
            letters.text
        )
        .expect("a string");
    }
    svg += "</svg>";
    let read = Drawing::read(svg.as_bytes()).expect("an svg");
    assert_eq!(read.strokes.len(), drawing.strokes.len());
    let marks = marked(&figure, &read);
    assert_eq!(
        (marks.got, marks.corner),
        (100.0, Some("nw")),
        "{:?}",
        marks.faults
    );
    // It says no corner, and the exercise names another: that is said and costs nothing.
    assert!(
        marks.notes.iter().any(|note| note.contains("north-west")),
        "{:?}",
        marks.notes
    );
}

#[test]
fn what_a_page_saves_is_read_back() {
    // Eighths of a millimetre are the same in binary and in decimals.
    let eighths = |at: [f64; 2]| at.map(|along| (along * 8.0).round() / 8.0);
    let mut drawing = moved(&key(&example("half-bath"), Corner::Sw), 1.0, eighths);
    for letters in &mut drawing.letters {
        letters.height = 3.0;
    }
    let text = serde_json::to_string(&drawing).expect("plain data");
    assert_eq!(Drawing::read(text.as_bytes()), Ok(drawing));
}

/// Headings that an exercise has nothing for give their weight to the others: water has neither flow nor vents, so 100 - 12 - 16 = 72 are left.
#[test]
fn weights_of_idle_headings_go_to_the_others() {
    let figure = example("family-bath-water");
    let task = Task {
        figure: &figure,
        corner: Corner::Sw,
        scale: Scale(24),
        pitch_mm: 6.35,
    };
    let marks = mark(task, &key(&figure, Corner::Sw), Rubric::published());
    let of = |name: &str| {
        marks
            .headings
            .iter()
            .find(|heading| heading.name == name)
            .expect("a heading")
            .of
    };
    assert_eq!((of("flow"), of("vents")), (0.0, 0.0));
    assert!((of("piping") - 20.0 * 100.0 / 72.0).abs() < 1e-5);
    assert!(
        marks.notes.iter().any(|note| note.contains("flow, vents")),
        "{:?}",
        marks.notes
    );
}
