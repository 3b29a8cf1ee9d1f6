//! What results rest on that nobody has verified: unverified pipe, fixtures and the height of a measured pressure.
//!
//! In: a network with its flow. Out: for each such thing the pipes and fixtures whose load, size or pressure follows from it, and
//! the drains whose fall does. Nothing is judged; a job in which all is verified costs one look at each pipe.

use wyeline_job::Job;
use wyeline_job::model::{GasMethod, System};
use wyeline_network::Network;
use wyeline_network::model::{FixtureIx, NodeIx, PipeIx};

use crate::model::Sized;

/// Something that nobody has verified, and what follows from it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Unverified {
    /// What it is: `place and heights of old-main`.
    pub what: String,
    /// Pipes whose results rest on it, itself among them; rising.
    pub pipes: Vec<PipeIx>,
    /// Fixtures whose pressures rest on it; rising.
    pub fixtures: Vec<FixtureIx>,
    /// Drains whose fall rests on its heights; rising.
    pub falls: Vec<PipeIx>,
}

impl Sized {
    /// What the results of a pipe rest on and nobody has verified.
    pub fn pipe_rests_on(&self, pipe: PipeIx) -> impl Iterator<Item = &str> {
        let on = move |one: &&Unverified| one.pipes.binary_search(&pipe).is_ok();
        self.unverified.iter().filter(on).map(|one| &*one.what)
    }
    /// The same for the pressures of a fixture.
    pub fn fixture_rests_on(&self, fixture: FixtureIx) -> impl Iterator<Item = &str> {
        let on = move |one: &&Unverified| one.fixtures.binary_search(&fixture).is_ok();
        self.unverified.iter().filter(on).map(|one| &*one.what)
    }
    /// The same for the fall of a drain.
    pub fn fall_rests_on(&self, pipe: PipeIx) -> impl Iterator<Item = &str> {
        let on = move |one: &&Unverified| one.falls.binary_search(&pipe).is_ok();
        self.unverified.iter().filter(on).map(|one| &*one.what)
    }
}

/// Everything in a network that nobody has verified, in the order of the job: runs, fixtures, the supply.
pub(crate) fn unverified(job: &Job, network: &Network) -> Vec<Unverified> {
    let mut found = Vec::new();
    let mut flow: Option<Flow> = None;
    for (run, told) in network.runs.iter().enumerate() {
        let doubtful: Vec<PipeIx> = (told.pipes.iter().copied())
            .filter(|&pipe| network.pipe(pipe).unverified)
            .collect();
        if doubtful.is_empty() {
            continue;
        }
        let flow = flow.get_or_insert_with(|| Flow::of(network));
        let what = format!("place and heights of {}", network.runs[run].name);
        found.push(flow.rests_on_pipes(job, network, what, &doubtful));
    }
    for (ix, fixture) in network.fixtures.iter().enumerate() {
        if fixture.unverified {
            let flow = flow.get_or_insert_with(|| Flow::of(network));
            let what = format!("place and heights of {}", fixture.tag);
            found.push(flow.rests_on_fixture(network, what, FixtureIx(ix as u32)));
        }
    }
    let heights = job.design.supplies.iter();
    if heights
        .filter_map(|supply| supply.at.as_ref())
        .any(|at| at.unverified)
    {
        let all = |(ix, pipe): (usize, &wyeline_network::model::Pipe)| {
            matches!(pipe.system, System::Cold | System::Hot).then_some(PipeIx(ix as u32))
        };
        let pipes: Vec<PipeIx> = network.pipes.iter().enumerate().filter_map(all).collect();
        found.push(Unverified {
            what: "the height at which the pressure was measured".to_owned(),
            fixtures: fixtures_at(network, &pipes),
            pipes,
            falls: Vec::new(),
        });
    }
    found
}

/// Fixtures at the end of water pipes among these, which are in order.
fn fixtures_at(network: &Network, pipes: &[PipeIx]) -> Vec<FixtureIx> {
    let ends = pipes.iter().map(|&pipe| network.pipe(pipe));
    let water = ends.filter(|pipe| matches!(pipe.system, System::Cold | System::Hot));
    let mut found: Vec<FixtureIx> = water
        .filter_map(|pipe| network.node(pipe.to).fixture)
        .collect();
    found.sort_unstable();
    found.dedup();
    found
}

