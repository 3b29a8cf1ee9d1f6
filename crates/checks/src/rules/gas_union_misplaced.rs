//! A union between an appliance and its gas cock, so that it can be taken out.
//!
//! IFGC 409.5, UPC 1212.6: the valve stands upstream of the union or connector.

use wyeline_job::model::DeviceKind;
use wyeline_network::model::FixtureIx;

use super::gas_cock_missing::COCKS;
use crate::context::Context;
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};
use crate::supply::Devices;

/// The rule.
pub static RULE: Rule = Rule {
    name: "gas-union-misplaced",
    title: "The union of a gas appliance stands behind its shut-off valve.",
    page: "A union before the valve is opened with the gas on.\n\n\
        Looked at is every gas appliance whose own pipe has both a `union` and a `gas-cock`: going with the gas, the cock comes first.\n\n\
        An appliance without a union is connected by a listed connector, which is no part of the drawing; it is not looked at. A cock at the same \
        point as the union is taken to come first.",
    cite: |pack| limits::cite(pack, "gas-union"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    const UNION: Devices = Devices::one(DeviceKind::Union);
    for (ix, fixture) in context.network.fixtures.iter().enumerate() {
        let ix = FixtureIx(ix as u32);
        let Some(node) = context.port(ix, "gas") else {
            continue;
        };
        let mut union = None;
        let mut cock = None;
        for (place, (_, from)) in context.own_supply(node).enumerate() {
            if context.supply().outlets[from.0 as usize] > 1 {
                break;
            }
            if context.device_at(from, UNION) {
                union.get_or_insert((place, from));
            }
            if context.device_at(from, COCKS) {
                cock.get_or_insert(place);
            }
        }
        let (Some((union, at)), Some(cock)) = (union, cock) else {
            continue;
        };
        said.looked();
        if union <= cock {
            continue;
        }
        let tag = &fixture.tag;
        let message = format!("the union of {tag} stands before its gas cock");
        let help = "tell the `gas-cock` before the `union`";
        said.breaks(context, At::Node(at), message, help);
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(first: &str, then: &str) -> Tell {
        let body = format!(
            "fixture R gas-range main 20',0' faces north\n\
             gas g\nstart 0',0' main floor +4\"\nsize 3/4\"\neast 15'\n{first}\neast 1'\n{then}\neast to abreast R.gas\nend R\n"
        );
        Tell::plain(&body, "gas-union-misplaced")
    }

    #[test]
    fn which_comes_first() {
        told("gas-cock", "union").silent();
        assert_eq!(
            told("union", "gas-cock").one().message,
            "the union of R stands before its gas cock"
        );
    }

    /// Exception: a connector takes the place of the union.
    #[test]
    fn without_a_union() {
        told("gas-cock", "note \"connector\"").nowhere();
    }
}
