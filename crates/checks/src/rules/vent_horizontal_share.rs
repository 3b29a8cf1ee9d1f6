//! How much of a vent may run level.
//!
//! UPC Table 703.2, notes.

use crate::context::{ALIKE, Context, is_level};
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};
use wyeline_job::model::System;

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-horizontal-share",
    title: "Not too much of a vent's permitted length runs level.",
    page: "Level vent gathers what should rise or drain away. The code lets a part of the length that its table permits for the size run level.\n\n\
        From each drain the level pieces of the vent are added up to the open air. They are compared with that part of the length \
        that the table permits for the vent's size and load.\n\n\
        A vent that is one size larger throughout than its load asks for is free of it. Not checked is a vent whose size is not known.",
    cite: |pack| keys::cite(pack, "vent.horizontal-fraction"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(share) = keys::number(context.pack, "vent.horizontal-fraction") else {
        return;
    };
    for (start, pipe) in context.pipes_of(System::Vent) {
        let Some(drain) = context.down(pipe.from) else {
            continue;
        };
        let (Some(size), Some(of)) = (context.size(start), context.size(drain)) else {
            said.unknown(At::Pipe(start), "the size of this vent is not known");
            continue;
        };
        let level: f64 = context
            .to_the_air(start)
            .filter(|&on| is_level(context.pipe(on)))
            .map(|on| context.length(on))
            .sum();
        said.looked();
        if level < ALIKE {
            continue;
        }
        let load = context
            .result(start)
            .map_or(0.0, |result| result.load.drain);
        let Ok(fit) = context.pack.vent_by_length(of, load, 0.0) else {
            said.unknown(At::Pipe(start), "the code's table does not hold this vent");
            continue;
        };
        let larger = crate::context::smaller(fit.value.size, size);
        let most = fit.value.allows * share;
        if larger || level <= most + ALIKE {
            continue;
        }
        let message = format!(
            "vent {} runs level for {}; of a {size} vent {} may",
            context.run(start),
            context.show(level),
            context.show(most)
        );
        said.breaks(
            context,
            At::Pipe(start),
            message,
            "carry it up nearer to the fixture, or make it one size larger throughout",
        );
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::fires_upc;

    fn lavatory(level: &str, size: &str) -> String {
        format!(
            "fixture LAV lavatory main 5',5' faces south\n\
             waste d\nstart 5',0' main floor -1'\nsize 1-1/4\"\nnorth to abreast LAV.tee\nend LAV\n\
             vent v\nstart LAV.tee\nsize {size}\nup to main floor +4'\nnorth {level}\nup through roof\n"
        )
    }

    /// UPC Table 703.2: 1-1/4 in, 1 dfu, 45 ft; a third is 15 ft.
    #[test]
    fn a_third_of_forty_five_feet() {
        assert!(fires_upc(&lavatory("14'11\"", "1-1/4\""), "vent-horizontal-share").is_empty());
        let found = fires_upc(&lavatory("15'2\"", "1-1/4\""), "vent-horizontal-share");
        assert_eq!(found.len(), 1, "{found:#?}");
    }

    /// One size larger throughout is free of it.
    #[test]
    fn one_size_larger() {
        assert!(fires_upc(&lavatory("20'", "1-1/2\""), "vent-horizontal-share").is_empty());
    }
}
