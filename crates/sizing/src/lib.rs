//! Loads, sizes, pressures and their reasons for a network, by a published code.
//!
//! In: a network, a code pack and the conditions of the job. Out: a [`Sized`] network, by pipe and by fixture;
//! every figure can be walked back to the line of the table that gave it. Nothing is judged here: that is
//! the business of the checks.

pub mod conditions;
mod definitions;
mod drain;
pub mod falls;
mod gas;
pub mod ground;
pub mod model;
mod ranks;
pub mod rests;
mod vent;
pub mod water;
mod why;

use wyeline_codes::Pack;
use wyeline_job::Job;
use wyeline_network::Network;
use wyeline_network::model::PipeIx;

pub use conditions::{Assumed, Conditions};
pub use model::{
    Airs, Budget, BudgetRow, ExpansionTank, FixtureResult, Gap, GapAt, Governs, HeaterResult, Load,
    PipeResult, Role, RoofVents, Sized, Step, WaterResult, WaterSummary,
};
pub use ranks::at_least;
pub use rests::Unverified;

/// Sizes a network by a code.
///
/// Never fails: what cannot be worked out is told in [`Sized::gaps`]. The cost grows with the pipes.
pub fn size(job: &Job, network: &Network, pack: &Pack) -> Sized {
    let mut sized = Sized {
        code: pack.id().to_owned(),
        unverified: rests::unverified(job, network),
        pipes: vec![PipeResult::default(); network.pipes.len()],
        fixtures: vec![FixtureResult::default(); network.fixtures.len()],
        ..Sized::default()
    };
    let drains = drain::size(job, network, pack, &mut sized);
    vent::size(job, network, pack, &drains, &mut sized);
    gas::size(job, network, pack, &mut sized);
    water::size(job, network, pack, &mut sized);
    sized
}

/// The whole derivation of one pipe's size, step by step.
///
/// The cost grows with the pipes of the network: everything is worked out again for the one that is asked for.
pub fn why(job: &Job, network: &Network, pack: &Pack, sized: &Sized, pipe: PipeIx) -> Vec<Step> {
    why::steps(job, network, pack, sized, pipe)
}

/// The place in the text that concerns the job as a whole: where it names its code, else its name.
pub(crate) fn job_span(job: &Job) -> wyeline_job::Span {
    let code = job.code.as_ref().map(|code| code.span);
    let name = job.title.job.as_ref().map(|name| name.span);
    code.or(name).unwrap_or_default()
}
