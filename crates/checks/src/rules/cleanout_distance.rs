//! How far apart cleanouts stand on level drains.
//!
//! IPC 708.1.1 and 708.1.2, UPC 707.4, Canada 2.4.7.2.

use wyeline_job::model::System;
use wyeline_network::model::{NodeIx, PipeIx};
use wyeline_sizing::Role;

use crate::context::{ALIKE, Context, is_level};
use crate::finding::At;
use crate::index::is_end;
use crate::keys;
use crate::measure::has_cleanout;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "cleanout-distance",
    title: "Cleanouts on level drains stand no farther apart than a cable reaches.",
    page: "A drain cable loses its bite after some thirty metres.\n\n\
        Measured is the developed length of level drain upstream of each cleanout, to the next one or to where the drain ends or rises as a stack. \
        Of several branches the longest counts. The length downstream of the last cleanout to where the drawing ends counts as well.\n\n\
        Fixture drains with a trap that can be taken off count as ends. Manholes, which replace cleanouts on large sewers, are not told in the job.",
    cite: |pack| keys::cite(pack, "cleanout.spacing"),
    look,
};

/// Whether a short blind piece that ends in a cleanout comes in at a node.
pub fn next_cleanout_up(context: &Context, node: NodeIx) -> bool {
    context.drains_into(node).any(|into| {
        let from = context.pipe(into).from;
        context.index.upstream[into.0 as usize].fixtures == 0
            && has_cleanout(context, from)
            && (is_end(&context.node(from).kind) || context.node(from).pipes.len() == 1)
    })
}

fn look(context: &Context, said: &mut Said) {
    let (Some(most), sewer) = (
        keys::number(context.pack, "cleanout.spacing"),
        keys::value(context.pack, "cleanout.spacing-sewer"),
    ) else {
        return;
    };
    // For each node the longest level drain upstream of it without a cleanout.
    let mut without = vec![0.0_f64; context.network.nodes.len()];
    let mut told = vec![false; context.network.nodes.len()];
    for &ix in &context.index.drains {
        let pipe = context.pipe(ix);
        let (from, to) = (pipe.from.0 as usize, pipe.to.0 as usize);
        if !is_level(pipe) || context.index.stack_of[ix.0 as usize].is_some() {
            continue;
        }
        let reached = has_cleanout(context, pipe.from) || next_cleanout_up(context, pipe.from);
        let before = if reached { 0.0 } else { without[from] };
        let length = before + context.length(ix);
        without[to] = without[to].max(length);
        told[to] |= told[from] && !reached;
        let limit = match (&sewer, context.role(ix)) {
            (Some(sewer), Role::BuildingSewer) => sewer.value,
            _ => most,
        };
        said.looked();
        if length > limit + ALIKE && !told[to] {
            told[to] = true;
            tell(context, said, ix, length, limit);
        }
    }
}

fn tell(context: &Context, said: &mut Said, pipe: PipeIx, length: f64, most: f64) {
    debug_assert!(context.pipe(pipe).system == System::Waste);
    let message = format!(
        "{} runs {} without a cleanout; {} is the most",
        context.run(pipe),
        context.show(length),
        context.show(most)
    );
    let help = format!(
        "set a cleanout within {} of the last one",
        context.show(most)
    );
    said.breaks(context, At::Pipe(pipe), message, help);
}

#[cfg(test)]
mod tests {
    use crate::testing::{one, silent};

    fn drain(feet: &str, cleanout: &str) -> String {
        format!(
            "fixture FD floor-drain main {feet},0' faces south\n\
             waste d\nstart 0',0' main floor -9'\nsize 3\"\neast 50'\n{cleanout}east to abreast FD.drain\nend FD\n"
        )
    }

    /// 100 ft.
    #[test]
    fn a_hundred_feet() {
        let found = one(&drain("101'", ""), "cleanout-distance");
        assert!(found.message.contains("101'-0\""), "{}", found.message);
        silent(&drain("100'", ""), "cleanout-distance");
        silent(&drain("99'", ""), "cleanout-distance");
    }

    /// One half way starts the count again.
    #[test]
    fn with_one_on_the_way() {
        silent(&drain("140'", "cleanout CO1\n"), "cleanout-distance");
    }
}
