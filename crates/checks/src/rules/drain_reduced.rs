//! No drain becomes smaller in the direction of flow.
//!
//! IPC 704.2, UPC 310.5 and 710 practice, EN 12056-2 clause on reductions, Canada 2.4.9.2.

use wyeline_job::model::System;
use wyeline_network::model::PipeIx;
use wyeline_units::Size;

use crate::context::{Context, smaller};
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "drain-reduced",
    title: "A drain does not become smaller in the direction of flow.",
    page: "What passes the larger pipe has to pass the smaller one after it; a step down inside catches paper and holds water back.\n\n\
        At each point the pipe that leads on is compared, by nominal size, with every drain that flows into it.\n\n\
        A closet bend or flange of 4 in on a 3 in pipe does not count as a reduction. Sizes that nobody stated are those that sizing \
        found, which never shrink.",
    cite: |pack| keys::cite(pack, "drain.reduction-allowed"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    if keys::flag(context.pack, "drain.reduction-allowed") != Some(false) {
        return;
    }
    let bends = keys::flag(context.pack, "drain.closet-4x3-is-reduction") == Some(false);
    for (into, pipe) in context.pipes_of(System::Waste) {
        let Some(next) = context.down(pipe.to) else {
            continue;
        };
        let (Some(from), Some(to)) = (context.size(into), context.size(next)) else {
            said.unknown(
                At::Node(pipe.to),
                "the size of a drain that meets here is not known",
            );
            continue;
        };
        said.looked();
        if !smaller(to, from) {
            continue;
        }
        if bends && closet_bend(context, into, from, to) {
            continue;
        }
        let message = format!(
            "the drain becomes smaller in the direction of flow: {from} of {} runs into {to} of {}",
            context.run(into),
            context.run(next)
        );
        let help = format!(
            "carry {from} on to the sewer, or make the piece upstream {to} if its load and its traps allow"
        );
        let span = context.span(At::Pipe(into));
        let text = format!("{from} here");
        said.breaks(context, At::Pipe(next), message, help)
            .note(span, text);
    }
}

/// A 4 x 3 in connection of a single closet.
fn closet_bend(context: &Context, into: PipeIx, from: Size, to: Size) -> bool {
    let (four, three) = (Size::Inch { eighths: 32 }, Size::Inch { eighths: 24 });
    let up = context.index.upstream[into.0 as usize];
    up.fixtures == 1 && up.closets == 1 && !smaller(four, from) && !smaller(to, three)
}

#[cfg(test)]
mod tests {
    use crate::testing::{one, silent};

    fn drain(first: &str, then: &str) -> String {
        format!(
            "fixture FD floor-drain main 10',0' faces east\n\
             waste d\nstart 0',0' main floor -2'\nsize {first}\neast 5'\nsize {then}\neast to abreast FD.drain\nend FD\n"
        )
    }

    /// Told from the outlet upstream: 2 in first, then 3 in, flows from 3 into 2.
    #[test]
    fn three_into_two() {
        let found = one(&drain("2\"", "3\""), "drain-reduced");
        assert!(
            found.message.contains("3\" of d runs into 2\" of d"),
            "{}",
            found.message
        );
    }

    /// Equal is allowed, larger as well.
    #[test]
    fn the_same_or_larger() {
        silent(&drain("3\"", "3\""), "drain-reduced");
        silent(&drain("3\"", "2\""), "drain-reduced");
    }

    /// IPC 704.2: a 4 x 3 closet connection is none; the same step on any other drain is.
    #[test]
    fn a_closet_bend() {
        let closet = "fixture WC water-closet main 0',1' faces north\n\
             waste d\nstart 0',10' main floor -2'\nsize 3\"\nsouth to abreast WC.drain\ncatch WC size 4\"\nsize 2\"\nsouth 1'\ncap\n";
        silent(closet, "drain-reduced");
        let floor = "fixture FD floor-drain main 2',5' faces north\n\
             waste d\nstart 0',10' main floor -2'\nsize 3\"\nsouth to abreast FD.drain\ncatch FD size 4\"\nsize 2\"\nsouth 1'\ncap\n";
        one(floor, "drain-reduced");
    }
}
