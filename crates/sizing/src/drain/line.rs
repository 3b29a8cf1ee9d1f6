//! Vertical lines of a drainage system: which of them are stacks, and how their branches fall into intervals.
//!
//! In: the tree of drains. Out: for every vertical drain the line it belongs to, and what is known of
//! that line. A stack is a vertical line that passes through at least one storey (IPC 2021 Section 202,
//! from memory); a drawing rarely shows a whole storey, so that half of its height, floor to floor, counts
//! (our own choice).

use wyeline_network::Network;
use wyeline_network::model::{NodeIx, Pipe, PipeIx};

use super::tree::Tree;
use crate::definitions::definitions;

/// Where lengths are compared, mm.
const CLOSE: f64 = 0.01;

/// The sign for a pipe that belongs to no line.
pub(crate) const NO_LINE: u32 = u32::MAX;

/// A vertical line: vertical drains that run into each other.
#[derive(Clone, Debug)]
pub(crate) struct Line {
    /// Its lower end.
    pub bottom: NodeIx,
    /// Its upper end.
    pub top: NodeIx,
    /// Passes through a storey at least, and takes more than one fixture.
    pub stack: bool,
    /// Where drains enter it, from the top down.
    pub entries: Vec<Entry>,
    /// Branch intervals, those of a stack that comes down through a level offset counted in.
    pub intervals: u32,
    /// Load at its lower end.
    pub units: f64,
}

/// Drains entering a line at one of its nodes.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Entry {
    /// Along the line from its lower end, mm.
    pub along: f64,
    /// Load that enters here, without that of a stack above a level offset.
    pub units: f64,
    /// Heaviest load in one interval, counting the entries down to this one.
    pub heaviest: f64,
}

/// All vertical lines.
#[derive(Default)]
pub(crate) struct Lines {
    /// The lines.
    pub all: Vec<Line>,
    /// For each pipe its line, or [`NO_LINE`].
    pub of: Vec<u32>,
    /// For each pipe of a line, how far its upper end lies along it, mm.
    pub along: Vec<f64>,
}

/// Whether a pipe counts as vertical: 45 degrees or more from level (IPC 2021 Section 202 and UPC 2021
/// Section 210, from memory). The pipe's fall is its rise; a hair is allowed for rounding.
pub(crate) fn is_vertical(network: &Network, pipe: &Pipe) -> bool {
    let (from, to) = network.true_ends(pipe);
    let rise = (from.z - to.z).abs();
    let level = (from - to).truncate().length();
    rise > 0.0 && rise >= level * 0.999
}

impl Lines {
    /// The vertical lines of a tree. Loads and intervals are filled in by [`Lines::fill`].
    pub fn of(network: &Network, tree: &Tree) -> Self {
        let mut found = Self {
            all: Vec::new(),
            of: vec![NO_LINE; network.pipes.len()],
            along: vec![0.0; network.pipes.len()],
        };
        for &ix in tree.order.iter().rev() {
            let pipe = network.pipe(ix);
            if !is_vertical(network, pipe) {
                continue;
            }
            let (from, to) = network.true_ends(pipe);
            let below = tree
                .on_from(pipe.to)
                .filter(|below| found.of[below.0 as usize] != NO_LINE);
            let (line, along) = if let Some(below) = below {
                (found.of[below.0 as usize], found.along[below.0 as usize])
            } else {
                found.all.push(Line {
                    bottom: pipe.to,
                    top: pipe.from,
                    stack: false,
                    entries: Vec::new(),
                    intervals: 0,
                    units: 0.0,
                });
                (found.all.len() as u32 - 1, 0.0)
            };
            found.of[ix.0 as usize] = line;
            found.along[ix.0 as usize] = along + from.distance(to);
            let line = &mut found.all[line as usize];
            if from.z > network.node(line.top).at.z {
                line.top = pipe.from;
            }
        }
        found.tell_stacks(network);
        found
    }

