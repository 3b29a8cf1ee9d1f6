//! What each pipe of the tree is made of: material and bores, length and height, fittings, devices.
//!
//! In: the network and the tree. Out: for each pipe what friction needs, for any size that may be tried. A fitting
//! belongs to the pipe behind it, a device to the pipe that leads on from it.

use glam::DVec3;
use wyeline_codes::Pack;
use wyeline_hydraulics::fitting::{Fitting, Joint, equivalent_length};
use wyeline_hydraulics::material::material;
use wyeline_job::model::{DeviceKind, Setting, System};
use wyeline_network::Network;
use wyeline_network::bores::bores;
use wyeline_network::model::{Device, Node, NodeIx, NodeKind, Pipe, PipeIx};
use wyeline_units::{Pressure, Size, UnitSystem};

use super::tree::{NONE, Tree};
use crate::conditions::{Conditions, table};
use crate::model::{Gap, GapAt};
use crate::ranks::{rank, stated};

/// Most sizes of the table that are tried.
pub(super) const SIZES: usize = 12;

/// A material that pipes of the job have.
pub(super) struct Material {
    /// Its name.
    pub name: String,
    /// Bores by size of the table, m; 0 where it has none.
    pub bores: [f64; SIZES],
    /// Roughness, m.
    pub roughness: f64,
    /// Coefficient of Hazen and Williams.
    pub c: f64,
    /// How it is joined.
    pub joint: Joint,
}

/// How pressure is lost in a device.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Loss {
    /// So much while water is drawn, Pa.
    Fixed(f64),
    /// As a meter of the pipe's size at its flow.
    Meter,
}

/// A pipe of the tree.
#[derive(Clone, Copy, Debug)]
pub(super) struct Make {
    /// Its material, by place among [`Makes::materials`].
    pub material: u16,
    /// Size stated in the job, by place among the sizes tried (the next larger where it is none of them).
    pub stated: Option<u8>,
    /// Bore of the stated size, m.
    pub bore: f64,
    /// Length, m.
    pub length: f64,
    /// Height of its far end, m.
    pub z: f64,
    /// Fitting at its near end.
    pub fitting: Option<Fitting>,
    /// Valve in it.
    pub valve: Option<Fitting>,
    /// Lost in devices, the heater before it included.
    pub devices: [Option<Loss>; 2],
    /// A reducing valve in it lets so much through, Pa.
    pub set: Option<f64>,
    /// Carries hot water.
    pub hot: bool,
}

/// All pipes of the tree, by place, and what they are made of.
pub(super) struct Makes {
    /// By place.
    pub of: Vec<Make>,
    /// Materials.
    pub materials: Vec<Material>,
    /// Equivalent lengths, m, by joint, size and fitting.
    lengths: Vec<[[f64; 10]; SIZES]>,
    /// Sizes that are tried, as the code names them.
    pub sizes: Vec<Size>,
}

impl Makes {
    /// Equivalent length of the fitting and the valve of a pipe at a size, m.
    pub fn fittings(&self, make: &Make, size: usize) -> f64 {
        let joint = self.materials[make.material as usize].joint;
        let table = &self.lengths[joint as usize][size];
        let of = |fitting: Option<Fitting>| fitting.map_or(0.0, |fitting| table[fitting as usize]);
        of(make.fitting) + of(make.valve)
    }
    /// Bore of a pipe at a size, m; nothing where its material has none.
    pub fn bore(&self, make: &Make, size: usize) -> Option<f64> {
        if make.stated == Some(size as u8) && make.bore > 0.0 {
            return Some(make.bore);
        }
        Some(self.materials[make.material as usize].bores[size]).filter(|bore| *bore > 0.0)
    }
    /// The largest size that its material has.
    pub fn largest(&self, make: &Make) -> Option<usize> {
        (0..self.sizes.len())
            .rev()
            .find(|&size| self.bore(make, size).is_some())
    }
    /// The place of the least size tried that is not under a size.
    pub fn place(&self, size: Size) -> usize {
        place(&self.sizes, size)
    }
}

fn place(sizes: &[Size], size: Size) -> usize {
    let wanted = rank(size);
    let at = sizes.partition_point(|&one| rank(one) < wanted);
    at.min(sizes.len() - 1)
}

