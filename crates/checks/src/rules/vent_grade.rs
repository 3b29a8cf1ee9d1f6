//! Vents are graded back to the drain, without pockets.
//!
//! IPC 905.2, UPC 905.1, Canada 2.5.6.1.

use wyeline_job::Span;
use wyeline_job::model::{StepKind, System};
use wyeline_units::Slope;

use crate::context::{ALIKE, Context, is_level};
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-grade",
    title: "Level vents are graded back to the drain, and no vent has a pocket.",
    page: "Rain and the damp of the sewer's air gather in a vent. They have to run back to the drain; where they stand, they shut the vent.\n\n\
        A vent with a stated slope rises towards the open air and is in order. One told with `slope level` is not, where the code asks for \
        a grade. A vent that goes down on its way to the open air has a pocket.\n\n\
        Not checked is a level vent whose slope nobody states: the drawing shows it level, the crew has to give it a grade. Island vents of sinks, \
        which go down on purpose, are told by `vent-island`.",
    cite: |pack| keys::cite(pack, "vent.graded-to-drain"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let graded = keys::flag(context.pack, "vent.graded-to-drain") == Some(true);
    let levels = told_level(context);
    let mut told = vec![false; context.network.runs.len()];
    for (ix, pipe) in context.pipes_of(System::Vent) {
        if !is_level(pipe) {
            said.looked();
            // What drips into a drain goes down on purpose.
            let drips = context.vent_out(pipe.from) != Some(ix);
            if !drips
                && context.rise(ix) < 0.0
                && pipe.fall_mm > ALIKE
                && !super::vent_island::is_island(context, ix)
            {
                let message = format!(
                    "vent {} goes down {} on its way to the open air: water stands in it",
                    context.run(ix),
                    context.show(pipe.fall_mm)
                );
                said.breaks(context, At::Pipe(ix), message, "let the vent rise all the way, or tell it from its drain on if it runs the other way");
            }
            continue;
        }
        let level = levels[pipe.run.0 as usize]
            .iter()
            .rev()
            .find(|(span, _)| span.start < pipe.span.start);
        match (pipe.slope, level) {
            (None, Some((_, true))) if graded => {
                said.looked();
                let message = format!(
                    "vent {} lies level for {}; it has to fall back to the drain",
                    context.run(ix),
                    context.show(context.length(ix))
                );
                said.breaks(
                    context,
                    At::Pipe(ix),
                    message,
                    "state a slope: the vent then rises towards the open air",
                );
            }
            (Some(_), _) | (None, Some((_, true))) => said.looked(),
            (None, _) => {
                if !std::mem::replace(&mut told[pipe.run.0 as usize], true) {
                    said.unknown(At::Pipe(ix), "nobody states the grade of this level vent");
                }
            }
        }
    }
}

/// For each run where a slope is told in it, and whether it is told level.
fn told_level(context: &Context) -> Vec<Vec<(Span, bool)>> {
    let runs = context.network.runs.iter().enumerate();
    runs.map(|(ix, _)| {
        let steps = context
            .job
            .runs
            .get(ix)
            .filter(|run| run.system == System::Vent);
        let steps = steps.map_or(&[][..], |run| &run.steps);
        let slopes = steps.iter().filter_map(|step| match &step.kind {
            StepKind::Slope(slope) => Some((step.span, *slope == Slope::LEVEL)),
            _ => None,
        });
        slopes.collect()
    })
    .collect()
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, one, silent, unchecked};

    fn vent(steps: &str) -> String {
        format!(
            "fixture FD floor-drain main 10',0' faces east\n\
             waste d\nstart 0',0' main floor -2'\nsize 2\"\neast 6'\npoint V\neast to abreast FD.drain\nend FD\n\
             vent v\nstart V\nsize 2\"\nup 4'\n{steps}up through roof\n"
        )
    }

    #[test]
    fn told_level() {
        let found = one(&vent("slope level\nnorth 3'\n"), "vent-grade");
        assert!(
            found.message.contains("lies level for 3'-0\""),
            "{}",
            found.message
        );
    }

    #[test]
    fn with_a_slope() {
        silent(&vent("slope 1/8 in per ft\nnorth 3'\n"), "vent-grade");
    }

    /// Nobody says: it is not known.
    #[test]
    fn nobody_says() {
        let body = vent("north 3'\neast 1'\n");
        assert!(fires(&body, "vent-grade").is_empty());
        assert_eq!(unchecked(&body, "vent-grade").len(), 1);
    }

    #[test]
    fn a_pocket() {
        let found = one(&vent("north 3'\ndown 1'\nnorth 1'\n"), "vent-grade");
        assert!(
            found.message.contains("goes down 1'-0\""),
            "{}",
            found.message
        );
    }
}
