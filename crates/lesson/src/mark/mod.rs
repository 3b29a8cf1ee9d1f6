//! Marks a drawing against the key of an exercise: ink and letters against the figure's projection from each of the four corners.
//!
//! A drawn line fixes no point in space, so nothing is rebuilt from ink: the key is laid over the drawing (`pose`), its nodes are moved where that explains the ink
//! better (`place`), and what then does not agree is named (`lines`, `symbol`, `letter`) and counted by the rubric (`total`).

mod fault;
mod ink;
pub(crate) mod key;
pub(crate) mod letter;
mod lines;
mod own;
mod place;
mod pose;
pub mod rubric;
mod symbol;
mod total;

use kurbo::Point;
use wyeline_draw::Corner;
use wyeline_units::Scale;

use crate::drawing::Drawing;
use crate::exercise::Exercise;
use crate::figure::{Figure, What};
use crate::marks::Marks;
use fault::Found;
use ink::Ink;
use key::Key;
use letter::{Labels, plain, says};
use lines::Lines;
pub use own::{followed, mark_exercise};
use place::Place;
use pose::{Pose, Search};
pub use rubric::{HEADINGS, Rubric, RubricError};
use symbol::Signs;

/// A pose with this score fits so well that no other is looked at, unless that is as good but for `CLEARLY`.
const FITS: f64 = 0.9;
const CLEARLY: f64 = 0.2;
/// All of the ink, but for bits at corners; and as much of the key as tells it from others.
const ALL: f64 = 0.98;
const HALF: f64 = 0.5;
/// So many lines are looked at closely in all poses together; in four poses at least.
const CLOSELY: usize = 160;
/// A pose that leaves less than this share of the key unexplained is settled against those whose score is worse by `WORSE`.
const SETTLED: f64 = 0.1;
const WORSE: f64 = 0.12;
/// What it counts against a pose, in pitches of unexplained ink, that it is not what was told.
const ODD: f64 = 1.0;

/// What a drawing is marked against.
#[derive(Clone, Copy, Debug)]
pub struct Task<'a> {
    /// What was to be drawn.
    pub figure: &'a Figure,
    /// The corner that the exercise names.
    pub corner: Corner,
    /// Its scale.
    pub scale: Scale,
    /// Distance of the grid's lines along an axis, mm of paper.
    pub pitch_mm: f64,
}

impl<'a> From<&'a Exercise> for Task<'a> {
    fn from(exercise: &'a Exercise) -> Self {
        Self {
            figure: &exercise.figure,
            corner: exercise.corner,
            scale: exercise.scale,
            pitch_mm: exercise.pitch_mm,
        }
    }
}

/// What a drawing gets by a rubric.
///
/// Takes it from any of the four corners, anywhere on the sheet, at any scale that is consistent, in any order. A drawing that fits the key from nowhere gets
/// nothing; so does one that is beyond the limits of [`Drawing::within_limits`].
pub fn mark<'a>(task: impl Into<Task<'a>>, drawing: &Drawing, rubric: &Rubric) -> Marks {
    let task = task.into();
    mark_held(task, drawing, rubric, (task.figure, Vec::new()))
}

