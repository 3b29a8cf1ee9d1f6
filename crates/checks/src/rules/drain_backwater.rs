//! A backwater valve takes only what needs it.
//!
//! IPC 714.1, UPC 710.1, EN 12056-4, Canada 2.4.6.4.

use wyeline_job::model::DeviceKind;
use wyeline_network::model::NodeIx;

use crate::context::Context;
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "drain-backwater",
    title: "Only low fixtures drain through a backwater valve.",
    page: "A closed backwater valve holds the sewer out, and the building's own water in: fixtures of the floors above, flushed meanwhile, flood the \
        lowest ones.\n\n\
        At each backwater valve in a drain the levels of the fixtures upstream are looked at. If they stand on several levels, the valve takes more than \
        the lowest.\n\n\
        The height of the next manhole's cover, which decides which fixtures need a valve, is not told in the job: that low fixtures have one is \
        not checked. Codes let existing work keep a valve that takes the whole building.",
    cite: |pack| keys::section(pack, "drain-backwater"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let mut any = false;
    for (ix, node) in context.network.nodes.iter().enumerate() {
        let valve = node
            .device
            .as_ref()
            .is_some_and(|device| device.kind == DeviceKind::BackwaterValve);
        let here = NodeIx(ix as u32);
        let Some(pipe) = context.down(here).filter(|_| valve) else {
            continue;
        };
        any = true;
        said.looked();
        // Where a branch comes in at the valve, it sits in the pipe of its own run.
        let run = context.pipe(pipe).run;
        let ahead = context
            .drains_into(here)
            .find(|&into| context.pipe(into).run == run);
        let upstream = context.index.upstream[ahead.unwrap_or(pipe).0 as usize];
        if upstream.fixtures == 0 || upstream.level.is_some() {
            continue;
        }
        let message = format!(
            "{} fixtures of several floors drain through this backwater valve",
            upstream.fixtures
        );
        said.breaks(
            context,
            At::Node(here),
            message,
            "set it on the branch of the lowest fixtures only, upstream of where the others come in",
        );
    }
    if !any && context.arms.iter().any(|_| true) {
        said.unknown(At::Job, "how high the next manhole's cover is, and so which fixtures need a backwater valve, is not told");
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{one, silent, unchecked};

    fn house(main: &str, branch: &str) -> String {
        format!(
            "fixture FD floor-drain cellar 9',2' faces south\nfixture WC water-closet main 4',-3' faces south\n\
             waste d\nstart 0',0' cellar floor -2'\nsize 4\"\neast 2'\n{main}east to abreast WC.drain\npoint S\n{branch}east to abreast FD.drain\nend FD\n\
             waste s\nstart S\nsize 3\"\nup 1'\nend WC\n"
        )
    }

    #[test]
    fn on_the_whole_drain() {
        let found = one(&house("backwater-valve BW1\n", ""), "drain-backwater");
        assert!(
            found.message.starts_with("2 fixtures of several floors"),
            "{}",
            found.message
        );
    }

    #[test]
    fn on_the_branch_of_the_cellar() {
        silent(&house("", "backwater-valve BW1\n"), "drain-backwater");
    }

    #[test]
    fn without_a_valve_it_is_not_known() {
        assert_eq!(unchecked(&house("", ""), "drain-backwater").len(), 1);
    }
}
