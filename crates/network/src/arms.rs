//! Trap arms: for every fixture with a trap, the pipe it drains by and where its vent is.
//!
//! Facts of the network for the stages that know a code of practice: nothing is judged here.

use crate::kinds::{Trap, kinds};
use crate::model::{FixtureIx, Network, NodeIx, NodeKind, PipeIx};
use wyeline_job::model::System;

/// How a fixture with a trap is drained and vented.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TrapArm {
    /// The fixture.
    pub fixture: FixtureIx,
    /// Its trap; its outlet, where the trap is in the fixture.
    pub trap: NodeIx,
    /// The pipes from the trap downstream to the first point where any other pipe meets them.
    pub pipes: Vec<PipeIx>,
    /// That point (or where the drain ends).
    pub joins: NodeIx,
    /// Where air reaches it, going downstream; nothing where none does.
    pub vent: Option<VentTaken>,
}

/// Where a fixture takes its vent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct VentTaken {
    /// The first point downstream of the trap that a vent pipe leaves, or that a drain from such a point runs into.
    pub at: NodeIx,
    /// The point where the vent pipe leaves; the same as `at` where the fixture is vented there. Otherwise
    /// air comes down the drain between: an unused head of a stack, or a drain in use (a wet vent).
    pub from: NodeIx,
    /// The vent pipe.
    pub pipe: PipeIx,
}

/// Where the nearest vent upstream of a node leaves.
#[derive(Clone, Copy)]
struct Above {
    length: f64,
    from: NodeIx,
    pipe: PipeIx,
}

impl Network {
    /// The arm of every fixture whose trap (or, with a trap of its own, whose outlet) a drain reaches, in the
    /// order of the fixtures. The cost grows with the pipes of the network.
    pub fn trap_arms(&self) -> Vec<TrapArm> {
        let mut traps: Vec<Option<NodeIx>> = vec![None; self.fixtures.len()];
        for (ix, node) in self.nodes.iter().enumerate() {
            if let (NodeKind::Trap, Some(fixture)) = (&node.kind, node.fixture) {
                traps[fixture.0 as usize] = Some(NodeIx(ix as u32));
            }
        }
        let down: Vec<Option<PipeIx>> = self.downstream();
        let above = self.vents_above(&down);
        let vented = self.next_vented(&down, &above);
        let mut arms = Vec::new();
        for (ix, fixture) in self.fixtures.iter().enumerate() {
            let known = kinds().get(&fixture.kind);
            if known.is_none_or(|kind| kind.trap == Trap::None) {
                continue;
            }
            let outlet = fixture.ports.iter().find(|port| port.name == "drain");
            let Some(trap) = traps[ix].or_else(|| outlet.and_then(|port| port.node)) else {
                continue;
            };
            let mut pipes = Vec::new();
            let mut joins = trap;
            while let Some(pipe) = down[joins.0 as usize] {
                pipes.push(pipe);
                joins = self.pipe(pipe).to;
                if self.node(joins).pipes.len() > 2 {
                    break;
                }
            }
            if pipes.is_empty() {
                continue;
            }
            let vent = vented[trap.0 as usize].and_then(|at| {
                let Above { from, pipe, .. } = above[at.0 as usize]?;
                Some(VentTaken { at, from, pipe })
            });
            arms.push(TrapArm {
                fixture: FixtureIx(ix as u32),
                trap,
                pipes,
                joins,
                vent,
            });
        }
        arms
    }

    /// For each node the drain that leads on from it. In a mistaken network with two ways out: the first.
    fn downstream(&self) -> Vec<Option<PipeIx>> {
        let mut down = vec![None; self.nodes.len()];
        for (ix, pipe) in self.pipes.iter().enumerate() {
            if pipe.system.drains() {
                down[pipe.from.0 as usize].get_or_insert(PipeIx(ix as u32));
            }
        }
        down
    }

    /// Nodes from which drains lead on, each after those that lead to it. Loops are left out.
    fn in_order(&self, down: &[Option<PipeIx>]) -> Vec<NodeIx> {
        let mut waiting = vec![0_u32; self.nodes.len()];
        for &pipe in down.iter().flatten() {
            waiting[self.pipe(pipe).to.0 as usize] += 1;
        }
        let all = 0..self.nodes.len() as u32;
        let mut order: Vec<NodeIx> = all
            .map(NodeIx)
            .filter(|node| waiting[node.0 as usize] == 0)
            .collect();
        let mut next = 0;
        while let Some(&node) = order.get(next) {
            next += 1;
            if let Some(pipe) = down[node.0 as usize] {
                let to = self.pipe(pipe).to;
                waiting[to.0 as usize] -= 1;
                if waiting[to.0 as usize] == 0 {
                    order.push(to);
                }
            }
        }
        order
    }

    /// For each node the nearest vent at it or upstream of it, by length of pipe.
    fn vents_above(&self, down: &[Option<PipeIx>]) -> Vec<Option<Above>> {
        let mut above: Vec<Option<Above>> = vec![None; self.nodes.len()];
        for node in self.in_order(down) {
            let vent = self.node(node).pipes.iter();
            let vent = vent
                .copied()
                .find(|&pipe| self.pipe(pipe).system == System::Vent);
            if let Some(pipe) = vent {
                above[node.0 as usize] = Some(Above {
                    length: 0.0,
                    from: node,
                    pipe,
                });
            }
            let (Some(pipe), Some(here)) = (down[node.0 as usize], above[node.0 as usize]) else {
                continue;
            };
            let pipe = self.pipe(pipe);
            let (a, b) = self.true_ends(pipe);
            let length = here.length + a.distance(b);
            let there = &mut above[pipe.to.0 as usize];
            if there.is_none_or(|known| length < known.length) {
                *there = Some(Above { length, ..here });
            }
        }
        above
    }

    /// For each node the first, at it or downstream, that has a vent above it.
    fn next_vented(&self, down: &[Option<PipeIx>], above: &[Option<Above>]) -> Vec<Option<NodeIx>> {
        let mut vented: Vec<Option<NodeIx>> = vec![None; self.nodes.len()];
        for node in self.in_order(down).into_iter().rev() {
            let at = node.0 as usize;
            vented[at] = if above[at].is_some() {
                Some(node)
            } else {
                down[at].and_then(|pipe| vented[self.pipe(pipe).to.0 as usize])
            };
        }
        vented
    }
}
