//! A clothes washer's drain joins a large enough branch or stack.
//!
//! IPC 406.2.

use crate::context::{Context, smaller};
use crate::finding::At;
use crate::keys;
use crate::kind::Kind;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "drain-washer",
    title: "A clothes washer's drain joins a branch or stack that is large enough for its suds.",
    page: "A washer pumps fast, and its suds fill a small pipe with foam that comes up at the next fixture.\n\n\
        The size of the drain that the washer's own drain runs into is compared with the least that the code names.\n\n\
        The washer's own drain up to that point is not looked at here; its size is told by `trap-too-small`.",
    cite: |pack| keys::cite(pack, "drain.washer-branch-least"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(least) = keys::size(context.pack, "drain.washer-branch-least") else {
        return;
    };
    for arm in &context.arms {
        if context.kind(arm.fixture) != Kind::ClothesWasher {
            continue;
        }
        // Its own drain goes on past its vent to where another drain comes in.
        let own = |pipe: wyeline_network::model::PipeIx| {
            context.index.upstream[pipe.0 as usize].fixtures == 1
        };
        let branch = context.downstream(arm.trap).find(|&pipe| !own(pipe));
        let Some(branch) = branch else {
            continue;
        };
        let at = At::Fixture(arm.fixture);
        let Some(size) = context.size(branch) else {
            said.unknown(at, "the size of the drain that it joins is not known");
            continue;
        };
        said.looked();
        if smaller(size, least.value) {
            let tag = context.tag(arm.fixture);
            let message = format!(
                "{tag} drains into {size} {}; it has to be {} at least",
                context.run(branch),
                least.value
            );
            let help = format!("lay {} from where the drain of {tag} comes in", least.value);
            said.breaks(context, at, message, help)
                .note(context.span(At::Pipe(branch)), format!("{size} here"));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, one, silent};

    fn laundry(kind: &str, size: &str) -> String {
        format!(
            "fixture F {kind} main 5',5' faces south\nfixture FD floor-drain main 9',2' faces south\n\
             waste d\nstart 0',0' main floor -2'\nsize {size}\neast to abreast F.tee\npoint J\nsize 2\"\neast to abreast FD.drain\nend FD\n\
             waste w\nstart J\nsize 2\"\nnorth to abreast F.tee\nend F\n"
        )
    }

    /// IPC 406.2: 3 in.
    #[test]
    fn three_inch() {
        let found = one(&laundry("clothes-washer", "2\""), "drain-washer");
        assert!(found.message.contains("has to be 3\""), "{}", found.message);
        silent(&laundry("clothes-washer", "3\""), "drain-washer");
    }

    #[test]
    fn another_fixture() {
        assert!(fires(&laundry("kitchen-sink", "2\""), "drain-washer").is_empty());
    }
}
