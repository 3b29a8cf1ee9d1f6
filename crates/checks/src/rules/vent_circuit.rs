//! Circuit vents: how many fixtures, where the vent is, how steep, and when a relief vent is needed.
//!
//! IPC 914, UPC 911, Canada 2.5.3.1.

use wyeline_job::model::System;

use crate::air::{Group, Way};
use crate::context::Context;
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-circuit",
    title: "A circuit-vented branch has no more than eight fixtures, its vent between the two most upstream, and a relief vent where it needs one.",
    page: "A level branch that runs half full lets air pass over the water along its whole length, if the vent stands behind the second fixture and the \
        branch is not steep.\n\n\
        Looked at is a level branch with three fixtures or more that take their air along it from one vent, where it is no wet vent of a \
        bathroom group. Counted are its fixtures, those upstream of the vent (one), the slope of its pieces, and its closets: from the number that the \
        code names on a relief vent is needed downstream, where the branch runs into a stack that takes waste from above.\n\n\
        That the branch has its full size all along, as its whole load asks, is told by `drain-undersized`.",
    cite: |pack| keys::cite(pack, "circuit.fixtures-most"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let most = keys::value(context.pack, "circuit.fixtures-most");
    let steepest = context.pack.slope_rule("circuit.branch-slope-most").ok();
    let relief = keys::value(context.pack, "circuit.relief-closets-from");
    for group in &context.index.groups {
        if group.way(context) != Way::Circuit {
            continue;
        }
        let (Some(&first), Some(&last)) = (group.wet.first(), group.wet.last()) else {
            continue;
        };
        said.looked();
        let name = context.run(last);
        let fixtures = group.arms.len();
        if let Some(most) = most.as_ref().filter(|most| fixtures as f64 > most.value) {
            let message = format!(
                "{fixtures} fixtures take their air by the circuit vent of {name}; {} are the most",
                most.value
            );
            said.breaks(
                context,
                At::Pipe(last),
                message,
                "take off another circuit vent where the eighth fixture from the top comes in",
            )
            .by(&most.cite);
        }
        let above = context.index.upstream[first.0 as usize].fixtures;
        if above > 1 {
            let message = format!(
                "{above} fixtures drain upstream of the circuit vent of {name}; it belongs between the two most upstream"
            );
            said.breaks(
                context,
                At::Node(group.from),
                message,
                "move the vent up between the last two fixtures",
            );
        }
        let steep = |pipe: &&_| {
            let fall = context.pipe(**pipe).slope;
            steepest.as_ref().is_some_and(|most| {
                fall.is_some_and(|fall| fall.slope.ratio() > most.value.ratio() + 1e-12)
            })
        };
        if let (Some(&pipe), Some(most)) = (group.wet.iter().find(steep), &steepest) {
            let message = format!(
                "circuit-vented branch {name} is steeper than {}",
                most.value.show(context.network.units)
            );
            said.breaks(
                context,
                At::Pipe(pipe),
                message,
                "lay it flatter, so that air passes over the water",
            )
            .by(&most.cite);
        }
        let closets = group.closets(context);
        let Some(relief) = relief.as_ref().filter(|from| closets as f64 >= from.value) else {
            continue;
        };
        if takes_from_above(context, last) && !has_relief(context, group) {
            let message = format!(
                "circuit-vented branch {name} has {closets} closets and runs into a stack that takes waste from above, without a relief vent"
            );
            said.breaks(
                context,
                At::Pipe(last),
                message,
                "take off a relief vent downstream of the last fixture on the branch",
            )
            .by(&relief.cite);
        }
    }
}

/// Whether the stack that a branch runs into brings waste from higher up.
fn takes_from_above(context: &Context, last: wyeline_network::model::PipeIx) -> bool {
    let mut before = last;
    for pipe in context.downstream(context.pipe(last).to) {
        if context.index.stack_of[pipe.0 as usize].is_some() {
            let node = context.pipe(pipe).from;
            let mut into = context.drains_into(node);
            return into.any(|other| {
                other != before
                    && context.index.stack_of[other.0 as usize].is_some()
                    && context.index.upstream[other.0 as usize].fixtures > 0
            });
        }
        before = pipe;
    }
    false
}

/// Whether another vent leaves the branch between its last fixture and the stack, or where that fixture comes in.
fn has_relief(context: &Context, group: &Group) -> bool {
    let vented = |node| {
        let mut pipes = context.node(node).pipes.iter();
        pipes.any(|&pipe| pipe != group.vent && context.pipe(pipe).system == System::Vent)
    };
    let Some(&last) = group.wet.last() else {
        return false;
    };
    let end = context.pipe(last).to;
    vented(end)
        || context
            .downstream(end)
            .take_while(|pipe| context.index.stack_of[pipe.0 as usize].is_none())
            .any(|pipe| {
                vented(context.pipe(pipe).to) && context.index.stack_of[pipe.0 as usize].is_none()
            })
}

