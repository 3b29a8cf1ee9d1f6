//! Offsets as they are laid out: from two bends with a slant between them to set, run, travel and roll, in mm.
//!
//! travel = set / sin A, run = set / tan A, true offset = sqrt(rise² + roll²), shift of the next parallel line =
//! spacing x tan(A/2), A being the fittings' angle: plane trigonometry, as trade mathematics teaches it.

mod spread;

use std::collections::HashSet;

use glam::DVec3;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{Lie, NodeIx, NodeKind, PipeIx};

use crate::model::Fitted;

pub use spread::{Line, Spread, spreads};

/// Shorter than this is nothing, mm: far below what a rule shows.
const NOTHING: f64 = 1e-3;
/// How far the cosine of two directions may be from 1 where they are one: 0.08 degrees, far below what a fitting gives.
const SAME_WAY: f64 = 1e-6;

/// Returns the length between the centres of two fittings that make a set.
///
/// * `set`: the jump at right angles, any unit of length; the result has the same
/// * `angle`: of the fittings, degrees, more than 0
pub fn travel(set: f64, angle: f64) -> f64 {
    set / angle.to_radians().sin()
}

/// Returns what the same offset uses up along the line.
///
/// * `set`: the jump at right angles, any unit of length; the result has the same
/// * `angle`: of the fittings, degrees, more than 0
pub fn run(set: f64, angle: f64) -> f64 {
    set / angle.to_radians().tan()
}

/// Returns the set of a rolling offset: rise and roll taken together.
///
/// * `rise`, `roll`: any unit of length, both the same
pub fn true_offset(rise: f64, roll: f64) -> f64 {
    rise.hypot(roll)
}

/// Returns how much later the next outer of two parallel lines turns, so that they stay as far apart on the slant.
///
/// * `spacing`: between the centre lines, any unit of length; the result has the same
/// * `angle`: of the fittings, degrees
pub fn spread(spacing: f64, angle: f64) -> f64 {
    spacing * (angle.to_radians() / 2.0).tan()
}

/// Two bends of one angle, parallel legs, and the slant between the bends.
///
/// Measured on the pipe as drawn, which leaves out the fall of drains: at 1/4 in per ft that is 1/32 in in 10 ft.
#[derive(Clone, Debug, PartialEq)]
pub struct Offset {
    /// The bends, upstream first.
    pub ends: [NodeIx; 2],
    /// The pipes of the slant, upstream first.
    pub pipes: Vec<PipeIx>,
    /// What flows in it.
    pub system: System,
    /// Angle of the fittings, degrees.
    pub angle: f64,
    /// How it jumps.
    pub jump: Jump,
    /// The jump at right angles to the line; of a rolling offset the true offset.
    pub set_mm: f64,
    /// What it uses up along the line.
    pub run_mm: f64,
    /// Centre to centre of its bends.
    pub travel_mm: f64,
    /// Pieces to cut for the slant, by their numbers.
    pub marks: Vec<u32>,
}

/// Which way an offset jumps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Jump {
    /// One way alone: up, down, or to one side.
    Plain,
    /// Up or down and to one side at once: a rolling offset.
    Rolling {
        /// Up or down.
        rise_mm: f64,
        /// To the side.
        roll_mm: f64,
        /// How far the fittings are rolled up from level, degrees: atan(rise / roll).
        roll_angle: f64,
    },
    /// A plumb line that moves in both directions of the plan.
    Plumb {
        /// To the east as the line goes up; negative to the west.
        east_mm: f64,
        /// To the north as the line goes up; negative to the south.
        north_mm: f64,
    },
}

/// Returns every offset of the network, in the order of its pipes. Existing pipe has none: it is laid out already.
///
/// Two quarter bends make none either: between them is no slant, the piece is the set. A branch in the slant
/// does not end it, a branch at its end does: that is no bend. Between two offsets of one line lies a stretch of
/// the line, along an axis: that is none of the slants' own.
pub fn offsets(network: &Network, fitted: &Fitted) -> Vec<Offset> {
    let mut straight_of = vec![None; network.pipes.len()];
    for (ix, straight) in fitted.straights.iter().enumerate() {
        for pipe in &straight.pipes {
            straight_of[pipe.0 as usize] = Some(ix);
        }
    }
    let mut seen = vec![false; network.pipes.len()];
    let mut all = Vec::new();
    for at in 0..network.pipes.len() as u32 {
        if seen[at as usize] {
            continue;
        }
        let slant = Slant::of(network, PipeIx(at));
        for pipe in &slant.pipes {
            seen[pipe.0 as usize] = true;
        }
        let Some(mut offset) = slant.offset(network) else {
            continue;
        };
        let mut straights: Vec<usize> = slant
            .pipes
            .iter()
            .filter_map(|pipe| straight_of[pipe.0 as usize])
            .collect();
        straights.dedup();
        let pieces = straights
            .into_iter()
            .flat_map(|ix| &fitted.straights[ix].pieces);
        offset.marks = pieces.map(|piece| piece.mark).collect();
        all.push(offset);
    }
    let skew: HashSet<NodeIx> = all
        .iter()
        .filter(|offset| !along_axis(network, offset))
        .flat_map(|offset| offset.ends)
        .collect();
    all.retain(|offset| {
        !(along_axis(network, offset) && offset.ends.iter().any(|end| skew.contains(end)))
    });
    all
}

