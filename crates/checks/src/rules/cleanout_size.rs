//! A cleanout is as large as its drain.
//!
//! IPC 708.1.5, UPC 707.1, Canada 2.4.7.2.

use wyeline_job::model::System;

use crate::context::{Context, smaller};
use crate::finding::At;
use crate::index::is_end;
use crate::keys;
use crate::measure::has_cleanout;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "cleanout-size",
    title: "A cleanout is as large as its drain, up to the size that the code names.",
    page: "The tool that clears the drain has to pass the cleanout.\n\n\
        Looked at are cleanouts at the end of a piece of pipe of their own: the size of that piece is compared with the drain that it serves. A cleanout in \
        the drain itself has the size of the drain.\n\n\
        Above the size that the code names a cleanout of that size will do.",
    cite: |pack| keys::cite(pack, "cleanout.size-most"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(most) = keys::size(context.pack, "cleanout.size-most") else {
        return;
    };
    for (ix, pipe) in context.pipes_of(System::Waste) {
        if !is_end(&context.node(pipe.from).kind) || !has_cleanout(context, pipe.from) {
            continue;
        }
        let serves = context
            .downstream(pipe.from)
            .find(|&on| context.index.upstream[on.0 as usize].fixtures > 0);
        let Some(drain) = serves else {
            continue;
        };
        let (Some(size), Some(drain_size)) = (context.size(ix), context.size(drain)) else {
            said.unknown(
                At::Node(pipe.from),
                "the size of this cleanout or of its drain is not known",
            );
            continue;
        };
        said.looked();
        let least = if smaller(most.value, drain_size) {
            most.value
        } else {
            drain_size
        };
        if !smaller(size, least) {
            continue;
        }
        let message = format!(
            "the cleanout is {size} on {drain_size} {}; it has to be {least}",
            context.run(drain)
        );
        let help = format!("lay {least} from the drain to the cleanout");
        said.breaks(context, At::Node(pipe.from), message, help)
            .note(context.span(At::Pipe(drain)), "the drain");
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, one, silent};

    fn drain(main: &str, cleanout: &str) -> String {
        format!(
            "fixture FD floor-drain main 9',2' faces south\n\
             waste d\nstart 0',0' main floor -2'\nsize {main}\neast 3'\npoint J\neast to abreast FD.drain\nend FD\n\
             waste c\nstart J\nsize {cleanout}\nnorth 1'\ncleanout CO1\ncap\n"
        )
    }

    /// The same up to 4 in.
    #[test]
    fn the_same_up_to_four_inch() {
        let found = one(&drain("3\"", "2\""), "cleanout-size");
        assert!(found.message.contains("has to be 3\""), "{}", found.message);
        silent(&drain("3\"", "3\""), "cleanout-size");
        silent(&drain("6\"", "4\""), "cleanout-size");
        one(&drain("6\"", "3\""), "cleanout-size");
    }

    /// A cleanout in the drain itself has its size.
    #[test]
    fn in_the_drain() {
        let body = drain("3\"", "3\"");
        let body = body[..body.find("waste c").unwrap()].replace("point J", "cleanout CO1");
        assert!(fires(&body, "cleanout-size").is_empty());
    }
}
