//! Common vents: how many traps, and how much the upper fixture may be.
//!
//! IPC 911 and its table, UPC 905.6, Canada 2.5.8.

use super::drain_undersized::round;
use crate::air::Way;
use crate::context::Context;
use crate::finding::At;
use crate::keys;
use crate::kind::Kind;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-common",
    title: "A common vent serves two traps of one floor; at two heights the upper one is small.",
    page: "Two fixtures back to back may share one vent. Where one comes in higher, its water falls past the lower one's opening, so it must be little.\n\n\
        Looked at are vents that serve several traps right at their drains, and plumb drains by which air comes from an upper fixture's tee down to a lower one. \
        The number of traps, their levels, and the units of the upper fixture for the size of the drain between are compared with the code.\n\n\
        Wet vents of bathroom groups are other rules' business.",
    cite: |pack| keys::cite(pack, "common.traps-most"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let most = keys::value(context.pack, "common.traps-most");
    let closet_may = keys::flag(context.pack, "common.upper-may-be-closet");
    let same_floor = keys::flag(context.pack, "common.same-floor") == Some(true);
    for group in &context.index.groups {
        let way = group.way(context);
        if group.arms.len() < 2 || !matches!(way, Way::Dry | Way::Common) {
            continue;
        }
        said.looked();
        let at = At::Pipe(group.vent);
        let name = context.run(group.vent);
        let count = group.arms.len();
        if let Some(most) = most.as_ref().filter(|most| count as f64 > most.value) {
            let message = format!(
                "{count} traps share the one vent {name} at their drains; {} are the most",
                most.value
            );
            said.breaks(context, at, message, "give the others a vent of their own")
                .by(&most.cite);
        }
        let mut levels = group
            .arms(context)
            .map(|arm| context.fixture(arm.fixture).level);
        let first = levels.next();
        if same_floor && levels.any(|level| Some(level) != first) {
            said.breaks(
                context,
                at,
                format!("traps of two storeys share the one vent {name} at their drains"),
                "give each storey a vent of its own",
            );
        }
        let Some(&between) = group.wet.last().filter(|_| way == Way::Common) else {
            continue;
        };
        let upper = group
            .arms(context)
            .find(|arm| arm.vent.is_some_and(|vent| vent.at == vent.from));
        let Some(upper) = upper.map(|arm| arm.fixture) else {
            continue;
        };
        let tag = context.tag(upper);
        if context.kind(upper) == Kind::Closet && closet_may == Some(false) {
            said.breaks(
                context,
                At::Fixture(upper),
                format!("the upper fixture on the common vent {name} is a water closet, {tag}"),
                "let the closet come in below the other fixture",
            );
            continue;
        }
        let Some(size) = context.size(between) else {
            said.unknown(
                At::Pipe(between),
                "the size of the drain between the two fixtures is not known",
            );
            continue;
        };
        let Ok(row) = context.pack.common_vent_row(size) else {
            continue;
        };
        let load = context.load(between);
        if load > row.value + 1e-9 {
            let unit = context.pack.drain_unit();
            let message = format!(
                "{tag} of {} {unit} comes in above the other fixture on the common vent {name}; on {size} it may be {}",
                round(load),
                round(row.value)
            );
            said.breaks(
                context,
                At::Pipe(between),
                message,
                "make the drain between the two larger, or give the lower one a vent of its own",
            )
            .by(&row.cite);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, one, silent};

    /// An upper fixture on a plumb drain of such a size over a drinking fountain that comes in below it.
    fn stacked(upper: &str, tee: &str, size: &str) -> String {
        format!(
            "fixture A {upper} main 0',2' faces north\nfixture B floor-drain main 2',0' faces north\n\
             waste s\nstart 0',0' main floor -4'\nsize 3\"\nup to main floor -2'\npoint LOW\nsize {size}\nup to main floor {tee}\npoint HIGH\n\
             waste b\nstart LOW\nsize 2\"\neast 1'\nend B\n\
             waste a\nstart HIGH\nsize {size}\nnorth 1'\nend A\n\
             vent v\nstart HIGH\nsize 2\"\nup through roof\n"
        )
    }

    /// IPC Table 911.3: 1-1/2 in, 1 dfu; 2 in, 4 dfu. A lavatory (1) is right on 1-1/2, a kitchen sink (2) is not.
    #[test]
    fn upper_fixture() {
        silent(&stacked("lavatory", "+14\"", "1-1/2\""), "vent-common");
        let found = one(&stacked("kitchen-sink", "+14\"", "1-1/2\""), "vent-common");
        assert!(found.message.contains("A of 2 dfu"), "{}", found.message);
        silent(&stacked("kitchen-sink", "+14\"", "2\""), "vent-common");
    }

    #[test]
    fn the_upper_one_is_a_closet() {
        let found = one(&stacked("water-closet", "-1'", "3\""), "vent-common");
        assert!(
            found.message.contains("is a water closet, A"),
            "{}",
            found.message
        );
    }

    /// Back to back on one double tee: two traps are the limit itself.
    #[test]
    fn back_to_back() {
        let body = "fixture A lavatory main 0',1' faces north\nfixture B lavatory main 0',-1' faces south\n\
             waste s\nstart 0',0' main floor -2'\nsize 2\"\nup to main floor +14\"\npoint T\n\
             waste a\nstart T\nsize 1-1/2\"\nnorth 1'\nend A\nwaste b\nstart T\nsize 1-1/2\"\nsouth 1'\nend B\n\
             vent v\nstart T\nsize 2\"\nup through roof\n";
        silent(body, "vent-common");
        let three = body.to_owned()
            + "fixture C lavatory main 1',0' faces east\nwaste c\nstart T\nsize 1-1/2\"\neast 1'\nend C\n";
        let found = fires(&three, "vent-common");
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(
            found[0].message.starts_with("3 traps"),
            "{}",
            found[0].message
        );
    }
}