#[cfg(test)]
mod tests {
    use std::fmt::Write;

    use crate::testing::{one, silent};

    /// A row of floor sinks on a level branch with its vent after so many of them, counted from the upstream end.
    fn row(fixtures: u32, after: u32, slope: &str) -> String {
        let mut body = String::new();
        for n in 0..fixtures {
            let _ = writeln!(
                body,
                "fixture F{n} floor-sink main {}',3' faces south",
                4 + 3 * n
            );
        }
        let _ = writeln!(
            body,
            "waste d\nstart 0',0' main floor -4'\nsize 4\"\nslope {slope}"
        );
        for n in 0..fixtures {
            let left = fixtures - n;
            if left == after {
                body.push_str("east 6\"\npoint V\n");
            }
            let word = if left == 1 { "end" } else { "catch" };
            let _ = writeln!(body, "east to abreast F{n}.drain\n{word} F{n}");
        }
        body.push_str("vent v\nstart V\nsize 2\"\nup through roof\n");
        body
    }

    /// IPC 914.1: eight fixtures.
    #[test]
    fn eight_fixtures() {
        silent(&row(8, 1, "1/4 in per ft"), "vent-circuit");
        let found = one(&row(9, 1, "1/4 in per ft"), "vent-circuit");
        assert!(found.message.starts_with("9 fixtures"), "{}", found.message);
    }

    /// Floor sinks of 3 dfu each (IPC Table 709.2, 2 in): six are 18 and eight 24. A 2 in building drain at 1/4 in per ft carries 21
    /// (Table 710.1(1)), so that eight ask for 2-1/2 in (24) along the whole circuit, though 21 come through its last piece.
    #[test]
    fn an_undersized_stretch_is_told() {
        let stretch = |fixtures| {
            let body = row(fixtures, 1, "1/4 in per ft");
            body.replace(
                "east to abreast F1.drain",
                "size 2\"\neast to abreast F1.drain",
            )
        };
        silent(&stretch(6), "drain-undersized");
        let found = one(&stretch(8), "drain-undersized");
        assert!(
            found
                .message
                .contains("carries 24 dfu on the whole circuit-vented branch"),
            "{}",
            found.message
        );
    }

    /// IPC 914.4: four closets on a branch to a stack that takes waste from above.
    #[test]
    fn a_relief_vent_for_four_closets() {
        let closets = |count: u32, relief: &str| {
            let mut body = String::from("fixture U water-closet upper 0',3' faces north\n");
            for n in 0..count {
                let _ = writeln!(
                    body,
                    "fixture W{n} water-closet main {}',3' faces north",
                    6 + 4 * n
                );
            }
            body.push_str(
                "waste s\nstart 0',0' cellar floor -1'\nsize 4\"\nup to main floor -2'\npoint P\nup to upper floor -1'\npoint Q\nup 3'\npoint TOP\n\
                 waste u\nstart Q\nsize 3\"\nnorth to abreast U.drain\nend U\nwaste d\nstart P\nsize 4\"\neast 1'\npoint R\n",
            );
            for n in 0..count {
                let last = n + 1 == count;
                let vent = if last { "east 1'\npoint V\n" } else { "" };
                let word = if last { "end" } else { "catch" };
                let _ = writeln!(body, "{vent}east to abreast W{n}.drain\n{word} W{n}");
            }
            body + "vent t\nstart TOP\nsize 4\"\nup through roof\nvent v\nstart V\nsize 2\"\nup through roof\n"
                + relief
        };
        let found = one(&closets(4, ""), "vent-circuit");
        assert!(found.message.contains("4 closets"), "{}", found.message);
        silent(&closets(3, ""), "vent-circuit");
        silent(
            &closets(4, "vent r\nstart R\nsize 2\"\nup through roof\n"),
            "vent-circuit",
        );
    }

    #[test]
    fn between_the_two_most_upstream() {
        let found = one(&row(5, 2, "1/4 in per ft"), "vent-circuit");
        assert!(
            found.message.starts_with("2 fixtures drain upstream"),
            "{}",
            found.message
        );
    }

    /// 1 in 12 is 1 in per ft.
    #[test]
    fn one_in_twelve() {
        silent(&row(4, 1, "1 in per ft"), "vent-circuit");
        let found = one(&row(4, 1, "1-1/8 in per ft"), "vent-circuit");
        assert!(found.message.contains("steeper"), "{}", found.message);
    }
}
