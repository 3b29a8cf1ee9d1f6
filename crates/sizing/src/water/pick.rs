//! The size of each water pipe: least sizes, velocity, then the pressure left for friction or the code's table.
//!
//! The pressure left on the way to each tap is spread evenly over the way (the uniform allowance of the trade): a pipe gets
//! the least allowance of all taps behind it. So no size depends on the order of work, every tap keeps its pressure,
//! and more load never makes a pipe smaller.

use wyeline_codes::{Cite, Cited, How, Pack};
use wyeline_hydraulics::friction::velocity;
use wyeline_hydraulics::unit::LITRE;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{FixtureIx, NodeKind};
use wyeline_units::Size;

use super::demand::Demand;
use super::load::{Loads, variant};
use super::make::{Make, Makes};
use super::tree::{NONE, Tree};
use crate::model::{Gap, GapAt, Governs, Role};

/// Sizes above the one that velocity asks for that are tried for want of pressure. More helps little: what is
/// lost by then is lost in height and devices. Common practice.
const FURTHER: usize = 2;

/// What is found for each pipe, by place.
pub(super) struct Picked {
    /// What it is to the code.
    pub role: Vec<Role>,
    /// Peak flow, l/s.
    pub flow: Vec<Option<f64>>,
    /// Where the rule stands that turned its load into that flow, where one did.
    pub flow_by: Vec<Option<Cite>>,
    /// The least size, by place among the sizes tried.
    pub needed: Vec<Option<u8>>,
    /// What decided it.
    pub governs: Vec<Governs>,
    /// The one fixture that it feeds.
    pub only: Vec<Option<FixtureIx>>,
}

impl Picked {
    /// The size that a pipe has: the stated one, else the least.
    pub fn size(&self, place: usize, make: &Make) -> Option<u8> {
        make.stated.or(self.needed[place])
    }
}

/// Common practice, as a citation.
pub(super) fn practice(place: &str) -> Cite {
    Cite {
        document: "Common practice".into(),
        place: place.into(),
        how: How::CommonPractice,
    }
}

/// What the code's limits are, asked once.
pub(super) struct Limits<'a> {
    pack: &'a Pack,
    /// By material, cold and hot, to several taps and to a single one.
    velocities: Vec<[[Option<Cited<f64>>; 2]; 2]>,
    header: Option<Cited<f64>>,
    service: Option<Cited<Size>>,
    least: Vec<(String, &'static str, Option<Cited<Size>>)>,
    upstream: Cite,
}

impl<'a> Limits<'a> {
    /// The limits for the materials of a job.
    pub fn new(pack: &'a Pack, makes: &Makes) -> Self {
        let of = |name: &str, hot| {
            [false, true].map(|single| pack.velocity_limit(name, hot, single).ok())
        };
        let velocities = makes
            .materials
            .iter()
            .map(|one| [of(&one.name, false), of(&one.name, true)]);
        Self {
            pack,
            velocities: velocities.collect(),
            header: pack.scalar("water.velocity-header").ok(),
            service: pack.size_rule("water.service-least").ok(),
            least: Vec::new(),
            upstream: practice("a pipe is not smaller than one it feeds"),
        }
    }

    /// The limit on velocity in a pipe, m/s.
    pub fn velocity(&self, make: &Make, single: bool) -> Option<&Cited<f64>> {
        let own = &self.velocities[make.material as usize][usize::from(make.hot)];
        own[usize::from(single)].as_ref().or(self.header.as_ref())
    }

    /// The least pipe that feeds a fixture.
    fn supply(&mut self, kind: &str, variant: &'static str) -> Option<Cited<Size>> {
        let known = self
            .least
            .iter()
            .find(|one| one.0 == kind && one.1 == variant);
        if let Some((_, _, least)) = known {
            return least.clone();
        }
        let least = self.pack.least_supply_of(kind, variant).ok();
        self.least.push((kind.to_owned(), variant, least.clone()));
        least
    }
}

/// Roles, flows, and sizes by least size and velocity.
pub(super) fn by_velocity(
    network: &Network,
    pack: &Pack,
    tree: &Tree,
    loads: &Loads,
    makes: &Makes,
    demand: &Demand<'_>,
    gaps: &mut Vec<Gap>,
) -> Picked {
    let count = tree.pipes.len();
    let mut picked = Picked {
        role: roles(network, tree, loads),
        flow: vec![None; count],
        flow_by: vec![None; count],
        needed: vec![None; count],
        governs: vec![Governs::Nothing; count],
        only: vec![None; count],
    };
    for tap in &loads.taps {
        picked.only[tap.place as usize] = Some(tap.fixture);
    }
    let mut limits = Limits::new(pack, makes);
    let known = demand.known().is_ok();
    let mut told = false;
    for place in (0..count).rev() {
        let carries = &loads.carries[place];
        let parent = tree.parent[place];
        if carries.taps != 1 {
            picked.only[place] = None;
        } else if parent != NONE && loads.carries[parent as usize].taps == 1 {
            picked.only[parent as usize] = picked.only[place];
        }
        if carries.taps == 0 && carries.continuous == 0.0 {
            continue;
        }
        if known {
            match demand.flow(carries) {
                Ok(peak) => {
                    picked.flow[place] = Some(peak.lps);
                    picked.flow_by[place] = peak.cite;
                }
                Err(none) if !told => {
                    told = true;
                    gaps.push(Gap {
                        at: GapAt::Pipe(tree.pipes[place]),
                        why: none.to_string(),
                        help: none.help,
                        span: network.pipe(tree.pipes[place]).span,
                    });
                }
                Err(_) => {}
            }
        }
        least(network, pack, &mut limits, makes, place, &mut picked);
        pass_on(tree, &limits.upstream, place, &mut picked);
    }
    picked
}

