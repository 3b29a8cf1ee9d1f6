//! No joist is cut away for a pipe.
//!
//! IRC R502.8.1: notches a sixth of the depth, none in the middle third; NBC 9.23.5 in Canada.

use std::collections::HashSet;

use crate::context::Context;
use crate::finding::At;
use crate::framing::{Meets, joists_met};
use crate::limits;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "structure-joist-cut",
    title: "No joist is cut or notched deeply for a pipe.",
    page: "The closet stands over a joist, the joist is cut for its bend, and the floor sags for years.\n\n\
        Looked at is every pipe that goes up or down through a floor's joists, or lies along one, nearer to a joist's centre than half of both \
        thicknesses (1-1/2 in for the joist), said once for each run in each floor; and every crossing at which the pipe breaks out of a joist's edge: that is a notch, which may be a \
        sixth of the depth.\n\n\
        A notch within the sixth is not checked further: it may not lie in the middle third of the span, and where the joist bears the job does not say. \
        Engineered wood (told so, or of a depth that no sawn joist has) may not be cut, notched or drilled unless its maker or a design professional allows it (IRC R502.8.2). Exceptions: joists headed off round an opening - leave out the place, or tell the joists so that they miss it.",
    cite: |pack| limits::cite(pack, "joist-cut"),
    look,
};

/// Less than a saw can do, mm.
const EVEN: f64 = 0.05;

