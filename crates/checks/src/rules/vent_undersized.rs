//! A stated vent is at least as large as the code asks for its load and length.
//!
//! IPC 906, UPC 904, EN 12056-2, Canada 2.5.8: worked out by sizing, which cites the line of the table.

use wyeline_job::model::System;

use super::drain_undersized::reason;
use crate::context::{Context, smaller};
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-undersized",
    title: "A stated vent is large enough for what it serves and how long it is.",
    page: "A vent that is too small or too long lets too little air through, and the traps are sucked dry.\n\n\
        Each vent is sized by the code's table for what it is: individual, branch, stack vent, vent stack, header. A stated size that is smaller \
        than the least is a finding. `wyeline size` shows the whole derivation.\n\n\
        A vent without a stated size is given the least the code allows. Not checked is a vent for which no least size could be worked out.",
    cite: |pack| {
        keys::cite(pack, "vent.least").or_else(|| keys::cite(pack, "vent.fraction-of-drain"))
    },
    look,
};

fn look(context: &Context, said: &mut Said) {
    for (ix, pipe) in context.pipes_of(System::Vent) {
        let Some(result) = context.result(ix).filter(|result| result.stated) else {
            continue;
        };
        let (Some(needed), Some(size)) = (result.needed, result.size) else {
            said.unknown(
                At::Pipe(ix),
                "no least size could be worked out for this vent",
            );
            continue;
        };
        said.looked();
        if !smaller(size, needed) {
            continue;
        }
        // Said once for each stretch: at its end towards the open air.
        let goes_on = context.vent_out(pipe.to).is_some_and(|next| {
            let alike = context.result(next).is_some_and(|other| {
                other.stated && other.size == Some(size) && other.needed == Some(needed)
            });
            alike && context.pipe(next).run == pipe.run
        });
        if goes_on {
            continue;
        }
        let (why, cite) = reason(context, &result.governs, needed);
        let name = context.run(ix);
        let message = format!("vent {name} is {size} and has to be {needed}: {why}");
        let help = format!("lay {needed} from the drain to the open air, or shorten the vent");
        let finding = said.breaks(context, At::Pipe(ix), message, help);
        if let Some(cite) = cite {
            finding.by(cite);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, fires_upc, one, silent};

    /// A closet's 3 in drain on its own vent, short enough.
    fn closet(size: &str) -> String {
        format!(
            "fixture WC water-closet main 5',1' faces south\n\
             waste d\nstart 0',0' main floor -2'\nsize 3\"\neast 3'\npoint V\neast to abreast WC.drain\nend WC\n\
             vent v\nstart V\n{size}\nup through roof\n"
        )
    }

    /// IPC 906.2: half the required drain, 1-1/2 in of 3 in.
    #[test]
    fn half_of_three_inch() {
        let found = one(&closet("size 1-1/4\""), "vent-undersized");
        assert!(
            found.message.contains("has to be 1-1/2\""),
            "{}",
            found.message
        );
        silent(&closet("size 1-1/2\""), "vent-undersized");
        silent(&closet("size 2\""), "vent-undersized");
    }

    /// UPC Table 703.2: of the 45 ft of a 1-1/4 in vent a third may lie level, 15 ft; 15 ft 2 in ask for 1-1/2 in.
    #[test]
    fn too_much_of_it_level() {
        let body = "fixture LAV lavatory main 5',5' faces south\n\
            waste d\nstart 5',0' main floor -1'\nsize 1-1/4\"\nnorth to abreast LAV.tee\nend LAV\n\
            vent v\nstart LAV.tee\nsize 1-1/4\"\nup to main floor +4'\nnorth 15'2\"\nup through roof\n";
        let found = fires_upc(body, "vent-undersized");
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(
            found[0].message.ends_with(
                "has to be 1-1/2\": 15'-2\" of it lie level; the next smaller size may have 15'-0\""
            ),
            "{}",
            found[0].message
        );
    }

    #[test]
    fn nothing_stated() {
        assert!(fires(&closet("note \"size by the code\""), "vent-undersized").is_empty());
    }
}