/// The size of a pipe by itself, unless those it feeds asked for more already.
fn least(
    network: &Network,
    pack: &Pack,
    limits: &mut Limits<'_>,
    makes: &Makes,
    place: usize,
    picked: &mut Picked,
) {
    let make = &makes.of[place];
    let supply = picked.only[place].and_then(|fixture| {
        let fixture = &network.fixtures[fixture.0 as usize];
        limits.supply(&fixture.kind, variant(fixture, pack))
    });
    let service = if picked.role[place] == Role::Service {
        limits.service.clone()
    } else {
        None
    };
    let mut own: Option<(u8, Governs)> = None;
    for (asked, why) in [
        (supply, "it feeds this fixture"),
        (service, "it is the service"),
    ] {
        if let Some(asked) = asked {
            let size = makes.place(asked.value) as u8;
            if own.as_ref().is_none_or(|own| size > own.0) {
                own = Some((
                    size,
                    Governs::Least {
                        cite: asked.cite,
                        why,
                    },
                ));
            }
        }
    }
    let single = picked.only[place].is_some();
    if let (Some(flow), Some(limit)) = (picked.flow[place], limits.velocity(make, single)) {
        let fits = |&size: &usize| {
            let bore = makes.bore(make, size);
            bore.is_some_and(|bore| velocity(flow * LITRE, bore) <= limit.value + 1e-9)
        };
        // Where no size is wide enough the largest has to do.
        let size = (0..makes.sizes.len())
            .find(fits)
            .or_else(|| makes.largest(make));
        if let Some(size) = size
            && own.as_ref().is_none_or(|own| size > own.0 as usize)
        {
            let governs = Governs::Velocity {
                limit: limit.value,
                cite: limit.cite.clone(),
            };
            own = Some((size as u8, governs));
        }
    }
    if let Some((size, governs)) = own
        && Some(size) >= picked.needed[place]
    {
        picked.needed[place] = Some(size);
        picked.governs[place] = governs;
    }
}

/// Makes the pipe that feeds a pipe at least as large.
fn pass_on(tree: &Tree, cite: &Cite, place: usize, picked: &mut Picked) {
    let parent = tree.parent[place];
    if parent == NONE {
        return;
    }
    let parent = parent as usize;
    if picked.needed[place] > picked.needed[parent] {
        picked.needed[parent] = picked.needed[place];
        picked.governs[parent] = Governs::Upstream {
            pipe: tree.pipes[place],
            cite: cite.clone(),
        };
    }
}

/// What each pipe is to the code.
fn roles(network: &Network, tree: &Tree, loads: &Loads) -> Vec<Role> {
    let mut branches = vec![0_u32; tree.pipes.len()];
    for &parent in &tree.parent {
        if parent != NONE {
            branches[parent as usize] += 1;
        }
    }
    let mut roles: Vec<Role> = Vec::with_capacity(tree.pipes.len());
    for (place, &ix) in tree.pipes.iter().enumerate() {
        let pipe = network.pipe(ix);
        let parent = tree.parent[place];
        let starts = parent == NONE && network.node(pipe.from).kind == NodeKind::Start;
        let goes_on = parent != NONE
            && roles[parent as usize] == Role::Service
            && branches[parent as usize] == 1
            && tree.heater[place].is_none();
        roles.push(match loads.carries[place].taps {
            1 => Role::FixtureSupply,
            _ if pipe.system == System::Cold && (starts || goes_on) => Role::Service,
            _ => Role::Distribution,
        });
    }
    roles
}

/// What each tap leaves for friction, per metre of its way.
pub(super) struct Allowance {
    /// Allowance of a pipe, Pa per metre of its weight, and the tap that sets it, by place.
    pub of: Vec<(f64, u32)>,
    /// Metres that the allowance of a pipe counts: its length, and its fittings at a fixed size.
    pub weight: Vec<f64>,
}

/// Makes pipes larger until no more than its allowance is lost in each.
pub(super) fn by_pressure(
    tree: &Tree,
    loads: &Loads,
    makes: &Makes,
    allowance: &Allowance,
    lost: &dyn Fn(usize, usize) -> f64,
    picked: &mut Picked,
) {
    let upstream = practice("a pipe is not smaller than one it feeds");
    for place in (0..tree.pipes.len()).rev() {
        let make = &makes.of[place];
        let (per_metre, tap) = allowance.of[place];
        if let (Some(base), None, true) = (picked.needed[place], make.stated, per_metre.is_finite())
        {
            let allowed = per_metre * allowance.weight[place];
            let most = (base as usize + FURTHER).min(makes.largest(make).unwrap_or(0));
            let fits = |&size: &usize| {
                makes.bore(make, size).is_some() && lost(place, size) <= allowed + 1e-9
            };
            let size = (base as usize..=most).find(fits).unwrap_or(most);
            if size > base as usize {
                picked.needed[place] = Some(size as u8);
                picked.governs[place] = Governs::Pressure {
                    fixture: loads.taps[tap as usize].fixture,
                };
            }
        }
        pass_on(tree, &upstream, place, picked);
    }
}
