//! Places where a block may stand, each with what it costs in clearness.
//!
//! Order of merit after Imhof's rules for lines (close, straight, level, usual side) with
//! distances of 0.5 to 1.0 text heights. Costs are our own choice; 1 is about what standing on
//! the less usual side costs.

use kurbo::{Point, Rect, Vec2};

use super::block::{Align, CLEAR};
use super::field::{Field, Thing};
use super::shape::Oblong;
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
/// What a leader costs, and its length per mm.
const LEADER: (f64, f64) = (6.0, 0.12);
/// Lengths of leaders tried, mm.
const LEADERS: [f64; 9] = [4.0, 7.0, 11.0, 16.0, 22.0, 30.0, 40.0, 52.0, 66.0];
/// Between a leader's end and what it points at, mm.
const LEADER_CLEAR: f64 = 0.15;

/// One place for a block.
#[derive(Clone, Copy, Debug)]
pub(super) struct Candidate {
    pub area: Oblong,
    pub layout: u8,
    pub align: Align,
    pub leader: Option<(Point, Point)>,
    /// Leaders of one number start at one point in one direction: where a short one is stopped, a
    /// longer one is too.
    pub ray: u8,
    pub cost: f64,
}

/// Most directions in which leaders are tried from one block.
pub(super) const RAYS: usize = 3 * TURNS;
/// Directions tried from one point.
const TURNS: usize = 24;

impl Candidate {
    /// The leader as a thin box.
    pub fn leader_shape(&self) -> Option<Oblong> {
        self.leader
            .map(|(a, b)| Oblong::of_stroke(a, b, LEADER_HALF))
    }

    /// The rectangle that area and leader lie in.
    pub fn bounds(&self) -> Rect {
        let area = self.area.bounds();
        self.leader_shape().map_or(area, |l| area.union(l.bounds()))
    }

    /// Whether it and another cannot both stand.
    pub fn clashes(&self, other: &Self) -> bool {
        if self.area.touches(&other.area) {
            return true;
        }
        let (a, b) = (self.leader_shape(), other.leader_shape());
        a.is_some_and(|a| a.touches(&other.area))
            || b.is_some_and(|b| b.touches(&self.area))
            || a.zip(b).is_some_and(|(a, b)| a.touches(&b))
    }
}

/// Half of a leader's line width and the white beside it, mm.
pub(super) const LEADER_HALF: f64 = 0.25;
/// At either end of a leader, mm, nothing may be crossed: what it points at must be in no doubt.
const LEADER_TIP: f64 = 0.8;
/// Sine of the least angle at which a leader may cross a pipe (30 degrees). Drafting practice lets a
/// thin leader cross object lines, never along them.
const STEEP: f64 = 0.5;
/// Most pipes one leader may cross, and what each costs.
const CROSSED: (usize, f64) = (5, 2.0);

/// Whether a leader may lie where it lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Lies {
    /// It may; what the pipes it crosses add to its cost.
    Clear(f64),
    /// Its far end stands on a pipe: a longer one may do.
    EndsOnPipe,
    /// It meets letters, a symbol or an arrow, runs along a pipe, begins on one or crosses too many:
    /// no longer one will do.
    Stopped,
}

/// How a leader lies among what is in `field`.
pub(super) fn lies(field: &Field, (a, b): (Point, Point)) -> Lies {
    let leader = Oblong::of_stroke(a, b, LEADER_HALF);
    let way = leader.along;
    let tip = Oblong::of_stroke(a, a + way * LEADER_TIP, LEADER_HALF);
    let end = Oblong::of_stroke(b - way * LEADER_TIP, b, LEADER_HALF);
    let (mut crossed, mut count, mut ends_on_pipe) = ([u32::MAX; CROSSED.0], 0, false);
    let stopped = field.any(&leader, |item, other, thing| {
        if thing == Thing::Frame || !leader.touches(other) {
            return false;
        }
        if !matches!(thing, Thing::Pipe(_))
            || way.cross(other.along).abs() < STEEP
            || tip.touches(other)
        {
            return true;
        }
        if crossed[..count].contains(&item) {
            return false;
        }
        if end.touches(other) {
            ends_on_pipe = true;
            return false;
        }
        if count == CROSSED.0 {
            return true;
        }
        crossed[count] = item;
        count += 1;
        false
    });
    match (stopped, ends_on_pipe) {
        (true, _) => Lies::Stopped,
        (false, true) => Lies::EndsOnPipe,
        (false, false) => Lies::Clear(CROSSED.1 * count as f64),
    }
}

