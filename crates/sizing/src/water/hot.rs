//! Hot water: what stands before each tap, the heat that a circulation loses and the flow that makes up for it,
//! and the expansion tank of a heater that is closed off from the street.

use wyeline_hydraulics::unit::LITRE;
use wyeline_hydraulics::{expansion, hot, material::material};
use wyeline_job::model::{DeviceKind, System};
use wyeline_network::Network;
use wyeline_network::bores::bores;
use wyeline_network::model::{NodeIx, Pipe, PipeIx};

use super::load::Loads;
use super::make::Makes;
use super::pick::Picked;
use super::pressure::{Physics, Pressures};
use super::tree::{Heater, NONE, Tree};
use crate::conditions::{Conditions, table};
use crate::model::{ExpansionTank, Gap, GapAt, Governs, HeaterResult, Role, Sized, WaterResult};
use crate::ranks::stated;

/// Which pipes of the tree water circulates in, by place.
pub(super) fn circulating(network: &Network, tree: &Tree) -> Vec<bool> {
    let mut found = vec![false; tree.pipes.len()];
    for pipe in network
        .pipes
        .iter()
        .filter(|pipe| pipe.system == System::HotReturn)
    {
        let mut place = tree.feeds[pipe.from.0 as usize];
        while place != NONE && !found[place as usize] {
            let here = place as usize;
            if network.pipe(tree.pipes[here]).system != System::Hot {
                break;
            }
            found[here] = true;
            place = if tree.heater[here].is_some() {
                NONE
            } else {
                tree.parent[here]
            };
        }
    }
    found
}

/// What stands in hot pipe between its source of hot water and a tap.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Standing {
    /// Length, m.
    length: f64,
    /// Volume, m3.
    volume: f64,
    /// Some bore on the way is not known.
    unknown: bool,
    /// It branches off a circulation.
    loop_fed: bool,
}

/// For each hot tap: length, volume and wait.
pub(super) fn waits(
    tree: &Tree,
    loads: &Loads,
    makes: &Makes,
    picked: &Picked,
    circulating: &[bool],
    sized: &mut Sized,
) {
    let mut standing = vec![Standing::default(); tree.pipes.len()];
    for place in 0..tree.pipes.len() {
        let make = &makes.of[place];
        if !make.hot {
            continue;
        }
        if circulating[place] {
            standing[place].loop_fed = true;
            continue;
        }
        let parent = tree.parent[place];
        let follows = parent != NONE && tree.heater[place].is_none();
        let mut here = if follows {
            standing[parent as usize]
        } else {
            Standing::default()
        };
        let size = picked.size(place, make);
        let bore = size.and_then(|size| makes.bore(make, size as usize));
        here.length += make.length;
        here.volume += hot::volume(make.length, bore.unwrap_or(0.0));
        here.unknown |= bore.is_none();
        standing[place] = here;
    }
    for tap in loads.taps.iter().filter(|tap| tap.hot) {
        let here = standing[tap.place as usize];
        let result = &mut sized.fixtures[tap.fixture.0 as usize];
        result.hot_length_mm = Some(here.length * 1e3);
        result.hot_from_loop = here.loop_fed;
        if here.unknown {
            continue;
        }
        result.hot_volume_l = Some(here.volume / LITRE);
        let outlet = loads.outlets[tap.fixture.0 as usize];
        let flow = outlet.flow.or(outlet.continuous).unwrap_or(0.0) * LITRE;
        result.hot_wait = hot::wait(here.volume, flow).map(|wait| (wait, here.volume / LITRE));
    }
}

/// Heat that a pipe loses, W.
fn heat(
    network: &Network,
    pipe: &Pipe,
    size: Option<wyeline_units::Size>,
    conditions: &Conditions,
    makes_name: &str,
) -> f64 {
    let table = table();
    let of = |size| bores().of(bores().material(makes_name)?, size);
    let outside = pipe.outside_mm.or_else(|| Some(of(size?)?.outside));
    let thickness = pipe.insulation.map_or(0.0, |insulation| {
        insulation
            .thick
            .map_or(table.defaults.insulation_mm.is, wyeline_units::Len::mm)
    });
    let per_metre = hot::loss_per_metre(
        outside.unwrap_or(0.0) / 1e3,
        thickness / 1e3,
        hot::INSULATION,
        hot::SURFACE,
    );
    per_metre * network.length_mm(pipe) / 1e3 * (conditions.hot_c - conditions.room_c).max(0.0)
}

