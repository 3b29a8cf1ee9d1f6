//! Two exercises whose numbers stand in print, drawn with those numbers and marked from their corners.
//!
//! A rolling offset: rise 8 in, roll 12 in and legs of 42 and 61 in less one run each are from published practice questions of plumbing schools; the paper angles follow
//! by u = (r - l) cos 30, v = (r + l) / 2 + z. A level 45 made from two equal legs along the axes: NAVEDTRA 14265, page 19.

use glam::DVec3;
use wyeline_draw::Corner;
use wyeline_job::model::System;
use wyeline_lesson::drawing::Letters;
use wyeline_lesson::figure::{Line, Role};
use wyeline_lesson::mark::{Rubric, Task, mark};
use wyeline_lesson::{Drawing, Figure, Marks};
use wyeline_units::Scale;

use super::common::faults;

/// A pipe through points, in units of `unit` mm.
fn pipe(points: &[[f64; 3]], unit: f64) -> Figure {
    let at = |at: &[f64; 3]| DVec3::from_array(*at) * unit;
    let lines = points.windows(2).map(|pair| Line {
        from: at(&pair[0]),
        to: at(&pair[1]),
        role: Role::Pipe(System::Cold),
        part: "pipe".to_owned(),
        pipe: None,
    });
    Figure {
        lines: lines.collect(),
        ..Figure::default()
    }
}

/// A line through legs of so many mm of paper at so many degrees, counter-clockwise from the right, as the exercises tell them.
fn legs(legs: &[(f64, f64)], corner: Corner) -> Drawing {
    let mut at = [100.0, 100.0];
    let mut stroke = vec![at];
    for (angle, length) in legs {
        let angle = angle.to_radians();
        at = [at[0] + length * angle.cos(), at[1] - length * angle.sin()];
        stroke.push(at);
    }
    Drawing {
        corner: Some(corner.word().to_owned()),
        strokes: vec![stroke],
        ..Drawing::default()
    }
}

fn marked(figure: &Figure, corner: Corner, scale: Scale, drawing: &Drawing) -> Marks {
    let task = Task {
        figure,
        corner,
        scale,
        pitch_mm: 6.35,
    };
    mark(task, drawing, Rubric::published())
}

/// What is left of the rubric for a bare pipe: orientation 20, angles 8, piping 20 of 48, so that a point counts 100 / 48.
const POINT: f64 = 100.0 / 48.0;

fn close(marks: &Marks, wanted: &[(&str, f64)]) {
    let got = faults(marks);
    let same = got.len() == wanted.len()
        && got
            .iter()
            .zip(wanted)
            .all(|(got, wanted)| got.0 == wanted.0 && (got.1 - wanted.1 * POINT).abs() < 1e-4);
    assert!(same, "{got:?} instead of {wanted:?}: {marks:?}");
    let lost: f64 = wanted.iter().map(|fault| fault.1 * POINT).sum();
    assert!((marks.got - (100.0 - lost)).abs() < 1e-4, "{marks:?}");
}

/// Inches of the building on paper at 1 in to the foot: 25.4 / 12 mm; three of them are a square.
const INCH: f64 = 25.4 / 12.0;

/// Exercise A at 45 degrees: leg A 27.58 in east, run 14.42, roll 12 north, rise 8, leg C 46.58 east.
fn rolling() -> Figure {
    let (a, run, c) = (27.58, 14.42, 46.58);
    pipe(
        &[
            [0.0, 0.0, 0.0],
            [a, 0.0, 0.0],
            [a + run, 12.0, 8.0],
            [a + run + c, 12.0, 8.0],
        ],
        25.4,
    )
}

/// Corner, the way east goes on paper, angle and length of the travel, as printed.
const TRAVEL: [(Corner, f64, f64, f64); 4] = [
    (Corner::Sw, 30.0, 84.35, 21.31),
    (Corner::Se, 330.0, 16.52, 23.87),
    (Corner::Ne, 210.0, 248.07, 5.62),
    (Corner::Nw, 150.0, 158.07, 24.67),
];

#[test]
fn the_rolling_offset_drawn_by_its_printed_numbers_is_full_from_each_corner() {
    for (corner, east, angle, length) in TRAVEL {
        let drawing = legs(
            &[
                (east, 27.58 * INCH),
                (angle, length * INCH),
                (east, 46.58 * INCH),
            ],
            corner,
        );
        let marks = marked(&rolling(), corner, Scale(12), &drawing);
        assert_eq!(
            (marks.got, marks.corner),
            (100.0, Some(corner.word())),
            "{marks:?}"
        );
    }
}

#[test]
fn a_rolling_offset_drawn_at_45_or_as_a_riser_is_named() {
    // The travel is 20.40 in long in truth.
    for (corner, east, drawn, fault) in [
        (Corner::Sw, 30.0, (45.0, 21.31), "forty-five-at-45"),
        (Corner::Se, 330.0, (45.0, 20.40), "forty-five-at-45"),
        (Corner::Se, 330.0, (90.0, 20.40), "forty-five-as-riser"),
        (Corner::Nw, 150.0, (90.0, 20.40), "forty-five-as-riser"),
        // From the north-east the travel is drawn 5.62 in long; its true length along the slanting line is the fault.
        (Corner::Ne, 210.0, (248.07, 20.40), "slant-measured"),
    ] {
        let drawing = legs(
            &[
                (east, 27.58 * INCH),
                (drawn.0, drawn.1 * INCH),
                (east, 46.58 * INCH),
            ],
            corner,
        );
        close(
            &marked(&rolling(), corner, Scale(12), &drawing),
            &[(fault, 4.0)],
        );
    }
}

