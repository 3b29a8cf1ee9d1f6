//! What is said to the learner in words: from where to look, what a step of the grid stands for, where to begin.

use glam::DVec3;
use wyeline_draw::{Corner, Projection};
use wyeline_sheet::scale_words;
use wyeline_units::Scale;

use crate::exercise::{Exercise, Subject};
use crate::solid::square_mm;

/// How an axis goes on paper from a corner: `up to the left`.
fn way(corner: Corner, axis: DVec3) -> &'static str {
    let way = Projection::new(corner, Scale(1)).vector(axis);
    match (way.y < 0.0, way.x < 0.0) {
        (true, true) => "up to the left",
        (true, false) => "up to the right",
        (false, true) => "down to the left",
        (false, false) => "down to the right",
    }
}

/// From where to look, and how north and east go on paper then.
pub(super) fn viewpoint(corner: Corner) -> String {
    format!(
        "Look from the {}: north goes {}, east {}.",
        corner.name(),
        way(corner, DVec3::Y),
        way(corner, DVec3::X)
    )
}

/// The pitch of the grid in words.
fn pitch(metric: bool) -> &'static str {
    if metric { "5 mm" } else { "1/4 in" }
}

/// What a step of the grid stands for, in words.
fn step(exercise: &Exercise, metric: bool) -> String {
    let mm = exercise.pitch_mm * f64::from(exercise.scale.0);
    if let Subject::Block(_) = exercise.subject {
        let square = square_mm(metric);
        let steps = (square / mm).round();
        return if steps > 1.0 {
            format!("{steps} steps are 1 square")
        } else {
            "1 step is 1 square".to_owned()
        };
    }
    if metric {
        return format!("1 step is {} m", mm / 1000.0);
    }
    let inches = (mm / 25.4 * 100.0).round() / 100.0;
    if inches % 12.0 == 0.0 {
        format!("1 step is {} ft", inches / 12.0)
    } else {
        format!("1 step is {inches} in")
    }
}

/// Pitch and scale of the grid.
pub(super) fn grid(exercise: &Exercise, metric: bool) -> String {
    let scale = match exercise.subject {
        Subject::Pipes(_) => format!(
            " Scale {} along the axes only.",
            scale_words(exercise.scale)
        ),
        Subject::Block(_) => String::new(),
    };
    format!(
        "Isometric grid: {} from line to line along each axis; {}.{scale} Measure along the axes, never along a slanting line.",
        pitch(metric),
        step(exercise, metric)
    )
}

/// All that the learner is told beside the plan.
pub(super) fn brief(exercise: &Exercise, metric: bool) -> Vec<String> {
    let (view, step) = (viewpoint(exercise.corner), step(exercise, metric));
    let how = match exercise.subject {
        Subject::Pipes(_) => {
            let scale = scale_words(exercise.scale);
            format!("{view} Draw on the grid sheet at {scale} ({step}) and begin at START.")
        }
        Subject::Block(_) => format!(
            "{view} Draw on the grid sheet, where {step}; begin at the corner marked START."
        ),
    };
    vec![exercise.brief.clone(), how]
}
