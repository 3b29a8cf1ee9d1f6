//! The height of a clothes washer's standpipe above its trap, and of the trap above the floor.
//!
//! IPC 802.4, UPC 804.1.

use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::keys;
use crate::kind::Kind;
use crate::measure::tailpiece;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "trap-standpipe",
    title: "A standpipe is neither too short nor too tall above its trap.",
    page: "A washer pumps in bursts: a short standpipe spills over, a tall one shoots the water through the trap.\n\n\
        Measured is the height of the standpipe's top (the outlet of the washer's box) above the weir of its trap, and, where the \
        code says so, the height of the weir above the finished floor.\n\n\
        Fixtures other than clothes washers are not looked at.",
    cite: |pack| {
        keys::cite(pack, "standpipe.rise-least").or_else(|| keys::cite(pack, "standpipe.rise-most"))
    },
    look,
};

fn look(context: &Context, said: &mut Said) {
    let value = |key| keys::value(context.pack, key);
    let (least, most) = (value("standpipe.rise-least"), value("standpipe.rise-most"));
    let low = value("standpipe.trap-height-least");
    let high = value("standpipe.trap-height-most");
    for arm in &context.arms {
        if context.kind(arm.fixture) != Kind::ClothesWasher {
            continue;
        }
        let at = At::Fixture(arm.fixture);
        let Some(piece) = tailpiece(context, arm) else {
            said.unknown(at, "where its trap is cannot be told");
            continue;
        };
        said.looked();
        let tag = context.tag(arm.fixture);
        let floor = context.fixture(arm.fixture).anchor.z;
        let trap = piece.weir - floor;
        let checks = [
            (
                &least,
                piece.drop,
                false,
                "standpipe",
                "above the weir of its trap",
                "lower its tee, or raise the box, by",
            ),
            (
                &most,
                piece.drop,
                true,
                "standpipe",
                "above the weir of its trap",
                "raise its tee, or lower the box, by",
            ),
            (
                &low,
                trap,
                false,
                "trap",
                "above the floor",
                "raise its tee by",
            ),
            (
                &high,
                trap,
                true,
                "trap",
                "above the floor",
                "lower its tee by",
            ),
        ];
        for (limit, has, at_most, what, above, mend) in checks {
            let Some(limit) = limit else {
                continue;
            };
            let over = if at_most {
                has - limit.value
            } else {
                limit.value - has
            };
            if over <= ALIKE {
                continue;
            }
            let word = if at_most { "at most" } else { "at least" };
            let message = format!(
                "the {what} of {tag} is {} {above}; it has to be {word} {}",
                context.show(has),
                context.show(limit.value)
            );
            let help = format!("{mend} {}", context.show(over));
            said.breaks(context, at, message, help).by(&limit.cite);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires_upc, one, silent};

    /// The box is 42 in above the floor; the tee stands so high, and the weir lies half the bore of 2 in Schedule 40 (2.067 in) lower
    /// than the arm's centre at the trap. The arm of 8 in rises 8 x 1/48 = 0.167 in from the tee to the trap.
    fn washer(tee_up: &str) -> String {
        format!(
            "fixture CW clothes-washer main 5',5' faces south tee right 8\" up {tee_up}\"\n\
             waste d\nstart 0',0' main floor -1'\nsize 2\"\neast to abreast CW.tee\nnorth to abreast CW.tee\nend CW\n\
             vent v\nstart CW.tee\nsize 2\"\nup through roof\n"
        )
    }

    /// UPC 804.1: the trap 6 to 18 in above the floor. The weir lies 0.867 in below the tee: 18 in for a tee at 18.867.
    #[test]
    fn the_trap_above_the_floor() {
        let found = fires_upc(&washer("19"), "trap-standpipe");
        assert!(
            found
                .iter()
                .any(|f| f.message.contains("the trap of CW is")
                    && f.message.contains("at most 1'-6\"")),
            "{found:#?}"
        );
        let found = fires_upc(&washer("18-3/4"), "trap-standpipe");
        assert!(
            !found.iter().any(|f| f.message.contains("the trap of CW")),
            "{found:#?}"
        );
        let found = fires_upc(&washer("6-1/2"), "trap-standpipe");
        assert!(
            found.iter().any(|f| f.message.contains("at least 6\"")),
            "{found:#?}"
        );
    }

    /// IPC 802.4: 18 to 42 in. The rise is 42 - tee - 0.167 + 1.033: 18 in for a tee at 24.87.
    #[test]
    fn eighteen_to_forty_two() {
        let found = one(&washer("25"), "trap-standpipe");
        assert!(
            found.message.contains("at least 1'-6\""),
            "{}",
            found.message
        );
        silent(&washer("24-3/4"), "trap-standpipe");
        silent(&washer("18"), "trap-standpipe");
        // Down to the floor the rise would be 42.87.
        let found = one(&washer("1/2"), "trap-standpipe");
        assert!(
            found.message.contains("at most 3'-6\""),
            "{}",
            found.message
        );
    }
}
