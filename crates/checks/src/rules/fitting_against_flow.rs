//! No branch enters a drain against its flow.
//!
//! IPC 706.3, UPC 706.1, EN 12056-2, Canada 2.2.4.

use wyeline_job::model::System;

use crate::context::{Context, is_level};
use crate::finding::At;
use crate::keys;
use crate::measure::turn;
use crate::rule::{Rule, Said};

/// Rounding of angles between pipes as drawn, degrees; fittings differ by 11-1/4 at least.
const ROUNDING: f64 = 1.0;

/// The rule.
pub static RULE: Rule = Rule {
    name: "fitting-against-flow",
    title: "No drain turns back on itself, and no branch enters against the flow.",
    page: "Water that meets water head on stops both; solids stay where they meet.\n\n\
        At each point the change of direction from every drain that flows in to the one that leads on is measured, as drawn. More than a quarter turn \
        means that no drainage fitting can lead the flow round.\n\n\
        A level branch that comes into a plumb drain turns by a quarter and is in order.",
    cite: |pack| keys::section(pack, "fitting-against-flow"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    for (into, pipe) in context.pipes_of(System::Waste) {
        let Some(next) = context.down(pipe.to) else {
            continue;
        };
        said.looked();
        let angle = turn(context, into, next);
        if angle <= 90.0 + ROUNDING {
            continue;
        }
        let what = if context.node(pipe.to).pipes.len() > 2 {
            "enters"
        } else {
            "turns back into"
        };
        let message = format!(
            "{} {what} {} against its flow, at {angle:.0} degrees",
            context.run(into),
            context.run(next)
        );
        let help = if is_level(pipe) && is_level(context.pipe(next)) {
            "bring the branch in from the other side, square or at 45 with the flow"
        } else {
            "turn it so that it falls the way the flow goes"
        };
        said.breaks(context, At::Node(pipe.to), message, help)
            .note(context.span(At::Pipe(into)), "what comes in");
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{one, silent};

    /// A branch that leaves a drain, told upstream, in such a direction; the drain is told going east, and so flows west.
    fn branch(way: &str) -> String {
        format!(
            "fixture FD floor-drain main 9',2' faces south\n\
             waste d\nstart 0',0' main floor -2'\nsize 3\"\neast 3'\npoint J\neast to abreast FD.drain\nend FD\n\
             waste b\nstart J\nsize 2\"\n{way} 2'\nnorth 1'\ncap\n"
        )
    }

    /// Told going northwest the branch flows southeast, against the drain.
    #[test]
    fn against_the_flow() {
        let found = one(&branch("northwest"), "fitting-against-flow");
        assert!(
            found.message.contains("at 135 degrees"),
            "{}",
            found.message
        );
    }

    /// Square is the limit itself; at 45 with the flow is well inside.
    #[test]
    fn square_or_with_it() {
        silent(&branch("north"), "fitting-against-flow");
        silent(&branch("northeast"), "fitting-against-flow");
    }
}
