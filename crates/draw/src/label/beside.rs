//! Places right beside what a block is about, each with what it costs in clearness: round a point, a box, a
//! place; those along a line are listed in `along`.
//!
//! Costs are our own choice; 1 is about what standing on the less usual side of a line costs.

use kurbo::{Point, Rect, Vec2};

use super::along::{self, FARTHEST, Line};
use super::block::Align;
use super::candidate::{Candidate, LEADER_CLEAR};
use super::near::Near;
use super::shape::Oblong;
use super::strip::Strip;
use super::want::{Spot, Want};

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

/// Lists the usual places, the cheapest first.
pub(super) fn usual(want: &Want, strip: &mut Strip, into: &mut Vec<Candidate>) {
    into.clear();
    match Line::of(want.spot) {
        Some(line) => along::usual(want, &line, strip, into),
        None => round(want, Reach::Usual, &mut |_| false, into),
    }
    into.sort_by(|a, b| a.cost.total_cmp(&b.cost));
}

/// Lists the cheapest places clear of what is near, in order: `keep` of those along a line, all others.
pub(super) fn free(
    want: &Want,
    near: &mut Near,
    keep: usize,
    strip: &mut Strip,
    into: &mut Vec<Candidate>,
) {
    into.clear();
    if let Some(line) = Line::of(want.spot) {
        along::free(want, &line, near, keep, strip, into);
    } else {
        near.index();
        let mut last = None;
        let mut taken = |area: &Oblong| near.hits_after(area, &mut last);
        round(want, Reach::Beside, &mut taken, into);
        into.retain(|c| !taken(&c.area));
        into.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    }
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
        let by = half + FARTHEST;
        let across = (b - a) / a.distance(b).max(1e-9);
        let off = Vec2::new(across.y.abs(), across.x.abs());
        let reach = by + w * off.x + h * off.y;
        Rect::from_points(a, b).inflate(w + off.x * reach + 0.1, h + off.y * reach + 0.1)
    };
    let (rect, by) = match want.spot {
        Spot::Line { a, b, half } => return beside(a, b, half),
        Spot::Edge { a, b, .. } => return beside(a, b, along::EDGE_HALF),
        Spot::At { at, reach } => (Rect::from_points(at, at), reach + ROUND[3]),
        Spot::Box(rect) | Spot::Outline(rect) => (rect, OFF[3]),
        Spot::Over(at) => (Rect::from_points(at, at), RINGS * RING),
        Spot::Ends(left, right) => (Rect::from_points(left, right), OUT[4]),
    };
    rect.inflate(by + 2.0 * w, by + 2.0 * h)
}

/// Places of blocks that stand at no line, but for most of those that are `taken`.
fn round(
    want: &Want,
    reach: Reach,
    taken: &mut impl FnMut(&Oblong) -> bool,
    into: &mut Vec<Candidate>,
) {
    match want.spot {
        Spot::Line { .. } | Spot::Edge { .. } => {}
        Spot::At { at, reach: r } => point(want, at, r, reach, taken, into),
        Spot::Box(rect) => beside_box(want, rect, reach, taken, into),
        Spot::Outline(rect) => outline(want, rect, reach, taken, into),
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

/// What a level block covers wherever it stands between two places; nothing where that is nothing. With this
/// taken all places between are taken.
fn core(one: Point, other: Point, half: (f64, f64)) -> Option<Oblong> {
    let apart = (other - one) / 2.0;
    let half = (half.0 - apart.x.abs(), half.1 - apart.y.abs());
    (half.0 > 0.0 && half.1 > 0.0).then(|| Oblong::level(one.midpoint(other), half))
}

/// Round a point: to the right first, then left, then the corners, above and below.
fn point(
    want: &Want,
    at: Point,
    r: f64,
    reach: Reach,
    taken: &mut impl FnMut(&Oblong) -> bool,
    into: &mut Vec<Candidate>,
) {
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
    for &(x, y, cost) in &WAYS[..ways] {
        for (l, layout) in want.layouts.iter().enumerate() {
            let half = layout.half();
            let place = |gap: f64| {
                // At a corner the box stands off by r along the diagonal.
                let corner = x.abs() == 1.0 && y.abs() == 1.0;
                let r = if corner { (r + gap) * 0.75 } else { r + gap };
                at + match (x.abs() == 1.0, y.abs() == 1.0) {
                    (true, _) => Vec2::new(x * (half.0 + r), y * (half.1 + r)),
                    (false, _) => Vec2::new(x * half.0, y * (half.1 + r)),
                }
            };
            let ends = (place(gaps[0]), place(gaps[gaps.len() - 1]));
            if core(ends.0, ends.1, half).is_some_and(|core| taken(&core)) {
                continue;
            }
            for &gap in gaps {
                let align = if x < -0.9 { Align::Right } else { Align::Left };
                into.push(Candidate {
                    area: Oblong::level(place(gap), half),
                    layout: l as u8,
                    align,
                    leader: None,
                    cost: cost + 0.3 * (gap - 0.8) + 0.3 * l as f64,
                });
            }
        }
    }
}

fn beside_box(
    want: &Want,
    rect: Rect,
    reach: Reach,
    taken: &mut impl FnMut(&Oblong) -> bool,
    into: &mut Vec<Candidate>,
) {
    let (shifts, gaps): (&[f64], &[f64]) = match reach {
        Reach::Usual => (&[0.0], &OFF[..1]),
        _ => (&[0.0, -0.5, 0.5, -1.0, 1.0], &OFF),
    };
    let middle = rect.center();
    let (w, h) = (rect.width() / 2.0, rect.height() / 2.0);
    for (x, y, cost) in [
        (1.0, 0.0, 0.0),
        (-1.0, 0.0, 0.1),
        (0.0, -1.0, 0.2),
        (0.0, 1.0, 0.2),
    ] {
        for (l, layout) in want.layouts.iter().enumerate() {
            let half = layout.half();
            for &shift in shifts {
                let place = |gap: f64| {
                    middle
                        + if y == 0.0 {
                            Vec2::new(x * (w + gap + half.0), shift * (h + half.1))
                        } else {
                            Vec2::new(shift * (w + half.0), y * (h + gap + half.1))
                        }
                };
                let ends = (place(gaps[0]), place(gaps[gaps.len() - 1]));
                if core(ends.0, ends.1, half).is_some_and(|core| taken(&core)) {
                    continue;
                }
                into.extend(gaps.iter().map(|&gap| Candidate {
                    area: Oblong::level(place(gap), half),
                    layout: l as u8,
                    align: if x < 0.0 { Align::Right } else { Align::Left },
                    leader: None,
                    cost: cost + 0.25 * (gap - 0.4) + 0.3 * f64::abs(shift) + 0.3 * l as f64,
                }));
            }
        }
    }
}

/// In a fixture's outline at nine places, or beside it.
fn outline(
    want: &Want,
    rect: Rect,
    reach: Reach,
    taken: &mut impl FnMut(&Oblong) -> bool,
    into: &mut Vec<Candidate>,
) {
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
        beside_box(want, rect, reach, taken, into);
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
