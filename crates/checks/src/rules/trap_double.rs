//! No trap empties into another trap.
//!
//! IPC 1002.1, UPC 1004.1, Canada 2.4.5.1.

use wyeline_job::model::System;
use wyeline_network::model::{NodeIx, NodeKind};

use crate::context::Context;
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "trap-double",
    title: "No fixture drains through two traps.",
    page: "Air shut in between two traps stops the flow and blows one of them.\n\n\
        Looked at is every trap: none of what flows into it through pipe may have passed a trap before. A fixture trapped in itself \
        counts as well.\n\n\
        What empties into a receptor through an air gap is not joined by pipe and breaks nothing.",
    cite: |pack| keys::section(pack, "trap-double"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    for (ix, node) in context.network.nodes.iter().enumerate() {
        let here = NodeIx(ix as u32);
        let trap = node.kind == NodeKind::Trap && node.system == System::Waste;
        let Some(fixture) = node.fixture.filter(|_| trap) else {
            continue;
        };
        said.looked();
        for into in context.drains_into(here) {
            let Some(other) = context.index.upstream[into.0 as usize].one else {
                continue;
            };
            let message = format!(
                "{} drains through two traps: its own and that of {}",
                context.tag(other),
                context.tag(fixture)
            );
            let help = format!(
                "join {} to the drain downstream of the trap of {}, or let it empty into a receptor through an air gap",
                context.tag(other),
                context.tag(fixture)
            );
            let span = context.span(At::Fixture(other));
            said.breaks(context, At::Node(here), message, help)
                .note(span, "this fixture has a trap of its own");
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{one, silent};

    /// A closet, trapped in itself, whose drain runs into the pipe above the trap of a floor drain.
    #[test]
    fn a_closet_into_the_trap_of_a_floor_drain() {
        let found = one(
            "fixture FD floor-drain cellar 5',0' faces east\nfixture WC water-closet main 9',1' faces south\n\
             waste d\nstart 0',0' cellar floor -3'\nsize 3\"\neast to abreast FD.drain\nend FD\n\
             waste w\nstart FD.drain\nsize 3\"\nup 1'\neast to abreast WC.drain\nend WC\n",
            "trap-double",
        );
        assert!(
            found.message.contains("WC drains through two traps"),
            "{}",
            found.message
        );
    }

    /// Both on one drain, each behind its own trap only.
    #[test]
    fn each_its_own() {
        silent(
            "fixture FD floor-drain main 5',1' faces east\nfixture WC water-closet main 9',1' faces south\n\
             waste d\nstart 0',0' main floor -3'\nsize 3\"\neast to abreast FD.drain\ncatch FD\neast to abreast WC.drain\nend WC\n",
            "trap-double",
        );
    }
}
