//! No branch joins a stack near an offset that is not vented.
//!
//! IPC 711.

use crate::context::{ALIKE, Context, is_level};
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};
use wyeline_job::model::System;
use wyeline_network::model::NodeIx;

/// The rule.
pub static RULE: Rule = Rule {
    name: "drain-stack-offset",
    title: "No branch joins a stack within two feet above or below an offset that is not vented.",
    page: "Where a stack steps aside the falling sheet of water breaks into plugs; a branch there is blown or sucked.\n\n\
        Looked at are offsets of stacks with more branch intervals above them than the code names. Measured is the height from each end of the offset to \
        the branches above and below it.\n\n\
        An offset that is vented, and one where stack and offset are sized as a building drain, are let through. Level offsets are told by \
        `drain-stack-base` as well.",
    cite: |pack| keys::cite(pack, "offset.branch-exclusion"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let (Some(reach), Some(above)) = (
        keys::number(context.pack, "offset.branch-exclusion"),
        keys::number(context.pack, "offset.counts-intervals-above"),
    ) else {
        return;
    };
    for upper in &context.index.stacks {
        // An offset: from the base of one plumb part to the top of the next.
        let mut pieces = context.downstream(upper.base);
        let lower = pieces
            .by_ref()
            .take(3)
            .find_map(|pipe| context.index.stack_of[pipe.0 as usize].map(|stack| (pipe, stack)));
        let Some((into, lower)) = lower else {
            continue;
        };
        let lower = &context.index.stacks[lower as usize];
        if context.pipe(into).from != lower.top
            || f64::from(super::vent_stack_needed::intervals(context, upper)) <= above
        {
            continue;
        }
        said.looked();
        let ends = [upper.base, lower.top];
        if ends.iter().any(|&node| vented(context, node)) || as_building_drain(context, upper.base)
        {
            continue;
        }
        let high = context.node(upper.base).at.z;
        let low = context.node(lower.top).at.z;
        let near = |&&node: &&NodeIx| {
            let z = context.node(node).at.z;
            (z >= high - ALIKE && z - high < reach - ALIKE)
                || (z <= low + ALIKE && low - z < reach - ALIKE)
        };
        let inlets = upper
            .inlets
            .iter()
            .chain(lower.inlets.iter().filter(|&&node| node != lower.top));
        for &node in inlets.filter(near) {
            let z = context.node(node).at.z;
            let away = if z >= high { z - high } else { low - z };
            let message = format!(
                "a branch joins the stack {} from an offset that is not vented; {} is the least",
                context.show(away),
                context.show(reach)
            );
            said.breaks(
                context,
                At::Node(node),
                message,
                "move the branch, vent the offset, or size stack and offset as a building drain",
            )
            .note(context.span(At::Node(upper.base)), "the offset");
        }
    }
}

fn vented(context: &Context, node: NodeIx) -> bool {
    let mut pipes = context.node(node).pipes.iter();
    pipes.any(|&pipe| context.pipe(pipe).system == System::Vent)
}

/// Whether an offset is as large as a building drain of its load and slope has to be.
fn as_building_drain(context: &Context, from: NodeIx) -> bool {
    let Some(offset) = context
        .down(from)
        .filter(|&pipe| is_level(context.pipe(pipe)))
    else {
        return false;
    };
    let (Some(size), Some(fall)) = (context.size(offset), context.pipe(offset).slope) else {
        return false;
    };
    let allows = context.pack.building_drain_allows(size, fall.slope);
    allows.is_ok_and(|allows| context.load(offset) <= allows.value)
}

#[cfg(test)]
mod tests {
    use std::fmt::Write;

    use crate::testing::whole;

    /// Six storeys with a lavatory each on one stack, which steps aside at 45 degrees below the fifth; a branch joins so far below the offset.
    fn stepped(below: &str) -> String {
        let mut text = String::from("job t\nunits ft-in\nslope 1/4 in per ft\n");
        for storey in 0..7 {
            let _ = writeln!(text, "level l{storey} floor {}'", storey * 10);
        }
        text.push_str("roof 70'\n");
        for storey in 1..7 {
            let _ = writeln!(
                text,
                "fixture L{storey} lavatory l{storey} 4',1' faces south"
            );
        }
        let _ = writeln!(
            text,
            "fixture K lavatory l0 4',1' faces south\n\
             waste s\nstart 2',0' l0 floor -4'\nsize 2\"\nup to l0 floor +{below}\npoint K0\nup to l0 floor +2'6\"\nup 1' at 45 west"
        );
        for storey in 1..7 {
            let _ = writeln!(text, "up to l{storey} floor -6\"\npoint P{storey}");
        }
        text.push_str(
            "up 1'\npoint TOP\nwaste k\nstart K0\nsize 1-1/2\"\neast 1'\ncatch K\neast 6\"\ncap\n",
        );
        for storey in 1..7 {
            let _ = writeln!(
                text,
                "waste b{storey}\nstart P{storey}\nsize 1-1/2\"\neast to abreast L{storey}.tee\nnorth to abreast L{storey}.tee\nend L{storey}"
            );
        }
        text + "vent sv\nstart TOP\nsize 2\"\nup through roof\n"
    }

    /// IPC 711.1.1: 2 ft. The offset's lower end is 2 ft 6 in above the floor.
    #[test]
    fn two_feet_below() {
        let said = whole("ipc-2021", &stepped("7\""), "drain-stack-offset");
        assert_eq!(said.findings.len(), 1, "{said:#?}");
        assert!(
            said.findings[0].message.contains("1'-11\""),
            "{}",
            said.findings[0].message
        );
        let said = whole("ipc-2021", &stepped("6\""), "drain-stack-offset");
        assert!(said.findings.is_empty() && said.places == 1, "{said:#?}");
    }

    /// With few branch intervals above it an offset does not matter.
    #[test]
    fn few_intervals_above() {
        let text = stepped("7\"");
        let from = text.find("waste b5").unwrap();
        let to = text.find("vent sv").unwrap();
        let text = format!("{}{}", &text[..from], &text[to..])
            .replace("fixture L5 lavatory l5 4',1' faces south\n", "")
            .replace("fixture L6 lavatory l6 4',1' faces south\n", "");
        assert_eq!(whole("ipc-2021", &text, "drain-stack-offset").places, 0);
    }
}
