//! Puts walked places where they are meant: on the ports they come to, else on whole inches or centimetres, with level lines level and plumb
//! lines plumb.

use glam::DVec3;
use wyeline_units::UnitSystem;

use super::graph::Graph;
use super::walk::Walk;

/// Where each place lies, mm; none where no line leads there. `fixed` places lie on known points.
pub fn settle(
    graph: &Graph,
    walk: &Walk,
    fixed: &[(usize, DVec3)],
    units: UnitSystem,
) -> Vec<Option<DVec3>> {
    let step = if units.is_metric() { 10.0 } else { 25.4 };
    let mut settled: Vec<Option<DVec3>> = walk.at.clone();
    for axis in 0..3 {
        let groups = groups(graph, walk, axis);
        for group in 0..graph.at.len() {
            let members: Vec<usize> = (0..graph.at.len())
                .filter(|place| groups[*place] == group && walk.at[*place].is_some())
                .collect();
            if members.is_empty() {
                continue;
            }
            let told = fixed.iter().find(|(place, _)| members.contains(place));
            let value = told.map_or_else(
                || {
                    let sum: f64 = members
                        .iter()
                        .filter_map(|place| walk.at[*place])
                        .map(|at| at[axis])
                        .sum();
                    (sum / members.len() as f64 / step).round() * step
                },
                |(_, at)| at[axis],
            );
            for place in members {
                if let Some(at) = &mut settled[place] {
                    at[axis] = value;
                }
            }
        }
    }
    settled
}

/// For each place the first of those that share its coordinate along an axis: lines that do not go along it lead from one to the other.
fn groups(graph: &Graph, walk: &Walk, axis: usize) -> Vec<usize> {
    let mut group: Vec<usize> = (0..graph.at.len()).collect();
    let mut changed = true;
    while changed {
        changed = false;
        for (edge, way) in graph.edges.iter().zip(&walk.way) {
            if way.is_some_and(|way| way[axis] == 0.0) && group[edge.a] != group[edge.b] {
                let least = group[edge.a].min(group[edge.b]);
                (group[edge.a], group[edge.b]) = (least, least);
                changed = true;
            }
        }
    }
    group
}
