//! A water pipe outside the building lies below the frost, and deep enough in any case.
//!
//! IPC 305.4: 6 in below the frost line and 12 in below grade. UPC 609.1: 12 in each.

use wyeline_job::model::System;
use wyeline_network::model::Lie;
use wyeline_sizing::ground::{Ground, Over};
use wyeline_units::Len;

use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::framing::radius;
use crate::limits;
use crate::place::{GRADE, IN_PART, NO_GRADE};
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "water-shallow",
    title: "A water pipe in the ground outside the building lies below the frost.",
    page: "Water that freezes in the service bursts it, and it is found when it thaws.\n\n\
        Measured is the ground over the top of each cold pipe outside the box round all walls, at both ends of that part, up to grade, which the job tells \
        (`grade main floor -8\"`): against the least cover there may be anywhere, and, where the job tells how deep the ground freezes \
        (`frost-depth 3'6\"`), against that depth and what the code adds to it.\n\n\
        Upright pipe is passed over, and pipe wholly above the ground: whether a hydrant drains itself, or pipe in the open is kept from freezing, the job does not \
        say. Beside a storey whose walls are not told it may lie in a room: not checked. Where no frost depth is told only the least cover is checked. Ground that slopes is not known: grade is one height. Nothing is looked at in a job without walls.",
    cite: |pack| limits::cite(pack, "water-cover"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let (Some(cover), Some(below)) = (
        limits::limit(context.pack, "water-cover"),
        limits::limit(context.pack, "water-below-frost"),
    ) else {
        return;
    };
    let design = &context.job.design;
    let frost = design.frost_depth.map(|(depth, _)| Len::mm(depth));
    let ground = Ground::of(context.network);
    for (ix, pipe) in context.pipes_of(System::Cold) {
        if pipe.lie == Lie::Vertical {
            continue;
        }
        let (from, to) = context.network.true_ends(pipe);
        let half = radius(context, ix).unwrap_or(0.0);
        let has = match ground.over_outside(from, to, half) {
            Over::Nothing => continue,
            Over::NotTold => {
                said.unknown(At::Pipe(ix), NO_GRADE);
                continue;
            }
            Over::Unsure => {
                said.unknown(At::Pipe(ix), IN_PART);
                continue;
            }
            Over::Cover(has) => has,
        };
        said.looked();
        let deep = frost.map(|frost| frost + below.value);
        if deep.is_none() {
            said.unknown(
                At::Pipe(ix),
                "how deep the ground freezes is not told (`frost-depth 3'6\"`): only the least cover was checked",
            );
        }
        let (least, by, why) = match deep {
            Some(deep) if deep > cover.value => (
                deep,
                &below.cite,
                format!(", {} below the frost", context.show(below.value)),
            ),
            _ => (cover.value, &cover.cite, String::new()),
        };
        if has >= least - ALIKE {
            continue;
        }
        let message = format!(
            "{} lies under {} of ground outside the building; {} is the least{why}",
            context.run(ix),
            context.show(has.max(0.0)),
            context.show(least)
        );
        let help = format!("lay it {} deeper", context.show(least - has));
        let finding = said.breaks(context, At::Pipe(ix), message, help).by(by);
        if design.grade.as_ref().is_some_and(|grade| grade.unverified) {
            finding.rests_on(GRADE);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    /// The service lies level east of the walls. Copper of 3/4 in is 7/8 in outside: its top is 7/16 in above its centre. Grade is 8 in below the main floor.
    fn told(code: &str, ground: &str, z: &str) -> Tell {
        let body = format!(
            "{ground}wall cellar -30',0' -20',0' -20',10' -30',10' -30',0'\n\
             cold service\nstart 20',5' main floor {z}\nsize 3/4\"\nmaterial copper\nwest 16'\ncap\n"
        );
        Tell::by(code, &body, "water-shallow")
    }
    const GRADE: &str = "grade main floor -8\"\n";
    const FROST: &str = "grade main floor -8\"\nfrost-depth 3'6\"\n";

    /// IPC 305.4: 42 in of frost and 6 in are 48 in of cover; with 8 and 7/16 in the centre is at 56-7/16 in. An inch higher it has 47 in.
    #[test]
    fn below_the_frost() {
        told("ipc-2021", FROST, "-56-7/16\"").silent();
        let shallow = told("ipc-2021", FROST, "-55-7/16\"");
        assert_eq!(
            shallow.one().message,
            "service lies under 3'-11\" of ground outside the building; 4'-0\" is the least, 6\" below the frost"
        );
    }

    /// UPC 609.1: 12 in below the frost: 54 in, so 62-7/16 in down.
    #[test]
    fn the_upc_asks_for_more() {
        told("upc-2021", FROST, "-62-7/16\"").silent();
        told("upc-2021", FROST, "-61-7/16\"").one();
    }

    /// Where it does not freeze deeper than 6 in, 12 in of cover: the centre is 20-7/16 in down.
    #[test]
    fn twelve_inches_anywhere() {
        let mild = "grade main floor -8\"\nfrost-depth 4\"\n";
        told("ipc-2021", mild, "-20-7/16\"").silent();
        let shallow = told("ipc-2021", mild, "-19-7/16\"");
        assert!(
            shallow.one().message.ends_with("1'-0\" is the least"),
            "{}",
            shallow.one().message
        );
    }

    /// Exception: beside a cellar whose walls are not told, 8 in of ground over it or a room round it.
    #[test]
    fn beside_a_cellar_without_walls() {
        let body = "grade main floor -8\"\nwall main -30',0' -20',0' -20',10' -30',10' -30',0'\n\
             cold service\nstart 20',5' main floor -16\"\nsize 3/4\"\nwest 16'\ncap\n";
        Tell::plain(body, "water-shallow").unknown("in the ground or in a room");
    }

    /// Exceptions: what nobody has told, pipe in the air.
    #[test]
    fn exceptions() {
        told("ipc-2021", GRADE, "-20-7/16\"").unknown("how deep the ground freezes");
        told("ipc-2021", "", "-20-7/16\"").unknown("how high the ground lies");
        told("ipc-2021", FROST, "+2'").nowhere();
    }
}
