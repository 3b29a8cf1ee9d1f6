//! Every gas appliance has a shut-off valve near it.
//!
//! IFGC 409.5, UPC 1212.6: in the same room, within 6 ft.

use wyeline_job::model::DeviceKind;
use wyeline_network::model::FixtureIx;

use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};
use crate::supply::Devices;

/// The rule.
pub static RULE: Rule = Rule {
    name: "gas-cock-missing",
    title: "Every gas appliance has a shut-off valve of its own near it.",
    page: "Whoever smells gas at the range has to be able to shut off the range without leaving the room.\n\n\
        Measured is the length of pipe from the appliance's gas port back to a `gas-cock` (or ball valve) on the part of the pipe that feeds \
        nothing else; up to 6 ft is allowed.\n\n\
        Whether a wall lies between the two is not looked at. Gas piping is designed and tested by a licensed fitter; this check is no test.",
    cite: |pack| limits::cite(pack, "gas-cock"),
    look,
};

pub(super) const COCKS: Devices = Devices::of(&[DeviceKind::GasCock, DeviceKind::BallValve]);

fn look(context: &Context, said: &mut Said) {
    let Some(within) = limits::limit(context.pack, "gas-cock") else {
        return;
    };
    let outlets = &context.supply().outlets;
    for (ix, fixture) in context.network.fixtures.iter().enumerate() {
        let ix = FixtureIx(ix as u32);
        let Some(node) = context.port(ix, "gas") else {
            continue;
        };
        if context.supply().feed[node.0 as usize].is_none() {
            continue;
        }
        said.looked();
        let tag = &fixture.tag;
        let mut length = 0.0;
        let mut at = context.device_at(node, COCKS).then_some(0.0);
        for (pipe, from) in context.own_supply(node) {
            if at.is_some() {
                break;
            }
            length += context.length(pipe);
            if outlets[from.0 as usize] <= 1 && context.device_at(from, COCKS) {
                at = Some(length);
            }
        }
        match at {
            Some(length) if length <= within.value + ALIKE => {}
            Some(length) => {
                let message = format!(
                    "the gas cock of {tag} is {} of pipe away from it; it may be {}",
                    context.show(length),
                    context.show(within.value)
                );
                let help = format!("move the `gas-cock` nearer to {tag}");
                said.breaks(context, At::Fixture(ix), message, help);
            }
            None => {
                let message = format!("no gas cock shuts off {tag} alone");
                let help = format!(
                    "put a `gas-cock` into the pipe that feeds only {tag}, within {} of it",
                    context.show(within.value)
                );
                said.breaks(context, At::Fixture(ix), message, help);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    /// The range's port lies at 20 ft, 4 in above the floor.
    fn told(way: &str) -> Tell {
        let body = format!(
            "fixture R gas-range main 20',0' faces north\n\
             gas g\nstart 0',0' main floor +4\"\nsize 3/4\"\n{way}east to abreast R.gas\nend R\n"
        );
        Tell::plain(&body, "gas-cock-missing")
    }

    /// 6 ft is the limit itself, an inch more too far.
    #[test]
    fn six_feet() {
        told("east 14'\ngas-cock\n").silent();
        told("east 18'\ngas-cock\n").silent();
        let far = told("east 13'11\"\ngas-cock\n");
        assert!(
            far.one().message.contains("is 6'-1\" of pipe away"),
            "{}",
            far.one().message
        );
    }

    #[test]
    fn no_cock() {
        assert!(
            told("")
                .one()
                .message
                .contains("no gas cock shuts off R alone")
        );
    }

    /// A cock before the branch of another appliance shuts off both.
    #[test]
    fn a_cock_for_two() {
        let body = "fixture R gas-range main 4',0' faces north\nfixture D gas-dryer main 8',0' faces north\n\
             gas g\nstart 0',0' main floor +4\"\nsize 3/4\"\neast 1'\ngas-cock\neast to abreast R.gas\ncatch R\n\
             east 1'\ngas-cock\neast to abreast D.gas\nend D\n";
        assert!(
            Tell::plain(body, "gas-cock-missing")
                .one()
                .message
                .contains("off R alone")
        );
    }
}
