//! How high a fixture's outlet is above the weir of its trap, and how far to the side.
//!
//! IPC 1002.1, UPC 1001.2, Canada 2.4.8.2.

use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::keys;
use crate::kind::Kind;
use crate::measure::tailpiece;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "trap-outlet-drop",
    title: "A fixture's outlet is not too high above its trap, nor too far to its side.",
    page: "Water that falls far gains speed and carries on through the trap, leaving too little behind; and a long tailpiece fouls and smells.\n\n\
        Measured is the height of the outlet above the weir (the lowest point of the arm's bore where the arm begins; its centre where the \
        bore is not known), and the level distance from the outlet to the trap.\n\n\
        A clothes washer's standpipe has limits of its own, told by `trap-standpipe`. Fixtures trapped in themselves are not looked at.",
    cite: |pack| keys::cite(pack, "trap.outlet-to-weir-most"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let high = keys::value(context.pack, "trap.outlet-to-weir-most");
    let aside = keys::value(context.pack, "trap.outlet-to-trap-most");
    for arm in &context.arms {
        if context.kind(arm.fixture) == Kind::ClothesWasher {
            continue;
        }
        let Some(piece) = tailpiece(context, arm) else {
            continue;
        };
        said.looked();
        let tag = context.tag(arm.fixture);
        let at = At::Fixture(arm.fixture);
        if let Some(most) = high.as_ref().filter(|most| piece.drop > most.value + ALIKE) {
            let message = format!(
                "the outlet of {tag} is {} above the weir of its trap; {} is the most",
                context.show(piece.drop),
                context.show(most.value)
            );
            let help = format!(
                "raise the trap and its branch by {}",
                context.show(piece.drop - most.value)
            );
            said.breaks(context, at, message, help).by(&most.cite);
        }
        if let Some(most) = aside
            .as_ref()
            .filter(|most| piece.aside > most.value + ALIKE)
        {
            let message = format!(
                "the outlet of {tag} is {} to the side of its trap; {} is the most",
                context.show(piece.aside),
                context.show(most.value)
            );
            said.breaks(
                context,
                at,
                message,
                "set the trap under the outlet and let the arm make the way",
            )
            .by(&most.cite);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, one, silent};

    /// A floor drain, its strainer 1/8 in below the floor, with its arm's centre so far below the floor. No material: the bore
    /// of 2 in is that of Schedule 40 plastic, 2.067 in, so the weir lies 1.0335 in below the centre.
    fn floor_drain(below: &str, kind: &str) -> String {
        format!(
            "fixture F {kind} main 5',0' faces east\n\
             waste d\nstart 0',0' main floor -{below}\"\nsize 2\"\nslope 1/8 in per ft\nslope 1/4 in per ft\neast to abreast F.drain\nend F\n"
        )
    }

    /// 5 ft at 1/4 in per ft raise the trap's end by 1.25 in. The outlet is then `below` - 1.25 - 0.125 + 1.0335 above the weir:
    /// 24.0 in for 24.34 below, a little less for 24.3, more for 24.4.
    #[test]
    fn twenty_four_inches() {
        let found = one(&floor_drain("24.4", "floor-drain"), "trap-outlet-drop");
        assert!(found.message.contains("2'-0\""), "{}", found.message);
        silent(&floor_drain("24.3", "floor-drain"), "trap-outlet-drop");
        silent(&floor_drain("24.3415", "floor-drain"), "trap-outlet-drop");
    }

    /// A closet is trapped in itself.
    #[test]
    fn a_closet() {
        assert!(fires(&floor_drain("40", "water-closet"), "trap-outlet-drop").is_empty());
    }
}
