//! Drains as a tree: for every node the pipe that leads on from it, and the pipes in the order of flow.
//!
//! In: a network. Out: the tree of one system; a loop (a mistake of the job) is left out of the order.

use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{NodeIx, PipeIx};

/// The pipes of one system, by flow.
pub(crate) struct Tree {
    /// For each node, the pipe that leads on from it. In a mistaken network with two ways out: the first.
    pub down: Vec<Option<PipeIx>>,
    /// For each node, how many pipes flow into it.
    pub inlets: Vec<u32>,
    /// Pipes, each after all that flow into it.
    pub order: Vec<PipeIx>,
}

impl Tree {
    /// The tree of one system, as its pipes lead from upstream to downstream. The cost grows with the pipes.
    pub fn of(network: &Network, system: System) -> Self {
        let ends = |ix: usize| {
            let pipe = &network.pipes[ix];
            (pipe.system == system).then_some((pipe.from, pipe.to))
        };
        Self::from(network, ends)
    }

    /// The tree of pipes between a lower and an upper end (upstream and downstream), by their numbers.
    pub fn from(network: &Network, ends: impl Fn(usize) -> Option<(NodeIx, NodeIx)>) -> Self {
        let mut down = vec![None; network.nodes.len()];
        let mut inlets = vec![0_u32; network.nodes.len()];
        let mut count = 0;
        for ix in 0..network.pipes.len() {
            if let Some((from, to)) = ends(ix)
                && down[from.0 as usize].is_none()
            {
                down[from.0 as usize] = Some(PipeIx(ix as u32));
                inlets[to.0 as usize] += 1;
                count += 1;
            }
        }
        let mut waiting = inlets.clone();
        let mut order = Vec::with_capacity(count);
        for start in 0..network.nodes.len() {
            if inlets[start] > 0 || down[start].is_none() {
                continue;
            }
            let mut node = start;
            while let Some(pipe) = down[node] {
                order.push(pipe);
                let Some((_, to)) = ends(pipe.0 as usize) else {
                    break;
                };
                node = to.0 as usize;
                waiting[node] -= 1;
                if waiting[node] > 0 {
                    break;
                }
            }
        }
        Self {
            down,
            inlets,
            order,
        }
    }

    /// The pipe that leads on from a node.
    pub fn on_from(&self, node: NodeIx) -> Option<PipeIx> {
        self.down[node.0 as usize]
    }
}
