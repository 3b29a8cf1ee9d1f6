//! Which of two pipes passes in front where they cross on paper: the one that is nearer to the corner looked from.

use kurbo::Point;
use wyeline_network::model::PipeIx;

use super::facts::choice;
use super::{Asking, At, Kind, Question};

/// How much nearer one has to be, mm along the line of sight, and how far from their ends they cross, mm: no reader has to guess. Our own choice.
const NEARER: f64 = 25.0;
const FROM_ENDS: f64 = 75.0;
/// Sine of the least angle between them on paper.
const ANGLE: f64 = 0.3;

/// A pipe on paper at full scale: its ends and their depths, as drawn and as it truly lies.
struct Line {
    ix: PipeIx,
    drawn: ([Point; 2], [f64; 2]),
    truly: ([Point; 2], [f64; 2]),
    nodes: [wyeline_network::model::NodeIx; 2],
}

/// Asks which of two pipes is in front.
pub(super) fn ask(asking: &mut Asking) -> Option<Question> {
    let facts = asking.facts;
    let lines: Vec<Line> = facts
        .plain()
        .map(|(ix, pipe)| {
            let on_paper = |(a, b): (glam::DVec3, glam::DVec3)| {
                let ends = [a, b];
                (
                    ends.map(|p| facts.projection.point(p)),
                    ends.map(|p| facts.projection.depth(p)),
                )
            };
            Line {
                ix,
                drawn: on_paper(facts.network.drawn(pipe)),
                truly: on_paper(facts.truly(pipe)),
                nodes: [pipe.from, pipe.to],
            }
        })
        .collect();
    let mut candidates = Vec::new();
    for (n, a) in lines.iter().enumerate() {
        for b in &lines[n + 1..] {
            if a.nodes.iter().any(|node| b.nodes.contains(node)) {
                continue;
            }
            // Drawn with falls and without, the same one has to be in front.
            let (Some(drawn), Some(truly)) =
                (behind(&a.drawn, &b.drawn), behind(&a.truly, &b.truly))
            else {
                continue;
            };
            if drawn > NEARER && truly > NEARER {
                candidates.push((At::Pipe(a.ix), (a.ix, b.ix)));
            } else if drawn < -NEARER && truly < -NEARER {
                candidates.push((At::Pipe(b.ix), (b.ix, a.ix)));
            }
        }
    }
    let (front, (_, behind)) = asking.pick(Kind::Front, candidates)?;
    let mut about = asking.letters(&[front, At::Pipe(behind)])?;
    let named = |letter: char| format!("pipe {letter}");
    let right = named(about[0].letter);
    let wrong = [
        named(about[1].letter),
        "neither: they join there".to_owned(),
    ];
    let why = format!(
        "The line of {} is broken there: the other, nearer to the corner looked from, passes before it.",
        wrong[0]
    );
    about.sort_by_key(|one| one.letter);
    let words = format!(
        "Pipes {} and {} cross on the drawing. Which passes in front?",
        about[0].letter, about[1].letter
    );
    let answer = choice(&right, &wrong, asking.dice)?;
    Some(facts.question(Kind::Front, words, answer, why, about))
}

/// By how much the second lies behind the first where they cross well within both; nothing where they do not.
fn behind(
    (a, depth_a): &([Point; 2], [f64; 2]),
    (b, depth_b): &([Point; 2], [f64; 2]),
) -> Option<f64> {
    let (u, v) = (a[1] - a[0], b[1] - b[0]);
    let area = u.cross(v);
    let square = u.hypot() * v.hypot();
    if area.abs() <= ANGLE * square || square <= 0.0 {
        return None;
    }
    let w = b[0] - a[0];
    let (s, t) = (w.cross(v) / area, w.cross(u) / area);
    let inside = |x: f64, length: f64| {
        let clear = FROM_ENDS / length;
        (clear..=1.0 - clear).contains(&x)
    };
    let at = |depth: &[f64; 2], x: f64| depth[0] + (depth[1] - depth[0]) * x;
    (inside(s, u.hypot()) && inside(t, v.hypot())).then(|| at(depth_b, t) - at(depth_a, s))
}
