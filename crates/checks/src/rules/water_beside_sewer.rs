//! Water service and building sewer keep apart in the ground.
//!
//! IPC 603.2: 5 ft on the plan, or the water pipe 12 in above the sewer.

use glam::DVec3;
use wyeline_job::model::System;
use wyeline_network::model::{Pipe, PipeIx};

use crate::context::{ALIKE, Context, nominal_mm};
use crate::finding::At;
use crate::grid::Grid;
use crate::limits;
use crate::place::{inside, nearest, outline};
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "water-beside-sewer",
    title: "In the ground a water service keeps away from the sewer.",
    page: "A sewer joint leaks, the water pipe beside it has a pinhole, and the pressure fails: what is in the trench gets into the water.\n\n\
        Looked at are water and waste pipes outside the walls and below the lowest floor. Measured is the distance between \
        their sides on the plan; where it is less than the code asks, the bottom of the water pipe against the top of the sewer.\n\n\
        Exceptions: two pipes that cross, where the code lets the water pipe lie in a sleeve: told as not checked. Under and inside the building \
        the drain is of tested pipe and may lie near. Nothing is looked at in a job without walls.",
    cite: |pack| limits::cite(pack, "sewer-beside-water"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let (Some(apart), Some(above)) = (
        limits::limit(context.pack, "sewer-beside-water"),
        limits::limit(context.pack, "sewer-below-water"),
    ) else {
        return;
    };
    let lowest = context.index.floors.first().map(|(floor, _)| *floor);
    let (Some(walls), Some(floor)) = (outline(context.network), lowest) else {
        return;
    };
    let buried = |pipe: &Pipe| {
        let (a, b) = context.network.true_ends(pipe);
        let middle = ((a + b) / 2.0).truncate();
        a.z.max(b.z) < floor && !inside(walls, middle)
    };
    let radius = |ix: PipeIx| {
        let pipe = context.pipe(ix);
        pipe.outside_mm
            .or(context.size(ix).map(nominal_mm))
            .unwrap_or(0.0)
            / 2.0
    };
    let mut grid = Grid::new(2000.0);
    let mut any = false;
    for (ix, pipe) in context.pipes_of(System::Waste) {
        if buried(pipe) {
            let (a, b) = context.network.true_ends(pipe);
            // Depth does not part them: all lie in one layer.
            grid.put_bar(flat(a), flat(b), radius(ix), ix.0);
            any = true;
        }
    }
    if !any {
        return;
    }
    let grid = grid.sealed();
    let mut found = Vec::new();
    for (ix, pipe) in context.pipes_of(System::Cold) {
        if !buried(pipe) {
            continue;
        }
        let (a, b) = context.network.true_ends(pipe);
        let reach = apart.value + radius(ix);
        grid.around(flat(a.min(b)) - reach, flat(a.max(b)) + reach, &mut found);
        let mut worst: Option<(f64, PipeIx, f64, bool)> = None;
        for &sewer in &found {
            let sewer = PipeIx(sewer);
            let (c, d) = context.network.true_ends(context.pipe(sewer));
            let (distance, s, t) = nearest((flat(a), flat(b)), (flat(c), flat(d)));
            let gap = distance - radius(ix) - radius(sewer);
            let bottom = a.lerp(b, s).z - radius(ix);
            let top = c.lerp(d, t).z + radius(sewer);
            if gap >= apart.value - ALIKE || bottom - top >= above.value - ALIKE {
                continue;
            }
            let crosses =
                distance < ALIKE && (0.001..0.999).contains(&s) && (0.001..0.999).contains(&t);
            if worst.is_none_or(|(known, ..)| gap < known) {
                worst = Some((gap, sewer, bottom - top, crosses));
            }
        }
        said.looked();
        let Some((gap, sewer, over, crosses)) = worst else {
            continue;
        };
        if crosses {
            said.unknown(At::Pipe(ix), "it crosses the sewer in the ground: whether it lies in a sleeve there the job cannot say");
            continue;
        }
        let height = if over >= 0.0 {
            format!("its bottom {} above the sewer's top", context.show(over))
        } else {
            "not above it".to_owned()
        };
        let message = format!(
            "the water service lies {} beside {}, {height}; it has to be {} away, or {} above",
            context.show(gap.max(0.0)),
            context.run(sewer),
            context.show(apart.value),
            context.show(above.value)
        );
        let help = format!(
            "lay it {} farther away, or on a shelf {} higher",
            context.show(apart.value - gap),
            context.show(above.value - over)
        );
        let finding = said.breaks(context, At::Pipe(ix), message, help);
        finding.note(context.span(At::Pipe(sewer)), "the sewer is told here");
    }
}

fn flat(at: DVec3) -> DVec3 {
    DVec3::new(at.x, at.y, 0.0)
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    /// Sewer 4 in (outside 4-1/2 in) at y = 0, water 3/4 in copper (outside 7/8 in) beside it, both east of the walls.
    /// Between the sides there is the distance of the centres less 2-1/4 and 7/16 in, together 2-11/16 in.
    fn told(y: &str, z: &str) -> Tell {
        let body = format!(
            "wall main -30',0' -20',0' -20',10' -30',10' -30',0'\n\
             waste sewer\nstart 20',0' cellar floor -3'\nsize 4\"\nmaterial pvc\nslope 1/8 in per ft\nwest 15'\ncap\n\
             cold service\nstart 20',{y} cellar floor {z}\nsize 3/4\"\nmaterial copper\nwest 15'\ncap\n"
        );
        Tell::plain(&body, "water-beside-sewer")
    }

    /// 5 ft 2-11/16 in between centres is 5 ft between sides: the limit itself. An inch less is too near.
    #[test]
    fn five_feet() {
        let near = told("5'1-11/16\"", "-3'");
        assert!(
            near.one().message.contains("lies 4'-11\" beside sewer"),
            "{}",
            near.one().message
        );
        told("5'2-11/16\"", "-3'").silent();
        told("8'", "-3'").silent();
    }

    /// Exception: near, but with its bottom 12 in above the sewer's top. The sewer rises 1-7/8 in over its 15 ft, and its
    /// top is 2-1/4 in above its centre; the water pipe's bottom 7/16 in below its own: 12 + 2-1/4 + 1-7/8 + 7/16 = 16-9/16 in.
    #[test]
    fn on_a_shelf() {
        told("1'", "-1'7\"").silent();
        told("1'", "-2'").one();
    }

    #[test]
    fn a_crossing() {
        let body = "wall main -30',0' -20',0' -20',10' -30',10' -30',0'\n\
             waste sewer\nstart 20',0' cellar floor -3'\nsize 4\"\nslope 1/8 in per ft\nwest 15'\ncap\n\
             cold service\nstart 10',-5' cellar floor -2'11\"\nsize 3/4\"\nnorth 10'\ncap\n";
        Tell::plain(body, "water-beside-sewer").unknown("crosses the sewer");
    }

    /// Exception: under the building.
    #[test]
    fn under_the_building() {
        let body = "wall main 0',-5' 30',-5' 30',10' 0',10' 0',-5'\n\
             waste d\nstart 20',0' cellar floor -3'\nsize 4\"\nwest 15'\ncap\n\
             cold c\nstart 20',1' cellar floor -3'\nsize 3/4\"\nwest 15'\ncap\n";
        Tell::plain(body, "water-beside-sewer").nowhere();
    }
}
