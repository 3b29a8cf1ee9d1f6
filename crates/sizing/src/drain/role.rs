//! What each drain is to the code: fixture drain, branch, stack, offset, building drain, building sewer.
//!
//! In: the tree of drains and its vertical lines. Out: a role for each drain. A level drain whose discharge
//! still goes down a stack is a branch; one that has no stack below it belongs to the lowest piping of the
//! building, and is building drain with all its branches (IPC 2021 Section 202 and title of Table 710.1(1), from memory).

use wyeline_network::Network;
use wyeline_network::model::{FixtureIx, NodeKind, Pipe, Wall};

use super::line::{Lines, NO_LINE};
use super::tree::Tree;
use crate::definitions::definitions;
use crate::model::{PipeResult, Role};

/// Plan of the building's walls: west, south, east, north, mm.
pub(crate) type Extent = [f64; 4];

/// Fills in the role of every drain, and returns for each pipe the fixture that alone drains through it.
pub(crate) fn tell(
    network: &Network,
    tree: &Tree,
    lines: &mut Lines,
    pipes: &mut [PipeResult],
) -> Vec<Option<FixtureIx>> {
    let count = network.pipes.len();
    // One fixture alone drains through it.
    let mut single: Vec<Option<FixtureIx>> = vec![None; count];
    // A stack discharges through it.
    let mut stacked = vec![false; count];
    let mut above: Vec<(Option<FixtureIx>, bool)> = vec![(None, false); network.nodes.len()];
    for &ix in &tree.order {
        let at = network.pipe(ix).from;
        let (single_above, stack_above) = above[at.0 as usize];
        let alone = match tree.inlets[at.0 as usize] {
            0 => network.node(at).fixture,
            1 => single_above,
            _ => None,
        };
        single[ix.0 as usize] = alone;
        let stack = stack_above || (lines.in_stack(ix) && alone.is_none());
        stacked[ix.0 as usize] = stack;
        let below = &mut above[network.pipe(ix).to.0 as usize];
        *below = (alone, below.1 || stack);
    }
    // A line through which one fixture drains all the way is that fixture's drain.
    let mut shared = vec![false; lines.all.len()];
    for &ix in &tree.order {
        let line = lines.of[ix.0 as usize];
        if line != NO_LINE && single[ix.0 as usize].is_none() {
            shared[line as usize] = true;
        }
    }
    for (line, shared) in lines.all.iter_mut().zip(shared) {
        line.stack &= shared;
    }
    let extent = extent(&network.building.walls);
    let mut to_stack = vec![false; network.nodes.len()];
    for &ix in tree.order.iter().rev() {
        let pipe = network.pipe(ix);
        let here = ix.0 as usize;
        let enters = to_stack[pipe.to.0 as usize];
        to_stack[pipe.from.0 as usize] = enters || lines.in_stack(ix);
        pipes[here].role = if single[here].is_some() {
            Role::FixtureDrain
        } else if lines.in_stack(ix) {
            Role::Stack
        } else if enters && stacked[here] {
            Role::StackOffset
        } else if enters {
            Role::Branch
        } else if extent.is_some_and(|extent| outside(network, pipe, extent)) {
            Role::BuildingSewer
        } else {
            Role::BuildingDrain
        };
    }
    single
}

/// The box round walls on the plan; nothing where there are none.
pub(crate) fn extent<'w>(walls: impl IntoIterator<Item = &'w Wall>) -> Option<Extent> {
    let ends = walls.into_iter().flat_map(|wall| {
        let (x, y) = (wall.into.0 * wall.thick, wall.into.1 * wall.thick);
        [
            wall.from,
            wall.to,
            (wall.from.0 + x, wall.from.1 + y),
            (wall.to.0 + x, wall.to.1 + y),
        ]
    });
    ends.fold(None, |extent, (x, y)| {
        let [west, south, east, north] = extent.unwrap_or([x, y, x, y]);
        Some([west.min(x), south.min(y), east.max(x), north.max(y)])
    })
}

/// Whether a pipe lies wholly outside the building, beyond where its drain ends, and leads on or away.
fn outside(network: &Network, pipe: &Pipe, [west, south, east, north]: Extent) -> bool {
    let off = definitions().building_sewer_from.value;
    let beyond =
        |x: f64, y: f64| x <= west - off || x >= east + off || y <= south - off || y >= north + off;
    let (from, to) = network.true_ends(pipe);
    beyond(from.x, from.y)
        && beyond(to.x, to.y)
        && !matches!(network.node(pipe.from).kind, NodeKind::Trap)
}
