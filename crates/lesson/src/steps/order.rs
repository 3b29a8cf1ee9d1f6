//! The order in which a learner draws a network: path by path, each branch after what it leaves.
//!
//! Waste from its outlet upstream, water and gas from where they come in, vents from the drain up to the open air; the pipe that goes straight
//! on at a tee is the main, or else the one that more depends on. Our own choice, by the order in which one bathroom is read: NAVEDTRA 14040, page 5-16.

use std::collections::BTreeSet;

use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{FixtureIx, NodeIx, NodeKind, PipeIx};

/// Systems in the order in which they are drawn.
pub(crate) const SYSTEMS: [System; 7] = [
    System::Waste,
    System::Storm,
    System::Vent,
    System::Cold,
    System::Hot,
    System::HotReturn,
    System::Gas,
];

/// Cosine within which a pipe goes straight on, 22-1/2 degrees and a little.
const STRAIGHT: f64 = 0.92;

/// Pipes that are drawn one after the other without lifting the pencil.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Path {
    /// What flows in it.
    pub system: System,
    /// Its pipes as they are drawn.
    pub pipes: Vec<PipeIx>,
    /// Its nodes: one more than pipes.
    pub nodes: Vec<NodeIx>,
    /// It leaves no other path of its system.
    pub main: bool,
    /// What depends on it: the fixtures on it and on all that branches off it.
    pub serves: BTreeSet<FixtureIx>,
}

/// All pipes of some systems as paths, each pipe on one of them.
pub(crate) fn paths(network: &Network, shown: &[PipeIx]) -> Vec<Path> {
    let mut all = Vec::new();
    for system in SYSTEMS {
        let of_system = |pipe: &&PipeIx| network.pipe(**pipe).system == system;
        let pipes: Vec<PipeIx> = shown.iter().filter(of_system).copied().collect();
        all.extend(Tree::of(network, system, &pipes).paths());
    }
    all
}

/// The pipes of one system as trees, from where drawing begins (vents: from the open air).
struct Tree<'a> {
    network: &'a Network,
    system: System,
    roots: Vec<NodeIx>,
    /// For each node the pipes that lead on from it, and where to.
    on: Vec<Vec<(PipeIx, NodeIx)>>,
    /// For each node the pipe by which it was reached; nothing for roots.
    by: Vec<Option<PipeIx>>,
    /// For each node what depends on it.
    serves: Vec<BTreeSet<FixtureIx>>,
    /// For each node how many pipes lie beyond it.
    beyond: Vec<u32>,
}

impl<'a> Tree<'a> {
    fn of(network: &'a Network, system: System, pipes: &[PipeIx]) -> Self {
        let count = network.nodes.len();
        let mut at: Vec<Vec<PipeIx>> = vec![Vec::new(); count];
        for &pipe in pipes {
            at[network.pipe(pipe).from.0 as usize].push(pipe);
            at[network.pipe(pipe).to.0 as usize].push(pipe);
        }
        let mut tree = Self {
            network,
            system,
            roots: Vec::new(),
            on: vec![Vec::new(); count],
            by: vec![None; count],
            serves: vec![BTreeSet::new(); count],
            beyond: vec![0; count],
        };
        let mut reached = vec![false; count];
        let mut taken = vec![false; network.pipes.len()];
        let mut order: Vec<(NodeIx, Option<NodeIx>)> = Vec::new();
        let mut starts = tree.starts(pipes);
        // What no root leads to (a loop) is begun anywhere.
        starts.extend(pipes.iter().map(|&pipe| network.pipe(pipe).from));
        for root in starts {
            if std::mem::replace(&mut reached[root.0 as usize], true) {
                continue;
            }
            tree.roots.push(root);
            let mut next = order.len();
            order.push((root, None));
            while let Some(&(node, _)) = order.get(next) {
                next += 1;
                for &pipe in &at[node.0 as usize] {
                    if std::mem::replace(&mut taken[pipe.0 as usize], true) {
                        continue;
                    }
                    let there = other_end(network, pipe, node);
                    tree.on[node.0 as usize].push((pipe, there));
                    if !std::mem::replace(&mut reached[there.0 as usize], true) {
                        tree.by[there.0 as usize] = Some(pipe);
                        order.push((there, Some(node)));
                    }
                }
            }
        }
        for &(node, before) in order.iter().rev() {
            let here = node.0 as usize;
            tree.serves[here].extend(network.node(node).fixture);
            tree.beyond[here] += tree.on[here].len() as u32;
            if let Some(before) = before {
                let (serves, beyond) = (tree.serves[here].clone(), tree.beyond[here]);
                tree.serves[before.0 as usize].extend(serves);
                tree.beyond[before.0 as usize] += beyond;
            }
        }
        tree
    }

