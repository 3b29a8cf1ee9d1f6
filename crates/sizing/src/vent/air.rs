//! What each vent pipe airs: the fixtures and stacks below it, and its developed length.
//!
//! In: the vents as trees from the drains up to the open air. Out: for each vent pipe its role, the load it
//! vents, the drains that its size is taken from, and the length that counts. Developed length of a stack
//! vent or vent stack ends in the open air, that of any other vent where it joins one of them (IPC 2021
//! 906.1 and 906.3); a header's begins at the base of the farthest stack (IPC 2021 904.5).

use wyeline_network::Network;
use wyeline_network::model::{NodeIx, PipeIx};
use wyeline_units::Size;

use crate::drain::line::{Lines, NO_LINE, is_vertical};
use crate::drain::tree::Tree;
use crate::model::Role;
use crate::ranks::larger;

use super::rise::Rise;
use super::takeoff::Takeoff;

/// What goes through a vent pipe.
#[derive(Clone, Debug, Default)]
pub(crate) struct Air {
    /// Loads vented, by the stack that they drain into (its number, or none).
    below: Vec<Below>,
    /// The largest drain that this vent airs.
    pub drain: Option<Size>,
    /// The largest stack of the stack vents and vent stacks in it.
    pub stack: Option<Size>,
    /// From the farthest place where it leaves a drain to the upper end of this pipe, mm.
    pub far: f64,
    /// Level length on the way with most of it, mm.
    level: f64,
    /// Likely peak flow of the traps vented, l/s.
    flow_lps: f64,
    /// `far` from the base of the farthest stack, for stack vents.
    base: Option<f64>,
    /// What it is.
    pub role: Role,
    /// A closet is among the traps.
    pub closet: bool,
    /// The largest waste stack that vents itself by it.
    pub waste_stack: Option<Size>,
}

/// Load vented that drains into one stack.
#[derive(Clone, Copy, Debug)]
struct Below {
    line: u32,
    units: f64,
    /// The whole stack is vented, by its stack vent or vent stack.
    whole: bool,
}

impl Air {
    /// What a vent takes up where it leaves a drain.
    pub fn at(takeoff: &Takeoff) -> Self {
        let (line, units, whole) = match takeoff.stack {
            Some((line, units)) => (line, units, true),
            None => (takeoff.drains_to, takeoff.units, false),
        };
        Self {
            below: vec![Below { line, units, whole }],
            drain: takeoff.drain,
            stack: takeoff.stack.and(takeoff.drain),
            far: 0.0,
            level: 0.0,
            flow_lps: takeoff.flow_lps,
            base: takeoff.base_mm,
            role: takeoff.role,
            closet: takeoff.closet,
            waste_stack: takeoff.waste_stack,
        }
    }

    /// Load vented: whole stacks once, and what else is vented that drains elsewhere.
    pub fn units(&self) -> f64 {
        self.below.iter().fold(0.0, |sum, below| sum + below.units)
    }

    /// How many stacks are vented as a whole.
    pub fn stacks(&self) -> usize {
        self.below.iter().filter(|below| below.whole).count()
    }

    /// The length from its beginning to the upper end of this pipe that counts, mm.
    pub fn developed_mm(&self) -> f64 {
        match self.base {
            Some(base) if self.stacks() > 1 => base.max(self.far),
            _ => self.far,
        }
    }

    fn join(&mut self, mut other: Self) {
        if other.below.len() > self.below.len() {
            std::mem::swap(&mut self.below, &mut other.below);
        }
        for more in other.below {
            match self.below.binary_search_by_key(&more.line, |b| b.line) {
                Ok(ix) => {
                    let below = &mut self.below[ix];
                    // A stack vented as a whole holds all that drains into it.
                    (below.units, below.whole) = match (below.whole, more.whole) {
                        (false, false) => (below.units + more.units, false),
                        (true, false) => (below.units, true),
                        (false, true) => (more.units, true),
                        (true, true) => (below.units.max(more.units), true),
                    };
                }
                Err(ix) => self.below.insert(ix, more),
            }
        }
        self.role = joined(self.role, other.role);
        self.drain = self.drain.into_iter().chain(other.drain).reduce(larger);
        self.stack = self.stack.into_iter().chain(other.stack).reduce(larger);
        self.far = self.far.max(other.far);
        self.level = self.level.max(other.level);
        self.flow_lps = self.flow_lps.max(other.flow_lps);
        self.base = match (self.base, other.base) {
            (Some(a), Some(b)) => Some(a.max(b)),
            (a, b) => a.or(b),
        };
        self.closet |= other.closet;
        self.waste_stack = self
            .waste_stack
            .into_iter()
            .chain(other.waste_stack)
            .reduce(larger);
    }
}

