//! The pipe from a heater's relief valve is open, large enough and without a valve.
//!
//! IPC 504.6, UPC 608.5, Canada 2.6.1.7.

use wyeline_network::model::{FixtureIx, NodeKind};

use crate::context::{Context, nominal_mm};
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "hot-relief-blocked",
    title: "The discharge of a relief valve is as large as the valve, open, and without a valve.",
    page: "The relief valve is what keeps a heater from bursting. Whatever closes or narrows its pipe takes that away.\n\n\
        Looked at is the pipe from a heater's or boiler's `relief` port, where the job tells of one, down to its end: no valve or other device sits in it, \
        no piece is smaller than the valve's outlet (3/4 in unless the maker says more), it is not capped and not joined to other drains without an air gap.\n\n\
        A heater whose relief pipe is not told is listed as not checked.",
    cite: |pack| limits::cite(pack, "relief"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(least) = limits::limit(context.pack, "relief") else {
        return;
    };
    for (ix, fixture) in context.network.fixtures.iter().enumerate() {
        let mut ports = fixture.ports.iter();
        let Some(port) = ports.find(|port| port.name == "relief") else {
            continue;
        };
        let ix = FixtureIx(ix as u32);
        let tag = &fixture.tag;
        let Some(start) = port.node else {
            said.unknown(
                At::Fixture(ix),
                "the discharge pipe of its relief valve is not told",
            );
            continue;
        };
        said.looked();
        let drains = |node: wyeline_network::model::NodeIx| {
            let mut pipes = context.node(node).pipes.iter().copied();
            pipes
                .find(|&pipe| context.pipe(pipe).from == node && context.pipe(pipe).system.drains())
        };
        let mut node = start;
        for _ in 0..context.network.pipes.len() {
            if let Some(device) = &context.node(node).device {
                let what = device.tag.clone().unwrap_or_else(|| "a device".to_owned());
                let message = format!("{what} sits in the relief pipe of {tag}");
                said.breaks(
                    context,
                    At::Node(node),
                    message,
                    "take it out: nothing may shut this pipe",
                );
            }
            if node != start && context.node(node).kind == NodeKind::Cap {
                let message = format!("the relief pipe of {tag} is capped");
                said.breaks(
                    context,
                    At::Node(node),
                    message,
                    "let it end open, over a floor drain or outside, where it is seen",
                );
            }
            let Some(pipe) = drains(node) else {
                break;
            };
            let told = context.pipe(pipe);
            if let Some(size) = told
                .size
                .filter(|&size| nominal_mm(size) < least.value * 0.93)
            {
                let message =
                    format!("the relief pipe of {tag} is {size}, smaller than the valve's outlet");
                let help = format!("carry {} through to its end", context.show(least.value));
                said.breaks(context, At::Pipe(pipe), message, help);
                break;
            }
            node = told.to;
            if context.node(node).pipes.len() > 2 {
                let message = format!(
                    "the relief pipe of {tag} is joined to another drain without an air gap"
                );
                said.breaks(
                    context,
                    At::Node(node),
                    message,
                    "let it end open above a floor drain or a receptor",
                );
                break;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(first: &str, size: &str) -> Tell {
        let body = format!(
            "fixture W water-heater main 10',5' faces south\n\
             waste relief\nstart 14',5' main floor +4\"\n{first}size {size}\nwest to abreast W.relief\nend W.relief\n"
        );
        Tell::plain(&body, "hot-relief-blocked")
    }

    /// 1/2 in behind a 3/4 in valve; 3/4 in is the limit itself.
    #[test]
    fn as_large_as_the_valve() {
        assert!(
            told("", "1/2\"").one().message.contains("is 1/2\""),
            "{}",
            told("", "1/2\"").one().message
        );
        told("", "3/4\"").silent();
        told("", "1\"").silent();
    }

    #[test]
    fn nothing_sits_in_it() {
        let told = told("size 3/4\"\nwest 1'\nball-valve RV\n", "3/4\"");
        assert_eq!(told.one().message, "RV sits in the relief pipe of W");
    }

    #[test]
    fn into_another_drain() {
        let body = "fixture W water-heater main 10',5' faces south\n\
             waste d\nstart 20',5' main floor -1'\nsize 2\"\nwest 2'\npoint J\nwest 1'\ncap\n\
             waste relief\nstart J\nsize 3/4\"\nup 18\"\nwest to abreast W.relief\nend W.relief\n";
        let told = Tell::plain(body, "hot-relief-blocked");
        assert!(
            told.one().message.contains("without an air gap"),
            "{}",
            told.one().message
        );
    }

    #[test]
    fn not_told() {
        Tell::plain(
            "fixture W water-heater main 10',5' faces south\n",
            "hot-relief-blocked",
        )
        .unknown("not told");
    }
}
