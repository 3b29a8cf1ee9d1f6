//! A drain that carries waste of other storeys vents nothing.
//!
//! IPC 912.1 and 913, UPC 908.1, Canada 2.5.2.1. EN 12056-2 has stacks vented by their own continuation, and no such rule.

use crate::air::Way;
use crate::context::Context;
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-by-stack",
    title: "A trap does not take its air through a drain that other storeys use.",
    page: "Where a stack carries waste from above past a branch, its air swings with every flush: traps on the branch need a vent of their own. Only the \
        highest storey on a stack may take its air from the stack's continuation.\n\n\
        Looked at is every trap whose air comes down a drain in use. All that drains through that pipe has to be on the trap's own level.\n\n\
        A waste stack that vents itself is let through where the code has one: no closets or urinals on it, each fixture by itself, no offset between the \
        lowest and the highest, its load within the table; `drain-undersized` and `vent-undersized` tell whether stack and vent are as large as that asks. \
        EN 12056-2 has no such rule.",
    cite: |pack| keys::section(pack, "vent-by-stack"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    for group in &context.index.groups {
        let Some(&last) = group.wet.last() else {
            continue;
        };
        said.looked();
        if group.way(context) != Way::Stack {
            continue;
        }
        let upstream = context.index.upstream[last.0 as usize];
        for arm in group.arms(context) {
            let level = context.fixture(arm.fixture).level;
            let vent_is_near = arm.vent.is_none_or(|vent| vent.at == vent.from);
            if vent_is_near {
                continue;
            }
            // The piece of drain by which the air reaches this trap.
            let reaching = group.wet.iter().rev().find(|&&pipe| {
                arm.vent
                    .is_some_and(|vent| context.pipe(pipe).to == vent.at)
            });
            let through = reaching.map_or(upstream, |pipe| context.index.upstream[pipe.0 as usize]);
            if through.level == Some(level) {
                continue;
            }
            let tag = context.tag(arm.fixture);
            let drain = context.run(last);
            let from = through.one.map_or("", |fixture| context.tag(fixture));
            let message = format!(
                "the trap of {tag} has no air but through {drain}, which carries waste of other storeys ({from})"
            );
            let help = format!(
                "give {tag} a vent of its own, up to 6 in above its flood rim or more, and join it to the stack's vent above the highest branch"
            );
            said.breaks(context, At::Fixture(arm.fixture), message, help)
                .note(context.span(At::Pipe(group.vent)), "the only vent upstream");
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, silent};

    /// One fixture over the other on a stack that goes on through the roof.
    fn stack(kind: &str, lower_vent: &str) -> String {
        format!(
            "fixture A {kind} upper 0',3' faces north\nfixture B water-closet main 0',3' faces north\n\
             waste s\nstart 0',0' main floor -4'\nsize 4\"\nup to main floor -1'\npoint P\nup to upper floor -1'\npoint Q\nup 3'\npoint TOP\n\
             waste b\nstart P\nsize 3\"\nnorth 1'\npoint V\nnorth to abreast B.drain\nend B\n\
             waste a\nstart Q\nsize 3\"\nnorth to abreast A.drain\nend A\n\
             vent t\nstart TOP\nsize 3\"\nup through roof\n{lower_vent}"
        )
    }

    /// The closet below takes its air past the one above; the one above does from the unused head of the stack.
    #[test]
    fn a_closet_under_another() {
        let found = fires(&stack("water-closet", ""), "vent-by-stack");
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(
            found[0]
                .message
                .starts_with("the trap of B has no air but through s"),
            "{}",
            found[0].message
        );
    }

    #[test]
    fn with_a_vent_of_its_own() {
        let body = stack(
            "water-closet",
            "vent b-vent\nstart V\nsize 2\"\nup to upper floor +4'\nsouth to abreast TOP\nup through roof\n",
        );
        assert!(fires(&body.replace("south to abreast TOP\n", ""), "vent-by-stack").is_empty());
    }

    /// Two fixtures of one storey on a wet vent.
    #[test]
    fn on_one_storey() {
        silent(
            "fixture LAV lavatory main 9',5' faces south\nfixture SHR shower main 5',5' faces south\n\
             waste d\nstart 0',0' main floor -2'\nsize 2\"\neast to abreast SHR.drain\ncatch SHR\neast to abreast LAV.tee\nend LAV\n\
             vent v\nstart LAV.tee\nsize 2\"\nup through roof\n",
            "vent-by-stack",
        );
    }
}
