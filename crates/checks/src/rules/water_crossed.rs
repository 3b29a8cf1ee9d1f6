//! Hot and cold meet nowhere but in a mixing valve or a heater.
//!
//! IPC 608.1, UPC 602.2, Canada 2.6.2.1.

use wyeline_job::model::{DeviceKind, System};
use wyeline_network::model::{FixtureIx, NodeIx};

use crate::context::Context;
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};
use crate::supply::Devices;

/// The rule.
pub static RULE: Rule = Rule {
    name: "water-crossed",
    title: "Hot and cold pipe are joined at heaters and mixing valves only.",
    page: "Where hot and cold pipe are joined, whichever pressure is higher pushes into the other: warm water from cold taps, cold from hot ones, \
        and nobody finds the place.\n\n\
        Looked at is every point where a hot run or a hot return meets a cold run, and every heater: cold water goes into its cold \
        port, and hot comes from its hot port.\n\n\
        Exceptions: a mixing valve, which is made for it; a return that joins the cold pipe of a heater where that pipe feeds only the heater.",
    cite: |pack| limits::cite(pack, "crossed"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let network = context.network;
    for ix in 0..network.nodes.len() as u32 {
        let ix = NodeIx(ix);
        let node = network.node(ix);
        if node.pipes.len() < 2 || node.fixture.is_some() {
            continue;
        }
        let is = |system| {
            node.pipes
                .iter()
                .any(|&pipe| context.pipe(pipe).system == system)
        };
        if !is(System::Cold) || !(is(System::Hot) || is(System::HotReturn)) {
            continue;
        }
        said.looked();
        if context.device_at(ix, Devices::one(DeviceKind::MixingValve))
            || feeds_one_heater(context, ix)
        {
            continue;
        }
        let hot = if is(System::Hot) {
            "a hot run"
        } else {
            "the hot return"
        };
        let message = format!(
            "{hot} is joined to a cold run that feeds other outlets: hot and cold push into each other"
        );
        let help = "lead the return to the heater's `return`, or into the cold pipe behind the last branch before the heater; join hot and cold only at a `mixing-valve`";
        said.breaks(context, At::Node(ix), message, help);
    }
    for (ix, fixture) in network.fixtures.iter().enumerate() {
        if !matches!(&*fixture.kind, "water-heater" | "storage-tank") {
            continue;
        }
        let ix = FixtureIx(ix as u32);
        let Some(node) = context.port(ix, "hot") else {
            continue;
        };
        said.looked();
        let feed = context.supply().feed[node.0 as usize];
        let Some(feed) = feed.filter(|&pipe| context.pipe(pipe).system == System::Cold) else {
            continue;
        };
        let tag = &fixture.tag;
        let message = format!(
            "{} brings cold water to the hot port of {tag}",
            context.run(feed)
        );
        let help = format!("end it at {tag}.cold, and start the hot run at {tag}.hot");
        said.breaks(context, At::Pipe(feed), message, help);
    }
}

/// Whether all that the cold pipe here still feeds is one heater.
fn feeds_one_heater(context: &Context, node: NodeIx) -> bool {
    let outlets = &context.supply().outlets;
    if outlets[node.0 as usize] != 1 {
        return false;
    }
    let mut at = node;
    for _ in 0..context.network.pipes.len() {
        let here = context.node(at);
        if let Some(fixture) = here.fixture {
            return context.fixture(fixture).centred;
        }
        let mut on = here.pipes.iter().map(|&pipe| context.pipe(pipe));
        let next = on.find(|pipe| {
            pipe.from == at && pipe.system == System::Cold && outlets[pipe.to.0 as usize] == 1
        });
        match next {
            Some(pipe) => at = pipe.to,
            None => return false,
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    const HEATER: &str = "fixture W water-heater main 10',5' faces south\nfixture L lavatory main 20',0' faces north\n";

    fn joined(before: &str) -> Tell {
        let body = format!(
            "{HEATER}cold c\nstart 0',5' main floor +6'\nsize 3/4\"\neast 2'\n{before}point J\neast 1'\npoint K\neast to abreast W.cold\nend W.cold\n\
             hot h\nstart W.hot\nsize 3/4\"\nup 2'\neast to abreast L.hot\npoint FAR\nend L\n\
             hot-return r\nstart FAR\nsize 1/2\"\nup 6\"\nwest to abreast J\njoin J\n"
        );
        Tell::plain(&body, "water-crossed")
    }

    /// A return that joins the heater's own cold pipe is as usual.
    #[test]
    fn into_the_heaters_own_pipe() {
        joined("").silent();
    }

    /// Before the branch of the lavatory the same joint sends hot water to its cold tap.
    #[test]
    fn into_the_cold_main() {
        let lavatory = format!(
            "{HEATER}cold c\nstart 0',5' main floor +6'\nsize 3/4\"\neast 2'\npoint J\neast 1'\npoint K\neast to abreast W.cold\nend W.cold\n\
             cold d\nstart K\nsize 1/2\"\nsouth 1'\neast to abreast L.cold\nend L\n\
             hot h\nstart W.hot\nsize 3/4\"\nup 2'\neast to abreast L.hot\npoint FAR\nend L\n\
             hot-return r\nstart FAR\nsize 1/2\"\nup 6\"\nwest to abreast J\njoin J\n"
        );
        let told = Tell::plain(&lavatory, "water-crossed");
        assert!(
            told.one().message.contains("the hot return is joined"),
            "{}",
            told.one().message
        );
    }

    /// Exception: hot and cold meet in a mixing valve.
    #[test]
    fn in_a_mixing_valve() {
        let body = format!(
            "{HEATER}cold c\nstart 0',5' main floor +6'\nsize 3/4\"\neast 2'\npoint K\neast to abreast W.cold\nend W.cold\n\
             hot h\nstart W.hot\nsize 3/4\"\nup 2'\nmixing-valve\npoint MIX\neast to abreast L.hot\nend L\n\
             cold to-mix\nstart K\nsize 1/2\"\nup 2'\nsouth 1'\neast to abreast MIX\njoin MIX\n"
        );
        Tell::plain(&body, "water-crossed").silent();
    }

    #[test]
    fn cold_into_the_hot_port() {
        let body = "fixture W water-heater main 10',5' faces south\n\
             cold c\nstart 0',5' main floor +6'\nsize 3/4\"\neast to abreast W.hot\nend W.hot\n";
        let told = Tell::plain(body, "water-crossed");
        assert!(
            told.one()
                .message
                .contains("c brings cold water to the hot port of W"),
            "{}",
            told.one().message
        );
    }
}
