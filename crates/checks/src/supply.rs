//! Water and gas pipes in the direction of flow: what feeds a point, what sits in the pipe before it, what it feeds.
//!
//! Worked out once, in one pass from the sources. Nothing is judged here. What is heated goes on from the heater's
//! hot port with all that its cold water has passed through.

use wyeline_job::model::{DeviceKind, System, Use};
use wyeline_network::model::{FixtureIx, Network, NodeIx, NodeKind, PipeIx};

use crate::context::Context;

/// Kinds of devices, as a set.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Devices(u32);

impl Devices {
    /// Those of one kind.
    pub const fn one(kind: DeviceKind) -> Self {
        Self(1 << kind as u32)
    }
    /// Those of several kinds.
    pub const fn of(kinds: &[DeviceKind]) -> Self {
        let (mut set, mut at) = (0, 0);
        while at < kinds.len() {
            set |= 1 << kinds[at] as u32;
            at += 1;
        }
        Self(set)
    }
    /// Whether any of these is in it.
    pub const fn any(self, of: Self) -> bool {
        self.0 & of.0 != 0
    }
    /// Both together.
    #[must_use]
    pub const fn with(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }
}

/// Valves that shut water off.
pub const SHUT_OFF: Devices = Devices::of(&[
    DeviceKind::GateValve,
    DeviceKind::BallValve,
    DeviceKind::GlobeValve,
    DeviceKind::PressureReducingStation,
]);
/// What brings a pressure down.
pub const REDUCES: Devices = Devices::of(&[
    DeviceKind::PressureReducingValve,
    DeviceKind::PressureReducingStation,
]);
/// What water does not pass backwards.
pub const ONE_WAY: Devices = Devices::of(&[
    DeviceKind::CheckValve,
    DeviceKind::BackflowPreventer,
    DeviceKind::PressureReducingValve,
    DeviceKind::PressureReducingStation,
]);

/// Water and gas pipes in the direction of flow.
#[derive(Clone, Debug, Default)]
pub struct Supply {
    /// Nodes of water and gas, each after those that feed it.
    pub order: Vec<NodeIx>,
    /// For each node the pipe that feeds it.
    pub feed: Vec<Option<PipeIx>>,
    /// For each node what sits there or anywhere before it.
    pub behind: Vec<Devices>,
    /// For each node how many outlets are fed at it or beyond: fixtures, equipment, what goes on beyond the drawing.
    pub outlets: Vec<u32>,
    /// For each hot node the length from the heater, or from the last point that is circulated, mm.
    pub from_hot: Vec<Option<f64>>,
    /// For each node whether that length begins at a point that is circulated.
    pub from_loop: Vec<bool>,
}

const fn feeds(system: System) -> bool {
    matches!(system, System::Cold | System::Hot | System::Gas)
}

impl Supply {
    /// The cost grows with the pipes of the network.
    pub fn new(network: &Network) -> Self {
        let count = network.nodes.len();
        let mut all = Self {
            order: Vec::new(),
            feed: vec![None; count],
            behind: vec![Devices::default(); count],
            outlets: vec![0; count],
            from_hot: vec![None; count],
            from_loop: vec![false; count],
        };
        let mut fed = vec![false; count];
        let mut is_on = vec![false; count];
        for (ix, pipe) in network.pipes.iter().enumerate() {
            if feeds(pipe.system) {
                is_on[pipe.from.0 as usize] = true;
                fed[pipe.to.0 as usize] = true;
                all.feed[pipe.to.0 as usize].get_or_insert(PipeIx(ix as u32));
            }
        }
        let mut reached = vec![false; count];
        let roots = |fed: &[bool]| -> Vec<NodeIx> {
            let nodes = (0..count).filter(|&ix| is_on[ix] && !fed[ix]);
            nodes.map(|ix| NodeIx(ix as u32)).collect()
        };
        // What starts at equipment waits for what goes into that.
        let (mut later, first): (Vec<_>, Vec<_>) = roots(&fed)
            .into_iter()
            .partition(|&root| network.node(root).fixture.is_some());
        for root in first {
            all.flow_from(network, root, &mut reached);
        }
        while !later.is_empty() {
            let (ready, waiting): (Vec<_>, Vec<_>) = later
                .iter()
                .partition(|&&root| all.inlets(network, root).all(|at| reached[at.0 as usize]));
            // Heaters that feed each other in a ring: begin with any.
            let now = if ready.is_empty() {
                later.clone()
            } else {
                ready
            };
            for root in now {
                let before = all
                    .inlets(network, root)
                    .map(|at| all.behind[at.0 as usize])
                    .fold(Devices::default(), Devices::with);
                all.behind[root.0 as usize] = before;
                all.flow_from(network, root, &mut reached);
            }
            if waiting.len() == later.len() {
                break;
            }
            later = waiting;
        }
        // A ring without a source.
        for ix in 0..count {
            if is_on[ix] && !reached[ix] {
                all.flow_from(network, NodeIx(ix as u32), &mut reached);
            }
        }
        all.count_outlets(network);
        all.measure_hot(network);
        all
    }

