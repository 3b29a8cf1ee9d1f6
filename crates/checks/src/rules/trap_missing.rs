//! A trap on every fixture.
//!
//! IPC 1002.1, UPC 1001.2, EN 12056-1, Canada 2.4.5.1.

use wyeline_job::model::System;
use wyeline_network::kinds::Trap;
use wyeline_network::model::{FixtureIx, NodeIx, NodeKind};

use crate::context::Context;
use crate::finding::At;
use crate::keys;
use crate::kind::trap_of;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "trap-missing",
    title: "Every fixture that is drained has a trap.",
    page: "Without the water of a trap the air of the sewer comes up through the fixture.\n\n\
        Looked at is every fixture that a drain reaches. A drain that ends at the fixture's tee is laid with trap and arm; one that is \
        joined straight to the outlet of a fixture that needs a trap in its drain has none.\n\n\
        Closets and urinals are trapped in themselves. Equipment without a drain port, and fixtures that no drain reaches, are not looked at.",
    cite: |pack| keys::section(pack, "trap-missing"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let mut trapped = vec![false; context.network.fixtures.len()];
    for node in &context.network.nodes {
        if let (NodeKind::Trap, Some(fixture)) = (&node.kind, node.fixture) {
            trapped[fixture.0 as usize] = true;
        }
    }
    for (ix, fixture) in context.network.fixtures.iter().enumerate() {
        let needs = matches!(trap_of(&fixture.kind), Some(Trap::Arm | Trap::Below));
        let mut outlets = fixture
            .ports
            .iter()
            .filter(|port| matches!(port.name.as_str(), "drain" | "tee"));
        let drained = |node: NodeIx| {
            let mut pipes = context.node(node).pipes.iter();
            pipes.any(|&pipe| context.pipe(pipe).system == System::Waste)
        };
        if !needs || !outlets.any(|port| port.node.is_some_and(drained)) {
            continue;
        }
        said.looked();
        if trapped[ix] {
            continue;
        }
        let tag = &fixture.tag;
        let help = match trap_of(&fixture.kind) {
            Some(Trap::Arm) => format!(
                "end the drain at {tag}.tee: the trap is laid under the outlet and its arm leads to the tee"
            ),
            _ => format!(
                "catch {tag} from a drain that lies below its outlet, so that a trap finds room"
            ),
        };
        said.breaks(
            context,
            At::Fixture(FixtureIx(ix as u32)),
            format!("{tag} is drained without a trap"),
            help,
        );
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{one, silent};

    const LAVATORY: &str = "fixture LAV lavatory main 5',5' faces south\nwaste d\nstart 5',-5' main floor -1'\nsize 2\"\n";

    /// A drain that goes up to the outlet itself has no trap.
    #[test]
    fn drained_at_its_outlet() {
        let found = one(
            &format!("{LAVATORY}north to abreast LAV.drain\njoin LAV.drain\n"),
            "trap-missing",
        );
        assert_eq!(found.message, "LAV is drained without a trap");
    }

    /// At its tee it gets trap and arm.
    #[test]
    fn drained_at_its_tee() {
        silent(
            &format!("{LAVATORY}north to abreast LAV.tee\nend LAV\n"),
            "trap-missing",
        );
    }

    /// A closet has its trap in itself, and is not looked at; a floor drain has its trap below.
    #[test]
    fn trapped_in_itself() {
        silent(
            "fixture WC water-closet main 5',5' faces south\nfixture FD floor-drain main 2',4' faces south\n\
             waste d\nstart 5',-5' main floor -1'6\"\nsize 3\"\nnorth to abreast FD.drain\ncatch FD\nnorth to abreast WC.drain\nend WC\n",
            "trap-missing",
        );
    }
}
