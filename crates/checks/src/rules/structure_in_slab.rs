//! Water pipe does not lie bare in concrete.
//!
//! IPC 305.1, UPC 312.2.

use wyeline_job::model::{BodyKind, System};
use wyeline_units::Len;

use crate::context::{Context, is_level};
use crate::finding::At;
use crate::limits;
use crate::place::{inside, outline};
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "structure-in-slab",
    title: "Water and gas pipe does not lie bare in a slab.",
    page: "Concrete eats copper and steel, a slab cracks where a pipe thins it, and a leak in it is found last.\n\n\
        Looked at is every level water or gas pipe within the walls whose centre lies between top and underside of a level's slab, or that runs inside a \
        `slab` body.\n\n\
        Exceptions: pipe that comes up through a slab; pipe in the screed above it. Pipe in a sleeve, or plastic made for casting in, may lie there by leave of \
        the authority: the job cannot say it.",
    cite: |pack| limits::cite(pack, "in-slab"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(walls) = outline(context.network) else {
        return;
    };
    let levels = context.job.levels.iter().zip(&context.network.levels);
    let mut slabs: Vec<(f64, f64, &str)> = levels
        .filter_map(|(told, level)| {
            let top = level.floor - told.finish.map_or(0.0, Len::mm);
            Some((top - told.slab?.mm(), top, level.name.as_str()))
        })
        .collect();
    slabs.sort_by(|a, b| a.0.total_cmp(&b.0));
    for system in [System::Cold, System::Hot, System::HotReturn, System::Gas] {
        for (ix, pipe) in context.pipes_of(system) {
            if !is_level(pipe) {
                continue;
            }
            said.looked();
            let (a, b) = context.network.true_ends(pipe);
            let at = slabs.partition_point(|(under, ..)| *under < a.z);
            let Some((under, top, name)) = at.checked_sub(1).map(|at| slabs[at]) else {
                continue;
            };
            if a.z >= top || !inside(walls, ((a + b) / 2.0).truncate()) {
                continue;
            }
            let run = context.run(ix);
            let message = format!(
                "{run} lies in the slab of {name}, {} under its top",
                context.show(top - a.z)
            );
            let help = format!(
                "lay it {} lower, under the slab, or above it",
                context.show(a.z - under)
            );
            said.breaks(context, At::Pipe(ix), message, help);
        }
    }
    let is_slab = |crossing: &&wyeline_network::clash::Crossing| {
        let body = &context.network.building.bodies[crossing.body];
        body.kind == BodyKind::Slab && !context.pipe(crossing.pipe).system.drains()
    };
    let crossings = context.network.crossings();
    for crossing in crossings.iter().filter(is_slab) {
        let body = &context.network.building.bodies[crossing.body];
        if !is_level(context.pipe(crossing.pipe))
            || context.pipe(crossing.pipe).system == System::Vent
        {
            continue;
        }
        let message = format!("{} lies in slab {}", context.run(crossing.pipe), body.tag);
        let help = format!(
            "lay it {} lower, or above the slab",
            context.show(crossing.most)
        );
        said.breaks(context, At::Pipe(crossing.pipe), message, help)
            .note(body.span, "the slab is told here");
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    /// A slab of 4 in under the floor at 0, within walls.
    fn told(pipe: &str) -> Tell {
        let text = format!(
            "job t\nunits ft-in\nlevel main floor 0' ceiling 8' slab 4\"\nroof 20'\n\
             wall main -10',-10' 30',-10' 30',30' -10',30' -10',-10'\n{pipe}"
        );
        Tell::whole("ipc-2021", &text, "structure-in-slab", |_, _| ())
    }
    fn level(z: &str, y: &str) -> Tell {
        told(&format!(
            "cold c\nstart 0',{y} main floor {z}\nsize 1/2\"\nmaterial copper\neast 10'\ncap\n"
        ))
    }

    /// From 0 to -4 in is concrete: 2 in down it lies in it; at its underside and below it does not.
    #[test]
    fn in_and_under() {
        assert!(
            level("-2\"", "5'")
                .one()
                .message
                .contains("2\" under its top"),
            "{}",
            level("-2\"", "5'").one().message
        );
        level("-4\"", "5'").silent();
        level("-8\"", "5'").silent();
    }

    /// Exceptions: outside the walls, and pipe that comes up through the slab.
    #[test]
    fn outside_and_upright() {
        level("-2\"", "50'").silent();
        told("cold c\nstart 0',5' main floor -1'\nsize 1/2\"\nup 2'\ncap\n").nowhere();
    }
}
