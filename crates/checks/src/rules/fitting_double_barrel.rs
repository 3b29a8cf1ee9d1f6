//! A double sanitary tee has a barrel larger than its inlets.
//!
//! UPC 706.2.

use wyeline_network::model::{NodeIx, PipeIx};

use crate::context::{Context, is_level, smaller};
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "fitting-double-barrel",
    title: "A double sanitary tee has a barrel larger than its inlets by the sizes that the code names.",
    page: "In a narrow barrel what comes in on one side shoots across into the other.\n\n\
        Looked at are points of a plumb drain where two level branches come in square from opposite sides: the drain below is compared with the \
        larger branch, counted in the sizes of the code.\n\n\
        Branches that come in at 45 with the flow make a double wye, which may be of one size.",
    cite: |pack| keys::cite(pack, "double-tee.barrel-sizes-larger"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(larger) = keys::number(context.pack, "double-tee.barrel-sizes-larger") else {
        return;
    };
    for ix in 0..context.network.nodes.len() {
        let node = NodeIx(ix as u32);
        let Some(down) = context
            .down(node)
            .filter(|_| context.node(node).pipes.len() >= 4)
        else {
            continue;
        };
        let square = |into: &PipeIx| is_level(context.pipe(*into));
        let mut branches = context.drains_into(node).filter(square);
        let (Some(a), Some(b)) = (branches.next(), branches.next()) else {
            continue;
        };
        if is_level(context.pipe(down)) || crate::measure::turn(context, a, b) < 180.0 - 1.0 {
            continue;
        }
        let (Some(barrel), Some(a), Some(b)) =
            (context.size(down), context.size(a), context.size(b))
        else {
            said.unknown(
                At::Node(node),
                "the size of a drain that meets here is not known",
            );
            continue;
        };
        said.looked();
        let inlet = if smaller(a, b) { b } else { a };
        let mut least = inlet;
        for _ in 0..larger as u32 {
            least = context.pack.next_size(least).unwrap_or(least);
        }
        if !smaller(barrel, least) {
            continue;
        }
        let message = format!(
            "the double tee has a barrel of {barrel} with inlets of {inlet}; square inlets of that size ask for {least}"
        );
        said.breaks(
            context,
            At::Node(node),
            message,
            "use a double wye with eighth bends, or set one branch lower than the other",
        );
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires_upc, said_by};

    /// Two lavatories on both sides of a plumb drain.
    fn lavatories(barrel: &str, inlet: &str) -> String {
        format!(
            "fixture A lavatory main 1',0' faces east\nfixture B lavatory main -1',0' faces west\n\
             waste s\nstart 0',0' main floor -2'\nsize {barrel}\nup to main floor +14\"\npoint T\n\
             waste a\nstart T\nsize {inlet}\neast to abreast A.tee\nend A\n\
             waste b\nstart T\nsize {inlet}\nwest to abreast B.tee\nend B\n\
             vent v\nstart T\nsize 2\"\nup through roof\n"
        )
    }

    /// UPC 706.2: two sizes: 1-1/2 in inlets ask for 2-1/2 in.
    #[test]
    fn two_sizes() {
        assert_eq!(
            fires_upc(&lavatories("2\"", "1-1/2\""), "fitting-double-barrel").len(),
            1
        );
        let said = said_by(
            "upc-2021",
            &lavatories("2-1/2\"", "1-1/2\""),
            "fitting-double-barrel",
        );
        assert!(said.findings.is_empty() && said.places == 1, "{said:#?}");
    }

    /// A single branch makes no double tee.
    #[test]
    fn a_single_tee() {
        let body = lavatories("2\"", "1-1/2\"");
        let from = body.find("waste b").unwrap();
        let to = body.find("vent v").unwrap();
        let body = format!("{}{}", &body[..from], &body[to..]);
        assert_eq!(
            said_by("upc-2021", &body, "fitting-double-barrel").places,
            0
        );
    }
}