/// The pipes of a tree.
pub(super) fn makes(
    network: &Network,
    tree: &Tree,
    pack: &Pack,
    conditions: &mut Conditions,
    gaps: &mut Vec<Gap>,
) -> Makes {
    let table = table();
    let inches = table
        .eighths
        .iter()
        .take(SIZES)
        .map(|&eighths| Size::Inch { eighths });
    let sizes: Vec<Size> = inches
        .map(|size| pack.own_size(size).unwrap_or(size))
        .collect();
    let mut makes = Makes {
        of: Vec::with_capacity(tree.pipes.len()),
        materials: Vec::new(),
        lengths: [Joint::Copper, Joint::Threaded]
            .map(|joint| lengths(pack, joint))
            .into(),
        sizes,
    };
    let mut assumed = Seen::default();
    for place in 0..tree.pipes.len() {
        let pipe = network.pipe(tree.pipes[place]);
        let name = pipe.material.as_deref().unwrap_or_else(|| {
            assumed.material = true;
            &table.defaults.material.is
        });
        let known = makes.materials.iter().position(|one| one.name == name);
        let material = known.unwrap_or_else(|| {
            makes.materials.push(of(name));
            if makes
                .materials
                .last()
                .is_some_and(|one| one.bores == [0.0; SIZES])
            {
                gaps.push(no_bores(name, tree.pipes[place], pipe));
            }
            makes.materials.len() - 1
        });
        let stated = stated(pipe);
        let at = stated.map(|size| self::place(&makes.sizes, size));
        let bore = stated.and_then(|size| {
            let own = pipe
                .bore_mm
                .filter(|_| pipe.material.is_some())
                .map(|bore| bore / 1e3);
            own.or_else(|| bore_of(name, size))
        });
        let (near, far) = (network.node(pipe.from), network.node(pipe.to));
        let before = tree.parent[place];
        let before = (before != NONE).then(|| network.pipe(tree.pipes[before as usize]));
        let mut make = Make {
            material: material as u16,
            stated: at.map(|at| at as u8),
            bore: bore.unwrap_or(0.0),
            length: network.length_mm(pipe) / 1e3,
            z: far.at.z / 1e3,
            fitting: before.and_then(|before| fitting(network, before, pipe)),
            valve: None,
            devices: [None; 2],
            set: None,
            hot: pipe.system == System::Hot,
        };
        if let Some(device) = device_of(network, tree, near, pipe.from, tree.pipes[place], place) {
            install(&mut make, device, (pipe.from, near), &mut assumed, gaps);
            if make.devices[0]
                .as_ref()
                .is_some_and(|loss| matches!(loss, Loss::Meter))
                && !makes.sizes.iter().any(|&size| pack.meter(size).is_ok())
            {
                gaps.push(Gap {
                    at: GapAt::Node(pipe.from),
                    why: "what this meter loses is not stated, and no table of meters is held: the pressure behind it is worked out as if it lost nothing".into(),
                    help: "say what its maker says: `meter loses 30 kPa`".into(),
                    span: near.span,
                });
            }
        }
        if let Some(heater) = tree.heater[place] {
            let told = network.fixtures[heater.0 as usize].facts.loses;
            let loses = told
                .map(|loses| loses.pa)
                .or_else(|| assumed.loss("water-heater"));
            make.devices[1] = loses.map(Loss::Fixed);
        }
        makes.of.push(make);
    }
    assumed.tell(network.units, conditions);
    makes
}

/// What was assumed on the way.
#[derive(Default)]
struct Seen {
    material: bool,
    losses: Vec<&'static str>,
}

impl Seen {
    fn loss(&mut self, device: &'static str) -> Option<f64> {
        let loss = table().loss(device)?;
        if !self.losses.contains(&device) {
            self.losses.push(device);
        }
        Some(loss.is * 1e3)
    }

    fn tell(self, units: UnitSystem, conditions: &mut Conditions) {
        let defaults = &table().defaults;
        if self.material {
            let what = format!(
                "{} where water pipe names no material",
                defaults.material.is
            );
            conditions.assume(&what, &defaults.material.source);
        }
        for device in self.losses {
            if let Some(loss) = table().loss(device) {
                let lost = Pressure {
                    pa: loss.is * 1000.0,
                };
                let what = format!(
                    "{} lost in each {device} that says nothing of it",
                    lost.show(units)
                );
                conditions.assume(&what, &loss.source);
            }
        }
    }
}

/// Bores and roughness of a material.
fn of(name: &str) -> Material {
    let mut found = [0.0; SIZES];
    for (bore, &eighths) in found.iter_mut().zip(&table().eighths) {
        *bore = bore_of(name, Size::Inch { eighths }).unwrap_or(0.0);
    }
    // What has no row is taken as smooth tube, which its pipe is not known to be: it has no bores either.
    let wall = material(name);
    Material {
        name: name.to_owned(),
        bores: found,
        roughness: wall.map_or(1.5e-6, |wall| wall.roughness_mm / 1e3),
        c: wall.map_or(140.0, |wall| wall.c),
        joint: if name.starts_with("copper") {
            Joint::Copper
        } else {
            Joint::Threaded
        },
    }
}

fn bore_of(material: &str, size: Size) -> Option<f64> {
    let diameters = bores().of(bores().material(material)?, size)?;
    Some(diameters.bore / 1e3)
}

fn no_bores(name: &str, ix: PipeIx, pipe: &Pipe) -> Gap {
    Gap {
        at: GapAt::Pipe(ix),
        why: format!(
            "the bores of {name} pipe are not known here: it is neither sized nor does it lose pressure"
        ),
        help: "name a material with a published table of bores, such as copper, pex, cpvc or steel"
            .into(),
        span: pipe.span,
    }
}

