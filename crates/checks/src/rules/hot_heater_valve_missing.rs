//! A heater can be shut off on its own.
//!
//! IPC 503.1, UPC 606.2, Canada 2.6.1.3.

use super::water_equipment_valve_missing::own_valve;
use crate::context::Context;
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "hot-heater-valve-missing",
    title: "The cold supply of a heater has a valve that serves only the heater.",
    page: "A heater that leaks has to be shut off without drying out the house, and a valve for the whole house is the wrong one to look for then.\n\n\
        Looked at is the cold pipe of every water heater: on the part that feeds nothing else there has to be a gate, ball or globe valve.\n\n\
        A heater that takes its water from another heater or tank beside it is served by that one's valve. A check valve shuts nothing off.",
    cite: |pack| limits::cite(pack, "heater-valve"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    for (ix, node) in context.fed_cold(&["water-heater"]) {
        said.looked();
        if own_valve(context, node) {
            continue;
        }
        let tag = context.tag(ix);
        let message = format!("no valve shuts off {tag} alone");
        let help = format!(
            "name a `point` where its pipe leaves, and tell that pipe as a run with a `ball-valve` that ends at {tag}.cold"
        );
        said.breaks(context, At::Fixture(ix), message, help);
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(before: &str, own: &str) -> Tell {
        let body = format!(
            "fixture W water-heater main 10',5' faces south\nfixture L lavatory main 2',0' faces north\n\
             cold c\nstart 0',-3\" main floor +6'\nsize 3/4\"\n{before}east to abreast L.cold\ncatch L\n\
             east 2'\n{own}east to abreast W.cold\nend W.cold\n"
        );
        Tell::plain(&body, "hot-heater-valve-missing")
    }

    /// A valve for the whole house is none for the heater; nor is a check valve.
    #[test]
    fn none_of_its_own() {
        assert_eq!(
            told("east 1'\nball-valve\n", "").one().message,
            "no valve shuts off W alone"
        );
        told("", "check-valve\n").one();
    }

    #[test]
    fn one_of_its_own() {
        told("", "ball-valve\n").silent();
    }

    /// Exception: the second of two heaters in a row.
    #[test]
    fn two_in_a_row() {
        let body = "fixture W water-heater main 10',5' faces south\nfixture V water-heater main 14',5' faces south\n\
             cold c\nstart 0',5' main floor +6'\nsize 3/4\"\neast 1'\nball-valve\neast to abreast W.cold\nend W.cold\n\
             hot between\nstart W.hot\nsize 3/4\"\nup 1'\nend V.cold\n";
        Tell::plain(body, "hot-heater-valve-missing").silent();
    }
}
