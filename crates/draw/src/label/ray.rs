//! Leaders: straight lines out from what a block is about, with the block at their end.
//!
//! Each direction is tried as a whole: how far a leader gets before something stops it, and where
//! along it the block would touch something. Drafting practice lets a thin leader cross object
//! lines steeply, never along them.

use kurbo::{Point, Rect, Vec2};

use super::along::EDGE_HALF;
use super::block::Align;
use super::candidate::{LEADER_CLEAR, LEADER_HALF};
use super::field::{Field, Thing};
use super::shape::Oblong;
use super::slide::{Slide, Span, narrow};
use super::want::{Spot, Want};

/// At either end of a leader, mm, nothing may be crossed: what it points at must be in no doubt.
const TIP: f64 = 0.8;
/// The shortest leader drawn, mm.
pub(super) const LEAST: f64 = 2.0;
/// A leader is followed in bits so long, mm: about as long as what stands in its way is apart.
const STRIDE: f64 = 10.0;
/// Sine of the least angle at which a leader may cross a pipe (30 degrees).
const STEEP: f64 = 0.5;
/// Most pipes one leader may cross.
const CROSSED: usize = 5;
/// What each pipe crossed costs.
const CROSSING: f64 = 2.0;
/// Directions tried from one point at first, and all.
const TURNS: usize = 12;
const ALL_TURNS: usize = 3 * TURNS;
/// Most leaders of one block.
pub(super) const MOST: usize = FEET.len() * ALL_TURNS;
/// Where on a line leaders begin, as shares of its length, the preferred first.
const FEET: [f64; 3] = [0.5, 0.3, 0.7];
/// A line shorter than this has one such place at first, one shorter than twice this has two, mm.
const APART: f64 = 12.0;
/// What beginning at the next of these, or taking the next layout, costs.
pub(super) const SECOND_BEST: f64 = 0.2;

/// Where a leader begins and in which direction it goes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ray {
    pub start: Point,
    pub way: Vec2,
    /// What is added for where it begins.
    pub cost: f64,
}

impl Ray {
    /// The block at the end of a leader without length: pushed along, it is where the leader ends.
    /// The leader meets the middle of one of its sides.
    pub fn block(&self, half: (f64, f64)) -> Slide {
        let off = if self.way.x.abs() >= 0.6 {
            Vec2::new(half.0.copysign(self.way.x), 0.0)
        } else {
            Vec2::new(0.0, half.1.copysign(self.way.y))
        };
        Slide::new(Oblong::level(self.start + off, half), self.way)
    }

    /// A leader so long.
    pub fn leader(&self, length: f64) -> (Point, Point) {
        (self.start, self.start + self.way * length)
    }

    /// On which part of it, up to a length, a leader touches a thing: a line as wide as a leader and without
    /// length is pushed along, as in `slide`, and is kept off by its own direction and the thing's sides.
    fn touching(&self, thing: &Oblong, until: f64) -> Option<Span> {
        let (way, along) = (self.way, thing.along);
        let apart = thing.centre - self.start;
        let (same, square) = (way.dot(along), way.cross(along));
        let beside = thing.half.0 * square.abs() + thing.half.1 * same.abs();
        if way.cross(apart).abs() >= LEADER_HALF + beside {
            return None;
        }
        let ahead = thing.half.0 * same.abs() + thing.half.1 * square.abs();
        let span = narrow((0.0, until), apart.dot(way), 1.0, ahead)?;
        let reach = thing.half.0 + LEADER_HALF * square.abs();
        let span = narrow(span, apart.dot(along), same, reach)?;
        let reach = thing.half.1 + LEADER_HALF * same.abs();
        narrow(span, apart.cross(along), square, reach)
    }

    /// How far it gets among things that it may not cross, at most `limit`, where less than `least` is of no use.
    pub fn clear(&self, (least, limit): Span, field: &Field) -> f64 {
        let mut until = limit;
        let swept = Rect::from_points(self.start, self.leader(limit).1);
        field.visit(swept.inflate(LEADER_HALF, LEADER_HALF), |_, _, shape, _| {
            until = self.touching(shape, until).map_or(until, |span| span.0);
            until < least
        });
        until
    }

    /// Whether it may cross a thing it meets beyond its tip.
    fn crosses(&self, shape: &Oblong, thing: Thing) -> bool {
        matches!(thing, Thing::Pipe(_)) && self.way.cross(shape.along).abs() >= STEEP
    }

    /// How its words are aligned: towards the leader.
    pub fn align(&self) -> Align {
        if self.way.x < 0.0 {
            Align::Right
        } else {
            Align::Left
        }
    }
}

/// How thoroughly leaders are looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Thorough {
    /// From the middle of a line alone.
    Middle,
    /// From places that lie apart, in the usual directions.
    Usual,
    /// From all places in all directions but those of the usual.
    Full,
}

