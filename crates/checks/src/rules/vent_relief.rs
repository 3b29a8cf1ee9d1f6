//! Very tall stacks have relief vents on the way.
//!
//! IPC 908.1, UPC 907.2 (yoke vents).

use super::vent_stack_needed::{intervals, leaves};
use crate::context::Context;
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-relief",
    title: "A very tall stack has a relief vent at every tenth branch interval from the top.",
    page: "Over many storeys the pressure in a stack swings so much that the vents at top and base cannot level it; relief (yoke) vents tie stack \
        and vent stack together on the way.\n\n\
        Branch intervals are counted from the highest branch down, as for `vent-stack-needed`; between two vents that leave the stack there \
        may be no more of them than the code names.\n\n\
        Stacks with no more intervals than the code names are not looked at. How high above the floor the relief vent joins the vent stack is not checked.",
    cite: |pack| keys::cite(pack, "relief.intervals-above"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let (Some(above), Some(every)) = (
        keys::number(context.pack, "relief.intervals-above"),
        keys::number(context.pack, "relief.every-intervals"),
    ) else {
        return;
    };
    for stack in &context.index.stacks {
        if f64::from(intervals(context, stack)) <= above {
            continue;
        }
        said.looked();
        let mut part = stack.clone();
        let mut worst = 0;
        // Inlets between one vent of the stack and the next.
        let mut since: Vec<_> = Vec::new();
        for &pipe in &stack.pipes {
            let node = context.pipe(pipe).from;
            if stack.inlets.contains(&node) {
                since.push(node);
            }
            if leaves(context, node) && node != stack.top {
                part.inlets = std::mem::take(&mut since);
                worst = worst.max(intervals(context, &part));
            }
        }
        part.inlets = since;
        worst = worst.max(intervals(context, &part));
        if f64::from(worst) <= every {
            continue;
        }
        let last = stack.pipes[stack.pipes.len() - 1];
        let message = format!(
            "stack {} has {worst} branch intervals without a relief vent between; {every} are the most",
            context.run(last)
        );
        said.breaks(
            context,
            At::Pipe(last),
            message,
            "tie stack and vent stack together with a relief vent at every tenth interval from the top",
        );
    }
}

#[cfg(test)]
mod tests {
    use super::super::vent_stack_needed::tests::tower;
    use crate::testing::whole;

    /// IPC 908.1: more than ten intervals.
    #[test]
    fn more_than_ten() {
        assert!(
            whole("ipc-2021", &tower(10, ""), "vent-relief")
                .findings
                .is_empty()
        );
        let said = whole("ipc-2021", &tower(11, ""), "vent-relief");
        assert_eq!(said.findings.len(), 1, "{said:#?}");
        assert!(
            said.findings[0].message.contains("11 branch intervals"),
            "{}",
            said.findings[0].message
        );
    }

    /// A vent off the stack at the second storey leaves ten above it.
    #[test]
    fn with_a_relief_vent() {
        let text = tower(11, "").replace(
            "up to l1 floor -1'\n",
            "up 5'\npoint YOKE\nup to l1 floor -1'\n",
        ) + "vent y\nstart YOKE\nsize 3\"\nup 6\" at 45 north\nup through roof\n";
        assert!(whole("ipc-2021", &text, "vent-relief").findings.is_empty());
    }
}
