//! Where vents leave the drains, and what each vents there.
//!
//! In: sized drains, trap arms. Out: for a node of a drain from which a vent goes on, the load that it vents, the
//! drain or stack its size is taken from, and what it is: individual vent, stack vent, vent stack, relief or circuit vent.

use wyeline_network::Network;
use wyeline_network::model::{NodeIx, PipeIx};
use wyeline_units::Size;

use crate::definitions::definitions;
use crate::drain::Drains;
use crate::drain::line::NO_LINE;
use crate::model::{Airs, PipeResult, Role};
use crate::ranks::{larger, rank};

use super::air::stacks_below;

/// What a vent takes up where it leaves a drain.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Takeoff {
    /// What the vent is here.
    pub role: Role,
    /// Load of the traps vented.
    pub units: f64,
    /// A closet is among them.
    pub closet: bool,
    /// The largest drain required among those vented; for a whole stack, the stack.
    pub drain: Option<Size>,
    /// The stack that is vented as a whole, and its load.
    pub stack: Option<(u32, f64)>,
    /// The stack that these traps drain into, or [`NO_LINE`].
    pub drains_to: u32,
    /// Likely peak flow of the drain that is vented, l/s, where the code gives one.
    pub flow_lps: f64,
    /// How far the takeoff of a stack vent lies above the stack's base, mm.
    pub base_mm: Option<f64>,
    /// It is the vent of a waste stack of that size, which vents itself.
    pub waste_stack: Option<Size>,
}

/// Traps vented from one node.
#[derive(Clone, Copy, Default)]
struct Served {
    units: f64,
    traps: u32,
    closet: bool,
    drain: Option<Size>,
}

/// What vents serve, by the node where they leave a drain.
pub(crate) struct Takeoffs<'a> {
    network: &'a Network,
    drains: &'a Drains,
    pipes: &'a [PipeResult],
    served: Vec<(NodeIx, Served)>,
    below: Vec<u32>,
}

impl<'a> Takeoffs<'a> {
    /// Gathers the traps by the node where their vent leaves.
    pub fn of(network: &'a Network, drains: &'a Drains, pipes: &'a [PipeResult]) -> Self {
        let mut arms: Vec<_> = drains
            .arms
            .iter()
            .filter_map(|arm| Some((arm.vent?, arm)))
            .collect();
        arms.sort_by_key(|(vent, _)| vent.from);
        let mut served: Vec<(NodeIx, Served)> = Vec::new();
        for (vent, arm) in arms {
            if served.last().is_none_or(|(node, _)| *node != vent.from) {
                served.push((vent.from, Served::default()));
            }
            let Some((_, served)) = served.last_mut() else {
                continue;
            };
            let needed = |pipe: PipeIx| drains.required(pipe);
            let mut drain = arm.pipes.last().and_then(|&pipe| needed(pipe));
            if vent.at != vent.from {
                // The wet vent that brings the air.
                let wet = network.node(vent.at).pipes.iter().copied().filter(|&pipe| {
                    let airs = drains.airing.airs(pipe);
                    network.pipe(pipe).to == vent.at && airs.is_some_and(|airs| airs != Airs::Stack)
                });
                drain = wet.filter_map(needed).chain(drain).reduce(larger);
            }
            served.traps += 1;
            if let Some(known) = drains.loads.fixture(arm.fixture) {
                served.units += known.units;
                served.closet |= known.closet;
            }
            served.drain = served.drain.into_iter().chain(drain).reduce(larger);
        }
        Self {
            network,
            drains,
            pipes,
            served,
            below: stacks_below(network, &drains.tree, &drains.lines),
        }
    }

    fn served(&self, node: NodeIx) -> Option<Served> {
        let at = self.served.binary_search_by_key(&node, |(node, _)| *node);
        at.ok().map(|at| self.served[at].1)
    }

