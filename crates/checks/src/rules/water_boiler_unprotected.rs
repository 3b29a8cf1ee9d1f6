//! Water that fills a boiler does not come back.
//!
//! IPC 608.17.2, UPC 603.5.10, EN 1717.

use super::water_hose_unprotected::own_preventer;
use crate::context::Context;
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "water-boiler-unprotected",
    title: "The fill of a boiler has a backflow preventer or an air gap.",
    page: "Water in a heating system is stale and may hold chemicals; under its own pressure it would go back into the drinking water.\n\n\
        Looked at is the cold supply of every boiler: a `backflow-preventer` sits in the pipe that feeds nothing else, or the boiler's line says \
        `protected` (filled over an air gap, or with a preventer of its own).\n\n\
        Heaters and tanks of drinking water need none. A check valve is no backflow preventer.",
    cite: |pack| limits::cite(pack, "boiler-backflow"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    for (ix, node) in context.fed_cold(&["boiler"]) {
        said.looked();
        if context.fixture(ix).facts.protected || own_preventer(context, node) {
            continue;
        }
        let tag = context.tag(ix);
        let message =
            format!("nothing keeps the water of {tag} from flowing back into the drinking water");
        let help = format!("put a `backflow-preventer` into the pipe that fills {tag}");
        said.breaks(context, At::Fixture(ix), message, help);
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(own: &str, fact: &str) -> Tell {
        let body = format!(
            "fixture B boiler main 10',5' faces south{fact}\n\
             cold c\nstart 0',0' main floor +3'\nsize 3/4\"\neast 2'\n{own}east to abreast B.cold\nend B.cold\n"
        );
        Tell::plain(&body, "water-boiler-unprotected")
    }

    #[test]
    fn filled_through_a_plain_pipe_or_a_check_valve() {
        told("", "").one();
        told("check-valve\n", "").one();
    }

    #[test]
    fn protected() {
        told("backflow-preventer\n", "").silent();
        told("", " protected").silent();
    }

    /// Exception: a boiler whose fill is not told, and a heater of drinking water.
    #[test]
    fn what_needs_none() {
        let body = "fixture B boiler main 10',5' faces south\nfixture W water-heater main 4',5' faces south\n\
             cold c\nstart 0',0' main floor +3'\nsize 3/4\"\neast to abreast W.cold\nend W.cold\n";
        Tell::plain(body, "water-boiler-unprotected").nowhere();
    }
}
