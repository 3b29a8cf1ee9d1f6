//! The derivation of a vent's size.
//!
//! In: one vent. Out: what it vents, the drain that its size goes by, its developed length, and what decided.

use wyeline_codes::Pack;
use wyeline_job::Job;
use wyeline_network::Network;
use wyeline_network::model::PipeIx;

use super::{asked, drains_again, figure, length, plain};
use crate::model::{Role, Sized, Step};
use crate::vent;

pub(super) fn steps(
    job: &Job,
    network: &Network,
    pack: &Pack,
    sized: &Sized,
    ix: PipeIx,
) -> Vec<Step> {
    let (drains, scratch) = drains_again(job, network, pack);
    let result = &sized.pipes[ix.0 as usize];
    let mut steps = vec![plain(role_words(result.role).to_owned())];
    let Some((air, asked_of)) = vent::asked(job, network, pack, &drains, &scratch.pipes, ix) else {
        steps.push(plain("it leads from no drain to the open air".to_owned()));
        return steps;
    };
    let unit = pack.drain_unit();
    match (air.stack, air.drain) {
        (Some(stack), _) => steps.push(plain(format!(
            "it vents {} {unit} of a {stack} stack",
            figure(air.units)
        ))),
        (None, Some(drain)) => steps.push(plain(format!(
            "it vents {} {unit}; the largest drain required among them is {drain}",
            figure(air.units)
        ))),
        (None, None) => {}
    }
    let ends = if matches!(air.role, Role::StackVent | Role::VentStack) {
        "to the open air"
    } else {
        "to a stack vent, a vent stack or the open air"
    };
    steps.push(plain(format!(
        "its developed length, from the farthest drain {ends}, is {}, {} of it level",
        length(air.developed_mm, network.units),
        length(air.level_mm, network.units)
    )));
    match asked_of {
        Ok(wants) => {
            for want in wants.all() {
                let decided = result.needed == Some(want.0) && result.governs == want.1;
                steps.push(asked(network, want, decided));
            }
        }
        Err(none) => steps.push(Step {
            text: none.asked,
            cite: Some(none.cite),
            governs: true,
        }),
    }
    steps
}

fn role_words(role: Role) -> &'static str {
    match role {
        Role::IndividualVent => "individual vent: it vents one trap",
        Role::BranchVent => "branch vent: it vents several traps, or a drain by itself",
        Role::StackVent => "stack vent: the stack goes on in it above its highest drain",
        Role::VentStack => "vent stack: it rises beside a stack from its base",
        Role::ReliefVent => "relief vent: it lets air into a stack between base and top",
        Role::CircuitVent => "circuit vent: it vents the fixtures along a level branch",
        _ => "vent",
    }
}
