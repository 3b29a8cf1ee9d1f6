//! The least drain of a water closet.
//!
//! IPC 710, UPC Table 703.2, EN 12056-2 Table 11, Canada 2.4.9.

use wyeline_job::model::System;
use wyeline_sizing::Role;

use crate::context::{Context, smaller};
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "drain-closet-least",
    title: "Every drain with a water closet upstream is at least as large as the code asks for one.",
    page: "What a closet passes gets stuck in a smaller pipe, whatever the table of units says.\n\n\
        Each stated size downstream of a closet is compared with the least that the code names: for branches, for stacks, and for the building \
        drain, as the pipe's part in the system is.\n\n\
        A piece without a stated size is given the least the code allows.",
    cite: |pack| {
        keys::cite(pack, "drain.closet-branch-least")
            .or_else(|| keys::cite(pack, "drain.closet-building-drain-least"))
    },
    look,
};

fn look(context: &Context, said: &mut Said) {
    let branch = keys::size(context.pack, "drain.closet-branch-least");
    let stack = keys::size(context.pack, "drain.closet-stack-least");
    let drain = keys::size(context.pack, "drain.closet-building-drain-least");
    for (ix, pipe) in context.pipes_of(System::Waste) {
        let upstream = context.index.upstream[ix.0 as usize];
        let Some(size) = pipe.size.filter(|_| upstream.closets > 0) else {
            continue;
        };
        let least = match context.role(ix) {
            Role::Stack => stack.as_ref().or(branch.as_ref()),
            Role::BuildingDrain | Role::BuildingSewer => drain.as_ref().or(branch.as_ref()),
            _ => branch.as_ref(),
        };
        let Some(least) = least else {
            continue;
        };
        said.looked();
        if !smaller(size, least.value) {
            continue;
        }
        // Said once, at the piece into which the first closet comes.
        let before = context.drains_into(pipe.from).any(|into| {
            context.index.upstream[into.0 as usize].closets > 0
                && context.pipe(into).size == Some(size)
        });
        if before {
            continue;
        }
        let message = format!(
            "{} is {size} with a water closet upstream; it has to be {} at least",
            context.run(ix),
            least.value
        );
        let help = format!("lay {} from the closet down to the sewer", least.value);
        said.breaks(context, At::Pipe(ix), message, help)
            .by(&least.cite);
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, one, silent};

    fn drain(kind: &str, size: &str) -> String {
        format!(
            "fixture F {kind} main 5',2' faces south\n\
             waste d\nstart 0',0' main floor -3'\nsize {size}\neast to abreast F.drain\nend F\n"
        )
    }

    /// 3 in.
    #[test]
    fn three_inch() {
        let found = one(&drain("water-closet", "2\""), "drain-closet-least");
        assert!(found.message.contains("has to be 3\""), "{}", found.message);
        silent(&drain("water-closet", "3\""), "drain-closet-least");
        silent(&drain("water-closet", "4\""), "drain-closet-least");
    }

    #[test]
    fn without_a_closet() {
        assert!(fires(&drain("floor-drain", "2\""), "drain-closet-least").is_empty());
    }
}
