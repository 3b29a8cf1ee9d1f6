//! New work does not overload existing pipe.
//!
//! IPC 102.3 and 710, UPC 102.4 and 703, EN 12056-2 clause 6, Canada 2.4.10.

use wyeline_job::model::System;

use crate::context::{Context, smaller};
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "drain-into-existing",
    title: "Existing pipe that new work drains into is large enough for both, and somebody has seen it.",
    page: "What stood for years may be too small once a bath is added. And what is drawn from hearsay is measured when the wall is open, not before the pipe is cut.\n\n\
        At each point where a new drain runs into existing pipe, every existing piece downstream has its size compared with what the whole load asks for.\n\n\
        Not checked is existing pipe whose size nobody states. Existing pipe marked `unverified` is named in the finding, or listed as not checked \
        where nothing else is wrong.",
    cite: |pack| keys::section(pack, "drain-into-existing"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let mut seen = vec![false; context.network.pipes.len()];
    for (ix, pipe) in context.pipes_of(System::Waste) {
        let Some(next) = context.down(pipe.to) else {
            continue;
        };
        let joins = !pipe.existing
            && context.pipe(next).existing
            && context.index.upstream[ix.0 as usize].fixtures > 0;
        if !joins {
            continue;
        }
        for on in context.downstream(pipe.to) {
            let told = context.pipe(on);
            if std::mem::replace(&mut seen[on.0 as usize], true) || !told.existing {
                break;
            }
            let at = At::Pipe(on);
            let needed = context.result(on).and_then(|result| result.needed);
            let (Some(size), Some(needed)) = (told.size, needed) else {
                said.unknown(at, "new work drains into this existing pipe, whose size nobody states or whose load is not known");
                continue;
            };
            said.looked();
            if smaller(size, needed) {
                let message = format!(
                    "new work drains into existing {size} {}, which has to be {needed} for what it then carries",
                    context.run(on)
                );
                let help = format!(
                    "renew it in {needed} from here to the sewer, or lead the new work elsewhere"
                );
                said.breaks(context, at, message, help)
                    .note(pipe.span, "the new work comes in here");
                break;
            }
            if told.unverified {
                said.unknown(
                    at,
                    "new work drains into existing pipe that nobody has verified",
                );
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, one, silent, unchecked};

    fn addition(size: &str, extra: &str) -> String {
        format!(
            "fixture WC water-closet main 8',2' faces south\n\
             waste d\nstart 0',0' main floor -3'\n{size}\nexisting\n{extra}\neast 4'\nnew\nverified\nsize 3\"\neast to abreast WC.drain\nend WC\n"
        )
    }

    /// A closet into existing 2 in: a building drain with a closet has to be 3 in.
    #[test]
    fn too_small() {
        let found = one(&addition("size 2\"", "verified"), "drain-into-existing");
        assert!(found.message.contains("has to be 3\""), "{}", found.message);
        assert!(found.existing);
        silent(&addition("size 3\"", "verified"), "drain-into-existing");
        silent(&addition("size 4\"", "verified"), "drain-into-existing");
    }

    #[test]
    fn nobody_has_seen_it() {
        let body = addition("size 3\"", "unverified");
        assert!(fires(&body, "drain-into-existing").is_empty());
        assert_eq!(unchecked(&body, "drain-into-existing").len(), 1);
    }

    /// Existing into existing is no new work.
    #[test]
    fn all_of_it_existing() {
        let body = addition("size 2\"", "verified").replace("new\n", "");
        assert!(fires(&body, "drain-into-existing").is_empty());
    }
}
