//! What lies where in the drains and vents, worked out once in the order of flow.

use std::collections::HashMap;

use wyeline_job::model::System;
use wyeline_network::arms::TrapArm;
use wyeline_network::model::{FixtureIx, LevelIx, Lie, Network, NodeIx, NodeKind, PipeIx};
use wyeline_sizing::{Role, Sized};

use crate::air::{Group, groups};
use crate::kind::Kind;

/// A plumb drain that takes branches, from its top to its base.
#[derive(Clone, Debug)]
pub struct Stack {
    /// Its pipes, from the top down.
    pub pipes: Vec<PipeIx>,
    /// Its highest point.
    pub top: NodeIx,
    /// Its lowest point, where it turns level or ends.
    pub base: NodeIx,
    /// Points where branches come in, from the top down; its top, where a level drain turns down into it, is the first.
    pub inlets: Vec<NodeIx>,
}

/// Fixtures upstream of a point, summed up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Upstream {
    /// How many.
    pub fixtures: u32,
    /// Water closets among them.
    pub closets: u32,
    /// One of them.
    pub one: Option<FixtureIx>,
    /// All stand on one level: that level; otherwise nothing.
    pub level: Option<LevelIx>,
    /// All belong to a bathroom group.
    pub bathroom: bool,
}

impl Upstream {
    const NONE: Self = Self {
        fixtures: 0,
        closets: 0,
        one: None,
        level: None,
        bathroom: true,
    };

    fn add(&mut self, other: &Self) {
        if other.fixtures == 0 {
            return;
        }
        self.level = match self.fixtures {
            0 => other.level,
            _ if self.level == other.level => self.level,
            _ => None,
        };
        self.fixtures += other.fixtures;
        self.closets += other.closets;
        self.one = self.one.or(other.one);
        self.bathroom &= other.bathroom;
    }
}

/// What lies where.
#[derive(Clone, Debug, Default)]
pub struct Index {
    /// For each fixture what it is.
    pub kinds: Vec<Kind>,
    /// For each node the drain that leads on; the first where a mistaken network has two.
    pub down: Vec<Option<PipeIx>>,
    /// For each node the vent that leads on: to the open air, where one of several does.
    pub vent_out: Vec<Option<PipeIx>>,
    /// Drains, each after all that flow into it; rings are left out.
    pub drains: Vec<PipeIx>,
    /// Vents, each after all that come to it from drains; rings are left out.
    pub vents: Vec<PipeIx>,
    /// For each pipe, where it drains, what is upstream of its lower end.
    pub upstream: Vec<Upstream>,
    /// For each fixture its arm, by its place in the list.
    pub arm_of: Vec<Option<u32>>,
    /// For each vent pipe the fixture of the highest flood rim that takes its air by it; nothing for other pipes.
    pub highest_served: Vec<Option<FixtureIx>>,
    /// For each vent pipe a fixture that takes its air by it and is neither sink nor lavatory.
    pub served_no_sink: Vec<Option<FixtureIx>>,
    /// For each vent pipe how many fixtures take their air by it.
    pub served: Vec<u32>,
    /// Stacks, in the order of their highest pipes.
    pub stacks: Vec<Stack>,
    /// For each pipe the stack it is part of.
    pub stack_of: Vec<Option<u32>>,
    /// Traps by the vents that they take their air from.
    pub groups: Vec<Group>,
    /// Levels by the height of their floors, lowest first, mm.
    pub floors: Vec<(f64, LevelIx)>,
}

