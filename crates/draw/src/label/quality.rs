//! Measures a sheet's labels by what makes them easy to read.
//!
//! The list is that of our notes on labels: overlaps, labels on foreign pipes, distance in text
//! heights, share aligned, share on the usual side, share with leaders, smallest text, leaders that
//! cross anything.

use std::collections::BTreeMap;

use kurbo::{Point, Vec2};

use super::check::{What, check};
use crate::picture::{About, LabelClass, Picture, PipeMark};

/// The measures of one picture.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Quality {
    /// Labels, letters in lines included.
    pub labels: usize,
    /// Pairs that touch and must not.
    pub overlaps: usize,
    /// Labels on a pipe.
    pub on_pipes: usize,
    /// Mean distance of a pipe's block from its pipe, in text heights.
    pub mean_distance: f64,
    /// Worst such distance among blocks without a leader.
    pub worst_distance: f64,
    /// Share of pipes' blocks on the usual side, of those without a leader.
    pub usual_side: f64,
    /// Share of labels with a leader (letters in lines and level marks not counted).
    pub leaders: f64,
    /// Leaders that cross anything.
    pub crossing_leaders: usize,
    /// Height of the smallest capitals, mm.
    pub smallest: f64,
    /// Rows in the overflow table.
    pub overflow: usize,
}

/// Measures the labels of a picture.
pub fn quality(picture: &Picture) -> Quality {
    let touches = check(picture);
    let is = |t: &super::Touch, f: fn(&What) -> bool| f(&t.one) || f(&t.other);
    let mut q = Quality {
        labels: picture.labels.len(),
        overlaps: touches.len(),
        on_pipes: touches
            .iter()
            .filter(|t| is(t, |w| matches!(w, What::Pipe(_))))
            .count(),
        crossing_leaders: touches
            .iter()
            .filter(|t| is(t, |w| matches!(w, What::Leader(_))))
            .count(),
        overflow: picture.overflow.len(),
        smallest: f64::INFINITY,
        ..Quality::default()
    };
    let mut marks: BTreeMap<_, &PipeMark> = BTreeMap::new();
    for mark in &picture.pipes {
        marks.insert(mark.pipe, mark);
    }
    let (mut blocks, mut beside, mut usual, mut with_leader, mut counted) =
        (0_u32, 0_u32, 0_u32, 0_u32, 0_u32);
    for label in &picture.labels {
        q.smallest = label
            .lines
            .iter()
            .map(|l| l.height)
            .fold(q.smallest, f64::min);
        // Letters in lines have no choice, level marks always their tie.
        if !matches!(label.class, LabelClass::Letters | LabelClass::Level) {
            counted += 1;
            with_leader += u32::from(label.leader.is_some());
        }
        let (About::Pipe(pipe), LabelClass::Pipe) = (label.about, label.class) else {
            continue;
        };
        let Some((mark, &(a, first))) = marks.get(&pipe).and_then(|m| Some((m, m.pieces.first()?)))
        else {
            continue;
        };
        let b = mark.pieces.last().map_or(first, |p| p.1);
        let height = label.lines.iter().map(|l| l.height).fold(2.5, f64::max);
        let away = label
            .area
            .iter()
            .map(|&c| distance(c, a, b))
            .fold(f64::INFINITY, f64::min);
        // From the pen's edge to the glyphs, which lie 0.3 mm inside the area.
        let distance = (away - mark.pen.width / 2.0 + 0.3) / height;
        blocks += 1;
        q.mean_distance += distance;
        if label.leader.is_none() {
            beside += 1;
            q.worst_distance = q.worst_distance.max(distance);
            let sum = label.area.iter().fold(Vec2::ZERO, |v, c| v + c.to_vec2()) / 4.0;
            let off = sum - a.midpoint(b).to_vec2();
            let upright = (b - a).x.abs() < 0.05 * (b - a).hypot();
            usual += u32::from(if upright {
                off.x < 0.0
            } else {
                above(sum.to_point(), a, b)
            });
        }
    }
    q.mean_distance /= f64::max(1.0, f64::from(blocks));
    q.usual_side = f64::from(usual) / f64::max(1.0, f64::from(beside));
    q.leaders = f64::from(with_leader) / f64::max(1.0, f64::from(counted));
    q
}

/// Whether `p` lies above the line through `a` and `b`.
fn above(p: Point, a: Point, b: Point) -> bool {
    let (left, right) = if a.x <= b.x { (a, b) } else { (b, a) };
    (right - left).cross(p - left) < 0.0
}

fn distance(p: Point, a: Point, b: Point) -> f64 {
    let line = b - a;
    let t = ((p - a).dot(line) / line.hypot2().max(1e-12)).clamp(0.0, 1.0);
    p.distance(a + line * t)
}
