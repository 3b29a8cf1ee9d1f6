//! A vent rises above the flood rim before it runs level or joins another.
//!
//! IPC 905.4 and 905.5, UPC 905.3, Canada 2.5.6.4.

use wyeline_job::model::System;
use wyeline_network::model::{NodeIx, PipeIx};

use crate::context::{ALIKE, Context, is_level};
use crate::finding::At;
use crate::keys;
use crate::kind::Kind;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-rise",
    title: "A vent rises above the flood rim of the highest fixture it serves before it runs level or joins another vent.",
    page: "When the drain stops up, waste rises to the rim of the lowest fixture and no further: the user sees it. A vent that runs level, or joins \
        another, below that height fills with waste first and carries it off unseen, until it is shut.\n\n\
        From each drain the vent is followed upward to where it first runs level or joins another vent. The true height of its centre there is \
        compared with the flood rim of the highest fixture that takes its air by it. A floor drain's rim is the floor; so is a shower's, whose \
        curb the job does not tell.\n\n\
        Vents that serve no trap directly (relief and yoke vents, vent stacks from their base), and island vents, which have rules of their own, \
        are not looked at. Some codes let the structure of the building excuse a vent that runs level lower down; ask the authority.",
    cite: |pack| keys::cite(pack, "vent.rise-above-flood-rim"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(least) = keys::number(context.pack, "vent.rise-above-flood-rim") else {
        return;
    };
    for (start, pipe) in context.pipes_of(System::Vent) {
        let from_drain = context.down(pipe.from).is_some();
        let Some(fixture) = context.index.highest_served[start.0 as usize].filter(|_| from_drain)
        else {
            continue;
        };
        said.looked();
        let Some(place) = first_level_or_join(context, start) else {
            continue;
        };
        let (node, what) = match place {
            Place::Level(pipe) => (context.pipe(pipe).from, "runs level"),
            Place::Joins(node) => (node, "joins another vent"),
            Place::Island => continue,
        };
        let height = context.node(node).at.z - context.rim(fixture);
        if height >= least - ALIKE {
            continue;
        }
        let tag = context.tag(fixture);
        let rim = if context.fixture(fixture).rim.is_some() {
            "flood rim"
        } else {
            "floor at the rim"
        };
        let where_ = match height {
            height if height > ALIKE => format!("{} above", context.show(height)),
            height if height < -ALIKE => format!("{} below", context.show(-height)),
            _ => "at".to_owned(),
        };
        let message = format!(
            "vent {} {what} {where_} the {rim} of {tag}; it has to be {} above it first",
            context.run(start),
            context.show(least)
        );
        let help = format!(
            "carry it up {} more before it turns or joins",
            context.show(least - height)
        );
        let span = context.span(At::Fixture(fixture));
        let at = match place {
            Place::Level(pipe) => At::Pipe(pipe),
            _ => At::Node(node),
        };
        let finding = said.breaks(context, at, message, help);
        finding.note(span, "the highest fixture that it serves");
        if context.kind(fixture) == Kind::Shower {
            finding.rests_on(format!("the curb of {tag}, taken at the floor"));
        }
    }
}

/// Where a vent ceases to rise on its own.
enum Place {
    /// This pipe of it lies level.
    Level(PipeIx),
    /// Another vent comes in here.
    Joins(NodeIx),
    /// It goes down.
    Island,
}

fn first_level_or_join(context: &Context, start: PipeIx) -> Option<Place> {
    for ix in context.to_the_air(start) {
        let pipe = context.pipe(ix);
        if is_level(pipe) {
            let island = super::vent_island::is_island(context, ix)
                && context.to_the_air(ix).any(|on| context.rise(on) < -0.5);
            return Some(if island {
                Place::Island
            } else {
                Place::Level(ix)
            });
        }
        if context.rise(ix) < 0.0 {
            return Some(Place::Island);
        }
        let goes_on = context.vent_out(pipe.to).is_some();
        let others = context.vents_into(pipe.to).any(|other| other != ix);
        let drain = context.down(pipe.to).is_some();
        if goes_on && (others || drain) {
            return Some(Place::Joins(pipe.to));
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, one, silent};

    /// A lavatory (rim 31 in) whose vent turns level at such a height above the floor, then goes up through the roof.
    fn lavatory(turns_at: &str) -> String {
        format!(
            "fixture LAV lavatory main 5',5' faces south\n\
             waste d\nstart 5',0' main floor -1'\nsize 2\"\nnorth to abreast LAV.tee\nend LAV\n\
             vent v\nstart LAV.tee\nsize 1-1/2\"\nup to main floor +{turns_at}\"\nnorth 2'\nup through roof\n"
        )
    }

    /// 31 + 6 = 37 in.
    #[test]
    fn six_inches_above_the_rim() {
        let found = one(&lavatory("36-1/2"), "vent-rise");
        assert!(
            found.message.contains("runs level 5-1/2\" above")
                || found.message.contains("5 1/2\" above"),
            "{}",
            found.message
        );
        silent(&lavatory("37"), "vent-rise");
        silent(&lavatory("40"), "vent-rise");
        let found = one(&lavatory("30"), "vent-rise");
        assert!(
            found.message.contains("1\" below the flood rim of LAV"),
            "{}",
            found.message
        );
    }

    /// Where it joins another vent the same height counts: the lavatory's joins the tall vent of the floor drain.
    #[test]
    fn where_it_joins() {
        let body = |height: &str| {
            format!(
                "fixture LAV lavatory main 5',5' faces south\nfixture FD floor-drain main 9',5' faces south\n\
                 waste d\nstart 5',0' main floor -2'\nsize 2\"\nnorth to abreast LAV.tee\npoint A\nend LAV\n\
                 waste e\nstart A\nsize 2\"\neast 1'\npoint B\neast to abreast FD.drain\nend FD\n\
                 vent v\nstart LAV.tee\nsize 1-1/2\"\nup to main floor +{height}\"\npoint J\nup through roof\n\
                 vent w\nstart B\nsize 2\"\nup to main floor +{height}\"\nwest to abreast J\njoin J\n"
            )
        };
        // The floor drain's own vent is high above its own rim.
        let found = fires(&body("36"), "vent-rise");
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(
            found[0].message.contains("joins another vent"),
            "{}",
            found[0].message
        );
        silent(&body("37"), "vent-rise");
    }

    /// Straight through the roof it neither turns nor joins.
    #[test]
    fn straight_up() {
        let body = lavatory("30").replace("north 2'\n", "");
        silent(&body, "vent-rise");
    }
}
