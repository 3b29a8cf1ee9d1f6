//! A trap is as large as its fixture asks for.
//!
//! IPC Table 709.1 and 1002.5, UPC Table 702.1, Canada 2.4.9.3.

use wyeline_network::kinds::Trap;

use crate::context::{Context, smaller};
use crate::finding::At;
use crate::keys;
use crate::kind::trap_of;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "trap-too-small",
    title: "A trap and its arm are as large as the fixture asks for.",
    page: "A trap that is too small fills the arm at each use and siphons itself; the fixture drains badly.\n\n\
        The size stated for the pipe that the trap empties into is compared with the least trap of the code's table of fixtures.\n\n\
        An arm without a stated size is given the least the code allows. Fixtures trapped in themselves take the size of their outlet.",
    cite: |pack| keys::section(pack, "trap-too-small"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    for arm in &context.arms {
        let Some(&pipe) = arm.pipes.first() else {
            continue;
        };
        if trap_of(&context.fixture(arm.fixture).kind) == Some(Trap::Integral) {
            continue;
        }
        let Some(size) = context.pipe(pipe).size else {
            continue;
        };
        let found = context.sized.fixtures.get(arm.fixture.0 as usize);
        let Some(least) = found.and_then(|result| result.trap) else {
            said.unknown(
                At::Fixture(arm.fixture),
                "the code's table does not hold the trap of this fixture",
            );
            continue;
        };
        said.looked();
        if !smaller(size, least) {
            continue;
        }
        let tag = context.tag(arm.fixture);
        let message = format!("the trap arm of {tag} is {size}; its trap has to be {least}");
        let span = context.span(At::Pipe(pipe));
        said.breaks(
            context,
            At::Fixture(arm.fixture),
            message,
            format!("lay {least} from the trap of {tag} on"),
        )
        .note(span, format!("{size} here"));
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, one, silent};

    fn lavatory(kind: &str, size: &str) -> String {
        format!(
            "fixture F {kind} main 5',5' faces south\n\
             waste d\nstart 5',0' main floor -1'\n{size}\nnorth to abreast F.tee\nend F\n"
        )
    }

    /// IPC Table 709.1: lavatory 1-1/4 in, kitchen sink 1-1/2 in.
    #[test]
    fn kitchen_sink() {
        let found = one(&lavatory("kitchen-sink", "size 1-1/4\""), "trap-too-small");
        assert!(found.message.contains("1-1/2\""), "{}", found.message);
        silent(&lavatory("kitchen-sink", "size 1-1/2\""), "trap-too-small");
        silent(&lavatory("lavatory", "size 1-1/4\""), "trap-too-small");
        silent(&lavatory("kitchen-sink", "size 2\""), "trap-too-small");
    }

    #[test]
    fn nothing_stated() {
        assert!(
            fires(
                &lavatory("kitchen-sink", "note \"size by the code\""),
                "trap-too-small"
            )
            .is_empty()
        );
    }
}
