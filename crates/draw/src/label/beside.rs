//! Places right beside what a block is about, each with what it costs in clearness.
//!
//! Order of merit after Imhof's rules for lines (close, straight, level, usual side) with
//! distances of 0.5 to 1.0 text heights. Costs are our own choice; 1 is about what standing on
//! the less usual side costs.

use kurbo::{Point, Rect, Vec2};

use super::block::{Align, CLEAR};
use super::candidate::{Candidate, LEADER_CLEAR};
use super::field::Thing;
use super::near::Near;
use super::shape::Oblong;
use super::slide::{Slide, Span};
use super::want::{Spot, Want};

/// Height of capitals that distances are reckoned in, mm.
const TEXT: f64 = 3.0;
/// From the edge of the pen to the clear area: 0.5, 0.9 and, at worst, 0.3 text heights to the
/// glyphs, with what each costs.
const GAPS: [(f64, f64); 3] = [
    (0.5 * TEXT - CLEAR, 0.0),
    (0.9 * TEXT - CLEAR, 0.5),
    (0.3 * TEXT - CLEAR, 1.6),
];
/// Places along a line, as shares of its length, with their cost.
const ALONG: [(f64, f64); 13] = [
    (0.5, 0.0),
    (0.42, 0.1),
    (0.58, 0.1),
    (0.34, 0.25),
    (0.66, 0.25),
    (0.26, 0.4),
    (0.74, 0.4),
    (0.18, 0.6),
    (0.82, 0.6),
    (0.1, 0.9),
    (0.9, 0.9),
    (0.02, 1.3),
    (0.98, 1.3),
];
/// How far down the list of places to look.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Reach {
    /// The usual place and a few beside it.
    Usual,
    /// All that stand right beside.
    Beside,
    /// Marks of levels further out on their reference line.
    Far,
}

/// How far out on its line a level's mark is tried where it has no room nearby, mm.
const FURTHER: [f64; 6] = [18.0, 23.0, 30.0, 40.0, 52.0, 66.0];

/// A line that a block stands beside.
struct Line {
    ends: (Point, Point),
    /// Half of what it is drawn with, mm.
    half: f64,
    /// The side preferred.
    out: Option<Vec2>,
}

impl Line {
    fn of(spot: Spot) -> Option<Self> {
        match spot {
            Spot::Line { a, b, half } => Some(Self {
                ends: (a, b),
                half,
                out: None,
            }),
            Spot::Edge { a, b, out } => Some(Self {
                ends: (a, b),
                half: EDGE_HALF,
                out: Some(out),
            }),
            _ => None,
        }
    }
}

/// Half of an edge's line and the white beside it, mm.
pub(super) const EDGE_HALF: f64 = 0.1;

/// Lists the usual places, the cheapest first.
pub(super) fn usual(want: &Want, into: &mut Vec<Candidate>) {
    into.clear();
    match Line::of(want.spot) {
        Some(line) => along_usual(want, &line, into),
        None => round(want, Reach::Usual, into),
    }
    into.sort_by(|a, b| a.cost.total_cmp(&b.cost));
}

/// Lists all places clear of what is near, the cheapest first.
pub(super) fn free(want: &Want, near: &mut Near, spans: &mut Vec<Span>, into: &mut Vec<Candidate>) {
    into.clear();
    if let Some(line) = Line::of(want.spot) {
        along_free(want, &line, near, spans, into);
    } else {
        round(want, Reach::Beside, into);
        into.retain(|c| !near.hits(&c.area));
    }
    into.sort_by(|a, b| a.cost.total_cmp(&b.cost));
}

/// Lists the places of a level's mark further out on its line, the cheapest first; nothing for other blocks.
pub(super) fn far(want: &Want, into: &mut Vec<Candidate>) {
    into.clear();
    if let Spot::Ends(left, right) = want.spot {
        ends(want, left, right, Reach::Far, into);
    }
    into.sort_by(|a, b| a.cost.total_cmp(&b.cost));
}

