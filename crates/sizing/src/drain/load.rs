//! Loads of fixtures, and their sums downstream.
//!
//! In: fixtures, what the job says of their use, runs that go on beyond the sheet with a load. Out: the load of each
//! drain in the code's units. A drain never carries less than any drain that flows into it.

use std::collections::HashMap;

use wyeline_codes::{Cite, Family, Pack, Use};
use wyeline_job::model::{Facts, Job};
use wyeline_network::Network;
use wyeline_network::model::{FixtureIx, NodeIx, NodeKind};
use wyeline_units::{Flow, Quantity, Size};

use super::group::{GroupLoads, Part, Together};
use super::tree::Tree;
use crate::definitions::definitions;
use crate::model::{Gap, GapAt, Sized};
use crate::ranks::stated;

/// What the code says of a fixture's drain.
#[derive(Clone, Debug, Default)]
pub(crate) struct Known {
    /// Its load: fixture units, or discharge units in l/s.
    pub units: f64,
    /// Its least trap, where the code names one.
    pub trap: Option<Size>,
    /// Where both stand.
    pub cite: Option<Cite>,
    /// The part it plays in a bathroom group, where the code counts them.
    pub part: Option<Part>,
    /// It is a water closet.
    pub closet: bool,
    /// Flow that runs on, l/s.
    pub continuous_lps: f64,
    /// It is a clothes washer, whose drain some codes ask to join a larger one.
    pub washer: bool,
}

/// What flows through a drain.
#[derive(Clone, Debug, Default)]
pub(crate) struct Flowing {
    pub together: Together,
    /// Loads told as flows that run on, in the code's units (none under EN 12056-2).
    pub added: f64,
    /// The most that any drain flowing in carries.
    pub least: f64,
    /// The largest single load.
    pub largest: f64,
    pub closets: u32,
    pub continuous_lps: f64,
}

impl Flowing {
    /// The load, in the code's units.
    pub fn units(&self) -> f64 {
        (self.together.units() + self.added).max(self.least)
    }
    fn join(&mut self, other: Self, groups: &GroupLoads) {
        self.least = self.least.max(other.units());
        self.together.join(other.together, groups);
        self.added += other.added;
        self.largest = self.largest.max(other.largest);
        self.closets += other.closets;
        self.continuous_lps += other.continuous_lps;
    }
}

/// The use of a fixture by the job: its own, or that of the whole job, or private where nothing is said.
pub(crate) fn usage(job: &Job, facts: Option<&Facts>) -> Use {
    let own = facts.and_then(|facts| facts.usage);
    let all = job.design.usage.as_ref().map(|(usage, _)| *usage);
    own.or(all).map_or(Use::Private, |usage| match usage {
        wyeline_job::model::Use::Private => Use::Private,
        wyeline_job::model::Use::Public => Use::Public,
        wyeline_job::model::Use::Assembly => Use::Assembly,
    })
}

/// Loads of fixtures as they drain.
pub(crate) struct Loads {
    /// For each fixture of the network, where a drain leaves it.
    pub fixtures: Vec<Option<Known>>,
    /// Loads of bathroom groups.
    pub groups: GroupLoads,
    /// Load of a water closet.
    closet: f64,
    /// Units for a continuous flow of 1 l/s; nothing where the code gives none.
    pub per_flow: Option<f64>,
}

impl Loads {
    /// Asks the code for the load of every fixture that a drain leaves.
    pub fn of(job: &Job, network: &Network, pack: &Pack, tree: &Tree, sized: &mut Sized) -> Self {
        let mut asked: HashMap<(&str, Use, bool), Result<Known, wyeline_codes::NoValue>> =
            HashMap::new();
        let mut fixtures: Vec<Option<Known>> = vec![None; network.fixtures.len()];
        for &ix in &tree.order {
            let head = network.pipe(ix).from;
            if tree.inlets[head.0 as usize] > 0 {
                continue;
            }
            let Some(at) = network.node(head).fixture else {
                continue;
            };
            if fixtures[at.0 as usize].is_some() {
                continue;
            }
            let fixture = &network.fixtures[at.0 as usize];
            let said = &fixture.facts;
            let usage = usage(job, Some(said));
            let old_flush = said
                .flush
                .is_some_and(|flush| flush.litres > definitions().low_flush.value * 1.001);
            let known = asked
                .entry((fixture.kind.as_str(), usage, old_flush))
                .or_insert_with(|| super::pick::fixture(pack, &fixture.kind, usage, old_flush));
            let known = match known {
                Ok(known) => known.clone(),
                Err(none) => {
                    // What is not listed counts by its trap, where the code has a table for that.
                    let trap = stated(network.pipe(ix));
                    let Some(known) = trap.and_then(|trap| super::pick::by_trap(pack, trap)) else {
                        sized.gaps.push(Gap {
                            at: GapAt::Fixture(at),
                            why: none.to_string(),
                            help: none.help.clone(),
                            span: fixture.span,
                        });
                        continue;
                    };
                    known
                }
            };
            let continuous_lps = said.draws.map_or(0.0, |flow| flow.lps);
            let known = Known {
                continuous_lps,
                ..known
            };
            let result = &mut sized.fixtures[at.0 as usize];
            result.drain = Some(known.units);
            result.trap = known.trap;
            fixtures[at.0 as usize] = Some(known);
        }
        Self {
            fixtures,
            groups: super::pick::groups(pack),
            closet: pack
                .drain_load("water-closet", usage(job, None))
                .map_or(f64::INFINITY, |load| load.value.units),
            per_flow: pack
                .scalar("drain.continuous-units")
                .ok()
                .map(|factor| factor.value),
        }
    }

