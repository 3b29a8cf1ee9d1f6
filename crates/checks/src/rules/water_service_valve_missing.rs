//! The whole supply can be shut off where it enters.
//!
//! IPC 606.1, UPC 606.2, Canada 2.6.1.3.

use wyeline_job::model::System;

use crate::context::Context;
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};
use crate::supply::SHUT_OFF;

/// The rule.
pub static RULE: Rule = Rule {
    name: "water-service-valve-missing",
    title: "A valve at the entrance shuts off the whole supply.",
    page: "When a pipe bursts, somebody has to find one valve that stops the water.\n\n\
        Looked at is every point where cold water comes in from outside the drawing. Before the first outlet or branch that feeds anything, or \
        right at it, there has to be a gate, ball or globe valve, or a reducing station, which has valves.\n\n\
        Exceptions: a source that feeds a single outlet and has a valve anywhere before it; a run that begins as existing pipe, whose valve \
        may lie outside the drawing: that is told as not checked.",
    cite: |pack| limits::cite(pack, "service-valve"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let all = context.supply();
    for &source in &all.order {
        let here = context.node(source);
        let fed = all.feed[source.0 as usize].is_some();
        if fed
            || here.system != System::Cold
            || here.fixture.is_some()
            || all.outlets[source.0 as usize] == 0
        {
            continue;
        }
        let existing = |&pipe| context.pipe(pipe).existing;
        let mut node = source;
        let valve = loop {
            if context.device_at(node, SHUT_OFF) {
                break true;
            }
            // On to the next point, as long as all goes the same way.
            let mut on = context
                .node(node)
                .pipes
                .iter()
                .map(|&pipe| context.pipe(pipe));
            let all_of_it = all.outlets[source.0 as usize];
            let next = on.find(|pipe| {
                pipe.from == node
                    && all.outlets[pipe.to.0 as usize] == all_of_it
                    && pipe.system == System::Cold
            });
            match next {
                Some(pipe) => node = pipe.to,
                None => break false,
            }
        };
        if !valve && here.pipes.iter().any(existing) {
            said.unknown(
                At::Node(source),
                "the supply begins as existing pipe; its valve is not on the drawing",
            );
            continue;
        }
        said.looked();
        if valve {
            continue;
        }
        let count = all.outlets[source.0 as usize];
        let message = format!(
            "nothing shuts off this supply, which feeds {count} outlets, before its first branch"
        );
        let help = "put a `gate-valve` or `ball-valve` into the pipe where it enters";
        said.breaks(context, At::Node(source), message, help);
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(first: &str, after: &str) -> Tell {
        let body = format!(
            "fixture L lavatory main 10',0' faces north\nfixture M lavatory main 14',0' faces north\n\
             cold c\nstart 0',-3\" main floor +1'\nsize 3/4\"\n{first}east to abreast L.cold\n{after}catch L\neast to abreast M.cold\nend M\n"
        );
        Tell::plain(&body, "water-service-valve-missing")
    }

    #[test]
    fn no_valve_at_all() {
        assert!(
            told("", "").one().message.contains("feeds 2 outlets"),
            "{}",
            told("", "").one().message
        );
    }

    /// A valve before the first branch, and one right at it.
    #[test]
    fn a_valve_in_the_service() {
        told("east 1'\nball-valve\n", "").silent();
        told("", "gate-valve\n").silent();
    }

    /// Behind the first branch a valve shuts off only the rest; a check valve shuts off nothing.
    #[test]
    fn what_is_no_service_valve() {
        told("east 1'\ncheck-valve\n", "").one();
        let body = "fixture L lavatory main 10',0' faces north\nfixture M lavatory main 14',0' faces north\n\
             cold c\nstart 0',-3\" main floor +1'\nsize 3/4\"\neast to abreast L.cold\ncatch L\neast 1'\nball-valve\neast to abreast M.cold\nend M\n";
        Tell::plain(body, "water-service-valve-missing").one();
    }

    /// Exception: existing pipe, whose valve may lie elsewhere.
    #[test]
    fn an_existing_service() {
        told("existing\n", "new\n").unknown("existing pipe");
    }
}
