//! Pressures: what is lost in each pipe at its peak flow, what is left at each tap, running and standing.
//!
//! By the formulas of the hydraulics crate; the height counts as the code rounds it. Behind a reducing valve there is
//! at most its setting.

use wyeline_codes::Pack;
use wyeline_hydraulics::Water;
use wyeline_hydraulics::tree::{Branch, Law, loss};
use wyeline_hydraulics::unit::{GRAVITY, LITRE};
use wyeline_job::model::Friction;
use wyeline_network::Network;

use super::load::Loads;
use super::make::{Loss, Make, Makes};
use super::pick::{Allowance, Picked};
use super::tree::{NONE, Tree};
use crate::conditions::Conditions;

/// Physics of a job's water.
pub(super) struct Physics<'a> {
    pack: &'a Pack,
    /// Cold and hot.
    water: [Water; 2],
    law: Law,
    /// Pressure of a metre of height, Pa.
    pub per_metre: f64,
    /// Most flow of a meter of each size tried, l/s, and what it loses then, Pa.
    meters: Vec<Option<(f64, f64)>>,
}

impl<'a> Physics<'a> {
    /// The physics by a code and the conditions of a job.
    pub fn new(pack: &'a Pack, conditions: &Conditions, makes: &Makes) -> Self {
        let water = [conditions.cold_c, conditions.hot_c].map(Water::at);
        let per_metre = pack.scalar("water.elevation-pressure-per-metre");
        Self {
            pack,
            water,
            law: match conditions.friction {
                Friction::HazenWilliams => Law::HazenWilliams,
                Friction::DarcyWeisbach => Law::DarcyWeisbach,
            },
            per_metre: per_metre.map_or(water[0].density * GRAVITY, |found| found.value),
            meters: makes
                .sizes
                .iter()
                .map(|&size| pack.meter(size).ok().map(|meter| meter.value))
                .collect(),
        }
    }

    /// The code.
    pub fn pack(&self) -> &'a Pack {
        self.pack
    }

    /// Friction of a flow (l/s) in a pipe at a size, fittings included, Pa.
    pub fn friction(&self, makes: &Makes, make: &Make, size: usize, flow: f64) -> f64 {
        let material = &makes.materials[make.material as usize];
        let Some(bore) = makes.bore(make, size) else {
            return 0.0;
        };
        let branch = Branch {
            bore,
            length: make.length + makes.fittings(make, size),
            roughness: material.roughness,
            c: material.c,
            ..Branch::default()
        };
        loss(
            &branch,
            flow * LITRE,
            self.water[usize::from(make.hot)],
            self.law,
        )
    }

    /// What devices of a pipe lose at a flow (l/s), Pa. A meter is taken as of its pipe's size.
    pub fn devices(&self, make: &Make, size: Option<u8>, flow: f64) -> f64 {
        let of = |device: &Option<Loss>| match device {
            Some(Loss::Fixed(loss)) => *loss,
            Some(Loss::Meter) => {
                let meter = size.and_then(|size| {
                    let own = self.meters[size as usize];
                    own.or_else(|| {
                        self.meters
                            .iter()
                            .rev()
                            .copied()
                            .find(Option::is_some)
                            .flatten()
                    })
                });
                meter.map_or(0.0, |(most, loss)| loss * (flow / most) * (flow / most))
            }
            None => 0.0,
        };
        if flow > 0.0 {
            make.devices.iter().map(of).sum()
        } else {
            0.0
        }
    }
}

/// Height of the near end of a pipe, m.
fn near(network: &Network, tree: &Tree, place: usize) -> f64 {
    network.node(network.pipe(tree.pipes[place]).from).at.z / 1e3
}