/// How far down the list of places to look.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Reach {
    /// The usual place and a few beside it.
    Usual,
    /// All that need no leader.
    Beside,
    /// Further off with a leader, the so-manieth length.
    Leader(usize),
}

/// All lengths of leaders, the shortest first.
pub(super) fn leader_reaches() -> impl Iterator<Item = Reach> {
    (0..LEADERS.len()).map(Reach::Leader)
}

/// Places in order of cost, in room that is used again for the next block.
#[derive(Debug, Default)]
pub(super) struct Places {
    all: Vec<Candidate>,
    /// Cost (not negative, so that its bits sort as it does) and number.
    order: Vec<(u64, u16)>,
}

impl Places {
    /// The places, the cheapest first.
    pub fn iter(&self) -> impl Iterator<Item = &Candidate> {
        self.order.iter().map(|&(_, i)| &self.all[usize::from(i)])
    }
}

/// Lists the places for a block.
pub(super) fn list(want: &Want, reach: Reach, places: &mut Places) {
    let into = &mut places.all;
    into.clear();
    match (want.spot, reach) {
        (Spot::Over(at), Reach::Usual | Reach::Beside) => over(want, at, reach, into),
        (Spot::Over(_), Reach::Leader(_)) => {}
        (Spot::Ends(left, right), _) => ends(want, left, right, reach, into),
        (_, Reach::Leader(ring)) => leaders(want, LEADERS[ring], into),
        (Spot::Line { a, b, half }, _) => line(want, (a, b), half, None, reach, into),
        (Spot::Edge { a, b, out }, _) => line(want, (a, b), 0.1, Some(out), reach, into),
        (Spot::At { at, reach: r }, _) => point(want, at, r, reach, into),
        (Spot::Box(rect), _) => beside_box(want, rect, reach, into),
        (Spot::Outline(rect), _) => outline(want, rect, reach, into),
    }
    places.order.clear();
    places.order.extend(
        into.iter()
            .enumerate()
            .map(|(i, c)| (c.cost.to_bits(), i as u16)),
    );
    places.order.sort_unstable();
}

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

fn line(
    want: &Want,
    (a, b): (Point, Point),
    half: f64,
    out: Option<Vec2>,
    reach: Reach,
    into: &mut Vec<Candidate>,
) {
    let (way, usual) = reading(a, b);
    let length = a.distance(b);
    let upright = way.x.abs() < 0.05;
    let usual = match out {
        Some(out) if out.dot(usual) < 0.0 => -usual,
        _ => usual,
    };
    let (places, gaps, sides) = match reach {
        Reach::Usual => (3, 1, 1),
        _ => (ALONG.len(), GAPS.len(), 2),
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
        for &(gap, gap_cost) in &GAPS[..gaps] {
            for (s, side) in [usual, -usual].into_iter().take(sides).enumerate() {
                let off = side * (half + gap + area.reach_along(side));
                let align = if !upright || want.along {
                    Align::Left
                } else if side.x < 0.0 {
                    Align::Right
                } else {
                    Align::Left
                };
                for &(t, t_cost) in &ALONG[..places] {
                    into.push(Candidate {
                        area: Oblong {
                            centre: a.lerp(b, t) + off,
                            ..area
                        },
                        layout: l as u8,
                        align,
                        leader: None,
                        ray: 0,
                        cost: layout_cost + gap_cost + t_cost + s as f64,
                    });
                }
            }
        }
    }
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
        Reach::Usual => (6, &[0.8]),
        _ => (WAYS.len(), &[0.8, 1.6, 2.6, 3.8]),
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
                    ray: 0,
                    cost: cost + 0.3 * (gap - 0.8) + 0.3 * l as f64,
                });
            }
        }
    }
}

