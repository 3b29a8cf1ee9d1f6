//! Figures to mark, and hands that draw them well or badly.

use wyeline_draw::Corner;
use wyeline_lesson::dice::Dice;
use wyeline_lesson::mark::{Rubric, Task, mark};
use wyeline_lesson::{Drawing, Figure, Marks};
use wyeline_units::Scale;
use wyeline_whole::Built;

/// 1/2 in to the foot.
pub const SCALE: Scale = Scale(24);
/// Half a foot at that scale.
pub const PITCH: f64 = 6.35;

/// The figure of a shipped example.
pub fn example(name: &str) -> Figure {
    let path = format!("{}/../../examples/{name}.wye", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read(path).expect("a shipped example");
    Figure::of_network(&Built::of(&text, |_| {}).network)
}

/// Marks by the published rubric, of a figure set from the south-west.
pub fn marked(figure: &Figure, drawing: &Drawing) -> Marks {
    let task = Task {
        figure,
        corner: Corner::Sw,
        scale: SCALE,
        pitch_mm: PITCH,
    };
    mark(task, drawing, Rubric::published())
}

/// The key as a drawing.
pub fn key(figure: &Figure, corner: Corner) -> Drawing {
    Drawing::of_key(figure, corner, SCALE, PITCH)
}

/// Names of faults, each with what it cost, in alphabetical order.
pub fn faults(marks: &Marks) -> Vec<(&str, f64)> {
    let mut all: Vec<(&str, f64)> = marks
        .faults
        .iter()
        .map(|fault| (fault.name.as_str(), fault.points))
        .collect();
    all.sort_by(|one, other| one.partial_cmp(other).expect("numbers"));
    all
}

/// Every point of a drawing put elsewhere; letters grow by `scale`.
pub fn moved(drawing: &Drawing, scale: f64, put: impl Fn([f64; 2]) -> [f64; 2]) -> Drawing {
    let mut out = drawing.clone();
    for at in out.strokes.iter_mut().flatten() {
        *at = put(*at);
    }
    for letters in &mut out.letters {
        letters.at = put(letters.at);
        letters.height *= scale;
    }
    out
}

/// A number from 0 to 1.
fn part(dice: &mut Dice) -> f64 {
    dice.whole(0, 1_000_000) as f64 / 1e6
}

/// The same drawing by another hand: strokes in another order, some drawn backwards, some in pieces, each point off by up to `wobble` pitches.
pub fn by_hand(drawing: &Drawing, wobble: f64, dice: &mut Dice) -> Drawing {
    let mut out = drawing.clone();
    out.strokes.clear();
    for stroke in &drawing.strokes {
        // Straight strokes get points on the way, as a pencil leaves them.
        let mut points = vec![stroke[0]];
        for pair in stroke.windows(2) {
            let length = (pair[1][0] - pair[0][0]).hypot(pair[1][1] - pair[0][1]);
            let count = (length / (0.8 * PITCH)).ceil().max(1.0);
            for place in 1..=count as usize {
                let share = place as f64 / count;
                points.push(
                    [0, 1].map(|axis| pair[0][axis] + share * (pair[1][axis] - pair[0][axis])),
                );
            }
        }
        for at in &mut points {
            let angle = part(dice) * std::f64::consts::TAU;
            // A small hook is drawn in one go: it wobbles as a whole, not by itself.
            let wobble = if stroke.len() > 3 {
                0.2 * wobble
            } else {
                wobble
            };
            let far = part(dice) * wobble * PITCH;
            *at = [at[0] + far * angle.cos(), at[1] + far * angle.sin()];
        }
        if dice.coin() {
            points.reverse();
        }
        let cut = points.len() / 2;
        // Arrows and hooks are one stroke: only straight lines come in pieces.
        if stroke.len() == 2 && cut > 1 && dice.coin() {
            out.strokes.push(points[..=cut].to_vec());
            out.strokes.push(points[cut..].to_vec());
        } else {
            out.strokes.push(points);
        }
    }
    dice.shuffle(&mut out.strokes);
    dice.shuffle(&mut out.letters);
    out
}
