//! A sediment trap at each appliance that needs one.
//!
//! IFGC 408.4, UPC 1212.9.

use wyeline_job::model::System;
use wyeline_network::model::{FixtureIx, NodeIx, NodeKind, PipeIx};

use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "gas-drip-missing",
    title: "Heaters, boilers and furnaces have a sediment trap in their gas pipe.",
    page: "Rust and cuttings travel with the gas and stop a valve from closing. A capped nipple that hangs from a tee catches them where the gas turns.\n\n\
        Looked at is the gas pipe of every water heater, boiler and furnace, on the part that feeds nothing else: at a tee there, a pipe goes straight \
        down and ends in a `cap`, so long as the code asks (3 in).\n\n\
        Exceptions by the code: ranges, dryers, lights, fireplaces, outdoor grills. An appliance with a trap built into it may do without; the job cannot \
        say that.",
    cite: |pack| limits::cite(pack, "gas-drip"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(least) = limits::limit(context.pack, "gas-drip") else {
        return;
    };
    for (ix, fixture) in context.network.fixtures.iter().enumerate() {
        if !matches!(&*fixture.kind, "water-heater" | "boiler" | "furnace") {
            continue;
        }
        let ix = FixtureIx(ix as u32);
        let Some(node) = context.port(ix, "gas") else {
            continue;
        };
        if context.supply().feed[node.0 as usize].is_none() {
            continue;
        }
        said.looked();
        let leg = context
            .own_supply(node)
            .find_map(|(_, from)| leg(context, from));
        let tag = &fixture.tag;
        let Some((pipe, length)) = leg else {
            let message = format!("the gas pipe of {tag} has no sediment trap");
            let help = format!(
                "end the run at a tee before {tag}: from a `point` there one run goes `down {}` to a `cap`, another to {tag}",
                context.show(least.value)
            );
            said.breaks(context, At::Fixture(ix), message, help);
            continue;
        };
        if length < least.value - ALIKE {
            let message = format!(
                "the sediment trap of {tag} is {} deep; it needs {}",
                context.show(length),
                context.show(least.value)
            );
            said.breaks(context, At::Pipe(pipe), message, "make the nipple longer");
        }
    }
}

/// A plumb pipe down from a point to a cap, with its length.
fn leg(context: &Context, from: NodeIx) -> Option<(PipeIx, f64)> {
    let mut pipes = context.node(from).pipes.iter().copied();
    pipes.find_map(|pipe| {
        let told = context.pipe(pipe);
        let (a, b) = context.network.true_ends(told);
        let capped = context.node(told.to).kind == NodeKind::Cap;
        let down = told.from == from && told.system == System::Gas && context.rise(pipe) < -0.999;
        (down && capped).then_some((pipe, a.z - b.z))
    })
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(leg: &str) -> Tell {
        let body = format!(
            "fixture F furnace main 20',0' faces north\n\
             gas g\nstart 0',0' main floor +6'\nsize 3/4\"\neast 18'\ndown to main floor +2'\npoint T\neast 6\"\nend F\n{leg}"
        );
        Tell::plain(&body, "gas-drip-missing")
    }

    #[test]
    fn without() {
        assert_eq!(
            told("").one().message,
            "the gas pipe of F has no sediment trap"
        );
    }

    /// 3 in is the limit itself.
    #[test]
    fn three_inches() {
        told("gas t\nstart T\nsize 3/4\"\ndown 3\"\ncap\n").silent();
        told("gas t\nstart T\nsize 3/4\"\ndown 4\"\ncap\n").silent();
        let short = told("gas t\nstart T\nsize 3/4\"\ndown 2\"\ncap\n");
        assert!(
            short.one().message.contains("is 2\" deep; it needs 3\"")
                || short.one().message.contains("0'2\" deep"),
            "{}",
            short.one().message
        );
    }

    /// Exception: a range.
    #[test]
    fn a_range() {
        let body = "fixture R gas-range main 20',0' faces north\n\
             gas g\nstart 0',0' main floor +4\"\nsize 3/4\"\neast to abreast R.gas\nend R\n";
        Tell::plain(body, "gas-drip-missing").nowhere();
    }
}
