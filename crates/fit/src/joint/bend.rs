//! Turns of a drain or vent: the bend that makes the angle and that the code lets make it.
//!
//! Standard bends and the rolled pair of two bends: trade mathematics (u . w = cos A1, w . v = cos A2 has a
//! solution where |A1 - A2| <= angle <= A1 + A2).

use std::f64::consts::SQRT_2;

use super::build::{Build, Dimension, larger, sizes};
use super::ends::{about, degrees};
use super::{End, Verdict};
use crate::model::{Allowance, Shape, Trust};
use crate::name;
use crate::shelf::LegKind;

/// Bends by their angle, degrees, those most used first: ASTM D3311 and CISPI 301 (lists of patterns, from memory).
pub(crate) const BENDS: [(Shape, f64); 9] = [
    (Shape::EighthBend, 45.0),
    (Shape::QuarterBend, 90.0),
    (Shape::SixteenthBend, 22.5),
    (Shape::SixthBend, 60.0),
    (Shape::FifthBend, 72.0),
    (Shape::ThirtySecondBend, 11.25),
    (Shape::TwelfthBend, 30.0),
    (Shape::SixtyFourthBend, 5.625),
    (Shape::LongSweep, 90.0),
];

/// The angle a shape turns by, degrees.
pub(crate) fn angle(shape: Shape) -> Option<f64> {
    match shape {
        Shape::ShortSweep | Shape::ClosetBend | Shape::VentElbow => Some(90.0),
        shape => BENDS
            .iter()
            .find_map(|&(bend, angle)| (bend == shape).then_some(angle)),
    }
}

/// Bends that turn by an angle, the one to try first first.
fn candidates(build: &Build, from: &End, to: &End, turn: f64) -> Vec<Shape> {
    if about(turn, 90.0) {
        let closet = build.ground.drains_closet(from.pipe) && from.vertical() && !to.vertical();
        return match (from.dry && to.dry, closet) {
            // A vent elbow is shorter, but no standard's length of one is at hand: it stands where the job tells it.
            (true, _) => vec![Shape::QuarterBend, Shape::VentElbow, Shape::LongSweep],
            (_, true) => vec![Shape::ClosetBend, Shape::ShortSweep, Shape::LongSweep],
            _ => vec![Shape::QuarterBend, Shape::ShortSweep, Shape::LongSweep],
        };
    }
    BENDS
        .iter()
        .filter(|(_, angle)| about(turn, *angle))
        .map(|&(shape, _)| shape)
        .collect()
}

/// A turn from one end to the other.
pub(crate) fn bend(build: &mut Build, from: &End, to: &End) {
    let turn = degrees(from.flow(), to.flow());
    if let Some(told) = super::told::shapes(build) {
        return told_bend(build, from, to, turn, &told);
    }
    let shelf = build.ground.given.shelf;
    let made = |shape: &Shape| shelf.has(to.family, *shape);
    let tried: Vec<Shape> = candidates(build, from, to, turn)
        .into_iter()
        .filter(made)
        .collect();
    let lawful = tried
        .iter()
        .map(|&shape| (shape, build.ground.law.says(shape, from, to)))
        .find(|(_, verdict)| verdict.yes());
    if let Some((shape, verdict)) = lawful {
        return single(build, from, to, shape, &verdict);
    }
    let eighths = build.ground.law.says(Shape::EighthBend, from, to);
    if about(turn, 90.0) && shelf.has(to.family, Shape::EighthBend) && eighths.yes() {
        return two_eighths(build, from, to, &eighths);
    }
    none(build, to, turn);
}

/// One bend, as large as the larger of its pipes.
fn single(build: &mut Build, from: &End, to: &End, shape: Shape, verdict: &Verdict) {
    let size = larger(from.size, to.size);
    let ends = if shape == Shape::ClosetBend {
        sizes(&[from.size, to.size])
    } else {
        sizes(&[size])
    };
    let family = to.family;
    build.add(shape, to, ends, verdict.cite().cloned());
    let unequal = ends_differ(shape, from, to);
    for (end, side) in [(from, LegKind::RunInlet), (to, LegKind::RunOutlet)] {
        let leg = if unequal {
            build.dimension(family, shape, &sizes(&[from.size, to.size]), side)
        } else {
            build.dimension(family, shape, &sizes(&[size]), LegKind::Each)
        };
        build.take(end, [leg]);
        build.bush(end, if unequal { end.size } else { size });
        super::inline::adapt(build, end, family);
    }
}

/// A closet bend may be larger at the closet.
fn ends_differ(shape: Shape, from: &End, to: &End) -> bool {
    shape == Shape::ClosetBend && from.size != to.size
}

