//! Hot water is not led farther to a fixture than the code allows without circulation.
//!
//! IPC 607.2: 50 ft.

use wyeline_network::model::FixtureIx;

use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "hot-pipe-long",
    title: "From the source of hot water to a fixture it is no farther than the code allows.",
    page: "All the water that stands in the pipe runs away cold before it is warm: a long pipe wastes water every time.\n\n\
        Measured is the developed length of hot pipe from the heater to each fixture's hot stub. What is circulated - the hot pipe up to the point from \
        which a return leads back - counts as part of the source, and the length begins behind it. So it does behind a mixing valve that \
        stands at the fixture.\n\n\
        Exactly the limit is allowed. Pipe kept warm by a heating cable would count as source as well; the job cannot say it. A supply that \
        comes hot from outside the drawing is not checked.",
    cite: |pack| limits::cite(pack, "hot-length"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(most) = limits::limit(context.pack, "hot-length") else {
        return;
    };
    for (ix, fixture) in context.network.fixtures.iter().enumerate() {
        let ix = FixtureIx(ix as u32);
        if fixture.centred {
            continue;
        }
        let Some(node) = context.port(ix, "hot") else {
            continue;
        };
        if context.supply().feed[node.0 as usize].is_none() {
            continue;
        }
        let Some(length) = context.supply().from_hot[node.0 as usize] else {
            said.unknown(
                At::Fixture(ix),
                "its hot water comes from outside the drawing",
            );
            continue;
        };
        said.looked();
        if length <= most.value + ALIKE {
            continue;
        }
        let message = format!(
            "{} of hot pipe to {}; {} is the most without circulation",
            context.show(length),
            fixture.tag,
            context.show(most.value)
        );
        let help = format!(
            "lead a `hot-return` back from a point within {} of it, or place a heater nearer",
            context.show(most.value)
        );
        said.breaks(context, At::Fixture(ix), message, help)
            .by(&most.cite);
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn to_lavatory(at: &str) -> Tell {
        let body = format!(
            "fixture W water-heater main 0',0' faces south\nfixture L lavatory main {at},3\" faces north hot up 5'\n\
             hot h\nstart W.hot\nsize 1/2\"\nsouth 3\"\neast to abreast L.hot\nend L\n"
        );
        Tell::plain(&body, "hot-pipe-long")
    }

    /// The heater faces south: its user looks north and has hot on the left, 4 in west of the centre. The lavatory faces north: hot is on its user's
    /// left, 4 in east of its centre, and lies on the wall's face where there is no wall. From -4 in, 0 south 3 in, then to x + 4 in, then north 6 in.
    /// 50 ft in all: 3 in + (x + 8 in) + 6 in = 600 in, so x = 583 in = 48 ft 7 in.
    #[test]
    fn fifty_feet() {
        to_lavatory("48'7\"").silent();
        to_lavatory("40'").silent();
        let told = to_lavatory("48'8\"");
        assert!(
            told.one().message.starts_with("50'-1\" of hot pipe to L"),
            "{}",
            told.one().message
        );
    }

    /// Exception: what is circulated counts as source.
    #[test]
    fn circulated() {
        let body = "fixture W water-heater main 0',0' faces south\nfixture L lavatory main 90',3\" faces north hot up 5'\n\
             hot h\nstart W.hot\nsize 1/2\"\nsouth 3\"\neast 60'\npoint FAR\neast to abreast L.hot\nend L\n\
             hot-return r\nstart FAR\nsize 1/2\"\ndown 1'\nwest 55'\nend W.return\n";
        Tell::plain(body, "hot-pipe-long").silent();
    }

    #[test]
    fn from_outside() {
        let body = "fixture L lavatory main 90',3\" faces north\n\
             hot h\nstart 0',0' main floor +5'\nsize 1/2\"\neast to abreast L.hot\nend L\n";
        Tell::plain(body, "hot-pipe-long").unknown("outside the drawing");
    }
}
