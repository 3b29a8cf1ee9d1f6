//! Cold and hot pipes as a tree from the supply to the taps, through the heaters.
//!
//! In: the network, whose water pipes lead from the source on. Out: pipes in an order in which each comes after the
//! one that feeds it. A second way to a point, a circle, a pipe nothing feeds: told as gaps, never followed twice.

use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{FixtureIx, NodeIx, NodeKind, Pipe, PipeIx};

use crate::model::{Gap, GapAt};

/// No place in the tree.
pub(super) const NONE: u32 = u32::MAX;

/// The tree; all lists by place in the order.
#[derive(Default)]
pub(super) struct Tree {
    /// Pipes, each after the one that feeds it.
    pub pipes: Vec<PipeIx>,
    /// The place of the pipe that feeds it, or [`NONE`] at a source.
    pub parent: Vec<u32>,
    /// The source it is fed from, by its place among [`Tree::sources`].
    pub source: Vec<u32>,
    /// The heater between it and the pipe that feeds it.
    pub heater: Vec<Option<FixtureIx>>,
    /// For each pipe of the network its place.
    pub place: Vec<u32>,
    /// For each node of the network the place of the pipe that feeds it.
    pub feeds: Vec<u32>,
    /// Where water comes in.
    pub sources: Vec<NodeIx>,
    /// Equipment that hot water leaves.
    pub heaters: Vec<Heater>,
    /// For each node the heater whose cold port it is, by its place among [`Tree::heaters`].
    heater_at: Vec<u32>,
    /// Nodes that are sources.
    rooted: Vec<bool>,
}

/// Equipment that hot water leaves.
#[derive(Clone, Copy)]
pub(super) struct Heater {
    /// The fixture.
    pub fixture: FixtureIx,
    /// Its cold port's node.
    pub cold: Option<NodeIx>,
    /// Its hot port's node.
    pub hot: NodeIx,
}

/// Cold or hot.
pub(super) fn supplies(pipe: &Pipe) -> bool {
    matches!(pipe.system, System::Cold | System::Hot)
}

/// The tree of a network's cold and hot pipes.
pub(super) fn tree(network: &Network, gaps: &mut Vec<Gap>) -> Tree {
    let mut tree = Tree {
        place: vec![NONE; network.pipes.len()],
        feeds: vec![NONE; network.nodes.len()],
        heaters: heaters(network),
        heater_at: vec![NONE; network.nodes.len()],
        rooted: vec![false; network.nodes.len()],
        ..Tree::default()
    };
    for (ix, heater) in tree.heaters.iter().enumerate() {
        if let Some(cold) = heater.cold {
            tree.heater_at[cold.0 as usize] = ix as u32;
        }
    }
    let mut fed = vec![false; network.nodes.len()];
    for pipe in network.pipes.iter().filter(|pipe| supplies(pipe)) {
        fed[pipe.to.0 as usize] = true;
    }
    for heater in &tree.heaters {
        fed[heater.hot.0 as usize] = true;
    }
    for pipe in network.pipes.iter().filter(|pipe| supplies(pipe)) {
        let from = pipe.from.0 as usize;
        if !fed[from] {
            fed[from] = true;
            grow(network, &mut tree, pipe.from);
            if pipe.system == System::Hot && network.node(pipe.from).kind == NodeKind::Start {
                gaps.push(Gap {
                    at: GapAt::Node(pipe.from),
                    why: "hot water begins here with nothing that feeds it: it is taken to have the pressure of the supply".into(),
                    help: "start the hot run at its heater (`start WH1.hot`)".into(),
                    span: pipe.span,
                });
            }
        }
    }
    // A heater that nothing feeds still has pipes behind it.
    for heater in tree.heaters.clone() {
        let unfed = heater
            .cold
            .is_none_or(|cold| tree.feeds[cold.0 as usize] == NONE);
        if unfed && tree.feeds[heater.hot.0 as usize] == NONE {
            let fixture = &network.fixtures[heater.fixture.0 as usize];
            gaps.push(Gap {
                at: GapAt::Fixture(heater.fixture),
                why: format!("no cold pipe feeds {}: what it heats is taken to have the pressure of the supply", fixture.tag),
                help: format!("`end {}.cold` in a cold run", fixture.tag),
                span: fixture.span,
            });
            grow(network, &mut tree, heater.hot);
        }
    }
    for (ix, pipe) in network.pipes.iter().enumerate() {
        if supplies(pipe) && tree.place[ix] == NONE {
            let closes = tree.feeds[pipe.to.0 as usize] != NONE;
            let why = if closes {
                "this pipe feeds a point that is fed already: the flow is worked out without it"
            } else {
                "nothing feeds this pipe: it leads in a circle"
            };
            gaps.push(Gap {
                at: GapAt::Pipe(PipeIx(ix as u32)),
                why: why.into(),
                help: "give water one way to each point, or state the size".into(),
                span: pipe.span,
            });
        }
    }
    tree
}

/// Fixtures whose hot port hot pipe leaves.
fn heaters(network: &Network) -> Vec<Heater> {
    let mut found = Vec::new();
    for (ix, fixture) in network.fixtures.iter().enumerate() {
        let port = |name: &str| {
            let port = fixture.ports.iter().find(|port| port.name == name);
            port.and_then(|port| port.node)
        };
        let Some(hot) = port("hot") else { continue };
        let leaves = |&pipe: &PipeIx| {
            let pipe = network.pipe(pipe);
            pipe.system == System::Hot && pipe.from == hot
        };
        if network.node(hot).pipes.iter().any(leaves) {
            found.push(Heater {
                fixture: FixtureIx(ix as u32),
                cold: port("cold"),
                hot,
            });
        }
    }
    found
}

/// Follows the water from a source.
fn grow(network: &Network, tree: &mut Tree, source: NodeIx) {
    let number = tree.sources.len() as u32;
    tree.sources.push(source);
    tree.rooted[source.0 as usize] = true;
    let mut next = tree.pipes.len();
    leave(network, tree, source, NONE, number, None);
    while next < tree.pipes.len() {
        let to = network.pipe(tree.pipes[next]).to;
        leave(network, tree, to, next as u32, number, None);
        if let Some(&heater) = tree.heaters.get(tree.heater_at[to.0 as usize] as usize)
            && tree.feeds[heater.hot.0 as usize] == NONE
        {
            let place = next as u32;
            leave(
                network,
                tree,
                heater.hot,
                place,
                number,
                Some(heater.fixture),
            );
        }
        next += 1;
    }
}

/// Adds the pipes that lead away from a node.
fn leave(
    network: &Network,
    tree: &mut Tree,
    node: NodeIx,
    parent: u32,
    source: u32,
    heater: Option<FixtureIx>,
) {
    for &ix in &network.node(node).pipes {
        let pipe = network.pipe(ix);
        let known = tree.place[ix.0 as usize] != NONE;
        if !supplies(pipe) || pipe.from != node || known || pipe.to == node {
            continue;
        }
        // The first pipe that reaches a point feeds it; another one is told of at the end.
        if tree.feeds[pipe.to.0 as usize] != NONE || tree.rooted[pipe.to.0 as usize] {
            continue;
        }
        let place = tree.pipes.len() as u32;
        tree.place[ix.0 as usize] = place;
        tree.feeds[pipe.to.0 as usize] = place;
        tree.pipes.push(ix);
        tree.parent.push(parent);
        tree.source.push(source);
        tree.heater.push(heater);
    }
}
