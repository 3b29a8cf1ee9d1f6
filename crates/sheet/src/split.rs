//! A network too large for one sheet cut into boxes: by level first, then by area.
//!
//! Cuts go through the emptiest place near where they are wanted, so that few pipes lie in them.
//! Every pipe is looked at once; a pipe that crosses cuts belongs to every box it crosses.

use wyeline_network::Network;
use wyeline_network::model::PipeIx;

/// cos 30 degrees.
const COS_30: f64 = 0.866_025_403_784_438_6;
/// A storey lower than this is not cut again, mm: 8 ft; our choice.
const LEAST_BAND: f64 = 2438.4;
/// How far a cut may move to find an empty place, over the width of a part; our choice.
const LOOSE: f64 = 0.1;
/// Most parts along one side.
const MOST: usize = 64;

/// Where a network is cut: positions of the planes between parts, ascending, mm.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Cuts {
    /// West to east.
    pub x: Vec<f64>,
    /// South to north.
    pub y: Vec<f64>,
    /// Bottom to top.
    pub z: Vec<f64>,
    /// The box round everything, mm.
    pub bounds: ([f64; 3], [f64; 3]),
}

/// One part of a network.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tile {
    /// Which part: from the west, from the south, from the bottom.
    pub cell: [usize; 3],
    /// The pipes that lie in it or cross it.
    pub pipes: Vec<PipeIx>,
}

/// What a part has to fit into at full scale, mm.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Room {
    /// An isometric, width and height on paper.
    Iso(f64, f64),
    /// A plan, width and height on paper.
    Plan(f64, f64),
}

impl Cuts {
    /// The box of a part; the outermost faces lie a metre outside of everything.
    pub fn cell(&self, cell: [usize; 3]) -> ([f64; 3], [f64; 3]) {
        let (mut low, mut high) = ([0.0; 3], [0.0; 3]);
        for (axis, cuts) in [&self.x, &self.y, &self.z].into_iter().enumerate() {
            let i = cell[axis];
            low[axis] = if i == 0 {
                self.bounds.0[axis] - 1000.0
            } else {
                cuts[i - 1]
            };
            high[axis] = cuts.get(i).copied().unwrap_or(self.bounds.1[axis] + 1000.0);
        }
        (low, high)
    }

    /// The number of a part: from the west, then from the south, then from the bottom.
    pub fn index(&self, cell: [usize; 3]) -> usize {
        let [nx, ny, _] = self.counts();
        (cell[2] * ny + cell[1]) * nx + cell[0]
    }

    /// How many parts there are along each axis.
    pub fn counts(&self) -> [usize; 3] {
        [self.x.len() + 1, self.y.len() + 1, self.z.len() + 1]
    }
}

/// Returns where to cut so that every part fits, or nothing where no part can be made small enough.
pub(crate) fn cuts(network: &Network, pipes: &[PipeIx], room: Room) -> Option<Cuts> {
    let bounds = bounds(network, pipes)?;
    let size = |axis: usize| bounds.1[axis] - bounds.0[axis];
    let (a, b, h) = (size(0), size(1), size(2));
    // (parts in all, parts on the plan, nx, ny, height of a band)
    let mut best: Option<(usize, usize, usize, usize, f64)> = None;
    for nx in 1..=MOST {
        for ny in 1..=MOST {
            let loose = |n: usize| if n > 1 { 1.0 + 2.0 * LOOSE } else { 1.0 };
            let (w, d) = (a / nx as f64 * loose(nx), b / ny as f64 * loose(ny));
            let (band, fits) = match room {
                Room::Iso(width, height) => {
                    (height - f64::midpoint(w, d), (w + d) * COS_30 <= width)
                }
                Room::Plan(width, height) => (f64::INFINITY, w <= width && d <= height),
            };
            if !fits || band < h.min(LEAST_BAND) || band <= 0.0 {
                continue;
            }
            let bands = (h / band).ceil().max(1.0) as usize;
            let found = (nx * ny * bands, nx * ny, nx, ny, band);
            if best.is_none_or(|(all, plan, ..)| (found.0, found.1) < (all, plan)) {
                best = Some(found);
            }
        }
    }
    let (_, _, nx, ny, band) = best?;
    Some(Cuts {
        x: even(network, pipes, bounds, 0, nx),
        y: even(network, pipes, bounds, 1, ny),
        z: storeys(network, pipes, bounds, band),
        bounds,
    })
}

