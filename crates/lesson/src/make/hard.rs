//! How hard a layout is to draw, whether its turns can be seen from a corner, and whether it finds room on a letter sheet.

use glam::DVec3;
use wyeline_draw::{Corner, Projection};
use wyeline_network::model::{Network, NodeIx};
use wyeline_units::Scale;

/// What a learner has to draw.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Difficulty {
    /// Straight pipes between turns, junctions and ends.
    pub pipes: u32,
    /// Places where a pipe turns and nothing joins it.
    pub turns: u32,
    /// Crossings on paper as seen from the learner's corner.
    pub crossings: u32,
}

impl Difficulty {
    /// All together.
    pub fn total(self) -> u32 {
        self.pipes + self.turns + self.crossings
    }

    /// By how much totals in one class may differ, where the easiest has so many crossings: a tenth.
    pub fn spread(self, crossings: u32) -> u32 {
        (self.pipes + self.turns + crossings) / 10
    }
}

/// Room for the drawing on a letter sheet, mm: 8-1/2 by 11 in, less half an inch all round and 2 in for title and words.
const ROOM: [f64; 2] = [190.0, 203.0];

/// Pipes and turns of a network; no crossings yet.
pub fn plain(network: &Network) -> Difficulty {
    let mut difficulty = Difficulty {
        pipes: 0,
        turns: 0,
        crossings: 0,
    };
    let long = |pipe: &&wyeline_network::model::Pipe| {
        network
            .node(pipe.from)
            .drawn()
            .distance(network.node(pipe.to).drawn())
            > 1.0
    };
    difficulty.pipes = network.pipes.iter().filter(long).count() as u32;
    for node in 0..network.nodes.len() {
        let ways = ways(network, NodeIx(node as u32));
        if let [a, b] = ways[..] {
            if a.dot(b) < -0.999 {
                // Two pipes in line are one to draw.
                difficulty.pipes -= 1;
            } else {
                difficulty.turns += 1;
            }
        }
    }
    difficulty
}

/// Unit vectors of the pipes at a node, away from it, as drawn; those without length left out.
fn ways(network: &Network, node: NodeIx) -> Vec<DVec3> {
    let here = network.node(node);
    let pipes = here.pipes.iter().filter_map(|pipe| {
        let pipe = network.pipe(*pipe);
        let other = if pipe.from == node {
            pipe.to
        } else {
            pipe.from
        };
        (network.node(other).drawn() - here.drawn()).try_normalize()
    });
    pipes.collect()
}

/// Whether no turn looks straight from a corner: two pipes that meet at an angle are not drawn in one line.
pub fn turns_show(network: &Network, corner: Corner) -> bool {
    let projection = Projection::new(corner, Scale(1));
    (0..network.nodes.len()).all(|node| {
        let ways = ways(network, NodeIx(node as u32));
        ways.iter().enumerate().all(|(place, a)| {
            ways[place + 1..].iter().all(|b| {
                let straight = a.dot(*b) < -0.999;
                let (on_a, on_b) = (projection.vector(*a), projection.vector(*b));
                let sine = on_a.cross(on_b) / (on_a.hypot() * on_b.hypot());
                straight || sine.abs() > 0.01
            })
        })
    })
}

/// Whether the pipes take up no more than a letter sheet, upright or across.
pub fn fits(network: &Network, corner: Corner, scale: Scale) -> bool {
    let projection = Projection::new(corner, scale);
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for node in &network.nodes {
        let at = projection.point(node.drawn());
        for (axis, value) in [at.x, at.y].into_iter().enumerate() {
            low[axis] = low[axis].min(value);
            high[axis] = high[axis].max(value);
        }
    }
    let [wide, high] = [high[0] - low[0], high[1] - low[1]];
    (wide <= ROOM[0] && high <= ROOM[1]) || (wide <= ROOM[1] && high <= ROOM[0])
}
