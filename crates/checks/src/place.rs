//! Plan geometry that several rules need: which way fixtures look, where walls stand, what lies outside.

use glam::{DVec2, DVec3};
use wyeline_network::model::{Fixture, Network, Wall};
use wyeline_network::way;

use crate::grid::Grid;
use crate::practice::practice;

/// Why cover outside the walls is not checked.
pub const NO_GRADE: &str = "it lies outside the walls, and how high the ground lies there is not told (`grade main floor -8\"`)";
/// Why cover beside a storey without walls is not checked.
pub const IN_PART: &str = "it lies outside the walls that are told, beside a storey whose walls are not, in the ground or in a room: tell that storey's walls";
/// What cover rests on.
pub const GRADE: &str = "height of the ground";

/// The corners of a wall on the plan, all its thickness.
pub fn corners(wall: &Wall) -> [DVec2; 4] {
    let (from, to) = (DVec2::from(wall.from), DVec2::from(wall.to));
    let deep = DVec2::from(wall.into) * wall.thick;
    [from, to, to + deep, from + deep]
}

/// The corners of a fixture on the plan, by its kind's size; of a shower, the least there may be.
pub fn footprint(fixture: &Fixture) -> [DVec2; 4] {
    let out = way(fixture.faces);
    let least = practice().shower.least();
    let (wide, deep) = if fixture.kind == "shower" {
        (fixture.size.0.min(least), fixture.size.1.min(least))
    } else {
        fixture.size
    };
    let side = DVec2::new(out.y, -out.x) * (wide / 2.0);
    let depth = out * deep;
    let anchor = fixture.anchor.truncate();
    let back = if fixture.centred {
        anchor - depth / 2.0
    } else {
        anchor
    };
    [
        back - side,
        back + side,
        back + side + depth,
        back - side + depth,
    ]
}

/// The least box round points of the plan.
pub fn bounds(points: &[DVec2]) -> (DVec2, DVec2) {
    let far = DVec2::splat(f64::INFINITY);
    let grow = |(low, high): (DVec2, DVec2), at: &DVec2| (low.min(*at), high.max(*at));
    points.iter().fold((far, -far), grow)
}

/// The box round all walls on the plan; nothing where none is told.
pub fn outline(network: &Network) -> Option<(DVec2, DVec2)> {
    let walls = network.building.walls.iter();
    walls
        .map(|wall| bounds(&corners(wall)))
        .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
}

/// Whether a point of the plan lies within a box.
pub fn inside((low, high): (DVec2, DVec2), at: DVec2) -> bool {
    at.cmpge(low).all() && at.cmple(high).all()
}

/// All walls in a grid, by their number.
pub fn wall_grid(network: &Network) -> Grid {
    let mut grid = Grid::new(3000.0);
    for (ix, wall) in network.building.walls.iter().enumerate() {
        let (low, high) = bounds(&corners(wall));
        grid.put(low.extend(wall.z.0), high.extend(wall.z.1), ix as u32);
    }
    grid.sealed()
}

/// All fixtures in a grid, by their number; each at the height of its floor.
pub fn fixture_grid(network: &Network) -> Grid {
    let mut grid = Grid::new(3000.0);
    for (ix, fixture) in network.fixtures.iter().enumerate() {
        let (low, high) = bounds(&footprint(fixture));
        let z = fixture.anchor.z;
        grid.put(low.extend(z), high.extend(z), ix as u32);
    }
    grid.sealed()
}

/// A fixture's own measure: to the right as seen facing it, and out from its back.
#[derive(Clone, Copy, Debug)]
pub struct Own {
    back: DVec2,
    right: DVec2,
    out: DVec2,
}