/// The rectangle in which all places right beside lie.
pub(super) fn around(want: &Want) -> Rect {
    let (mut w, mut h) = (0.0_f64, 0.0_f64);
    for layout in &want.layouts {
        let half = layout.half();
        (w, h) = (w.max(half.0), h.max(half.1));
    }
    if want.along {
        (w, h) = (w.hypot(h), w.hypot(h));
    }
    // Beside a line a block stands off by as much as it reaches square to it.
    let beside = |a: Point, b: Point, half: f64| {
        let by = half + GAPS[1].0;
        let across = (b - a) / a.distance(b).max(1e-9);
        let off = Vec2::new(across.y.abs(), across.x.abs());
        let reach = by + w * off.x + h * off.y;
        Rect::from_points(a, b).inflate(w + off.x * reach + 0.1, h + off.y * reach + 0.1)
    };
    let (rect, by) = match want.spot {
        Spot::Line { a, b, half } => return beside(a, b, half),
        Spot::Edge { a, b, .. } => return beside(a, b, EDGE_HALF),
        Spot::At { at, reach } => (Rect::from_points(at, at), reach + ROUND[3]),
        Spot::Box(rect) | Spot::Outline(rect) => (rect, OFF[3]),
        Spot::Over(at) => (Rect::from_points(at, at), RINGS * RING),
        Spot::Ends(left, right) => (Rect::from_points(left, right), OUT[4]),
    };
    rect.inflate(by + 2.0 * w, by + 2.0 * h)
}

/// Places of blocks that stand at no line.
fn round(want: &Want, reach: Reach, into: &mut Vec<Candidate>) {
    match want.spot {
        Spot::Line { .. } | Spot::Edge { .. } => {}
        Spot::At { at, reach: r } => point(want, at, r, reach, into),
        Spot::Box(rect) => beside_box(want, rect, reach, into),
        Spot::Outline(rect) => outline(want, rect, reach, into),
        Spot::Over(at) => over(want, at, reach, into),
        Spot::Ends(left, right) => ends(want, left, right, reach, into),
    }
}

/// From a point's own room to the block, from a box to the block, and along a level's line to its mark, mm.
const ROUND: [f64; 4] = [0.8, 1.6, 2.6, 3.8];
const OFF: [f64; 4] = [0.4, 1.2, 2.2, 3.5];
const OUT: [f64; 5] = [4.0, 5.5, 7.5, 10.0, 14.0];
/// Rings round a place, and from one to the next, mm.
const RINGS: f64 = 8.0;
const RING: f64 = 4.0;

/// Unit direction of a line as it is read (left to right, or upwards), and its usual side.
fn reading(a: Point, b: Point) -> (Vec2, Vec2) {
    let line = b - a;
    let length = line.hypot().max(1e-9);
    let mut way = line / length;
    if way.x.abs() < 0.05 {
        way = Vec2::new(0.0, -1.0);
    } else if way.x < 0.0 {
        way = -way;
    }
    // Above what goes to the right, left of what stands upright.
    (way, Vec2::new(way.y, -way.x))
}

/// Calls `each` with every way of sliding a block along its line: the slide over the line's length,
/// the layout, how its words are aligned and what it costs.
fn slides(
    want: &Want,
    line: &Line,
    gaps: &[(f64, f64)],
    sides: usize,
    mut each: impl FnMut(Slide, usize, Align, f64),
) {
    let (a, b) = line.ends;
    let (way, usual) = reading(a, b);
    let length = a.distance(b);
    let upright = way.x.abs() < 0.05;
    let usual = match line.out {
        Some(out) if out.dot(usual) < 0.0 => -usual,
        _ => usual,
    };
    for (l, layout) in want.layouts.iter().enumerate() {
        let half_size = layout.half();
        let area = if want.along {
            Oblong {
                centre: a,
                along: way,
                half: half_size,
            }
        } else {
            Oblong::level(a, half_size)
        };
        let over = (2.0 * area.reach_along(way) / length.max(1.0) - 1.0).max(0.0);
        let layout_cost = layout_cost(l, upright && !want.along) + (0.35 * over).min(1.5);
        for &(gap, gap_cost) in gaps {
            for (s, side) in [usual, -usual].into_iter().take(sides).enumerate() {
                let off = side * (line.half + gap + area.reach_along(side));
                let align = if upright && !want.along && side.x < 0.0 {
                    Align::Right
                } else {
                    Align::Left
                };
                let start = Oblong {
                    centre: a + off,
                    ..area
                };
                let slide = Slide::new(start, (b - a) / length.max(1e-9));
                each(slide, l, align, layout_cost + gap_cost + s as f64);
            }
        }
    }
}

