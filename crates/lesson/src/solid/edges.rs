//! The edges of a solid: unit edges of the lattice at which its faces do not lie in one plane, joined into straight lines.
//!
//! Around a unit edge lie four unit cubes. Where none, all, or two beside each other belong to the solid, there is nothing or one flat face;
//! where one, three, or two across from each other do, faces of different planes meet.

use super::{Point, Solid};

/// A straight edge along an axis, from the lower end to the higher one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Edge {
    /// Its end at the lower coordinate.
    pub from: Point,
    /// Its other end.
    pub to: Point,
}

/// A unit edge: its axis and its lower end. Ordered so that what can be joined stands together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct Unit {
    pub axis: usize,
    /// Coordinates across the axis.
    pub across: [i32; 2],
    /// Coordinate along the axis.
    pub along: i32,
}

impl Unit {
    /// Its lower end.
    pub fn from(self) -> Point {
        let mut at = [0; 3];
        at[self.axis] = self.along;
        at[(self.axis + 1) % 3] = self.across[0];
        at[(self.axis + 2) % 3] = self.across[1];
        at
    }

    /// Its upper end.
    pub fn to(self) -> Point {
        let mut at = self.from();
        at[self.axis] += 1;
        at
    }
}

/// Every unit edge at which faces of different planes meet, in order.
pub(super) fn units(solid: &Solid) -> Vec<Unit> {
    let size = solid.size();
    let mut found = Vec::new();
    for axis in 0..3 {
        let (b, c) = ((axis + 1) % 3, (axis + 2) % 3);
        for i in 0..=size[b] {
            for j in 0..=size[c] {
                for along in 0..size[axis] {
                    let unit = Unit {
                        axis,
                        across: [i, j],
                        along,
                    };
                    // The four cubes in order round the edge.
                    let held = [(0, 0), (-1, 0), (-1, -1), (0, -1)].map(|(di, dj)| {
                        let mut cube = unit.from();
                        cube[b] += di;
                        cube[c] += dj;
                        solid.holds(cube)
                    });
                    let count = held.iter().filter(|h| **h).count();
                    if count % 2 == 1 || count == 2 && held[0] == held[2] {
                        found.push(unit);
                    }
                }
            }
        }
    }
    found
}

/// Joins unit edges in line end to end, except at points where `parted` says so. The units have to be in order.
pub(super) fn joined(units: &[Unit], parted: impl Fn(Point, usize) -> bool) -> Vec<Edge> {
    let mut made: Vec<Edge> = Vec::new();
    let mut last: Option<Unit> = None;
    for unit in units {
        let goes_on = last.is_some_and(|l| {
            l.axis == unit.axis && l.across == unit.across && l.along + 1 == unit.along
        });
        match made.last_mut() {
            Some(edge) if goes_on && !parted(unit.from(), unit.axis) => edge.to = unit.to(),
            _ => made.push(Edge {
                from: unit.from(),
                to: unit.to(),
            }),
        }
        last = Some(*unit);
    }
    made
}

/// The edges of a solid as straight lines, each cut where an edge of another direction meets it, in a fixed order.
pub fn edges(solid: &Solid) -> Vec<Edge> {
    let units = units(solid);
    let mut ends: Vec<(Point, usize)> = units
        .iter()
        .flat_map(|u| [(u.from(), u.axis), (u.to(), u.axis)])
        .collect();
    ends.sort_unstable();
    ends.dedup();
    joined(&units, |at, axis| {
        (0..3).any(|other| other != axis && ends.binary_search(&(at, other)).is_ok())
    })
}
