//! The derivation of a gas pipe's size.
//!
//! In: one pipe. Out: heat carried, flow, length that counts, and the line of the table.

use wyeline_job::Job;
use wyeline_job::model::GasMethod;
use wyeline_network::Network;
use wyeline_network::model::PipeIx;

use super::{asked, figure, length, plain};
use crate::gas::BTU_H;
use crate::model::{Governs, Sized, Step};

pub(super) fn steps(job: &Job, network: &Network, sized: &Sized, ix: PipeIx) -> Vec<Step> {
    let result = &sized.pipes[ix.0 as usize];
    let mut steps = vec![plain(format!(
        "appliances beyond it take in {} Btu/h",
        figure((result.load.gas_w / BTU_H).round())
    ))];
    if let Governs::Table { carries, .. } = &result.governs {
        steps.push(plain(format!(
            "at the heating value taken that is {} cubic feet an hour",
            figure(*carries)
        )));
    }
    if let Some(developed) = result.developed_mm {
        let which = if job.design.methods.gas == Some(GasMethod::BranchLength) {
            "branch-length method: the length to the farthest outlet that it feeds"
        } else {
            "longest-length method: the length to the farthest outlet of all"
        };
        steps.push(plain(format!(
            "{which} is {}, read at the next length of the table, with what fittings add in sections that have as many as the code counts from",
            length(developed, network.units)
        )));
    }
    if let Some(needed) = result.needed {
        steps.push(asked(network, &(needed, result.governs.clone()), true));
    }
    steps.push(plain(
        "computed from the table for a licensed fitter to verify".to_owned(),
    ));
    steps
}
