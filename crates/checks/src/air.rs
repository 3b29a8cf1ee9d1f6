//! Which traps take their air by which vent, and by which drains in use the air comes down to them.

use wyeline_network::arms::TrapArm;
use wyeline_network::model::{NodeIx, PipeIx};

use crate::context::{Context, is_level};
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
}

impl Group {
    /// How its drains lead air.
    pub fn way(&self, context: &Context) -> Way {
        let arms = || self.arms.iter().map(|&arm| &context.arms[arm as usize]);
        let (Some(&first), Some(&last)) = (self.wet.first(), self.wet.last()) else {
            return Way::Dry;
        };
        let level = context.index.upstream[last.0 as usize].level;
        if level.is_none() || arms().any(|arm| Some(context.fixture(arm.fixture).level) != level) {
            return Way::Stack;
        }
        let upstream = context.index.upstream[last.0 as usize];
        let plumb = self.wet.iter().all(|&pipe| !is_level(context.pipe(pipe)));
        if plumb && upstream.fixtures == 1 && self.arms.len() == 2 {
            return Way::Common;
        }
        // Apart from its first pipe a wet vent may have plumb pieces; a circuit is level throughout.
        let flat = self.wet.iter().all(|&pipe| is_level(context.pipe(pipe)));
        // Floor drains alone are no bathroom.
        let of_bathroom = arms().all(|arm| context.kind(arm.fixture).of_bathroom())
            && arms().any(|arm| context.kind(arm.fixture) != Kind::FloorDrain);
        let on_branch = context.index.upstream[first.0 as usize].fixtures >= 1
            && context
                .drains_into(self.from)
                .any(|into| is_level(context.pipe(into)));
        if flat && on_branch && self.arms.len() >= 3 && (!of_bathroom || self.closets(context) > 2)
        {
            return Way::Circuit;
        }
        Way::Wet
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
