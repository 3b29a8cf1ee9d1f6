//! A hose outlet lets nothing flow back.
//!
//! IPC 608.16.4.2, UPC 603.5.7, EN 1717.

use wyeline_job::model::DeviceKind;
use wyeline_network::model::FixtureIx;

use crate::context::Context;
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};
use crate::supply::Devices;

/// The rule.
pub static RULE: Rule = Rule {
    name: "water-hose-unprotected",
    title: "A hose bibb has a vacuum breaker or a backflow preventer.",
    page: "A hose lies in a bucket of weed killer, the street main breaks, and the bucket is in the drinking water.\n\n\
        Looked at is every hose bibb: its line has to say `protected` (a vacuum breaker in it or on it), or a `backflow-preventer` sits in the \
        pipe that feeds nothing else.\n\n\
        A backflow preventer in the service keeps the street clean, not the other taps of the house, and does not count.",
    cite: |pack| limits::cite(pack, "hose-backflow"),
    look,
};

const BACKFLOW: Devices = Devices::one(DeviceKind::BackflowPreventer);

fn look(context: &Context, said: &mut Said) {
    for (ix, fixture) in context.network.fixtures.iter().enumerate() {
        if fixture.kind != "hose-bibb" {
            continue;
        }
        let ix = FixtureIx(ix as u32);
        let Some(node) = context.port(ix, "cold") else {
            continue;
        };
        said.looked();
        if fixture.facts.protected || own_preventer(context, node) {
            continue;
        }
        let tag = &fixture.tag;
        let upstream = context.supply().behind[node.0 as usize].any(BACKFLOW);
        let message = if upstream {
            format!(
                "{tag} has no vacuum breaker; the backflow preventer before it protects the street, not the house's other taps"
            )
        } else {
            format!("{tag} has no vacuum breaker")
        };
        let help = format!(
            "take a bibb with a vacuum breaker and say so: `fixture {tag} hose-bibb … protected`"
        );
        said.breaks(context, At::Fixture(ix), message, help);
    }
}

/// Whether a backflow preventer sits in the pipe that feeds only this point.
pub fn own_preventer(context: &Context, node: wyeline_network::model::NodeIx) -> bool {
    let outlets = &context.supply().outlets;
    context.device_at(node, BACKFLOW)
        || context
            .own_supply(node)
            .any(|(_, from)| outlets[from.0 as usize] <= 1 && context.device_at(from, BACKFLOW))
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(before: &str, own: &str, fact: &str) -> Tell {
        let body = format!(
            "fixture H hose-bibb main 10',0' faces north{fact}\nfixture L lavatory main 2',0' faces north\n\
             cold c\nstart 0',-3\" main floor +18\"\nsize 3/4\"\n{before}east to abreast L.cold\ncatch L\n\
             east 2'\n{own}east to abreast H.cold\nend H\n"
        );
        Tell::plain(&body, "water-hose-unprotected")
    }

    #[test]
    fn a_plain_bibb() {
        assert_eq!(told("", "", "").one().message, "H has no vacuum breaker");
    }

    /// Exceptions: a breaker in the bibb, or a preventer in its own pipe.
    #[test]
    fn protected() {
        told("", "", " protected").silent();
        told("", "backflow-preventer\n", "").silent();
    }

    /// In the service, before the lavatory, a preventer does not protect the lavatory from the hose.
    #[test]
    fn a_preventer_in_the_service() {
        let told = told("backflow-preventer\n", "", "");
        assert!(
            told.one().message.contains("not the house's other taps"),
            "{}",
            told.one().message
        );
    }
}
