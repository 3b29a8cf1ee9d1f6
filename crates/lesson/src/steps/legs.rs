//! A path as legs: the straight lines a pencil draws, whatever tees, valves and changes of size lie on them.

use glam::DVec3;
use wyeline_network::Network;
use wyeline_network::model::{Lie, NodeIx, PipeIx};

use super::order::Path;

/// Cosine within which two pipes lie in one line, about 1 degree.
const ALIKE: f64 = 0.999_8;

/// A straight line of a path.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Leg {
    /// Its pipes, as they are drawn.
    pub pipes: Vec<PipeIx>,
    /// Its nodes: one more than pipes.
    pub nodes: Vec<NodeIx>,
    /// Where it begins, as drawn, mm.
    pub from: DVec3,
    /// Where it ends, as drawn, mm.
    pub to: DVec3,
    /// Which way it lies.
    pub lie: Lie,
}

impl Leg {
    /// The node at its beginning.
    pub fn first(&self) -> NodeIx {
        self.nodes[0]
    }
    /// The node at its end.
    pub fn last(&self) -> NodeIx {
        self.nodes[self.nodes.len() - 1]
    }
    /// Whether it lies along none of the axes.
    pub fn skew(&self) -> bool {
        matches!(self.lie, Lie::LevelSkew | Lie::Tilted | Lie::Rolling)
    }
    /// Whether it stands plumb.
    pub fn plumb(&self) -> bool {
        self.lie == Lie::Vertical
    }
}

/// The legs of a path, in its order.
pub(crate) fn legs(network: &Network, path: &Path) -> Vec<Leg> {
    let mut legs: Vec<Leg> = Vec::new();
    for (at, &pipe) in path.pipes.iter().enumerate() {
        let ends = [path.nodes[at], path.nodes[at + 1]];
        let [from, to] = ends.map(|node| network.node(node).drawn());
        let way = (to - from).normalize_or_zero();
        if let Some(leg) = legs.last_mut() {
            let along = (leg.to - leg.from).normalize_or_zero();
            // A drop that the drawing takes up entirely has no length of its own.
            if way == DVec3::ZERO || along == DVec3::ZERO || along.dot(way) > ALIKE {
                if along == DVec3::ZERO {
                    leg.lie = network.pipe(pipe).lie;
                }
                leg.pipes.push(pipe);
                leg.nodes.push(ends[1]);
                leg.to = to;
                continue;
            }
        }
        legs.push(Leg {
            pipes: vec![pipe],
            nodes: ends.to_vec(),
            from,
            to,
            lie: network.pipe(pipe).lie,
        });
    }
    legs
}
