//! What stands near a block, taken out of the field once so that all places for it are tried against
//! a short list.

use kurbo::{Point, Rect, Vec2};

use super::field::{Field, Thing};
use super::shape::Oblong;

/// Something near.
#[derive(Clone, Copy, Debug)]
pub(super) struct Found {
    pub shape: Oblong,
    pub thing: Thing,
}

/// The things of a field near some place, in room that is used again for the next place.
#[derive(Debug, Default)]
pub(super) struct Near {
    found: Vec<Found>,
    /// The rectangles these lie in: what most of them are told apart by.
    bounds: Vec<Rect>,
    /// Between which distances from a line each lies, where that was asked.
    lanes: Vec<(f64, f64)>,
    /// For each box of the field, the last round in which it was found.
    seen: Vec<u32>,
    round: u32,
}

impl Near {
    /// Takes what lies in `around` out of the field.
    pub fn gather(&mut self, field: &Field, around: Rect) {
        self.clear();
        self.round += 1;
        if self.seen.len() < field.len() {
            self.seen.resize(field.len(), 0);
        }
        let (found, all, seen, round) = (
            &mut self.found,
            &mut self.bounds,
            &mut self.seen,
            self.round,
        );
        field.visit(around, |item, bounds, shape, thing| {
            let seen = &mut seen[item as usize];
            if *seen != round {
                *seen = round;
                all.push(*bounds);
                found.push(Found {
                    shape: *shape,
                    thing,
                });
            }
            false
        });
    }

    /// Nothing is near.
    pub fn clear(&mut self) {
        self.found.clear();
        self.bounds.clear();
    }

    /// What was found and meets `bounds`.
    pub fn meeting(&self, bounds: Rect) -> impl Iterator<Item = &Found> {
        let near = self.bounds.iter().zip(&self.found);
        near.filter(move |(b, _)| meet(b, &bounds)).map(|(_, f)| f)
    }

    /// Reckons how far to the side of the line from `start` along the unit vector `way` everything lies.
    pub fn reckon(&mut self, start: Point, way: Vec2) {
        let across = Vec2::new(-way.y, way.x);
        self.lanes.clear();
        self.lanes.extend(self.found.iter().map(|f| {
            let off = (f.shape.centre - start).dot(across);
            let reach = f.shape.reach_along(across);
            (off - reach, off + reach)
        }));
    }

    /// What was found and lies, at least in part, between two distances from the line last reckoned from.
    pub fn in_lane(&self, (from, to): (f64, f64)) -> impl Iterator<Item = &Found> {
        let near = self.lanes.iter().zip(&self.found);
        near.filter(move |(lane, _)| lane.0 < to && from < lane.1)
            .map(|(_, f)| f)
    }

    /// Whether `area` touches anything that must not be touched.
    pub fn hits(&self, area: &Oblong) -> bool {
        self.meeting(area.bounds())
            .any(|f| f.thing != Thing::Frame && area.touches(&f.shape))
    }
}

/// Whether two rectangles share an area.
#[expect(
    clippy::needless_bitwise_bool,
    reason = "each comparison is as good as thrown: one branch costs less than four"
)]
pub(super) fn meet(a: &Rect, b: &Rect) -> bool {
    (a.x0 < b.x1) & (b.x0 < a.x1) & (a.y0 < b.y1) & (b.y0 < a.y1)
}
