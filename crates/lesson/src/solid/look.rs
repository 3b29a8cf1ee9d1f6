//! What of a solid's edges is seen from a corner, wholly in whole numbers.
//!
//! A point of an edge is hidden where the way from it to the viewer, along (±1, ±1, 1), goes through the solid. Every unit edge is seen or
//! hidden as a whole. For let its points be p + s e with p a lattice point, e a unit axis and 0 < s < 1. After time t = k + f (k whole,
//! 0 < f < 1) the two coordinates across the edge lie strictly between the same whole numbers whatever s is; the one along it, p + s ± t,
//! passes a whole number once in that time, at f = 1 - s or f = s. So between k and k + 1 the way leads through the inside of exactly two cubes,
//! the same two for every s and in the same order, and at every whole t it is on the edge moved k times, in the inside of no cube. Whether any of these cubes is
//! held by the solid does not depend on s. (At a whole t the way may pass between two cubes that touch along that edge alone; the
//! line on paper is then that nearer edge's, so nothing is drawn otherwise.)
//!
//! On paper a unit edge falls on those that differ from it by multiples of the way to the viewer, and on no others, since the three axes have three directions there: each unit of the triangular lattice is drawn once,
//! as seen where one of its edges is seen, and else as hidden.

use wyeline_draw::Corner;

use super::edges::{Unit, joined, units};
use super::{Edge, Point, Solid};

/// A line of the drawing of a block.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Line {
    /// The edge it stands for, or the part of it.
    pub edge: Edge,
    /// Whether it is hidden: drawn dashed.
    pub hidden: bool,
}

/// One step towards the viewer: the direction of sight turned round.
pub(super) const fn towards(corner: Corner) -> Point {
    match corner {
        Corner::Sw => [-1, -1, 1],
        Corner::Se => [1, -1, 1],
        Corner::Ne => [1, 1, 1],
        Corner::Nw => [-1, 1, 1],
    }
}

/// Where a point falls on the triangular lattice of the paper: (u, v) in half widths of a rhombus to the right and half pitches up.
///
/// The paper point is (u cos 30, v / 2) pitches; u and v are both even or both odd.
pub const fn paper([x, y, z]: Point, corner: Corner) -> [i32; 2] {
    let (right, left) = match corner {
        Corner::Sw => (x, y),
        Corner::Se => (y, -x),
        Corner::Ne => (-x, -y),
        Corner::Nw => (-y, x),
    };
    [right - left, right + left + 2 * z]
}

/// How far a point is behind others that fall on it.
const fn depth([x, y, z]: Point, corner: Corner) -> i32 {
    let [a, b, _] = towards(corner);
    -a * x - b * y - z
}

/// Whether a unit edge is hidden: whether any cube on the way to the viewer is held.
fn hidden(solid: &Solid, unit: Unit, towards: Point) -> bool {
    let [.., high] = solid.size();
    let from = unit.from();
    (0..=high).any(|k| {
        let at = [0, 1, 2].map(|i| from[i] + k * towards[i]);
        let mut cube = [0, 1, 2].map(|i| {
            if i == unit.axis || towards[i] > 0 {
                at[i]
            } else {
                at[i] - 1
            }
        });
        let first = solid.holds(cube);
        cube[unit.axis] += towards[unit.axis];
        first || solid.holds(cube)
    })
}

/// The lines of the drawing from a corner: every edge, seen or hidden, each place of the paper once, joined into the longest straight lines of
/// one kind; in a fixed order.
pub fn seen(solid: &Solid, corner: Corner) -> Vec<Line> {
    looked_at(solid, &units(solid), corner).0
}

/// The same of a solid's unit edges, and how many of these fall on others and are not drawn.
pub(super) fn looked_at(solid: &Solid, units: &[Unit], corner: Corner) -> (Vec<Line>, usize) {
    let way = towards(corner);
    // By place on paper; there seen before hidden, and near before far.
    let mut places: Vec<_> = units
        .iter()
        .map(|unit| {
            let place = (unit.axis, paper(unit.from(), corner));
            (
                place,
                hidden(solid, *unit, way),
                depth(unit.from(), corner),
                *unit,
            )
        })
        .collect();
    places.sort_unstable();
    places.dedup_by_key(|place| place.0);
    let fallen = units.len() - places.len();
    let mut lines = Vec::new();
    for is_hidden in [false, true] {
        let kind = places.iter().filter(|place| place.1 == is_hidden);
        let mut units: Vec<Unit> = kind.map(|place| place.3).collect();
        units.sort_unstable();
        let edges = joined(&units, |_, _| false);
        lines.extend(edges.into_iter().map(|edge| Line {
            edge,
            hidden: is_hidden,
        }));
    }
    (lines, fallen)
}