/// A foot of the building on paper at 1/4 in to the foot: a square.
const FOOT: f64 = 6.35;

/// Exercise B: 4 ft east, a 45 with legs of 3 ft to the north-east, 4 ft north; all level.
fn level_45() -> Figure {
    pipe(
        &[
            [0.0, 0.0, 0.0],
            [4.0, 0.0, 0.0],
            [7.0, 3.0, 0.0],
            [7.0, 7.0, 0.0],
        ],
        304.8,
    )
}

/// Corner and the points (u right, v up, ft) as printed.
const POINTS: [(Corner, [[f64; 2]; 3]); 4] = [
    (Corner::Sw, [[3.464, 2.0], [3.464, 5.0], [0.0, 7.0]]),
    (Corner::Se, [[3.464, -2.0], [8.660, -2.0], [12.124, 0.0]]),
    (Corner::Ne, [[-3.464, -2.0], [-3.464, -5.0], [0.0, -7.0]]),
    (Corner::Nw, [[-3.464, 2.0], [-8.660, 2.0], [-12.124, 0.0]]),
];

fn through(points: &[[f64; 2]], corner: Corner) -> Drawing {
    let paper = |at: &[f64; 2]| [100.0 + at[0] * FOOT, 100.0 - at[1] * FOOT];
    let stroke = std::iter::once(&[0.0, 0.0])
        .chain(points)
        .map(paper)
        .collect();
    Drawing {
        corner: Some(corner.word().to_owned()),
        strokes: vec![stroke],
        ..Drawing::default()
    }
}

#[test]
fn the_level_45_drawn_by_its_printed_points_is_full_from_each_corner() {
    for (corner, points) in POINTS {
        let marks = marked(&level_45(), corner, Scale(48), &through(&points, corner));
        assert_eq!(
            (marks.got, marks.corner),
            (100.0, Some(corner.word())),
            "{marks:?}"
        );
    }
}

#[test]
fn the_square_by_which_the_45_is_built_costs_nothing() {
    let (corner, points) = POINTS[1];
    let mut drawing = through(&points, corner);
    // From the south-east east goes down to the right, north up to the right: legs of 3 ft from P1 to P2, either way round.
    let paper = |at: [f64; 2]| [100.0 + at[0] * FOOT, 100.0 - at[1] * FOOT];
    let (east, north) = ([3.464 + 2.598, -3.5], [3.464 + 2.598, -0.5]);
    for leg in [east, north] {
        drawing
            .strokes
            .push(vec![paper([3.464, -2.0]), paper(leg), paper([8.660, -2.0])]);
    }
    assert_eq!(marked(&level_45(), corner, Scale(48), &drawing).got, 100.0);
}

#[test]
fn the_45_is_named_when_it_is_lettered_or_drawn_as_what_it_is_not() {
    // From the south-west it stands upright on paper: who letters it a riser has not read the plan.
    let (sw, points) = POINTS[0];
    let mut riser = through(&points, sw);
    riser.letters.push(Letters {
        at: [100.0 + 4.2 * FOOT, 100.0 - 3.5 * FOOT],
        text: "UP".to_owned(),
        height: 3.0,
    });
    close(
        &marked(&level_45(), sw, Scale(48), &riser),
        &[("forty-five-as-riser", 4.0)],
    );
    for (corner, drawn, fault) in [
        (
            sw,
            [(30.0, 4.0), (90.0, 4.243), (150.0, 4.0)],
            "slant-measured",
        ),
        (
            sw,
            [(30.0, 4.0), (45.0, 4.243), (150.0, 4.0)],
            "forty-five-at-45",
        ),
        (
            sw,
            [(0.0, 4.0), (90.0, 3.0), (150.0, 4.0)],
            "level-on-paper",
        ),
        (
            sw,
            [(30.0, 4.0), (90.0, 3.0), (180.0, 4.0)],
            "level-on-paper",
        ),
        (
            Corner::Se,
            [(330.0, 4.0), (90.0, 4.243), (30.0, 4.0)],
            "forty-five-as-riser",
        ),
        (
            Corner::Se,
            [(330.0, 4.0), (0.0, 4.243), (30.0, 4.0)],
            "slant-measured",
        ),
    ] {
        let drawn = drawn.map(|(angle, length)| (angle, length * FOOT));
        close(
            &marked(&level_45(), corner, Scale(48), &legs(&drawn, corner)),
            &[(fault, 4.0)],
        );
    }
}

#[test]
fn the_45_drawn_round_its_two_legs_is_named() {
    // From the south-west: 3 ft east at 30 degrees, then 3 ft north at 150.
    let drawn = [(30.0, 7.0), (150.0, 7.0)].map(|(angle, length)| (angle, length * FOOT));
    close(
        &marked(
            &level_45(),
            Corner::Sw,
            Scale(48),
            &legs(&drawn, Corner::Sw),
        ),
        &[("forty-five-square", 4.0)],
    );
}

#[test]
fn a_length_counts_once_and_the_rest_moves_with_it() {
    // 6 ft instead of 4 at the end, and 6 instead of 4 at the beginning: everything after it lies elsewhere.
    for drawn in [
        [(30.0, 4.0), (90.0, 3.0), (150.0, 6.0)],
        [(30.0, 6.0), (90.0, 3.0), (150.0, 4.0)],
    ] {
        let drawn = drawn.map(|(angle, length)| (angle, length * FOOT));
        close(
            &marked(
                &level_45(),
                Corner::Sw,
                Scale(48),
                &legs(&drawn, Corner::Sw),
            ),
            &[("wrong-length", 4.0)],
        );
    }
}
