//! The forms of strokes: straightened, taken together in line, told to be arrows and hooks.

use kurbo::Point;

use super::{LOOSE, Piece, unit};
use crate::mark::rubric::Tolerance;

/// Straight pieces taken together into lines at most: beyond that only dots count.
const PIECES: usize = 1_500;
/// A stroke is straightened at so many points at a time.
const STOPS: usize = 1_000;
/// A stroke that is an arrow or a hook by itself is no longer than this, in pitches, and legs of an arrow stand no wider, degrees.
const SIGN: f64 = 1.5;
const SHARP: f64 = 110.0;

/// Pieces that lie in line taken together, the longest first.
pub(crate) fn in_line(mut pieces: Vec<Piece>, pitch: f64, tolerance: &Tolerance) -> Vec<Piece> {
    pieces.sort_by(|one, other| other.length().total_cmp(&one.length()));
    pieces.truncate(PIECES);
    let mut out: Vec<Piece> = Vec::new();
    let mut taken = vec![false; pieces.len()];
    for first in 0..pieces.len() {
        if taken[first] {
            continue;
        }
        taken[first] = true;
        let start = pieces[first].from;
        let way = pieces[first].way();
        let (mut low, mut high) = (0.0, pieces[first].length());
        let mut grown = true;
        while grown {
            grown = false;
            for ix in first + 1..pieces.len() {
                if taken[ix] {
                    continue;
                }
                let piece = &pieces[ix];
                let [one, other] = [piece.from, piece.to].map(|at| (at - start).dot(way));
                let (near, far) = (one.min(other), one.max(other));
                if near > high + tolerance.dash * pitch || far < low - tolerance.dash * pitch {
                    continue;
                }
                let off = |at: Point| (at - start).cross(way).abs() <= 0.25 * pitch;
                // The way of a dash is less certain than that of a line.
                let cross = if piece.length() < pitch { LOOSE } else { 0.14 };
                if piece.way().cross(way).abs() <= cross && off(piece.from) && off(piece.to) {
                    taken[ix] = true;
                    low = f64::min(low, near);
                    high = f64::max(high, far);
                    grown = true;
                }
            }
        }
        out.push(Piece {
            from: start + way * low,
            to: start + way * high,
            stroke: pieces[first].stroke,
        });
    }
    out.sort_by(|one, other| other.length().total_cmp(&one.length()));
    out
}

/// The fewest points of a stroke between which straight pieces stay within `off` of it.
pub(crate) fn straightened(stroke: &[Point], off: f64) -> Vec<Point> {
    if stroke.len() < 3 {
        return stroke.to_vec();
    }
    let mut kept = vec![false; stroke.len()];
    // Stops on the way keep the work of a very long stroke within bounds.
    let mut stops: Vec<usize> = (0..stroke.len() - 1).step_by(STOPS).collect();
    stops.push(stroke.len() - 1);
    for stop in &stops {
        kept[*stop] = true;
    }
    let mut open: Vec<(usize, usize)> = stops.windows(2).map(|pair| (pair[0], pair[1])).collect();
    while let Some((first, last)) = open.pop() {
        let (from, to) = (stroke[first], stroke[last]);
        let piece = kurbo::Line::new(from, to);
        let mut farthest = (off, None);
        for (ix, at) in stroke.iter().enumerate().take(last).skip(first + 1) {
            let far = kurbo::ParamCurveNearest::nearest(&piece, *at, 1e-9)
                .distance_sq
                .sqrt();
            if far > farthest.0 {
                farthest = (far, Some(ix));
            }
        }
        if let Some(ix) = farthest.1 {
            kept[ix] = true;
            open.push((first, ix));
            open.push((ix, last));
        }
    }
    let all = stroke.iter().zip(&kept);
    all.filter(|(_, kept)| **kept).map(|(at, _)| *at).collect()
}

/// Whether a stroke is an arrow or a hook by its form alone: two short legs at a sharp angle, or a short bow.
pub(crate) fn is_sign(stroke: &[Point], pitch: f64, tolerance: &Tolerance) -> bool {
    let length: f64 = stroke
        .windows(2)
        .map(|pair| pair[0].distance(pair[1]))
        .sum();
    if stroke.len() < 3 || length > SIGN * pitch {
        return false;
    }
    if bulges(stroke) || stroke[0].distance(stroke[stroke.len() - 1]) < 0.25 * length {
        return true;
    }
    let [one, middle, other] = straightened(stroke, tolerance.wobble * pitch)[..] else {
        return false;
    };
    let legs = [one - middle, other - middle];
    let sharp = unit(legs[0]).dot(unit(legs[1])) > SHARP.to_radians().cos();
    sharp && legs.iter().all(|leg| leg.hypot() < SIGN / 2.0 * pitch)
}

/// Whether a stroke turns back in a bow rather than at a point: it fills more of the rectangle on the chord between its ends than two straight legs do, which
/// fill half of it; a half circle fills pi / 4.
pub(crate) fn bulges(stroke: &[Point]) -> bool {
    let (Some(first), Some(last)) = (stroke.first(), stroke.last()) else {
        return false;
    };
    let chord = *last - *first;
    let way = unit(chord);
    let high = stroke
        .iter()
        .map(|at| way.cross(*at - *first).abs())
        .fold(0.0, f64::max);
    let twice: f64 = stroke
        .windows(2)
        .map(|pair| (pair[0] - *first).cross(pair[1] - *first))
        .sum();
    high > 0.35 * chord.hypot() && twice.abs() / 2.0 > 0.63 * high * chord.hypot()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bow_bulges_and_two_legs_do_not() {
        let bow: Vec<Point> = (0..=8)
            .map(|step| f64::from(step) / 8.0 * std::f64::consts::PI)
            .map(|angle| Point::new(angle.cos(), angle.sin()))
            .collect();
        assert!(bulges(&bow));
        let legs = [(0.0, 0.0), (0.6, 1.0), (1.0, 0.0)].map(|(x, y)| Point::new(x, y));
        assert!(!bulges(&legs));
        assert!(!bulges(&[Point::ORIGIN; 3]));
    }

    #[test]
    fn what_wobbles_is_straightened_and_corners_stay() {
        let stroke = [(0.0, 0.0), (1.0, 0.1), (2.0, -0.1), (3.0, 0.0), (3.0, 2.0)]
            .map(|(x, y)| Point::new(x, y));
        let wanted = [(0.0, 0.0), (3.0, 0.0), (3.0, 2.0)].map(|(x, y)| Point::new(x, y));
        assert_eq!(straightened(&stroke, 0.2), wanted);
    }
}
