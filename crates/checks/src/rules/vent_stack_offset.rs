//! A level offset of a tall stack is vented at both ends.
//!
//! IPC 711.2 and 907.

use std::f64::consts::PI;

use wyeline_network::model::{NodeIx, PipeIx};
use wyeline_units::Size;

use super::vent_stack_needed::{intervals, leaves};
use crate::context::{Context, is_level, nominal_mm, smaller};
use crate::finding::At;
use crate::index::Stack;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-stack-offset",
    title: "A level offset of a stack with many branch intervals above it is vented above and below.",
    page: "Where a stack turns level the water piles up and seals the pipe, and the air that it drives down has no way on: the part above needs a vent as at the \
        foot of a stack, the part below one as at the top of it.\n\n\
        Looked at are level offsets with more branch intervals above them than the code names. A vent has to leave the upper part at or below its lowest branch \
        or the offset itself, and another the offset's lower end or the lower part above its first branch.\n\n\
        Let through is a stack and offset one size larger than a building drain of that load has to be, with the area of the straight stack and of its \
        vent together. Offsets at 45 degrees and steeper are told by `drain-stack-offset`.",
    cite: |pack| keys::cite(pack, "offset.counts-intervals-above"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(above) = keys::number(context.pack, "offset.counts-intervals-above") else {
        return;
    };
    for upper in &context.index.stacks {
        let of_stack = |pipe: &PipeIx| context.index.stack_of[pipe.0 as usize];
        let offset: Vec<PipeIx> = context
            .downstream(upper.base)
            .take_while(|pipe| of_stack(pipe).is_none())
            .collect();
        let end = offset.last().map(|&pipe| context.pipe(pipe).to);
        let into = end.and_then(|end| context.down(end));
        let lower = into.as_ref().and_then(of_stack);
        let (Some(&first), Some(lower)) = (offset.first(), lower) else {
            continue;
        };
        let lower = &context.index.stacks[lower as usize];
        let level = offset.iter().any(|&pipe| is_level(context.pipe(pipe)));
        let count = intervals(context, upper);
        if !level || end != Some(lower.top) || f64::from(count) <= above {
            continue;
        }
        said.looked();
        if is_larger(context, upper, &offset, lower) {
            continue;
        }
        let name = context.run(first);
        let mut tell = |at: NodeIx, which: &str, help: &str| {
            let message = format!(
                "the level offset of stack {name} has {count} branch intervals above it, and the stack {which} it is not vented"
            );
            said.breaks(context, At::Node(at), message, help);
        };
        if !above_is_vented(context, upper, &offset) {
            let help = "take a vent off at or below the lowest branch above the offset, as from the base of a stack";
            tell(upper.base, "above", help);
        }
        if !below_is_vented(context, lower) {
            let help = "take a vent off between the offset and the next branch below it";
            tell(lower.top, "below", help);
        }
    }
}

/// A vent leaves the upper part at or below its lowest branch, or the offset before its lower end.
fn above_is_vented(context: &Context, upper: &Stack, offset: &[PipeIx]) -> bool {
    let lowest = upper.inlets.last();
    let from = |pipe: &PipeIx| context.pipe(*pipe).from;
    let below = upper.pipes.iter().map(from);
    let mut below = below.skip_while(|node| Some(node) != lowest);
    below.any(|node| leaves(context, node))
        || offset.iter().map(from).any(|node| leaves(context, node))
}

/// A vent leaves the lower part at its top, or at or above the first branch below it.
fn below_is_vented(context: &Context, lower: &Stack) -> bool {
    let first = lower.inlets.iter().find(|&&node| node != lower.top);
    for &pipe in &lower.pipes {
        let node = context.pipe(pipe).from;
        if leaves(context, node) {
            return true;
        }
        if Some(&node) == first {
            return false;
        }
    }
    false
}

