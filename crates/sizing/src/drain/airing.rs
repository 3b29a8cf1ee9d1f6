//! How air comes down drains in use to the traps of others: common, wet and circuit vents, waste stacks and combination
//! drains that vent themselves (IPC 2021 Sections 911 to 915).
//!
//! In: trap arms, each with the point where its vent leaves a drain and the point where the air reaches it. Out: for
//! each drain the way in which it gives air, and what circuits and combination drains are sized by.

use std::collections::HashMap;

use wyeline_codes::{Family, NoValue, Pack};
use wyeline_network::Network;
use wyeline_network::arms::TrapArm;
use wyeline_network::model::{FixtureIx, Lie, NodeIx, Pipe, PipeIx};

use super::combination::{self, Combination};
use super::line::Lines;
use super::tree::Tree;
use super::upstream::{Upstream, of_bathroom, upstream};
use super::waste_stack;
use crate::model::{Airs, PipeResult, Role};

/// Circuits of fewer fixtures are wet vents or nothing.
const CIRCUIT_FROM: usize = 3;
/// A wet vent serves two bathroom groups at the most (IPC 912.1): more closets are a circuit.
const WET_CLOSETS: u32 = 2;

/// What a circuit-vented branch is sized by: its whole load, all along.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Circuit {
    /// Load of the whole branch.
    pub units: f64,
    /// Closets on it.
    pub closets: u32,
    /// What the branch is to the code.
    pub role: Role,
}

/// How drains give air.
#[derive(Default)]
pub(crate) struct Airing {
    /// For each pipe how air comes down it.
    of: Vec<Option<Airs>>,
    /// Circuits, and for each pipe the one that it is part of.
    circuits: Vec<Circuit>,
    circuit_of: Vec<Option<u32>>,
    /// Combination drains, and for each pipe the one that it is part of.
    combinations: Vec<Combination>,
    combination_of: Vec<Option<u32>>,
    /// Where the one vent of each leaves.
    vented_from: HashMap<NodeIx, u32>,
    /// Nodes between the last fixture of a circuit and the stack: a vent taken off there relieves the circuit.
    relief: Vec<bool>,
    /// Ways that the code in force has no values for.
    pub missing: Vec<(PipeIx, NoValue)>,
}

/// What the ways of venting are told from.
pub(crate) struct Facts<'a> {
    pub network: &'a Network,
    pub pack: &'a Pack,
    pub tree: &'a Tree,
    pub lines: &'a Lines,
    pub arms: &'a [TrapArm],
    pub sole: &'a [Option<FixtureIx>],
    pub pipes: &'a [PipeResult],
    pub upstream: Vec<Upstream>,
}

/// The traps that take their air by one vent, and the drains in use by which it comes down to them.
pub(crate) struct Group<'a> {
    /// Where the vent leaves the drains.
    pub from: NodeIx,
    /// The traps.
    pub arms: Vec<&'a TrapArm>,
    /// The drains, in the order of flow.
    pub wet: Vec<PipeIx>,
}

impl Facts<'_> {
    /// What drains through a pipe.
    pub fn above(&self, pipe: PipeIx) -> Upstream {
        self.upstream[pipe.0 as usize]
    }
    /// What kind of fixture a trap belongs to.
    fn kind(&self, arm: &TrapArm) -> &str {
        &self.network.fixtures[arm.fixture.0 as usize].kind
    }
    /// Drains that flow into a node.
    pub fn into(&self, node: NodeIx) -> impl Iterator<Item = PipeIx> + '_ {
        let pipes = self.network.node(node).pipes.iter().copied();
        pipes.filter(move |&pipe| {
            let told = self.network.pipe(pipe);
            told.to == node && self.tree.on_from(told.from) == Some(pipe)
        })
    }

    /// How the drains of a group give air, by where they lie; nothing where every trap has its vent at its own drain.
    fn way(&self, group: &Group) -> Option<Airs> {
        let (&first, &last) = (group.wet.first()?, group.wet.last()?);
        let level = self.above(last).level;
        let apart =
            |arm: &&TrapArm| Some(self.network.fixtures[arm.fixture.0 as usize].level) != level;
        if level.is_none() || group.arms.iter().any(apart) {
            return Some(Airs::Stack);
        }
        let flat = |&pipe: &PipeIx| is_level(self.network.pipe(pipe));
        let plumb = !group.wet.iter().any(flat);
        if plumb && self.above(last).fixtures == 1 && group.arms.len() == 2 {
            return Some(Airs::Common);
        }
        // Floor drains alone are no bathroom.
        let mut kinds = group.arms.iter().map(|arm| self.kind(arm));
        let bathroom = self.all_of_bathroom(group) && kinds.any(|kind| kind != "floor-drain");
        let mut kinds = group.arms.iter().map(|arm| self.kind(arm));
        let closets = kinds
            .by_ref()
            .filter(|kind| *kind == "water-closet")
            .count() as u32;
        let on_branch = self.above(first).fixtures >= 1
            && self
                .into(group.from)
                .any(|into| is_level(self.network.pipe(into)));
        // Apart from its first pipe a wet vent may have plumb pieces; a circuit is level throughout.
        let circuit = group.wet.iter().all(flat)
            && on_branch
            && group.arms.len() >= CIRCUIT_FROM
            && (!bathroom || closets > WET_CLOSETS);
        Some(if circuit { Airs::Circuit } else { Airs::Wet })
    }

    /// Whether all traps of a group belong to bathrooms.
    pub fn all_of_bathroom(&self, group: &Group) -> bool {
        group.arms.iter().all(|arm| of_bathroom(self.kind(arm)))
    }

    /// Whether a circuit keeps what its section asks: as many fixtures as it may have, its vent between the two most
    /// upstream.
    fn keeps_circuit(&self, group: &Group) -> bool {
        let most = self.pack.scalar("circuit.fixtures-most").ok();
        group
            .wet
            .first()
            .is_some_and(|&first| self.above(first).fixtures <= 1)
            && most.is_some_and(|most| group.arms.len() as f64 <= most.value)
    }
}