    /// Nodes by which water goes into the equipment from which a pipe starts here.
    fn inlets<'n>(
        &self,
        network: &'n Network,
        root: NodeIx,
    ) -> impl Iterator<Item = NodeIx> + use<'n> {
        let fixture = network.node(root).fixture;
        let fed: Vec<NodeIx> = fixture
            .into_iter()
            .flat_map(|ix| &network.fixtures[ix.0 as usize].ports)
            .filter(|port| port.name != "gas")
            .filter_map(|port| port.node)
            .filter(|&node| node != root && self.feed[node.0 as usize].is_some())
            .collect();
        fed.into_iter()
    }

    fn flow_from(&mut self, network: &Network, root: NodeIx, reached: &mut [bool]) {
        if reached[root.0 as usize] {
            return;
        }
        reached[root.0 as usize] = true;
        let start = self.order.len();
        self.order.push(root);
        let mut next = start;
        while let Some(&node) = self.order.get(next) {
            next += 1;
            let here = network.node(node);
            let set = &mut self.behind[node.0 as usize];
            if let Some(device) = &here.device {
                *set = set.with(Devices::one(device.kind));
            }
            let set = *set;
            for &pipe in &here.pipes {
                let pipe = network.pipe(pipe);
                let to = pipe.to.0 as usize;
                if pipe.from == node && feeds(pipe.system) && !reached[to] {
                    reached[to] = true;
                    self.behind[to] = set;
                    self.order.push(pipe.to);
                }
            }
        }
    }

    fn count_outlets(&mut self, network: &Network) {
        for at in (0..self.order.len()).rev() {
            let node = self.order[at];
            let told = network.node(node);
            let is_fed = self.feed[node.0 as usize].is_some();
            if is_fed
                && matches!(
                    told.kind,
                    NodeKind::Stub | NodeKind::Port | NodeKind::Continues { .. }
                )
            {
                self.outlets[node.0 as usize] += 1;
            }
            if let Some(pipe) = self.feed[node.0 as usize] {
                let count = self.outlets[node.0 as usize];
                self.outlets[network.pipe(pipe).from.0 as usize] += count;
            }
        }
    }

    fn measure_hot(&mut self, network: &Network) {
        let mut circulated = vec![false; network.nodes.len()];
        for pipe in &network.pipes {
            if pipe.system != System::HotReturn {
                continue;
            }
            let mut node = pipe.from;
            while !std::mem::replace(&mut circulated[node.0 as usize], true) {
                let Some(feed) = self.feed[node.0 as usize] else {
                    break;
                };
                if network.pipe(feed).system != System::Hot {
                    break;
                }
                node = network.pipe(feed).from;
            }
        }
        for &node in &self.order {
            let at = node.0 as usize;
            let before = self.feed[at].map(|pipe| network.pipe(pipe));
            self.from_hot[at] = match before {
                Some(pipe) if pipe.system == System::Hot => {
                    let (a, b) = network.true_ends(pipe);
                    let before = self.from_hot[pipe.from.0 as usize];
                    before.map(|mm| mm + a.distance(b))
                }
                // Hot water starts at equipment, or behind a mixing valve.
                _ => {
                    let starts = network.node(node).pipes.iter();
                    let hot = starts
                        .map(|&pipe| network.pipe(pipe))
                        .any(|pipe| pipe.system == System::Hot && pipe.from == node);
                    (hot && network.node(node).kind != NodeKind::Start).then_some(0.0)
                }
            };
            if circulated[at] && self.from_hot[at].is_some() {
                self.from_hot[at] = Some(0.0);
            }
            let before = before.is_some_and(|pipe| self.from_loop[pipe.from.0 as usize]);
            self.from_loop[at] = circulated[at] || before;
        }
    }
}

impl Context<'_> {
    /// The pipes that feed a node, from it back to the source.
    pub fn upstream(&self, node: NodeIx) -> impl Iterator<Item = PipeIx> {
        let feed = &self.supply().feed;
        let mut next = feed[node.0 as usize];
        // A mistaken network may hold a ring.
        let mut left = self.network.pipes.len();
        std::iter::from_fn(move || {
            let here = next?;
            left = left.checked_sub(1)?;
            next = feed[self.pipe(here).from.0 as usize];
            Some(here)
        })
    }

    /// The pipe that feeds a node, and those before it as far as nothing else is fed by them; with the node where
    /// each begins.
    pub fn own_supply(&self, node: NodeIx) -> impl Iterator<Item = (PipeIx, NodeIx)> {
        let outlets = &self.supply().outlets;
        let mut on = true;
        self.upstream(node)
            .map(|pipe| (pipe, self.pipe(pipe).from))
            .take_while(move |(_, from)| {
                // The last of them begins at the point where the others part.
                std::mem::replace(&mut on, outlets[from.0 as usize] <= 1)
            })
    }

    /// The node at a fixture's port, once a run reaches it.
    pub fn port(&self, fixture: FixtureIx, name: &str) -> Option<NodeIx> {
        let mut ports = self.fixture(fixture).ports.iter();
        ports.find(|port| port.name == name)?.node
    }

    /// Equipment of these kinds whose cold port water reaches, with the node there.
    pub fn fed_cold<'k>(
        &'k self,
        kinds: &'k [&str],
    ) -> impl Iterator<Item = (FixtureIx, NodeIx)> + 'k {
        let all = self.network.fixtures.iter().enumerate();
        all.filter(|(_, fixture)| kinds.contains(&&*fixture.kind))
            .filter_map(|(ix, _)| {
                let ix = FixtureIx(ix as u32);
                let node = self.port(ix, "cold")?;
                self.supply().feed[node.0 as usize]
                    .is_some()
                    .then_some((ix, node))
            })
    }

    /// Who uses a fixture; where nothing is said, a dwelling.
    pub fn usage(&self, fixture: FixtureIx) -> Use {
        let own = self.fixture(fixture).facts.usage;
        let whole = self.job.design.usage.map(|(usage, _)| usage);
        own.or(whole).unwrap_or(Use::Private)
    }

    /// Whether a device of a set sits at a node.
    pub fn device_at(&self, node: NodeIx, of: Devices) -> bool {
        let device = self.node(node).device.as_ref();
        device.is_some_and(|device| Devices::one(device.kind).any(of))
    }
}