/// The usual places along a line: the usual side, the usual distance, about the middle.
fn along_usual(want: &Want, line: &Line, into: &mut Vec<Candidate>) {
    let length = line.ends.0.distance(line.ends.1);
    slides(want, line, &GAPS[..1], 1, |slide, layout, align, cost| {
        for &(t, t_cost) in &ALONG[..3] {
            into.push(Candidate {
                area: slide.at(t * length),
                layout: layout as u8,
                align,
                leader: None,
                cost: cost + t_cost,
            });
        }
    });
}

/// All places along a line that are clear of what is near.
fn along_free(
    want: &Want,
    line: &Line,
    near: &mut Near,
    spans: &mut Vec<Span>,
    into: &mut Vec<Candidate>,
) {
    let (start, end) = line.ends;
    let length = start.distance(end);
    near.reckon(start, (end - start) / length.max(1e-9));
    slides(want, line, &GAPS, 2, |slide, layout, align, cost| {
        spans.clear();
        for found in near.in_lane(slide.lane(start)) {
            if found.thing != Thing::Frame {
                spans.extend(slide.touching(&found.shape, (-1.0, length + 1.0)));
            }
        }
        for &(t, t_cost) in &ALONG {
            let far = t * length;
            if !spans.iter().any(|s| s.0 < far && far < s.1) {
                into.push(Candidate {
                    area: slide.at(far),
                    layout: layout as u8,
                    align,
                    leader: None,
                    cost: cost + t_cost,
                });
            }
        }
    });
}

/// One row above or under a line, two rows beside an upright one.
fn layout_cost(layout: usize, upright: bool) -> f64 {
    match (layout, upright) {
        (0, false) | (1, true) => 0.0,
        (1, false) | (2, true) => 0.35,
        (0, true) => 0.4,
        _ => 0.8,
    }
}

/// Round a point: to the right first, then left, then the corners, above and below.
fn point(want: &Want, at: Point, r: f64, reach: Reach, into: &mut Vec<Candidate>) {
    const WAYS: [(f64, f64, f64); 12] = [
        (1.0, 0.0, 0.0),
        (-1.0, 0.0, 0.1),
        (1.0, -1.0, 0.2),
        (-1.0, -1.0, 0.3),
        (1.0, 1.0, 0.2),
        (-1.0, 1.0, 0.3),
        (0.0, -1.0, 0.4),
        (0.0, 1.0, 0.4),
        (0.5, -1.0, 0.4),
        (-0.5, -1.0, 0.45),
        (0.5, 1.0, 0.4),
        (-0.5, 1.0, 0.45),
    ];
    let (ways, gaps): (usize, &[f64]) = match reach {
        Reach::Usual => (6, &ROUND[..1]),
        _ => (WAYS.len(), &ROUND),
    };
    for (l, layout) in want.layouts.iter().enumerate() {
        let half = layout.half();
        for &gap in gaps {
            let r = r + gap;
            for &(x, y, cost) in &WAYS[..ways] {
                // At a corner the box stands off by r along the diagonal.
                let r = if x.abs() == 1.0 && y.abs() == 1.0 {
                    r * 0.75
                } else {
                    r
                };
                let off = match (x.abs() == 1.0, y.abs() == 1.0) {
                    (true, _) => Vec2::new(x * (half.0 + r), y * (half.1 + r)),
                    (false, _) => Vec2::new(x * half.0, y * (half.1 + r)),
                };
                let align = if x < -0.9 { Align::Right } else { Align::Left };
                into.push(Candidate {
                    area: Oblong::level(at + off, half),
                    layout: l as u8,
                    align,
                    leader: None,
                    cost: cost + 0.3 * (gap - 0.8) + 0.3 * l as f64,
                });
            }
        }
    }
}

