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
/// Ink is broken where a gap is wider than this, and a bit of it shorter than that is a dash, in pitches.
const BREAK: f64 = 0.12;
const DASH: f64 = 1.5;
/// Rules that a drawing cannot keep or break: what it stands in is on no sheet that the learner has.
const UNSEEN: [&str; 4] = ["structure-", "frost", "cover", "cleanout"];
/// What is said of sizes, which a pencil does not tell.
const OF_SIZES: &str = "the largest vent";
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
    let made = match followed(exercise, built, drawing, &rubric.tolerance) {
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

/// What a drawing is understood as: runs of a job in place of the exercise's own.
///
/// # Errors
/// It is not understood, or the exercise is of a kind that is not; in plain words.
pub fn followed(
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
    let lines = ink.lines(pitch, tolerance);
    let long = lines.iter().filter(|line| line.length() >= SIGN * pitch);
    let lines: Vec<Inked> = long
        .flat_map(|line| stretches(line, &ink, pitch, tolerance))
        .map(|line| lettered(line, &vees, pitch))
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

/// A straight line as stretches that are drawn full or dashed: a drain and the vent that goes on from it lie in one line.
fn stretches(line: &Piece, ink: &Ink, pitch: f64, tolerance: &Tolerance) -> Vec<Inked> {
    let way = line.way();
    let near = tolerance.distance * pitch;
    let off = |at: Point| (at - line.from).cross(way).abs() <= near;
    let own = ink.pieces.iter().filter(|piece| {
        off(piece.from) && off(piece.to) && piece.way().cross(way).abs() <= tolerance.cross()
    });
    let mut bits: Vec<(f64, f64)> = own
        .map(|piece| {
            let [one, other] = [piece.from, piece.to].map(|at| (at - line.from).dot(way));
            (one.min(other), one.max(other))
        })
        .filter(|(from, to)| *to >= -near && *from <= line.length() + near)
        .collect();
    bits.sort_by(|one, other| one.0.total_cmp(&other.0));
    // Ink without a break is one bit; but a dash that touches the end of a full line is still a dash.
    let is_short = |(from, to): (f64, f64)| to - from < DASH * pitch;
    let mut whole: Vec<(f64, f64)> = Vec::new();
    for bit in bits {
        match whole.last_mut() {
            Some(last) if bit.1 <= last.1 => {}
            Some(last) if bit.0 <= last.1 + BREAK * pitch && is_short(*last) == is_short(bit) => {
                last.1 = bit.1;
            }
            _ => whole.push(bit),
        }
    }
    // Dashes that follow one another are one stretch, and so are full bits with a slip of the pencil between them.
    let mut all: Vec<(f64, f64, bool)> = Vec::new();
    for (ix, (from, to)) in whole.iter().enumerate() {
        let dash_beside = |at: Option<usize>| {
            let other = at.and_then(|at| whole.get(at));
            other.is_some_and(|other| {
                is_short(*other) && (other.0 > to + BREAK * pitch || other.1 < from - BREAK * pitch)
            })
        };
        let dashed =
            is_short((*from, *to)) && (dash_beside(Some(ix + 1)) || dash_beside(ix.checked_sub(1)));
        match all.last_mut() {
            Some(last) if from - last.1 > tolerance.dash * pitch => all.push((*from, *to, dashed)),
            Some(last) if last.2 == dashed => last.1 = *to,
            // The dashed stretch takes the gap: it reaches as far as the full one.
            Some(last) => {
                let from = if dashed { last.1 } else { *from };
                if !dashed {
                    last.1 = from;
                }
                all.push((from, *to, dashed));
            }
            None => all.push((*from, *to, dashed)),
        }
    }
    let at = |along: f64| line.from + way * along;
    all.into_iter()
        .map(|(from, to, dashed)| Inked {
            a: at(from),
            b: at(to),
            dashed,
        })
        .collect()
}

/// The same, a vent also where it is lettered V.
fn lettered(line: Inked, vees: &[Point], pitch: f64) -> Inked {
    let length = line.a.distance(line.b);
    let way = (line.b - line.a) / length.max(1e-9);
    let beside = |at: &Point| {
        let along = (*at - line.a).dot(way);
        (0.0..=length).contains(&along) && (*at - line.a).cross(way).abs() <= pitch
    };
    Inked {
        dashed: line.dashed || vees.iter().any(beside),
        ..line
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
        if begins(finding.rule, &UNSEEN)
            || finding.message.starts_with(OF_SIZES)
            || (of_vents && !vented)
        {
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
