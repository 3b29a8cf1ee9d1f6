//! Drains through which the air of other traps comes: wet vents.
//!
//! In: trap arms, each with the point where its vent leaves a drain and the point where the air reaches it. Out: the
//! drains between the two.

use wyeline_network::Network;
use wyeline_network::arms::TrapArm;
use wyeline_network::model::PipeIx;

use super::tree::Tree;
use crate::model::{PipeResult, Role};

/// Which drains are wet vents.
pub(crate) struct Wet {
    /// For each pipe, whether it is one.
    vents: Vec<bool>,
}

impl Wet {
    /// Marks the drains in use between the point where a vent leaves and those where its air reaches a trap.
    /// Stacks are no wet vents: their fixtures are vented apart, or by the stack itself.
    pub fn of(network: &Network, tree: &Tree, arms: &[TrapArm], pipes: &[PipeResult]) -> Self {
        // Every vented arm begins where its vent leaves and ends where its air arrives, downstream of that.
        let mut open = vec![0_i32; network.nodes.len()];
        for vent in arms.iter().filter_map(|arm| arm.vent) {
            if vent.at != vent.from {
                open[vent.from.0 as usize] += 1;
                open[vent.at.0 as usize] -= 1;
            }
        }
        let mut vents = vec![false; network.pipes.len()];
        let mut passing = open;
        for &ix in &tree.order {
            let pipe = network.pipe(ix);
            let through = passing[pipe.from.0 as usize];
            let result = &pipes[ix.0 as usize];
            vents[ix.0 as usize] =
                through > 0 && result.load.drain > 0.0 && result.role != Role::Stack;
            passing[pipe.to.0 as usize] += through;
        }
        Self { vents }
    }

    /// Whether air comes down this drain to other traps.
    pub fn vents(&self, pipe: PipeIx) -> bool {
        self.vents[pipe.0 as usize]
    }
}
