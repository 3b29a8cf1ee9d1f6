//! Each building drain has a vent to the open air, large enough.
//!
//! IPC 904.1, UPC 904.1, Canada 2.5.4.

use crate::context::{Context, nominal_mm};
use crate::finding::At;
use crate::keys;
use crate::outlets::outlets;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-outdoors",
    title: "Each building drain has a vent to the open air, at least half as large as the drain has to be.",
    page: "The sewer breathes through the building's vents. Admittance valves let air in only, so at least one vent goes through the roof.\n\n\
        For each drain that leaves the drawing the vents that reach the open air are counted. Where the code says how large one of them has to \
        be, the largest is compared with that part of the size that the drain has to have.\n\n\
        Not checked is a drain of which a vent goes on beyond the drawing or into existing vent, or that itself ends in existing pipe.",
    cite: |pack| {
        keys::cite(pack, "vent.building-drain-vents-least")
            .or_else(|| keys::cite(pack, "vent.fraction-of-building-drain"))
    },
    look,
};

fn look(context: &Context, said: &mut Said) {
    let least = keys::number(context.pack, "vent.building-drain-vents-least").unwrap_or(1.0);
    let part = keys::value(context.pack, "vent.fraction-of-building-drain");
    for outlet in outlets(context) {
        let at = At::Pipe(outlet.pipe);
        let name = context.run(outlet.pipe);
        if outlet.more {
            said.unknown(at, "a vent of this drain goes on where it is not drawn");
            continue;
        }
        if context.pipe(outlet.pipe).existing {
            said.unknown(at, "it ends in existing pipe, whose vents are not drawn");
            continue;
        }
        said.looked();
        if (outlet.terminals.len() as f64) < least {
            said.breaks(
                context,
                at,
                format!("no vent of {name} reaches the open air"),
                "carry at least one vent through the roof",
            );
            continue;
        }
        let needed = context.result(outlet.pipe).and_then(|result| result.needed);
        let (Some(part), Some(needed)) = (&part, needed) else {
            continue;
        };
        let sizes = outlet
            .terminals
            .iter()
            .filter_map(|(pipe, _)| context.size(*pipe));
        let Some(largest) = sizes.max_by(|a, b| nominal_mm(*a).total_cmp(&nominal_mm(*b))) else {
            said.unknown(at, "the size of its vents through the roof is not known");
            continue;
        };
        // Inch and metric names of one pipe differ by up to 7 percent.
        if nominal_mm(largest) < part.value * nominal_mm(needed) * 0.93 {
            let message = format!(
                "the largest vent of {name} through the roof is {largest}; the drain has to be {needed}, and one vent at least half of that"
            );
            said.breaks(
                context,
                At::Pipe(outlet.terminals[0].0),
                message,
                "make one vent larger, from its drain to the open air",
            )
            .by(&part.cite);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, one, silent, unchecked};

    fn closet(vent: &str) -> String {
        format!(
            "fixture WC water-closet main 5',1' faces south\n\
             waste d\nstart 0',0' main floor -2'\nsize 3\"\neast 3'\npoint V\neast to abreast WC.drain\nend WC\n\
             vent v\nstart V\n{vent}\n"
        )
    }

    #[test]
    fn none_outdoors() {
        let found = one(
            &closet("size 2\"\nup 3'\nnote \"AAV\"\ncap"),
            "vent-outdoors",
        );
        assert_eq!(found.message, "no vent of d reaches the open air");
    }

    /// The building drain has to be 3 in, since a closet is on it (IPC Table 710.1(1), note a): half is 1-1/2 in, the limit itself.
    #[test]
    fn half_the_drain() {
        silent(&closet("size 1-1/2\"\nup through roof"), "vent-outdoors");
        silent(&closet("size 2\"\nup through roof"), "vent-outdoors");
        let found = one(&closet("size 1-1/4\"\nup through roof"), "vent-outdoors");
        assert!(found.message.contains("1-1/4\""), "{}", found.message);
    }

    #[test]
    fn beyond_the_drawing() {
        let body = closet("size 2\"\nup 3'\ncontinues \"to the attic\"");
        assert!(fires(&body, "vent-outdoors").is_empty());
        assert_eq!(unchecked(&body, "vent-outdoors").len(), 1);
    }
}
