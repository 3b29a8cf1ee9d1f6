//! The plane a symbol lies in: two paper vectors turn its own millimetres into paper millimetres,
//! so that its circles become true ellipses (isometric drawing: ISO 5456-3 enlarged by sqrt(3/2)).

use glam::DVec3;
use kurbo::{BezPath, Point, Vec2};

use crate::project::Projection;

/// A plane on paper: where it starts and where one millimetre along each of its axes goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flat {
    /// Its origin, paper mm.
    pub at: Point,
    /// Paper vector of its first axis.
    pub x: Vec2,
    /// Paper vector of its second axis.
    pub y: Vec2,
}

impl Flat {
    /// The sheet itself, x right and y up.
    pub const fn page(at: Point) -> Self {
        Self {
            at,
            x: Vec2::new(1.0, 0.0),
            y: Vec2::new(0.0, -1.0),
        }
    }

    /// The sheet itself with x along a paper direction: for arrows and breaks, which are signs on
    /// the drawing and not things in the building.
    pub fn sign(at: Point, along: Vec2) -> Self {
        let x = if along.hypot() < 1e-9 {
            Vec2::new(1.0, 0.0)
        } else {
            along.normalize()
        };
        Self {
            at,
            x,
            y: Vec2::new(x.y, -x.x),
        }
    }

    /// The paper point of a point of the plane.
    pub fn point(&self, (x, y): (f64, f64)) -> Point {
        self.at + self.x * x + self.y * y
    }

    /// The same plane with its origin moved along its own axes.
    #[must_use]
    pub fn moved(self, x: f64, y: f64) -> Self {
        Self {
            at: self.point((x, y)),
            ..self
        }
    }

    /// The same plane with its measure multiplied.
    #[must_use]
    pub fn scaled(self, by: f64) -> Self {
        Self {
            at: self.at,
            x: self.x * by,
            y: self.y * by,
        }
    }

    /// A broken line through points of the plane.
    pub fn lines(&self, points: &[(f64, f64)], closed: bool) -> BezPath {
        let mut path = BezPath::with_capacity(points.len() + usize::from(closed));
        for (i, p) in points.iter().enumerate() {
            if i == 0 {
                path.move_to(self.point(*p));
            } else {
                path.line_to(self.point(*p));
            }
        }
        if closed {
            path.close_path();
        }
        path
    }

    /// A part of a circle, from one angle through a sweep, degrees counter-clockwise from x.
    ///
    /// Each quarter or less is one cubic; the radius is off by at most 0.03 percent.
    pub fn arc(&self, centre: (f64, f64), radius: f64, from: f64, sweep: f64) -> BezPath {
        let count = (sweep.abs() / 90.0).ceil().max(1.0);
        let step = (sweep / count).to_radians();
        let handle = 4.0 / 3.0 * (step / 4.0).tan() * radius;
        let on = |a: f64| (centre.0 + radius * a.cos(), centre.1 + radius * a.sin());
        // Room for closing it as well.
        let mut path = BezPath::with_capacity(count as usize + 2);
        let mut a = from.to_radians();
        path.move_to(self.point(on(a)));
        for _ in 0..count as usize {
            let b = a + step;
            let (p, q) = (on(a), on(b));
            path.curve_to(
                self.point((p.0 - handle * a.sin(), p.1 + handle * a.cos())),
                self.point((q.0 + handle * b.sin(), q.1 - handle * b.cos())),
                self.point(q),
            );
            a = b;
        }
        path
    }

    /// A whole circle of the plane: an ellipse on paper.
    pub fn circle(&self, centre: (f64, f64), radius: f64) -> BezPath {
        let mut path = self.arc(centre, radius, 0.0, 360.0);
        path.close_path();
        path
    }
}

/// How space is seen: isometric or straight down.
#[derive(Clone, Copy, Debug)]
pub enum Eye {
    /// Isometric drawing.
    Iso(Projection),
    /// Plan: east to the right, north up the page; paper mm per building mm.
    Plan(f64),
}

impl Eye {
    /// The paper point of a point in space, mm.
    pub fn point(self, p: DVec3) -> Point {
        match self {
            Self::Iso(projection) => projection.point(p),
            Self::Plan(factor) => Point::new(p.x * factor, -p.y * factor),
        }
    }

    /// Paper millimetres per building millimetre along the axes.
    pub fn factor(self) -> f64 {
        match self {
            Self::Iso(projection) => projection.factor(),
            Self::Plan(factor) => factor,
        }
    }

    /// The paper vector of one symbol millimetre along a direction, whatever the scale.
    pub fn unit(self, way: DVec3) -> Vec2 {
        self.point(way).to_vec2() / self.factor()
    }

    /// A plane of symbols spanned by two directions in space.
    pub fn flat(self, at: Point, x: DVec3, y: DVec3) -> Flat {
        Flat {
            at,
            x: self.unit(x),
            y: self.unit(y),
        }
    }

    /// The level plane (for flanges, drains, collars).
    pub fn level(self, at: Point) -> Flat {
        self.flat(at, DVec3::X, DVec3::Y)
    }