/// Whether a pipe lies level apart from its fall.
pub(crate) fn is_level(pipe: &Pipe) -> bool {
    matches!(pipe.lie, Lie::Axis | Lie::LevelSkew)
}

impl Airing {
    /// Tells how each drain gives air. The cost grows with the pipes: the drains of two groups never overlap, since
    /// below the point where they meet all air comes from the nearer vent.
    pub fn of(
        network: &Network,
        pack: &Pack,
        (tree, lines): (&Tree, &Lines),
        arms: &[TrapArm],
        sole: &[Option<FixtureIx>],
        pipes: &[PipeResult],
    ) -> Self {
        let facts = Facts {
            network,
            pack,
            tree,
            lines,
            arms,
            sole,
            pipes,
            upstream: upstream(network, tree),
        };
        let mut airing = Self {
            of: vec![None; network.pipes.len()],
            circuit_of: vec![None; network.pipes.len()],
            combination_of: vec![None; network.pipes.len()],
            relief: vec![false; network.nodes.len()],
            ..Self::default()
        };
        let groups = groups(&facts);
        let mut ways: Vec<Option<Airs>> = groups.iter().map(|group| facts.way(group)).collect();
        let mut by_from: HashMap<NodeIx, Vec<usize>> = HashMap::new();
        for (at, group) in groups.iter().enumerate() {
            by_from.entry(group.from).or_default().push(at);
        }
        let at_node = |node: NodeIx| by_from.get(&node).map_or(&[][..], Vec::as_slice);
        let air = |node: NodeIx| at_node(node).iter().flat_map(|&at| groups[at].wet.iter());
        for (system, members) in combination::systems(&facts, |node| air(node).copied().collect()) {
            let (number, outlet) = (airing.combinations.len() as u32, system.outlet);
            // A circuit or a wet vent that is one by its own section needs no other.
            let inside = at_node(system.vent);
            let lawful = inside.iter().any(|&at| match ways[at] {
                Some(Airs::Circuit) => facts.keeps_circuit(&groups[at]),
                Some(Airs::Wet) => facts.all_of_bathroom(&groups[at]),
                Some(Airs::Common) => true,
                _ => false,
            });
            if lawful {
                continue;
            }
            if let Err(none) = pack.least_combination(system.units, system.to_building_drain) {
                airing.missing.push((outlet, none));
                continue;
            }
            for &at in inside {
                ways[at] = ways[at].map(|_| Airs::Combination);
            }
            for pipe in members {
                airing.of[pipe.0 as usize] = Some(Airs::Combination);
                airing.combination_of[pipe.0 as usize] = Some(number);
            }
            airing.vented_from.insert(system.vent, number);
            airing.combinations.push(system);
        }
        for (group, way) in groups.iter().zip(ways) {
            airing.put(&facts, group, way);
        }
        // EN 12056-2 knows none of these ways: its stacks and branches are sized by how they are ventilated.
        if pack.family() == Family::En {
            airing.missing.clear();
        }
        airing
    }

    /// Marks the drains of a group.
    fn put(&mut self, facts: &Facts, group: &Group, way: Option<Airs>) {
        let Some(way) = way else { return };
        let stack = match way {
            Airs::Stack => true,
            Airs::Wet => !facts.all_of_bathroom(group),
            _ => false,
        };
        if stack && let Some(line) = waste_stack::of(facts, group) {
            match facts.pack.least_waste_stack(line.units, line.heaviest) {
                Ok(_) => {
                    for pipe in line.pipes {
                        self.of[pipe.0 as usize] = Some(Airs::WasteStack);
                    }
                    return;
                }
                Err(none) => self
                    .missing
                    .extend(group.wet.last().map(|&last| (last, none))),
            }
        }
        for &pipe in &group.wet {
            self.of[pipe.0 as usize] = Some(way);
        }
        if way == Airs::Circuit {
            self.put_circuit(facts, group);
        }
    }

