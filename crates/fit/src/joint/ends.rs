//! The pipes that meet at a node, as a fitting sees them: which way each leads, which way its water flows.
//!
//! Directions are those of the drawing, where falls do not bend the axes: bends have play for a fall of
//! 1/4 in per ft (1.19 degrees).

use glam::DVec3;
use wyeline_job::model::System;
use wyeline_network::model::{NodeIx, PipeIx};
use wyeline_units::Size;

use super::Given;
use crate::model::Family;

/// How far a direction may be off, degrees: common practice, twice the fall of 1/4 in per ft and a little more.
pub(crate) const PLAY: f64 = 3.0;

/// One pipe at a node.
#[derive(Clone, Copy, Debug)]
pub(crate) struct End {
    pub pipe: PipeIx,
    /// Its place among the pipes of the node.
    pub leg: usize,
    /// Unit vector from the node along the pipe.
    pub away: DVec3,
    /// Its water flows towards the node. Water in a vent flows back to its drain.
    pub inflow: bool,
    /// A dry vent.
    pub dry: bool,
    pub system: System,
    pub size: Option<Size>,
    pub family: Family,
    pub existing: bool,
}

impl End {
    /// Way of its water, as a unit vector.
    pub fn flow(&self) -> DVec3 {
        if self.inflow { -self.away } else { self.away }
    }

    /// Plumb, or 45 degrees from level and more: vertical as codes define it (IPC and UPC chapter 2, from memory).
    pub fn vertical(&self) -> bool {
        self.away.z.abs() >= (45.0 - PLAY).to_radians().sin()
    }
}

/// Angle between two unit vectors, degrees.
pub(crate) fn degrees(a: DVec3, b: DVec3) -> f64 {
    a.cross(b).length().atan2(a.dot(b)).to_degrees()
}

/// Whether an angle is another, with the play of fittings.
pub(crate) fn about(angle: f64, wanted: f64) -> bool {
    (angle - wanted).abs() <= PLAY
}

/// Whether two ends lie in line, on opposite sides of the node.
pub(crate) fn in_line(a: &End, b: &End) -> bool {
    about(degrees(a.away, b.away), 180.0)
}

/// The ends at a node, in the order of its pipes.
pub(crate) fn ends(given: &Given, node: NodeIx) -> Vec<End> {
    let network = given.network;
    let here = network.node(node);
    // Whichever way a vent is told (a loop comes down again to its drain), at a drain its water runs into that.
    let at_drain = here
        .pipes
        .iter()
        .any(|&ix| network.pipe(ix).system.drains());
    let end = |(leg, &ix): (usize, &PipeIx)| {
        let pipe = network.pipe(ix);
        let other = if pipe.from == node {
            pipe.to
        } else {
            pipe.from
        };
        let drawn = network.node(other).drawn() - here.drawn();
        let away = drawn
            .try_normalize()
            .or_else(|| (network.node(other).at - here.at).try_normalize())
            .unwrap_or(DVec3::Z);
        let stuff = &given.stuff[ix.0 as usize];
        let dry = pipe.system == System::Vent;
        End {
            pipe: ix,
            leg,
            away,
            inflow: if dry && at_drain {
                true
            } else {
                (pipe.to == node) != dry
            },
            dry,
            system: pipe.system,
            size: stuff.size,
            family: stuff.family,
            existing: pipe.existing,
        }
    };
    here.pipes.iter().enumerate().map(end).collect()
}