/// What two vents are where they have joined.
fn joined(a: Role, b: Role) -> Role {
    if a == Role::StackVent || b == Role::StackVent {
        Role::StackVent
    } else if a == Role::VentStack || b == Role::VentStack {
        Role::VentStack
    } else {
        Role::BranchVent
    }
}

/// What decides the size of one vent pipe.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Through {
    /// What it is.
    pub role: Role,
    /// Load vented.
    pub units: f64,
    /// The largest drain that it airs.
    pub drain: Option<Size>,
    /// The largest stack of the stack vents and vent stacks in it.
    pub stack: Option<Size>,
    /// A closet is among the fixtures vented.
    pub closet: bool,
    /// The largest waste stack that vents itself by it.
    pub waste_stack: Option<Size>,
    /// Developed length that counts, mm.
    pub developed_mm: f64,
    /// How much of it lies level, mm.
    pub level_mm: f64,
    /// Likely peak flow of the traps vented, l/s, where the code gives one.
    pub flow_lps: f64,
}

/// What goes through each vent pipe, in the order of the tree: the way of the air from the drains up.
pub(crate) fn trace(
    network: &Network,
    rise: &Rise,
    takeoff: impl Fn(NodeIx) -> Option<Takeoff>,
) -> Vec<Through> {
    let mut waiting: Vec<Option<Air>> = vec![None; network.nodes.len()];
    let order = &rise.tree.order;
    let mut through = Vec::with_capacity(order.len());
    for &ix in order {
        let (lower, upper) = rise.ends(network, ix);
        let below = waiting[lower.0 as usize].take();
        let taken = takeoff(lower).map(|takeoff| Air::at(&takeoff));
        let mut air = match (below, taken) {
            (Some(mut air), Some(taken)) => {
                air.join(taken);
                air
            }
            (air, taken) => air.or(taken).unwrap_or_default(),
        };
        let length = network.pipe_mm(ix);
        air.far += length;
        air.level += level_mm(network, ix);
        air.base = air.base.map(|base| base + length);
        through.push(Through {
            role: air.role,
            units: air.units(),
            drain: air.drain,
            stack: air.stack,
            closet: air.closet,
            waste_stack: air.waste_stack,
            developed_mm: air.developed_mm(),
            level_mm: air.level,
            flow_lps: air.flow_lps,
        });
        match &mut waiting[upper.0 as usize] {
            Some(above) => above.join(air),
            above => *above = Some(air),
        }
    }
    // Down again: how far it still is to the open air, and to a stack vent or vent stack.
    // Each with how much of it lies level.
    let mut to_air = vec![(0.0_f64, 0.0_f64); network.nodes.len()];
    let mut to_stack = to_air.clone();
    for (through, &ix) in through.iter_mut().zip(order).rev() {
        let (below, above) = rise.ends(network, ix);
        let (below, above) = (below.0 as usize, above.0 as usize);
        let stack = matches!(through.role, Role::StackVent | Role::VentStack);
        let (rest, level) = if stack {
            to_air[above]
        } else {
            to_stack[above]
        };
        through.developed_mm += rest;
        through.level_mm += level;
        let here = (network.pipe_mm(ix), level_mm(network, ix));
        let on = |(length, level): (f64, f64)| (length + here.0, level + here.1);
        to_air[below] = on(to_air[above]);
        to_stack[below] = if stack {
            (0.0, 0.0)
        } else {
            on(to_stack[above])
        };
    }
    through
}

/// Length of a pipe where it counts as horizontal, else 0, mm.
fn level_mm(network: &Network, ix: PipeIx) -> f64 {
    if is_vertical(network, network.pipe(ix)) {
        0.0
    } else {
        network.pipe_mm(ix)
    }
}

/// Length of a pipe as it truly lies.
trait TrueLength {
    /// In mm.
    fn pipe_mm(&self, ix: PipeIx) -> f64;
}

impl TrueLength for Network {
    fn pipe_mm(&self, ix: PipeIx) -> f64 {
        let (from, to) = self.true_ends(self.pipe(ix));
        from.distance(to)
    }
}

/// The number of the stack that a node drains into, for each node; [`NO_LINE`] where none.
pub(crate) fn stacks_below(network: &Network, drains: &Tree, lines: &Lines) -> Vec<u32> {
    let mut below = vec![NO_LINE; network.nodes.len()];
    for &ix in drains.order.iter().rev() {
        let pipe = network.pipe(ix);
        below[pipe.from.0 as usize] = if lines.in_stack(ix) {
            lines.of[ix.0 as usize]
        } else {
            below[pipe.to.0 as usize]
        };
    }
    below
}