    /// Marks a circuit-vented branch: from the last fixture that takes its air by it up to the most upstream one.
    fn put_circuit(&mut self, facts: &Facts, group: &Group) {
        let (Some(&first), Some(&last)) = (group.wet.first(), group.wet.last()) else {
            return;
        };
        if let Err(none) = facts.pack.scalar("circuit.fixtures-most") {
            self.missing.push((last, none));
        }
        let (network, end) = (facts.network, facts.network.pipe(last).to);
        let load = |pipe: PipeIx| facts.pipes[pipe.0 as usize].load;
        // What comes in at its end belongs to it, where it is a fixture's own drain.
        let ending = facts
            .into(end)
            .filter(|&pipe| pipe != last && facts.sole[pipe.0 as usize].is_some());
        let (mut units, mut closets) = (load(last).drain, load(last).closets);
        for pipe in ending {
            units += load(pipe).drain;
            closets += load(pipe).closets;
        }
        // Groups of fixtures count less together than each for itself.
        let on = facts.tree.on_from(end);
        let branch = on.filter(|&on| !facts.lines.in_stack(on));
        if let Some(on) = branch {
            units = units.min(load(on).drain);
        }
        let number = Some(self.circuits.len() as u32);
        self.circuits.push(Circuit {
            units,
            closets,
            role: facts.pipes[last.0 as usize].role,
        });
        for &pipe in &group.wet {
            self.circuit_of[pipe.0 as usize] = number;
        }
        // Above the vent the branch goes on, level, to where the drain of its first fixture comes down.
        let run = network.pipe(first).run;
        let mut at = group.from;
        let mut left = network.pipes.len();
        while let Some(pipe) = facts.into(at).find(|&pipe| {
            let told = network.pipe(pipe);
            told.run == run && is_level(told) && facts.above(pipe).fixtures > 0
        }) {
            self.circuit_of[pipe.0 as usize] = number;
            self.of[pipe.0 as usize] = Some(Airs::Circuit);
            at = network.pipe(pipe).from;
            left -= 1;
            if left == 0 {
                break;
            }
        }
        // Below it, to the stack or to where another drain comes in, a vent is its relief vent.
        let mut at = end;
        while let Some(pipe) = facts.tree.on_from(at) {
            self.relief[at.0 as usize] = true;
            let next = network.pipe(pipe).to;
            if facts.lines.in_stack(pipe) || facts.into(next).count() > 1 {
                break;
            }
            at = next;
        }
    }

    /// How air comes down a drain to other traps.
    pub fn airs(&self, pipe: PipeIx) -> Option<Airs> {
        self.of[pipe.0 as usize]
    }
    /// The circuit that a drain is part of.
    pub fn circuit(&self, pipe: PipeIx) -> Option<&Circuit> {
        self.circuit_of[pipe.0 as usize].map(|at| &self.circuits[at as usize])
    }
    /// The combination drain that a drain is part of.
    pub fn combination(&self, pipe: PipeIx) -> Option<&Combination> {
        self.combination_of[pipe.0 as usize].map(|at| &self.combinations[at as usize])
    }
    /// The combination drain whose one vent leaves here.
    pub fn vented_from(&self, node: NodeIx) -> Option<&Combination> {
        let at = self.vented_from.get(&node)?;
        self.combinations.get(*at as usize)
    }
    /// Whether a vent taken off here relieves a circuit.
    pub fn relieves(&self, node: NodeIx) -> bool {
        self.relief[node.0 as usize]
    }
}

/// Groups the traps by their vents, and finds the drains in use between.
fn groups<'a>(facts: &Facts<'a>) -> Vec<Group<'a>> {
    let mut order: Vec<(PipeIx, &TrapArm)> = facts
        .arms
        .iter()
        .filter_map(|arm| Some((arm.vent?.pipe, arm)))
        .collect();
    order.sort_by_key(|(vent, _)| *vent);
    let mut groups = Vec::new();
    for members in order.chunk_by(|a, b| a.0 == b.0) {
        let Some(from) = members[0].1.vent.map(|vent| vent.from) else {
            continue;
        };
        let arms: Vec<&TrapArm> = members.iter().map(|(_, arm)| *arm).collect();
        let mut wait: Vec<NodeIx> = arms
            .iter()
            .filter_map(|arm| arm.vent.map(|vent| vent.at))
            .filter(|&at| at != from)
            .collect();
        let mut wet = Vec::new();
        let mut here = from;
        // A mistaken network may hold a ring: no way is longer than all pipes.
        let mut left = facts.network.pipes.len();
        while !wait.is_empty() && left > 0 {
            let Some(pipe) = facts.tree.on_from(here) else {
                break;
            };
            if facts.above(pipe).fixtures > 0 {
                wet.push(pipe);
            }
            here = facts.network.pipe(pipe).to;
            wait.retain(|&at| at != here);
            left -= 1;
        }
        groups.push(Group { from, arms, wet });
    }
    groups
}
