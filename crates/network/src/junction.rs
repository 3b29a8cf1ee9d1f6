//! Junctions: which pipes go straight through a point, which branch off, and what no fitting takes.
//!
//! Geometry alone, by the pipes as drawn: a fitting has a barrel, and branches that come in
//! from different sides of it. What a code of practice allows there is not asked.

use std::fmt;

use glam::DVec3;
use wyeline_job::Diagnostic;

use crate::clash::way_word;
use crate::model::{Network, NodeIx, NodeKind, Pipe, PipeIx};

/// Cosine of the angle below which two pipes lie in one line, about 1 degree.
const ALIKE: f64 = 0.999_8;
/// Cosine of the angle within which a pipe is the straight continuation of another, 22-1/2 degrees and a little.
const STRAIGHT: f64 = -0.92;
/// Sine of the angle by which branches may be less than square to each other, 1 degree.
const SQUARE: f64 = 0.0175;

/// How many pipes meet: the openings of the fitting that joins them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Openings {
    /// Three: a tee or wye.
    Single,
    /// Four: a cross, double tee or double wye.
    Double,
    /// Five.
    Triple,
    /// Six or more.
    Quadruple,
}

impl Openings {
    /// The word by which it is told: `double`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Single => "single",
            Self::Double => "double",
            Self::Triple => "triple",
            Self::Quadruple => "quadruple",
        }
    }
}

impl fmt::Display for Openings {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// The pipes that meet at a point.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Meeting {
    /// The pipe that takes or brings the flow of all others; one of the barrel's two where none does.
    pub trunk: PipeIx,
    /// The pipe in line with it (up to 22-1/2 degrees off), where there is one: the barrel's other end.
    pub through: Option<PipeIx>,
    /// All others, in the order laid.
    pub branches: Vec<PipeIx>,
}

impl Meeting {
    /// What the junction is called by the number of its openings.
    pub fn openings(&self) -> Openings {
        match self.branches.len() + usize::from(self.through.is_some()) {
            0..=2 => Openings::Single,
            3 => Openings::Double,
            4 => Openings::Triple,
            _ => Openings::Quadruple,
        }
    }
}

impl Network {
    /// How the pipes at a node are joined; nothing where fewer than three meet, or at a port of equipment.
    ///
    /// In a drain the trunk is the pipe downstream, in a vent the one to the open air, in
    /// water and gas the one from the source.
    pub fn meeting(&self, node: NodeIx) -> Option<Meeting> {
        let pipes = &self.node(node).pipes;
        if pipes.len() < 3 || self.node(node).kind == NodeKind::Port {
            return None;
        }
        let ways: Vec<DVec3> = pipes.iter().map(|&pipe| self.leaves(node, pipe)).collect();
        let opposite = |a: usize| {
            let others = (0..pipes.len()).filter(move |&b| b != a);
            others
                .map(|b| (ways[a].dot(ways[b]), b))
                .min_by(|a, b| a.0.total_cmp(&b.0))
                .filter(|(dot, _)| *dot < STRAIGHT)
        };
        let trunk = self.trunk(node).unwrap_or_else(|| {
            let pairs = (0..pipes.len()).filter_map(|a| Some((opposite(a)?.0, a)));
            pairs
                .min_by(|a, b| a.0.total_cmp(&b.0))
                .map_or(0, |(_, a)| a)
        });
        let through = opposite(trunk).map(|(_, b)| b);
        let others = (0..pipes.len()).filter(|&at| at != trunk && Some(at) != through);
        Some(Meeting {
            trunk: pipes[trunk],
            through: through.map(|at| pipes[at]),
            branches: others.map(|at| pipes[at]).collect(),
        })
    }

    /// The one pipe at a node that the flow of all others is in, by its place among them.
    fn trunk(&self, node: NodeIx) -> Option<usize> {
        let pipes = &self.node(node).pipes;
        let only = |takes: &dyn Fn(&Pipe) -> bool| {
            let mut found = (0..pipes.len()).filter(|&at| takes(self.pipe(pipes[at])));
            found.next().filter(|_| found.next().is_none())
        };
        if pipes.iter().any(|&pipe| self.pipe(pipe).system.drains()) {
            return only(&|pipe| pipe.system.drains() && pipe.from == node);
        }
        let vent = |pipe: &Pipe| pipe.system == wyeline_job::model::System::Vent;
        only(&|pipe| {
            if vent(pipe) {
                pipe.from == node
            } else {
                pipe.to == node
            }
        })
    }

