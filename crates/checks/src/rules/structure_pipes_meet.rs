//! No two pipes take up one place.
//!
//! Geometry.

use std::collections::BTreeMap;

use glam::DVec3;
use wyeline_network::model::{NodeIx, PipeIx};

use crate::context::Context;
use crate::finding::At;
use crate::framing::radius;
use crate::grid::Grid;
use crate::limits;
use crate::place::nearest;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "structure-pipes-meet",
    title: "No two pipes take up one place.",
    page: "On paper two lines may cross; in the ceiling the second one in has to go round.\n\n\
        Measured is the distance between every two pipes that are not joined, at their true heights, against half of both outside diameters. It is said once for every two \
        runs, at the worst place.\n\n\
        Touching is allowed. Pipes that meet at a point, or are joined by pieces shorter than 8 in together, are a fitting. Insulation is not counted. Not looked at is \
        pipe of which no size is known.",
    cite: |pack| limits::cite(pack, "one-place"),
    look,
};

/// Pieces up to this long belong to a fitting, mm: 8 in.
const FITTING: f64 = 203.2;
/// Overlaps below this are none, mm: below what is printed.
const EVEN: f64 = 0.5;

fn look(context: &Context, said: &mut Said) {
    let network = context.network;
    let mut grid = Grid::new(500.0);
    let mut radii = vec![0.0; network.pipes.len()];
    let mut boxes = vec![(DVec3::ZERO, DVec3::ZERO); network.pipes.len()];
    for (at, pipe) in network.pipes.iter().enumerate() {
        let Some(radius) = radius(context, PipeIx(at as u32)) else {
            continue;
        };
        said.looked();
        radii[at] = radius;
        let (a, b) = network.true_ends(pipe);
        boxes[at] = (a.min(b) - radius, a.max(b) + radius);
        grid.put_bar(a, b, radius, at as u32);
    }
    let grid = grid.sealed();
    // For each two runs the pair that overlaps most.
    let mut worst: BTreeMap<(u32, u32), (f64, PipeIx, PipeIx)> = BTreeMap::new();
    for cube in grid.together() {
        for (n, &(_, first)) in cube.iter().enumerate() {
            let (low, high) = boxes[first as usize];
            for &(_, second) in &cube[n + 1..] {
                let (other_low, other_high) = boxes[second as usize];
                if low.cmpgt(other_high).any() || other_low.cmpgt(high).any() {
                    continue;
                }
                let (a, ra) = (network.pipe(PipeIx(first)), radii[first as usize]);
                let (b, rb) = (network.pipe(PipeIx(second)), radii[second as usize]);
                let ends = network.true_ends(a);
                if a.from == b.from || a.from == b.to || a.to == b.from || a.to == b.to {
                    continue;
                }
                let (distance, ..) = nearest(ends, network.true_ends(b));
                let over = ra + rb - distance;
                if over <= EVEN || near(context, PipeIx(first), PipeIx(second)) {
                    continue;
                }
                let runs = (a.run.0.min(b.run.0), a.run.0.max(b.run.0));
                let known = worst.get(&runs);
                if known.is_none_or(|(known, ..)| over > *known + EVEN) {
                    worst.insert(runs, (over, PipeIx(first), PipeIx(second)));
                }
            }
        }
    }
    for (over, first, second) in worst.into_values() {
        let (one, other) = (context.run(second), context.run(first));
        let words = (
            context.pipe(second).system.word(),
            context.pipe(first).system.word(),
        );
        let message = format!(
            "{} run {one} and {} run {other} take up one place: {} too near",
            words.0,
            words.1,
            context.show(over)
        );
        let help = format!(
            "move one of them by {} or more, up, down or aside",
            context.show(over)
        );
        let span = context.span(At::Pipe(first));
        said.breaks(context, At::Pipe(second), message, help)
            .note(span, "the other is told here");
    }
}

/// Whether short pieces join two pipes: both are arms of one fitting, or of some put together.
fn near(context: &Context, first: PipeIx, second: PipeIx) -> bool {
    let other = context.pipe(second);
    let pipe = context.pipe(first);
    // Where one has come to, by which piece, and how far.
    let mut open: Vec<(NodeIx, PipeIx, f64)> = vec![(pipe.from, first, 0.0), (pipe.to, first, 0.0)];
    while let Some((node, by, far)) = open.pop() {
        if node == other.from || node == other.to {
            return true;
        }
        for &between in &context.node(node).pipes {
            let told = context.pipe(between);
            let far = far + context.length(between);
            if between != by && far <= FITTING {
                let next = if told.from == node {
                    told.to
                } else {
                    told.from
                };
                // Pieces without length would lead round in a ring for ever.
                if context.length(between) > 0.0 {
                    open.push((next, between, far));
                }
            }
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    /// Two pipes of 2 in copper, 2-1/8 in outside, that cross: the second so much higher.
    fn told(higher: &str) -> Tell {
        let body = format!(
            "cold c\nstart -5',0' main floor +3'\nsize 2\"\nmaterial copper\neast 10'\ncap\n\
             hot h\nstart 0',-5' main floor +{higher}\nsize 2\"\nmaterial copper\nnorth 10'\ncap\n"
        );
        Tell::plain(&body, "structure-pipes-meet")
    }

    /// 2-1/8 in between the centres: they touch. 1 in: they overlap by 1-1/8 in.
    #[test]
    fn a_crossing() {
        let near = told("3'1\"");
        assert!(
            near.one().message.contains("1 1/8\" too near"),
            "{}",
            near.one().message
        );
        told("3'2-1/8\"").silent();
        told("3'6\"").silent();
    }

    /// Exceptions: a branch of the same run, and the arms of one fitting.
    #[test]
    fn joined() {
        let body = "cold c\nstart -5',0' main floor +3'\nsize 2\"\nmaterial copper\neast 5'\npoint P\neast 4\"\npoint Q\neast 5'\ncap\n\
             cold d\nstart P\nsize 2\"\nmaterial copper\nnorth 5'\ncap\n\
             cold e\nstart Q\nsize 2\"\nmaterial copper\nnorth 5'\ncap\n";
        Tell::plain(body, "structure-pipes-meet").silent();
    }

    /// Side by side for a long way they are told once.
    #[test]
    fn side_by_side() {
        let body = "cold c\nstart -5',0' main floor +3'\nsize 2\"\nmaterial copper\neast 5'\neast 5'\ncap\n\
             hot h\nstart -5',1\" main floor +3'\nsize 2\"\nmaterial copper\neast 5'\neast 5'\ncap\n";
        Tell::plain(body, "structure-pipes-meet").one();
    }
}
