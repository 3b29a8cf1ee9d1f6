//! Combination drains and vents (IPC 2021 Section 915).
//!
//! In: level drains that carry floor drains, sinks, lavatories and drinking fountains alone. Out: each system of them with
//! its one vent, where a trap of it has no vent at its own drain.

use std::collections::{HashMap, HashSet};

use wyeline_job::model::System;
use wyeline_network::model::{NodeIx, PipeIx};

use super::airing::{Facts, is_level};
use crate::model::Role;

/// A drain that vents itself.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Combination {
    /// Its last pipe.
    pub outlet: PipeIx,
    /// Load at its end.
    pub units: f64,
    /// Where its one vent leaves.
    pub vent: NodeIx,
    /// It runs into a building drain, not into a branch or a stack.
    pub to_building_drain: bool,
}

/// Systems that may be combination drains, each with its pipes: those that carry several fixtures, and those by which the
/// air of the vent comes down.
///
/// * `air`: the drains in use by which the air of the vents at a node comes down to traps
pub(super) fn systems(
    facts: &Facts,
    air: impl Fn(NodeIx) -> Vec<PipeIx>,
) -> Vec<(Combination, Vec<PipeIx>)> {
    let network = facts.network;
    // Whether all at and above a pipe is level, or the drain of one fixture, and of kinds that may be.
    let mut fits = vec![true; network.pipes.len()];
    for &ix in &facts.tree.order {
        let pipe = network.pipe(ix);
        let above = facts.above(ix);
        let own = above.combination
            && !facts.lines.in_stack(ix)
            && (facts.sole[ix.0 as usize].is_some() || above.fixtures == 0 || is_level(pipe));
        let inflow = facts.into(pipe.from).all(|into| fits[into.0 as usize]);
        fits[ix.0 as usize] = own && inflow;
    }
    // From the outlets up: the system of each pipe, by its last pipe.
    let mut outlet: Vec<Option<PipeIx>> = vec![None; network.pipes.len()];
    let mut vents: HashMap<PipeIx, Vec<NodeIx>> = HashMap::new();
    let mut members: HashMap<PipeIx, Vec<PipeIx>> = HashMap::new();
    for &ix in facts.tree.order.iter().rev() {
        if !fits[ix.0 as usize] {
            continue;
        }
        let pipe = network.pipe(ix);
        let below = facts.tree.on_from(pipe.to);
        let last = below
            .and_then(|below| outlet[below.0 as usize])
            .unwrap_or(ix);
        outlet[ix.0 as usize] = Some(last);
        members.entry(last).or_default().push(ix);
        let vented = network
            .node(pipe.from)
            .pipes
            .iter()
            .any(|&vent| network.pipe(vent).system == System::Vent);
        // A second vent shows that it is not one for all; more need not be known.
        let known = vents.entry(last).or_default();
        if vented && known.len() < 2 {
            known.push(pipe.from);
        }
    }
    let mut needing: Vec<PipeIx> = Vec::new();
    // Vents by which traps outside of the system take their air as well: a closet may not do so over a sink.
    let mut shared: HashSet<NodeIx> = HashSet::new();
    for arm in facts.arms {
        let Some(vent) = arm.vent else { continue };
        let trap = facts.tree.on_from(arm.trap);
        let last = trap.and_then(|pipe| outlet[pipe.0 as usize]);
        let inside = |last: &PipeIx| vents.get(last).is_some_and(|all| all.contains(&vent.from));
        let Some(last) = last.filter(inside) else {
            shared.insert(vent.from);
            continue;
        };
        let own = arm.pipes.iter().any(|&pipe| {
            let told = network.pipe(pipe);
            told.from == vent.from || told.to == vent.from
        });
        if !own {
            needing.push(last);
        }
    }
    needing.sort_unstable();
    needing.dedup();
    let mut found = Vec::new();
    for last in needing {
        if facts.above(last).fixtures < 2 {
            continue;
        }
        let (Some([vent]), Some(all)) = (vents.get(&last).map(Vec::as_slice), members.get(&last))
        else {
            continue;
        };
        if shared.contains(vent) {
            continue;
        }
        let air: HashSet<PipeIx> = air(*vent).into_iter().collect();
        let pipes = all.iter().copied().filter(|pipe| {
            facts.above(*pipe).fixtures > 1
                || (facts.above(*pipe).fixtures == 1 && air.contains(pipe))
        });
        let role = facts.pipes[last.0 as usize].role;
        let system = Combination {
            outlet: last,
            units: facts.pipes[last.0 as usize].load.drain,
            vent: *vent,
            to_building_drain: matches!(
                role,
                Role::BuildingDrain | Role::BuildingSewer | Role::StackOffset
            ),
        };
        found.push((system, pipes.collect()));
    }
    found
}
