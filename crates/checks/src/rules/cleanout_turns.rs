//! Cleanouts where drains change direction.
//!
//! IPC 708.1.4, UPC 707.4.

use wyeline_network::model::PipeIx;

use super::cleanout_distance::next_cleanout_up;
use crate::context::{ALIKE, Context, is_level};
use crate::finding::At;
use crate::keys;
use crate::measure::{has_cleanout, turn};
use crate::rule::{Rule, Said};

/// Rounding of angles between pipes as drawn, degrees; fittings differ by 11-1/4 at least.
const ROUNDING: f64 = 1.0;

/// The rule.
pub static RULE: Rule = Rule {
    name: "cleanout-turns",
    title: "Where a level drain changes direction a cleanout is near.",
    page: "A cable gets stuck in bends. Codes put it in two ways: the IPC asks for a cleanout at each change of more than 45 degrees, one being enough for all \
        changes within 40 ft of pipe; the UPC adds the changes up and asks for one when they pass 135 degrees together.\n\n\
        Followed are level drains of several fixtures, from a cleanout or the upstream end on downstream. Changes of direction between level pieces count; \
        where a branch comes in, the turn of each way through counts.\n\n\
        Fixture drains, which are reached through the trap, do not count, nor do plumb turns. Under the IPC a closet that can be lifted off is as good as a \
        cleanout (from memory). Where the upper end of the drain has a cleanout, that \
        one serves the turns after it.",
    cite: |pack| {
        keys::cite(pack, "cleanout.turn").or_else(|| keys::cite(pack, "cleanout.aggregate-turn"))
    },
    look,
};

/// What lies upstream of a point, since the last cleanout.
#[derive(Clone, Copy, Default)]
struct Since {
    /// Changes of direction added up, degrees.
    turned: f64,
    /// Length of pipe since the last cleanout; infinite where there was none.
    length: f64,
    /// The finding has been said.
    told: bool,
}

fn look(context: &Context, said: &mut Said) {
    let single = keys::value(context.pack, "cleanout.turn");
    let run = keys::number(context.pack, "cleanout.one-per-run").unwrap_or(0.0);
    let aggregate = keys::value(context.pack, "cleanout.aggregate-turn");
    let mut since = vec![
        Since {
            length: f64::INFINITY,
            ..Since::default()
        };
        context.network.pipes.len()
    ];
    for &ix in &context.index.drains {
        let pipe = context.pipe(ix);
        let up = context.index.upstream[ix.0 as usize];
        let cleanout = has_cleanout(context, pipe.from) || next_cleanout_up(context, pipe.from);
        let mut here = Since {
            length: f64::INFINITY,
            ..Since::default()
        };
        // A closet that can be lifted off is as good as a cleanout where turns are looked at one by one.
        let closet = single.is_some() && up.fixtures == 1 && up.closets == 1;
        if cleanout || (closet && context.drains_into(pipe.from).next().is_none()) {
            here.length = 0.0;
        }
        let drain = is_level(pipe) && up.fixtures >= 2;
        let mut sharpest: Option<f64> = None;
        for into in context.drains_into(pipe.from) {
            let before = since[into.0 as usize];
            here.length = here.length.min(before.length);
            // A fixture's own drain is reached through its trap.
            let of_one = context.index.upstream[into.0 as usize].fixtures < 2;
            if !drain || of_one || !is_level(context.pipe(into)) {
                continue;
            }
            let angle = turn(context, into, ix);
            sharpest = Some(sharpest.map_or(angle, |most: f64| most.max(angle)));
            if !cleanout {
                here.turned = here.turned.max(before.turned + angle);
                here.told |= before.told;
            }
        }
        if let Some(angle) = sharpest {
            said.looked();
            let far = here.length > run + ALIKE && !cleanout_ahead(context, ix, run);
            let needs = match (&single, &aggregate) {
                (Some(single), _) => {
                    (angle > single.value + ROUNDING && far).then_some((single, angle))
                }
                (None, Some(most)) => {
                    (here.turned > most.value + ROUNDING).then_some((most, here.turned))
                }
                (None, None) => None,
            };
            if let Some((limit, turned)) = needs.filter(|_| !here.told) {
                here.told = true;
                // One cleanout here would serve what follows.
                here.length = 0.0;
                let (run, most) = (context.run(ix), limit.value);
                let message = if single.is_some() {
                    format!(
                        "{run} turns {turned:.0} degrees here without a cleanout near; above {most:.0} it needs one"
                    )
                } else {
                    format!(
                        "what flows to this turn of {run} has turned {turned:.0} degrees in all without a cleanout; above {most:.0} it needs one"
                    )
                };
                said.breaks(
                    context,
                    At::Node(pipe.from),
                    message,
                    "set a cleanout at the turn, upstream of it",
                )
                .by(&limit.cite);
            }
        }
        here.length += context.length(ix);
        since[ix.0 as usize] = here;
    }
}

