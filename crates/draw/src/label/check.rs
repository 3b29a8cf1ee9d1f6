//! Counts what touches what in a finished picture, on its own reckoning.
//!
//! Shares no code with the placing: shapes are the corner points written in the picture, two of
//! them touch unless one of their sides' normals separates them, and pairs are found by sweeping
//! along x. So a mistake in the placing cannot hide itself here.

use kurbo::{Point, Vec2};

use crate::lettering;
use crate::picture::{Label, Picture};
use crate::style;

/// Something drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// The label with this index.
    Label(usize),
    /// The leader of the label with this index.
    Leader(usize),
    /// A piece of the pipe mark with this index.
    Pipe(usize),
    /// An arrow of the pipe mark with this index.
    Arrow(usize),
    /// A box of the symbol with this index.
    Symbol(usize),
    /// The glyphs of the label with this index, outside the label's own area.
    Glyphs(usize),
}

/// Two things that touch and must not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Touch {
    /// One.
    pub one: What,
    /// The other.
    pub other: What,
}

/// A convex shape by its corners.
struct Outline {
    what: What,
    corners: [Point; 4],
    /// Bounds: left, right, top, bottom.
    bounds: [f64; 4],
}

/// Overlaps up to this depth, mm, are rounding.
const ROUNDING: f64 = 1e-6;

/// All pairs that touch and must not: label or leader on label, leader, pipe (pen included), arrow
/// or symbol; and lettering that sticks out of its label's area. Light outlines and frames are
/// exempt, so is a label's own leader, and so is a leader crossing a pipe steeply with its middle.
pub fn check(picture: &Picture) -> Vec<Touch> {
    let mut shapes = Vec::new();
    for (i, label) in picture.labels.iter().enumerate() {
        shapes.push(Outline::new(What::Label(i), label.area));
        if let Some((a, b)) = label.leader {
            shapes.push(Outline::stroke(What::Leader(i), a, b, 0.09));
        }
    }
    for (i, mark) in picture.pipes.iter().enumerate() {
        for &(a, b) in &mark.pieces {
            shapes.push(Outline::stroke(What::Pipe(i), a, b, mark.pen.width / 2.0));
        }
        for &(tip, way) in &mark.arrows {
            let back = tip - way * style::sizes().arrow_length;
            let side = Vec2::new(-way.y, way.x) * (style::sizes().arrow_width / 2.0);
            shapes.push(Outline::new(
                What::Arrow(i),
                [tip, back + side, back - side, tip],
            ));
        }
    }
    for (i, symbol) in picture.symbols.iter().enumerate() {
        for r in &symbol.boxes {
            let corners = [
                Point::new(r.x0, r.y0),
                Point::new(r.x1, r.y0),
                Point::new(r.x1, r.y1),
                Point::new(r.x0, r.y1),
            ];
            shapes.push(Outline::new(What::Symbol(i), corners));
        }
    }
    let mut touches = sweep(&shapes);
    for (i, label) in picture.labels.iter().enumerate() {
        if sticks_out(label) {
            touches.push(Touch {
                one: What::Label(i),
                other: What::Glyphs(i),
            });
        }
    }
    touches
}

impl Outline {
    fn new(what: What, corners: [Point; 4]) -> Self {
        let mut bounds = [
            f64::INFINITY,
            f64::NEG_INFINITY,
            f64::INFINITY,
            f64::NEG_INFINITY,
        ];
        for c in corners {
            bounds[0] = bounds[0].min(c.x);
            bounds[1] = bounds[1].max(c.x);
            bounds[2] = bounds[2].min(c.y);
            bounds[3] = bounds[3].max(c.y);
        }
        Self {
            what,
            corners,
            bounds,
        }
    }

    fn stroke(what: What, a: Point, b: Point, half: f64) -> Self {
        let line = b - a;
        let side = if line.hypot() > 0.0 {
            Vec2::new(-line.y, line.x) * (half / line.hypot())
        } else {
            Vec2::new(0.0, half)
        };
        Self::new(what, [a + side, b + side, b - side, a - side])
    }

    /// Whether some side of this shape has all of `other` on its far side.
    fn separates(&self, other: &Self) -> bool {
        let middle = |s: &Self| {
            let sum = s.corners.iter().fold(Vec2::ZERO, |v, c| v + c.to_vec2());
            (sum / 4.0).to_point()
        };
        let inside = middle(self);
        (0..4).any(|i| {
            let (a, b) = (self.corners[i], self.corners[(i + 1) % 4]);
            let line = b - a;
            if line.hypot() < 1e-12 {
                return false;
            }
            let mut out = Vec2::new(-line.y, line.x) / line.hypot();
            if (inside - a).dot(out) > 0.0 {
                out = -out;
            }
            other.corners.iter().all(|c| (*c - a).dot(out) >= -ROUNDING)
        })
    }

