//! Places of a block along a line, each with what it costs in clearness.
//!
//! Order of merit after Imhof's rules for lines (close, straight, level, usual side) with
//! distances of 0.5 to 1.0 text heights. Costs are our own choice; 1 is about what standing on
//! the less usual side costs.

use kurbo::{Point, Vec2};

use super::block::{Align, CLEAR};
use super::candidate::Candidate;
use super::near::Near;
use super::shape::Oblong;
use super::strip::{ALL, Bed, PLACES, Strip, share};
use super::want::{Spot, Want};

/// Height of capitals that distances are reckoned in, mm.
const TEXT: f64 = 3.0;
/// From the edge of the pen to the clear area: 0.5, 0.9 and, at worst, 0.3 text heights to the
/// glyphs, with what each costs.
const GAPS: [(f64, f64); 3] = [
    (0.5 * TEXT - CLEAR, 0.0),
    (0.9 * TEXT - CLEAR, 0.5),
    (0.3 * TEXT - CLEAR, 1.6),
];
/// The least and the greatest of these.
const NEAREST: f64 = GAPS[2].0;
pub(super) const FARTHEST: f64 = GAPS[1].0;
/// What standing at each of the places along a line costs.
const ALONG: [f64; PLACES] = [
    1.3, 0.9, 0.6, 0.4, 0.25, 0.1, 0.0, 0.1, 0.25, 0.4, 0.6, 0.9, 1.3,
];
/// The first of these to be tried.
const USUAL: [usize; 3] = [6, 5, 7];

/// A line that a block stands beside.
pub(super) struct Line {
    ends: (Point, Point),
    /// Half of what it is drawn with, mm.
    half: f64,
    /// The side preferred.
    out: Option<Vec2>,
}

impl Line {
    /// The line of a spot that is one.
    pub fn of(spot: Spot) -> Option<Self> {
        match spot {
            Spot::Line { a, b, half } => Some(Self {
                ends: (a, b),
                half,
                out: None,
            }),
            Spot::Edge { a, b, out } => Some(Self {
                ends: (a, b),
                half: EDGE_HALF,
                out: Some(out),
            }),
            _ => None,
        }
    }

    /// Unit direction as it is read (left to right, or upwards), and the side preferred.
    fn reading(&self) -> (Vec2, Vec2) {
        let line = self.ends.1 - self.ends.0;
        let length = line.hypot().max(1e-9);
        let mut way = line / length;
        if way.x.abs() < 0.05 {
            way = Vec2::new(0.0, -1.0);
        } else if way.x < 0.0 {
            way = -way;
        }
        // Above what goes to the right, left of what stands upright.
        let usual = Vec2::new(way.y, -way.x);
        match self.out {
            Some(out) if out.dot(usual) < 0.0 => (way, -usual),
            _ => (way, usual),
        }
    }
}

/// Half of an edge's line and the white beside it, mm.
pub(super) const EDGE_HALF: f64 = 0.1;

/// A block that may be pushed along its line.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pushed {
    layout: u8,
    align: Align,
    /// Which of the blocks of one layout on one side, that differ in their distance alone, it is of.
    kin: usize,
    /// How far its middle is to the usual side of the line, mm; the same for the middle one of its kin.
    off: f64,
    mean: f64,
    /// Its place at the line's beginning.
    area: Oblong,
    cost: f64,
}

/// Lists every way of pushing a block along its line.
fn pushed(want: &Want, line: &Line, gaps: &[(f64, f64)], sides: usize, into: &mut Vec<Pushed>) {
    into.clear();
    let (a, b) = line.ends;
    let (way, usual) = line.reading();
    let length = a.distance(b);
    let upright = way.x.abs() < 0.05;
    for (l, layout) in want.layouts.iter().enumerate() {
        let half = layout.half();
        let area = if want.along {
            Oblong {
                centre: a,
                along: way,
                half,
            }
        } else {
            Oblong::level(a, half)
        };
        let over = (2.0 * area.reach_along(way) / length.max(1.0) - 1.0).max(0.0);
        let layout_cost = layout_cost(l, upright && !want.along) + (0.35 * over).min(1.5);
        let breadth = area.reach_along(usual);
        for &(gap, gap_cost) in gaps {
            for (s, sign) in [1.0, -1.0].into_iter().take(sides).enumerate() {
                let off = sign * (line.half + gap + breadth);
                let mean = sign * (line.half + f64::midpoint(NEAREST, FARTHEST) + breadth);
                let align = if upright && !want.along && sign * usual.x < 0.0 {
                    Align::Right
                } else {
                    Align::Left
                };
                into.push(Pushed {
                    layout: l as u8,
                    align,
                    kin: 2 * l + s,
                    off,
                    mean,
                    area: Oblong {
                        centre: a + usual * off,
                        ..area
                    },
                    cost: layout_cost + gap_cost + s as f64,
                });
            }
        }
    }
}