/// What the circulations need.
pub(super) struct Hot<'a> {
    pub network: &'a Network,
    pub tree: &'a Tree,
    pub makes: &'a Makes,
    pub picked: &'a Picked,
    pub circulating: &'a [bool],
    pub conditions: &'a Conditions,
    pub physics: &'a Physics<'a>,
    pub pressures: &'a Pressures,
}

impl Hot<'_> {
    /// Each heater's circulation and expansion tank, and the return pipes.
    pub fn heaters(&self, sized: &mut Sized) -> Vec<HeaterResult> {
        let (tree, count) = (self.tree, self.tree.pipes.len());
        let mut losses = vec![0.0; count];
        for place in (0..count).filter(|&place| self.circulating[place]) {
            let make = &self.makes.of[place];
            let size = self
                .picked
                .size(place, make)
                .map(|size| self.makes.sizes[size as usize]);
            let name = &self.makes.materials[make.material as usize].name;
            losses[place] = heat(
                self.network,
                self.network.pipe(tree.pipes[place]),
                size,
                self.conditions,
                name,
            );
        }
        let mut behind = losses.clone();
        for place in (0..count).rev() {
            let parent = tree.parent[place];
            if parent != NONE && tree.heater[place].is_none() {
                behind[parent as usize] += behind[place];
            }
        }
        let flows = self.share(&losses, &behind);
        let heads = self.returns(&flows, sized);
        let heaters = tree.heaters.iter();
        let tank = self.network.nodes.iter().any(|node| {
            node.device
                .as_ref()
                .is_some_and(|device| device.kind == DeviceKind::ExpansionTank)
        });
        heaters
            .map(|heater| self.heater(heater, &behind, &flows, &heads, tank))
            .collect()
    }

    /// The circulating flow of each pipe, l/s: divided at each branch as the heat lost behind it.
    fn share(&self, losses: &[f64], behind: &[f64]) -> Vec<f64> {
        let tree = self.tree;
        let count = tree.pipes.len();
        let drop = table().defaults.return_drop_kelvin.is;
        // What leaves at a node by a return has the weight of the pipe that leads there.
        let returns = |place: usize| {
            let to = self.network.pipe(tree.pipes[place]).to;
            self.starts_return(to)
        };
        let mut weights = vec![0.0; count];
        for place in (0..count).filter(|&place| self.circulating[place]) {
            let parent = tree.parent[place];
            if parent != NONE {
                weights[parent as usize] += behind[place];
            }
        }
        let mut flows = vec![0.0; count];
        for place in (0..count).filter(|&place| self.circulating[place]) {
            let parent = tree.parent[place];
            let first = parent == NONE
                || tree.heater[place].is_some()
                || !self.circulating[parent as usize];
            flows[place] = if first {
                hot::recirculation(behind[place], drop, self.conditions.hot_c) / LITRE
            } else {
                let parent = parent as usize;
                let own = if returns(parent) { losses[parent] } else { 0.0 };
                let all = weights[parent] + own;
                if all > 0.0 {
                    flows[parent] * behind[place] / all
                } else {
                    0.0
                }
            };
        }
        flows
    }

    fn starts_return(&self, node: NodeIx) -> bool {
        let leaves = |&pipe: &PipeIx| {
            let pipe = self.network.pipe(pipe);
            pipe.system == System::HotReturn && pipe.from == node
        };
        self.network.node(node).pipes.iter().any(leaves)
    }

    /// Flow, size and loss of the return pipes; the loss of the longest circuit up to each node, Pa.
    fn returns(&self, flows: &[f64], sized: &mut Sized) -> Vec<f64> {
        let (network, tree) = (self.network, self.tree);
        let mut heads = vec![0.0_f64; network.nodes.len()];
        let mut reaching = vec![0.0; network.nodes.len()];
        let is = |pipe: &Pipe| pipe.system == System::HotReturn;
        if !network.pipes.iter().any(is) {
            return heads;
        }
        // Losses of the supply side at the circulating flow.
        let mut along = vec![0.0; tree.pipes.len()];
        for place in (0..tree.pipes.len()).filter(|&place| self.circulating[place]) {
            let make = &self.makes.of[place];
            let parent = tree.parent[place];
            let before = if parent != NONE && tree.heater[place].is_none() {
                along[parent as usize]
            } else {
                0.0
            };
            let size = self.picked.size(place, make);
            let own = size.map_or(0.0, |size| {
                self.physics
                    .friction(self.makes, make, size as usize, flows[place])
            });
            along[place] = before + own;
            let to = network.pipe(tree.pipes[place]).to;
            if self.starts_return(to) {
                let on: f64 = network
                    .node(to)
                    .pipes
                    .iter()
                    .map(|&pipe| tree.place[pipe.0 as usize])
                    .filter(|&next| next != NONE && tree.parent[next as usize] == place as u32)
                    .map(|next| flows[next as usize])
                    .sum();
                reaching[to.0 as usize] = (flows[place] - on).max(0.0);
                heads[to.0 as usize] = along[place];
            }
        }
        let mut waiting = vec![0_u32; network.nodes.len()];
        for pipe in network.pipes.iter().filter(|pipe| is(pipe)) {
            waiting[pipe.to.0 as usize] += 1;
        }
        let mut ready: Vec<NodeIx> = (0..network.nodes.len() as u32)
            .map(NodeIx)
            .filter(|&node| waiting[node.0 as usize] == 0 && self.starts_return(node))
            .collect();
        while let Some(node) = ready.pop() {
            let leaves = network.node(node).pipes.iter().copied();
            let leaves: Vec<PipeIx> = leaves
                .filter(|&pipe| is(network.pipe(pipe)) && network.pipe(pipe).from == node)
                .collect();
            let part = reaching[node.0 as usize] / leaves.len().max(1) as f64;
            for ix in leaves {
                let pipe = network.pipe(ix);
                let lost = self.return_pipe(ix, pipe, part, sized);
                let to = pipe.to.0 as usize;
                reaching[to] += part;
                heads[to] = heads[to].max(heads[node.0 as usize] + lost);
                waiting[to] -= 1;
                if waiting[to] == 0 {
                    ready.push(pipe.to);
                }
            }
        }
        for (ix, pipe) in network.pipes.iter().enumerate() {
            let result = &mut sized.pipes[ix];
            if is(pipe) && result.role != Role::HotReturn {
                result.role = Role::HotReturn;
                result.size = stated(pipe);
                result.stated = result.size.is_some();
                sized.gaps.push(Gap {
                    at: GapAt::Pipe(PipeIx(ix as u32)),
                    why: "this return leads in a circle: its flow is not known".into(),
                    help: "let it end at the heater (`end WH1.return`)".into(),
                    span: pipe.span,
                });
            }
        }
        heads
    }

    /// Sizes a return pipe for its flow (l/s) and gives what is lost in it, Pa.
    fn return_pipe(&self, ix: PipeIx, pipe: &Pipe, flow: f64, sized: &mut Sized) -> f64 {
        let defaults = &table().defaults;
        let name = pipe.material.as_deref().unwrap_or(&defaults.material.is);
        let bore_of = |size| Some(bores().of(bores().material(name)?, size)?.bore / 1e3);
        let speed = |bore: f64| wyeline_hydraulics::friction::velocity(flow * LITRE, bore);
        let least = self.makes.place(wyeline_units::Size::Inch { eighths: 4 });
        let fits = |size: &&wyeline_units::Size| {
            bore_of(**size).is_some_and(|bore| speed(bore) <= defaults.return_velocity.is)
        };
        let needed = self.makes.sizes[least..].iter().find(fits).copied();
        let stated = stated(pipe);
        let size = stated.or(needed);
        let bore = stated
            .and(pipe.bore_mm)
            .map(|bore| bore / 1e3)
            .or_else(|| bore_of(size?))
            .unwrap_or(0.0);
        let wall = wyeline_hydraulics::loss::Bore {
            diameter: bore,
            roughness: material(name).map_or(1.5e-6, |wall| wall.roughness_mm / 1e3),
        };
        let water = wyeline_hydraulics::Water::at(self.conditions.hot_c);
        let length = self.network.length_mm(pipe) / 1e3;
        let lost = wyeline_hydraulics::loss::darcy_weisbach(flow * LITRE, length, wall, water);
        let result = &mut sized.pipes[ix.0 as usize];
        result.role = Role::HotReturn;
        result.needed = needed;
        result.size = size;
        result.stated = stated.is_some();
        result.load.flow_lps = Some(flow);
        result.governs = if needed == Some(self.makes.sizes[least]) {
            Governs::Least {
                cite: super::pick::practice("hot returns, 1/2 in at the least"),
                why: "it is a hot return",
            }
        } else if needed.is_some() {
            Governs::Velocity {
                limit: defaults.return_velocity.is,
                cite: super::pick::practice("hot returns, 2 to 3 ft/s in copper"),
            }
        } else {
            Governs::Nothing
        };
        result.water = Some(WaterResult {
            flow_lps: flow,
            velocity: speed(bore),
            loss_pa: lost,
            pressure_pa: None,
            standing_pa: None,
        });
        lost
    }

    fn heater(
        &self,
        heater: &Heater,
        behind: &[f64],
        flows: &[f64],
        heads: &[f64],
        tank_there: bool,
    ) -> HeaterResult {
        let tree = self.tree;
        let node = self.network.node(heater.hot);
        let leaving = node.pipes.iter().map(|&pipe| tree.place[pipe.0 as usize]);
        let first: Vec<usize> = leaving
            .filter(|&place| place != NONE && self.circulating[place as usize])
            .filter(|&place| self.network.pipe(tree.pipes[place as usize]).from == heater.hot)
            .map(|place| place as usize)
            .collect();
        let fixture = &self.network.fixtures[heater.fixture.0 as usize];
        let back = fixture
            .ports
            .iter()
            .find(|port| port.name == "return")
            .and_then(|port| port.node);
        let mut result = HeaterResult {
            fixture: heater.fixture,
            circulation_heat_w: first
                .iter()
                .map(|&place| behind[place])
                .fold(0.0, |a, b| a + b),
            circulation_lps: first
                .iter()
                .map(|&place| flows[place])
                .fold(0.0, |a, b| a + b),
            circulation_head_pa: back.map_or(0.0, |back| heads[back.0 as usize]),
            closed_by: None,
            tank_there,
            tank: None,
        };
        let mut place = heater.cold.map_or(NONE, |cold| tree.feeds[cold.0 as usize]);
        let charge = (place != NONE).then(|| {
            let (running, standing) = (
                self.pressures.running[place as usize],
                self.pressures.standing[place as usize],
            );
            if standing.is_nan() { running } else { standing }
        });
        while place != NONE {
            let from = self.network.pipe(tree.pipes[place as usize]).from;
            let closes = |kind| {
                matches!(
                    kind,
                    DeviceKind::BackflowPreventer
                        | DeviceKind::CheckValve
                        | DeviceKind::PressureReducingValve
                        | DeviceKind::PressureReducingStation
                )
            };
            let device = self.network.node(from).device.as_ref();
            if device.is_some_and(|device| closes(device.kind)) {
                result.closed_by = Some(from);
            }
            place = tree.parent[place as usize];
        }
        let defaults = &table().defaults;
        let volume = defaults.heater_litres.is;
        let charge = charge.filter(|charge| charge.is_finite() && *charge >= 0.0);
        result.tank = charge.and_then(|charge| {
            let (cold, hot) = (self.conditions.cold_c, self.conditions.hot_c);
            let found = expansion::tank(
                volume * LITRE,
                cold,
                hot,
                charge,
                defaults.relief_kpa.is * 1e3,
            )
            .ok()?;
            Some(ExpansionTank {
                heater_l: volume,
                charge_pa: charge,
                most_pa: defaults.relief_kpa.is * 1e3,
                acceptance_l: found.acceptance / LITRE,
                volume_l: found.volume / LITRE,
            })
        });
        result
    }
}
