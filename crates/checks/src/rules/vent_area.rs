//! All vents through the roof together are as large as the sewer has to be.
//!
//! UPC 904.1.

use std::f64::consts::PI;

use crate::context::{Context, nominal_mm};
use crate::finding::At;
use crate::keys;
use crate::outlets::outlets;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-area",
    title: "The vents through the roof together have at least the area of the building sewer that is required.",
    page: "One full-size main vent is not asked for; the areas of all vents through the roof count together. They are compared with the area of the \
        sewer that the table asks for, not the one that is laid.\n\n\
        Areas are of the nominal diameters, as the code's own worked questions take them.\n\n\
        Not checked is a drain of which a vent goes on beyond the drawing or into existing vent, or for which no least size could be worked out.",
    cite: |pack| {
        keys::flag(pack, "vent.area-as-sewer")
            .filter(|asked| *asked)
            .and_then(|_| keys::cite(pack, "vent.area-as-sewer"))
    },
    look,
};

fn look(context: &Context, said: &mut Said) {
    for outlet in outlets(context) {
        let at = At::Pipe(outlet.pipe);
        let Some(needed) = context
            .result(outlet.pipe)
            .and_then(|result| result.required)
        else {
            said.unknown(at, "no least size could be worked out for this drain");
            continue;
        };
        if outlet.more {
            said.unknown(at, "a vent of this drain goes on where it is not drawn");
            continue;
        }
        let mut total = 0.0;
        let mut unknown = false;
        for (pipe, _) in &outlet.terminals {
            match context.size(*pipe) {
                Some(size) => total += area(nominal_mm(size)),
                None => unknown = true,
            }
        }
        if unknown {
            said.unknown(at, "the size of a vent through the roof is not known");
            continue;
        }
        said.looked();
        let least = area(nominal_mm(needed));
        // Areas that differ in the last place of a double are the same.
        if total >= least * (1.0 - 1e-9) {
            continue;
        }
        let (has, wants) = (shown(context, total), shown(context, least));
        let message = format!(
            "the vents of {} through the roof have {has} together; a {needed} sewer, as required, has {wants}",
            context.run(outlet.pipe)
        );
        said.breaks(
            context,
            at,
            message,
            "make a vent through the roof larger, or carry another one up",
        );
    }
}

fn area(diameter: f64) -> f64 {
    PI / 4.0 * diameter * diameter
}

/// An area in square inches or square centimetres.
fn shown(context: &Context, area: f64) -> String {
    use wyeline_units::UnitSystem::{FeetInches, Inches};
    if matches!(context.network.units, FeetInches | Inches) {
        format!("{:.2} sq in", area / (25.4 * 25.4))
    } else {
        format!("{:.1} cm2", area / 100.0)
    }
}

#[cfg(test)]
mod tests {
    use std::fmt::Write;

    use crate::testing::fires_upc;

    /// A house with two closets, so that its sewer has to be 3 in, and vents of such sizes.
    fn house(vents: &[&str]) -> String {
        let mut body = String::from(
            "fixture W1 water-closet main 5',1' faces south\nfixture W2 water-closet main 9',1' faces south\n\
             waste d\nstart 0',0' main floor -2'\nsize 3\"\nslope 1/4 in per ft\neast 1'\npoint V0\neast 1'\npoint V1\neast 1'\npoint V2\n\
             east to abreast W1.drain\ncatch W1\neast to abreast W2.drain\nend W2\n",
        );
        for (n, size) in vents.iter().enumerate() {
            let _ = writeln!(body, "vent v{n}\nstart V{n}\nsize {size}\nup through roof");
        }
        body
    }

    /// The published answer on UPC 904.1: two 2 in and one 1-1/2 in vent, 8.05 sq in, pass for a 3 in sewer of 7.07;
    /// two 2 in alone, 6.28, do not.
    #[test]
    fn the_published_answer() {
        assert!(fires_upc(&house(&["2\"", "2\"", "1-1/2\""]), "vent-area").is_empty());
        let found = fires_upc(&house(&["2\"", "2\""]), "vent-area");
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(
            found[0].message.contains("6.28 sq in") && found[0].message.contains("7.07 sq in"),
            "{}",
            found[0].message
        );
    }

    /// A sewer laid larger than required asks for no more: 4 in stated all along, 3 in required.
    #[test]
    fn a_larger_sewer_asks_for_no_more() {
        let larger = house(&["3\""]).replace("size 3\"\nslope", "size 4\"\nslope");
        assert!(fires_upc(&larger, "vent-area").is_empty());
    }

    /// One vent of the sewer's own size is the limit itself.
    #[test]
    fn as_large_as_the_sewer() {
        assert!(fires_upc(&house(&["3\""]), "vent-area").is_empty());
    }
}
