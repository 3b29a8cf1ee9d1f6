//! Finds ports of fixtures that lie on one spot, so that one node stands for them.
//!
//! Two lavatories back to back have their tees at one point of the wall: one double
//! fitting. The ports lie in a grid, so the cost grows with ports, not pairs.

use glam::DVec3;
use rustc_hash::FxHashMap;

use crate::fixtures::Placed;

/// Ports nearer than this are on one spot, mm: far below what is typed, far above what turning rounds off.
const NEAR: f64 = 1e-3;
/// Side of a cell of the grid, mm.
const CELL: f64 = 1.0;

/// A cell of the grid, for ports of one name: their place in the list of names.
type Cell = (usize, [i64; 3]);

/// Names of ports that fixtures may share.
const SHARED: [&str; 6] = ["tee", "cold", "hot", "return", "gas", "vent"];

/// A port by its fixture and its place among that one's ports.
pub(crate) type PortIx = (u32, usize);

/// For each port that lies where an earlier one of that name does: the earlier one, by fixture and port.
/// Their places are made the same to the last digit.
pub(crate) fn twins(placed: &mut [Placed]) -> FxHashMap<PortIx, PortIx> {
    let mut grid: FxHashMap<Cell, Vec<PortIx>> = FxHashMap::default();
    let mut twins = FxHashMap::default();
    for fixture in 0..placed.len() {
        for port in 0..placed[fixture].fixture.ports.len() {
            let told = &placed[fixture].fixture.ports[port];
            let Some(name) = SHARED.iter().position(|name| *name == told.name) else {
                continue;
            };
            let at = told.at;
            let place = |&(fixture, port): &PortIx| placed[fixture as usize].fixture.ports[port].at;
            let first = cells(at)
                .filter_map(|cell| grid.get(&(name, cell)))
                .flatten()
                .find(|other| place(other).distance(at) < NEAR)
                .copied();
            if let Some(first) = first {
                let at = place(&first);
                twins.insert((fixture as u32, port), first);
                placed[fixture].fixture.ports[port].at = at;
            } else {
                let cell = at.to_array().map(|v| (v / CELL).floor() as i64);
                grid.entry((name, cell))
                    .or_default()
                    .push((fixture as u32, port));
            }
        }
    }
    twins
}

/// The cells that hold what is near a place: one, or more at their edges.
fn cells(at: DVec3) -> impl Iterator<Item = [i64; 3]> {
    let span = |v: f64| {
        let cell = |v: f64| (v / CELL).floor() as i64;
        cell(v - NEAR)..=cell(v + NEAR)
    };
    let [x, y, z] = at.to_array().map(span);
    x.flat_map(move |x| {
        let z = z.clone();
        y.clone()
            .flat_map(move |y| z.clone().map(move |z| [x, y, z]))
    })
}
