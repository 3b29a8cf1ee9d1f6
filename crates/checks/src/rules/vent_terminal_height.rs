//! How high a vent ends above the roof.
//!
//! IPC 903.1, UPC 906.1, Canada 2.5.6.5.

use wyeline_network::model::{NodeIx, NodeKind};

use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-terminal-height",
    title: "A vent ends high enough above the roof.",
    page: "A vent that ends at the roof is closed by snow, leaves and ponding water.\n\n\
        Measured is the height of the open end above the roof's surface at that point.\n\n\
        Not checked is a vent where the job tells of no roof. A roof that people use (a terrace) asks for much more; the job does not \
        tell of it, so look at the page of the code. What a cold winter asks is told by `vent-terminal-frost`. Some codes leave the height to the authority.",
    cite: |pack| keys::cite(pack, "terminal.above-roof"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(least) = keys::number(context.pack, "terminal.above-roof") else {
        return;
    };
    for (ix, node) in context.network.nodes.iter().enumerate() {
        if node.kind != NodeKind::RoofEnd {
            continue;
        }
        let at = At::Node(NodeIx(ix as u32));
        let Some(roof) = context.network.building.roof_at(node.at.x, node.at.y) else {
            said.unknown(at, "the job tells of no roof here");
            continue;
        };
        said.looked();
        let height = node.at.z - roof;
        if height >= least - ALIKE {
            continue;
        }
        let message = format!(
            "the vent ends {} above the roof; it has to be {}",
            context.show(height),
            context.show(least)
        );
        let help = format!("`up through roof above {}`", context.show(least));
        said.breaks(context, at, message, help);
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{one, silent, whole};

    fn vent(above: &str) -> String {
        format!(
            "fixture LAV lavatory main 5',5' faces south\n\
             waste d\nstart 5',0' main floor -1'\nsize 2\"\nnorth to abreast LAV.tee\nend LAV\n\
             vent v\nstart LAV.tee\nsize 1-1/2\"\nup through roof above {above}\"\n"
        )
    }

    /// 6 in, the usual entry.
    #[test]
    fn six_inches() {
        let found = one(&vent("5"), "vent-terminal-height");
        assert!(
            found.message.contains("ends 5\" above the roof"),
            "{}",
            found.message
        );
        silent(&vent("6"), "vent-terminal-height");
        silent(&vent("7"), "vent-terminal-height");
    }

    /// Without a roof in the job it is not known.
    #[test]
    fn no_roof_told() {
        let text = "job t\nunits ft-in\nslope 1/4 in per ft\nlevel main floor 0'\nfixture LAV lavatory main 5',5' faces south\n\
             waste d\nstart 5',0' main floor -1'\nsize 2\"\nnorth to abreast LAV.tee\nend LAV\nvent v\nstart LAV.tee\nsize 1-1/2\"\nup 9'\ncontinues \"up\"\n";
        assert_eq!(whole("ipc-2021", text, "vent-terminal-height").places, 0);
    }
}
