//! The outlets of the drains, and the open ends by which each of them breathes.

use wyeline_network::model::{NodeIx, NodeKind, PipeIx};

use crate::context::Context;

/// Where a tree of drains leaves the building or the drawing.
#[derive(Clone, Debug)]
pub struct Outlet {
    /// Its last pipe.
    pub pipe: PipeIx,
    /// Vent pipes that end in the open air, each with the node where it does.
    pub terminals: Vec<(PipeIx, NodeIx)>,
    /// A vent of it goes on beyond the drawing or runs into existing vent.
    pub more: bool,
}

/// The outlets that fixtures drain to, in the order of their pipes.
pub fn outlets(context: &Context) -> Vec<Outlet> {
    let nodes = context.network.nodes.len();
    // For each node the last pipe of its drain, by its place among the outlets.
    let mut outlet_of: Vec<Option<u32>> = vec![None; nodes];
    let mut outlets: Vec<Outlet> = Vec::new();
    for &pipe in context.index.drains.iter().rev() {
        let told = context.pipe(pipe);
        let below = match context.down(told.to) {
            Some(_) => outlet_of[told.to.0 as usize],
            None if context.index.upstream[pipe.0 as usize].fixtures > 0 => {
                outlets.push(Outlet {
                    pipe,
                    terminals: Vec::new(),
                    more: false,
                });
                Some(outlets.len() as u32 - 1)
            }
            None => None,
        };
        outlet_of[told.from.0 as usize] = below;
        if context.down(told.to).is_none() {
            outlet_of[told.to.0 as usize] = below;
        }
    }
    // Each vent belongs to the outlet of the drain that it leaves, or of the first vent that joins it.
    let mut vents: Vec<Option<u32>> = vec![None; nodes];
    for &pipe in &context.index.vents {
        let told = context.pipe(pipe);
        let from = told.from.0 as usize;
        let Some(outlet) = vents[from].or(outlet_of[from]) else {
            continue;
        };
        let to = told.to.0 as usize;
        vents[to] = vents[to].or(Some(outlet));
        let place = &mut outlets[outlet as usize];
        let goes_on = context.vent_out(told.to).is_some();
        match context.node(told.to).kind {
            NodeKind::RoofEnd => place.terminals.push((pipe, told.to)),
            NodeKind::Continues { .. } if !goes_on => place.more = true,
            _ => {}
        }
        place.more |= told.existing && !goes_on;
    }
    outlets.sort_by_key(|outlet| outlet.pipe);
    outlets
}