fn beside_box(want: &Want, rect: Rect, reach: Reach, into: &mut Vec<Candidate>) {
    let (shifts, gaps): (&[f64], &[f64]) = match reach {
        Reach::Usual => (&[0.0], &OFF[..1]),
        _ => (&[0.0, -0.5, 0.5, -1.0, 1.0], &OFF),
    };
    let middle = rect.center();
    let (w, h) = (rect.width() / 2.0, rect.height() / 2.0);
    for (l, layout) in want.layouts.iter().enumerate() {
        let half = layout.half();
        for &gap in gaps {
            for &shift in shifts {
                for (x, y, cost) in [
                    (1.0, 0.0, 0.0),
                    (-1.0, 0.0, 0.1),
                    (0.0, -1.0, 0.2),
                    (0.0, 1.0, 0.2),
                ] {
                    let off = if y == 0.0 {
                        Vec2::new(x * (w + gap + half.0), shift * (h + half.1))
                    } else {
                        Vec2::new(shift * (w + half.0), y * (h + gap + half.1))
                    };
                    into.push(Candidate {
                        area: Oblong::level(middle + off, half),
                        layout: l as u8,
                        align: if x < 0.0 { Align::Right } else { Align::Left },
                        leader: None,
                        cost: cost + 0.25 * (gap - 0.4) + 0.3 * f64::abs(shift) + 0.3 * l as f64,
                    });
                }
            }
        }
    }
}

/// In a fixture's outline at nine places, or beside it.
fn outline(want: &Want, rect: Rect, reach: Reach, into: &mut Vec<Candidate>) {
    let (middle, half) = (rect.center(), want.layouts[0].half());
    let room = Vec2::new(
        (rect.width() / 2.0 - half.0).max(0.0),
        (rect.height() / 2.0 - half.1).max(0.0),
    );
    for (x, x_cost) in [(0.0, 0.0), (-0.5, 0.1), (0.5, 0.1), (-1.0, 0.2), (1.0, 0.2)] {
        for (y, y_cost) in [(0.0, 0.0), (-0.5, 0.1), (0.5, 0.1), (-1.0, 0.2), (1.0, 0.2)] {
            into.push(Candidate {
                area: Oblong::level(middle + Vec2::new(x * room.x, y * room.y), half),
                layout: 0,
                align: Align::Centre,
                leader: None,
                cost: x_cost + y_cost,
            });
        }
    }
    if reach != Reach::Usual {
        let inside = into.len();
        beside_box(want, rect, reach, into);
        into[inside..].iter_mut().for_each(|c| c.cost += 0.6);
    }
}

/// Over a place, or near it in rings.
fn over(want: &Want, at: Point, reach: Reach, into: &mut Vec<Candidate>) {
    let half = want.layouts[0].half();
    let rings = if reach == Reach::Usual {
        1
    } else {
        RINGS as u32
    };
    for ring in 0..rings {
        let r = f64::from(ring) * RING;
        for turn in 0..if ring == 0 { 1 } else { 12 } {
            let (sin, cos) = (f64::from(turn) * 30.0).to_radians().sin_cos();
            into.push(Candidate {
                area: Oblong::level(at + Vec2::new(cos, sin) * r, half),
                layout: 0,
                align: Align::Centre,
                leader: None,
                cost: 0.15 * r,
            });
        }
    }
}

/// At the ends of a reference line, tied to it by a short line, further out where that is taken.
fn ends(want: &Want, left: Point, right: Point, reach: Reach, into: &mut Vec<Candidate>) {
    let outs: &[f64] = match reach {
        Reach::Usual => &OUT[..1],
        Reach::Beside => &OUT,
        Reach::Far => &FURTHER,
    };
    let half = want.layouts[0].half();
    for (end, sign, base) in [(left, -1.0, 0.0), (right, 1.0, 1.0)] {
        for &out in outs {
            // Beside the line's end, or a little higher or lower where another mark is close.
            for (rise, cost) in [(0.0, 0.0), (-1.2, 0.3), (1.2, 0.4), (-2.4, 0.8), (2.4, 0.9)] {
                if f64::abs(rise) > 0.0 && reach == Reach::Usual {
                    continue;
                }
                let area =
                    Oblong::level(end + Vec2::new(sign * (out + half.0), rise * half.1), half);
                let tie = (end + Vec2::new(sign * LEADER_CLEAR, 0.0), area.nearest(end));
                into.push(Candidate {
                    area,
                    layout: 0,
                    align: Align::Left,
                    leader: Some(tie),
                    cost: base + cost + 0.1 * out,
                });
            }
        }
    }
}
