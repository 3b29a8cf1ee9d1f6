//! Tall stacks have a vent stack beside them.
//!
//! IPC 904.2, UPC 907.1, Canada 2.5.4.2.

use wyeline_job::model::System;
use wyeline_network::model::{LevelIx, NodeIx};

use crate::context::{Context, nominal_mm};
use crate::finding::At;
use crate::index::Stack;
use crate::keys;
use crate::rule::{Rule, Said};

/// Depth of a branch interval at least, mm: 8 ft, by the definition in IPC section 202 (from memory).
const INTERVAL: f64 = 8.0 * 304.8;

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-stack-needed",
    title: "A stack of many branch intervals has a vent stack beside it.",
    page: "At the foot of a tall stack the falling water pushes air ahead of it; a vent stack from the base leads that air away.\n\n\
        Branch intervals are counted from the highest branch down: branches less than 8 ft apart belong to one. Codes that count storeys are \
        asked by the levels on which branches come in. From the number that the code names on, a vent has to leave the stack at or below its \
        lowest branch, or the drain within ten diameters downstream of the base.\n\n\
        Stacks with fewer intervals may do with their own continuation.",
    cite: |pack| {
        keys::cite(pack, "vent.stack-intervals-from")
            .or_else(|| keys::cite(pack, "vent.parallel-storeys-from"))
    },
    look,
};

/// Branch intervals of a stack: groups of branches at least 8 ft apart, from the highest down.
pub fn intervals(context: &Context, stack: &Stack) -> u32 {
    let mut count = 0;
    let mut begins = f64::INFINITY;
    for &inlet in &stack.inlets {
        let z = context.node(inlet).at.z;
        if begins - z >= INTERVAL - 1.0 {
            count += 1;
            begins = z;
        }
    }
    count
}

fn storeys(context: &Context, stack: &Stack) -> u32 {
    let mut before: Option<Option<LevelIx>> = None;
    let mut count = 0;
    for &inlet in &stack.inlets {
        let level = context.storey_at(context.node(inlet).at.z);
        if before != Some(level) {
            count += 1;
        }
        before = Some(level);
    }
    count
}

/// Whether a vent leaves a node.
pub fn leaves(context: &Context, node: NodeIx) -> bool {
    let mut pipes = context.node(node).pipes.iter();
    pipes.any(|&pipe| {
        let pipe = context.pipe(pipe);
        pipe.system == System::Vent && pipe.from == node
    })
}

fn look(context: &Context, said: &mut Said) {
    let by_intervals = keys::value(context.pack, "vent.stack-intervals-from");
    let by_storeys = keys::value(context.pack, "vent.parallel-storeys-from");
    let reach = keys::number(context.pack, "base.branch-distance-diameters").unwrap_or(10.0);
    for stack in &context.index.stacks {
        let Some(&lowest) = stack.inlets.last() else {
            continue;
        };
        let (count, from, what) = match (&by_intervals, &by_storeys) {
            (Some(from), _) => (intervals(context, stack), from, "branch intervals"),
            (None, Some(from)) => (storeys(context, stack), from, "storeys"),
            (None, None) => return,
        };
        said.looked();
        if f64::from(count) < from.value || vented_at_foot(context, stack, lowest, reach) {
            continue;
        }
        let last = stack.pipes[stack.pipes.len() - 1];
        let name = context.run(last);
        let message = format!(
            "stack {name} has {count} {what} and no vent stack; from {} on it needs one",
            from.value
        );
        let help = format!(
            "start a vent on {name} below its lowest branch and carry it up beside the stack to the open air"
        );
        said.breaks(context, At::Pipe(last), message, help)
            .by(&from.cite)
            .note(context.span(At::Node(lowest)), "its lowest branch");
    }
}

/// Whether a vent leaves the stack at or below its lowest branch, or the drain near its base.
fn vented_at_foot(context: &Context, stack: &Stack, lowest: NodeIx, reach: f64) -> bool {
    let height = context.node(lowest).at.z;
    let below = stack.pipes.iter().any(|&pipe| {
        let ends = [context.pipe(pipe).from, context.pipe(pipe).to];
        ends.iter()
            .any(|&node| context.node(node).at.z <= height + 1.0 && leaves(context, node))
    });
    if below {
        return true;
    }
    let mut gone = 0.0;
    for pipe in context.downstream(stack.base) {
        let most = context
            .size(pipe)
            .map_or(0.0, |size| reach * nominal_mm(size));
        gone += context.length(pipe);
        if gone > most {
            return false;
        }
        if leaves(context, context.pipe(pipe).to) {
            return true;
        }
    }
    false
}

#[cfg(test)]
pub mod tests {
    use std::fmt::Write;

    use crate::testing::whole;

    /// A stack with a lavatory on each of so many storeys 10 ft apart.
    pub fn tower(storeys: u32, foot: &str) -> String {
        let mut text = String::from("job t\nunits ft-in\nslope 1/4 in per ft\n");
        for storey in 0..storeys {
            let _ = writeln!(text, "level l{storey} floor {}'", storey * 10);
        }
        let _ = writeln!(text, "roof {}'", storeys * 10);
        for storey in 0..storeys {
            let _ = writeln!(
                text,
                "fixture L{storey} lavatory l{storey} 3',1' faces south"
            );
        }
        let _ = write!(
            text,
            "waste s\nstart -5',0' l0 floor -4'\nsize 4\"\neast 5'\nup 1'\npoint FOOT\n{foot}"
        );
        for storey in 0..storeys {
            let _ = writeln!(text, "up to l{storey} floor -1'\npoint P{storey}");
        }
        text.push_str("up 1'\npoint TOP\n");
        for storey in 0..storeys {
            let _ = writeln!(
                text,
                "waste b{storey}\nstart P{storey}\nsize 2\"\neast to abreast L{storey}.tee\nnorth to abreast L{storey}.tee\nend L{storey}"
            );
        }
        text.push_str("vent sv\nstart TOP\nsize 4\"\nup through roof\n");
        text
    }

    /// IPC 904.2: five intervals and more. Four are just inside, five the limit itself.
    #[test]
    fn five_intervals() {
        let said = whole("ipc-2021", &tower(4, ""), "vent-stack-needed");
        assert!(said.findings.is_empty() && said.places == 1, "{said:#?}");
        let said = whole("ipc-2021", &tower(5, ""), "vent-stack-needed");
        assert_eq!(said.findings.len(), 1, "{said:#?}");
        assert!(
            said.findings[0].message.contains("5 branch intervals"),
            "{}",
            said.findings[0].message
        );
    }

    /// With a vent from below the lowest branch it is in order.
    #[test]
    fn with_a_vent_stack() {
        let text =
            tower(5, "") + "vent vs\nstart FOOT\nsize 3\"\nup 6\" at 45 north\nup through roof\n";
        assert!(
            whole("ipc-2021", &text, "vent-stack-needed")
                .findings
                .is_empty()
        );
    }

    /// UPC 907.1: ten storeys.
    #[test]
    fn ten_storeys() {
        assert!(
            whole("upc-2021", &tower(9, ""), "vent-stack-needed")
                .findings
                .is_empty()
        );
        assert_eq!(
            whole("upc-2021", &tower(10, ""), "vent-stack-needed")
                .findings
                .len(),
            1
        );
    }
}