/// Equivalent lengths of a joint: the code's own table first, what it does not print from the general one.
fn lengths(pack: &Pack, joint: Joint) -> [[f64; 10]; SIZES] {
    let mut found = [[0.0; 10]; SIZES];
    for (row, &eighths) in found.iter_mut().zip(&table().eighths) {
        for fitting in Fitting::ALL {
            let size = Size::Inch { eighths };
            let own = pack.equivalent_length(fitting.word(), size, joint == Joint::Copper);
            let own = own.ok().map(|length| length.value / 1e3);
            let general = || {
                let sizes = table()
                    .eighths
                    .iter()
                    .copied()
                    .filter(|&one| one >= eighths);
                sizes
                    .into_iter()
                    .find_map(|one| equivalent_length(joint, fitting, one))
            };
            row[fitting as usize] = own.or_else(general).unwrap_or(0.0);
        }
    }
    found
}

/// The fitting between a pipe and the one that feeds it.
fn fitting(network: &Network, before: &Pipe, pipe: &Pipe) -> Option<Fitting> {
    let way = |pipe: &Pipe| -> DVec3 {
        let (from, to) = network.drawn(pipe);
        (to - from).normalize_or_zero()
    };
    let node = network.node(pipe.from);
    let straight = way(before).dot(way(pipe));
    let water = |&&ix: &&PipeIx| {
        let system = network.pipe(ix).system;
        matches!(system, System::Cold | System::Hot | System::HotReturn)
    };
    if node.pipes.iter().filter(water).count() > 2 && node.kind != NodeKind::Port {
        // Within 22-1/2 degrees of straight on is the run of the tee.
        return Some(if straight > 0.92 {
            Fitting::TeeRun
        } else {
            Fitting::TeeBranch
        });
    }
    match straight {
        // Turns of less than 20 degrees are made in the pipe.
        s if s > 0.94 => None,
        // Up to 60 degrees.
        s if s > 0.5 => Some(Fitting::Elbow45),
        _ => Some(Fitting::Elbow90),
    }
}

/// The device at a pipe's near end, where this is the pipe that leads on from it.
fn device_of<'a>(
    network: &'a Network,
    tree: &Tree,
    near: &'a Node,
    node: NodeIx,
    ix: PipeIx,
    place: usize,
) -> Option<&'a Device> {
    let device = near.device.as_ref()?;
    let before = tree.parent[place];
    let run = (before != NONE).then(|| network.pipe(tree.pipes[before as usize]).run);
    let leads = near
        .pipes
        .iter()
        .copied()
        .filter(|&pipe| network.pipe(pipe).from == node);
    // Of several, the one of the run that came here; else the first.
    let ahead = leads.min_by_key(|&pipe| (Some(network.pipe(pipe).run) != run, pipe));
    (ahead == Some(ix)).then_some(device)
}

/// Puts a device into a pipe.
fn install(
    make: &mut Make,
    device: &Device,
    (ix, node): (NodeIx, &Node),
    assumed: &mut Seen,
    gaps: &mut Vec<Gap>,
) {
    let (valve, word) = match device.kind {
        DeviceKind::GateValve => (Some(Fitting::GateValve), None),
        DeviceKind::BallValve => (Some(Fitting::BallValve), None),
        DeviceKind::GlobeValve => (Some(Fitting::GlobeValve), None),
        DeviceKind::CheckValve => (Some(Fitting::CheckValve), None),
        DeviceKind::BalancingValve => (Some(Fitting::BalancingValve), None),
        DeviceKind::BackflowPreventer => (None, Some("backflow-preventer")),
        DeviceKind::PressureReducingValve => (None, Some("pressure-reducing-valve")),
        DeviceKind::PressureReducingStation => (None, Some("pressure-reducing-station")),
        DeviceKind::Softener => (None, Some("softener")),
        DeviceKind::MixingValve => (None, Some("mixing-valve")),
        _ => (None, None),
    };
    make.devices[0] = match (device.loses, device.kind) {
        (Some(loses), _) => Some(Loss::Fixed(loses.pa)),
        (None, DeviceKind::Meter) => Some(Loss::Meter),
        _ => word.and_then(|word| assumed.loss(word)).map(Loss::Fixed),
    };
    if device.loses.is_none() {
        make.valve = valve;
    }
    let reduces = matches!(
        device.kind,
        DeviceKind::PressureReducingValve | DeviceKind::PressureReducingStation
    );
    match device.setting {
        Some(Setting::Pressure(pressure)) if reduces => make.set = Some(pressure.pa),
        _ if reduces => gaps.push(Gap {
            at: GapAt::Node(ix),
            why: "the setting of this reducing valve is not stated: the pressure behind it is worked out as if it reduced nothing".into(),
            help: "say it: `pressure-reducing-valve set 60 psi`".into(),
            span: node.span,
        }),
        _ => {}
    }
}