/// The same by the headings that `asked` has something for, with faults that were found before.
fn mark_held(
    task: Task<'_>,
    drawing: &Drawing,
    rubric: &Rubric,
    (asked, mut found): (&Figure, Vec<Found>),
) -> Marks {
    let pitch = if task.pitch_mm.is_finite() && task.pitch_mm > 0.0 {
        task.pitch_mm
    } else {
        1.0
    };
    let total = total::Total::of(asked, rubric);
    if drawing.within_limits().is_err() {
        return total.nothing(
            "The drawing cannot be read: it is too large, or has points that are on no paper.",
        );
    }
    let strokes: Vec<Vec<Point>> = drawing
        .strokes
        .iter()
        .map(|stroke| stroke.iter().map(|at| Point::new(at[0], at[1])).collect())
        .collect();
    let letters: Vec<Point> = drawing
        .letters
        .iter()
        .map(|letters| Point::new(letters.at[0], letters.at[1]))
        .collect();
    let keys: Vec<Key> = Corner::ALL
        .into_iter()
        .map(|corner| Key::of(task.figure, corner, task.scale))
        .collect();
    let fixtures: Vec<_> = keys
        .iter()
        .map(|key| fixtures(task.figure, key, drawing))
        .collect();
    let search = Search {
        keys: &keys,
        pitch,
        tolerance: &rubric.tolerance,
        fixtures: &fixtures,
        letters: &letters,
    };
    let declared = drawing.corner.as_deref().and_then(corner);
    let wanted = declared.unwrap_or(task.corner);
    let on_key = |pose: Pose| -> Vec<Vec<Point>> {
        let stroke = |stroke: &Vec<Point>| stroke.iter().map(|at| pose.to_key(*at)).collect();
        strokes.iter().map(stroke).collect()
    };
    // From here on everything lies in the key's units.
    let inks: Vec<(Pose, Ink)> = chosen(search.poses(&strokes), &keys, wanted)
        .into_iter()
        .map(|pose| (pose, Ink::of(&on_key(pose), pitch, &rubric.tolerance)))
        .collect();
    let mut best: Option<(f64, Pose, &Ink, Place)> = None;
    for (pose, ink) in &inks {
        let key = &keys[pose.view];
        // One that explains nearly all of the drawing leaves no room for those that fit far worse.
        let settled = |best: &(f64, Pose, &Ink, Place)| {
            best.0 * pitch < SETTLED * key.length() && pose.score < best.1.score - WORSE
        };
        if best.as_ref().is_some_and(settled) {
            continue;
        }
        let mut place = Place::of(key, ink, pitch, &rubric.tolerance);
        let cost = place.unexplained() + odd(*pose, key.corner, wanted);
        if best.as_ref().is_none_or(|best| cost < best.0) {
            best = Some((cost, *pose, ink, place));
        }
    }
    let Some((_, pose, ink, mut place)) = best else {
        return total.nothing("Nothing is drawn.");
    };
    // A scribble finds every line and explains none of itself.
    if pose.found.min(place.explained()) < rubric.tolerance.unknown {
        return total.nothing("The drawing fits the exercise from none of the four corners.");
    }
    let seen = keys[pose.view].corner;
    if pose.mirrored {
        found.push(Found {
            fault: "mirrored",
            way: wanted.name().to_owned(),
            ..Found::default()
        });
    } else if let Some(declared) = declared.filter(|declared| *declared != seen) {
        found.push(Found {
            fault: "turned",
            way: declared.name().to_owned(),
            got: seen.name().to_owned(),
            ..Found::default()
        });
    }
    let key = &keys[pose.view];
    let turned = on_key(pose);
    let there: Vec<Point> = letters.iter().map(|at| pose.to_key(*at)).collect();
    let lettered = |words: &[&str]| -> Vec<Point> {
        let words: Vec<String> = words.iter().map(|&word| plain(word)).collect();
        let all = drawing.letters.iter().zip(&there);
        all.filter(|(letters, _)| says(&letters.text, &words))
            .map(|(_, at)| *at)
            .collect()
    };
    let symbols = Signs {
        figure: task.figure,
        key,
        place: &place,
        ink,
        strokes: &turned,
        pitch,
        near: rubric.tolerance.symbol * pitch,
        trap_letters: &lettered(&["T", "TRAP", "PTRAP"]),
    }
    .judge();
    let labels = Labels {
        figure: task.figure,
        key,
        place: &place,
        letters: &drawing.letters,
        at: &there,
        strokes: &strokes,
        pitch,
        tolerance: &rubric.tolerance,
    };
    found.extend(labels.faults());
    found.extend(labels.hard_to_read());
    found.extend(symbols.faults);
    let mut lines = Lines {
        figure: task.figure,
        key,
        place: &mut place,
        pitch,
        tolerance: &rubric.tolerance,
        vees: &lettered(&["V", "VENT"]),
        risers: &lettered(&["UP", "R", "RISER", "DN", "DOWN", "DROP"]),
    };
    found.extend(lines.faults());
    lines.place.allow_help();
    found.extend(lines.too_many(&symbols.pieces));
    let mut notes = Vec::new();
    if declared.is_none() && seen != task.corner && !pose.mirrored {
        notes.push(format!(
            "It is drawn as seen from the {}, where the exercise names the {}: any corner is taken.",
            seen.name(),
            task.corner.name()
        ));
    }
    if drawing.own_route {
        notes.push(
            "It is said to be a route of its own, and was marked against the key all the same."
                .to_owned(),
        );
    }
    if (pose.scale - 1.0).abs() > pose::OWN {
        notes.push(format!("It is drawn {:.2} times as large as asked: any scale is taken that is the same throughout.", pose.scale));
    }
    total.marks(seen, &found, pose, notes)
}

