//! Equipment that takes water can be shut off on its own.
//!
//! IPC 606.2 (appliances and mechanical equipment), UPC 606.5, Canada 2.6.1.3.

use crate::context::Context;
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};
use crate::supply::SHUT_OFF;

/// The rule.
pub static RULE: Rule = Rule {
    name: "water-equipment-valve-missing",
    title: "Boilers and tanks have a shut-off valve of their own.",
    page: "Equipment is taken out and repaired more often than pipe; the rest of the house should not run dry meanwhile.\n\n\
        Looked at is the cold supply of every boiler and storage tank: on the pipe that feeds nothing else there has to be a valve.\n\n\
        Heaters have a rule of their own. The stops of fixtures, dishwashers and washers are trim at the fixture and no part of the drawing; \
        they are not checked. A tank fed by another piece of equipment right beside it is served by that one's valve.",
    cite: |pack| limits::cite(pack, "fixture-valve"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    for (ix, node) in context.fed_cold(&["boiler", "storage-tank"]) {
        said.looked();
        if own_valve(context, node) {
            continue;
        }
        let tag = context.tag(ix);
        let message = format!("no valve shuts off {tag} alone");
        let help = format!("put a `ball-valve` into the pipe that feeds only {tag}");
        said.breaks(context, At::Fixture(ix), message, help);
    }
}

/// Whether a shut-off valve sits in the pipe that feeds only this point; or the pipe comes from other equipment.
pub fn own_valve(context: &Context, node: wyeline_network::model::NodeIx) -> bool {
    let outlets = &context.supply().outlets;
    let mut from_equipment = false;
    let valve = context.own_supply(node).any(|(_, from)| {
        from_equipment |= context.node(from).fixture.is_some();
        outlets[from.0 as usize] <= 1 && context.device_at(from, SHUT_OFF)
    });
    valve || from_equipment || context.device_at(node, SHUT_OFF)
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(before: &str, own: &str) -> Tell {
        let body = format!(
            "fixture B boiler main 10',5' faces south\nfixture L lavatory main 2',0' faces north\n\
             cold c\nstart 0',-3\" main floor +3'\nsize 3/4\"\n{before}east to abreast L.cold\ncatch L\n\
             east 2'\n{own}east to abreast B.cold\nend B.cold\n"
        );
        Tell::plain(&body, "water-equipment-valve-missing")
    }

    #[test]
    fn a_boiler_without_its_valve() {
        assert_eq!(told("", "").one().message, "no valve shuts off B alone");
        told("east 1'\nball-valve\n", "").one();
    }

    #[test]
    fn a_valve_that_serves_it_alone() {
        told("", "ball-valve\n").silent();
    }

    /// Exception: a tank that another piece of equipment feeds.
    #[test]
    fn a_tank_behind_a_boiler() {
        let body = "fixture B boiler main 10',5' faces south\nfixture T storage-tank main 16',5' faces south\n\
             hot h\nstart B.hot\nsize 3/4\"\nup 1'\nend T.cold\n";
        Tell::plain(body, "water-equipment-valve-missing").silent();
    }
}
