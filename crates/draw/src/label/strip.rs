//! What stands along a line, told in the line's own terms, so that all blocks pushed along it are tried
//! against the same few numbers.
//!
//! As in `slide`, a block that moves straight is kept from a thing by some side's normal except during
//! one stretch of the way. The normals are the block's two and the thing's two; what each of them comes
//! to is the same for every block of the line but for the block's size and how far off the line it is.

use kurbo::{Point, Vec2};

use super::along::Pushed;
use super::field::Thing;
use super::near::Near;

/// Places tried along a bed.
pub(super) const PLACES: usize = 13;
/// Where the first of them is, and how far it is to the next, as shares of the line's length.
const FIRST: f64 = 0.02;
const STEP: f64 = 0.08;
/// All places, a bit each.
pub(super) const ALL: u16 = (1 << PLACES) - 1;

/// How far along its line a place is, as a share of its length.
pub(super) fn share(place: usize) -> f64 {
    FIRST + STEP * place as f64
}

/// A thing beside the bed. For each normal, `[block's, block's, thing's, thing's]`, reckoned in mm of way.
#[derive(Clone, Copy, Debug)]
struct Seen {
    /// Between which distances to the side it lies.
    lane: (f64, f64),
    /// Where on the way of a block without size it is met in the middle; by how much that changes with each mm
    /// to the side.
    middle: [f64; 4],
    aside: [f64; 4],
    /// How much of the way it reaches to either side of there; how much each mm of a block adds.
    reach: [f64; 4],
    pace: [f64; 4],
    /// How a block's half sides turn into its reach along the thing's normals.
    turn: (f64, f64),
}

/// Things beside a line, in room that is used again for the next bed.
#[derive(Debug, Default)]
pub(super) struct Strip {
    /// Blocks that may be pushed along it.
    pub pushed: Vec<Pushed>,
    /// Where they stand clear: cost, which of them, and at which place.
    pub open: Vec<(f64, u16, u16)>,
    things: Vec<Seen>,
    length: f64,
}

/// A line, and where blocks beside it may reach.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bed {
    pub from: Point,
    /// Unit direction in which blocks are pushed, and the side on which distances count.
    pub way: Vec2,
    pub side: Vec2,
    pub length: f64,
    /// Unit direction of a block's first side.
    pub block: Vec2,
    /// How far any block reaches to the side of the line, and beyond its ends, mm.
    pub aside: f64,
    pub beyond: f64,
}

impl Strip {
    /// Takes what is near the line out of what is near.
    pub fn reckon(&mut self, bed: &Bed, near: &Near) {
        self.things.clear();
        self.length = bed.length;
        let Bed { way, side, .. } = *bed;
        let across = |v: Vec2| Vec2::new(-v.y, v.x);
        let e = [bed.block, across(bed.block)];
        for found in near.found() {
            if found.thing == Thing::Frame {
                continue;
            }
            let shape = &found.shape;
            let apart = shape.centre - bed.from;
            let (along, off) = (apart.dot(way), apart.dot(side));
            let (ahead, wide) = (shape.reach_along(way), shape.reach_along(side));
            if off.abs() - wide >= bed.aside
                || along + ahead <= -bed.beyond
                || along - ahead >= bed.length + bed.beyond
            {
                continue;
            }
            let f = [shape.along, across(shape.along)];
            let turn = (e[0].dot(f[0]).abs(), e[0].cross(f[0]).abs());
            let (long, broad) = shape.half;
            let normals = [e[0], e[1], f[0], f[1]];
            let reach = [
                long * turn.0 + broad * turn.1,
                long * turn.1 + broad * turn.0,
                long,
                broad,
            ];
            // A normal square to the way separates always or never.
            let by = normals.map(|n| {
                let pace = way.dot(n);
                if pace.abs() < LEAST_PACE {
                    1.0 / LEAST_PACE
                } else {
                    1.0 / pace
                }
            });
            self.things.push(Seen {
                lane: (off - wide, off + wide),
                middle: std::array::from_fn(|k| apart.dot(normals[k]) * by[k]),
                aside: std::array::from_fn(|k| side.dot(normals[k]) * by[k]),
                reach: std::array::from_fn(|k| reach[k] * by[k].abs()),
                pace: by.map(f64::abs),
                turn,
            });
        }
    }

    /// At which of some places a block stands clear, a bit for each.
    ///
    /// * `among`: the places asked about
    /// * `off`: how far its middle is to the side of the line, mm
    /// * `breadth`: how far it reaches to either side of there, mm
    /// * `half`: half its sides, mm
    pub fn clear(&mut self, among: u16, off: f64, breadth: f64, half: (f64, f64)) -> u16 {
        let mut clear = among;
        let scale = 1.0 / (STEP * self.length);
        for i in 0..self.things.len() {
            let seen = &self.things[i];
            if seen.lane.0 >= off + breadth || off - breadth >= seen.lane.1 {
                continue;
            }
            let (from, to) = seen.meets(off, half);
            if from < to {
                clear &= !between(from * scale - FIRST / STEP, to * scale - FIRST / STEP);
                if clear == 0 {
                    // What leaves no place to one block most likely leaves none to the next.
                    self.things.swap(0, i);
                    break;
                }
            }
        }
        clear
    }
}

/// Slower than this a block does not come nearer along a normal.
const LEAST_PACE: f64 = 1e-12;

impl Seen {
    /// Between which places on its way a block meets the thing; nothing where the first lies behind the second.
    fn meets(&self, off: f64, half: (f64, f64)) -> (f64, f64) {
        let own = [
            half.0,
            half.1,
            half.0 * self.turn.0 + half.1 * self.turn.1,
            half.0 * self.turn.1 + half.1 * self.turn.0,
        ];
        let (mut from, mut to) = (f64::NEG_INFINITY, f64::INFINITY);
        for (k, own) in own.into_iter().enumerate() {
            let middle = self.middle[k] - off * self.aside[k];
            let reach = self.reach[k] + own * self.pace[k];
            from = f64::max(from, middle - reach);
            to = f64::min(to, middle + reach);
        }
        (from, to)
    }
}

/// The places that lie between two, both counted from the first in steps, a bit for each.
fn between(from: f64, to: f64) -> u16 {
    let whole = |x: f64| (x.clamp(-1.0, PLACES as f64) + 1.0) as u16;
    // The first whole number above `from`, and the first not below `to`.
    let first = whole(from);
    let end = PLACES as u16 + 1 - whole(PLACES as f64 - to);
    let below = |n: u16| (1_u16 << n) - 1;
    below(end) & !below(first)
}
