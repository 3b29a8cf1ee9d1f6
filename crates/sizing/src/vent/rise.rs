//! Which way the air goes: vents as trees from the drains up to the open air.
//!
//! In: vents as told. Out: for each the end nearer to the drain and the end nearer to the open air. A vent that is told
//! down to a drain from a point that has another way to the air (the foot of an island's loop) is turned round.

use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{NodeIx, PipeIx};

use crate::drain::tree::Tree;

/// The way of the air.
pub(crate) struct Rise {
    /// Vents, each after all that lead to it.
    pub tree: Tree,
    turned: Vec<bool>,
}

impl Rise {
    pub fn of(network: &Network) -> Self {
        let turned = turned(network);
        let tree = Tree::from(network, |ix| {
            let pipe = &network.pipes[ix];
            (pipe.system == System::Vent).then(|| ends(network, &turned, PipeIx(ix as u32)))
        });
        Self { tree, turned }
    }

    /// The lower and the upper end of a vent, by the way of the air.
    pub fn ends(&self, network: &Network, ix: PipeIx) -> (NodeIx, NodeIx) {
        ends(network, &self.turned, ix)
    }
}

fn ends(network: &Network, turned: &[bool], ix: PipeIx) -> (NodeIx, NodeIx) {
    let pipe = network.pipe(ix);
    if turned[ix.0 as usize] {
        (pipe.to, pipe.from)
    } else {
        (pipe.from, pipe.to)
    }
}

/// For each pipe, whether the air goes the other way than it is told.
fn turned(network: &Network) -> Vec<bool> {
    let vents = |node: NodeIx| {
        let pipes = network.node(node).pipes.iter().copied();
        pipes.filter(|&pipe| network.pipe(pipe).system == System::Vent)
    };
    // Nodes from which the vents as told lead to an end that lies on no drain.
    let mut airy = vec![false; network.nodes.len()];
    let mut waiting: Vec<NodeIx> = (0..network.nodes.len())
        .map(|ix| NodeIx(ix as u32))
        .filter(|&node| {
            let mut all = network.node(node).pipes.iter();
            let ends_here = |&pipe: &PipeIx| {
                let pipe = network.pipe(pipe);
                pipe.system == System::Vent && pipe.to == node
            };
            !network.node(node).pipes.is_empty() && all.all(ends_here)
        })
        .collect();
    let mut turned = vec![false; network.pipes.len()];
    let mut reached = Vec::new();
    while let Some(node) = waiting.pop() {
        if std::mem::replace(&mut airy[node.0 as usize], true) {
            continue;
        }
        reached.push(node);
        waiting.extend(
            vents(node)
                .map(|pipe| network.pipe(pipe))
                .filter(|pipe| pipe.to == node)
                .map(|pipe| pipe.from),
        );
    }
    // What is told from there to a node without a way of its own is turned round.
    while let Some(node) = reached.pop() {
        for ix in vents(node) {
            let pipe = network.pipe(ix);
            if pipe.from == node && !std::mem::replace(&mut airy[pipe.to.0 as usize], true) {
                turned[ix.0 as usize] = true;
                reached.push(pipe.to);
            }
        }
    }
    turned
}
