//! Drains: loads, roles and sizes, from the fixtures down to the sewer.
//!
//! In: a network and a code. Out: role, load, least size and what decided it, for every drain. Sizes never fall
//! below the trap, nor downstream. Start at [`size`]; the parts are told in the order of the passes.

pub(crate) mod airing;
pub(crate) mod combination;
pub(crate) mod en;
pub(crate) mod group;
pub(crate) mod line;
pub(crate) mod load;
pub(crate) mod pick;
pub(crate) mod role;
pub(crate) mod sizes;
pub(crate) mod tree;
pub(crate) mod upstream;
pub(crate) mod wants;
mod waste_stack;

use wyeline_codes::{Family, Pack};
use wyeline_job::Job;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::arms::TrapArm;
use wyeline_network::model::{FixtureIx, PipeIx};
use wyeline_units::Size;

use crate::definitions::definitions;
use crate::model::{Gap, GapAt, Load, Role, Sized};
use airing::Airing;
use line::Lines;
use load::{Known, Loads};
use tree::Tree;

/// What the sizes of drains rest on; vents ask it too.
pub(crate) struct Drains {
    /// Waste pipes by flow.
    pub tree: Tree,
    /// Vertical lines.
    pub lines: Lines,
    /// Loads of fixtures.
    pub loads: Loads,
    /// Trap arms with their vents.
    pub arms: Vec<TrapArm>,
    /// Drains through which others are vented.
    pub airing: Airing,
    /// For each pipe the fixture that alone drains through it.
    sole: Vec<Option<FixtureIx>>,
    /// For each pipe the size that its load requires, with all pipes upstream as their loads require.
    required: Vec<Option<Size>>,
}

impl Drains {
    /// What is known of the fixture that alone drains through a pipe.
    pub fn sole(&self, pipe: PipeIx) -> Option<&Known> {
        self.loads.fixture(self.sole[pipe.0 as usize]?)
    }

    /// The size that a drain's load requires, whatever sizes are stated upstream: vents go by that.
    pub fn required(&self, pipe: PipeIx) -> Option<Size> {
        self.required[pipe.0 as usize]
    }
}

/// Sizes all drains.
pub(crate) fn size(job: &Job, network: &Network, pack: &Pack, sized: &mut Sized) -> Drains {
    let tree = Tree::of(network, System::Waste);
    let mut lines = Lines::of(network, &tree);
    let sole = role::tell(network, &tree, &mut lines, &mut sized.pipes);
    for (result, pipe) in sized.pipes.iter_mut().zip(&network.pipes) {
        if pipe.system == System::Storm {
            result.role = Role::Storm;
        }
    }
    let loads = Loads::of(job, network, pack, &tree, sized);
    let mut largest = vec![0.0_f64; network.pipes.len()];
    loads.sum(network, pack, &tree, sized, |sized, ix, flowing| {
        largest[ix.0 as usize] = flowing.largest;
        sized.pipes[ix.0 as usize].load = Load {
            drain: flowing.units(),
            closets: flowing.closets,
            continuous_lps: flowing.continuous_lps,
            ..Load::default()
        };
    });
    let pipes = &sized.pipes;
    lines.fill(
        network,
        &tree,
        |ix: PipeIx| pipes[ix.0 as usize].load.drain,
        |ix: PipeIx| pipes[ix.0 as usize].role == Role::StackOffset,
        definitions().branch_interval.value,
    );
    let arms = network.trap_arms();
    let airing = Airing::of(network, pack, (&tree, &lines), &arms, &sole, &sized.pipes);
    tell_airing(network, &airing, sized);
    let mut drains = Drains {
        tree,
        lines,
        loads,
        arms,
        airing,
        sole,
        required: Vec::new(),
    };
    drains.required = match pack.family() {
        Family::En => en::size(job, network, pack, &drains, &largest, sized),
        Family::DfuIpc | Family::DfuUpc => sizes::size(network, pack, &drains, sized),
    };
    for (result, required) in sized.pipes.iter_mut().zip(&drains.required) {
        result.required = *required;
    }
    drains
}

/// Notes how drains give air, and what of that the code holds nothing of.
fn tell_airing(network: &Network, airing: &Airing, sized: &mut Sized) {
    for (at, result) in sized.pipes.iter_mut().enumerate() {
        result.airs = airing.airs(PipeIx(at as u32));
    }
    for (pipe, none) in &airing.missing {
        sized.gaps.push(Gap {
            at: GapAt::Pipe(*pipe),
            why: none.to_string(),
            help: none.help.clone(),
            span: network.pipe(*pipe).span,
        });
    }
}
