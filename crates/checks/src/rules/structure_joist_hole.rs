//! Holes in joists are small enough and far enough from the edge.
//!
//! IRC R502.8.1 in the United States; NBC 9.23.5.1 in Canada.

use crate::context::Context;
use crate::finding::At;
use crate::framing::{Meets, joists_met};
use crate::limits;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "structure-joist-hole",
    title: "A hole in a joist is no larger than the code allows and keeps away from its edges.",
    page: "A joist works in its edges: wood taken from there is strength taken from the floor. A hole in the middle of its depth costs little.\n\n\
        Measured is every joist that a level or sloping pipe crosses. The hole is taken as the outside of the pipe, the least there can be: its diameter \
        against the joist's depth (a third; in Canada a quarter), and the wood left above and below (2 in; 50 mm). The height is that of the \
        pipe's centre at the joist, with its fall.\n\n\
        The joists are those told with the level (`joists 9-1/4\" run east-west at 16\" from 1'3\"`), all over the plan of its walls. \
        They are taken for sawn lumber where their depth is that of sawn lumber, unless the job says `engineered`. In engineered wood - I-joists, laminated veneer, \
        trusses - there is no cut, notch or hole unless the maker or a design professional allows it (IRC R502.8.2): not checked, as is a level whose joists have no \
        spacing or place.",
    cite: |pack| limits::cite(pack, "joist-hole"),
    look,
};

/// Less than a drill can do, mm.
const EVEN: f64 = 0.05;

