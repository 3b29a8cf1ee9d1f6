//! Only fixtures of bathroom groups are on a wet vent, and not too many.
//!
//! IPC 912.1, UPC 908.2.1.

use crate::air::Way;
use crate::context::Context;
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-wet-fixtures",
    title: "Only fixtures of bathroom groups are on a wet vent, of no more groups than the code allows.",
    page: "Bathroom fixtures run short and seldom together. A kitchen sink or washer on a wet vent runs long, with grease and suds, and shuts the air off.\n\n\
        Looked at is everything that drains through a wet vent or takes its air by it: closets, lavatories, bidets, baths, showers and the floor drain of \
        the room are allowed. Groups are counted by their closets.\n\n\
        Two fixtures at two heights on one plumb drain are a common vent, a level branch of any fixtures with its vent between the two most \
        upstream is a circuit vent: both have rules of their own.",
    cite: |pack| {
        keys::cite(pack, "wet.only-bathroom-group").or_else(|| keys::cite(pack, "wet.groups-most"))
    },
    look,
};

fn look(context: &Context, said: &mut Said) {
    let only = keys::flag(context.pack, "wet.only-bathroom-group") == Some(true);
    let most = keys::value(context.pack, "wet.groups-most");
    for group in &context.index.groups {
        if group.way(context) != Way::Wet {
            continue;
        }
        said.looked();
        let at = group.wet.first().map_or(At::Job, |&pipe| At::Pipe(pipe));
        let mut strangers = group
            .arms(context)
            .filter(|arm| !context.kind(arm.fixture).of_bathroom());
        if let Some(arm) = strangers.next().filter(|_| only) {
            let tag = context.tag(arm.fixture);
            let message =
                format!("{tag} is on a wet vent; only fixtures of bathroom groups may be");
            let help = format!("give {tag} a vent of its own before its drain comes in");
            said.breaks(context, At::Fixture(arm.fixture), message, help)
                .note(context.span(at), "the wet vent");
        }
        let closets = group.closets(context);
        if let Some(most) = most.as_ref().filter(|most| closets as f64 > most.value) {
            let message = format!(
                "{closets} bathroom groups take their air by one wet vent; {} at most",
                most.value
            );
            said.breaks(context, at, message, "give the others a vent of their own")
                .by(&most.cite);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires_upc, one, silent};

    fn bath(kind: &str) -> String {
        format!(
            "fixture WC water-closet main 2',1' faces south\nfixture F {kind} main 6',3' faces south\nfixture LAV lavatory main 20',1' faces south\n\
             waste d\nstart 0',0' main floor -2'\nsize 3\"\neast to abreast WC.drain\ncatch WC\neast to abreast F.TEE\ncatch F\n\
             east to abreast LAV.tee\nend LAV\nvent v\nstart LAV.tee\nsize 2\"\nup through roof\n"
        )
        .replace("F.TEE", if kind == "kitchen-sink" { "F.tee" } else { "F.drain" })
    }

    #[test]
    fn a_kitchen_sink() {
        let found = one(&bath("kitchen-sink"), "vent-wet-fixtures");
        assert!(
            found.message.starts_with("F is on a wet vent"),
            "{}",
            found.message
        );
        silent(&bath("shower"), "vent-wet-fixtures");
        silent(&bath("floor-drain"), "vent-wet-fixtures");
    }

    /// UPC 908.2.1: one bathroom group; a second closet is one too many.
    #[test]
    fn one_group_by_the_upc() {
        assert!(fires_upc(&bath("shower"), "vent-wet-fixtures").is_empty());
        assert_eq!(
            fires_upc(&bath("water-closet"), "vent-wet-fixtures").len(),
            1
        );
        silent(&bath("water-closet"), "vent-wet-fixtures");
    }
}
