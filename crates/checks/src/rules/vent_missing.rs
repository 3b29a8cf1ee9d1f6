//! A vent for every trap.
//!
//! IPC 901.2.1, UPC 901.2, Canada 2.5.1.1. EN 12056-2 lets branches go without, within limits: see `vent-unventilated-branch`.

use wyeline_network::model::NodeKind;

use crate::context::Context;
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-missing",
    title: "Every trap has a vent.",
    page: "When water rushes down a pipe it draws air behind it and pushes air before it. Without a vent that air comes through the traps.\n\n\
        Going down the drain from each trap, air has to reach it: by a vent pipe, by a stack that goes on as its vent, or by a drain \
        that itself has a vent upstream.\n\n\
        Not checked is a trap whose drain runs into existing pipe, or comes together with a drain that goes on beyond the drawing: their vents are \
        not drawn. Floor drains, sinks and lavatories may do with one vent for all where the code has combination drains and vents: \
        `vent-combination`.",
    cite: |pack| keys::section(pack, "vent-missing"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    for arm in &context.arms {
        let at = At::Fixture(arm.fixture);
        if arm.vent.is_some() {
            said.looked();
            continue;
        }
        let existing = |pipe| context.pipe(pipe).existing;
        let into_existing =
            !context.fixture(arm.fixture).existing && context.downstream(arm.trap).any(existing);
        if into_existing {
            said.unknown(
                at,
                "its drain runs into existing pipe, whose vents are not drawn",
            );
            continue;
        }
        let beyond = context.downstream(arm.trap).any(|pipe| {
            let mut into = context.drains_into(context.pipe(pipe).to);
            into.any(|other| {
                matches!(
                    context.node(context.pipe(other).from).kind,
                    NodeKind::Continues { .. }
                )
            })
        });
        if beyond {
            said.unknown(
                at,
                "a drain that goes on beyond the drawing comes in, and may be vented there",
            );
            continue;
        }
        said.looked();
        let tag = context.tag(arm.fixture);
        let help = if combination(context, arm) {
            format!(
                "take a vent off near {tag}, or lay its drain as a combination drain and vent with one vent for all, where the authority lets this fixture be on one"
            )
        } else {
            format!("take a vent off near {tag}, or drain it into a pipe that is vented upstream")
        };
        said.breaks(context, at, format!("the trap of {tag} has no vent"), help);
    }
}

/// Whether the code has combination drains and vents, and the fixture is of a kind that may be on one.
fn combination(context: &Context, arm: &wyeline_network::arms::TrapArm) -> bool {
    use crate::kind::Kind;
    let kind = context.kind(arm.fixture);
    let may = kind.is_sink() || matches!(kind, Kind::FloorDrain | Kind::DrinkingFountain);
    may && keys::cite(context.pack, "combination.slope-most").is_some()
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, one, silent, unchecked};

    const LAVATORY: &str = "fixture LAV lavatory main 5',5' faces south\n\
         waste d\nstart 5',0' main floor -1'\nsize 2\"\nEXTRA\nnorth to abreast LAV.tee\nend LAV\n";

    #[test]
    fn a_lavatory_without() {
        let found = one(&LAVATORY.replace("EXTRA\n", ""), "vent-missing");
        assert_eq!(found.message, "the trap of LAV has no vent");
        assert!(found.help.contains("combination"), "{}", found.help);
    }

    #[test]
    fn a_lavatory_with() {
        let body = LAVATORY.replace("EXTRA\n", "")
            + "vent v\nstart LAV.tee\nsize 1-1/2\"\nup through roof\n";
        silent(&body, "vent-missing");
    }

    /// A vent on the branch downstream of the arm is one, however far: its distance is another rule's.
    #[test]
    fn a_vent_downstream() {
        let body = LAVATORY.replace("EXTRA", "north 1'\npoint P")
            + "vent v\nstart P\nsize 1-1/2\"\nup through roof\n";
        silent(&body, "vent-missing");
    }

    /// Into existing pipe: the vents of that are not drawn.
    #[test]
    fn into_existing_pipe() {
        let body = LAVATORY.replace("EXTRA", "existing\nnorth 1'\nnew");
        assert!(fires(&body, "vent-missing").is_empty());
        assert_eq!(unchecked(&body, "vent-missing").len(), 1);
    }
}
