//! A cleanout at the upper end of each level drain.
//!
//! UPC 707.4.

use wyeline_network::model::PipeIx;

use super::cleanout_distance::next_cleanout_up;
use crate::context::{ALIKE, Context, is_level};
use crate::finding::At;
use crate::keys;
use crate::kind::Kind;
use crate::measure::has_cleanout;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "cleanout-ends",
    title: "Each level drain has a cleanout at its upper end.",
    page: "From the upper end a cable runs with the flow, past every branch.\n\n\
        From the upper end of each level run the drain is followed to where it drops or joins a drain that comes from farther up. A cleanout has to stand on it, \
        near the upper end: on the piece before the second fixture comes in.\n\n\
        Let through are runs shorter than the code names (unless a sink or urinal drains there), and drains above the lowest floor \
        (unless a kitchen sink or urinal drains there).",
    cite: |pack| keys::cite(pack, "cleanout.exempt-run"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(short) = keys::number(context.pack, "cleanout.exempt-run") else {
        return;
    };
    let lowest = context.index.floors.first().map(|(_, level)| *level);
    // The head of each level run: its upper end, how long it is, whether it has a cleanout, its first fixture.
    let pipes = context.network.pipes.len();
    let mut length = vec![0.0_f64; pipes];
    let mut has = vec![false; pipes];
    let mut head: Vec<Option<PipeIx>> = vec![None; pipes];
    for &ix in &context.index.drains {
        let pipe = context.pipe(ix);
        let at = ix.0 as usize;
        // A trap arm is reached through its trap.
        if !is_level(pipe) || pipe.arm {
            continue;
        }
        // The longest level drain that comes in is the one that goes on.
        let mut main: Option<PipeIx> = None;
        for into in context.drains_into(pipe.from) {
            let level = is_level(context.pipe(into)) && !context.pipe(into).arm;
            if level && main.is_none_or(|known| length[into.0 as usize] > length[known.0 as usize])
            {
                main = Some(into);
            }
        }
        has[at] = has_cleanout(context, pipe.from)
            || next_cleanout_up(context, pipe.from)
            || has_cleanout(context, pipe.to);
        length[at] = context.length(ix);
        head[at] = Some(ix);
        if let Some(main) = main {
            length[at] += length[main.0 as usize];
            has[at] |= has[main.0 as usize];
            head[at] = head[main.0 as usize];
        }
        let next = context.down(pipe.to);
        let goes_on = next.is_some_and(|next| {
            is_level(context.pipe(next)) && main_into(context, pipe.to, &length) == Some(ix)
        });
        if goes_on || context.index.upstream[at].fixtures == 0 {
            continue;
        }
        let Some(top) = head[at] else {
            continue;
        };
        let first = context.index.upstream[top.0 as usize]
            .one
            .or(context.index.upstream[at].one);
        let kind = first.map(|fixture| context.kind(fixture));
        let level = first.map(|fixture| context.fixture(fixture).level);
        let sink = matches!(kind, Some(Kind::KitchenSink | Kind::Urinal));
        said.looked();
        if has[at] || (length[at] < short - ALIKE && !sink) || (level != lowest && !sink) {
            continue;
        }
        let message = format!(
            "level drain {} is {} long and has no cleanout at its upper end",
            context.run(ix),
            context.show(length[at])
        );
        said.breaks(
            context,
            At::Pipe(top),
            message,
            "set a cleanout at the upper end, in line with the drain",
        );
    }
}

/// Of the level drains that come in at a node, the longest.
fn main_into(
    context: &Context,
    node: wyeline_network::model::NodeIx,
    length: &[f64],
) -> Option<PipeIx> {
    let level = context
        .drains_into(node)
        .filter(|&into| is_level(context.pipe(into)));
    // The last of equals is taken nowhere: the first stands.
    level.fold(None, |best: Option<PipeIx>, into| match best {
        Some(best) if length[best.0 as usize] >= length[into.0 as usize] => Some(best),
        _ => Some(into),
    })
}

#[cfg(test)]
mod tests {
    use crate::testing::fires_upc;

    fn drain(level: &str, feet: &str, cleanout: &str) -> String {
        format!(
            "fixture FD floor-drain {level} {feet},0' faces south\n\
             waste d\nstart 0',0' {level} floor -3'\nsize 3\"\n{cleanout}east to abreast FD.drain\nend FD\n"
        )
    }

    /// UPC 707.4: 5 ft and longer, on the lowest floor.
    #[test]
    fn five_feet() {
        let found = fires_upc(&drain("cellar", "5'", ""), "cleanout-ends");
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(fires_upc(&drain("cellar", "4'11\"", ""), "cleanout-ends").is_empty());
    }

    #[test]
    fn with_a_cleanout_or_higher_up() {
        assert!(fires_upc(&drain("cellar", "9'", "cleanout CO1\n"), "cleanout-ends").is_empty());
        assert!(fires_upc(&drain("main", "9'", ""), "cleanout-ends").is_empty());
    }

    /// A kitchen sink's drain needs one on any floor.
    #[test]
    fn a_kitchen_sink_higher_up() {
        let body = "fixture KS kitchen-sink main 5',9' faces south\n\
             waste d\nstart 5',0' main floor -1'\nsize 2\"\nnorth to abreast KS.tee\nend KS\n";
        assert_eq!(fires_upc(body, "cleanout-ends").len(), 1);
    }
}
