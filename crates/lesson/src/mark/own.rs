//! Marks a route of the learner's own: what the pencil tells becomes a job, which the code judges; the drawing is then held against that job, not
//! against the key.

use glam::DVec3;
use kurbo::Point;
use wyeline_checks::At;
use wyeline_draw::{Corner, Projection};
use wyeline_job::model::System;
use wyeline_whole::{Built, Judged};

use super::fault::Found;
use super::ink::{Ink, Piece};
use super::letter::{plain, says};
use super::rubric::{Rubric, Tolerance};
use super::{Task, corner, mark_held, total};
use crate::drawing::Drawing;
use crate::exercise::{Exercise, Subject};
use crate::figure::Figure;
use crate::marks::Marks;
use crate::own::graph::Inked;
use crate::own::{Own, Taken, own};

/// Shorter strokes are arrows and traps, in pitches.
const SIGN: f64 = 0.8;
/// A line is dashed where it is broken so often and so much of it is bare.
const DASHES: (usize, f64) = (2, 0.1);
/// Rules that a drawing cannot keep or break: what it stands in is on no sheet that the learner has.
const UNSEEN: [&str; 4] = ["structure-", "frost", "cover", "cleanout"];
/// Rules of vents, which are not asked for where the exercise draws none.
const OF_VENTS: [&str; 2] = ["vent", "trap-arm"];

/// What a drawing of an exercise gets by a rubric: against its key, or, where it is told to be the learner's own route, against the code.
pub fn mark_exercise(exercise: &Exercise, drawing: &Drawing, rubric: &Rubric) -> Marks {
    match &exercise.subject {
        Subject::Pipes(built) if drawing.own_route => own_route(exercise, built, drawing, rubric),
        _ => super::mark(exercise, drawing, rubric),
    }
}

fn own_route(exercise: &Exercise, built: &Built, drawing: &Drawing, rubric: &Rubric) -> Marks {
    let nothing = |why: &str| total::Total::of(&exercise.figure, rubric).nothing(why);
    if drawing.within_limits().is_err() {
        return nothing(
            "The drawing cannot be read: it is too large, or has points that are on no paper.",
        );
    }
    let made = match taken(exercise, built, drawing, &rubric.tolerance) {
        Ok(made) => made,
        Err(why) => return nothing(why),
    };
    let mut told = Built::of(made.text.as_bytes(), |_| ());
    let mut found: Vec<Found> = made
        .missed
        .iter()
        .map(|tag| Found {
            fault: "own-missed",
            what: tag.clone(),
            ..Found::default()
        })
        .collect();
    let projection = Projection::new(made.corner, exercise.scale);
    found.extend(by_the_code(&mut told, exercise, projection));
    let figure = Figure::of_network(&told.network);
    if figure.lines.is_empty() {
        return nothing(
            "No line of the drawing could be followed from where the sewer or the service comes in.",
        );
    }
    let seen = Drawing {
        corner: Some(made.corner.word().to_owned()),
        ..drawing.clone()
    };
    let task = Task {
        figure: &figure,
        ..Task::from(exercise)
    };
    let mut marks = mark_held(task, &seen, rubric, (&exercise.figure, found));
    marks.notes.push("Marked as a route of your own: by the code and by each fixture being reached, not by the key.".to_owned());
    if !made.unread.is_empty() {
        marks.notes.push(format!(
            "{} of its lines lead nowhere known from the sewer or the service, and were left out.",
            made.unread.len()
        ));
    }
    marks
}

/// The drawing as runs of a job.
fn taken(
    exercise: &Exercise,
    built: &Built,
    drawing: &Drawing,
    tolerance: &Tolerance,
) -> Result<Own, &'static str> {
    let strokes: Vec<Vec<Point>> = drawing
        .strokes
        .iter()
        .map(|stroke| stroke.iter().map(|at| Point::new(at[0], at[1])).collect())
        .collect();
    let pitch = exercise.pitch_mm;
    let ink = Ink::of(&strokes, pitch, tolerance);
    let vents = [plain("V"), plain("VENT")];
    let vees: Vec<Point> = drawing
        .letters
        .iter()
        .filter(|letters| says(&letters.text, &vents))
        .map(|letters| Point::new(letters.at[0], letters.at[1]))
        .collect();
    let lines: Vec<Inked> = ink
        .lines(pitch, tolerance)
        .into_iter()
        .filter(|line| line.length() >= SIGN * pitch)
        .map(|line| inked(&line, &ink, &vees, pitch, tolerance))
        .collect();
    let letters: Vec<(Point, String)> = drawing
        .letters
        .iter()
        .map(|letters| {
            (
                Point::new(letters.at[0], letters.at[1]),
                letters.text.clone(),
            )
        })
        .collect();
    let said = drawing.corner.as_deref().and_then(corner);
    let corners = said.map_or_else(|| Corner::ALL.to_vec(), |said| vec![said]);
    let taken = Taken {
        lines: &lines,
        letters: &letters,
        corners: &corners,
        scale: exercise.scale,
        pitch,
        near: tolerance.distance * pitch,
    };
    own(built, &exercise.text, &taken).map_err(|why| why.words())
}

fn inked(line: &Piece, ink: &Ink, vees: &[Point], pitch: f64, tolerance: &Tolerance) -> Inked {
    let cover = ink.cover(line.from, line.to, pitch, tolerance);
    let way = line.way();
    let lettered = vees.iter().any(|at| {
        let along = (*at - line.from).dot(way);
        (0.0..=line.length()).contains(&along) && (*at - line.from).cross(way).abs() <= pitch
    });
    Inked {
        a: line.from,
        b: line.to,
        dashed: lettered || (cover.breaks >= DASHES.0 && cover.open >= DASHES.1 * cover.length),
    }
}

/// Mistakes and broken rules of what was drawn, each at its place on the key's paper.
fn by_the_code(told: &mut Built, exercise: &Exercise, projection: Projection) -> Vec<Found> {
    let mistakes = told.diagnostics.iter().filter(|one| {
        one.severity == wyeline_job::Severity::Mistake && one.code != "unreached-fixture"
    });
    let mut found: Vec<Found> = mistakes
        .map(|one| Found {
            fault: "own-rule",
            what: sentence(&one.message),
            ..Found::default()
        })
        .collect();
    let vented = exercise
        .figure
        .lines
        .iter()
        .any(|line| line.role.system() == Some(System::Vent));
    let Ok(judged) = Judged::of(told, None) else {
        return found;
    };
    let checked = judged.check(told);
    let begins = |rule: &str, with: &[&str]| with.iter().any(|start| rule.starts_with(start));
    for finding in &checked.findings {
        let of_vents = begins(finding.rule, &OF_VENTS);
        if begins(finding.rule, &UNSEEN) || (of_vents && !vented) {
            continue;
        }
        let at = place(told, finding.at).map(|at| projection.point(at));
        found.push(Found {
            fault: if of_vents {
                "own-vent-rule"
            } else {
                "own-rule"
            },
            at,
            what: format!("{} ({})", sentence(&finding.message), finding.cite),
            ..Found::default()
        });
    }
    found
}

fn place(told: &Built, at: At) -> Option<DVec3> {
    let network = &told.network;
    match at {
        At::Node(ix) => Some(network.node(ix).drawn()),
        At::Pipe(ix) => {
            let (from, to) = network.drawn(network.pipe(ix));
            Some(from.midpoint(to))
        }
        At::Fixture(ix) => Some(network.fixtures[ix.0 as usize].anchor),
        At::Job => None,
    }
}

/// With a capital and a full stop left to the table.
fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