fn beside_box(want: &Want, rect: Rect, reach: Reach, into: &mut Vec<Candidate>) {
    let (shifts, gaps): (&[f64], &[f64]) = match reach {
        Reach::Usual => (&[0.0], &[0.4]),
        _ => (&[0.0, -0.5, 0.5, -1.0, 1.0], &[0.4, 1.2, 2.2, 3.5]),
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
                        ray: 0,
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
                ray: 0,
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
    let rings = if reach == Reach::Usual { 1 } else { 8 };
    for ring in 0..rings {
        let r = f64::from(ring) * 4.0;
        for turn in 0..if ring == 0 { 1 } else { 12 } {
            let (sin, cos) = (f64::from(turn) * 30.0).to_radians().sin_cos();
            into.push(Candidate {
                area: Oblong::level(at + Vec2::new(cos, sin) * r, half),
                layout: 0,
                align: Align::Centre,
                leader: None,
                ray: 0,
                cost: 0.15 * r,
            });
        }
    }
}

/// At the ends of a reference line, tied to it by a short line, further out where that is taken.
fn ends(want: &Want, left: Point, right: Point, reach: Reach, into: &mut Vec<Candidate>) {
    let outs: &[f64] = match reach {
        Reach::Usual => &[4.0],
        Reach::Beside => &[4.0, 5.5, 7.5, 10.0, 14.0],
        Reach::Leader(ring) => std::slice::from_ref(&LEADERS[ring]),
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
                    ray: u8::from(sign > 0.0),
                    cost: base + cost + 0.1 * out,
                });
            }
        }
    }
}

/// Further off, with a straight leader from the nearest point of the area.
fn leaders(want: &Want, length: f64, into: &mut Vec<Candidate>) {
    let mut feet: [(Point, Vec2, f64); 9] = [(Point::ZERO, Vec2::ZERO, 0.0); 9];
    let count = match want.spot {
        Spot::Line { a, b, .. } | Spot::Edge { a, b, .. } => {
            let half = if let Spot::Line { half, .. } = want.spot {
                half
            } else {
                0.1
            };
            let (_, usual) = reading(a, b);
            for (i, t) in [0.5, 0.3, 0.7].into_iter().enumerate() {
                feet[i] = (a.lerp(b, t), usual, half);
            }
            3
        }
        Spot::At { at, reach } => {
            feet[0] = (at, Vec2::ZERO, reach);
            1
        }
        Spot::Box(rect) | Spot::Outline(rect) => {
            feet[0] = (rect.center(), Vec2::ZERO, 0.0);
            1
        }
        Spot::Over(_) | Spot::Ends(..) => 0,
    };
    let layouts = want.layouts.len().min(2);
    for (i, &(foot, usual, clear)) in feet[..count].iter().enumerate() {
        for (turn, &way) in ways().iter().enumerate() {
            // Along its own line a leader would lie on it.
            let clear = if usual == Vec2::ZERO {
                clear
            } else {
                let slant = way.dot(usual).abs();
                if slant < 0.4 {
                    continue;
                }
                (clear + LEADER_HALF) / slant + LEADER_HALF
            };
            for l in 0..layouts {
                let half = want.layouts[l].half();
                let mut area = Oblong::level(foot, half);
                let mut start = foot + way * (clear + LEADER_CLEAR);
                if let Spot::Box(rect) | Spot::Outline(rect) = want.spot {
                    start = leave(rect, way);
                }
                area.centre = start + way * (length + area.reach_along(way).min(half.0 + half.1));
                let end = area.nearest(start);
                if end.distance(start) < 2.0 {
                    continue;
                }
                into.push(Candidate {
                    area,
                    layout: l as u8,
                    align: if way.x < 0.0 {
                        Align::Right
                    } else {
                        Align::Left
                    },
                    leader: Some((start, end)),
                    ray: (i * TURNS + turn) as u8,
                    cost: LEADER.0 + LEADER.1 * end.distance(start) + 0.2 * (i + l) as f64,
                });
            }
        }
    }
}

/// The directions in which leaders are tried: every 15 degrees, none of them an isometric axis.
fn ways() -> &'static [Vec2; TURNS] {
    static WAYS: std::sync::LazyLock<[Vec2; TURNS]> = std::sync::LazyLock::new(|| {
        std::array::from_fn(|turn| {
            let (sin, cos) = (turn as f64 * 15.0 + 7.5).to_radians().sin_cos();
            Vec2::new(cos, sin)
        })
    });
    &WAYS
}

/// The point just outside `rect` on the ray from its middle along `way`.
fn leave(rect: Rect, way: Vec2) -> Point {
    let clear = LEADER_CLEAR + LEADER_HALF;
    let (w, h) = (rect.width() / 2.0 + clear, rect.height() / 2.0 + clear);
    let t = (w / way.x.abs().max(1e-9)).min(h / way.y.abs().max(1e-9));
    rect.center() + way * t
}
