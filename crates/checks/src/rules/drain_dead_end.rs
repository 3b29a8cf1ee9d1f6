//! No dead ends in drains.
//!
//! IPC 704.5.

use wyeline_job::model::System;
use wyeline_network::model::NodeKind;

use crate::context::Context;
use crate::finding::At;
use crate::keys;
use crate::measure::has_cleanout;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "drain-dead-end",
    title: "No drain ends blind, apart from cleanouts and what is left for a future fixture.",
    page: "Solids wash back into a blind end and stay there.\n\n\
        Looked at is every drain whose upstream end is capped or left open. It needs a cleanout at that end, or a note with the word `future`, \
        which says that a fixture is to come.\n\n\
        A drain that goes on beyond the drawing has no end here. A stack that is capped where its vent goes on is no dead end.",
    cite: |pack| keys::section(pack, "drain-dead-end"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    for (ix, pipe) in context.pipes_of(System::Waste) {
        let node = context.node(pipe.from);
        if node.pipes.len() != 1 || !matches!(node.kind, NodeKind::Cap | NodeKind::Loose) {
            continue;
        }
        said.looked();
        let future = node
            .note
            .as_ref()
            .is_some_and(|note| note.to_ascii_lowercase().contains("future"));
        // A cleanout may sit at the end or anywhere on the extension that leads to it.
        let mut cleanout = has_cleanout(context, pipe.from);
        for on in context.downstream(pipe.from) {
            let to = context.pipe(on).to;
            if cleanout
                || context.node(to).pipes.len() > 2
                || context.index.upstream[on.0 as usize].fixtures > 0
            {
                break;
            }
            cleanout |= has_cleanout(context, to);
        }
        if future || cleanout {
            continue;
        }
        said.breaks(
            context,
            At::Node(pipe.from),
            format!("{} ends blind", context.run(ix)),
            "take it off, set a cleanout at its end, or say `note \"future …\"` there if a fixture is to come",
        );
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, one, silent};

    fn branch(end: &str) -> String {
        format!(
            "fixture FD floor-drain main 9',2' faces south\n\
             waste d\nstart 0',0' main floor -2'\nsize 3\"\neast 3'\npoint J\neast to abreast FD.drain\nend FD\n\
             waste b\nstart J\nsize 3\"\nnorth 4'\n{end}\n"
        )
    }

    #[test]
    fn capped() {
        let found = one(&branch("cap"), "drain-dead-end");
        assert_eq!(found.message, "b ends blind");
    }

    #[test]
    fn a_cleanout_or_a_future_fixture() {
        silent(&branch("cleanout CO1\ncap"), "drain-dead-end");
        silent(&branch("note \"for a future bath\"\ncap"), "drain-dead-end");
    }

    #[test]
    fn beyond_the_drawing() {
        assert!(fires(&branch("continues \"to the shed\""), "drain-dead-end").is_empty());
    }
}
