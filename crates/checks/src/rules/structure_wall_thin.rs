//! A pipe in a framed wall fits between its boards.
//!
//! Trade practice.

use wyeline_network::model::PipeIx;

use crate::context::Context;
use crate::finding::At;
use crate::framing::{in_wall, radius};
use crate::limits;
use crate::place::wall_grid;
use crate::practice::practice;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "structure-wall-thin",
    title: "A pipe in a wall fits into it.",
    page: "A 3 in stack is 3-1/2 in outside, its couplings more: in a wall of 2 x 4 studs it just fits, a cast-iron hub does not, and whoever hangs the board finds out.\n\n\
        Measured is every pipe that stands upright or runs along inside a wall: its outside diameter against the studs (the wall's thickness less 1/2 in of \
        board on each side), and how far it sticks out of the wall's finished faces where it lies off the middle.\n\n\
        Exactly as wide as the studs is allowed. Couplings are wider than the pipe and are not counted; a pipe nearer than 1-1/4 in to a face needs a steel plate over \
        it, which the job cannot say. Not looked at is pipe that only passes through the wall, or stands before it.",
    cite: |pack| limits::cite(pack, "in-wall"),
    look,
};

/// Less than what plaster takes, mm.
const EVEN: f64 = 0.5;

fn look(context: &Context, said: &mut Said) {
    let network = context.network;
    if network.building.walls.is_empty() {
        return;
    }
    let grid = wall_grid(network);
    let mut found = Vec::new();
    for (at, pipe) in network.pipes.iter().enumerate() {
        let ix = PipeIx(at as u32);
        let (a, b) = network.true_ends(pipe);
        grid.around(a.min(b), a.max(b), &mut found);
        if found.is_empty() {
            continue;
        }
        let Some(radius) = radius(context, ix) else {
            continue;
        };
        // Where walls meet, one that holds it is enough.
        let mut best: Option<(f64, f64, f64)> = None;
        for &number in &found {
            let Some(inside) = in_wall(context, ix, number) else {
                continue;
            };
            let thick = network.building.walls[number as usize].thick;
            let room = practice().studs.in_wall(thick).unwrap_or(thick);
            let over = radius * 2.0 - room;
            let out = radius - inside.deep.min(thick - inside.deep);
            if best.is_none_or(|(a, b, _)| over.max(out) < a.max(b)) {
                best = Some((over, out, room));
            }
        }
        let Some((over, out, room)) = best else {
            continue;
        };
        said.looked();
        let name = context.run(ix);
        if over > EVEN {
            let message = format!(
                "{name} is {} outside and stands in a wall with room for {}",
                context.show(radius * 2.0),
                context.show(room)
            );
            let help = "make the wall thicker, fur it out, or lead the pipe elsewhere";
            said.breaks(context, At::Pipe(ix), message, help);
        } else if out > EVEN {
            let message = format!("{name} sticks out of its wall by {}", context.show(out));
            let help = format!(
                "move it {} towards the middle of the wall",
                context.show(out)
            );
            said.breaks(context, At::Pipe(ix), message, help);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    /// A wall from (0,0) to (20,0) has its thickness south of it.
    fn told(thick: &str, y: &str, size: &str) -> Tell {
        let body = format!(
            "wall main 0',0' 20',0' thick {thick}\n\
             vent v\nstart 5',{y} main floor +1'\nsize {size}\nmaterial pvc\nup 5'\ncap\n"
        );
        Tell::plain(&body, "structure-wall-thin")
    }

    /// 3 in plastic pipe is 3-1/2 in outside: as wide as a 2 x 4, the limit itself. 4 in is 4-1/2 in.
    #[test]
    fn a_stack_in_a_two_by_four() {
        told("4-1/2\"", "-2-1/4\"", "3\"").silent();
        told("4-1/2\"", "-2-1/4\"", "2\"").silent();
        let large = told("4-1/2\"", "-2-1/4\"", "4\"");
        assert!(
            large
                .one()
                .message
                .contains("4 1/2\" outside and stands in a wall with room for"),
            "{}",
            large.one().message
        );
    }

    /// 2 in pipe (2-3/8 in) with its centre 1 in behind the face sticks out of it by 3/16 in.
    #[test]
    fn off_the_middle() {
        let out = told("6-1/2\"", "-1\"", "2\"");
        assert!(
            out.one().message.contains("sticks out of its wall by"),
            "{}",
            out.one().message
        );
        told("6-1/2\"", "-1-3/16\"", "2\"").silent();
    }

    /// Exceptions: it passes through, or stands in the room.
    #[test]
    fn not_in_the_wall() {
        told("4-1/2\"", "3'", "4\"").nowhere();
        let through = "wall main 0',0' 20',0' thick 4-1/2\"\n\
             vent v\nstart 5',2' main floor +1'\nsize 4\"\nmaterial pvc\nslope level\nsouth 5'\ncap\n";
        Tell::plain(through, "structure-wall-thin").nowhere();
    }
}