/// The box round the pipes as drawn.
fn bounds(network: &Network, pipes: &[PipeIx]) -> Option<([f64; 3], [f64; 3])> {
    let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
    for pipe in pipes {
        let (a, b) = network.drawn(network.pipe(*pipe));
        for (p, axis) in [a, b]
            .into_iter()
            .flat_map(|p| p.to_array().into_iter().zip(0..3))
        {
            low[axis] = low[axis].min(p);
            high[axis] = high[axis].max(p);
        }
    }
    (low[0].is_finite() && high[0].is_finite()).then_some((low, high))
}

/// Even cuts across an axis, each moved to an empty place nearby.
fn even(
    network: &Network,
    pipes: &[PipeIx],
    bounds: ([f64; 3], [f64; 3]),
    axis: usize,
    count: usize,
) -> Vec<f64> {
    if count < 2 {
        return Vec::new();
    }
    let filled = filled(network, pipes, axis);
    let step = (bounds.1[axis] - bounds.0[axis]) / count as f64;
    (1..count)
        .map(|i| {
            let wanted = bounds.0[axis] + step * i as f64;
            emptiest(&filled, wanted - LOOSE * step, wanted + LOOSE * step)
        })
        .collect()
}

/// Cuts between storeys, none higher than `band` where that can be kept.
fn storeys(
    network: &Network,
    pipes: &[PipeIx],
    bounds: ([f64; 3], [f64; 3]),
    band: f64,
) -> Vec<f64> {
    let (low, high) = (bounds.0[2], bounds.1[2]);
    if high - low <= band {
        return Vec::new();
    }
    let filled = filled(network, pipes, 2);
    let mut floors: Vec<f64> = network.levels.iter().map(|l| l.floor).collect();
    floors.sort_by(f64::total_cmp);
    floors.dedup();
    // Above what stands on a floor, below what hangs under the next: the upper 60 % of the storey is looked through.
    let quiet: Vec<f64> = floors
        .windows(2)
        .map(|w| emptiest(&filled, w[0] + 0.4 * (w[1] - w[0]), w[1]))
        .collect();
    let mut cuts = Vec::new();
    let mut from = low;
    while high - from > band {
        let reach = from + band;
        let next = quiet[..quiet.partition_point(|z| *z <= reach)]
            .last()
            .copied()
            .filter(|z| *z > from + 1.0);
        from = next.unwrap_or(reach);
        cuts.push(from);
    }
    cuts
}

/// Positions along an axis at which pipes lie square to it, ascending.
fn filled(network: &Network, pipes: &[PipeIx], axis: usize) -> Vec<f64> {
    let mut at: Vec<f64> = pipes
        .iter()
        .filter_map(|pipe| {
            let (a, b) = network.drawn(network.pipe(*pipe));
            let along = (a.to_array()[axis] - b.to_array()[axis]).abs();
            (along < 0.5 * a.distance(b))
                .then(|| f64::midpoint(a.to_array()[axis], b.to_array()[axis]))
        })
        .collect();
    at.sort_by(f64::total_cmp);
    at.dedup();
    at
}

/// The middle of the widest gap between `from` and `to`.
fn emptiest(filled: &[f64], from: f64, to: f64) -> f64 {
    let inside =
        &filled[filled.partition_point(|p| *p < from)..filled.partition_point(|p| *p <= to)];
    let (mut last, mut widest) = (from, (0.0, f64::midpoint(from, to)));
    for p in inside.iter().copied().chain([to]) {
        if p - last > widest.0 + 1e-6 {
            widest = (p - last, f64::midpoint(last, p));
        }
        last = p;
    }
    widest.1
}

/// Returns the parts that hold pipes, bottom to top, then south to north, then west to east.
pub(crate) fn tiles(network: &Network, pipes: &[PipeIx], cuts: &Cuts) -> Vec<Tile> {
    let [nx, ny, _] = cuts.counts();
    let lying = pipes.iter().map(|pipe| {
        let (a, b) = network.drawn(network.pipe(*pipe));
        (*pipe, a.min(b).to_array(), a.max(b).to_array())
    });
    shared_out(cuts, lying)
        .into_iter()
        .enumerate()
        .filter(|(_, pipes)| !pipes.is_empty())
        .map(|(i, pipes)| Tile {
            cell: [i % nx, i / nx % ny, i / nx / ny],
            pipes,
        })
        .collect()
}

