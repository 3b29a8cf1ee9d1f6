//! The closet's flange lies where closets are made for it.
//!
//! Trade practice: 10, 12 or 14 in from the finished wall.

use std::collections::HashMap;

use wyeline_codes::Cite;
use wyeline_network::model::FixtureIx;

use crate::context::Context;
use crate::finding::At;
use crate::kind::Kind;
use crate::limits;
use crate::practice::practice;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "fixture-closet-rough-in",
    title: "A closet's flange lies 10, 12 or 14 in from the finished wall.",
    page: "A flange an inch out means another closet or another floor.\n\n\
        Measured is the distance told on a closet's line (`drain out 12-1/2\"`) from the finished wall to the centre of its flange. Within 1/2 in of 10, 12 or \
        14 in there is a closet for it.\n\n\
        A closet whose line says nothing has 12 in. Wall-hung closets have their drain in the wall: not looked at where `out` is 0.",
    cite: |pack| limits::cite(pack, "rough-in"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let mut places: HashMap<&str, FixtureIx> = HashMap::new();
    for (ix, fixture) in context.network.fixtures.iter().enumerate() {
        let ix = FixtureIx(ix as u32);
        if context.kind(ix) == Kind::Closet {
            said.looked();
            places.insert(&fixture.tag, ix);
        }
    }
    for told in &context.job.fixtures {
        let mut ports = told.ports.iter();
        let out = ports
            .find(|port| port.port.text == "drain")
            .and_then(|port| port.out);
        let (Some(out), Some(&ix)) = (out, places.get(&*told.tag.text)) else {
            continue;
        };
        let out = out.mm();
        if out == 0.0 || practice().closet.made_for(out) {
            continue;
        }
        let message = format!(
            "the flange of {} lies {} from the finished wall; closets are made for 10, 12 and 14 in",
            told.tag.text,
            context.show(out)
        );
        let help = "move the flange, or fur the wall out";
        let closet = &practice().closet;
        let cite = Cite {
            document: "trade practice".into(),
            place: closet.document.as_str().into(),
            how: closet.how,
        };
        said.breaks(context, At::Fixture(ix), message, help)
            .by(&cite);
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(out: &str) -> Tell {
        let body = format!("fixture W water-closet main 10',0' faces north {out}\n");
        Tell::plain(&body, "fixture-closet-rough-in")
    }

    /// 12-1/2 in is half an inch off 12, the limit itself; 12-9/16 in is more, 11 in is an inch off two of them.
    #[test]
    fn half_an_inch() {
        told("drain out 12-1/2\"").silent();
        assert!(
            told("drain out 12-9/16\"")
                .one()
                .message
                .contains("lies 1'-0 9/16\" from"),
            "{}",
            told("drain out 12-9/16\"").one().message
        );
        told("drain out 11\"").one();
        told("drain out 10\"").silent();
        told("drain out 14\"").silent();
    }

    /// Exceptions: nothing told, and a closet that hangs on the wall.
    #[test]
    fn nothing_told() {
        told("").silent();
        told("drain out 0\" up 9\"").silent();
    }
}