/// What each tap leaves for friction on its way, and the least of it for each pipe.
///
/// Stated pipes count with what is lost in them; the rest is shared by those that are not stated.
pub(super) fn allowance(
    network: &Network,
    tree: &Tree,
    loads: &Loads,
    makes: &Makes,
    picked: &Picked,
    physics: &Physics<'_>,
    head: &[f64],
) -> Allowance {
    let count = tree.pipes.len();
    let middle = makes.place(wyeline_units::Size::Inch { eighths: 6 });
    // From the source, and from the last reducing valve on the way: head (Pa at height 0), spent (Pa), metres.
    let mut source = vec![(0.0, 0.0, 0.0); count];
    let mut valve: Vec<Option<(f64, f64, f64)>> = vec![None; count];
    let mut weight = vec![0.0; count];
    for place in 0..count {
        let make = &makes.of[place];
        let parent = tree.parent[place];
        let flow = picked.flow[place].unwrap_or(0.0);
        let mut spent = physics.devices(make, picked.size(place, make), flow);
        match make.stated {
            Some(size) => spent += physics.friction(makes, make, size as usize, flow),
            None => weight[place] = make.length + makes.fittings(make, middle),
        }
        let (before, cap) = if parent == NONE {
            ((head[tree.source[place] as usize], 0.0, 0.0), None)
        } else {
            (source[parent as usize], valve[parent as usize])
        };
        let own = (spent, weight[place]);
        source[place] = with(before, own);
        let here = make.set.map(|set| {
            (
                set + physics.per_metre * near(network, tree, place),
                0.0,
                0.0,
            )
        });
        valve[place] = here.or(cap).map(|way| with(way, own));
    }
    let none = (f64::INFINITY, 0_u32);
    let mut least = vec![none; count];
    let mut behind = vec![none; count];
    for (number, tap) in loads.taps.iter().enumerate() {
        let place = tap.place as usize;
        let needs = loads.outlets[tap.fixture.0 as usize].needs.unwrap_or(0.0);
        let share = |(head, spent, metres): (f64, f64, f64)| {
            let left = head - physics.per_metre * makes.of[place].z - needs - spent;
            if metres > 0.0 {
                left.max(0.0) / metres
            } else {
                f64::INFINITY
            }
        };
        least[place] = lesser(least[place], (share(source[place]), number as u32));
        if let Some(valve) = valve[place] {
            behind[place] = lesser(behind[place], (share(valve), number as u32));
        }
    }
    let mut of = vec![none; count];
    for place in (0..count).rev() {
        of[place] = lesser(least[place], behind[place]);
        let parent = tree.parent[place];
        if parent != NONE {
            let parent = parent as usize;
            least[parent] = lesser(least[parent], least[place]);
            if makes.of[place].set.is_none() {
                behind[parent] = lesser(behind[parent], behind[place]);
            }
        }
    }
    Allowance { of, weight }
}

/// A way (head, spent, metres) with a further pipe (spent, metres).
fn with((head, spent, metres): (f64, f64, f64), own: (f64, f64)) -> (f64, f64, f64) {
    (head, spent + own.0, metres + own.1)
}

fn lesser(a: (f64, u32), b: (f64, u32)) -> (f64, u32) {
    if b.0 < a.0 { b } else { a }
}

/// What is lost and left, by place.
pub(super) struct Pressures {
    /// Lost in the pipe, fittings and devices included, Pa.
    pub loss: Vec<f64>,
    /// Pressure at its far end while water runs at its peak, Pa.
    pub running: Vec<f64>,
    /// The same while no water runs, Pa.
    pub standing: Vec<f64>,
}

/// Losses at peak flow, and pressures.
///
/// * `running`, `standing`: pressure of each source as Pa at height 0; what is not known is not a number
pub(super) fn pressures(
    network: &Network,
    tree: &Tree,
    makes: &Makes,
    picked: &Picked,
    physics: &Physics<'_>,
    running: &[f64],
    standing: &[f64],
) -> Pressures {
    let count = tree.pipes.len();
    let mut found = Pressures {
        loss: vec![0.0; count],
        running: vec![f64::NAN; count],
        standing: vec![f64::NAN; count],
    };
    for place in 0..count {
        let make = &makes.of[place];
        let parent = tree.parent[place];
        let flow = picked.flow[place].unwrap_or(0.0);
        let size = picked.size(place, make);
        let devices = physics.devices(make, size, flow);
        let lost = size.map_or(0.0, |size| {
            physics.friction(makes, make, size as usize, flow)
        }) + devices;
        let z = near(network, tree, place);
        let (mut before, mut still) = if parent == NONE {
            let source = tree.source[place] as usize;
            let height = physics.per_metre * z;
            (running[source] - height, standing[source] - height)
        } else {
            // The two ends of a heater may differ in height.
            let parent = parent as usize;
            let rise = physics.per_metre * (z - makes.of[parent].z);
            (found.running[parent] - rise, found.standing[parent] - rise)
        };
        if let Some(set) = make.set {
            // Not `min`, which takes a number rather than none.
            before = if before > set { set } else { before };
            still = if still > set { set } else { still };
        }
        let rise = physics.per_metre * (make.z - z);
        found.loss[place] = lost;
        found.running[place] = before - lost - rise;
        found.standing[place] = still - rise;
    }
    found
}
