//! How far a trap may be from its vent.
//!
//! IPC 909.1 and its table, UPC 1002.2 and its table, Canada 2.5.6.3.

use wyeline_codes::{Cite, Cited, Pack};
use wyeline_units::Size;

use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::keys::{self, BySize};
use crate::kind::Kind;
use crate::measure::Way;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "trap-arm-length",
    title: "A trap is not farther from its vent than its size allows.",
    page: "The longer the arm, the more likely it runs full before the vent, and the plug of water sucks the trap dry.\n\n\
        Measured is the developed length of the drain from the trap's weir to the point where air reaches it, by centre lines, \
        bends included. Where a drain in use leads the air (a wet vent), that is where the arm runs into it.\n\n\
        The limit goes by the arm's nominal size. Under the IPC a water closet has no limit, since it is meant to siphon itself; the UPC \
        measures it from the flange. A trap that no vent reaches is told by `vent-missing`.",
    cite: arm_cite,
    look,
};

fn arm_cite(pack: &Pack) -> Option<Cite> {
    let sizes = [Size::Inch { eighths: 12 }, Size::Dn(40)];
    let mut all = sizes.into_iter();
    all.find_map(|size| pack.trap_arm(size).ok().map(|cited| cited.cite))
}

/// What limits the length.
enum Limit {
    /// It is a closet's.
    Closet,
    /// The size of the arm.
    Arm(Size),
}

fn look(context: &Context, said: &mut Said) {
    let closets = keys::flag(context.pack, "trap.closet-arm-limited");
    let closet = keys::value(context.pack, "trap.closet-arm-most");
    let mut table = BySize::default();
    for arm in &context.arms {
        let Some(way) = Way::to_vent(context, arm) else {
            continue;
        };
        let at = At::Fixture(arm.fixture);
        let (most, limit) = if context.kind(arm.fixture) == Kind::Closet {
            match (closets, &closet) {
                (Some(false), _) => continue,
                (_, Some(most)) => (most.clone(), Limit::Closet),
                _ => {
                    said.unknown(
                        at,
                        "the code's pack does not say how far a water closet may be from its vent",
                    );
                    continue;
                }
            }
        } else {
            let Some(size) = way.size(context) else {
                said.unknown(at, "the size of its trap arm is not known");
                continue;
            };
            let Some(row) = table.get(size, |size| context.pack.trap_arm(size).ok()) else {
                said.unknown(at, "the code's table of trap arms does not hold its size");
                continue;
            };
            let most = Cited {
                value: row.value.longest_mm,
                cite: row.cite.clone(),
            };
            (most, Limit::Arm(size))
        };
        said.looked();
        if way.length <= most.value + ALIKE {
            continue;
        }
        let tag = context.tag(arm.fixture);
        let what = match limit {
            Limit::Closet => "the drain of a water closet".to_owned(),
            Limit::Arm(size) => format!("a {size} arm"),
        };
        let message = format!(
            "the trap of {tag} is {} from its vent; {what} may be {} long",
            context.show(way.length),
            context.show(most.value)
        );
        let help = format!(
            "bring a vent {} nearer, or run a larger arm if its trap may be as large",
            context.show(way.length - most.value)
        );
        let vent = arm.vent.map(|vent| context.span(At::Pipe(vent.pipe)));
        let finding = said.breaks(context, at, message, help);
        finding.by(&most.cite);
        if let Some(span) = vent {
            finding.note(span, "its vent");
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, fires_upc, one, silent};

    /// A floor drain 20 ft from the outlet, its trap so many inches from the foot of its vent.
    fn floor_drain(inches: f64, size: &str) -> String {
        let vent = 240.0 - inches;
        format!(
            "fixture FD floor-drain main 20',0' faces east\n\
             waste d\nstart 0',0' main floor -2'\nsize {size}\neast {vent}\"\npoint V\neast to abreast FD.drain\nend FD\n\
             vent v\nstart V\nsize 2\"\nup through roof\n"
        )
    }

    /// IPC Table 909.1: 2 in, 8 ft. One inch more is too far, 8 ft is the limit itself.
    #[test]
    fn two_inch_by_the_ipc() {
        let found = one(&floor_drain(97.0, "2\""), "trap-arm-length");
        assert!(found.message.contains("8'-1\""), "{}", found.message);
        assert!(found.message.contains("8'-0\""), "{}", found.message);
        silent(&floor_drain(96.0, "2\""), "trap-arm-length");
        silent(&floor_drain(95.0, "2\""), "trap-arm-length");
    }

    /// UPC Table 1002.2: 2 in, 60 in.
    #[test]
    fn two_inch_by_the_upc() {
        assert_eq!(
            fires_upc(&floor_drain(61.0, "2\""), "trap-arm-length").len(),
            1
        );
        assert!(fires_upc(&floor_drain(60.0, "2\""), "trap-arm-length").is_empty());
    }

    /// A closet 20 ft from its vent: no limit by the IPC, 6 ft by the UPC.
    #[test]
    fn a_closet() {
        let closet = "fixture WC water-closet main 20',1' faces south\n\
             waste d\nstart 0',0' main floor -2'\nsize 3\"\neast 2'\npoint V\neast to abreast WC.drain\nend WC\n\
             vent v\nstart V\nsize 2\"\nup through roof\n";
        assert!(fires(closet, "trap-arm-length").is_empty());
        assert_eq!(fires_upc(closet, "trap-arm-length").len(), 1);
    }
}