impl Index {
    /// * `arms`: the trap arms of the network
    pub fn new(network: &Network, sized: &Sized, arms: &[TrapArm]) -> Self {
        let mut names: HashMap<&str, Kind> = HashMap::new();
        let kinds = network.fixtures.iter().map(|fixture| {
            *names
                .entry(&fixture.kind)
                .or_insert_with(|| Kind::named(&fixture.kind))
        });
        let kinds: Vec<Kind> = kinds.collect();
        let (down, drains) = in_order(network, System::Waste);
        let (mut vent_out, vents) = in_order(network, System::Vent);
        prefer_air(network, &vents, &mut vent_out);
        let mut index = Self {
            kinds,
            down,
            vent_out,
            drains,
            vents,
            arm_of: vec![None; network.fixtures.len()],
            ..Self::default()
        };
        for (at, arm) in arms.iter().enumerate() {
            index.arm_of[arm.fixture.0 as usize] = Some(at as u32);
        }
        index.sum_drains(network, arms);
        index.sum_vents(network, arms);
        index.find_stacks(network, sized);
        index.groups = groups(arms, &index.down, &index.upstream, |pipe| {
            network.pipe(pipe).to
        });
        let levels = network.levels.iter().enumerate();
        index.floors = levels
            .map(|(ix, level)| (level.floor, LevelIx(ix as u32)))
            .collect();
        index.floors.sort_by(|a, b| a.0.total_cmp(&b.0));
        index
    }

    fn sum_drains(&mut self, network: &Network, arms: &[TrapArm]) {
        self.upstream = vec![Upstream::NONE; network.pipes.len()];
        for (ix, fixture) in network.fixtures.iter().enumerate() {
            let start = if let Some(arm) = self.arm_of[ix] {
                Some(arms[arm as usize].trap)
            } else {
                let drain = fixture.ports.iter().find(|port| port.name == "drain");
                drain.and_then(|port| port.node)
            };
            let Some(pipe) = start.and_then(|node| self.down[node.0 as usize]) else {
                continue;
            };
            let kind = self.kinds[ix];
            self.upstream[pipe.0 as usize].add(&Upstream {
                fixtures: 1,
                closets: u32::from(kind == Kind::Closet),
                one: Some(FixtureIx(ix as u32)),
                level: Some(fixture.level),
                bathroom: kind.of_bathroom(),
            });
        }
        for &pipe in &self.drains {
            if let Some(next) = self.down[network.pipe(pipe).to.0 as usize] {
                let here = self.upstream[pipe.0 as usize];
                self.upstream[next.0 as usize].add(&here);
            }
        }
    }

    fn sum_vents(&mut self, network: &Network, arms: &[TrapArm]) {
        self.highest_served = vec![None; network.pipes.len()];
        self.served = vec![0; network.pipes.len()];
        self.served_no_sink = vec![None; network.pipes.len()];
        let rim = |fixture: FixtureIx| {
            let fixture = &network.fixtures[fixture.0 as usize];
            fixture.anchor.z + fixture.rim.unwrap_or(0.0)
        };
        let higher = |a: Option<FixtureIx>, b: FixtureIx| match a {
            Some(a) if rim(a) >= rim(b) => a,
            _ => b,
        };
        for arm in arms {
            if let Some(vent) = arm.vent {
                let at = vent.pipe.0 as usize;
                self.served[at] += 1;
                if !self.kinds[arm.fixture.0 as usize].is_sink() {
                    self.served_no_sink[at].get_or_insert(arm.fixture);
                }
                self.highest_served[at] = Some(higher(self.highest_served[at], arm.fixture));
            }
        }
        for &pipe in &self.vents {
            let Some(next) = self.vent_out[network.pipe(pipe).to.0 as usize] else {
                continue;
            };
            let (here, next) = (pipe.0 as usize, next.0 as usize);
            self.served[next] += self.served[here];
            self.served_no_sink[next] = self.served_no_sink[next].or(self.served_no_sink[here]);
            if let Some(fixture) = self.highest_served[here] {
                self.highest_served[next] = Some(higher(self.highest_served[next], fixture));
            }
        }
    }