/// Pipes by the node they leave and the node they come to.
struct Flow {
    out: Vec<Vec<PipeIx>>,
    into: Vec<Vec<PipeIx>>,
}

impl Flow {
    fn of(network: &Network) -> Self {
        let mut flow = Self {
            out: vec![Vec::new(); network.nodes.len()],
            into: vec![Vec::new(); network.nodes.len()],
        };
        for (ix, pipe) in network.pipes.iter().enumerate() {
            flow.out[pipe.from.0 as usize].push(PipeIx(ix as u32));
            flow.into[pipe.to.0 as usize].push(PipeIx(ix as u32));
        }
        flow
    }

    /// Pipes reached from some, these among them, with or against the flow; water goes on through heaters.
    fn reached(&self, network: &Network, first: &[PipeIx], with: bool) -> Vec<PipeIx> {
        let mut seen = vec![false; network.pipes.len()];
        let mut waiting: Vec<PipeIx> = first.to_vec();
        let mut found = Vec::new();
        while let Some(ix) = waiting.pop() {
            if std::mem::replace(&mut seen[ix.0 as usize], true) {
                continue;
            }
            found.push(ix);
            let pipe = network.pipe(ix);
            let end = if with { pipe.to } else { pipe.from };
            let mut on = |node: NodeIx| {
                let next = if with { &self.out } else { &self.into };
                let alike = next[node.0 as usize].iter().copied();
                waiting
                    .extend(alike.filter(|&next| goes_on(pipe.system, network.pipe(next).system)));
            };
            on(end);
            let heats = matches!(pipe.system, System::Cold | System::Hot);
            if let Some(fixture) = network.node(end).fixture.filter(|_| heats) {
                let ports = network.fixtures[fixture.0 as usize].ports.iter();
                ports.filter_map(|port| port.node).for_each(on);
            }
        }
        found.sort_unstable();
        found
    }

    fn rests_on_pipes(
        &self,
        job: &Job,
        network: &Network,
        what: String,
        doubtful: &[PipeIx],
    ) -> Unverified {
        let system = network.pipe(doubtful[0]).system;
        let longest = job.design.methods.gas != Some(GasMethod::BranchLength);
        let mut pipes = self.reached(network, doubtful, true);
        let mut falls = Vec::new();
        match system {
            // The longest run sizes every pipe, and a doubtful one may be of it.
            System::Gas if longest => {
                let all = network.pipes.iter().enumerate();
                let gas = all.filter(|(_, pipe)| pipe.system == System::Gas);
                pipes = gas.map(|(ix, _)| PipeIx(ix as u32)).collect();
            }
            // By branches, the length of a branch counts for what feeds it.
            System::Gas => {
                pipes.extend(self.reached(network, doubtful, false));
                pipes.sort_unstable();
                pipes.dedup();
            }
            // What drains into it falls to its heights, and it falls itself.
            System::Waste | System::Storm => falls = self.reached(network, doubtful, false),
            System::Vent => pipes = doubtful.to_vec(),
            System::Cold | System::Hot | System::HotReturn => {}
        }
        Unverified {
            what,
            fixtures: fixtures_at(network, &pipes),
            pipes,
            falls,
        }
    }

    fn rests_on_fixture(&self, network: &Network, what: String, fixture: FixtureIx) -> Unverified {
        let ports = network.fixtures[fixture.0 as usize].ports.iter();
        let nodes: Vec<NodeIx> = ports.filter_map(|port| port.node).collect();
        let at = |list: &[Vec<PipeIx>], drains: bool| -> Vec<PipeIx> {
            let all = nodes
                .iter()
                .flat_map(|node| list[node.0 as usize].iter().copied());
            let drain =
                |pipe: &PipeIx| matches!(network.pipe(*pipe).system, System::Waste | System::Storm);
            all.filter(|pipe| drain(pipe) == drains).collect()
        };
        // Its load is in every drain below it, and in every pipe that feeds it.
        let mut pipes = self.reached(network, &at(&self.out, true), true);
        pipes.extend(self.reached(network, &at(&self.into, false), false));
        pipes.sort_unstable();
        pipes.dedup();
        Unverified {
            what,
            pipes,
            fixtures: vec![fixture],
            falls: Vec::new(),
        }
    }
}

/// Whether what flows in a pipe of one system goes on into one of another.
fn goes_on(from: System, to: System) -> bool {
    let water = |system| matches!(system, System::Cold | System::Hot);
    from == to || (water(from) && water(to))
}