/// Whether stack and offset are one size larger than a building drain has to be, with area for the vent as well.
fn is_larger(context: &Context, upper: &Stack, offset: &[PipeIx], lower: &Stack) -> bool {
    let pack = context.pack;
    let area = |size: Size| PI / 4.0 * nominal_mm(size).powi(2);
    let ends = upper.pipes.iter().rev().take(1).chain(lower.pipes.first());
    let mut all = offset.iter().chain(ends);
    let Some(&first) = offset.first() else {
        return false;
    };
    let load = context.load(first);
    let slope = context.pipe(first).slope.map(|fall| fall.slope);
    let Ok(drain) = pack.least_building_drain(load, slope) else {
        return false;
    };
    let Some(larger) = pack.next_size(drain.value.size) else {
        return false;
    };
    let Ok(straight) = pack.least_stack(load, intervals(context, upper), 0.0) else {
        return false;
    };
    let Ok(vent) = pack.vent_by_length(straight.value.size, load, 0.0) else {
        return false;
    };
    let least = area(straight.value.size) + area(vent.value.size);
    all.all(|&pipe| {
        context
            .size(pipe)
            .is_some_and(|size| !smaller(size, larger) && area(size) >= least)
    })
}

#[cfg(test)]
mod tests {
    use std::fmt::Write;

    use crate::testing::whole;

    /// Storeys with a lavatory each on a 2 in stack, which goes level for 4 ft below them.
    fn stepped(storeys: u32, size: &str, vents: &str) -> String {
        let mut text = String::from("job t\nunits ft-in\nslope 1/4 in per ft\n");
        for storey in 0..9 {
            let _ = writeln!(text, "level l{storey} floor {}'", storey * 10);
        }
        text.push_str("roof 90'\n");
        let top = 1 + storeys;
        for storey in 2..=top {
            let _ = writeln!(
                text,
                "fixture L{storey} lavatory l{storey} 8',1' faces south"
            );
        }
        let _ = writeln!(
            text,
            "waste s\nstart 2',0' l0 floor -4'\nsize {size}\nup to l1 floor +2'\npoint LOW\neast 4'\npoint HIGH"
        );
        for storey in 2..=top {
            let _ = writeln!(text, "up to l{storey} floor -6\"\npoint P{storey}");
        }
        text.push_str("up 1'\npoint TOP\n");
        for storey in 2..=top {
            let _ = writeln!(
                text,
                "waste b{storey}\nstart P{storey}\nsize 1-1/2\"\neast to abreast L{storey}.tee\nnorth to abreast L{storey}.tee\nend L{storey}"
            );
        }
        text + "vent sv\nstart TOP\nsize 2\"\nup through roof\n" + vents
    }

    const ABOVE: &str = "vent u\nstart HIGH\nsize 2\"\nsouth 1'\nup through roof\n";
    const BELOW: &str = "vent w\nstart LOW\nsize 2\"\nsouth 1'\nup through roof\n";

    fn found(text: &str) -> Vec<String> {
        let said = whole("ipc-2021", text, "vent-stack-offset");
        assert_eq!(said.places, 1, "{said:#?}");
        said.findings.into_iter().map(|one| one.message).collect()
    }

    /// IPC 711.1 and 907: more than four branch intervals above.
    #[test]
    fn five_intervals_above() {
        let both = found(&stepped(5, "2\"", ""));
        assert_eq!(both.len(), 2, "{both:#?}");
        assert!(
            both.iter()
                .any(|text| text.contains("the stack above it is not vented")),
            "{both:#?}"
        );
        let one = found(&stepped(5, "2\"", ABOVE));
        assert_eq!(one.len(), 1, "{one:#?}");
        assert!(
            one[0].contains("the stack below it is not vented"),
            "{one:#?}"
        );
        assert!(found(&stepped(5, "2\"", &format!("{ABOVE}{BELOW}"))).is_empty());
        let few = whole("ipc-2021", &stepped(4, "2\"", ""), "vent-stack-offset");
        assert_eq!(few.places, 0);
    }

    /// 5 dfu: a building drain of 2 in at 1/4 in per ft (21), the next size is 2-1/2 in, of 4.91 sq in. A straight stack of 1-1/2 in
    /// (8 dfu above three intervals, 1.77) and its vent of 1-1/4 in (1.23) have 3.00 together.
    #[test]
    fn one_size_larger_needs_no_vent() {
        assert!(found(&stepped(5, "2-1/2\"", "")).is_empty());
    }
}
