//! No vent within two diameters of the trap's weir.
//!
//! IPC 909.3, UPC 1002.2 and its table.

use crate::context::{ALIKE, Context, nominal_mm};
use crate::finding::At;
use crate::keys;
use crate::kind::Kind;
use crate::measure::Way;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "trap-arm-short",
    title: "A vent is not taken off within two diameters of the trap's weir.",
    page: "A vent at the crown of a trap is splashed shut by every use and grows over.\n\n\
        Measured is the developed length from the weir to the vent, against the nominal diameter of the arm.\n\n\
        Water closets and other fixtures trapped in themselves are not looked at: their weir lies inside the fixture.",
    cite: |pack| keys::cite(pack, "trap.crown-diameters"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(least) = keys::number(context.pack, "trap.crown-diameters") else {
        return;
    };
    for arm in &context.arms {
        let Some(way) = Way::to_vent(context, arm) else {
            continue;
        };
        if matches!(context.kind(arm.fixture), Kind::Closet | Kind::Urinal) {
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
        let least = least * nominal_mm(size);
        if way.length >= least - ALIKE {
            continue;
        }
        let tag = context.tag(arm.fixture);
        let message = format!(
            "the vent of {tag} is {} from its trap; a {size} arm is at least {} long",
            context.show(way.length),
            context.show(least)
        );
        let help = format!(
            "move the vent or the trap {} apart",
            context.show(least - way.length)
        );
        said.breaks(context, At::Fixture(arm.fixture), message, help);
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, one, silent};

    /// A fixture in the floor 10 ft from the outlet, its trap so many inches from the foot of its vent.
    fn in_floor(kind: &str, size: &str, inches: f64) -> String {
        let vent = 120.0 - inches;
        format!(
            "fixture F {kind} main 10',0' faces east\n\
             waste d\nstart 0',0' main floor -3'\nsize {size}\neast {vent}\"\npoint V\neast to abreast F.drain\nend F\n\
             vent v\nstart V\nsize 2\"\nup through roof\n"
        )
    }

    /// Twice 2 in are 4 in: 3 is too near, 4 the limit itself.
    #[test]
    fn two_diameters() {
        let floor_drain = |inches| in_floor("floor-drain", "2\"", inches);
        let found = one(&floor_drain(3.0), "trap-arm-short");
        assert!(
            found.message.contains("3\"") && found.message.contains("4\""),
            "{}",
            found.message
        );
        silent(&floor_drain(4.0), "trap-arm-short");
        silent(&floor_drain(5.0), "trap-arm-short");
    }

    /// A closet's weir is inside it.
    #[test]
    fn a_closet() {
        assert!(fires(&in_floor("water-closet", "3\"", 3.0), "trap-arm-short").is_empty());
    }
}
