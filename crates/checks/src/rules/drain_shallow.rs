//! A drain outside the building lies deep enough.
//!
//! UPC 718.3: 12 in of cover. IPC 305.4.1 leaves the depth to the place.

use wyeline_job::model::System;
use wyeline_network::model::Lie;
use wyeline_sizing::ground::{Ground, Over};

use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::framing::radius;
use crate::limits;
use crate::place::{GRADE, IN_PART, NO_GRADE};
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "drain-shallow",
    title: "A drain in the ground outside the building has enough cover.",
    page: "A sewer that lies too near the surface is crushed by wheels, cut by spades and stopped by frost.\n\n\
        Measured is the ground over the top of each waste pipe outside the box round all walls, at both ends of that part: from the pipe's outside (its \
        nominal size where that is not known) up to grade, which the job tells (`grade main floor -8\"`). A pipe that leaves the building is measured from the wall on.\n\n\
        By the IPC the place fills in the depth: until the job tells it (`amend limits sewer-cover 30 in by \"…\"`) it is not checked. Upright pipe \
        and pipe wholly above the ground are passed over. Beside a storey whose walls are not told it may lie in a room: not checked. Ground that slopes is not known: grade is one height. Nothing is looked at in a job without walls.",
    cite: |pack| limits::cite(pack, "sewer-cover"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(least) = limits::limit(context.pack, "sewer-cover") else {
        return;
    };
    let ground = Ground::of(context.network);
    for (ix, pipe) in context.pipes_of(System::Waste) {
        if pipe.lie == Lie::Vertical {
            continue;
        }
        let (from, to) = context.network.true_ends(pipe);
        let half = radius(context, ix).unwrap_or(0.0);
        let cover = match ground.over_outside(from, to, half) {
            Over::Nothing => continue,
            Over::NotTold => {
                said.unknown(At::Pipe(ix), NO_GRADE);
                continue;
            }
            Over::Unsure => {
                said.unknown(At::Pipe(ix), IN_PART);
                continue;
            }
            Over::Cover(cover) => cover,
        };
        if least.value <= 0.0 {
            said.unknown(
                At::Pipe(ix),
                "the code leaves the depth of a sewer to the place, and the job does not tell it (`amend limits sewer-cover 30 in by \"…\"`)",
            );
            continue;
        }
        said.looked();
        if cover >= least.value - ALIKE {
            continue;
        }
        let message = format!(
            "{} lies under {} of ground outside the building; {} is the least",
            context.run(ix),
            context.show(cover.max(0.0)),
            context.show(least.value)
        );
        let help = format!(
            "lay it {} deeper, or ask what protection the place accepts",
            context.show(least.value - cover)
        );
        let finding = said.breaks(context, At::Pipe(ix), message, help);
        if context
            .job
            .design
            .grade
            .as_ref()
            .is_some_and(|grade| grade.unverified)
        {
            finding.rests_on(GRADE);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    /// Walls from 30 to 20 ft west of the origin; the sewer lies east of them and rises 2 in over its 16 ft, so that its upper end has the
    /// least cover. 4 in PVC is 4-1/2 in outside: its top is 2-1/4 in above its centre. Grade is 8 in below the main floor.
    fn told(code: &str, grade: &str, start: &str) -> Tell {
        let body = format!(
            "{grade}wall cellar -30',0' -20',0' -20',10' -30',10' -30',0'\n\
             waste sewer\nstart 20',5' main floor {start}\nsize 4\"\nmaterial pvc\nslope 1/8 in per ft\nwest 16'\ncap\n"
        );
        Tell::by(code, &body, "drain-shallow")
    }
    const GRADE: &str = "grade main floor -8\"\n";

    /// UPC 718.3: 12 in. With its centre at 24-1/4 in down where it begins it ends at 22-1/4: 22-1/4 - 2-1/4 - 8 = 12, the limit itself.
    /// An inch higher there are 11 in.
    #[test]
    fn twelve_inches() {
        told("upc-2021", GRADE, "-24-1/4\"").silent();
        let shallow = told("upc-2021", GRADE, "-23-1/4\"");
        assert_eq!(
            shallow.one().message,
            "sewer lies under 11\" of ground outside the building; 1'-0\" is the least"
        );
        assert!(shallow.one().unverified.is_empty());
    }

    /// A grade that nobody has verified is named.
    #[test]
    fn a_doubtful_grade() {
        let doubtful = told(
            "upc-2021",
            "grade main floor -8\" unverified\n",
            "-23-1/4\"",
        );
        assert_eq!(doubtful.one().unverified, ["height of the ground"]);
    }

    /// Exceptions: without grade nobody knows; the IPC leaves the depth to the place; what lies in the air has no cover.
    #[test]
    fn exceptions() {
        told("upc-2021", "", "-23-1/4\"").unknown("how high the ground lies");
        told("ipc-2021", GRADE, "-23-1/4\"").unknown("leaves the depth of a sewer to the place");
        told("upc-2021", GRADE, "+2'").nowhere();
    }

    /// Exception: under the building, however high.
    #[test]
    fn under_the_building() {
        let body = "grade main floor -8\"\nwall main -10',-10' 30',-10' 30',10' -10',10' -10',-10'\n\
             waste d\nstart 20',0' main floor -12\"\nsize 4\"\nwest 16'\ncap\n";
        Tell::by("upc-2021", body, "drain-shallow").nowhere();
    }
}