fn look(context: &Context, said: &mut Said) {
    let (Some(share), Some(edge)) = (
        limits::limit(context.pack, "joist-hole"),
        limits::limit(context.pack, "joist-edge"),
    ) else {
        return;
    };
    joists_met(context, |ix, meets| {
        let at = At::Pipe(ix);
        let (joists, holes) = match meets {
            Meets::NotKnown(why) => return said.unknown(at, why),
            Meets::Along { .. } | Meets::Plumb { .. } => return,
            Meets::Across(joists, holes) => (joists, holes),
        };
        if joists.engineered() {
            said.unknown(
                at,
                format!(
                    "joists of {} are engineered wood: no cut, notch or hole unless their maker or a design professional allows it (IRC R502.8.2)",
                    context.show(joists.depth())
                ),
            );
            return;
        }
        said.looked();
        let count = holes.len();
        let most = joists.depth() * share.value;
        let Some(hole) = holes
            .iter()
            .filter(|hole| hole.above >= -EVEN && hole.below >= -EVEN)
            .min_by(|a, b| a.above.min(a.below).total_cmp(&b.above.min(b.below)))
        else {
            return;
        };
        let joist = if count == 1 {
            "a joist".to_owned()
        } else {
            format!("{count} joists")
        };
        let name = context.run(ix);
        if hole.wide > most + EVEN {
            let message = format!(
                "{name} crosses {joist} {} deep and needs a hole of {}; in sawn lumber {} is the most",
                context.show(joists.depth()),
                context.show(hole.wide),
                context.show(most)
            );
            said.breaks(
                context,
                at,
                message,
                "run it along the joists or below them, or have the floor framed round it",
            );
        } else if hole.above.min(hole.below) < edge.value - EVEN {
            let (left, which) = if hole.above < hole.below {
                (hole.above, "top")
            } else {
                (hole.below, "bottom")
            };
            let message = format!(
                "the hole for {name} in {joist} leaves {} of wood at the {which} edge; it has to leave {}",
                context.show(left.max(0.0)),
                context.show(edge.value)
            );
            let way = if which == "top" { "lower" } else { "raise" };
            let help = format!(
                "{way} the pipe by {} at this joist",
                context.show(edge.value - left)
            );
            said.breaks(context, at, message, help).by(&edge.cite);
        }
    });
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    /// Joists 9-1/4 in deep under the floor at 0, running east-west, centres at 16 in, 32 in ..., crossed by a level water pipe going north.
    fn told_by(code: &str, joists: &str, z: &str, size: &str, material: &str) -> Tell {
        let text = format!(
            "job t\nunits ft-in\nlevel cellar floor -10'\nlevel main floor 0' ceiling 8' joists {joists}\nroof 20'\n\
             wall main -10',-10' 30',-10' 30',30' -10',30' -10',-10'\n\
             cold c\nstart 5',1' main floor {z}\nsize {size}\nmaterial {material}\nnorth 6'\ncap\n"
        );
        Tell::whole(code, &text, "structure-joist-hole", |_, _| ())
    }
    fn told(z: &str, size: &str) -> Tell {
        told_by(
            "ipc-2021",
            "9-1/4\" run east-west at 16\" from 0'",
            z,
            size,
            "copper",
        )
    }

    /// A third of 9-1/4 in is 3.083 in. Copper of 3 in is 3-1/8 in outside: too large; 2-1/2 in is 2-5/8 in: allowed in the middle (4-5/8 in down).
    #[test]
    fn a_third_of_the_depth() {
        assert!(
            told("-4-5/8\"", "3\"")
                .one()
                .message
                .contains("needs a hole of"),
            "{}",
            told("-4-5/8\"", "3\"").one().message
        );
        told("-4-5/8\"", "2-1/2\"").silent();
    }

    /// Copper of 2 in is 2-1/8 in outside: its centre 3-1/16 in below the top leaves 2 in, the limit itself; 3 in leaves 1-15/16 in.
    /// From below: 9-1/4 - 3-1/16 = 6-3/16 in.
    #[test]
    fn two_inches_from_the_edge() {
        told("-3-1/16\"", "2\"").silent();
        assert!(
            told("-3\"", "2\"")
                .one()
                .message
                .contains("at the top edge")
        );
        told("-6-3/16\"", "2\"").silent();
        assert!(
            told("-6-1/4\"", "2\"")
                .one()
                .message
                .contains("at the bottom edge")
        );
    }

    /// 6 ft going north from 1 ft crosses the joists at 16, 32, 48, 64 and 80 in: five.
    #[test]
    fn counts_the_joists() {
        assert!(
            told("-3\"", "2\"").one().message.contains("in 5 joists"),
            "{}",
            told("-3\"", "2\"").one().message
        );
    }

    /// In Canada a quarter: 2.31 in of 9-1/4 in, too little for 2-1/2 in copper (2-5/8 in).
    #[test]
    fn canada_allows_less() {
        told_by(
            "npc-2020",
            "9-1/4\" run east-west at 16\" from 0'",
            "-4-5/8\"",
            "2-1/2\"",
            "copper",
        )
        .one();
        told_by(
            "npc-2020",
            "9-1/4\" run east-west at 16\" from 0'",
            "-4-5/8\"",
            "2\"",
            "copper",
        )
        .silent();
    }

    /// Exceptions: below the joists, along them, and what nobody can tell.
    #[test]
    fn exceptions() {
        told("-12\"", "3\"").nowhere();
        told_by(
            "ipc-2021",
            "9-1/4\" run north-south at 16\" from 0'",
            "-4-5/8\"",
            "2\"",
            "copper",
        )
        .nowhere();
        told_by(
            "ipc-2021",
            "11-7/8\" run east-west at 16\" from 0'",
            "-4-5/8\"",
            "2\"",
            "copper",
        )
        .unknown("engineered wood");
        // 9-1/4 in is a sawn depth; only the job can say that these are not sawn.
        told_by(
            "ipc-2021",
            "9-1/4\" engineered run east-west at 16\" from 0'",
            "-4-5/8\"",
            "3\"",
            "copper",
        )
        .unknown("unless their maker or a design professional allows it");
        told_by(
            "ipc-2021",
            "9-1/4\" run east-west",
            "-4-5/8\"",
            "2\"",
            "copper",
        )
        .unknown("where the joists lie");
    }
}
