//! Names what stands at every node: from the directions, flow, systems and sizes of the pipes that meet
//! there to the fittings a plumber would use, lawful for that change of direction by the code in force.
//!
//! Sources: IPC 2021 Table 706.3 and UPC 2021 section 706 as the code packs hold them; the places of fittings
//! by common practice.

mod bend;
mod branch;
mod build;
mod ends;
mod inline;
mod law;
mod pressure;
mod terminal;
mod told;

use std::collections::HashSet;

use wyeline_codes::Pack;
use wyeline_job::{Diagnostic, Job};
use wyeline_network::Network;
use wyeline_network::arms::TrapArm;
use wyeline_network::model::{NodeIx, PipeIx};
use wyeline_sizing::Sized;

use crate::model::{Finding, Joint, Stuff};
use crate::shelf::Shelf;

pub(crate) use ends::{End, ends};
pub use law::{Law, Verdict};

/// What naming rests on.
pub struct Given<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its network, with sizes.
    pub network: &'a Network,
    /// The code in force and what it says of each pipe, where there is one.
    pub code: Option<(&'a Pack, &'a Sized)>,
    /// Dimensions.
    pub shelf: &'a Shelf,
    /// For each pipe what it is made of.
    pub stuff: &'a [Stuff],
}

/// What is known of the whole network before its nodes are named one by one.
pub(crate) struct Ground<'a> {
    pub given: &'a Given<'a>,
    pub law: Law<'a>,
    /// Arms of traps by the pipe that ends them, for arms whose vent is where they end.
    arm_ends: HashSet<PipeIx>,
    /// Pipes that carry the waste of a closet.
    closets: HashSet<PipeIx>,
}

impl<'a> Ground<'a> {
    fn of(given: &'a Given<'a>) -> Self {
        let arms: Vec<TrapArm> = given.network.trap_arms();
        let vented_here = |arm: &&TrapArm| arm.vent.is_some_and(|vent| vent.at == arm.joins);
        let arm_ends = arms
            .iter()
            .filter(vented_here)
            .filter_map(|arm| arm.pipes.last().copied())
            .collect();
        let is_closet = |arm: &&TrapArm| {
            let fixture = &given.network.fixtures[arm.fixture.0 as usize];
            fixture.kind == "water-closet"
        };
        let closets = arms
            .iter()
            .filter(is_closet)
            .flat_map(|arm| arm.pipes.iter().copied())
            .collect();
        Self {
            given,
            law: Law::new(given, &arms),
            arm_ends,
            closets,
        }
    }

    /// The pipe is the last of a trap arm that takes its vent where it ends.
    pub fn is_arm_end(&self, pipe: PipeIx) -> bool {
        self.arm_ends.contains(&pipe)
    }

    /// The pipe drains a closet alone.
    pub fn drains_closet(&self, pipe: PipeIx) -> bool {
        self.closets.contains(&pipe)
    }
}

/// What stands at each node, in the network's order, and what no stock fitting makes.
///
/// The cost grows with the pipes.
pub fn joints(given: &Given) -> (Vec<Joint>, Vec<Finding>) {
    let ground = Ground::of(given);
    let mut findings = Vec::new();
    let joints = (0..given.network.nodes.len() as u32)
        .map(|ix| joint(&ground, NodeIx(ix), &mut findings))
        .collect();
    (joints, findings)
}

/// Words of the job that name no fitting.
pub(crate) fn unknown(job: &Job) -> Vec<Diagnostic> {
    told::unknown(job)
}

/// What stands at one node.
fn joint(ground: &Ground, node: NodeIx, findings: &mut Vec<Finding>) -> Joint {
    let ends = ends(ground.given, node);
    let mut build = build::Build::new(ground, node, &ends, findings);
    match ends.as_slice() {
        [] => {}
        [end] => terminal::one(&mut build, end),
        [a, b] => {
            if ends.iter().all(|end| end.system.drains() || end.dry) {
                inline::drain(&mut build, a, b);
            } else {
                pressure::two(&mut build, a, b);
            }
        }
        _ if ends.iter().all(|end| end.system.drains() || end.dry) => branch::drain(&mut build),
        _ => pressure::branch(&mut build),
    }
    build.done()
}
