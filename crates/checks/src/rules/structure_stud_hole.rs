//! Holes in studs leave enough of them.
//!
//! IRC R602.6.

use wyeline_network::model::PipeIx;

use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::framing::{in_wall, radius};
use crate::limits;
use crate::place::wall_grid;
use crate::practice::practice;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "structure-stud-hole",
    title: "A pipe along a wall leaves enough of its studs.",
    page: "A stud with too large a hole buckles.\n\n\
        Measured is every pipe that runs level or sloping inside a wall for more than 24 in, so that it crosses at least one stud: its outside diameter against \
        the width of the studs, which is the wall's thickness less 1/2 in of board on each side. Up to 40 percent is allowed in any stud, up to 60 percent \
        in one that does not bear (or in doubled studs).\n\n\
        Between the two it is not checked: whether the wall bears the job does not say. Walls whose thickness is that of no stud - masonry, concrete - are not \
        checked either. Upright pipe lies between the studs.",
    cite: |pack| limits::cite(pack, "stud-hole"),
    look,
};

/// Less than a drill can do, mm.
const EVEN: f64 = 0.05;

fn look(context: &Context, said: &mut Said) {
    let (Some(most), Some(bearing)) = (
        limits::limit(context.pack, "stud-hole"),
        limits::limit(context.pack, "stud-hole-bearing"),
    ) else {
        return;
    };
    let network = context.network;
    if network.building.walls.is_empty() {
        return;
    }
    let grid = wall_grid(network);
    let mut found = Vec::new();
    for (at, pipe) in network.pipes.iter().enumerate() {
        let ix = PipeIx(at as u32);
        let (a, b) = network.true_ends(pipe);
        if a.truncate().distance(b.truncate()) <= practice().studs.spacing() + ALIKE {
            continue;
        }
        grid.around(a.min(b), a.max(b), &mut found);
        let mut inside = found.iter().filter_map(|&wall| in_wall(context, ix, wall));
        let Some(inside) = inside.find(|inside| !inside.plumb) else {
            continue;
        };
        let thick = network.building.walls[inside.wall as usize].thick;
        let (Some(stud), Some(radius)) = (practice().studs.in_wall(thick), radius(context, ix))
        else {
            said.unknown(At::Pipe(ix), "it runs inside a wall whose thickness is that of no stud, or its own outside is not known");
            continue;
        };
        said.looked();
        let share = radius * 2.0 / stud;
        if share <= bearing.value + EVEN / stud {
            continue;
        }
        if share <= most.value + EVEN / stud {
            said.unknown(
                At::Pipe(ix),
                "its holes are over 40 percent of the studs: allowed only where the wall does not bear, which is not told",
            );
            continue;
        }
        let message = format!(
            "{} runs along a wall with studs of {} and needs holes of {}, {:.0} percent; {:.0} percent is the most",
            context.run(ix),
            context.show(stud),
            context.show(radius * 2.0),
            share * 100.0,
            most.value * 100.0
        );
        let help = "take it along the floor or above the ceiling, or build the wall of wider studs";
        said.breaks(context, At::Pipe(ix), message, help);
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    /// A wall from (0,0) to (20,0) has its thickness south of it; the pipe runs in its middle.
    fn told(thick: &str, y: &str, size: &str, east: &str) -> Tell {
        let body = format!(
            "wall main 0',0' 20',0' thick {thick}\n\
             cold c\nstart 2',{y} main floor +3'\nsize {size}\nmaterial copper\neast {east}\ncap\n"
        );
        Tell::plain(&body, "structure-stud-hole")
    }

    /// Studs of 3-1/2 in: 60 percent is 2.1 in, 40 percent 1.4 in. Copper of 2 in is 2-1/8 in outside (61 percent), of 1-1/4 in 1-3/8 in (39 percent),
    /// of 1-1/2 in 1-5/8 in (46 percent).
    #[test]
    fn a_two_by_four() {
        let large = told("4-1/2\"", "-2-1/4\"", "2\"", "5'");
        assert!(
            large
                .one()
                .message
                .contains("61 percent; 60 percent is the most"),
            "{}",
            large.one().message
        );
        told("4-1/2\"", "-2-1/4\"", "1-1/2\"", "5'").unknown("does not bear");
        told("4-1/2\"", "-2-1/4\"", "1-1/4\"", "5'").silent();
    }

    /// Exceptions: too short to cross a stud, a wall that is not of studs, upright pipe.
    #[test]
    fn exceptions() {
        told("4-1/2\"", "-2-1/4\"", "2\"", "2'").nowhere();
        told("10\"", "-5\"", "2\"", "5'").unknown("no stud");
        let upright = "wall main 0',0' 20',0' thick 4-1/2\"\n\
             cold c\nstart 2',-2-1/4\" main floor +1'\nsize 2\"\nmaterial copper\nup 5'\ncap\n";
        Tell::plain(upright, "structure-stud-hole").nowhere();
    }
}
