//! How large a vent goes through the roof where it freezes hard.
//!
//! IPC 903.2, UPC 906.7.

use wyeline_network::model::{NodeIx, NodeKind, PipeIx};

use crate::context::{ALIKE, Context, smaller};
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-terminal-frost",
    title: "Where it freezes hard, a vent goes through the roof large enough that frost does not close it.",
    page: "The moist air of a drain freezes on the cold pipe above the roof; in a long cold spell the hoar closes a small vent.\n\n\
        Looked at is every vent through the roof, where `winter` of the job is as cold as the code says or colder: its size, and how far below the roof's \
        surface it has that size already. Where the code says so, how high it ends as well. `wyeline size` gives a vent without a stated size what is asked.\n\n\
        Not checked is a job that does not say how cold its winter is, and how far below it a vent grows where the job tells of no roof. The codes mean a place \
        within the building's insulation, which no job tells.",
    cite: |pack| keys::cite(pack, "terminal.frost-size"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let (Some(least), Some(cold)) = (
        keys::size(context.pack, "terminal.frost-size"),
        keys::number(context.pack, "terminal.frost-temperature"),
    ) else {
        return;
    };
    let below = keys::number(context.pack, "terminal.frost-change-below-roof");
    let high = keys::value(context.pack, "terminal.frost-above-roof");
    let ends = context.network.nodes.iter().enumerate();
    let ends = ends.filter(|(_, node)| node.kind == NodeKind::RoofEnd);
    for (ix, node) in ends {
        let at = NodeIx(ix as u32);
        let Some((winter, _)) = context.job.design.winter else {
            said.unknown(
                At::Job,
                "the job does not say how cold the winter is (`winter 10 F`)",
            );
            return;
        };
        said.looked();
        // 0 °F in two scales differs in the last place.
        if winter.celsius > cold + 1e-6 {
            continue;
        }
        let Some(through) = context.vents_into(at).next() else {
            continue;
        };
        let Some(size) = context.size(through) else {
            said.unknown(At::Pipe(through), "the size of this vent is not known");
            continue;
        };
        let name = context.run(through);
        let shown = winter.show(context.network.units);
        if smaller(size, least.value) {
            let message = format!(
                "vent {name} goes through the roof in {size}; with a winter of {shown} it has to be {}",
                least.value
            );
            let help = match below {
                Some(below) => format!(
                    "make it {} from {} below the roof on",
                    least.value,
                    context.show(below)
                ),
                None => format!("make it {}", least.value),
            };
            said.breaks(context, At::Pipe(through), message, help)
                .by(&least.cite);
            continue;
        }
        let Some(roof) = context.network.building.roof_at(node.at.x, node.at.y) else {
            said.unknown(At::Node(at), "the job tells of no roof here");
            continue;
        };
        if let (Some(below), Some(depth)) = (
            below,
            grown(context, through, roof, |size| smaller(size, least.value)),
        ) && depth < below - ALIKE
        {
            let message = format!(
                "vent {name} becomes {} only {} below the roof; {} are asked",
                least.value,
                context.show(depth),
                context.show(below)
            );
            let help = format!("make it larger {} lower", context.show(below - depth));
            said.breaks(context, At::Pipe(through), message, help);
        }
        if let Some(high) = high
            .as_ref()
            .filter(|high| node.at.z - roof < high.value - ALIKE)
        {
            let message = format!(
                "vent {name} ends {} above the roof; with a winter of {shown} it has to be {}",
                context.show(node.at.z - roof),
                context.show(high.value)
            );
            let help = format!("`up through roof above {}`", context.show(high.value));
            said.breaks(context, At::Node(at), message, help)
                .by(&high.cite);
        }
    }
}

/// How far below the roof a vent has grown to its size, going up to its end; nothing where it has that size from its
/// beginning.
fn grown(
    context: &Context,
    through: PipeIx,
    roof: f64,
    small: impl Fn(wyeline_units::Size) -> bool,
) -> Option<f64> {
    let mut at = context.pipe(through).from;
    let mut left = context.network.pipes.len();
    loop {
        let mut into = context.vents_into(at);
        let before = into.next()?;
        // Where several come together each is as large as it has to be by itself: the larger one begins here.
        let shrinks = context.size(before).is_some_and(&small) || into.next().is_some();
        if shrinks {
            return Some(roof - context.node(at).at.z);
        }
        at = context.pipe(before).from;
        left = left.checked_sub(1)?;
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{one, said_by, silent, unchecked};

    /// A lavatory's vent of 1-1/2 in to so far below the roof (at 20 ft), then of another size through it.
    fn vent(winter: &str, change: &str, size: &str) -> String {
        format!(
            "{winter}\nfixture LAV lavatory main 5',5' faces south\n\
             waste d\nstart 5',0' main floor -1'\nsize 2\"\nnorth to abreast LAV.tee\nend LAV\n\
             vent v\nstart LAV.tee\nsize 1-1/2\"\nup to roof -{change}\nsize {size}\nup through roof above 10\"\n"
        )
    }

    /// IPC 903.2: 3 in at 0 °F and below; 0 °F is -17.8 °C, so -18 °C is colder and -17 °C is not.
    #[test]
    fn three_inches_at_nought() {
        let found = one(&vent("winter 0 F", "2'", "2\""), "vent-terminal-frost");
        assert!(
            found.message.contains("it has to be 3\""),
            "{}",
            found.message
        );
        silent(&vent("winter 0 F", "2'", "3\""), "vent-terminal-frost");
        silent(&vent("winter 1 F", "2'", "2\""), "vent-terminal-frost");
        one(&vent("winter -18 C", "2'", "2\""), "vent-terminal-frost");
        silent(&vent("winter -17 C", "2'", "2\""), "vent-terminal-frost");
    }

    /// The same section: the larger size begins 1 ft within at least.
    #[test]
    fn a_foot_below_the_roof() {
        let found = one(&vent("winter -5 F", "11\"", "3\""), "vent-terminal-frost");
        assert!(
            found.message.contains("only 11\" below"),
            "{}",
            found.message
        );
        silent(&vent("winter -5 F", "1'", "3\""), "vent-terminal-frost");
    }

    /// UPC 906.7: 2 in, and 10 in above the roof.
    #[test]
    fn the_upc_asks_for_two_inches_and_ten_above() {
        let upc = |text: &str| said_by("upc-2021", text, "vent-terminal-frost").findings;
        assert!(upc(&vent("winter -5 F", "2'", "2\"")).is_empty());
        assert_eq!(upc(&vent("winter -5 F", "2'", "1-1/2\"")).len(), 1);
        let low = vent("winter -5 F", "2'", "2\"").replace("above 10\"", "above 9\"");
        let found = upc(&low);
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(
            found[0].message.contains("has to be 10\""),
            "{}",
            found[0].message
        );
    }

    #[test]
    fn no_winter_told() {
        assert_eq!(
            unchecked(&vent("", "2'", "2\""), "vent-terminal-frost").len(),
            1
        );
    }
}
