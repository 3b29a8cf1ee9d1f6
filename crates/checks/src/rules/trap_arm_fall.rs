//! A trap arm falls no more than its diameter before its vent.
//!
//! IPC 909.2, UPC 905.5, Canada 2.5.6.3.

use crate::context::{ALIKE, Context, nominal_mm};
use crate::finding::At;
use crate::keys;
use crate::kind::Kind;
use crate::measure::Way;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "trap-arm-fall",
    title: "A trap arm falls no more than its own diameter before its vent.",
    page: "Where the arm has fallen by its diameter, the vent's opening lies at or below the weir of the trap: water stands in front of the \
        opening, and the arm siphons.\n\n\
        Measured is the fall of the level pieces from the weir to the point where the vent is, against the nominal diameter. A steep \
        slope shortens the arm that is allowed.\n\n\
        Water closets are let through, since they are meant to siphon themselves. An arm that turns down before its vent is told by \
        `trap-arm-drop`.",
    cite: |pack| keys::cite(pack, "trap.fall-most-diameters"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(most) = keys::number(context.pack, "trap.fall-most-diameters") else {
        return;
    };
    for arm in &context.arms {
        let Some(way) = Way::to_vent(context, arm) else {
            continue;
        };
        if way.drop.is_some() || context.kind(arm.fixture) == Kind::Closet {
            continue;
        }
        let Some(size) = way.size(context) else {
            said.unknown(
                At::Fixture(arm.fixture),
                "the size of its trap arm is not known",
            );
            continue;
        };
        said.looked();
        let most = most * nominal_mm(size);
        if way.fall <= most + ALIKE {
            continue;
        }
        let tag = context.tag(arm.fixture);
        let message = format!(
            "the trap arm of {tag} falls {} to its vent; a {size} arm may fall its diameter, {}",
            context.show(way.fall),
            context.show(most)
        );
        let length = way.length * most / way.fall;
        let help = format!(
            "bring the vent to within {} of the trap, or lay the arm flatter if its size allows",
            context.show(length)
        );
        let finding = said.breaks(context, At::Fixture(arm.fixture), message, help);
        if way.assumed {
            finding.rests_on("its slope, which nobody stated");
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{one, silent};

    /// A floor drain 4 ft from its vent on a 2 in arm of such a slope.
    fn floor_drain(slope: &str) -> String {
        format!(
            "fixture FD floor-drain main 10',0' faces east\n\
             waste d\nstart 0',0' main floor -3'\nsize 2\"\neast 6'\npoint V\nslope {slope}\neast to abreast FD.drain\nend FD\n\
             vent v\nstart V\nsize 2\"\nup through roof\n"
        )
    }

    /// 4 ft at 1/2 in per ft fall 2 in: the diameter itself. 9/16 in per ft fall 2-1/4.
    #[test]
    fn two_inch_over_four_feet() {
        silent(&floor_drain("1/2 in per ft"), "trap-arm-fall");
        silent(&floor_drain("7/16 in per ft"), "trap-arm-fall");
        let found = one(&floor_drain("9/16 in per ft"), "trap-arm-fall");
        assert!(
            found.message.contains("falls 2-1/4\"") || found.message.contains("2 1/4\""),
            "{}",
            found.message
        );
        // 2 in at 9/16 in per ft: 3.556 ft, which is 3 ft 6-11/16 in.
        assert!(found.help.contains("3'-6 11/16\""), "{}", found.help);
    }

    /// A closet may fall more.
    #[test]
    fn a_closet_may_fall_more() {
        let body = |kind: &str| {
            format!(
                "fixture F {kind} main 10',0' faces east\n\
                 waste d\nstart 0',0' main floor -3'\nsize 2\"\neast 2'\npoint V\nslope 1 in per ft\neast to abreast F.drain\nend F\n\
                 vent v\nstart V\nsize 2\"\nup through roof\n"
            )
        };
        one(&body("floor-drain"), "trap-arm-fall");
        assert!(crate::testing::fires(&body("water-closet"), "trap-arm-fall").is_empty());
    }
}
