//! Pipe comes out of the wall at a height at which the fixture can be connected.
//!
//! Trade practice, from rough-in summaries: `data/practice.toml`.

use wyeline_codes::Cite;
use wyeline_network::model::FixtureIx;

use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::limits;
use crate::practice::practice;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "fixture-height",
    title: "A fixture's pipes come out of the wall at a height that it is made for.",
    page: "A trap that hangs too low or a stop that sits behind the bowl is found when the wall is closed.\n\n\
        Measured is the height above the finished floor of the tee and the supplies of lavatories, kitchen sinks, closets, showers and washers, where a run \
        reaches them, against what rough-in sheets show: a lavatory's drain 16 to 20 in, a kitchen sink's 15 to 20 in, a shower valve 38 to 48 in, a \
        closet's stop 6 to 10 in, a washer's trap 6 to 18 in.\n\n\
        Exactly the limits are allowed. These are habits, not code: the sheet of the fixture chosen goes first, and a wall-hung, vessel or accessible one may need another.",
    cite: |pack| limits::cite(pack, "rough-in"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    for (ix, fixture) in context.network.fixtures.iter().enumerate() {
        let ix = FixtureIx(ix as u32);
        for row in practice()
            .height
            .iter()
            .filter(|row| row.kind == fixture.kind)
        {
            let mut ports = fixture.ports.iter();
            let Some(port) = ports.find(|port| port.name == row.port && port.node.is_some()) else {
                continue;
            };
            said.looked();
            let (low, high) = row.range();
            let up = port.at.z - fixture.anchor.z;
            if (low - ALIKE..=high + ALIKE).contains(&up) {
                continue;
            }
            let (tag, name) = (&fixture.tag, &row.port);
            let message = format!(
                "the {name} of {tag} lies {} above the floor; {} to {} is usual",
                context.show(up),
                context.show(low),
                context.show(high)
            );
            let help = format!("say `{name} up …` within that, or measure the fixture chosen");
            let cite = Cite {
                document: "trade practice".into(),
                place: row.document.as_str().into(),
                how: row.how,
            };
            said.breaks(context, At::Fixture(ix), message, help)
                .by(&cite);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(up: &str) -> Tell {
        let body = format!(
            "fixture L lavatory main 10',0' faces north tee up {up}\n\
             waste d\nstart 5',0' main floor +1'\nsize 2\"\nend L\n"
        );
        Tell::plain(&body, "fixture-height")
    }

    /// 16 to 20 in: both are limits themselves.
    #[test]
    fn a_lavatory() {
        assert!(
            told("15\"")
                .one()
                .message
                .contains("1'-3\" above the floor; 1'-4\" to 1'-8\" is usual"),
            "{}",
            told("15\"").one().message
        );
        told("16\"").silent();
        told("18\"").silent();
        told("20\"").silent();
        told("21\"").one();
    }

    /// Ports to which no run leads are not looked at.
    #[test]
    fn nothing_leads_there() {
        Tell::plain(
            "fixture L lavatory main 10',0' faces north tee up 30\"\n",
            "fixture-height",
        )
        .nowhere();
    }
}