    /// Where drawing begins: what leads on from nowhere, what ends in the open air or outside the drawing first.
    fn starts(&self, pipes: &[PipeIx]) -> Vec<NodeIx> {
        // Waste and vents are told from where they flow to, water and gas from where they come from.
        let far = self.system.drains() || self.system == System::Vent;
        let mut here = BTreeSet::new();
        let mut inner = BTreeSet::new();
        for &pipe in pipes {
            let pipe = self.network.pipe(pipe);
            let (first, second) = if far {
                (pipe.to, pipe.from)
            } else {
                (pipe.from, pipe.to)
            };
            here.insert(first);
            inner.insert(second);
        }
        let mut starts: Vec<NodeIx> = here.difference(&inner).copied().collect();
        starts.sort_by_key(|&node| {
            !matches!(
                self.network.node(node).kind,
                NodeKind::Start | NodeKind::RoofEnd
            )
        });
        starts
    }

    fn paths(&self) -> Vec<Path> {
        let mut all = Vec::new();
        // What still has to be begun: a pipe, the node it leaves, whether it is a main. The last comes first.
        let mut waiting: Vec<(NodeIx, PipeIx, NodeIx, bool)> = Vec::new();
        for &root in self.roots.iter().rev() {
            let main = self.heaviest(root);
            let mut here = self.on[root.0 as usize].clone();
            here.sort_by_key(|&(pipe, _)| Some(pipe) == main);
            let leaves = here.into_iter();
            waiting.extend(leaves.map(|(pipe, to)| (root, pipe, to, Some(pipe) == main)));
        }
        while let Some((from, pipe, to, main)) = waiting.pop() {
            let mut path = Path {
                system: self.system,
                pipes: vec![pipe],
                nodes: vec![from, to],
                main,
                serves: self.serves[to.0 as usize].clone(),
            };
            let mut branches = Vec::new();
            let mut last = (pipe, to);
            while let Some((next, there)) = self.goes_on(last.0, last.1) {
                let here = self.on[last.1.0 as usize].iter();
                let left = here.filter(|(other, _)| *other != next);
                branches.extend(left.map(|&(other, to)| (last.1, other, to, false)));
                path.pipes.push(next);
                path.nodes.push(there);
                last = (next, there);
            }
            if self.system == System::Vent {
                path.pipes.reverse();
                path.nodes.reverse();
            } else if main {
                Self::part(&mut path, &mut branches);
            }
            all.push(path);
            waiting.extend(branches.into_iter().rev());
        }
        all
    }

    /// What lies beyond the last tee of a main is a branch like the others: its drop is none of the main's uprights.
    fn part(path: &mut Path, branches: &mut Vec<(NodeIx, PipeIx, NodeIx, bool)>) {
        let Some(&(node, ..)) = branches.last() else {
            return;
        };
        let Some(at) = path.nodes.iter().position(|&other| other == node) else {
            return;
        };
        if at < path.pipes.len() {
            branches.push((node, path.pipes[at], path.nodes[at + 1], false));
            path.pipes.truncate(at);
            path.nodes.truncate(at + 1);
        }
    }

    /// The pipe with which a path goes on at a node.
    fn goes_on(&self, pipe: PipeIx, node: NodeIx) -> Option<(PipeIx, NodeIx)> {
        // A node that was reached another way before (a loop) has its pipes there.
        if self.by[node.0 as usize] != Some(pipe) {
            return None;
        }
        let here = &self.on[node.0 as usize];
        let way = way(self.network, pipe, other_end(self.network, pipe, node));
        let straight = here
            .iter()
            .find(|(next, _)| way.dot(self::way(self.network, *next, node)) > STRAIGHT);
        let heaviest = self.heaviest(node);
        straight
            .or_else(|| here.iter().find(|(next, _)| Some(*next) == heaviest))
            .copied()
    }

    /// The pipe on which most depends, of several the first.
    fn heaviest(&self, node: NodeIx) -> Option<PipeIx> {
        let here = self.on[node.0 as usize].iter();
        here.rev()
            .max_by_key(|(_, to)| {
                let to = to.0 as usize;
                (self.serves[to].len(), self.beyond[to])
            })
            .map(|(pipe, _)| *pipe)
    }
}

/// The other end of a pipe.
pub(crate) fn other_end(network: &Network, pipe: PipeIx, node: NodeIx) -> NodeIx {
    let pipe = network.pipe(pipe);
    if pipe.from == node {
        pipe.to
    } else {
        pipe.from
    }
}

/// The way a pipe leaves a node, as drawn; of length 1, or 0.
pub(crate) fn way(network: &Network, pipe: PipeIx, node: NodeIx) -> glam::DVec3 {
    let there = other_end(network, pipe, node);
    (network.node(there).drawn() - network.node(node).drawn()).normalize_or_zero()
}