impl Own {
    /// That of a fixture.
    pub fn of(fixture: &Fixture) -> Self {
        let out = way(fixture.faces);
        let anchor = fixture.anchor.truncate();
        let shift = if fixture.centred {
            out * (fixture.size.1 / 2.0)
        } else {
            DVec2::ZERO
        };
        Self {
            back: anchor - shift,
            // Whoever faces the fixture looks against the way it faces.
            right: DVec2::new(-out.y, out.x),
            out,
        }
    }
    /// A point of the plan as (right, out), mm.
    pub fn measure(self, at: DVec2) -> DVec2 {
        let from = at - self.back;
        DVec2::new(from.dot(self.right), from.dot(self.out))
    }
    /// A point as (right, out) on the plan.
    pub fn place(self, at: DVec2) -> DVec2 {
        self.back + self.right * at.x + self.out * at.y
    }
}

/// The part of a shape that lies in a strip `low..high` along one axis (0 or 1) of its coordinates, as the least and
/// greatest of the other axis; nothing where none does.
pub fn in_strip(shape: &[DVec2; 4], axis: usize, low: f64, high: f64) -> Option<(f64, f64)> {
    let other = 1 - axis;
    let mut span: Option<(f64, f64)> = None;
    let mut add = |at: f64| {
        span = Some(span.map_or((at, at), |(a, b)| (a.min(at), b.max(at))));
    };
    for (n, a) in shape.iter().enumerate() {
        let b = shape[(n + 1) % 4];
        if (low..=high).contains(&a[axis]) {
            add(a[other]);
        }
        for edge in [low, high] {
            let d = b[axis] - a[axis];
            let t = (edge - a[axis]) / d;
            if d.abs() > 1e-9 && (0.0..=1.0).contains(&t) {
                add(a[other] + (b[other] - a[other]) * t);
            }
        }
    }
    span
}

/// Distance between two stretches, and the point of each that is nearest, as a share of it.
pub fn nearest(a: (DVec3, DVec3), b: (DVec3, DVec3)) -> (f64, f64, f64) {
    let (d1, d2, r) = (a.1 - a.0, b.1 - b.0, a.0 - b.0);
    let (a11, a22, f) = (d1.length_squared(), d2.length_squared(), d2.dot(r));
    let at = |s: f64, t: f64| ((a.0 + d1 * s).distance(b.0 + d2 * t), s, t);
    if a11 < 1e-12 && a22 < 1e-12 {
        return at(0.0, 0.0);
    }
    if a11 < 1e-12 {
        return at(0.0, (f / a22).clamp(0.0, 1.0));
    }
    let c = d1.dot(r);
    if a22 < 1e-12 {
        return at((-c / a11).clamp(0.0, 1.0), 0.0);
    }
    let a12 = d1.dot(d2);
    let square = a11 * a22 - a12 * a12;
    let s = if square > 1e-9 * a11 * a22 {
        ((a12 * f - c * a22) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let t = (a12 * s + f) / a22;
    if t < 0.0 {
        at((-c / a11).clamp(0.0, 1.0), 0.0)
    } else if t > 1.0 {
        at(((a12 - c) / a11).clamp(0.0, 1.0), 1.0)
    } else {
        at(s, t)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn point() -> impl Strategy<Value = DVec3> {
        let at = || -10.0..10.0_f64;
        (at(), at(), at()).prop_map(|(x, y, z)| DVec3::new(x, y, z))
    }

    proptest! {
        /// No pair of points taken along the two stretches is nearer than what is told as nearest.
        #[test]
        fn nearest_is_nearest(a in point(), b in point(), c in point(), d in point()) {
            let (found, ..) = nearest((a, b), (c, d));
            for s in 0..=20 {
                for t in 0..=20 {
                    let (p, q) = (a.lerp(b, f64::from(s) / 20.0), c.lerp(d, f64::from(t) / 20.0));
                    prop_assert!(found <= p.distance(q) + 1e-9);
                }
            }
        }
    }

    /// A square of 2 by 2 about the origin, cut by the strip 0.5 to 3: from 0.5 on it is there, and as wide as it is.
    #[test]
    fn a_shape_in_a_strip() {
        let shape = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)].map(DVec2::from);
        assert_eq!(in_strip(&shape, 1, 0.5, 3.0), Some((-1.0, 1.0)));
        assert_eq!(in_strip(&shape, 1, 1.5, 3.0), None);
    }
}