/// Whether a cleanout follows downstream within a length of pipe.
fn cleanout_ahead(context: &Context, from: PipeIx, reach: f64) -> bool {
    let mut gone = 0.0;
    for pipe in context.downstream(context.pipe(from).from) {
        gone += context.length(pipe);
        if gone > reach || !is_level(context.pipe(pipe)) {
            return false;
        }
        let to = context.pipe(pipe).to;
        if has_cleanout(context, to) || next_cleanout_up(context, to) {
            return true;
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires_upc, one, silent};

    /// A drain told from its outlet by such steps, then east to two fixtures, the first of them so many feet east of the outlet.
    fn drain(steps: &str, feet: u32, last: &str) -> String {
        format!(
            "fixture A floor-drain main {feet}',33' faces south\nfixture B {last} main {}',33' faces south\n\
             waste d\nstart 0',0' main floor -9'\nsize 3\"\n{steps}east to abreast A.drain\ncatch A\neast to abreast B.drain\nend B\n",
            feet + 4
        )
    }

    /// IPC: a quarter turn needs one, 45 degrees are the limit itself.
    #[test]
    fn a_quarter_turn() {
        let found = one(&drain("north 30'\n", 60, "floor-drain"), "cleanout-turns");
        assert!(
            found.message.contains("turns 90 degrees"),
            "{}",
            found.message
        );
        silent(
            &drain("northeast 40'\n", 60, "floor-drain"),
            "cleanout-turns",
        );
    }

    /// A closet 24 ft upstream can be lifted off; one 64 ft away is too far.
    #[test]
    fn a_closet_upstream() {
        silent(&drain("north 30'\n", 20, "water-closet"), "cleanout-turns");
        one(&drain("north 30'\n", 60, "water-closet"), "cleanout-turns");
    }

    /// A cleanout at the turn or 30 ft downstream of it will do; one 41 ft away does not.
    #[test]
    fn with_a_cleanout() {
        silent(
            &drain("north 30'\ncleanout CO1\n", 60, "floor-drain"),
            "cleanout-turns",
        );
        silent(
            &drain("cleanout CO1\nnorth 30'\n", 60, "floor-drain"),
            "cleanout-turns",
        );
        let far = "north 1'\ncleanout CO1\nnorth 41'\n";
        one(
            &drain(far, 60, "floor-drain").replace(",33'", ",44'"),
            "cleanout-turns",
        );
    }

    /// UPC: 135 degrees together. A half quarter and another are within it, two quarters pass it.
    #[test]
    fn added_up_by_the_upc() {
        let found = |steps| fires_upc(&drain(steps, 60, "floor-drain"), "cleanout-turns");
        assert!(found("northeast 5'\n").is_empty());
        let two = found("east 5'\nnorth 5'\n");
        assert_eq!(two.len(), 1);
        assert!(two[0].message.contains("180 degrees in all"), "{two:#?}");
    }
}
