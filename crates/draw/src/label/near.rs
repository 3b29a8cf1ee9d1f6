//! What stands near a block, taken out of the field once so that all places for it are tried against
//! a short list.
//!
//! The list is indexed by stripes: for each upright and each level stripe of the neighbourhood, one bit per
//! thing that reaches into it. What may meet a rectangle is what is in both some upright and some level stripe
//! of it, which is a handful of bit operations however long the list.

use kurbo::{Point, Rect};

use super::field::{Field, Thing};
use super::shape::Oblong;

/// Something near.
#[derive(Clone, Copy, Debug)]
pub(super) struct Found {
    pub shape: Oblong,
    pub thing: Thing,
}

/// Stripes each way.
const STRIPES: usize = 16;

/// The things of a field near some place, in room that is used again for the next place.
#[derive(Debug, Default)]
pub(super) struct Near {
    found: Vec<Found>,
    /// The rectangles these lie in: what most of them are told apart by.
    bounds: Vec<Rect>,
    /// For each 64 things, the bits of every upright stripe, then of every level one.
    stripes: Vec<[[u64; STRIPES]; 2]>,
    /// The neighbourhood, and stripes per mm.
    around: Rect,
    per_mm: (f64, f64),
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
        self.around = around;
    }

    /// Enters what was found into its stripes, where that is not done yet: to be called before asking what meets
    /// a rectangle.
    pub fn index(&mut self) {
        if !self.stripes.is_empty() {
            return;
        }
        let per_mm = |length: f64| STRIPES as f64 / length.max(1e-9);
        self.per_mm = (per_mm(self.around.width()), per_mm(self.around.height()));
        let corner = self.around.origin();
        let blocks = self.bounds.chunks(64);
        self.stripes.extend(blocks.map(|block| {
            // A bit turns where its thing begins and again behind its end.
            let mut turns = [[0_u64; STRIPES + 1]; 2];
            for (i, bounds) in block.iter().enumerate() {
                let ranges = ranges(bounds, corner, self.per_mm);
                for (turns, (first, last)) in turns.iter_mut().zip(ranges) {
                    turns[first] ^= 1 << i;
                    turns[last + 1] ^= 1 << i;
                }
            }
            turns.map(|turns| {
                let mut bits = 0;
                std::array::from_fn(|stripe| {
                    bits ^= turns[stripe];
                    bits
                })
            })
        }));
    }

    /// All that was found.
    pub fn found(&self) -> &[Found] {
        &self.found
    }

    /// Nothing is near.
    pub fn clear(&mut self) {
        self.found.clear();
        self.bounds.clear();
        self.stripes.clear();
    }

    /// What was found and meets `bounds`.
    pub fn meeting(&self, bounds: Rect) -> Meeting<'_> {
        debug_assert_eq!(self.stripes.len(), self.bounds.len().div_ceil(64));
        Meeting {
            near: self,
            bounds,
            ranges: ranges(&bounds, self.around.origin(), self.per_mm),
            block: 0,
            bits: 0,
        }
    }

    /// Whether `area` touches anything that must not be touched. What `last` was hit is tried first: places tried one
    /// after the other are mostly taken by the same thing.
    pub fn hits_after(&self, area: &Oblong, last: &mut Option<Found>) -> bool {
        if last.is_some_and(|f| f.blocks(area)) {
            return true;
        }
        let hit = self.meeting(area.bounds()).find(|f| f.blocks(area));
        *last = hit.copied().or(*last);
        hit.is_some()
    }
}

impl Found {
    /// Whether it must not be touched and is.
    fn blocks(&self, area: &Oblong) -> bool {
        self.thing != Thing::Frame && area.touches(&self.shape)
    }
}

/// The things that meet a rectangle, one by one.
#[derive(Debug)]
pub(super) struct Meeting<'a> {
    near: &'a Near,
    bounds: Rect,
    ranges: [(usize, usize); 2],
    /// The 64 things looked at next, and which of those before are still to be looked at.
    block: usize,
    bits: u64,
}

impl<'a> Iterator for Meeting<'a> {
    type Item = &'a Found;

    fn next(&mut self) -> Option<&'a Found> {
        loop {
            while self.bits != 0 {
                let i = self.block * 64 - 64 + self.bits.trailing_zeros() as usize;
                self.bits &= self.bits - 1;
                if meet(&self.near.bounds[i], &self.bounds) {
                    return self.near.found.get(i);
                }
            }
            let [upright, level] = self.near.stripes.get(self.block)?;
            let among = |stripes: &[u64; STRIPES], (first, last): (usize, usize)| {
                stripes[first..=last].iter().fold(0, |all, s| all | s)
            };
            self.bits = among(upright, self.ranges[0]) & among(level, self.ranges[1]);
            self.block += 1;
        }
    }
}

/// The first and last stripe, upright and level, that a rectangle reaches into; what lies outside the
/// neighbourhood counts as in the outermost.
fn ranges(bounds: &Rect, corner: Point, per_mm: (f64, f64)) -> [(usize, usize); 2] {
    let stripe = |mm: f64, per_mm: f64| (mm * per_mm).clamp(0.0, STRIPES as f64 - 0.5) as u32;
    let range = |from: f64, to: f64, per_mm: f64| {
        (stripe(from, per_mm) as usize, stripe(to, per_mm) as usize)
    };
    [
        range(bounds.x0 - corner.x, bounds.x1 - corner.x, per_mm.0),
        range(bounds.y0 - corner.y, bounds.y1 - corner.y, per_mm.1),
    ]
}

/// Whether two rectangles share an area.
#[expect(
    clippy::needless_bitwise_bool,
    reason = "each comparison is as good as thrown: one branch costs less than four"
)]
pub(super) fn meet(a: &Rect, b: &Rect) -> bool {
    (a.x0 < b.x1) & (b.x0 < a.x1) & (a.y0 < b.y1) & (b.y0 < a.y1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    prop_compose! {
        fn rect()(x in -90.0..90.0_f64, y in -60.0..60.0_f64, w in 0.0..50.0_f64, h in 0.0..30.0_f64) -> Rect {
            Rect::new(x, y, x + w, y + h)
        }
    }

    proptest! {
        #[test]
        fn the_same_is_found_as_by_looking_at_everything(
            things in proptest::collection::vec(rect(), 0..150),
            around in rect(),
            asked in rect(),
        ) {
            let mut field = Field::new(Rect::new(-90.0, -60.0, 140.0, 90.0), things.len());
            for (i, rect) in things.iter().enumerate() {
                field.add(Oblong::of_rect(*rect), Thing::Label(i as u32));
            }
            let mut near = Near::default();
            near.gather(&field, around);
            near.index();
            let number = |f: &Found| match f.thing {
                Thing::Label(i) => i as usize,
                _ => usize::MAX,
            };
            let mut found: Vec<usize> = near.meeting(asked).map(number).collect();
            found.sort_unstable();
            let bounds = |rect: &Rect| Oblong::of_rect(*rect).bounds();
            let expected: Vec<usize> = (0..things.len())
                .filter(|&i| meet(&bounds(&things[i]), &around) && meet(&bounds(&things[i]), &asked))
                .collect();
            prop_assert_eq!(found, expected);
        }
    }
}
