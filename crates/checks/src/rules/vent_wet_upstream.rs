//! No more than one fixture drain joins a level wet vent upstream of the dry-vented one.
//!
//! IPC 912.1.1.

use crate::air::Way;
use crate::context::{Context, is_level};
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-wet-upstream",
    title: "At most one wet-vented fixture drains into a level wet vent upstream of the fixture with the dry vent.",
    page: "Upstream of the dry vent's drain no air comes down with the water; one short drain there still breathes, two do not.\n\n\
        At the point where the drain with the dry vent comes into the level branch, the fixtures that drain through the branch upstream of that point are \
        counted.\n\n\
        Plumb wet vents are not looked at.",
    cite: |pack| keys::cite(pack, "wet.dry-vent-upstream-most"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(most) = keys::number(context.pack, "wet.dry-vent-upstream-most") else {
        return;
    };
    for group in &context.index.groups {
        if group.way(context) != Way::Wet {
            continue;
        }
        // Down the drain with the dry vent to where it meets the first other drain.
        let mut above = None;
        for &pipe in &group.wet {
            let node = context.pipe(pipe).to;
            let level = context
                .down(node)
                .is_some_and(|next| is_level(context.pipe(next)));
            let mut others = context
                .drains_into(node)
                .filter(|&into| into != pipe)
                .peekable();
            if others.peek().is_some() {
                let fixtures = others
                    .filter(|&into| is_branch(context, into, node))
                    .map(|into| context.index.upstream[into.0 as usize].fixtures)
                    .max();
                above = level.then_some((node, fixtures.unwrap_or(0)));
                break;
            }
        }
        let Some((node, fixtures)) = above else {
            continue;
        };
        said.looked();
        if f64::from(fixtures) <= most {
            continue;
        }
        let message = format!(
            "{fixtures} fixtures drain into the wet vent upstream of the one with the dry vent; {most} is the most"
        );
        said.breaks(
            context,
            At::Node(node),
            message,
            "let the drain with the dry vent come in farther upstream, or give the fixtures beyond it a vent of their own",
        )
        .note(context.span(At::Pipe(group.vent)), "the dry vent");
    }
}

/// Whether a drain comes in straight, as the branch going on upstream does, rather than from the side.
fn is_branch(
    context: &Context,
    into: wyeline_network::model::PipeIx,
    node: wyeline_network::model::NodeIx,
) -> bool {
    context
        .down(node)
        .is_some_and(|next| crate::measure::turn(context, into, next) < 22.5 + 1.0)
}

#[cfg(test)]
mod tests {
    use std::fmt::Write;

    use crate::testing::{fires, one, silent};

    /// A level branch: closet, then the lavatory's drain from the side with the dry vent, then so many showers upstream of it.
    fn bath(showers: u32) -> String {
        let mut body = String::from(
            "fixture WC water-closet main 2',1' faces south\nfixture LAV lavatory main 6',8' faces south\n",
        );
        for n in 0..showers {
            let _ = writeln!(
                body,
                "fixture S{n} shower main {}',3' faces south",
                10 + 4 * n
            );
        }
        body.push_str("waste d\nstart 0',0' main floor -3'\nsize 3\"\neast to abreast WC.drain\ncatch WC\neast to abreast LAV.tee\npoint L\n");
        for n in 0..showers {
            let word = if n + 1 == showers { "end" } else { "catch" };
            let _ = writeln!(body, "east to abreast S{n}.drain\n{word} S{n}");
        }
        if showers == 0 {
            body.push_str("cap\n");
        }
        body.push_str("waste l\nstart L\nsize 2\"\nnorth to abreast LAV.tee\nend LAV\nvent v\nstart LAV.tee\nsize 2\"\nup through roof\n");
        body
    }

    #[test]
    fn one_is_the_limit() {
        silent(&bath(1), "vent-wet-upstream");
        let found = one(&bath(2), "vent-wet-upstream");
        assert!(found.message.starts_with("2 fixtures"), "{}", found.message);
    }

    /// Where the dry vent is at the most upstream fixture nothing is upstream of it.
    #[test]
    fn none_upstream() {
        let body = bath(0).replace("point L\ncap\n", "point L\n");
        assert!(fires(&body, "vent-wet-upstream").is_empty());
    }
}
