//! Marks a route of the learner's own: what the pencil tells becomes a job, which the code judges; the drawing is then held against that job, not
//! against the key.

use glam::DVec3;
use kurbo::{Line, ParamCurveNearest, Point, Vec2};
use wyeline_checks::At;
use wyeline_draw::{Corner, Projection};
use wyeline_job::Severity;
use wyeline_job::model::System;
use wyeline_whole::{Built, Judged};

use super::fault::Found;
use super::ink::{Ink, Piece, in_line};
use super::letter::{plain, says};
use super::rubric::{Rubric, Tolerance};
use super::{Task, corner, mark_held, total};
use crate::drawing::Drawing;
use crate::exercise::{Exercise, Subject};
use crate::figure::Figure;
use crate::marks::Marks;
use crate::own::graph::Inked;
use crate::own::{Own, Taken, Why, own};

/// Shorter strokes are arrows and traps, in pitches.
const SIGN: f64 = 0.8;
/// A bent stroke shorter than this is an arrow or a trap, in pitches.
const BENT: f64 = 2.5;
/// Ink is broken where a gap is wider than this, and a bit of it shorter than that is a dash, in pitches.
const BREAK: f64 = 0.12;
const DASH: f64 = 0.9;
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
        own_route: false,
        ..drawing.clone()
    };
    let task = Task {
        figure: &figure,
        ..Task::from(exercise)
    };
    let mut marks = mark_held(task, &seen, rubric, (&exercise.figure, found));
    marks.notes.push("Marked as a route of your own: by the code and by each fixture being reached, not by the key.".to_owned());
    if told
        .diagnostics
        .iter()
        .any(|one| one.severity == Severity::Mistake)
    {
        marks.notes.push(
            "Parts of it could not be followed for certain: an instructor has to look at it."
                .to_owned(),
        );
    }
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
    let lines: Vec<Inked> = drawn(&ink, pitch, tolerance)
        .into_iter()
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
    // A steady hand leaves small gaps: what is near together stays apart as long as that makes sense of the drawing.
    let mut best: Result<Own, Why> = Err(Why::NotPlaced);
    for near in NEAR {
        let taken = Taken {
            lines: &lines,
            letters: &letters,
            corners: &corners,
            scale: exercise.scale,
            pitch,
            near: near * tolerance.distance * pitch,
        };
        let made = own(built, &exercise.text, &taken);
        let left = |own: &Own| own.missed.len() + own.unread.len();
        let better = match (&made, &best) {
            (Ok(made), Ok(best)) => left(made) < left(best),
            (Ok(_), Err(_)) => true,
            (Err(_), _) => false,
        };
        if better {
            best = made;
        } else if let (Err(why), Err(_)) = (&made, &best) {
            best = Err(*why);
        }
        if best.as_ref().is_ok_and(|own| left(own) == 0) {
            break;
        }
    }
    best.map_err(Why::words)
}

/// Lines may miss each other by these shares of the tolerance, tried one after the other.
const NEAR: [f64; 3] = [0.4, 0.7, 1.0];

/// Straight lines, full and dashed; arrows and traps left out.
fn drawn(ink: &Ink, pitch: f64, tolerance: &Tolerance) -> Vec<Inked> {
    let pieces = ink
        .pieces
        .iter()
        .filter(|piece| !is_sign(piece.stroke, ink, pitch));
    let (short, long): (Vec<Piece>, Vec<Piece>) =
        pieces.partition(|piece| piece.length() < DASH * pitch);
    let full = long.into_iter().map(|piece| Inked {
        a: piece.from,
        b: piece.to,
        dashed: false,
    });
    let chains = in_line(short.clone(), pitch, tolerance);
    let chains = chains
        .into_iter()
        .filter(|chain| chain.length() >= SIGN * pitch)
        .map(|chain| {
            let way = chain.way();
            let off = |at: Point| (at - chain.from).cross(way).abs() <= 0.25 * pitch;
            let mut bits: Vec<(f64, f64)> = short
                .iter()
                .filter(|piece| {
                    off(piece.from)
                        && off(piece.to)
                        && piece.way().cross(way).abs() <= tolerance.cross()
                })
                .map(|piece| {
                    let [one, other] = [piece.from, piece.to].map(|at| (at - chain.from).dot(way));
                    (one.min(other), one.max(other))
                })
                .filter(|(from, to)| *from >= -1e-6 && *to <= chain.length() + 1e-6)
                .collect();
            bits.sort_by(|one, other| one.0.total_cmp(&other.0));
            let gaps = bits
                .windows(2)
                .filter(|pair| pair[1].0 > pair[0].1 + BREAK * pitch)
                .count();
            Inked {
                a: chain.from,
                b: chain.to,
                dashed: gaps > 0,
            }
        });
    let mut all: Vec<Inked> = full.chain(chains).collect();
    reach(&mut all, tolerance.dash * pitch);
    all
}

/// Whether a stroke is an arrow or a trap: short, and bent sharply.
fn is_sign(stroke: usize, ink: &Ink, pitch: f64) -> bool {
    let own: Vec<&Piece> = ink
        .pieces
        .iter()
        .filter(|piece| piece.stroke == stroke)
        .collect();
    let long: f64 = own.iter().map(|piece| piece.length()).sum();
    // More than a quarter turn in all.
    let bent: f64 = own
        .windows(2)
        .map(|pair| pair[0].way().dot(pair[1].way()).clamp(-1.0, 1.0).acos())
        .sum();
    long < BENT * pitch && bent > std::f64::consts::FRAC_PI_2
}

/// An end that comes to another line within this share of a gap of dashes meets it.
const TOUCH: f64 = 0.2;

/// A dashed line's ends reach on to the end of another line that lies in its way within a gap of dashes.
fn reach(lines: &mut [Inked], gap: f64) {
    let ends: Vec<(usize, Point)> = lines
        .iter()
        .enumerate()
        .flat_map(|(ix, line)| [(ix, line.a), (ix, line.b)])
        .collect();
    let as_drawn: Vec<Line> = lines.iter().map(|line| Line::new(line.a, line.b)).collect();
    for (ix, line) in lines.iter_mut().enumerate().filter(|(_, line)| line.dashed) {
        let way = (line.b - line.a) / line.a.distance(line.b).max(1e-9);
        let onward = |from: Point, way: Vec2| {
            let on = |(other, line): (usize, &Line)| {
                other != ix && line.nearest(from, 1e-6).distance_sq.sqrt() <= TOUCH * gap
            };
            let meets = as_drawn.iter().enumerate().any(on);
            if meets {
                return None;
            }
            let ahead = ends
                .iter()
                .filter(|(other, _)| *other != ix)
                .map(|(_, at)| *at);
            let ahead = ahead.filter(|at| {
                (0.0..=gap).contains(&(*at - from).dot(way))
                    && (*at - from).cross(way).abs() <= 0.25 * gap
            });
            ahead.min_by(|one, other| one.distance(from).total_cmp(&other.distance(from)))
        };
        if let Some(at) = onward(line.b, way) {
            line.b = at;
        }
        if let Some(at) = onward(line.a, -way) {
            line.a = at;
        }
    }
}

/// The same line, a vent also where it is lettered V.
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
    let mistakes = told
        .diagnostics
        .iter()
        .filter(|one| one.severity == Severity::Mistake && one.code != "unreached-fixture");
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