/// Every leader's beginning and direction, not followed yet; at most [`MOST`].
pub(super) fn rays(want: &Want, thorough: Thorough) -> Vec<(Ray, Out)> {
    let mut rays = Vec::new();
    let all = &ways()[..];
    // What is tried from a usual place, and from others.
    let (usual, other) = match thorough {
        Thorough::Middle | Thorough::Usual => (&all[..TURNS], &all[..0]),
        Thorough::Full => (&all[TURNS..], all),
    };
    let mut add = |start: Point, way: Vec2, cost: f64| {
        rays.push((Ray { start, way, cost }, Out::NEW));
    };
    let mut line = |a: Point, b: Point, half: f64| {
        let length = a.distance(b).max(1e-9);
        let across = Vec2::new(a.y - b.y, b.x - a.x) / length;
        // On a short line they all begin at nearly one place.
        let feet = match thorough {
            Thorough::Middle => 1,
            Thorough::Usual | Thorough::Full => 1 + (length / APART) as usize,
        };
        for (i, t) in FEET.into_iter().enumerate() {
            let foot = a.lerp(b, t);
            for &way in if i < feet { usual } else { other } {
                // Along its own line a leader would lie on it.
                let slant = way.dot(across).abs();
                if slant >= 0.4 {
                    let clear = (half + LEADER_HALF) / slant + LEADER_HALF + LEADER_CLEAR;
                    add(foot + way * clear, way, SECOND_BEST * i as f64);
                }
            }
        }
    };
    match want.spot {
        Spot::Line { a, b, half } => line(a, b, half),
        Spot::Edge { a, b, .. } => line(a, b, EDGE_HALF),
        Spot::At { at, reach } => {
            for &way in usual {
                add(at + way * (reach + LEADER_CLEAR), way, 0.0);
            }
        }
        Spot::Box(rect) | Spot::Outline(rect) => {
            for &way in usual {
                add(leave(rect, way), way, 0.0);
            }
        }
        Spot::Over(_) | Spot::Ends(..) => {}
    }
    rays
}

/// How far a leader gets among what is fixed, as far as it was followed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Out {
    /// No leader is longer than this, mm.
    pub until: f64,
    /// How far it was followed.
    followed: f64,
    /// From where to where it would end on one of the pipes it crosses, in order.
    crossed: [Span; CROSSED + 1],
    count: usize,
}

impl Out {
    /// Not followed yet.
    pub const NEW: Self = Self {
        until: f64::INFINITY,
        followed: 0.0,
        crossed: [(f64::INFINITY, f64::INFINITY); CROSSED + 1],
        count: 0,
    };

    /// Takes a thing into account, also one that was met before.
    fn meets(&mut self, ray: &Ray, shape: &Oblong, thing: Thing) {
        if thing == Thing::Frame {
            return;
        }
        let Some((enters, leaves)) = ray.touching(shape, self.until) else {
            return;
        };
        if enters < TIP || !ray.crosses(shape, thing) {
            self.until = enters;
            return;
        }
        // Kept in order; the one too many stops it.
        let at = self.crossed.partition_point(|s| s.0 < enters);
        if at > CROSSED || self.crossed[at].0 == enters {
            return;
        }
        self.crossed[at..].rotate_right(1);
        self.crossed[at] = (enters, leaves + TIP);
        self.count = (self.count + 1).min(CROSSED + 1);
    }

    /// The lengths at which it would end on a pipe.
    pub fn bad(&self) -> &[Span] {
        &self.crossed[..self.count]
    }

    /// What the pipes crossed by a leader so long add to its cost.
    pub fn crossing_cost(&self, length: f64) -> f64 {
        let count = self.bad().iter().filter(|c| c.0 < length).count();
        CROSSING * count as f64
    }

    /// Follows a leader further, up to `limit`, where one that does not get `least` far is of no use.
    pub fn follow(&mut self, ray: &Ray, (least, limit): Span, fixed: &Field) {
        while self.followed < self.until.min(limit) {
            let from = self.followed;
            // The first bit is short, for most are stopped at once.
            let step = if from == 0.0 { LEAST } else { STRIDE };
            let to = limit.min(from + step);
            let swept = Rect::from_points(ray.leader(from).1, ray.leader(to).1);
            let swept = swept.inflate(LEADER_HALF, LEADER_HALF);
            let stopped = fixed.visit(swept, |_, _, shape, thing| {
                self.meets(ray, shape, thing);
                self.until < least
            });
            if stopped {
                return;
            }
            if self.count > CROSSED {
                self.until = self.until.min(self.crossed[CROSSED].0);
            }
            self.followed = to;
        }
    }
}

/// What the pipes crossed by a given leader cost; nothing where it may not lie there.
pub(super) fn lies(field: &Field, (a, b): (Point, Point)) -> Option<f64> {
    let length = a.distance(b);
    if length < 1e-9 {
        return Some(0.0);
    }
    let ray = Ray {
        start: a,
        way: (b - a) / length,
        cost: 0.0,
    };
    let mut out = Out::NEW;
    out.follow(&ray, (length, length), field);
    let ends_on = |s: &Span| s.0 < length && length < s.1;
    let clear = out.until >= length && !out.bad().iter().any(ends_on);
    clear.then(|| out.crossing_cost(length))
}

/// The directions in which leaders are tried: every 30 degrees, each 15 degrees off the isometric axes; after
/// these the ones half-way between them and the axes.
fn ways() -> &'static [Vec2; ALL_TURNS] {
    static WAYS: std::sync::LazyLock<[Vec2; ALL_TURNS]> = std::sync::LazyLock::new(|| {
        std::array::from_fn(|turn| {
            let off = [15.0, 7.5, 22.5][turn / TURNS];
            let (sin, cos) = ((turn % TURNS) as f64 * 30.0 + off).to_radians().sin_cos();
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
