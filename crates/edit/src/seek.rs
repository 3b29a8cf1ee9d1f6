//! What lies under the pointer: ports, named points and pipes that a system may reach.

use wyeline_job::model::{DeviceKind, System};
use wyeline_network::kinds::{Kind, Trap, kinds};
use wyeline_network::model::{self as net, Pipe};
use wyeline_network::{port_takes, systems_meet, usual_port};

use crate::plan::{Place, Plan, Told, apart, flat, is_equipment};

/// A port near a point.
pub struct PortNear<'a> {
    /// Its fixture.
    pub fixture: &'a net::Fixture,
    /// The fixture's kind.
    pub kind: &'static Kind,
    /// The port.
    pub port: &'a net::Port,
    /// It is the one that the system uses where none is said.
    pub usual: bool,
}

impl PortNear<'_> {
    /// How a step speaks of it that knows the usual one.
    pub fn word(&self) -> String {
        if self.usual {
            self.fixture.tag.clone()
        } else {
            self.full()
        }
    }

    /// `TAG.port`.
    pub fn full(&self) -> String {
        format!("{}.{}", self.fixture.tag, self.port.name)
    }
}

/// Every port that a run of a system may reach.
///
/// A drain and its vent reach a fixture with an arm at its tee, from where the arm is built.
pub fn ports<'a>(plan: &Plan<'a>, system: System) -> impl Iterator<Item = PortNear<'a>> + use<'a> {
    let network = plan.network;
    network.fixtures.iter().flat_map(move |fixture| {
        let kind = kinds().get(&fixture.kind);
        let ports = kind.into_iter().flat_map(move |kind| {
            fixture.ports.iter().map(move |port| PortNear {
                fixture,
                kind,
                port,
                usual: usual_port(kind, system) == port.name,
            })
        });
        ports.filter(move |near| {
            let at_the_tee = near.kind.trap == Trap::Arm && near.port.name == "drain";
            !at_the_tee && port_takes(&near.port.name, system, is_equipment(near.kind))
        })
    })
}

/// The port nearest to a point within reach: in plan, then in height, the usual one before others.
pub fn port<'a>(
    ports: impl Iterator<Item = PortNear<'a>>,
    at: [f64; 2],
    within: f64,
    z: f64,
) -> Option<PortNear<'a>> {
    let off = |near: &PortNear<'_>| apart(flat(near.port.at.into()), at);
    ports.filter(|near| off(near) <= within).min_by(|a, b| {
        let key = |near: &PortNear<'_>| (off(near).round(), (near.port.at.z - z).abs());
        let (one, other) = (key(a), key(b));
        let usual = b.usual.cmp(&a.usual);
        one.0
            .total_cmp(&other.0)
            .then(usual)
            .then(one.1.total_cmp(&other.1))
    })
}

/// The named point nearest to a point within reach, of a system that a run may meet; none of those that are `not` meant.
pub fn point<'a>(
    plan: &Plan<'a>,
    system: System,
    at: [f64; 2],
    within: f64,
    (z, low, high): (f64, f64, f64),
    not: impl Fn(&str) -> bool,
) -> Option<(&'a str, Place)> {
    let nodes = plan.network.nodes.iter().filter(|node| {
        let mixes = node
            .device
            .as_ref()
            .is_some_and(|device| device.kind == DeviceKind::MixingValve);
        (low..=high).contains(&node.at.z) && systems_meet(system, node.system, mixes)
    });
    let named = nodes.filter_map(|node| Some((node.name.as_deref()?, Place::from(node.at))));
    let near = named.filter(|(name, place)| apart(flat(*place), at) <= within && !not(name));
    near.min_by(|(_, a), (_, b)| {
        let key = |place: &Place| (apart(flat(*place), at).round(), (place[2] - z).abs());
        let (a, b) = (key(a), key(b));
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
    })
}

/// The point of a stretch nearest to a point in plan, and how far that is.
pub fn foot(from: Place, to: Place, at: [f64; 2]) -> (Place, f64) {
    let along = [to[0] - from[0], to[1] - from[1], to[2] - from[2]];
    let square = along[0].powi(2) + along[1].powi(2);
    let share = if square < 1e-6 {
        0.0
    } else {
        let dot = (at[0] - from[0]) * along[0] + (at[1] - from[1]) * along[1];
        (dot / square).clamp(0.0, 1.0)
    };
    let foot = [0, 1, 2].map(|k| from[k] + along[k] * share);
    (foot, apart(flat(foot), at))
}

/// Whether a pipe is plumb.
pub fn is_plumb(plan: &Plan<'_>, pipe: &Pipe) -> bool {
    let (from, to) = plan.ends(pipe);
    apart(flat(from), flat(to)) < 1e-3
}

/// The pipe nearest to a point within reach, of a system that a run may meet, with its place there.
///
/// Of the same system before others; the arms of fixtures and the run `except` are left out.
pub fn pipe<'a>(
    plan: &Plan<'a>,
    system: System,
    (at, within): ([f64; 2], f64),
    (z, low, high): (f64, f64, f64),
    except: Option<usize>,
) -> Option<Told<'a>> {
    let pipes = plan.network.pipes.iter().filter(|pipe| {
        !pipe.arm && Some(pipe.run.0 as usize) != except && systems_meet(system, pipe.system, false)
    });
    let near = pipes.filter_map(|pipe| {
        let (from, to) = plan.ends(pipe);
        let (foot, off) = foot(from, to, at);
        let (bottom, top) = (from[2].min(to[2]), from[2].max(to[2]));
        let height = if is_plumb(plan, pipe) {
            z.clamp(bottom, top)
        } else {
            foot[2]
        };
        let there = off <= within && bottom <= high && top >= low;
        there.then_some((pipe, off, (height - z).abs()))
    });
    let told = near.filter_map(|(pipe, off, deep)| Some((plan.told(pipe)?, off, deep)));
    let best = told.min_by(|(a, one, deep), (b, other, deeper)| {
        let foreign = (a.pipe.system != system).cmp(&(b.pipe.system != system));
        let near = one.round().total_cmp(&other.round());
        foreign.then(near).then(deep.total_cmp(deeper))
    });
    best.map(|(told, ..)| told)
}
