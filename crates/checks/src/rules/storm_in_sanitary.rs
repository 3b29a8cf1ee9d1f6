//! Rain water does not run into the sanitary drain.
//!
//! IPC 1101.3, UPC 1101.2, Canada 2.1.2.1.

use wyeline_job::model::System;
use wyeline_network::model::NodeIx;

use crate::context::Context;
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "storm-in-sanitary",
    title: "Storm drains and sanitary drains are kept apart.",
    page: "A cloudburst fills the sewer, and it comes up through the closets.\n\n\
        Looked at is every end of a storm drain: it does not go into a waste pipe, nor a waste pipe into it.\n\n\
        Exception: a combined sewer, where the authority has one: then the two are joined outside the building, with a trap in the storm drain. \
        Say in the job's notes that it has been allowed.",
    cite: |pack| limits::cite(pack, "storm-in-sanitary"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    if context.pipes_of(System::Storm).next().is_none() {
        return;
    }
    for (ix, node) in context.network.nodes.iter().enumerate() {
        let ix = NodeIx(ix as u32);
        let of = |system: System| {
            let mut pipes = node.pipes.iter().copied();
            pipes.find(move |&pipe| context.pipe(pipe).system == system)
        };
        let Some(storm) = of(System::Storm) else {
            continue;
        };
        said.looked();
        let Some(waste) = of(System::Waste) else {
            continue;
        };
        let message = format!(
            "storm drain {} and waste drain {} are joined",
            context.run(storm),
            context.run(waste)
        );
        let help = "lead the storm water to a storm sewer, a drywell or the open ground";
        let span = context.span(At::Pipe(waste));
        said.breaks(context, At::Node(ix), message, help)
            .note(span, "the waste drain is told here");
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    const SEWER: &str =
        "waste sewer\nstart 0',0' cellar floor -3'\nsize 4\"\neast 5'\npoint J\neast 5'\ncap\n";

    #[test]
    fn a_leader_into_the_sewer() {
        let body = format!("{SEWER}storm leader\nstart J\nsize 4\"\nup 5'\ncap\n");
        assert_eq!(
            Tell::plain(&body, "storm-in-sanitary").one().message,
            "storm drain leader and waste drain sewer are joined"
        );
    }

    #[test]
    fn apart() {
        let body = format!(
            "{SEWER}storm leader\nstart 0',5' cellar floor -3'\nsize 4\"\neast 5'\nup 5'\ncap\n"
        );
        Tell::plain(&body, "storm-in-sanitary").silent();
    }

    /// A job without storm water has nothing to look at.
    #[test]
    fn no_storm_water() {
        Tell::plain(SEWER, "storm-in-sanitary").nowhere();
    }
}
