//! Hot water arrives in time.
//!
//! EN 806-2 3.6: within 30 seconds of opening the tap.

use wyeline_network::model::FixtureIx;

use crate::context::Context;
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "hot-wait",
    title: "Hot water arrives within the time of the code.",
    page: "Whoever waits lets water run; and water that is lukewarm for long is where germs live.\n\n\
        Measured is the time in which the tap's own flow empties the pipe between it and the heater, or the last point that is circulated.\n\n\
        Exactly the limit is allowed. Not checked is a fixture whose flow, or the bore of whose pipes, is not known.",
    cite: |pack| limits::cite(pack, "hot-wait"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(most) = limits::limit(context.pack, "hot-wait") else {
        return;
    };
    for (ix, fixture) in context.network.fixtures.iter().enumerate() {
        let ix = FixtureIx(ix as u32);
        let Some(node) = context.port(ix, "hot") else {
            continue;
        };
        if fixture.centred || context.supply().feed[node.0 as usize].is_none() {
            continue;
        }
        let result = context.sized.fixtures.get(ix.0 as usize);
        let Some((seconds, litres)) = result.and_then(|result| result.hot_wait) else {
            said.unknown(
                At::Fixture(ix),
                "the flow of this tap, or the bore of its pipes, is not known",
            );
            continue;
        };
        said.looked();
        if seconds <= most.value + 1e-6 {
            continue;
        }
        let message = format!(
            "hot water reaches {} after {seconds:.0} s and {litres:.1} l; {:.0} s is the most",
            fixture.tag, most.value
        );
        let help = "circulate the hot pipe up to a point nearer, lay smaller or shorter pipe, or place a heater at the tap";
        said.breaks(context, At::Fixture(ix), message, help);
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::{HEAD, Tell};

    fn told(wait: Option<(f64, f64)>) -> Tell {
        let body = format!(
            "{HEAD}fixture L lavatory main 10',0' faces north\n\
             hot h\nstart 0',0' main floor +5'\nsize 1/2\"\neast to abreast L.hot\nend L\n"
        );
        Tell::whole("en-12056", &body, "hot-wait", move |_, sized| {
            sized.fixtures[0].hot_wait = wait;
        })
    }

    /// 30 s is the limit itself; 31 s is over it.
    #[test]
    fn thirty_seconds() {
        assert!(
            told(Some((31.0, 2.6)))
                .one()
                .message
                .contains("after 31 s and 2.6 l")
        );
        told(Some((30.0, 2.5))).silent();
        told(Some((10.0, 0.8))).silent();
    }

    #[test]
    fn not_known() {
        told(None).unknown("not known");
    }
}
