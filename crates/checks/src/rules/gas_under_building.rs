//! No bare gas pipe in the ground under a building.
//!
//! IFGC 404.14, UPC 1210.1.6.

use wyeline_job::model::System;

use crate::context::Context;
use crate::finding::At;
use crate::limits;
use crate::place::{inside, outline};
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "gas-under-building",
    title: "Gas pipe does not lie in the ground under the building.",
    page: "Gas that leaks under a slab collects in the rooms above it.\n\n\
        Looked at is every gas pipe below the lowest finished floor and within the walls on the plan.\n\n\
        Exception by the code: pipe in a tight conduit that is vented to the outside, with a listed system; the job cannot say that. Where no walls are told \
        nobody knows what lies under the building: not checked.",
    cite: |pack| limits::cite(pack, "gas-under-building"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let walls = outline(context.network);
    let floor = context.index.floors.first().map(|(floor, _)| *floor);
    let (Some(walls), Some(floor)) = (walls, floor) else {
        if context.pipes_of(System::Gas).next().is_some() {
            said.unknown(
                At::Job,
                "the job tells of no walls, so what lies under the building is not known",
            );
        }
        return;
    };
    for (ix, pipe) in context.pipes_of(System::Gas) {
        said.looked();
        let (a, b) = context.network.true_ends(pipe);
        let middle = ((a + b) / 2.0).truncate();
        // A riser that comes up through the floor ends above it.
        if a.z.max(b.z) >= floor || !inside(walls, middle) {
            continue;
        }
        let message = format!(
            "gas pipe {} lies {} below the lowest floor, under the building",
            context.run(ix),
            context.show(floor - a.z.max(b.z))
        );
        let help =
            "lead it above the ground into the building, or in a vented conduit by a listed system";
        said.breaks(context, At::Pipe(ix), message, help);
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(walls: &str, z: &str) -> Tell {
        let body =
            format!("{walls}gas g\nstart 0',0' cellar floor {z}\nsize 3/4\"\neast 5'\ncap\n");
        Tell::plain(&body, "gas-under-building")
    }
    const AROUND: &str = "wall main -10',-10' 30',-10' 30',10' -10',10' -10',-10'\n";

    /// An inch below the floor is in the ground; at the floor's height it is not below it.
    #[test]
    fn below_the_lowest_floor() {
        assert!(
            told(AROUND, "-1\"")
                .one()
                .message
                .contains("1\" below the lowest floor")
        );
        told(AROUND, "+0\"").silent();
        told(AROUND, "+1'").silent();
    }

    /// Exception: outside the walls.
    #[test]
    fn beside_the_building() {
        told("wall main 20',20' 30',20' 30',30' 20',30' 20',20'\n", "-2'").silent();
    }

    #[test]
    fn no_walls() {
        told("", "-2'").unknown("no walls");
    }
}