    /// Marks the lines that pass through half of a storey's height.
    fn tell_stacks(&mut self, network: &Network) {
        let mut floors: Vec<f64> = network.levels.iter().map(|level| level.floor).collect();
        floors.sort_by(f64::total_cmp);
        floors.dedup();
        let share = definitions().share_of_storey.value;
        let top_storey = definitions().top_storey.value;
        for line in &mut self.all {
            let low = network.node(line.bottom).at.z;
            let high = network.node(line.top).at.z;
            let first = floors
                .partition_point(|floor| *floor < low)
                .saturating_sub(1);
            line.stack = (first..floors.len())
                .take_while(|&ix| floors[ix] < high)
                .any(|ix| {
                    let floor = floors[ix];
                    let above = floors.get(ix + 1).copied().unwrap_or(floor + top_storey);
                    let passed = high.min(above) - low.max(floor);
                    passed >= (above - floor) * share - CLOSE
                });
            // With no storeys told, a height of half a usual one decides.
            if floors.is_empty() {
                line.stack = high - low >= top_storey * share;
            }
        }
    }

    /// The line of a pipe.
    pub fn line(&self, pipe: PipeIx) -> Option<&Line> {
        self.all.get(self.of[pipe.0 as usize] as usize)
    }

    /// Whether a pipe belongs to a stack.
    pub fn in_stack(&self, pipe: PipeIx) -> bool {
        self.line(pipe).is_some_and(|line| line.stack)
    }

    /// Fills in where drains enter each stack, with their loads, and counts branch intervals.
    ///
    /// * `units`: for each pipe its load
    /// * `offset`: whether a pipe brings the discharge of a stack above, through a level offset
    /// * `interval_mm`: least length of a branch interval
    pub fn fill(
        &mut self,
        network: &Network,
        tree: &Tree,
        units: impl Fn(PipeIx) -> f64,
        offset: impl Fn(PipeIx) -> bool,
        interval_mm: f64,
    ) {
        // Intervals of the stacks that come down through each level offset, carried along it.
        let mut carried = vec![0_u32; network.nodes.len()];
        for &ix in &tree.order {
            let at = network.pipe(ix).from;
            let here = self.of[ix.0 as usize];
            let mut inside = 0.0;
            let mut above = 0.0;
            let mut enters = tree.inlets[at.0 as usize] == 0;
            for &other in &network.node(at).pipes {
                let pipe = network.pipe(other);
                if pipe.to != at || tree.on_from(pipe.from) != Some(other) {
                    continue;
                }
                if here != NO_LINE && self.of[other.0 as usize] == here {
                    inside += units(other);
                } else {
                    enters = true;
                    if offset(other) {
                        above += units(other);
                    }
                }
            }
            let to = network.pipe(ix).to.0 as usize;
            if !self.in_stack(ix) && offset(ix) {
                carried[to] = carried[to].max(carried[at.0 as usize]);
            }
            if here == NO_LINE {
                continue;
            }
            let along = self.along[ix.0 as usize];
            let line = &mut self.all[here as usize];
            line.intervals = line.intervals.max(carried[at.0 as usize]);
            line.units = line.units.max(units(ix));
            let own = (units(ix) - inside - above).max(0.0);
            // What comes down through an offset is no branch of this line.
            if enters && (own > 0.0 || above == 0.0) {
                line.entries.push(Entry {
                    along,
                    units: own,
                    heaviest: 0.0,
                });
            }
            let line = &mut self.all[here as usize];
            if network.pipe(ix).to == line.bottom {
                line.entries.sort_by(|a, b| b.along.total_cmp(&a.along));
                count_intervals(line, interval_mm);
                if line.stack {
                    carried[to] = carried[to].max(line.intervals);
                }
            }
        }
    }
}

/// Groups a line's entries into branch intervals, measured down from the highest, and sums their loads.
fn count_intervals(line: &mut Line, interval_mm: f64) {
    let mut start: Option<f64> = None;
    let (mut load, mut heaviest) = (0.0, 0.0_f64);
    for entry in &mut line.entries {
        if start.is_none_or(|start| start - entry.along >= interval_mm - CLOSE) {
            start = Some(entry.along);
            load = 0.0;
            line.intervals += 1;
        }
        load += entry.units;
        heaviest = heaviest.max(load);
        entry.heaviest = heaviest;
    }
}

impl Line {
    /// Heaviest load in one interval among the entries at or above a place along the line.
    pub fn heaviest_above(&self, along: f64) -> f64 {
        let count = self
            .entries
            .partition_point(|entry| entry.along >= along - CLOSE);
        count
            .checked_sub(1)
            .map_or(0.0, |last| self.entries[last].heaviest)
    }
}
