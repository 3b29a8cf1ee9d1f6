//! The trap of a floor drain is kept from drying out.
//!
//! IPC 1002.4.1, UPC 1007.1, Canada 2.4.5.5.

use wyeline_network::model::FixtureIx;

use crate::context::Context;
use crate::finding::At;
use crate::kind::Kind;
use crate::limits;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "fixture-floor-drain-seal",
    title: "The trap seal of a floor drain is protected.",
    page: "A floor drain that nothing drains into loses its water in a few weeks, and the sewer's air comes up through it.\n\n\
        Looked at is every floor drain to which a drain leads: its line has to say `protected` - a trap primer, a barrier in the trap, or water that reaches it \
        every few days.\n\n\
        Floor sinks take waste all the time and are not meant. By the UPC the authority may do without.",
    cite: |pack| limits::cite(pack, "floor-drain-seal"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    for (ix, fixture) in context.network.fixtures.iter().enumerate() {
        let ix = FixtureIx(ix as u32);
        if context.kind(ix) != Kind::FloorDrain || context.index.arm_of[ix.0 as usize].is_none() {
            continue;
        }
        said.looked();
        if fixture.facts.protected {
            continue;
        }
        let tag = &fixture.tag;
        let message = format!("nothing keeps the trap of {tag} from drying out");
        let help = format!(
            "give it a trap primer or a barrier and say so: `fixture {tag} floor-drain … protected`"
        );
        said.breaks(context, At::Fixture(ix), message, help);
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(kind: &str, fact: &str) -> Tell {
        let body = format!(
            "fixture F {kind} main 10',0' faces north{fact}\n\
             waste d\nstart 5',0' main floor -2'\nsize 3\"\neast to abreast F.drain\nend F\n"
        );
        Tell::plain(&body, "fixture-floor-drain-seal")
    }

    #[test]
    fn a_floor_drain() {
        assert_eq!(
            told("floor-drain", "").one().message,
            "nothing keeps the trap of F from drying out"
        );
        told("floor-drain", " protected").silent();
    }

    /// Exception: a floor sink.
    #[test]
    fn a_floor_sink() {
        told("floor-sink", "").nowhere();
    }
}