    /// The way a pipe leaves a node, as drawn; of length 1.
    fn leaves(&self, node: NodeIx, pipe: PipeIx) -> DVec3 {
        let pipe = self.pipe(pipe);
        let far = if pipe.from == node {
            pipe.to
        } else {
            pipe.from
        };
        (self.node(far).drawn() - self.node(node).drawn()).normalize_or_zero()
    }
}

/// Adds a mistake for pipes that lie in each other, for what no fitting joins, and for
/// drains with two ways out.
///
/// * `astray`: runs that went wrong before, by their number; what follows from that is not told
pub(crate) fn find_faults(network: &Network, astray: &[bool], diagnostics: &mut Vec<Diagnostic>) {
    // A loop has two ways out of a point as well, and is told as such.
    let looped = diagnostics
        .iter()
        .any(|d| d.code == "drain-loop" || d.code == "run-returns-to-start");
    for ix in 0..network.nodes.len() {
        let ix = NodeIx(ix as u32);
        let node = network.node(ix);
        let went_astray = |&pipe: &PipeIx| astray[network.pipe(pipe).run.0 as usize];
        if node.pipes.len() < 2 || node.kind == NodeKind::Port || node.pipes.iter().any(went_astray)
        {
            continue;
        }
        if !looped {
            two_ways_out(network, ix, diagnostics);
        }
        if node.pipes.len() > 2 && !one_in_another(network, ix, diagnostics) {
            too_close(network, ix, diagnostics);
        }
    }
}

fn two_ways_out(network: &Network, ix: NodeIx, diagnostics: &mut Vec<Diagnostic>) {
    let pipes = network.node(ix).pipes.iter();
    let mut out = pipes
        .map(|&pipe| network.pipe(pipe))
        .filter(|pipe| pipe.system.drains() && pipe.from == ix);
    let (Some(first), Some(second)) = (out.next(), out.next()) else {
        return;
    };
    let text = "the drain has two ways out of this point";
    diagnostics.push(
        Diagnostic::mistake("two-ways-out", second.span, text)
            .note(first.span, "one way is told here")
            .help("waste and storm are told from their outlet upstream: `start` a branch here instead of letting it `join`"),
    );
}

/// Pipes that leave a point the same way. Whether there are any.
fn one_in_another(network: &Network, ix: NodeIx, diagnostics: &mut Vec<Diagnostic>) -> bool {
    let pipes = &network.node(ix).pipes;
    for (n, &pipe) in pipes.iter().enumerate() {
        let way = network.leaves(ix, pipe);
        let Some(&other) = pipes[..n]
            .iter()
            .find(|&&other| network.leaves(ix, other).dot(way) > ALIKE)
        else {
            continue;
        };
        let (pipe, other) = (network.pipe(pipe), network.pipe(other));
        let text = format!(
            "two pipes leave one point the same way, {}: one would lie in the other",
            way_word(way)
        );
        diagnostics.push(
            Diagnostic::mistake("pipe-in-pipe", pipe.span, text)
                .note(other.span, "the other is told here")
                .help("tell the part they share once, and branch off where they part"),
        );
        return true;
    }
    false
}

/// Branches that come in less than square to each other round the barrel.
fn too_close(network: &Network, ix: NodeIx, diagnostics: &mut Vec<Diagnostic>) {
    if network.node(ix).pipes.len() < 4 {
        return;
    }
    let Some(meeting) = network.meeting(ix) else {
        return;
    };
    let axis = network.leaves(ix, meeting.trunk);
    let sides: Vec<(DVec3, PipeIx)> = meeting
        .branches
        .iter()
        .map(|&pipe| {
            let way = network.leaves(ix, pipe);
            ((way - axis * way.dot(axis)).normalize_or_zero(), pipe)
        })
        .collect();
    for (n, (side, pipe)) in sides.iter().enumerate() {
        let close = sides[..n]
            .iter()
            .map(|(other, pipe)| (side.dot(*other), pipe))
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .filter(|(dot, _)| *dot > SQUARE);
        let Some((dot, other)) = close else { continue };
        let text = format!(
            "{} branches meet at one point, two of them {:.0} degrees apart: no fitting takes them",
            sides.len(),
            dot.min(1.0).acos().to_degrees()
        );
        diagnostics.push(
            Diagnostic::mistake("branches-too-close", network.pipe(*pipe).span, text)
                .note(network.pipe(*other).span, "the other comes in here")
                .help("branches at one point come from opposite sides, or square to each other: move one of them along"),
        );
        return;
    }
}
