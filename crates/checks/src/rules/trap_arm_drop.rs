//! A trap arm does not turn down before its vent.
//!
//! IPC 1002.3 (S traps), UPC 1004.1, Canada 2.5.6.3.

use crate::context::Context;
use crate::finding::At;
use crate::keys;
use crate::kind::Kind;
use crate::measure::Way;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "trap-arm-drop",
    title: "A trap arm does not turn down before its vent: no S trap.",
    page: "An arm that turns down fills like a siphon and pulls the water out of the trap.\n\n\
        Looked at are the pipes from the trap to the point where its vent is: all of them lie level apart from their fall.\n\n\
        Water closets are let through, since they are meant to siphon themselves. A trap that hangs right over its branch \
        breaks the rule as well: lead its arm to the side first.",
    cite: |pack| keys::section(pack, "trap-arm-drop"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    for arm in &context.arms {
        let Some(way) = Way::to_vent(context, arm) else {
            continue;
        };
        if context.kind(arm.fixture) == Kind::Closet {
            continue;
        }
        said.looked();
        let Some(drop) = way.drop else {
            continue;
        };
        let tag = context.tag(arm.fixture);
        let message = format!(
            "the trap arm of {tag} turns down {} before its vent: an S trap",
            context.show(context.length(drop))
        );
        let help = "take the vent off before the arm turns down, or bring the branch up to the height of the trap";
        let span = context.span(At::Pipe(drop));
        said.breaks(context, At::Fixture(arm.fixture), message, help)
            .note(span, "here it turns down");
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, one, silent};

    /// The arm leaves the trap level and drops 1 ft to a branch, on which the vent is.
    fn dropped(kind: &str, vent: &str) -> String {
        format!(
            "fixture F {kind} main 10',0' faces east\n\
             waste d\nstart 0',0' main floor -3'\nsize 3\"\neast 6'\npoint LOW\neast 1'\nup 1'\npoint HIGH\neast to abreast F.drain\nend F\n\
             vent v\nstart {vent}\nsize 2\"\nup through roof\n"
        )
    }

    #[test]
    fn the_vent_is_below_the_drop() {
        let found = one(&dropped("floor-drain", "LOW"), "trap-arm-drop");
        assert!(
            found.message.contains("turns down 1'-0\""),
            "{}",
            found.message
        );
    }

    /// With the vent where it turns down, as a sanitary tee makes it, nothing siphons.
    #[test]
    fn the_vent_is_at_the_drop() {
        silent(&dropped("floor-drain", "HIGH"), "trap-arm-drop");
    }

    #[test]
    fn a_closet_may_drop() {
        assert!(fires(&dropped("water-closet", "LOW"), "trap-arm-drop").is_empty());
    }
}
