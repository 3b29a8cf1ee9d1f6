//! A vent leaves a level drain above its centre line.
//!
//! IPC 905.3, UPC 905.2 and 905.3, Canada 2.5.6.2.

use wyeline_job::model::System;

use crate::context::{Context, is_level};
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// Sine of the least angle above level at which a vent leaves a level drain: a take-off within 45 degrees of plumb is how
/// the trade makes "above the centre line". Common practice; the sections name the centre line.
const WITHIN_45: f64 = std::f64::consts::FRAC_1_SQRT_2;
/// Rounding of a sine, a tenth of a degree.
const ROUNDING: f64 = 0.002;

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-takeoff",
    title: "A vent leaves a level drain above its centre line: plumb, or within 45 degrees of it.",
    page: "A vent that leaves the side of a drain is part of the drain: waste backs up into it, dries and shuts it.\n\n\
        Looked at is every vent that leaves a level drain. The pipe that leaves has to rise by 45 degrees or more.\n\n\
        A vent that goes on from a plumb drain, or from a tee whose outlet drops, stands above the water in any case.",
    cite: |pack| keys::cite(pack, "vent.takeoff-above-centreline"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    for (ix, pipe) in context.pipes_of(System::Vent) {
        let Some(drain) = context.down(pipe.from) else {
            continue;
        };
        let plumb = context
            .drains_into(pipe.from)
            .any(|into| !is_level(context.pipe(into)));
        if !is_level(context.pipe(drain)) || plumb {
            continue;
        }
        said.looked();
        let sine = context.rise(ix);
        if sine >= WITHIN_45 - ROUNDING {
            continue;
        }
        let how = if sine.abs() < ROUNDING {
            "level".to_owned()
        } else {
            format!("at {:.1} degrees above level", sine.asin().to_degrees())
        };
        let message = format!(
            "vent {} leaves the level drain {} {how}; it has to rise within 45 degrees of plumb",
            context.run(ix),
            context.run(drain)
        );
        let help =
            "turn the take-off up, plumb or at 45, and go aside once the vent stands high enough";
        said.breaks(context, At::Pipe(ix), message, help)
            .note(context.span(At::Pipe(drain)), "the drain");
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, one, silent};

    fn vented(first: &str) -> String {
        format!(
            "fixture FD floor-drain main 10',0' faces east\n\
             waste d\nstart 0',0' main floor -2'\nsize 2\"\neast 6'\npoint V\neast to abreast FD.drain\nend FD\n\
             vent v\nstart V\nsize 2\"\n{first}\nup through roof\n"
        )
    }

    #[test]
    fn level_or_too_low() {
        let found = one(&vented("north 1'"), "vent-takeoff");
        assert!(
            found.message.contains("leaves the level drain d level"),
            "{}",
            found.message
        );
        let found = one(&vented("up 1' at 30 north"), "vent-takeoff");
        assert!(
            found.message.contains("at 30.0 degrees"),
            "{}",
            found.message
        );
    }

    /// 45 degrees is the limit itself.
    #[test]
    fn at_forty_five_or_plumb() {
        silent(&vented("up 1' at 45 north"), "vent-takeoff");
        silent(&vented("up 1' at 60 north"), "vent-takeoff");
        silent(&vented("up 1'"), "vent-takeoff");
    }

    /// From the top of a plumb drain it may go level as far as this rule goes.
    #[test]
    fn from_a_plumb_drain() {
        let body = "fixture WC water-closet main 0',2' faces north\n\
             waste s\nstart 0',0' main floor -4'\nsize 3\"\nup 2'\ncatch WC\nup 3'\npoint TOP\nvent v\nstart TOP\nsize 2\"\nnorth 1'\nup through roof\n";
        assert!(fires(body, "vent-takeoff").is_empty());
    }
}
