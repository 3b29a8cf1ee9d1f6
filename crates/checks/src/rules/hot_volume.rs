//! Little water stands in the pipe to a tap of the public.
//!
//! IECC C404.5, which the pack names: 2 fl oz before a public lavatory, 64 from a heater and 24 from a loop elsewhere.

use wyeline_codes::Pack;
use wyeline_job::model::Use;
use wyeline_network::model::FixtureIx;

use crate::context::Context;
use crate::finding::At;
use crate::kind::Kind;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "hot-volume",
    title: "Little cooled water stands between a hot source and a tap for the public.",
    page: "Nobody waits at a public basin: whatever stands in the pipe is all that ever comes out, cold.\n\n\
        Measured is the water held by the hot pipe from the heater, or from the last point that is circulated, to each fixture that anybody uses \
        (`use public` or `use assembly`).\n\n\
        Exactly the limit is allowed. Dwellings are not meant. Not checked is a fixture whose pipes' bore or whose flow is not known.",
    cite: |pack| pack.scalar(LAVATORY).ok().map(|limit| limit.cite),
    look,
};

const LAVATORY: &str = "hot.volume-public-lavatory";
const HEATER: &str = "hot.volume-from-heater";
const LOOP: &str = "hot.volume-from-loop";
/// Litres in a US fluid ounce, by definition 1/128 of 3.785411784 l.
const OUNCE: f64 = 3.785_411_784 / 128.0;
/// Less than a measuring glass shows, l.
const EVEN: f64 = 0.001;

fn look(context: &Context, said: &mut Said) {
    let held = |key: &str| limit(context.pack, key);
    for (ix, fixture) in context.network.fixtures.iter().enumerate() {
        let ix = FixtureIx(ix as u32);
        let Some(node) = context.port(ix, "hot") else {
            continue;
        };
        let fed = context.supply().feed[node.0 as usize].is_some();
        if fixture.centred || !fed || context.usage(ix) == Use::Private {
            continue;
        }
        let result = context.sized.fixtures.get(ix.0 as usize);
        let Some((_, litres)) = result.and_then(|result| result.hot_wait) else {
            said.unknown(
                At::Fixture(ix),
                "the water in its hot pipe is not known: a bore, its flow or the heater is missing",
            );
            continue;
        };
        let from_loop = context.supply().from_loop[node.0 as usize];
        let key = match (context.kind(ix), from_loop) {
            (Kind::Lavatory, _) => LAVATORY,
            (_, true) => LOOP,
            (_, false) => HEATER,
        };
        let Some(most) = held(key) else {
            continue;
        };
        said.looked();
        if litres <= most.value + EVEN {
            continue;
        }
        let message = format!(
            "{} stand in the hot pipe to {}, from {}; {} is the most",
            show(context, litres),
            fixture.tag,
            if from_loop { "the loop" } else { "the heater" },
            show(context, most.value)
        );
        let help = "circulate the hot pipe up to a point nearer, lay smaller pipe, or heat the water at the tap";
        said.breaks(context, At::Fixture(ix), message, help)
            .by(&most.cite);
    }
}

fn limit(pack: &Pack, key: &str) -> Option<wyeline_codes::Cited<f64>> {
    pack.scalar(key).ok()
}

fn show(context: &Context, litres: f64) -> String {
    if context.metric() {
        format!("{litres:.2} l")
    } else {
        format!("{:.1} fl oz", litres / OUNCE)
    }
}

#[cfg(test)]
mod tests {
    use super::OUNCE;
    use crate::tell::Tell;

    fn told(kind: &str, usage: &str, ounces: Option<f64>) -> Tell {
        let body = format!(
            "fixture W water-heater main 0',5' faces south\nfixture F {kind} main 10',0' faces north use {usage}\n\
             hot h\nstart W.hot\nsize 1/2\"\nup 1'\nsouth 3'\neast to abreast F.hot\nend F\n"
        );
        Tell::of(&body, "hot-volume", move |_, sized| {
            sized.fixtures[1].hot_wait = ounces.map(|ounces| (10.0, ounces * OUNCE));
        })
    }

    /// 2 fl oz before a public lavatory is the limit itself.
    #[test]
    fn a_public_lavatory() {
        told("lavatory", "public", Some(2.0)).silent();
        told("lavatory", "public", Some(1.0)).silent();
        assert!(
            told("lavatory", "public", Some(3.0))
                .one()
                .message
                .starts_with("3.0 fl oz stand in the hot pipe to F")
        );
    }

    /// 64 fl oz from a heater to any other fixture.
    #[test]
    fn a_public_sink() {
        told("bar-sink", "public", Some(64.0)).silent();
        told("bar-sink", "public", Some(65.0)).one();
    }

    /// Exception: a dwelling; and what is not known is said.
    #[test]
    fn a_dwelling_and_the_unknown() {
        told("lavatory", "private", Some(50.0)).nowhere();
        told("lavatory", "public", None).unknown("not known");
    }
}
