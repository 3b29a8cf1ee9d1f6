//! Hatching of construction planes: a quiet band beside the pipe, with room left for lettering.
//!
//! Hatching is interrupted where words stand in it (ISO 128-50, from memory).

use kurbo::{BezPath, PathSeg, Point, Rect, Vec2};

use crate::label::field::{Field, Thing};
use crate::label::shape::Oblong;
use crate::picture::{Frame, Label};
use crate::style::{self, Line};

/// A piece of hatching shorter than this between two labels is left out, mm. Own choice.
const SPECK: f64 = 0.3;

/// What is hatched of a plane's half: all of it, or of a large one a band along the side that is the
/// pipe or its shadow.
pub(crate) fn beside_pipe(triangle: [Point; 3]) -> Vec<Point> {
    let band = style::sizes().hatch_band;
    let [a, corner, b] = triangle;
    let base = b - a;
    let height = (base.cross(corner - a) / base.hypot().max(1e-9)).abs();
    if height <= band {
        return triangle.to_vec();
    }
    let t = band / height;
    vec![a, a.lerp(corner, t), b.lerp(corner, t), b]
}

/// Parallel lines across a convex polygon, at the hatching distance.
pub(crate) fn hatch(polygon: &[Point], along: Vec2, path: &mut BezPath) {
    let spacing = style::sizes().hatch_spacing;
    let across = Vec2::new(-along.y, along.x);
    let at: Vec<f64> = polygon.iter().map(|p| across.dot(p.to_vec2())).collect();
    let from = at.iter().copied().fold(f64::INFINITY, f64::min);
    let to = at.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let count = ((to - from) / spacing).ceil();
    // A plane seen on edge has nothing to hatch; one beyond any sheet is left bare.
    if !(1.0..10_000.0).contains(&count) {
        return;
    }
    for k in 1..count as u32 {
        let level = from + f64::from(k) * spacing;
        let mut cuts = Vec::with_capacity(2);
        for e in 0..polygon.len() {
            let next = (e + 1) % polygon.len();
            let (p, q) = (polygon[e], polygon[next]);
            let (hp, hq) = (at[e], at[next]);
            if (hp < level) != (hq < level) {
                cuts.push(p.lerp(q, (level - hp) / (hq - hp)));
            }
        }
        if let [p, q] = cuts[..] {
            path.move_to(p);
            path.line_to(q);
        }
    }
}

/// Takes the hatching of frames away from where labels stand.
pub(crate) fn clear_of(labels: &[Label], frames: &mut [Frame]) {
    let pen = Some(style::line(Line::Hatch));
    let hatching = || {
        frames
            .iter()
            .flat_map(|f| &f.strokes)
            .filter(|s| s.pen == pen)
    };
    if hatching().next().is_none() || labels.is_empty() {
        return;
    }
    let corners = labels.iter().flat_map(|l| l.area);
    let all = corners
        .map(|p| Rect::from_points(p, p))
        .reduce(|a, b| a.union(b))
        .unwrap_or(Rect::ZERO);
    let mut areas = Field::new(all, labels.len());
    for (i, label) in labels.iter().enumerate() {
        let [a, b, _, d] = label.area;
        let middle = (d - a) / 2.0;
        areas.add(
            Oblong::of_stroke(a + middle, b + middle, middle.hypot()),
            Thing::Label(i as u32),
        );
    }
    let strokes = frames.iter_mut().flat_map(|f| &mut f.strokes);
    for stroke in strokes.filter(|s| s.pen == pen) {
        let mut left = BezPath::new();
        for segment in stroke.path.segments() {
            let PathSeg::Line(line) = segment else {
                continue;
            };
            let (p, q) = (line.p0, line.p1);
            let mut covered: Vec<(f64, f64)> = Vec::new();
            areas.any(&Oblong::of_stroke(p, q, 0.0), |_, area, _| {
                covered.extend(inside(p, q, area));
                false
            });
            covered.sort_by(|a, b| a.0.total_cmp(&b.0));
            let mut from = 0.0;
            for (enter, leave) in covered.into_iter().chain([(1.0, 1.0)]) {
                if (enter - from) * p.distance(q) > SPECK {
                    left.move_to(p.lerp(q, from));
                    left.line_to(p.lerp(q, enter));
                }
                from = leave.max(from);
            }
        }
        stroke.path = left;
    }
}

/// The part of a line inside a box lying at any angle, as fractions of its length: cut by the
/// box's two pairs of sides (Liang and Barsky, ACM TOG 3(1), 1984).
fn inside(p: Point, q: Point, area: &Oblong) -> Option<(f64, f64)> {
    let across = Vec2::new(-area.along.y, area.along.x);
    let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
    for (axis, half) in [(area.along, area.half.0), (across, area.half.1)] {
        let (at, d) = ((p - area.centre).dot(axis), (q - p).dot(axis));
        if d.abs() < 1e-12 {
            if at.abs() >= half {
                return None;
            }
            continue;
        }
        let (a, b) = ((-half - at) / d, (half - at) / d);
        enter = enter.max(a.min(b));
        leave = leave.min(a.max(b));
    }
    (leave > enter).then_some((enter, leave))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A box of 4 by 2 about the origin, turned by 90 degrees: it is 2 wide and 4 high. A level line from -10 to 10
    /// is inside from -1 to 1, which is from 9/20 to 11/20 of it; one at a height of 3 is not.
    #[test]
    fn a_line_is_inside_a_box_between_two_of_its_sides() {
        let area = Oblong {
            centre: Point::ZERO,
            along: Vec2::new(0.0, 1.0),
            half: (2.0, 1.0),
        };
        let at = |y| inside(Point::new(-10.0, y), Point::new(10.0, y), &area);
        let (enter, leave) = at(0.0).expect("it goes through");
        assert!((enter - 0.45).abs() < 1e-12 && (leave - 0.55).abs() < 1e-12);
        assert_eq!(at(3.0), None);
    }

    /// A label of 4 by 2 mm about the origin takes the middle out of a hatching line through it and leaves the one
    /// 3 mm above alone.
    #[test]
    fn hatching_is_interrupted_where_words_stand() {
        let mut path = BezPath::new();
        for y in [0.0, -3.0] {
            path.move_to((-10.0, y));
            path.line_to((10.0, y));
        }
        let mut frames = [Frame {
            pipe: wyeline_network::model::PipeIx(0),
            strokes: vec![crate::ink::Stroke {
                path,
                pen: Some(style::line(Line::Hatch)),
                fill: None,
            }],
            edges: Vec::new(),
        }];
        let label = Label {
            about: crate::picture::About::Building,
            class: crate::picture::LabelClass::Note,
            lines: Vec::new(),
            area: [(-2.0, -1.0), (2.0, -1.0), (2.0, 1.0), (-2.0, 1.0)].map(Point::from),
            leader: None,
            strokes: Vec::new(),
        };
        clear_of(&[label], &mut frames);
        let pieces: Vec<[f64; 3]> = frames[0].strokes[0]
            .path
            .segments()
            .filter_map(|s| match s {
                PathSeg::Line(l) => Some([l.p0.x, l.p1.x, l.p0.y]),
                _ => None,
            })
            .map(|p| p.map(|v| (v * 1e6).round() / 1e6))
            .collect();
        assert_eq!(
            pieces,
            [[-10.0, -2.0, 0.0], [2.0, 10.0, 0.0], [-10.0, 10.0, -3.0]]
        );
    }
}