    /// What is known of a fixture.
    pub fn fixture(&self, ix: FixtureIx) -> Option<&Known> {
        self.fixtures.get(ix.0 as usize)?.as_ref()
    }

    /// What begins to flow at a node where no drain flows in.
    fn head(
        &self,
        network: &Network,
        pack: &Pack,
        node: NodeIx,
        seen: &mut [bool],
        sized: &mut Sized,
    ) -> Flowing {
        let mut flowing = Flowing::default();
        let at = network.node(node);
        if let Some(ix) = at.fixture {
            if std::mem::replace(&mut seen[ix.0 as usize], true) {
                return flowing;
            }
            let Some(known) = self.fixture(ix) else {
                return flowing;
            };
            match known.part {
                Some(part) => {
                    let storey = network.fixtures[ix.0 as usize].level;
                    flowing
                        .together
                        .add_part(known.units, part, storey, &self.groups);
                }
                None => flowing.together.add(known.units),
            }
            flowing.largest = known.units;
            flowing.closets = u32::from(known.closet);
            self.run_on(&mut flowing, known.continuous_lps);
        } else if let NodeKind::Continues { to, load, beyond } = &at.kind {
            let known = beyond.load.as_ref();
            match known.and_then(|(amount, unit)| told(*amount, unit, pack.family())) {
                Some(Told::Units(units)) => {
                    flowing.together.add(units);
                    // What makes it up is not told: a closet may be among it.
                    flowing.largest = units.min(self.closet);
                }
                Some(Told::Flow(lps)) => self.run_on(&mut flowing, lps),
                None => sized.gaps.push(Gap {
                    at: GapAt::Node(node),
                    why: load.as_deref().map_or_else(
                        || format!("what drains from `{to}` says no load"),
                        |load| format!("`{load}` is no load on a drain by {}", pack.name()),
                    ),
                    help: match pack.family() {
                        Family::En => "say it as `load 2.5 l/s` after the words (a sum of discharge units)".to_owned(),
                        _ => "say it as `load 20 dfu`, or a flow that runs on as `load 5 gpm`, after the words".to_owned(),
                    },
                    span: at.span,
                }),
            }
        }
        flowing
    }

    /// Adds a flow that runs on.
    fn run_on(&self, flowing: &mut Flowing, lps: f64) {
        flowing.continuous_lps += lps;
        flowing.added += self.per_flow.unwrap_or(0.0) * lps;
    }

    /// Sums all loads downstream, and hands the flow of each pipe over in the order of flow.
    pub fn sum(
        &self,
        network: &Network,
        pack: &Pack,
        tree: &Tree,
        sized: &mut Sized,
        mut each: impl FnMut(&mut Sized, wyeline_network::model::PipeIx, &Flowing),
    ) {
        let mut seen = vec![false; network.fixtures.len()];
        let mut waiting: Vec<Option<Flowing>> = vec![None; network.nodes.len()];
        for &ix in &tree.order {
            let pipe = network.pipe(ix);
            let from = pipe.from.0 as usize;
            let flowing = match waiting[from].take() {
                Some(flowing) => flowing,
                None => self.head(network, pack, pipe.from, &mut seen, sized),
            };
            each(sized, ix, &flowing);
            match &mut waiting[pipe.to.0 as usize] {
                Some(below) => below.join(flowing, &self.groups),
                below => {
                    let least = flowing.units();
                    *below = Some(Flowing { least, ..flowing });
                }
            }
        }
    }
}

/// A load told by the job.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Told {
    /// In the code's own units.
    Units(f64),
    /// A flow that runs on, l/s.
    Flow(f64),
}

/// The load of what goes on beyond the sheet, from its amount and unit. Under EN 12056-2 a load in l/s is a sum of
/// discharge units; elsewhere a flow runs on.
fn told(amount: f64, unit: &str, family: Family) -> Option<Told> {
    let unit = unit.trim().to_ascii_lowercase();
    match (unit.as_str(), family) {
        ("dfu", Family::DfuIpc | Family::DfuUpc) | ("du" | "l/s", Family::En) => {
            Some(Told::Units(amount))
        }
        ("dfu" | "du", _) => None,
        _ => match Quantity::read(&format!("1 {unit}")) {
            Ok((Quantity::Flow(Flow { lps }), _)) => Some(Told::Flow(lps * amount)),
            _ => None,
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_load_beyond_the_sheet_is_in_the_units_of_the_code() {
        assert_eq!(told(20.0, "dfu", Family::DfuIpc), Some(Told::Units(20.0)));
        assert_eq!(told(20.0, "dfu", Family::En), None);
        assert_eq!(told(4.6, "l/s", Family::En), Some(Told::Units(4.6)));
        assert_eq!(told(20.0, "wsfu", Family::DfuIpc), None);
    }

    /// 231 cubic inches a minute: 3.785411784 / 60 l/s.
    #[test]
    fn a_flow_runs_on() {
        let Some(Told::Flow(lps)) = told(1.0, "gpm", Family::DfuIpc) else {
            panic!("a flow was told");
        };
        assert!((lps - 3.785_411_784 / 60.0).abs() < 1e-12);
    }
}