fn look(context: &Context, said: &mut Said) {
    let notch = limits::limit(context.pack, "joist-notch");
    // Said once for each run in each floor.
    let mut told: HashSet<(u32, u64)> = HashSet::new();
    joists_met(context, |ix, meets| {
        let at = At::Pipe(ix);
        let name = context.run(ix);
        match meets {
            Meets::NotKnown(why) => said.unknown(at, why),
            Meets::Plumb { floor, off, clear } | Meets::Along { floor, off, clear } => {
                said.looked();
                let place = (context.pipe(ix).run.0, floor.z.0.to_bits());
                if off >= clear - EVEN || !told.insert(place) {
                    return;
                }
                let along = matches!(meets, Meets::Along { .. });
                let message = format!(
                    "{name} {} a joist: its centre is {} from the joist's and has to be {}",
                    if along { "lies in" } else { "cuts through" },
                    context.show(off),
                    context.show(clear)
                );
                let help = format!(
                    "move it {} to one side, or have the joist headed off",
                    context.show(clear - off)
                );
                said.breaks(context, at, message, help);
            }
            Meets::Across(joists, holes) => {
                let most = joists.depth() * notch.as_ref().map_or(0.0, |notch| notch.value);
                let broken = holes
                    .iter()
                    .filter(|hole| hole.above < -EVEN || hole.below < -EVEN);
                let depth = |hole: &&crate::framing::Hole| hole.wide + hole.above.min(hole.below);
                let Some(worst) = broken.max_by(|a, b| depth(a).total_cmp(&depth(b))) else {
                    return;
                };
                let depth = depth(&worst);
                said.looked();
                if !joists.engineered() && notch.is_none() {
                    said.unknown(
                        at,
                        "it notches a joist, and how deep a notch the code allows is not held here",
                    );
                    return;
                }
                if !joists.engineered() && depth <= most + EVEN {
                    said.unknown(at, "it notches a joist; a notch may not lie in the middle third of the span, and where the joist bears is not told");
                    return;
                }
                let edge = if worst.above < worst.below {
                    "top"
                } else {
                    "bottom"
                };
                let message = if joists.engineered() {
                    format!(
                        "{name} notches a joist of engineered wood {} deep at its {edge} by {}; it may not be cut, notched or drilled unless its maker or a design professional allows it",
                        context.show(joists.depth()),
                        context.show(depth)
                    )
                } else {
                    format!(
                        "{name} notches a joist {} deep at its {edge} by {}; in sawn lumber {} is the most",
                        context.show(joists.depth()),
                        context.show(depth),
                        context.show(most)
                    )
                };
                let finding = said.breaks(
                    context,
                    at,
                    message,
                    "run it through the middle of the depth, below the joists, or along them",
                );
                let cite = if joists.engineered() {
                    limits::cite(context.pack, "joist-engineered")
                } else {
                    notch.as_ref().map(|notch| notch.cite.clone())
                };
                if let Some(cite) = cite {
                    finding.by(&cite);
                }
            }
        }
    });
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(joists: &str, pipe: &str) -> Tell {
        let text = format!(
            "job t\nunits ft-in\nlevel cellar floor -10'\nlevel main floor 0' ceiling 8' joists {joists}\nroof 20'\n\
             wall main -10',-10' 30',-10' 30',30' -10',30' -10',-10'\n{pipe}"
        );
        Tell::whole("ipc-2021", &text, "structure-joist-cut", |_, _| ())
    }
    const SAWN: &str = "9-1/4\" run east-west at 16\" from 0'";

    /// A riser of 2 in copper (2-1/8 in outside) clears a joist of 1-1/2 in when its centre is 1-1/16 + 3/4 = 1-13/16 in away: joists lie at 16 in.
    #[test]
    fn a_riser_beside_a_joist() {
        let riser = |y: &str| {
            told(
                SAWN,
                &format!(
                    "cold c\nstart 5',{y} main floor -2'\nsize 2\"\nmaterial copper\nup 4'\ncap\n"
                ),
            )
        };
        riser("1'5-13/16\"").silent();
        let near = riser("1'5-3/4\"");
        assert!(
            near.one().message.contains("cuts through a joist"),
            "{}",
            near.one().message
        );
        riser("2'").silent();
    }

    /// Along the joists the same clearance holds.
    #[test]
    fn along_a_joist() {
        let along = |y: &str| {
            told(
                SAWN,
                &format!(
                    "cold c\nstart 5',{y} main floor -5\"\nsize 2\"\nmaterial copper\neast 6'\ncap\n"
                ),
            )
        };
        assert!(along("1'4\"").one().message.contains("lies in a joist"));
        along("1'5-13/16\"").silent();
    }

    /// A pipe of 2-1/8 in with its centre at the joist's underside (9-1/4 in down) notches it 1-1/16 in; a sixth of 9-1/4 in is 1.54 in.
    /// With its centre 1/2 in higher it is 1-9/16 in: too deep.
    #[test]
    fn a_notch() {
        let across = |z: &str| {
            told(
                SAWN,
                &format!(
                    "cold c\nstart 5',1' main floor {z}\nsize 2\"\nmaterial copper\nnorth 6'\ncap\n"
                ),
            )
        };
        across("-9-1/4\"").unknown("middle third");
        assert!(
            across("-8-3/4\"").one().message.contains("at its bottom"),
            "{}",
            across("-8-3/4\"").one().message
        );
    }

    /// The notch of 1-1/16 in, which sawn lumber may have, is one too many where the job says that the joists are engineered.
    #[test]
    fn a_notch_in_engineered_wood() {
        let pipe =
            "cold c\nstart 5',1' main floor -9-1/4\"\nsize 2\"\nmaterial copper\nnorth 6'\ncap\n";
        let found = told("9-1/4\" engineered run east-west at 16\" from 0'", pipe);
        assert!(
            found.one().message.contains("unless its maker"),
            "{}",
            found.one().message
        );
        assert_eq!(&*found.one().cite.place, "R502.8.2");
    }

    /// Exception: below the joists; in a floor of which no joists are told there is nothing to cut.
    #[test]
    fn below() {
        let below =
            "cold c\nstart 5',1' main floor -12\"\nsize 2\"\nmaterial copper\nnorth 6'\ncap\n";
        told(SAWN, below).nowhere();
        Tell::plain(below, "structure-joist-cut").nowhere();
    }
}