    /// The plane in which a symbol on a pipe going `way` lies: x along the pipe, y square to it,
    /// upwards where the pipe is level and to the right where it is plumb.
    pub fn along(self, at: Point, way: DVec3) -> Flat {
        match self {
            Self::Plan(_) => {
                let x = lengthened(self.unit(way));
                let left = Vec2::new(x.y, -x.x);
                // Above the line, as lettering stands; left of a line that runs up the page.
                let below = left.y > 1e-6 || (left.y.abs() <= 1e-6 && left.x > 0.0);
                Flat {
                    at,
                    x,
                    y: if below { -left } else { left },
                }
            }
            Self::Iso(_) => {
                let x = lengthened(self.unit(way));
                let steep = way.z.abs() > 0.999;
                let upright = if steep {
                    DVec3::X
                } else {
                    (DVec3::Z - way * way.z).normalize()
                };
                let level = if steep {
                    DVec3::Y
                } else {
                    way.cross(DVec3::Z).normalize()
                };
                let square = |v: DVec3| x.normalize().cross(self.unit(v)).abs();
                // A level pipe straight away from the viewer falls on the vertical: then the
                // symbol lies flat instead, or it would be a stroke.
                let y = self.unit(if square(upright) >= 0.5 {
                    upright
                } else {
                    level
                });
                let y = if steep {
                    y * y.x.signum()
                } else {
                    y * if y.y > 0.0 { -1.0 } else { 1.0 }
                };
                Flat { at, x, y }
            }
        }
    }
}

/// The vector, at least half a millimetre long so that a symbol on a foreshortened pipe stays readable.
fn lengthened(v: Vec2) -> Vec2 {
    let length = v.hypot();
    if length < 1e-9 {
        Vec2::new(0.5, 0.0)
    } else {
        v * (length.max(0.5) / length)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::view::Corner;
    use kurbo::Shape;
    use wyeline_units::Scale;

    /// Half axes and direction (degrees, 0 to 180, y up) of the minor axis of a drawn ellipse.
    fn axes(path: &BezPath, centre: Point) -> (f64, f64, f64) {
        let mut longest = 0.0_f64;
        let mut shortest = (f64::INFINITY, 0.0);
        for segment in path.segments() {
            for i in 0..=200 {
                let d = kurbo::ParamCurve::eval(&segment, f64::from(i) / 200.0) - centre;
                longest = longest.max(d.hypot());
                if d.hypot() < shortest.0 {
                    shortest = (d.hypot(), (-d.y).atan2(d.x).to_degrees().rem_euclid(180.0));
                }
            }
        }
        (longest, shortest.0, shortest.1)
    }

    fn eye() -> Eye {
        Eye::Iso(Projection::new(Corner::Sw, Scale(48)))
    }

    #[test]
    fn a_circle_in_each_plane_is_the_ellipse_of_iso_5456_3() {
        // Isometric drawing: major 1.2247 d = sqrt(3/2), minor 0.7071 d = sqrt(1/2), minor axis along
        // the paper direction of the axis square to the plane. From the south-west, east goes
        // up at 30 degrees, north at 150, and the vertical at 90.
        for (x, y, minor_at) in [
            (DVec3::X, DVec3::Y, 90.0),
            (DVec3::X, DVec3::Z, 150.0),
            (DVec3::Y, DVec3::Z, 30.0),
        ] {
            let flat = eye().flat(Point::ORIGIN, x, y);
            let (major, minor, angle) = axes(&flat.circle((0.0, 0.0), 10.0), Point::ORIGIN);
            assert!(
                (major - 10.0 * 1.5_f64.sqrt()).abs() < 0.01,
                "major {major}"
            );
            assert!(
                (minor - 10.0 * 0.5_f64.sqrt()).abs() < 0.01,
                "minor {minor}"
            );
            assert!((minor / major - 0.577_35).abs() < 0.001);
            assert!(
                (angle - minor_at).abs() < 1.0,
                "minor axis at {angle}, not {minor_at}"
            );
        }
    }

    #[test]
    fn a_circle_on_the_page_is_a_circle() {
        let path = Flat::page(Point::ORIGIN).circle((0.0, 0.0), 5.0);
        let area = path.area().abs();
        assert!((area - 25.0 * std::f64::consts::PI).abs() < 0.05, "{area}");
    }

    #[test]
    fn a_symbol_on_a_level_pipe_stands_upright() {
        let flat = eye().along(Point::ORIGIN, DVec3::X);
        assert!(
            flat.y.x.abs() < 1e-9 && (flat.y.y + 1.0).abs() < 1e-9,
            "{:?}",
            flat.y
        );
    }

    #[test]
    fn a_symbol_on_a_pipe_straight_away_lies_flat_and_keeps_its_width() {
        // North-east from the south-west corner is vertical on paper; upright would be a stroke.
        let way = DVec3::new(1.0, 1.0, 0.0).normalize();
        let flat = eye().along(Point::ORIGIN, way);
        assert!(flat.x.normalize().cross(flat.y).abs() > 0.9, "{flat:?}");
    }

    #[test]
    fn a_symbol_is_as_large_at_every_scale() {
        for scale in [1, 24, 48, 192] {
            let eye = Eye::Iso(Projection::new(Corner::Se, Scale(scale)));
            let x = eye.along(Point::ORIGIN, DVec3::Y).x;
            assert!(
                (x.hypot() - 1.0).abs() < 1e-9,
                "1:{scale} gives {}",
                x.hypot()
            );
        }
    }
}
