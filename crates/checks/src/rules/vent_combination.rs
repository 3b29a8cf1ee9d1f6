//! A combination drain and vent lies flat, and its fixtures drop little into it.
//!
//! IPC 915.2.

use wyeline_job::model::System;
use wyeline_sizing::Airs;

use crate::context::{ALIKE, Context, is_level};
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-combination",
    title: "A combination drain and vent is not steep, and the fixtures on it do not drop far into it.",
    page: "Floor drains, sinks, lavatories and drinking fountains may drain into a level pipe so large that air passes over the water: one vent then serves \
        them all.\n\n\
        Looked at are drains that carry such fixtures alone, with one vent for all of them and a trap that has none at its own drain. Measured is the slope of the \
        level pieces, and how far each fixture's own drain drops. That the pipes are large enough by the table of their own is told by `drain-undersized`.\n\n\
        Not told by a job, and so not looked at, is a food waste disposer or a clinical sink, which may not drain into one.",
    cite: |pack| keys::cite(pack, "combination.slope-most"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let steepest = context.pack.slope_rule("combination.slope-most").ok();
    let drop = keys::value(context.pack, "combination.vertical-most");
    for (ix, pipe) in context.pipes_of(System::Waste) {
        let airs = |pipe| context.result(pipe).and_then(|result| result.airs);
        if airs(ix) != Some(Airs::Combination) {
            continue;
        }
        said.looked();
        let name = context.run(ix);
        let fall = pipe.slope.filter(|_| is_level(pipe));
        if let (Some(fall), Some(most)) = (fall, &steepest)
            && fall.slope.ratio() > most.value.ratio() + 1e-12
        {
            let units = context.network.units;
            let message = format!(
                "combination drain and vent {name} falls {}; {} is the most",
                fall.slope.show(units),
                most.value.show(units)
            );
            said.breaks(
                context,
                At::Pipe(ix),
                message,
                "lay it flatter, so that air passes over the water",
            )
            .by(&most.cite);
        }
        let Some(most) = &drop else { continue };
        for into in context.drains_into(pipe.from) {
            if context.index.upstream[into.0 as usize].fixtures != 1 {
                continue;
            }
            let dropped = dropped(context, into);
            if dropped <= most.value + ALIKE {
                continue;
            }
            let message = format!(
                "{} drops {} into a combination drain and vent; {} is the most",
                context.run(into),
                context.show(dropped),
                context.show(most.value)
            );
            said.breaks(
                context,
                At::Pipe(into),
                message,
                "bring the drain nearer to the fixture, or give the fixture a vent of its own",
            )
            .by(&most.cite);
        }
    }
}

/// How far the drain of one fixture drops in plumb pieces, down to the end of a pipe, mm.
fn dropped(context: &Context, last: wyeline_network::model::PipeIx) -> f64 {
    let mut sum = 0.0;
    let mut here = Some(last);
    let mut left = context.network.pipes.len();
    while let Some(pipe) = here {
        let told = context.pipe(pipe);
        if !is_level(told) {
            sum += told.fall_mm.max(0.0);
        }
        here = context.drains_into(told.from).next();
        left -= 1;
        if left == 0 {
            break;
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, one, silent};

    /// Three floor drains on one vent at the downstream end, the middle one at such a height above the drain.
    fn drains(slope: &str, under: &str, size: &str) -> String {
        format!(
            "fixture A floor-drain main 8',3' faces south\nfixture B floor-drain main 12',3' faces south\nfixture C floor-drain main 16',3' faces south\n\
             waste d\nstart 0',0' main floor -{under}\nsize {size}\nslope {slope}\neast 2'\npoint V\neast to abreast A.drain\ncatch A\neast to abreast B.drain\ncatch B\neast to abreast C.drain\nend C\n\
             vent v\nstart V\nsize 2\"\nup through roof\n"
        )
    }

    /// IPC 915.2: 1/2 in per ft.
    #[test]
    fn half_an_inch_per_foot() {
        silent(&drains("1/2 in per ft", "3'", "4\""), "vent-combination");
        let found = fires(&drains("9/16 in per ft", "3'", "4\""), "vent-combination");
        assert!(!found.is_empty());
        assert!(
            found[0].message.contains("falls 9/16 in/ft"),
            "{}",
            found[0].message
        );
    }

    /// 6 dfu into a building drain: IPC Table 915.3 lets 4 on 2 in and 26 on 2-1/2 in.
    #[test]
    fn its_size_is_told() {
        silent(
            &drains("1/4 in per ft", "3'", "2-1/2\""),
            "drain-undersized",
        );
        let found = one(&drains("1/4 in per ft", "3'", "2\""), "drain-undersized");
        assert!(
            found
                .message
                .contains("dfu on a combination drain and vent"),
            "{}",
            found.message
        );
        assert!(
            fires(
                &drains("1/4 in per ft", "3'", "2-1/2\""),
                "vent-wet-fixtures"
            )
            .is_empty()
        );
    }
}