    /// As [`Self::touches`], for shapes that the sweep has not brought together.
    fn touches_at_all(&self, other: &Self) -> bool {
        let beside = self.bounds[0] >= other.bounds[1] - ROUNDING
            || other.bounds[0] >= self.bounds[1] - ROUNDING;
        !beside && self.touches(other)
    }

    fn touches(&self, other: &Self) -> bool {
        let apart = self.bounds[2] >= other.bounds[3] - ROUNDING
            || other.bounds[2] >= self.bounds[3] - ROUNDING;
        !apart && !self.separates(other) && !other.separates(self)
    }
}

/// Label index of a shape that is a label or a leader.
fn label_of(what: What) -> Option<usize> {
    match what {
        What::Label(i) | What::Leader(i) => Some(i),
        _ => None,
    }
}

/// A thin leader may cross a pipe, as drafting lets it cross object lines: at 30 degrees or more,
/// and not with its ends, which say what it points at.
fn lawful_crossing(one: &Outline, other: &Outline) -> bool {
    let (leader, pipe) = match (one.what, other.what) {
        (What::Leader(_), What::Pipe(_)) => (one, other),
        (What::Pipe(_), What::Leader(_)) => (other, one),
        _ => return false,
    };
    let way = |s: &Outline| {
        let line = s.corners[1] - s.corners[0];
        line / line.hypot().max(1e-12)
    };
    let (u, v) = (way(leader), way(pipe));
    let end = |i: usize, j: usize| leader.corners[i].midpoint(leader.corners[j]);
    let (a, b) = (end(0, 3), end(1, 2));
    let touches_end = [(a, a + u * 0.7), (b - u * 0.7, b)]
        .into_iter()
        .any(|(p, q)| Outline::stroke(leader.what, p, q, 0.09).touches_at_all(pipe));
    // sin 30 degrees, less rounding.
    u.cross(v).abs() >= 0.5 - 1e-9 && !touches_end
}

fn sweep(shapes: &[Outline]) -> Vec<Touch> {
    let mut order: Vec<usize> = (0..shapes.len()).collect();
    order.sort_by(|&a, &b| shapes[a].bounds[0].total_cmp(&shapes[b].bounds[0]));
    let (mut live, mut found): (Vec<usize>, Vec<Touch>) = (Vec::new(), Vec::new());
    for &i in &order {
        let shape = &shapes[i];
        live.retain(|&j| shapes[j].bounds[1] > shape.bounds[0] + ROUNDING);
        for &j in &live {
            let other = &shapes[j];
            let (one, two) = (label_of(shape.what), label_of(other.what));
            if (one.is_none() && two.is_none()) || one == two {
                continue;
            }
            if shape.touches(other) && !lawful_crossing(shape, other) {
                let (a, b) = (shape.what.min(other.what), shape.what.max(other.what));
                found.push(Touch { one: a, other: b });
            }
        }
        live.push(i);
    }
    found.sort_by_key(|t| (t.one, t.other));
    found.dedup();
    found
}

/// Whether a glyph box of the label reaches out of its area.
fn sticks_out(label: &Label) -> bool {
    let area = Outline::new(What::Label(0), label.area);
    label.lines.iter().any(|line| {
        let extent = lettering::extent(&line.text, line.height, line.weight);
        let (sin, cos) = line.angle.to_radians().sin_cos();
        let (along, down) = (Vec2::new(cos, sin), Vec2::new(-sin, cos));
        let far = along * extent.width;
        let corners = [
            line.at - down * extent.above,
            line.at + far - down * extent.above,
            line.at + far + down * extent.below,
            line.at + down * extent.below,
        ];
        corners.iter().any(|c| !area.holds(*c))
    })
}

impl Outline {
    /// Whether a point lies inside, edge included.
    fn holds(&self, p: Point) -> bool {
        let turns = (0..4).map(|i| {
            let (a, b) = (self.corners[i], self.corners[(i + 1) % 4]);
            (b - a).cross(p - a)
        });
        let (mut left, mut right) = (false, false);
        for turn in turns {
            left |= turn > 1e-6;
            right |= turn < -1e-6;
        }
        !(left && right)
    }
}
