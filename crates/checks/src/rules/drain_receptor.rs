//! What is drained through an air gap has a receptor near.
//!
//! IPC 802, UPC 801 and 804, Canada 2.4.2.1.

use wyeline_job::model::System;
use wyeline_network::model::{FixtureIx, LevelIx};

use crate::context::Context;
use crate::finding::At;
use crate::keys;
use crate::kind::Kind;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "drain-receptor",
    title: "A sink for food that is not piped to the drain has a floor sink or floor drain on its floor.",
    page: "Sinks in which food is prepared empty through an air gap, so that a stopped drain cannot reach the food. The gap needs a trapped and vented \
        receptor under it.\n\n\
        Looked at are three-compartment sinks that no drain reaches, in jobs that tell of drains: a floor sink or floor drain has to be on the same level.\n\n\
        Which sinks must be piped, may be or must not be piped is settled differently from place to place (scullery sinks are piped under some codes, never \
        under others): a piped one is listed as not checked.",
    cite: |pack| keys::section(pack, "drain-receptor"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    if context.pipes_of(System::Waste).next().is_none() {
        return;
    }
    let mut receptors: Vec<LevelIx> = Vec::new();
    for (ix, fixture) in context.network.fixtures.iter().enumerate() {
        if matches!(context.index.kinds[ix], Kind::FloorSink | Kind::FloorDrain)
            && context.index.arm_of[ix].is_some()
        {
            receptors.push(fixture.level);
        }
    }
    for (ix, fixture) in context.network.fixtures.iter().enumerate() {
        if context.index.kinds[ix] != Kind::ThreeCompartmentSink {
            continue;
        }
        let at = At::Fixture(FixtureIx(ix as u32));
        if context.index.arm_of[ix].is_some() {
            said.unknown(at, "whether this sink may be piped to the drain, or needs an air gap, is for the local authority");
            continue;
        }
        said.looked();
        if !receptors.contains(&fixture.level) {
            let message = format!(
                "{} is not piped to a drain, and no floor sink or floor drain is on its floor",
                fixture.tag
            );
            said.breaks(
                context,
                at,
                message,
                "set a floor sink beside it and let it empty there through an air gap",
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{one, silent, unchecked};

    fn kitchen(receptor: &str) -> String {
        format!(
            "fixture KS three-compartment-sink main 5',9' faces south\nfixture FS {receptor} 9',2' faces south\n\
             waste d\nstart 0',0' main floor -2'\nsize 3\"\neast to abreast FS.drain\nend FS\n"
        )
    }

    #[test]
    fn no_receptor_on_the_floor() {
        let found = one(
            &kitchen("lavatory upper").replace("FS.drain", "FS.tee"),
            "drain-receptor",
        );
        assert!(
            found.message.starts_with("KS is not piped"),
            "{}",
            found.message
        );
    }

    #[test]
    fn a_floor_sink() {
        silent(&kitchen("floor-sink main"), "drain-receptor");
    }

    #[test]
    fn piped_is_not_checked() {
        let body = "fixture KS three-compartment-sink main 5',5' faces south\n\
             waste d\nstart 5',0' main floor -2'\nsize 3\"\neast to abreast KS.tee\nnorth to abreast KS.tee\nend KS\n";
        assert_eq!(unchecked(body, "drain-receptor").len(), 1);
    }
}
