//! Falls: inverts and slopes of the drains, the fall that is left above the outlet, room overhead, and heights missed.
//!
//! In: a sized network and the code's least slopes. Out: data, and words where a height is missed. Nothing is
//! ever flattened so that a drain fits.

mod fit;
mod room;

use wyeline_codes::{Cited, Pack};
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::PipeIx;
use wyeline_units::Slope;

pub use fit::{FitFall, Offer};
pub use room::{Overhead, Under};

use crate::drain::line::is_vertical;
use crate::drain::tree::Tree;
use crate::ground::{Ground, Over};
use crate::model::Sized;

/// All that is known of the falls of a network.
#[derive(Clone, Debug, Default)]
pub struct Falls {
    /// Level drains, in the order of the network.
    pub drains: Vec<DrainFall>,
    /// Heights that drains have to arrive at, in the order told.
    pub fits: Vec<FitFall>,
    /// Drains lie outside the walls, and how high the ground is there is not told: their cover is not known.
    pub no_grade: bool,
}

/// A level drain: how it falls, and what room it has. Pairs are of its upstream and its downstream end.
#[derive(Clone, Debug)]
pub struct DrainFall {
    /// The pipe.
    pub pipe: PipeIx,
    /// Fall per level run, as it lies.
    pub slope: f64,
    /// Nobody stated the slope.
    pub assumed: bool,
    /// The flattest the code allows for its size; nothing where size or rule are not known.
    pub least: Option<Cited<Slope>>,
    /// Inverts, mm, where the bore is known.
    pub invert_mm: [Option<f64>; 2],
    /// Heights of its centre above that of the outlet which it drains to, mm.
    pub above_outlet_mm: [f64; 2],
    /// At its upstream end: fall there is down to the outlet, less what the code's least slopes take on the way,
    /// mm. Nothing where a least slope on the way is not known.
    pub left_mm: Option<f64>,
    /// Depth of cover: from the top of the pipe up to the lowest floor's surface, where it lies below that, and outside
    /// the walls up to grade, where that is told, mm.
    pub cover_mm: [Option<f64>; 2],
    /// What hangs over it, the nearest at each end.
    pub under: [Option<Under>; 2],
    /// The beam, girder, duct or footing that leaves least room above it, anywhere along it.
    pub body: Option<Under>,
}

/// Works out the falls of all drains. The cost grows with the pipes, and with the bodies near them.
pub fn falls(network: &Network, pack: &Pack, sized: &Sized) -> Falls {
    let mut falls = Falls::default();
    let ceilings = room::Ceilings::of(network);
    let bodies = room::Bodies::of(network);
    let ground = Ground::of(network);
    let mut least = LeastSlopes::new(pack);
    for system in [System::Waste, System::Storm] {
        let tree = Tree::of(network, system);
        // For each node: height of its outlet, and fall that the least slopes take down to it.
        let mut outlet: Vec<(f64, Option<f64>)> = network
            .nodes
            .iter()
            .map(|node| (node.at.z, Some(0.0)))
            .collect();
        for &ix in tree.order.iter().rev() {
            let pipe = network.pipe(ix);
            let (from, to) = network.true_ends(pipe);
            let (bottom, taken) = outlet[pipe.to.0 as usize];
            let run = (from - to).truncate().length();
            let vertical = is_vertical(network, pipe);
            let size = sized.pipes.get(ix.0 as usize).and_then(|pipe| pipe.size);
            let rule = size
                .filter(|_| !vertical)
                .and_then(|size| least.of(size).cloned());
            let taken = match (&rule, vertical) {
                (_, true) => taken,
                (Some(rule), _) => taken.map(|taken| taken + rule.value.ratio() * run),
                (None, _) => None,
            };
            outlet[pipe.from.0 as usize] = (bottom, taken);
            if vertical || run <= 0.0 {
                continue;
            }
            let half = pipe.outside_mm.or(pipe.bore_mm).map(|across| across / 2.0);
            let tops = half.map(|half| [from.z + half, to.z + half]);
            let over = half.map(|half| [from, to].map(|end| ground.over(end, half)));
            falls.no_grade |= over.is_some_and(|over| over.contains(&Over::NotTold));
            falls.drains.push(DrainFall {
                pipe: ix,
                slope: pipe.fall_mm / run,
                assumed: pipe.slope.is_some_and(|slope| slope.assumed),
                least: rule,
                invert_mm: [pipe.invert_from, pipe.invert_to],
                above_outlet_mm: [from.z - bottom, to.z - bottom],
                left_mm: taken.map(|taken| from.z - bottom - taken),
                cover_mm: over.map_or([None; 2], |over| over.map(Over::mm)),
                under: tops.map_or([None; 2], |tops| tops.map(|top| ceilings.under(top))),
                body: half.and_then(|half| bodies.lowest_above(network, from, to, half)),
            });
        }
    }
    falls.drains.sort_by_key(|drain| drain.pipe);
    falls.fits = fit::fits(network, pack, sized, &mut least);
    falls
}

/// The code's least slopes, each size asked once.
pub(crate) struct LeastSlopes<'p> {
    pack: &'p Pack,
    known: Vec<(wyeline_units::Size, Option<Cited<Slope>>)>,
}

impl<'p> LeastSlopes<'p> {
    fn new(pack: &'p Pack) -> Self {
        Self {
            pack,
            known: Vec::new(),
        }
    }
    /// The flattest that a pipe of that size may lie.
    fn of(&mut self, size: wyeline_units::Size) -> Option<&Cited<Slope>> {
        let at = self.known.iter().position(|(known, _)| *known == size);
        let at = at.unwrap_or_else(|| {
            self.known.push((size, self.pack.least_slope(size).ok()));
            self.known.len() - 1
        });
        self.known[at].1.as_ref()
    }
}
