//! Points in space to points on paper: the isometric drawing, full scale along its three axes.
//!
//! u = (r - l) cos 30, v = (r + l) / 2 + z, depth = r + l - z, with r and l the distances along the
//! level axes going away to the right and to the left (geometry of ISO 5456-3's isometric
//! projection, enlarged by sqrt(3/2) as an isometric drawing).

use glam::DVec3;
use kurbo::{Point, Vec2};
use wyeline_units::Scale;

use crate::view::Corner;

/// cos 30 degrees.
const COS_30: f64 = 0.866_025_403_784_438_6;

/// An isometric drawing from one corner at one scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Projection {
    corner: Corner,
    /// Paper millimetres per millimetre of the building.
    factor: f64,
}

impl Projection {
    /// Seen from `corner`, at `scale`.
    pub fn new(corner: Corner, scale: Scale) -> Self {
        Self {
            corner,
            factor: scale.paper(1.0),
        }
    }

    /// Distances along the away-right and away-left axes.
    fn away(self, p: DVec3) -> (f64, f64) {
        match self.corner {
            Corner::Sw => (p.x, p.y),
            Corner::Se => (p.y, -p.x),
            Corner::Ne => (-p.x, -p.y),
            Corner::Nw => (-p.y, p.x),
        }
    }

    /// The point on paper, mm, x right and y down, of a point in space, mm.
    pub fn point(self, p: DVec3) -> Point {
        let (r, l) = self.away(p);
        Point::new(
            (r - l) * COS_30 * self.factor,
            -(f64::midpoint(r, l) + p.z) * self.factor,
        )
    }

    /// The paper vector of a vector in space.
    pub fn vector(self, v: DVec3) -> Vec2 {
        self.point(v).to_vec2()
    }

    /// How far from the viewer, in mm along r + l - z: the larger is behind.
    pub fn depth(self, p: DVec3) -> f64 {
        let (r, l) = self.away(p);
        r + l - p.z
    }

    /// The corner looked from.
    pub fn corner(self) -> Corner {
        self.corner
    }

    /// Paper millimetres per millimetre of the building.
    pub fn factor(self) -> f64 {
        self.factor
    }
}
