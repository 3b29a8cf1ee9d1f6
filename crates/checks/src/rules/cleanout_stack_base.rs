//! A cleanout at the base of each stack.
//!
//! IPC 2012 708.3.4 and local adoptions, Canada 2.4.7.1. Asked where the code in force says so.

use super::cleanout_distance::next_cleanout_up;
use crate::context::Context;
use crate::finding::At;
use crate::keys;
use crate::measure::has_cleanout;
use crate::rule::{Rule, Said};

/// How far up a stack its cleanout is still at its base, mm: within reach of a person standing there, 4 ft. Common practice.
const IN_REACH: f64 = 4.0 * 304.8;

/// The rule.
pub static RULE: Rule = Rule {
    name: "cleanout-stack-base",
    title: "A cleanout stands at the base of each stack.",
    page: "What falls down a stack stops where it turns level; a cable has to get in there.\n\n\
        At the base of each stack, up the stack as far as a person reaches, and on a short piece from the base to the side a cleanout is looked for.\n\n\
        A stack whose base is existing pipe is reported apart. Editions differ: where the code in force has dropped the rule it is not checked.",
    cite: |pack| match keys::flag(pack, "cleanout.base-of-stack") {
        Some(true) => keys::cite(pack, "cleanout.base-of-stack"),
        Some(false) => None,
        None => keys::section(pack, "cleanout-stack-base"),
    },
    look,
};

fn look(context: &Context, said: &mut Said) {
    for stack in &context.index.stacks {
        said.looked();
        let base = context.node(stack.base).at.z;
        let on_stack = stack.pipes.iter().any(|&pipe| {
            let node = context.pipe(pipe).from;
            context.node(node).at.z - base <= IN_REACH && has_cleanout(context, node)
        });
        if on_stack || has_cleanout(context, stack.base) || next_cleanout_up(context, stack.base) {
            continue;
        }
        let last = stack.pipes[stack.pipes.len() - 1];
        let message = format!(
            "no cleanout stands at the base of stack {}",
            context.run(last)
        );
        said.breaks(
            context,
            At::Node(stack.base),
            message,
            "set a `cleanout` at the foot of the stack",
        );
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::amended;

    fn stack(foot: &str) -> String {
        format!(
            "fixture A water-closet upper 0',3' faces north\nfixture B water-closet main 0',3' faces north\n\
             waste d\nstart -9',0' main floor -4'\nsize 4\"\neast to abreast 0',0'\n{foot}up to main floor -1'\npoint P\nup to upper floor -1'\npoint Q\nup 3'\npoint TOP\n\
             waste b\nstart P\nsize 3\"\nnorth to abreast B.drain\nend B\n\
             waste a\nstart Q\nsize 3\"\nnorth to abreast A.drain\nend A\n\
             vent t\nstart TOP\nsize 3\"\nup through roof\n"
        )
    }

    /// The model code of 2021 does not ask for it: not looked at.
    #[test]
    fn where_the_code_has_dropped_it() {
        assert!(
            amended(
                "ipc-2021",
                ("cleanout.base-of-stack", "no"),
                &stack(""),
                "cleanout-stack-base"
            )
            .is_none()
        );
    }

    /// Asked by a local amendment of the IPC here, since the model code has dropped it.
    #[test]
    fn at_the_foot() {
        let fires = |foot: &str| {
            let said = amended(
                "ipc-2021",
                ("cleanout.base-of-stack", "yes"),
                &stack(foot),
                "cleanout-stack-base",
            )
            .expect("it is amended");
            assert_eq!(said.places, 1);
            said.findings.len()
        };
        assert_eq!(fires(""), 1);
        assert_eq!(fires("cleanout CO1\n"), 0);
        assert_eq!(fires("up 1'\ncleanout CO1\n"), 0);
    }
}