/// Where fixtures stand on a key, and which letters of a drawing may tell each.
fn fixtures(figure: &Figure, key: &Key, drawing: &Drawing) -> Vec<(Point, Vec<usize>)> {
    let told = figure.spots.iter().filter_map(|spot| match &spot.what {
        What::Fixture { letters, .. } => Some((spot.at, letters)),
        _ => None,
    });
    told.map(|(at, wanted)| {
        let all = drawing.letters.iter().enumerate();
        let may = all
            .filter(|(_, letters)| says(&letters.text, wanted))
            .map(|(ix, _)| ix);
        (key.projection.point(at), may.collect())
    })
    .collect()
}

/// A corner by its word or name, in any case.
fn corner(word: &str) -> Option<Corner> {
    let word = word.trim().to_lowercase();
    Corner::ALL
        .into_iter()
        .find(|corner| corner.word() == word || corner.name() == word)
}

/// What speaks against a pose before the drawing is looked at, in pitches of unexplained ink: another corner than was told, a mirror image, another scale.
fn odd(pose: Pose, seen: Corner, wanted: Corner) -> f64 {
    let all = [
        seen != wanted || pose.mirrored,
        pose.mirrored,
        (pose.scale - 1.0).abs() > pose::OWN,
    ];
    all.into_iter().filter(|odd| *odd).count() as f64 * ODD
}

/// The poses that are looked at closely: the one that nothing speaks against alone where it fits well, otherwise a few of the best.
fn chosen(mut poses: Vec<Pose>, keys: &[Key], wanted: Corner) -> Vec<Pose> {
    let odd = |pose: &Pose| odd(*pose, keys[pose.view].corner, wanted);
    // A pitch of ink more or less is of little weight against all of a drawing.
    let rank = |pose: &Pose| pose.score - 0.02 * odd(pose);
    poses.sort_by(|one, other| rank(other).total_cmp(&rank(one)));
    let Some(first) = poses.first() else {
        return poses;
    };
    // A drawing all of whose ink lies where it was told to is unfinished, whatever else its lines would fit.
    let unfinished = |pose: &&Pose| odd(pose) == 0.0 && pose.used >= ALL && pose.found >= HALF;
    if let Some(told) = poses.iter().find(unfinished).copied() {
        return vec![told];
    }
    let next = poses.get(1).map_or(0.0, |next| next.score);
    if first.score >= FITS && (odd(first) == 0.0 || first.score - CLEARLY > next) {
        poses.truncate(1);
    }
    let lines = keys.first().map_or(1, |key| key.lines.len().max(1));
    let most = (CLOSELY / lines).clamp(4, 16);
    // The one that nothing speaks against is always looked at.
    if let Some(told) = poses.iter().position(|pose| odd(pose) == 0.0)
        && told >= most
    {
        poses.swap(told, most - 1);
    }
    poses.truncate(most);
    poses
}