    /// What a vent that leaves here takes up; nothing where no drain is.
    pub fn at(&self, node: NodeIx) -> Option<Takeoff> {
        let tree = &self.drains.tree;
        let down = tree.on_from(node);
        if down.is_none() && tree.inlets[node.0 as usize] == 0 {
            return None;
        }
        if let Some(whole) = self.whole_stack(node, down) {
            return Some(whole);
        }
        let drains_to = self.below[node.0 as usize];
        if let Some(system) = self.drains.airing.vented_from(node) {
            // The vent of a combination drain is sized for all of it.
            return Some(Takeoff {
                role: Role::BranchVent,
                units: system.units,
                closet: false,
                drain: self.drains.required(system.outlet),
                stack: None,
                drains_to,
                flow_lps: self.flow(down),
                base_mm: None,
                waste_stack: None,
            });
        }
        let Some(served) = self.served(node) else {
            // No trap takes its air here: it airs the drain itself.
            let pipe = down.map(|down| &self.pipes[down.0 as usize]);
            return Some(Takeoff {
                role: if self.drains.airing.relieves(node) {
                    Role::ReliefVent
                } else {
                    Role::BranchVent
                },
                units: pipe.map_or(0.0, |pipe| pipe.load.drain),
                closet: pipe.is_some_and(|pipe| pipe.load.closets > 0),
                drain: down.and_then(|down| self.drains.required(down)),
                stack: None,
                drains_to,
                flow_lps: self.flow(down),
                base_mm: None,
                waste_stack: None,
            });
        };
        let circuit = down.and_then(|down| self.drains.airing.airs(down)) == Some(Airs::Circuit);
        let role = if circuit {
            Role::CircuitVent
        } else if served.traps > 1 {
            Role::BranchVent
        } else {
            Role::IndividualVent
        };
        Some(Takeoff {
            role,
            units: served.units,
            closet: served.closet,
            drain: served.drain,
            stack: None,
            drains_to,
            flow_lps: self.flow(down),
            base_mm: None,
            waste_stack: None,
        })
    }

    fn flow(&self, down: Option<PipeIx>) -> f64 {
        let flow = down.and_then(|down| self.pipes[down.0 as usize].load.flow_lps);
        flow.unwrap_or(0.0)
    }

    /// The vent of a whole stack: at its top, at its base, or between.
    fn whole_stack(&self, node: NodeIx, down: Option<PipeIx>) -> Option<Takeoff> {
        let lines = &self.drains.lines;
        let here = down.filter(|&down| lines.in_stack(down));
        let (line, role, base_mm) = if let Some(down) = here {
            let number = lines.of[down.0 as usize];
            let line = &lines.all[number as usize];
            let along = lines.along[down.0 as usize];
            let above = self
                .flowing_in(node)
                .any(|pipe| lines.of[pipe.0 as usize] == number);
            let lowest = line.entries.last().map_or(0.0, |entry| entry.along);
            let role = if !above {
                Role::StackVent
            } else if along <= lowest && self.served(node).is_none() {
                Role::VentStack
            } else if self.served(node).is_none() {
                Role::ReliefVent
            } else {
                return None;
            };
            (number, role, along)
        } else {
            (self.base_near(node)?, Role::VentStack, 0.0)
        };
        let whole = &lines.all[line as usize];
        let lowest = self.flowing_in_line(whole.bottom, line);
        let size = lowest.and_then(|pipe| self.pipes[pipe.0 as usize].size);
        let vents_itself =
            lowest.is_some_and(|pipe| self.drains.airing.airs(pipe) == Some(Airs::WasteStack));
        Some(Takeoff {
            role,
            units: whole.units,
            closet: false,
            drain: size,
            waste_stack: size.filter(|_| vents_itself && role == Role::StackVent),
            stack: Some((line, whole.units)),
            drains_to: line,
            flow_lps: 0.0,
            base_mm: Some(base_mm),
        })
    }

    fn flowing_in(&self, node: NodeIx) -> impl Iterator<Item = PipeIx> + '_ {
        let pipes = self.network.node(node).pipes.iter().copied();
        pipes.filter(move |&pipe| {
            let told = self.network.pipe(pipe);
            told.to == node && self.drains.tree.on_from(told.from) == Some(pipe)
        })
    }

    fn flowing_in_line(&self, node: NodeIx, line: u32) -> Option<PipeIx> {
        self.flowing_in(node)
            .find(|pipe| self.drains.lines.of[pipe.0 as usize] == line)
    }

    /// The stack whose base is here, or so near upstream that a vent here is its vent stack.
    fn base_near(&self, node: NodeIx) -> Option<u32> {
        let lines = &self.drains.lines;
        let base = |node: NodeIx| {
            self.flowing_in(node)
                .find(|&pipe| lines.in_stack(pipe))
                .map(|pipe| lines.of[pipe.0 as usize])
        };
        if let Some(line) = base(node) {
            return Some(line);
        }
        let mut found = None;
        for pipe in self.flowing_in(node) {
            let told = self.network.pipe(pipe);
            let (from, to) = self.network.true_ends(told);
            let across = self.pipes[pipe.0 as usize].size.map(|size| rank(size).mm());
            let near = definitions().vent_stack_at_base.value;
            if across.is_some_and(|across| from.distance(to) <= near * across) {
                found = found.or_else(|| base(told.from));
            }
        }
        found.filter(|line| *line != NO_LINE)
    }
}
