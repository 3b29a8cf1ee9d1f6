//! Plumb wet vents: their size, how many fixtures, and how large each.
//!
//! UPC 908.1.

use wyeline_units::Size;

use super::drain_undersized::round;
use crate::air::Way;
use crate::context::{Context, is_level, smaller};
use crate::finding::At;
use crate::keys;
use crate::kind::Kind;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-wet-vertical",
    title: "A plumb wet vent serves few and small fixtures and is larger than the drain alone would be.",
    page: "Water falling down a plumb pipe clings to its wall and leaves the middle to the air, as long as it is little.\n\n\
        Looked at are wet vents that are plumb throughout: their least size, the number of fixtures that drain through them, and the units of each.\n\n\
        The lowest fixture may be a closet: it drains below the wet vent, not through it.",
    cite: |pack| {
        keys::cite(pack, "wet.vertical-fixtures-most")
            .or_else(|| keys::cite(pack, "wet.vertical-least"))
    },
    look,
};

fn look(context: &Context, said: &mut Said) {
    let least = keys::size(context.pack, "wet.vertical-least");
    let most = keys::value(context.pack, "wet.vertical-fixtures-most");
    let units = keys::value(context.pack, "wet.vertical-fixture-units-most");
    for group in &context.index.groups {
        let plumb = group.wet.iter().all(|&pipe| !is_level(context.pipe(pipe)));
        let Some(&last) = group.wet.last().filter(|_| plumb) else {
            continue;
        };
        if !matches!(group.way(context), Way::Wet | Way::Common) {
            continue;
        }
        said.looked();
        let at = At::Pipe(last);
        let name = context.run(last);
        let small = |least: &Size| context.size(last).is_some_and(|size| smaller(size, *least));
        if let Some(least) = least.as_ref().filter(|least| small(&least.value)) {
            let message = format!("plumb wet vent {name} is smaller than {}", least.value);
            let help = format!("lay {} from its dry vent down", least.value);
            said.breaks(context, at, message, help).by(&least.cite);
        }
        let fixtures = context.index.upstream[last.0 as usize].fixtures;
        if let Some(most) = most
            .as_ref()
            .filter(|most| f64::from(fixtures) > most.value)
        {
            let message = format!(
                "{fixtures} fixtures drain through plumb wet vent {name}; {} are the most",
                most.value
            );
            said.breaks(context, at, message, "give the others a vent of their own")
                .by(&most.cite);
        }
        let Some(units) = &units else {
            continue;
        };
        for arm in group.arms(context) {
            let found = context.sized.fixtures.get(arm.fixture.0 as usize);
            let through = arm
                .vent
                .is_some_and(|vent| context.pipe(last).to != vent.at);
            let load = found.and_then(|result| result.drain).unwrap_or(0.0);
            if !through || load <= units.value || context.kind(arm.fixture) == Kind::FloorDrain {
                continue;
            }
            let tag = context.tag(arm.fixture);
            let message = format!(
                "{tag} of {} {} drains through plumb wet vent {name}; {} are the most",
                round(load),
                context.pack.drain_unit(),
                round(units.value)
            );
            said.breaks(
                context,
                At::Fixture(arm.fixture),
                message,
                "let it drain below the wet vent",
            )
            .by(&units.cite);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::fires_upc;

    /// A lavatory over so many more on one plumb drain, one fixture a foot lower than the next, with the lowest served by the wet vent.
    fn stacked(upper: &str, size: &str) -> String {
        format!(
            "fixture A {upper} main 0',2' faces north\nfixture B shower main 2',2' faces north\n\
             waste s\nstart 0',0' main floor -4'\nsize 3\"\nup to main floor -2'\npoint LOW\nsize {size}\nup to main floor +14\"\npoint HIGH\n\
             waste b\nstart LOW\nsize 2\"\neast to abreast B.drain\nend B\n\
             waste a\nstart HIGH\nsize 2\"\nnorth to abreast A.tee\nend A\n\
             vent v\nstart HIGH\nsize 2\"\nup through roof\n"
        )
    }

    /// UPC 908.1: 2 in at least.
    #[test]
    fn two_inch() {
        assert!(fires_upc(&stacked("lavatory", "2\""), "vent-wet-vertical").is_empty());
        let found = fires_upc(&stacked("lavatory", "1-1/2\""), "vent-wet-vertical");
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(
            found[0].message.contains("smaller than 2\""),
            "{}",
            found[0].message
        );
    }

    /// Fixtures of one and two units: a kitchen sink of 2 is the limit itself, a clothes washer of 3 too much (UPC Table 702.1).
    #[test]
    fn two_units() {
        assert!(fires_upc(&stacked("kitchen-sink", "2\""), "vent-wet-vertical").is_empty());
        let found = fires_upc(&stacked("clothes-washer", "2\""), "vent-wet-vertical");
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(
            found[0].message.contains("A of 3 dfu"),
            "{}",
            found[0].message
        );
    }
}
