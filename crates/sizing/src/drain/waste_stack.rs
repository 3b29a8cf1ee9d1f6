//! Waste stacks that vent themselves (IPC 2021 Section 913).
//!
//! In: traps whose air comes down a plumb line in use. Out: the line, where its topology lets it be a waste stack vent:
//! no closets or urinals, every fixture by itself, no offset between the lowest and the highest.

use wyeline_network::model::{Lie, PipeIx};

use super::airing::{Facts, Group};
use super::line::NO_LINE;

/// A line that may vent itself.
pub(super) struct WasteStack {
    /// Its pipes: all of one size.
    pub pipes: Vec<PipeIx>,
    /// Load at its base.
    pub units: f64,
    /// The heaviest load in one branch interval.
    pub heaviest: f64,
}

/// The waste stack by which the traps of a group take their air, where it is one.
pub(super) fn of(facts: &Facts, group: &Group) -> Option<WasteStack> {
    let &first = group.wet.first()?;
    let number = facts.lines.of[first.0 as usize];
    let in_line = |pipe: PipeIx| number != NO_LINE && facts.lines.of[pipe.0 as usize] == number;
    let line = facts
        .lines
        .line(first)
        .filter(|line| line.stack && line.units > 0.0)?;
    if !group.wet.iter().all(|&pipe| in_line(pipe))
        || !facts.tree.on_from(group.from).is_some_and(in_line)
    {
        return None;
    }
    // From its base upward, along the pipes of the line.
    let lowest = line.entries.last()?.along;
    let mut pipes = Vec::new();
    let mut at = line.bottom;
    while let Some(pipe) = facts.into(at).find(|&pipe| in_line(pipe)) {
        let told = facts.network.pipe(pipe);
        let above = facts.above(pipe);
        let between = facts.lines.along[pipe.0 as usize] > lowest + 1e-6;
        if above.fixtures > 0 && (!above.waste_stack || (between && told.lie != Lie::Vertical)) {
            return None;
        }
        // The vent leaves above the highest fixture.
        if at == group.from && above.fixtures > 0 {
            return None;
        }
        pipes.push(pipe);
        at = told.from;
        let apart = facts.into(at).filter(|&other| !in_line(other));
        for other in apart {
            if facts.above(other).fixtures > 0 && facts.sole[other.0 as usize].is_none() {
                return None;
            }
        }
        if pipes.len() > facts.network.pipes.len() {
            return None;
        }
    }
    Some(WasteStack {
        pipes,
        units: line.units,
        heaviest: line.heaviest_above(0.0),
    })
}