/// Things shared out among all parts by the boxes in which they lie (lowest and highest corner, mm); one that crosses cuts is
/// in each part it crosses.
pub(crate) fn shared_out<T: Copy>(
    cuts: &Cuts,
    things: impl Iterator<Item = (T, [f64; 3], [f64; 3])>,
) -> Vec<Vec<T>> {
    let [nx, ny, nz] = cuts.counts();
    let mut cells: Vec<Vec<T>> = vec![Vec::new(); nx * ny * nz];
    for (thing, low, high) in things {
        let range = |axis: usize, cuts: &[f64]| {
            let first = cuts.partition_point(|c| *c <= low[axis]);
            (first, cuts.partition_point(|c| *c < high[axis]).max(first))
        };
        let (x, y, z) = (range(0, &cuts.x), range(1, &cuts.y), range(2, &cuts.z));
        for k in z.0..=z.1 {
            for j in y.0..=y.1 {
                for i in x.0..=x.1 {
                    cells[(k * ny + j) * nx + i].push(thing);
                }
            }
        }
    }
    cells
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{network, pipe};
    use wyeline_job::model::System;
    use wyeline_network::model::Level;

    fn all(network: &Network) -> Vec<PipeIx> {
        (0..network.pipes.len() as u32).map(PipeIx).collect()
    }

    /// Three storeys of 3 m, each with a branch 0.3 m under its floor and a stub 0.5 m above it, on one stack.
    fn tower() -> Network {
        let mut pipes = vec![pipe(System::Waste, [0.0, 0.0, 9000.0], [0.0, 0.0, -300.0])];
        for floor in [0.0, 3000.0, 6000.0] {
            pipes.push(pipe(
                System::Waste,
                [4000.0, 0.0, floor - 300.0],
                [0.0, 0.0, floor - 300.0],
            ));
            pipes.push(pipe(
                System::Waste,
                [4000.0, 500.0, floor + 500.0],
                [4000.0, 0.0, floor + 500.0],
            ));
        }
        let mut network = network(&pipes);
        network.levels = (0..3)
            .map(|i| Level {
                name: format!("L{i}"),
                floor: 3000.0 * f64::from(i),
                ceiling: None,
                underside: None,
                joists: None,
            })
            .collect();
        network
    }

    /// Footprint 4 x 0.5 m takes (4 + 0.5) / 2 = 2.25 m of height; of 6.75 m of paper 4.5 m are left: enough for any
    /// storey with what hangs under it, the topmost with its 3 m of stack too, not enough for two storeys of 3 m.
    const ONE_STOREY: Room = Room::Iso(20_000.0, 6750.0);

    #[test]
    fn storeys_are_cut_above_what_stands_on_a_floor_and_below_what_hangs_under_the_next() {
        let network = tower();
        let cuts = cuts(&network, &all(&network), ONE_STOREY).expect("fits");
        assert_eq!((cuts.x.len(), cuts.y.len(), cuts.z.len()), (0, 0, 2));
        for (cut, floor) in cuts.z.iter().zip([3000.0, 6000.0]) {
            assert!(*cut > floor - 2500.0 && *cut < floor - 300.0, "{cut}");
        }
    }

    #[test]
    fn every_pipe_is_in_some_part_and_one_that_crosses_cuts_is_in_each() {
        let network = tower();
        let cuts = cuts(&network, &all(&network), ONE_STOREY).expect("fits");
        let tiles = tiles(&network, &all(&network), &cuts);
        let seen = |ix: u32| {
            tiles
                .iter()
                .filter(|t| t.pipes.contains(&PipeIx(ix)))
                .count()
        };
        // The stack passes all three storeys; the six other pipes lie in one each.
        assert_eq!((0..7).map(seen).collect::<Vec<_>>(), [3, 1, 1, 1, 1, 1, 1]);
    }

    #[test]
    fn a_plan_too_wide_is_cut_across_and_not_along() {
        let network = network(&[
            pipe(System::Cold, [0.0, 0.0, 0.0], [30_000.0, 0.0, 0.0]),
            pipe(System::Cold, [0.0, 0.0, 0.0], [0.0, 5000.0, 0.0]),
        ]);
        let cuts = cuts(&network, &all(&network), Room::Plan(20_000.0, 8000.0)).expect("fits");
        assert_eq!(cuts.counts(), [2, 1, 1]);
    }

    #[test]
    fn a_cut_avoids_a_pipe_that_lies_where_it_was_wanted() {
        // A gap from -10 to 2, a pipe at 0: the middle of the wider side, -5.
        assert!((emptiest(&[0.0], -10.0, 2.0) - -5.0).abs() < 1e-9);
    }

    #[test]
    fn what_cannot_be_made_small_enough_is_not_cut() {
        let network = tower();
        assert_eq!(cuts(&network, &all(&network), Room::Iso(10.0, 10.0)), None);
    }
}
