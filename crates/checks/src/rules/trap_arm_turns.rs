//! How much a trap arm may turn without a cleanout.
//!
//! UPC 1002.3, Canada 2.5.6.3.

use wyeline_units::Size;

use crate::context::{Context, smaller};
use crate::finding::At;
use crate::keys;
use crate::measure::Way;
use crate::rule::{Rule, Said};

/// Rounding of angles between pipes as drawn, degrees; fittings differ by 11-1/4 at least.
const ROUNDING: f64 = 1.0;

/// The rule.
pub static RULE: Rule = Rule {
    name: "trap-arm-turns",
    title: "A trap arm does not turn more than allowed without a cleanout.",
    page: "A cable put in through the trap gets round one bend, not round several.\n\n\
        Measured are all changes of direction from the trap to the vent, added up. The arm's nominal size decides between the two limits.\n\n\
        An arm with a cleanout on it may turn more.",
    cite: |pack| keys::cite(pack, "trap.arm-turn-most"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let small = keys::value(context.pack, "trap.arm-turn-most");
    let large = keys::value(context.pack, "trap.arm-turn-most-large");
    let three = Size::Inch { eighths: 24 };
    for arm in &context.arms {
        let Some(way) = Way::to_vent(context, arm) else {
            continue;
        };
        let Some(size) = way.size(context) else {
            said.unknown(
                At::Fixture(arm.fixture),
                "the size of its trap arm is not known",
            );
            continue;
        };
        let most = if smaller(size, three) { &small } else { &large };
        let Some(most) = most.as_ref().or(small.as_ref()) else {
            continue;
        };
        said.looked();
        if way.cleanout || way.turns <= most.value + ROUNDING {
            continue;
        }
        let tag = context.tag(arm.fixture);
        let message = format!(
            "the trap arm of {tag} turns {:.0} degrees in all; a {size} arm may turn {:.0} without a cleanout",
            way.turns, most.value
        );
        let help =
            "straighten the arm, take the vent off before the last turn, or set a cleanout on it";
        said.breaks(context, At::Fixture(arm.fixture), message, help)
            .by(&most.cite);
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::fires_upc;

    /// A floor drain whose arm of that size goes north, then east, then south again as often as told.
    fn floor_drain(size: &str, legs: &str) -> String {
        format!(
            "fixture F floor-drain main 10',0' faces east\n\
             waste d\nstart 0',0' main floor -2'\nsize {size}\neast 6'\npoint V\n{legs}east to abreast F.drain\nend F\n\
             vent v\nstart V\nsize 2\"\nup through roof\n"
        )
    }

    /// UPC 1002.3: 90 degrees, and 135 at 3 in and larger. The drain is abreast after the last leg, so it is reached square: `end` adds a turn of 90 for each leg aside.
    #[test]
    fn two_quarter_turns() {
        let twice = "east 1'\nnorth 1'\n";
        let found = fires_upc(&floor_drain("2\"", twice), "trap-arm-turns");
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(fires_upc(&floor_drain("2\"", ""), "trap-arm-turns").is_empty());
    }

    /// One quarter turn is the limit itself.
    #[test]
    fn one_quarter_turn() {
        let body = "fixture F floor-drain main 8',1' faces east\n\
             waste d\nstart 0',0' main floor -2'\nsize 2\"\neast 6'\npoint V\neast to abreast F.drain\nend F\n\
             vent v\nstart V\nsize 2\"\nup through roof\n";
        assert!(fires_upc(body, "trap-arm-turns").is_empty());
    }

    /// A cleanout on the arm lets it turn.
    #[test]
    fn with_a_cleanout() {
        let twice = "east 1'\ncleanout CO\nnorth 1'\n";
        assert!(fires_upc(&floor_drain("2\"", twice), "trap-arm-turns").is_empty());
    }
}
