//! Which traps take their air by which vent, and by which drains in use the air comes down to them.

use wyeline_network::arms::TrapArm;
use wyeline_network::model::{NodeIx, PipeIx};
use wyeline_sizing::Airs;

use crate::context::Context;
use crate::index::Upstream;
use crate::kind::Kind;

/// All traps that take their air by one vent.
#[derive(Clone, Debug)]
pub struct Group {
    /// The vent pipe.
    pub vent: PipeIx,
    /// Where it leaves the drain.
    pub from: NodeIx,
    /// The traps, by their place in the list of arms.
    pub arms: Vec<u32>,
    /// Drains in use by which the air comes down from the vent to the last of the traps, in the order of flow;
    /// empty where every trap has its vent at its own drain, or only an unused head of a stack lies between.
    pub wet: Vec<PipeIx>,
}

/// How the drains of a group lead air.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// Each trap has the vent at its own drain.
    Dry,
    /// Two traps at two heights of a plumb drain: a common vent.
    Common,
    /// Fixtures of other storeys drain through it: the stack itself is the vent.
    Stack,
    /// A level branch, vented between its two most upstream fixtures.
    Circuit,
    /// A wet vent.
    Wet,
    /// A stack without closets that vents itself.
    WasteStack,
    /// A level drain of sinks and floor drains that vents itself.
    Combination,
}

impl Group {
    /// How its drains lead air, as sizing tells them apart.
    pub fn way(&self, context: &Context) -> Way {
        let airs = |pipe| context.result(pipe).and_then(|result| result.airs);
        let Some(&last) = self.wet.last() else {
            // The one vent of a combination drain may stand at its downstream end.
            let shared = context.drains_into(self.from).any(|pipe| {
                airs(pipe) == Some(Airs::Combination)
                    && context.index.upstream[pipe.0 as usize].fixtures > 1
            });
            return if shared { Way::Combination } else { Way::Dry };
        };
        match airs(last) {
            Some(Airs::Common) => Way::Common,
            Some(Airs::Circuit) => Way::Circuit,
            Some(Airs::WasteStack) => Way::WasteStack,
            Some(Airs::Combination) => Way::Combination,
            Some(Airs::Wet) => Way::Wet,
            Some(Airs::Stack) | None => Way::Stack,
        }
    }

    /// Water closets among its fixtures.
    pub fn closets(&self, context: &Context) -> usize {
        let arms = self.arms.iter();
        arms.filter(|&&arm| context.kind(context.arms[arm as usize].fixture) == Kind::Closet)
            .count()
    }

    /// Its arms.
    pub fn arms<'c>(&'c self, context: &'c Context) -> impl Iterator<Item = &'c TrapArm> {
        self.arms.iter().map(|&arm| &context.arms[arm as usize])
    }
}

/// Groups the arms by their vents, in the order of the vents.
///
/// * `down`: for each node the drain that leads on
/// * `upstream`: for each pipe what drains through it
/// * `to`: where a pipe ends
pub fn groups(
    arms: &[TrapArm],
    down: &[Option<PipeIx>],
    upstream: &[Upstream],
    to: impl Fn(PipeIx) -> NodeIx,
) -> Vec<Group> {
    let mut order: Vec<(PipeIx, u32)> = arms
        .iter()
        .enumerate()
        .filter_map(|(at, arm)| arm.vent.map(|vent| (vent.pipe, at as u32)))
        .collect();
    order.sort_unstable();
    let mut groups = Vec::new();
    let mut wait: Vec<NodeIx> = Vec::new();
    for members in order.chunk_by(|a, b| a.0 == b.0) {
        let Some(vent) = arms[members[0].1 as usize].vent else {
            continue;
        };
        wait.clear();
        wait.extend(
            members
                .iter()
                .filter_map(|(_, arm)| arms[*arm as usize].vent.map(|vent| vent.at))
                .filter(|&at| at != vent.from),
        );
        let mut wet = Vec::new();
        let mut here = vent.from;
        // A mistaken network may hold a ring: no line is longer than all pipes.
        let mut left = upstream.len();
        while !wait.is_empty() && left > 0 {
            let Some(pipe) = down[here.0 as usize] else {
                break;
            };
            if upstream[pipe.0 as usize].fixtures > 0 {
                wet.push(pipe);
            }
            here = to(pipe);
            wait.retain(|&at| at != here);
            left -= 1;
        }
        groups.push(Group {
            vent: vent.pipe,
            from: vent.from,
            arms: members.iter().map(|&(_, arm)| arm).collect(),
            wet,
        });
    }
    groups
}