    fn find_stacks(&mut self, network: &Network, sized: &Sized) {
        self.stack_of = vec![None; network.pipes.len()];
        let is_stack = |pipe: PipeIx| {
            let plumb = network.pipe(pipe).lie == Lie::Vertical;
            plumb
                && sized
                    .pipes
                    .get(pipe.0 as usize)
                    .is_some_and(|result| result.role == Role::Stack)
        };
        for &pipe in &self.drains {
            if self.stack_of[pipe.0 as usize].is_some() || !is_stack(pipe) {
                continue;
            }
            let number = self.stacks.len() as u32;
            let mut stack = Stack {
                pipes: Vec::new(),
                top: network.pipe(pipe).from,
                base: network.pipe(pipe).to,
                inlets: Vec::new(),
            };
            let mut next = Some(pipe);
            while let Some(here) = next {
                if !is_stack(here) || self.stack_of[here.0 as usize].is_some() {
                    break;
                }
                let above = stack.pipes.last().copied();
                let from = network.pipe(here).from;
                let mut into = network.node(from).pipes.iter();
                if into.any(|&other| {
                    let told = network.pipe(other);
                    told.system == System::Waste && told.to == from && Some(other) != above
                }) {
                    stack.inlets.push(from);
                }
                self.stack_of[here.0 as usize] = Some(number);
                stack.pipes.push(here);
                stack.base = network.pipe(here).to;
                next = self.down[stack.base.0 as usize];
            }
            self.stacks.push(stack);
        }
    }
}

/// For each node the pipe of a system that leads on, and all such pipes, each after those that lead to it.
fn in_order(network: &Network, system: System) -> (Vec<Option<PipeIx>>, Vec<PipeIx>) {
    let mut on = vec![None; network.nodes.len()];
    let mut waiting = vec![0_u32; network.nodes.len()];
    let mut count = 0;
    for (ix, pipe) in network.pipes.iter().enumerate() {
        if pipe.system == system {
            on[pipe.from.0 as usize].get_or_insert(PipeIx(ix as u32));
            waiting[pipe.to.0 as usize] += 1;
            count += 1;
        }
    }
    let mut order = Vec::with_capacity(count);
    let mut ready: Vec<NodeIx> = network
        .pipes
        .iter()
        .enumerate()
        .rev()
        .filter(|(ix, pipe)| {
            let from = pipe.from.0 as usize;
            pipe.system == system && waiting[from] == 0 && on[from] == Some(PipeIx(*ix as u32))
        })
        .map(|(_, pipe)| pipe.from)
        .collect();
    while let Some(node) = ready.pop() {
        for &pipe in &network.node(node).pipes {
            let told = network.pipe(pipe);
            if told.system != system || told.from != node {
                continue;
            }
            order.push(pipe);
            let left = &mut waiting[told.to.0 as usize];
            *left -= 1;
            if *left == 0 {
                ready.push(told.to);
            }
        }
    }
    (on, order)
}

/// Where several vents leave a node, the one that leads on is the one that reaches the open air: the others drip into
/// drains, as the foot of an island vent does.
fn prefer_air(network: &Network, vents: &[PipeIx], vent_out: &mut [Option<PipeIx>]) {
    let mut reaches: Vec<bool> = network
        .nodes
        .iter()
        .map(|node| matches!(node.kind, NodeKind::RoofEnd | NodeKind::Continues { .. }))
        .collect();
    for &pipe in vents.iter().rev() {
        let told = network.pipe(pipe);
        let (from, to) = (told.from.0 as usize, told.to.0 as usize);
        let known = vent_out[from]
            .is_some_and(|known| known != pipe && reaches[network.pipe(known).to.0 as usize]);
        if reaches[to] && !known {
            vent_out[from] = Some(pipe);
            reaches[from] = true;
        }
    }
}

/// Whether a node ends what leads to it: nothing flows on and nothing comes in.
pub fn is_end(kind: &NodeKind) -> bool {
    matches!(kind, NodeKind::Cap | NodeKind::Loose)
}
