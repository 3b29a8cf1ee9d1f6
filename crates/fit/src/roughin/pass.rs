//! Holes in floors and roof and sleeves in walls, where the take-off finds that pipe goes through them.
//! Inverts are those of the network.

use glam::DVec3;
use wyeline_network::Network;
use wyeline_network::model::{Lie, Pipe};

use super::Pass;
use super::wall::Site;
use crate::takeoff::{Crossing, Through};

/// Those of floors and roof, and those of walls.
pub(crate) fn passes(site: &Site, crossings: &[Crossing]) -> (Vec<Pass>, Vec<Pass>) {
    let passes = crossings.iter().map(|crossing| pass(site, crossing));
    passes.partition(|pass| !matches!(pass.crossing.through, Through::Wall(_)))
}

fn pass(site: &Site, crossing: &Crossing) -> Pass {
    let network = site.network;
    let pipe = network.pipe(crossing.pipe);
    let level = match crossing.through {
        Through::Floor(level) => Some(level),
        Through::Wall(wall) => Some(network.building.walls[wall as usize].level),
        Through::Roof => site.level_at(crossing.at.z),
    };
    Pass {
        crossing: crossing.clone(),
        place: site.place(crossing.at, level),
        size: pipe.size,
        plumb: pipe.lie == Lie::Vertical,
        invert_mm: invert(network, pipe, crossing.at),
    }
}

/// Invert of a drain at a point of it; of one that stands plumb that of the pipe at its foot.
fn invert(network: &Network, pipe: &Pipe, at: DVec3) -> Option<f64> {
    if pipe.lie == Lie::Vertical {
        return foot(network, pipe)?.invert_from;
    }
    let (from, to) = (pipe.invert_from?, pipe.invert_to?);
    let (a, b) = network.true_ends(pipe);
    let way = b - a;
    let share = (at - a).dot(way) / way.length_squared();
    Some(from + (to - from) * share.clamp(0.0, 1.0))
}

/// The first pipe downstream of a plumb drain that is not plumb itself.
fn foot<'a>(network: &'a Network, pipe: &'a Pipe) -> Option<&'a Pipe> {
    let mut here = pipe;
    // A mistaken job may hold a drain that runs in a ring.
    for _ in 0..network.pipes.len() {
        if !here.system.drains() || here.lie != Lie::Vertical {
            break;
        }
        let next = network.node(here.to).pipes.iter();
        let mut next = next.map(|&ix| network.pipe(ix));
        here = next.find(|next| next.from == here.to && next.system.drains())?;
    }
    Some(here)
}
