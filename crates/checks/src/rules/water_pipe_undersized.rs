//! A stated water pipe is at least as large as sizing finds.
//!
//! IPC 604.1, UPC 610.1, Canada 2.6.3.1, EN 806-3: worked out by sizing, which cites the line or the pressure that governs.

use wyeline_job::model::System;

use crate::context::Context;
use crate::limits;
use crate::rule::{Rule, Said};
use crate::undersized::{TooSmall, too_small};

/// The rule.
pub static RULE: Rule = Rule {
    name: "water-pipe-undersized",
    title: "A stated water pipe is large enough for what it feeds.",
    page: "A pipe that is too small takes the pressure from whatever lies beyond it as soon as two taps are open.\n\n\
        What the fixtures draw is summed back to the source, turned into a likely peak, and each piece is sized by the code's table or by \
        the pressure there is; a stated size below that is a finding, said once for each stretch of one size. `wyeline size` walks the \
        derivation.\n\n\
        A pipe without a stated size is given the least there may be and cannot break this rule. Not checked is a pipe for which nothing \
        could be worked out, mostly because the job says no pressure.",
    cite: |pack| limits::cite(pack, "pipe-smaller-than-needed"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    for system in [System::Cold, System::Hot] {
        let unknown = "no least size could be worked out for this water pipe";
        for found in too_small(context, said, system, unknown) {
            let TooSmall { size, needed, .. } = found;
            let message = format!(
                "{} is {size} and has to be {needed}: {}",
                context.run(found.pipe),
                found.why
            );
            let help = format!(
                "lay {needed} from the source to here, or feed part of what lies beyond by another pipe"
            );
            found.tell(context, said, message, help);
        }
    }
}

#[cfg(test)]
mod tests {
    use wyeline_network::model::PipeIx;
    use wyeline_sizing::Governs;
    use wyeline_units::Size;

    use crate::tell::{Tell, inch};

    const JOB: &str = "fixture L lavatory main 10',0' faces north\n\
        cold c\nstart 0',-3\" main floor +21\"\nsize 1/2\"\neast 5'\neast to abreast L.cold\nend L\n";

    fn told(needed: Option<Size>, stated: bool) -> Tell {
        Tell::of(JOB, "water-pipe-undersized", move |_, sized| {
            for pipe in &mut sized.pipes {
                pipe.needed = needed;
                pipe.size = Some(inch(4));
                pipe.stated = stated;
            }
        })
    }

    /// 1/2 in where 3/4 in is needed: told once, though the stretch has several pieces.
    #[test]
    fn half_where_three_quarters_are_needed() {
        let told = told(Some(inch(6)), true);
        let found = told.one();
        assert!(
            found.message.contains("c is 1/2\" and has to be 3/4\""),
            "{}",
            found.message
        );
    }

    /// A pipe that has to be large for the sake of one that it feeds names that one, and what decided it there: UPC 610.12
    /// lets water run 8 ft/s (2.4384 m/s) in cold copper. Told once, for the pipe that is the cause.
    #[test]
    fn the_piece_that_is_the_cause_is_named() {
        let body = "fixture L lavatory main 10',5' faces north\n\
            cold main\nstart 0',0' main floor +21\"\nsize 1/2\"\neast 5'\npoint T\neast 5'\ncap\n\
            cold branch\nstart T\nsize 1/2\"\nnorth to abreast L.cold\neast to abreast L.cold\nend L\n";
        let told = |branch_stated: bool| {
            Tell::of(body, "water-pipe-undersized", move |network, sized| {
                let at = |id: &str| network.pipes.iter().position(|pipe| pipe.id == id).unwrap();
                let (main, branch) = (at("main/1"), at("branch/1"));
                let cite = wyeline_codes::Cite {
                    document: "UPC 2021".into(),
                    place: "Section 610.12".into(),
                    how: wyeline_codes::How::Memory,
                };
                for (ix, governs) in [
                    (
                        main,
                        Governs::Upstream {
                            pipe: PipeIx(branch as u32),
                            cite: cite.clone(),
                        },
                    ),
                    (
                        branch,
                        Governs::Velocity {
                            limit: 2.4384,
                            cite,
                        },
                    ),
                ] {
                    let pipe = &mut sized.pipes[ix];
                    pipe.needed = Some(inch(6));
                    pipe.size = Some(if ix == branch && !branch_stated {
                        inch(6)
                    } else {
                        inch(4)
                    });
                    pipe.stated = ix == main || branch_stated;
                    pipe.governs = governs;
                }
            })
        };
        let main = told(false);
        let words = &main.one().message;
        assert!(
            words.contains("main is 1/2\"")
                && words.contains("branch/1, which it feeds")
                && words.contains("8.0 ft/s"),
            "{words}"
        );
        let both = told(true);
        let found = both.one();
        assert!(
            found.message.contains("branch is 1/2\""),
            "{}",
            found.message
        );
        assert!(
            found.notes[0].1.contains("main/1, 1/2\", feeds it"),
            "{:?}",
            found.notes
        );
    }

    /// Exactly the size that is needed, or a larger one.
    #[test]
    fn just_right_or_larger() {
        told(Some(inch(4)), true).silent();
        told(Some(inch(3)), true).silent();
    }

    /// Exception: a size that nobody stated is the least there may be.
    #[test]
    fn nobody_stated_it() {
        assert_eq!(told(Some(inch(6)), false).said.places, 0);
    }

    /// Without a pressure nothing can be worked out, and that is said.
    #[test]
    fn nothing_is_known() {
        assert!(!told(None, true).said.unchecked.is_empty());
    }
}
