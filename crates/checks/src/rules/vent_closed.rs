//! Every vent ends in the open air.
//!
//! IPC 901.2 and 903, UPC 906.1, Canada 2.5.6.5, EN 12056-2.

use wyeline_job::model::System;
use wyeline_network::model::{NodeIx, PipeIx};

use crate::context::Context;
use crate::finding::At;
use crate::index::is_end;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-closed",
    title: "Every vent ends in the open air, in a vent that does, or in an admittance valve.",
    page: "A vent that ends blind lets no air in or out: the traps on it have no vent.\n\n\
        Each vent is followed from its drain. Where it stops, it has to go through the roof, join another vent, go on beyond the drawing, or end \
        in an air admittance valve. A valve is told by a note at the end: `note \"AAV\"` or one with the word `admittance`.\n\n\
        A piece of vent that only joins two drains and reaches no open air is a finding as well; one by which a vent drips into a drain (the foot of an \
        island vent) is not. Existing vent is reported apart.",
    cite: |pack| keys::section(pack, "vent-closed"),
    look,
};

/// Whether a note at a node tells of an air admittance valve.
pub fn has_admittance_valve(context: &Context, node: NodeIx) -> bool {
    let note = context.node(node).note.as_ref();
    note.is_some_and(|note| {
        let note = note.to_ascii_lowercase();
        note.contains("aav") || note.contains("admittance")
    })
}

fn look(context: &Context, said: &mut Said) {
    for (ix, pipe) in context.pipes_of(System::Vent) {
        if context.vent_out(pipe.to).is_some() {
            continue;
        }
        said.looked();
        let node = context.node(pipe.to);
        let name = context.run(ix);
        if is_end(&node.kind) && !has_admittance_valve(context, pipe.to) {
            said.breaks(
                context,
                At::Node(pipe.to),
                format!("vent {name} ends closed: no air reaches it"),
                "carry it through the roof, join a vent that goes there, or tell of an air admittance valve with a note `AAV` where the code allows one",
            );
        } else if ends_in_drain(context, ix) && context.vent_out(pipe.from) == Some(ix) {
            said.breaks(
                context,
                At::Node(pipe.to),
                format!("vent {name} ends in a drain and reaches no open air"),
                "join it to a vent that goes through the roof",
            );
        }
    }
}

/// Whether a vent runs into a drain.
fn ends_in_drain(context: &Context, pipe: PipeIx) -> bool {
    let node = context.pipe(pipe).to;
    context.down(node).is_some() || context.drains_into(node).next().is_some()
}

#[cfg(test)]
mod tests {
    use crate::testing::{one, silent};

    fn vent(end: &str) -> String {
        format!(
            "fixture LAV lavatory main 5',5' faces south\n\
             waste d\nstart 5',0' main floor -1'\nsize 2\"\nnorth to abreast LAV.tee\nend LAV\n\
             vent v\nstart LAV.tee\nsize 1-1/2\"\nup 3'\n{end}\n"
        )
    }

    #[test]
    fn capped() {
        let found = one(&vent("cap"), "vent-closed");
        assert_eq!(found.message, "vent v ends closed: no air reaches it");
    }

    #[test]
    fn through_the_roof_or_beyond_the_drawing() {
        silent(&vent("up through roof"), "vent-closed");
        silent(&vent("continues \"to the attic\""), "vent-closed");
    }

    #[test]
    fn with_an_admittance_valve() {
        silent(&vent("note \"AAV in the cabinet\"\ncap"), "vent-closed");
        silent(&vent("note \"air admittance valve\"\ncap"), "vent-closed");
    }
}