/// Two eighth bends in place of a quarter, close together: spigot of one in the socket of the other where such a
/// bend is made, else as close as two sockets come.
fn two_eighths(build: &mut Build, from: &End, to: &End, verdict: &Verdict) {
    let size = larger(from.size, to.size);
    let ends = sizes(&[size]);
    let leg = build.dimension(to.family, Shape::EighthBend, &ends, LegKind::Each);
    for _ in 0..2 {
        build.add(Shape::EighthBend, to, ends.clone(), verdict.cite().cloned());
    }
    for end in [from, to] {
        build.take(end, [corner(leg.clone())]);
        build.bush(end, size);
    }
}

/// What two eighth bends set close take off each pipe: both legs b lie on the slant of length 2b, whose corner is
/// 2b / sqrt 2 away, and b again along the pipe.
fn corner(leg: Dimension) -> Dimension {
    leg.map(|leg| Allowance {
        what: format!("two {} set close: leg x (1 + sqrt 2)", leg.what),
        mm: leg.mm * (1.0 + SQRT_2),
        trust: Trust::Low,
        error_mm: leg.error_mm.map(|error| error * (1.0 + SQRT_2)),
        source: leg.source,
        tell: leg.tell,
    })
}

/// What the job says stands here, where it makes the turn.
fn told_bend(build: &mut Build, from: &End, to: &End, turn: f64, told: &[Shape]) {
    let [first, rest @ ..] = told else {
        return;
    };
    let verdict = build.ground.law.says(*first, from, to);
    let what = name::shape(*first);
    if !verdict.yes() {
        build.unlawful(
            what,
            &verdict,
            "take a longer fitting, or leave the choice to the rule",
        );
    }
    match rest {
        [] if angle(*first).is_some_and(|angle| about(turn, angle)) => {
            single(build, from, to, *first, &verdict);
        }
        [Shape::EighthBend] if *first == Shape::EighthBend && about(turn, 90.0) => {
            two_eighths(build, from, to, &verdict);
        }
        _ => build.no_fitting(
            format!("the fittings told do not turn by {}", show(turn)),
            "name a bend of that angle, or two eighth bends for a quarter turn",
        ),
    }
}

/// No single bend: which two would, rolled against each other.
fn none(build: &mut Build, to: &End, turn: f64) {
    let shelf = build.ground.given.shelf;
    let pair = pair(turn, |shape| shelf.has(to.family, shape));
    let help = match pair {
        Some((a, b)) => format!(
            "{} and {} rolled against each other make it; or tell the turn with the angle of a bend",
            name::shape(a),
            name::shape(b)
        ),
        None => "tell the turn with the angle of a bend: 22.5, 45, 60 or 90 degrees".to_owned(),
    };
    build.no_fitting(format!("no bend turns by {}", show(turn)), help);
}

/// The two bends that make an angle with the least turning between them.
fn pair(turn: f64, made: impl Fn(Shape) -> bool) -> Option<(Shape, Shape)> {
    let bends = || {
        BENDS
            .iter()
            .filter(|(shape, _)| *shape != Shape::LongSweep && made(*shape))
    };
    let mut best: Option<(f64, (Shape, Shape))> = None;
    for &(a, by_a) in bends() {
        for &(b, by_b) in bends().filter(|(_, by_b)| *by_b <= by_a) {
            let sum = by_a + by_b;
            let makes = by_a - by_b <= turn && turn <= sum;
            if makes && best.is_none_or(|(least, _)| sum < least) {
                best = Some((sum, (a, b)));
            }
        }
    }
    best.map(|(_, pair)| pair)
}

fn show(degrees: f64) -> String {
    format!("{degrees:.1} degrees")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 37 degrees lie between 45 - 22.5 and 22.5 + 22.5: two sixteenth bends (sum 45) turn least; with no sixteenth
    /// bend on the shelf 30 and 11.25 (sum 41.25) do.
    #[test]
    fn the_pair_that_turns_least() {
        let common = |shape| matches!(shape, Shape::EighthBend | Shape::SixteenthBend);
        assert_eq!(
            pair(37.0, common),
            Some((Shape::SixteenthBend, Shape::SixteenthBend))
        );
        assert_eq!(
            pair(37.0, |_| true),
            Some((Shape::TwelfthBend, Shape::ThirtySecondBend))
        );
        assert_eq!(pair(170.0, common), None);
    }

    /// A 45 of leg 1-3/4 in: s = 2 x 1.75 / 1.41421 = 2.4749, and 1.75 more is 4.2249 in.
    #[test]
    fn two_eighth_bends_round_a_corner() {
        let leg = Allowance {
            what: "3\" 1/8 bend".to_owned(),
            mm: 1.75,
            trust: Trust::Medium,
            error_mm: None,
            source: String::new(),
            tell: None,
        };
        let corner = corner(Ok(leg)).unwrap();
        assert!((corner.mm - 4.2249).abs() < 1e-4, "{}", corner.mm);
    }
}