/// Whether a slant lies along an axis: level east-west or north-south, or plumb.
fn along_axis(network: &Network, offset: &Offset) -> bool {
    let lie = network.pipe(offset.pipes[0]).lie;
    matches!(lie, Lie::Axis | Lie::Vertical)
}

/// Pipes in line, as far as they go.
struct Slant {
    pipes: Vec<PipeIx>,
    ends: [NodeIx; 2],
}

impl Slant {
    /// The line that a pipe lies in.
    fn of(network: &Network, start: PipeIx) -> Self {
        let walk = |mut node: NodeIx| {
            let (mut pipes, mut last) = (Vec::new(), start);
            while let Some(next) = onward(network, node, last) {
                node = far(network, next, node);
                pipes.push(next);
                last = next;
            }
            (pipes, node)
        };
        let pipe = network.pipe(start);
        let (mut pipes, from) = walk(pipe.from);
        let (down, to) = walk(pipe.to);
        pipes.reverse();
        pipes.push(start);
        pipes.extend(down);
        Self {
            pipes,
            ends: [from, to],
        }
    }

    /// The offset that it makes with the legs at its ends, if it makes one.
    fn offset(&self, network: &Network) -> Option<Offset> {
        let first = network.pipe(self.pipes[0]);
        if first.existing {
            return None;
        }
        let last = self.pipes[self.pipes.len() - 1];
        let into = -leg(network, self.ends[0], self.pipes[0])?;
        let out = leg(network, self.ends[1], last)?;
        if !same(into, out) {
            return None;
        }
        let [from, to] = self.ends.map(|node| network.node(node).drawn());
        let (jump, along) = apart(to - from, into);
        let angle = jump.length().atan2(along).to_degrees();
        if jump.length() < NOTHING || along < NOTHING {
            return None;
        }
        let (set_mm, jump) = jumps(jump, into);
        Some(Offset {
            ends: self.ends,
            pipes: self.pipes.clone(),
            system: first.system,
            angle,
            jump,
            set_mm,
            run_mm: run(set_mm, angle),
            travel_mm: travel(set_mm, angle),
            marks: Vec::new(),
        })
    }
}

/// What of a way lies across a line (a unit vector), and how much of it along the line.
fn apart(way: DVec3, line: DVec3) -> (DVec3, f64) {
    let along = way.dot(line);
    (way - line * along, along)
}

/// The set, and which way it goes, of a jump from a line.
fn jumps(jump: DVec3, line: DVec3) -> (f64, Jump) {
    if line.z.abs() > 1.0 - SAME_WAY {
        // As the line goes up, whichever way the water goes.
        let (east_mm, north_mm) = (jump.x * line.z.signum(), jump.y * line.z.signum());
        let plain = east_mm.abs() < NOTHING || north_mm.abs() < NOTHING;
        let way = if plain {
            Jump::Plain
        } else {
            Jump::Plumb { east_mm, north_mm }
        };
        return (true_offset(east_mm, north_mm), way);
    }
    let side = line.cross(DVec3::Z).normalize_or_zero();
    let (rise_mm, roll_mm) = (jump.dot(side.cross(line)).abs(), jump.dot(side).abs());
    let way = if rise_mm < NOTHING || roll_mm < NOTHING {
        Jump::Plain
    } else {
        Jump::Rolling {
            rise_mm,
            roll_mm,
            roll_angle: rise_mm.atan2(roll_mm).to_degrees(),
        }
    };
    (true_offset(rise_mm, roll_mm), way)
}

/// Whether two unit vectors point the same way.
fn same(a: DVec3, b: DVec3) -> bool {
    a.dot(b) > 1.0 - SAME_WAY
}

fn far(network: &Network, pipe: PipeIx, node: NodeIx) -> NodeIx {
    let pipe = network.pipe(pipe);
    if pipe.from == node {
        pipe.to
    } else {
        pipe.from
    }
}

/// Which way a pipe leads away from a node, as drawn.
fn away(network: &Network, pipe: PipeIx, node: NodeIx) -> DVec3 {
    let other = network.node(far(network, pipe, node)).drawn();
    (other - network.node(node).drawn()).normalize_or_zero()
}

/// The pipe that goes on in line with another beyond a node.
fn onward(network: &Network, node: NodeIx, last: PipeIx) -> Option<PipeIx> {
    let back = -away(network, last, node);
    let here = &network.node(node).pipes;
    let mut others = here.iter().copied().filter(|&pipe| pipe != last);
    others.find(|&pipe| same(away(network, pipe, node), back))
}

/// Which way the other pipe of a bend leads away from it.
fn leg(network: &Network, node: NodeIx, slant: PipeIx) -> Option<DVec3> {
    let here = network.node(node);
    match (&here.pipes[..], &here.kind) {
        (_, NodeKind::Trap) => None,
        ([a, b], _) => Some(away(network, if *a == slant { *b } else { *a }, node)),
        _ => None,
    }
}
