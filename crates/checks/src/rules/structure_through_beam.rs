//! Beams, girders and columns stay whole.
//!
//! IPC 307.1, UPC 312.2, NBC 9.23.5.

use wyeline_job::model::BodyKind;

use crate::context::Context;
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "structure-through-beam",
    title: "No pipe goes through a beam, a girder or a column.",
    page: "What carries the house is not drilled by the plumber. Only whoever designed a beam can say where a hole does no harm.\n\n\
        Looked at is every pipe, with its outside diameter, against every beam, girder and column that the job tells of. The message says how far it has to \
        move to miss it.\n\n\
        Touching is allowed. Exception: a hole that an engineer has shown; leave that part of the beam out of the job.",
    cite: |pack| limits::cite(pack, "through-structure"),
    look: |context, said| {
        through(context, said, |kind| {
            matches!(kind, BodyKind::Beam | BodyKind::Girder | BodyKind::Column)
        });
    },
};

/// Looks at the pipes that go through bodies of some kinds.
pub fn through(context: &Context, said: &mut Said, of: fn(BodyKind) -> bool) {
    let bodies = &context.network.building.bodies;
    for body in bodies {
        if of(body.kind) {
            said.looked();
        }
    }
    if said.places == 0 {
        return;
    }
    for crossing in context.network.crossings() {
        let body = &bodies[crossing.body];
        if !of(body.kind) {
            continue;
        }
        let word = match body.kind {
            BodyKind::Beam => "beam",
            BodyKind::Girder => "girder",
            BodyKind::Column => "column",
            BodyKind::Footing => "footing",
            BodyKind::Duct => "duct",
            BodyKind::Slab => "slab",
        };
        let name = context.run(crossing.pipe);
        let message = format!(
            "{name} goes through {word} {} by {}",
            body.tag,
            context.show(crossing.most)
        );
        let way = if crossing.way.z > 0.5 {
            "higher"
        } else if crossing.way.z < -0.5 {
            "lower"
        } else {
            "to the side"
        };
        let help = if body.kind == BodyKind::Footing {
            format!(
                "lead it {} {way}, or through a sleeve two sizes larger that is cast in: tell the footing with a gap there",
                context.show(crossing.most)
            )
        } else {
            format!(
                "lay it {} {way}, or lead it round the {word}",
                context.show(crossing.most)
            )
        };
        said.breaks(context, At::Pipe(crossing.pipe), message, help)
            .note(body.span, format!("the {word} is told here"));
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    /// The girder is 12 in deep from 1 ft below the floor: from -1 ft to -2 ft. A pipe of 2 in copper, 2-1/8 in outside, misses it from below
    /// with its centre at -2 ft 1-1/16 in.
    fn told(body: &str, z: &str) -> Tell {
        let body = format!(
            "{body} G 0',-4' to 0',4' wide 6\" top main floor -1' deep 12\"\n\
             cold c\nstart -5',0' main floor {z}\nsize 2\"\nmaterial copper\neast 10'\ncap\n"
        );
        Tell::plain(&body, "structure-through-beam")
    }

    #[test]
    fn through_and_just_below() {
        let through = told("girder", "-1'11\"");
        assert!(
            through
                .one()
                .message
                .starts_with("c goes through girder G by"),
            "{}",
            through.one().message
        );
        assert!(
            through.one().help.contains("lower"),
            "{}",
            through.one().help
        );
        told("girder", "-2'1-1/16\"").silent();
        told("beam", "-3'").silent();
    }

    /// A duct is no structure; a footing has a rule of its own.
    #[test]
    fn other_bodies() {
        told("duct", "-1'6\"").nowhere();
        told("footing", "-1'6\"").nowhere();
    }
}
