//! Walks the drawn lines through space from points that the plan tells: an axis on paper is an axis of the building.
//!
//! Ink alone fixes no point in space: upright may be a riser or a level 45, and each axis also a tilted 45. Both readings end on the same line
//! of sight, so the plan decides: a reading stands if fixtures come to lie where they are.

use glam::DVec3;

use super::graph::Graph;
use super::place::Placed;

/// A line's way may be off so much, as the sine of the angle: 5 degrees.
const OFF: f64 = 0.0872;

/// The ways a pipe goes: along the axes, and at 45 degrees between two of them.
fn ways() -> Vec<DVec3> {
    let steps = [-1.0, 0.0, 1.0];
    let mut all: Vec<DVec3> = Vec::new();
    for x in steps {
        for y in steps {
            all.extend(steps.map(|z| DVec3::new(x, y, z)));
        }
    }
    let turned = |way: &DVec3| way.abs().element_sum() as u8;
    all.retain(|way| matches!(turned(way), 1 | 2));
    all.sort_by_key(turned);
    all
}

/// Where the places of a graph lie in space, as far as lines lead there.
#[derive(Clone, Debug)]
pub struct Walk {
    /// Each place's point in space, mm; none where no line leads there from a known point.
    pub at: Vec<Option<DVec3>>,
    /// For each stretch the way it goes from `a` to `b` (components -1, 0, 1); none where its direction is none that a pipe takes.
    pub way: Vec<Option<DVec3>>,
}

/// Walks from places whose points are known; `known` further places decide between readings. `near` is the most a line may miss, mm of paper.
pub fn walk(
    graph: &Graph,
    placed: &Placed,
    from: &[(usize, DVec3)],
    known: &[(usize, DVec3)],
    near: f64,
) -> Walk {
    let ways = ways();
    let readings: Vec<Vec<DVec3>> = graph
        .edges
        .iter()
        .map(|edge| {
            let drawn = graph.at[edge.b] - graph.at[edge.a];
            let fits = |way: &&DVec3| {
                let told = placed.vector(**way);
                let size = told.hypot() * drawn.hypot();
                drawn.dot(told) > 0.0 && drawn.cross(told).abs() <= OFF * size
            };
            ways.iter().filter(fits).copied().collect()
        })
        .collect();
    let mut chosen = vec![0; graph.edges.len()];
    let tolerance = 2.0 * near * placed.building();
    let mut at = follow(graph, placed, &readings, &chosen, from);
    let mut wrong = misses(&at, known, tolerance);
    // One reading changed at a time, then two: the fewest changes that bring most fixtures to their places.
    let doubtful: Vec<usize> = (0..readings.len())
        .filter(|edge| readings[*edge].len() > 1)
        .collect();
    while wrong > 0 {
        let singles = doubtful.iter().map(|edge| vec![*edge]);
        let pairs = || {
            let few = if doubtful.len() <= MOST_PAIRED {
                doubtful.as_slice()
            } else {
                &[]
            };
            few.iter()
                .enumerate()
                .flat_map(|(ix, one)| few[ix + 1..].iter().map(|other| vec![*one, *other]))
        };
        let mut best: Option<(usize, Vec<usize>)> = None;
        let mut consider = |edges: Vec<usize>| {
            let mut tried = chosen.clone();
            for edge in &edges {
                tried[*edge] = 1 - tried[*edge];
            }
            let left = misses(
                &follow(graph, placed, &readings, &tried, from),
                known,
                tolerance,
            );
            if left < best.as_ref().map_or(wrong, |(least, _)| *least) {
                best = Some((left, edges));
            }
            best.is_some()
        };
        // All of them, for the best is wanted.
        let mut found = false;
        for edges in singles {
            found |= consider(edges);
        }
        if !found {
            for edges in pairs() {
                consider(edges);
            }
        }
        let Some((left, edges)) = best else { break };
        for edge in edges {
            chosen[edge] = 1 - chosen[edge];
        }
        wrong = left;
        at = follow(graph, placed, &readings, &chosen, from);
    }
    let way = readings
        .iter()
        .zip(&chosen)
        .map(|(readings, ix)| readings.get(*ix).copied());
    Walk {
        way: way.collect(),
        at,
    }
}

/// With more doubtful lines than this, pairs are not tried: it would take too long.
const MOST_PAIRED: usize = 60;

fn follow(
    graph: &Graph,
    placed: &Placed,
    readings: &[Vec<DVec3>],
    chosen: &[usize],
    from: &[(usize, DVec3)],
) -> Vec<Option<DVec3>> {
    let meeting = graph.meeting();
    let mut at: Vec<Option<DVec3>> = vec![None; graph.at.len()];
    let mut open: std::collections::VecDeque<usize> = std::collections::VecDeque::new();
    for (place, point) in from {
        // What is reached from an earlier one is not begun anew.
        if at[*place].is_some() {
            continue;
        }
        at[*place] = Some(*point);
        open.push_back(*place);
        while let Some(place) = open.pop_front() {
            let here = at[place].unwrap_or_default();
            for edge in &meeting[place] {
                let beyond = graph.edges[*edge].beyond(place);
                let Some(way) = readings[*edge].get(chosen[*edge]) else {
                    continue;
                };
                if at[beyond].is_some() {
                    continue;
                }
                let way = if graph.edges[*edge].a == place {
                    *way
                } else {
                    -*way
                };
                let long = graph.at[place].distance(graph.at[beyond]) / placed.vector(way).hypot();
                at[beyond] = Some(here + way * long);
                open.push_back(beyond);
            }
        }
    }
    at
}

/// How many of the places that are reached do not lie where they are known to.
fn misses(at: &[Option<DVec3>], known: &[(usize, DVec3)], tolerance: f64) -> usize {
    let off = |(place, point): &&(usize, DVec3)| {
        at[*place].is_some_and(|at| at.distance(*point) > tolerance)
    };
    known.iter().filter(off).count()
}
