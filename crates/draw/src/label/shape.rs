//! Boxes lying at any angle, and whether two of them touch.
//!
//! Two convex shapes are apart exactly when some side's normal separates them (separating axes);
//! for boxes four normals suffice.

use kurbo::{Point, Rect, Vec2};

/// A box round `centre`, its first side along the unit vector `along`, mm.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Oblong {
    pub centre: Point,
    pub along: Vec2,
    /// Half its length along `along` and half its breadth across.
    pub half: (f64, f64),
}

impl Oblong {
    /// A level box.
    pub fn level(centre: Point, half: (f64, f64)) -> Self {
        Self {
            centre,
            along: Vec2::new(1.0, 0.0),
            half,
        }
    }

    /// A rectangle of the page.
    pub fn of_rect(rect: Rect) -> Self {
        Self::level(rect.center(), (rect.width() / 2.0, rect.height() / 2.0))
    }

    /// A stroke from `a` to `b`, `half_width` to each side, with square-cut ends.
    pub fn of_stroke(a: Point, b: Point, half_width: f64) -> Self {
        let line = b - a;
        let length = line.hypot();
        let along = if length > 1e-9 {
            line / length
        } else {
            Vec2::new(1.0, 0.0)
        };
        Self {
            centre: a.midpoint(b),
            along,
            half: (length / 2.0, half_width),
        }
    }

    /// The same, larger by `by` on every side.
    pub fn grown(self, by: f64) -> Self {
        Self {
            half: (self.half.0 + by, self.half.1 + by),
            ..self
        }
    }

    /// The rectangle of the page it lies in.
    pub fn bounds(&self) -> Rect {
        let reach = self.reach();
        Rect::new(
            self.centre.x - reach.x,
            self.centre.y - reach.y,
            self.centre.x + reach.x,
            self.centre.y + reach.y,
        )
    }

    /// How far it reaches from its centre across and down.
    pub fn reach(&self) -> Vec2 {
        let (x, y) = (self.along.x.abs(), self.along.y.abs());
        Vec2::new(
            self.half.0 * x + self.half.1 * y,
            self.half.0 * y + self.half.1 * x,
        )
    }

    /// How far it reaches from its centre in the direction of the unit vector `way`.
    pub fn reach_along(&self, way: Vec2) -> f64 {
        self.half.0 * self.along.dot(way).abs() + self.half.1 * self.along.cross(way).abs()
    }

    /// Whether the two share an area (sharing an edge alone does not count).
    pub fn touches(&self, other: &Self) -> bool {
        const NOTHING: f64 = 1e-9;
        let apart = other.centre - self.centre;
        let (a, b) = (self.reach(), other.reach());
        if apart.x.abs() >= a.x + b.x - NOTHING || apart.y.abs() >= a.y + b.y - NOTHING {
            return false;
        }
        for (one, two) in [(self, other), (other, self)] {
            if one.along.y == 0.0 || one.along.x == 0.0 {
                continue; // its normals are the page's, tried above
            }
            let across = Vec2::new(-one.along.y, one.along.x);
            if apart.dot(one.along).abs() >= one.half.0 + two.reach_along(one.along) - NOTHING
                || apart.dot(across).abs() >= one.half.1 + two.reach_along(across) - NOTHING
            {
                return false;
            }
        }
        true
    }

    /// Its corners in order round it, starting where both half-axes are negative.
    pub fn corners(&self) -> [Point; 4] {
        let u = self.along * self.half.0;
        let v = Vec2::new(-self.along.y, self.along.x) * self.half.1;
        [
            self.centre - u - v,
            self.centre + u - v,
            self.centre + u + v,
            self.centre - u + v,
        ]
    }

    /// The point of the box nearest to `p`.
    pub fn nearest(&self, p: Point) -> Point {
        let across = Vec2::new(-self.along.y, self.along.x);
        let from = p - self.centre;
        let u = from.dot(self.along).clamp(-self.half.0, self.half.0);
        let v = from.dot(across).clamp(-self.half.1, self.half.1);
        self.centre + self.along * u + across * v
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tilted(x: f64, y: f64, half: (f64, f64), degrees: f64) -> Oblong {
        let (sin, cos) = degrees.to_radians().sin_cos();
        Oblong {
            centre: Point::new(x, y),
            along: Vec2::new(cos, sin),
            half,
        }
    }

    #[test]
    fn boxes_sharing_only_an_edge_do_not_touch() {
        let a = Oblong::level(Point::ZERO, (5.0, 2.0));
        assert!(!a.touches(&Oblong::level(Point::new(10.0, 0.0), (5.0, 2.0))));
        assert!(a.touches(&Oblong::level(Point::new(9.999, 0.0), (5.0, 2.0))));
    }

    #[test]
    fn a_stroke_past_a_corner_misses_the_box_though_their_bounds_meet() {
        // The line x + y = 5 passes the corner (2, 2) of the box at (5 - 4) / sqrt 2 = 0.707.
        let square = Oblong::level(Point::ZERO, (2.0, 2.0));
        let (a, b) = (Point::new(0.0, 5.0), Point::new(5.0, 0.0));
        assert!(!square.touches(&Oblong::of_stroke(a, b, 0.70)));
        assert!(square.touches(&Oblong::of_stroke(a, b, 0.72)));
    }

    #[test]
    fn corners_and_bounds_agree() {
        let o = tilted(3.0, 4.0, (5.0, 1.0), 30.0);
        let bounds = o.bounds();
        // Half height at 30 degrees: 5 sin 30 + 1 cos 30 = 3.366.
        assert!((bounds.height() / 2.0 - 3.366_025).abs() < 1e-5);
        for c in o.corners() {
            assert!(bounds.inflate(1e-9, 1e-9).contains(c));
        }
    }

    #[test]
    fn the_nearest_point_of_a_box_lies_on_its_side() {
        let o = Oblong::level(Point::ZERO, (4.0, 1.0));
        assert_eq!(o.nearest(Point::new(1.0, 9.0)), Point::new(1.0, 1.0));
        assert_eq!(o.nearest(Point::new(-7.0, -3.0)), Point::new(-4.0, -1.0));
    }
}