impl Pushed {
    /// At which places what it and its kin all cover is clear: none of them is anywhere else.
    fn core(&self, strip: &mut Strip, side: Vec2) -> u16 {
        let (along, by) = (self.area.along, (FARTHEST - NEAREST) / 2.0);
        let half = (
            self.area.half.0 - by * side.dot(along).abs(),
            self.area.half.1 - by * side.cross(along).abs(),
        );
        if half.0 <= 0.0 || half.1 <= 0.0 {
            return ALL;
        }
        let breadth = Oblong { half, ..self.area }.reach_along(side);
        strip.clear(ALL, self.mean, breadth, half)
    }

    /// The block at a place of a line.
    fn at(&self, place: usize, whole: Vec2) -> Candidate {
        Candidate {
            area: Oblong {
                centre: self.area.centre + whole * share(place),
                ..self.area
            },
            layout: self.layout,
            align: self.align,
            leader: None,
            cost: self.cost + ALONG[place],
        }
    }
}

/// The usual places along a line: the usual side, the usual distance, about the middle.
pub(super) fn usual(want: &Want, line: &Line, strip: &mut Strip, into: &mut Vec<Candidate>) {
    pushed(want, line, &GAPS[..1], 1, &mut strip.pushed);
    let whole = line.ends.1 - line.ends.0;
    let all = strip.pushed.iter();
    into.extend(all.flat_map(|block| USUAL.map(|place| block.at(place, whole))));
}

/// The cheapest `keep` places along a line that are clear of what is near.
pub(super) fn free(
    want: &Want,
    line: &Line,
    near: &Near,
    keep: usize,
    strip: &mut Strip,
    into: &mut Vec<Candidate>,
) {
    let (start, end) = line.ends;
    let whole = end - start;
    let length = whole.hypot().max(1e-9);
    let (way, side) = (whole / length, line.reading().1);
    let mut blocks = std::mem::take(&mut strip.pushed);
    pushed(want, line, &GAPS, 2, &mut blocks);
    blocks.sort_by(|a, b| a.cost.total_cmp(&b.cost));
    let (mut aside, mut beyond) = (0.0_f64, 0.0_f64);
    for block in &blocks {
        aside = aside.max(block.off.abs() + block.area.reach_along(side));
        beyond = beyond.max(block.area.reach_along(way));
    }
    let block = blocks.first().map_or(way, |b| b.area.along);
    let bed = Bed {
        from: start,
        way,
        side,
        length,
        block,
        aside,
        beyond,
    };
    strip.reckon(&bed, near);
    let mut open = std::mem::take(&mut strip.open);
    open.clear();
    let mut cores = vec![None; 2 * want.layouts.len()];
    for (number, block) in blocks.iter().enumerate() {
        // The rest can only be dearer.
        if open.len() >= keep && open.iter().filter(|o| o.0 <= block.cost).count() >= keep {
            break;
        }
        let among = match cores[block.kin] {
            Some(core) => core,
            None => *cores[block.kin].insert(block.core(strip, side)),
        };
        if among == 0 {
            continue;
        }
        let breadth = block.area.reach_along(side);
        let clear = strip.clear(among, block.off, breadth, block.area.half);
        let places = (0..PLACES).filter(|place| clear >> place & 1 == 1);
        open.extend(places.map(|place| (block.cost + ALONG[place], number as u16, place as u16)));
    }
    open.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    let kept = open.iter().take(keep);
    into.extend(kept.map(|o| blocks[usize::from(o.1)].at(usize::from(o.2), whole)));
    (strip.pushed, strip.open) = (blocks, open);
}

/// One row above or under a line, two rows beside an upright one.
fn layout_cost(layout: usize, upright: bool) -> f64 {
    match (layout, upright) {
        (0, false) | (1, true) => 0.0,
        (1, false) | (2, true) => 0.35,
        (0, true) => 0.4,
        _ => 0.8,
    }
}
