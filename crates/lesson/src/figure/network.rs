//! Turns a network into the figure that a learner draws of it: one line a pipe, and what has to be told at fixtures, traps, turns and ends.
//!
//! Flow is asked for where waste turns from plumb to level and at each fixture, and not on vents: criteria of a published plumbing
//! contractor examination, as two schools reprint them.

use glam::DVec3;
use wyeline_job::model::{DeviceKind, System};
use wyeline_network::Network;
use wyeline_network::model::{Fixture, FixtureIx, Lie, Node, NodeIx, NodeKind, PipeIx};

use super::{Figure, Line, Role, Spot, What};

/// Pipes drawn shorter than this are points, mm: below what any scale of a drawing shows.
const POINT_MM: f64 = 1.0;

impl Figure {
    /// What is to be drawn of a network: every pipe at its drawn height, cut at every node, and what has to be told of it.
    pub fn of_network(network: &Network) -> Self {
        let branches = branches(network);
        let mut figure = Self::default();
        for (ix, pipe) in (0..).map(PipeIx).zip(&network.pipes) {
            let (from, to) = network.drawn(pipe);
            if from.distance(to) < POINT_MM {
                continue;
            }
            let role = if branches[ix.0 as usize] {
                Role::Branch(pipe.system)
            } else {
                Role::Pipe(pipe.system)
            };
            figure.lines.push(Line {
                from,
                to,
                role,
                part: network.runs[pipe.run.0 as usize].name.clone(),
                pipe: Some(ix),
            });
        }
        for (ix, fixture) in (0..).map(FixtureIx).zip(&network.fixtures) {
            figure.spots.extend(fixture_spot(network, ix, fixture));
        }
        for (ix, node) in (0..).map(NodeIx).zip(&network.nodes) {
            figure.spots.extend(node_spots(network, ix, node));
        }
        for system in System::ALL {
            figure.spots.extend(water_letters(&figure, system));
        }
        figure
    }
}

/// Whether each pipe serves nothing but one fixture: reached from a fixture's port past no junction with another pipe of its system.
fn branches(network: &Network) -> Vec<bool> {
    let mut found = vec![false; network.pipes.len()];
    for (ix, node) in (0..).map(NodeIx).zip(&network.nodes) {
        if !matches!(
            node.kind,
            NodeKind::Outlet | NodeKind::Stub | NodeKind::Port
        ) {
            continue;
        }
        for &first in &node.pipes {
            let system = network.pipe(first).system;
            let (mut at, mut pipe) = (ix, first);
            while !found[pipe.0 as usize] && system != System::Vent {
                found[pipe.0 as usize] = true;
                let told = network.pipe(pipe);
                at = if told.from == at { told.to } else { told.from };
                let mut others = network
                    .node(at)
                    .pipes
                    .iter()
                    .copied()
                    .filter(|other| *other != pipe && network.pipe(*other).system == system);
                match (others.next(), others.next()) {
                    (Some(next), None) => pipe = next,
                    _ => break,
                }
            }
        }
    }
    found
}

/// Where a fixture stands on the drawing: at its drain, or amid its other ports that pipes reach.
fn fixture_spot(network: &Network, ix: FixtureIx, fixture: &Fixture) -> Option<Spot> {
    let nodes = || {
        let ports = fixture.ports.iter().filter_map(|port| port.node);
        ports.map(|node| network.node(node))
    };
    let own = |node: &&Node| {
        node.fixture == Some(ix)
            && matches!(
                node.kind,
                NodeKind::Outlet | NodeKind::Stub | NodeKind::Port
            )
    };
    let at = if let Some(outlet) = nodes().find(|node| node.kind == NodeKind::Outlet) {
        outlet.drawn()
    } else {
        let ports: Vec<DVec3> = nodes().filter(own).map(Node::drawn).collect();
        (!ports.is_empty()).then(|| ports.iter().sum::<DVec3>() / ports.len() as f64)?
    };
    let mut letters = vec![fixture.letters.clone(), fixture.tag.clone()];
    letters.retain(|letters| !letters.is_empty());
    letters.dedup();
    Some(Spot {
        at,
        what: What::Fixture {
            tag: fixture.tag.clone(),
            letters,
            rim: fixture.rim.map(|rim| fixture.anchor.z + rim),
        },
    })
}

/// What has to be told at a node: trap, flow, cleanout, vent through the roof.
fn node_spots(network: &Network, ix: NodeIx, node: &Node) -> Vec<Spot> {
    let at = node.drawn();
    let mut whats = Vec::new();
    let tag = node
        .fixture
        .map(|fixture| &network.fixtures[fixture.0 as usize].tag);
    if let (NodeKind::Trap, Some(tag)) = (&node.kind, tag) {
        whats.push(What::Trap { tag: tag.clone() });
    }
    whats.extend(flow(network, ix, node).map(|along| What::Flow { along }));
    if let Some(device) = &node.device
        && device.kind == DeviceKind::Cleanout
    {
        let tag = device.tag.iter().cloned();
        whats.push(What::Letters {
            of: "cleanout",
            letters: ["CO", "FCO", "WCO"]
                .map(str::to_owned)
                .into_iter()
                .chain(tag)
                .collect(),
        });
    }
    if node.kind == NodeKind::RoofEnd {
        whats.push(What::Letters {
            of: "vent through the roof",
            letters: vec!["VTR".to_owned()],
        });
    }
    whats.into_iter().map(|what| Spot { at, what }).collect()
}

/// The way of an arrow that goes out from a node: below a fixture, or where waste turns from plumb to level.
fn flow(network: &Network, ix: NodeIx, node: &Node) -> Option<DVec3> {
    let waste = |pipe: &&PipeIx| network.pipe(**pipe).system == System::Waste;
    let pipes = || {
        node.pipes
            .iter()
            .filter(waste)
            .map(|pipe| network.pipe(*pipe))
    };
    let out = pipes().find(|pipe| pipe.from == ix)?;
    let (from, to) = network.drawn(out);
    if from.distance(to) < POINT_MM {
        return None;
    }
    // A fixture with a trap of its own in the pipe is told on its arm: above that there is only a tailpiece.
    let trapped = pipes().any(|pipe| network.node(pipe.to).kind == NodeKind::Trap);
    let asked = match node.kind {
        NodeKind::Trap => true,
        NodeKind::Outlet => !trapped,
        _ => {
            matches!(out.lie, Lie::Axis | Lie::LevelSkew)
                && pipes().any(|pipe| pipe.to == ix && pipe.lie == Lie::Vertical)
        }
    };
    asked.then(|| (to - from).normalize())
}

/// Letters that tell water and gas pipes apart, asked for once a system, at its longest line.
fn water_letters(figure: &Figure, system: System) -> Option<Spot> {
    let (of, letters): (_, &[&str]) = match system {
        System::Cold => ("cold water", &["C", "CW", "COLD"]),
        System::Hot => ("hot water", &["H", "HW", "HOT"]),
        System::HotReturn => ("hot water return", &["HR", "HWR"]),
        System::Gas => ("gas", &["G", "GAS"]),
        System::Storm => ("storm water", &["SD", "ST"]),
        System::Waste | System::Vent => return None,
    };
    let own = figure
        .lines
        .iter()
        .filter(|line| line.role.system() == Some(system));
    let longest = own.max_by(|a, b| {
        let length = |line: &Line| line.from.distance(line.to);
        length(a).total_cmp(&length(b))
    })?;
    Some(Spot {
        at: longest.from.midpoint(longest.to),
        what: What::Letters {
            of,
            letters: letters.iter().map(|&letters| letters.to_owned()).collect(),
        },
    })
}
