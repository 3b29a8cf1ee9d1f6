//! The pipes of a storey in plan, broken where they cross, and the marks of its risers.

use std::collections::BTreeMap;

use glam::DVec3;
use kurbo::Point;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{LevelIx, Lie, NodeIx, NodeKind, Pipe};

use super::paper;
use crate::lines::{PipeLine, beyond, shown};
use crate::picture::{Picture, PipeMark, ShiftNote, Symbol, SymbolKind};
use crate::symbol::riser;
use crate::view::Part;
use crate::{arrow, crossing, overlap, style};

/// How far under a floor its ceiling space is taken to reach where no joists or slab are said, mm: 12 in,
/// a common depth of floor. Own choice.
const FLOOR_DEPTH: f64 = 304.8;

/// The heights a storey's plan covers.
///
/// Every pipe is on the plan of one storey. A storey has what lies between the underside of its own
/// floor (joists or slab) and the underside of the next floor. Drains are wanted where their fixtures are, not where they
/// hang: a drain belongs to the storey over it if it hangs in the upper half of the storey below. The
/// lowest storey has everything below it, the highest everything above.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Zone {
    /// Lowest height of drains.
    pub drains_from: f64,
    /// Lowest height of other pipe.
    pub others_from: f64,
    /// Below this height drains are on this plan, above on the next.
    pub drains_to: f64,
    /// The same for other pipe.
    pub others_to: f64,
}

impl Zone {
    /// The zone of a level; nothing where there is no such level.
    pub fn of(network: &Network, level: LevelIx) -> Option<Self> {
        let this = network.levels.get(level.0 as usize)?;
        let bounds = |upper: &wyeline_network::model::Level, lower: f64| {
            let underside = upper.underside.unwrap_or(upper.floor - FLOOR_DEPTH);
            (f64::midpoint(upper.floor, lower).min(underside), underside)
        };
        // Levels may be told in any order.
        let below = network
            .levels
            .iter()
            .map(|l| l.floor)
            .filter(|f| *f < this.floor - 1.0)
            .reduce(f64::max);
        let above = network
            .levels
            .iter()
            .filter(|l| l.floor > this.floor + 1.0)
            .reduce(|a, b| if b.floor < a.floor { b } else { a });
        let from = below.map_or((f64::NEG_INFINITY, f64::NEG_INFINITY), |b| bounds(this, b));
        let to = above.map_or((f64::INFINITY, f64::INFINITY), |a| bounds(a, this.floor));
        Some(Self {
            drains_from: from.0,
            others_from: from.1,
            drains_to: to.0,
            others_to: to.1,
        })
    }

    /// The heights for a system: from, and up to but not with.
    pub fn span(self, system: System) -> (f64, f64) {
        if system.drains() {
            (self.drains_from, self.drains_to)
        } else {
            (self.others_from, self.others_to)
        }
    }

    /// Whether a height belongs to the storey.
    pub fn has(self, system: System, z: f64) -> bool {
        let (from, to) = self.span(system);
        from <= z && z < to
    }

    /// Whether a body between these heights is of interest: where any pipe of the plan may run.
    pub fn sees(self, z: (f64, f64)) -> bool {
        z.1 > self.drains_from && z.0 < self.others_to
    }
}

/// Whether a pipe that is not plumb is on the plan: by the height of its middle.
fn on_plan(network: &Network, zone: Zone, pipe: &Pipe) -> bool {
    let (a, b) = network.drawn(pipe);
    pipe.lie != Lie::Vertical && zone.has(pipe.system, f64::midpoint(a.z, b.z))
}

/// Where a box cuts a pipe in plan, as fractions of its length, with the faces that cut.
fn clipped(part: &Part, a: DVec3, b: DVec3) -> Option<[(f64, Option<u8>); 2]> {
    let Some((min, max)) = part.clip else {
        return Some([(0.0, None), (1.0, None)]);
    };
    let (mut enter, mut leave) = ((0.0, None), (1.0, None));
    for axis in 0..2 {
        let (p, d) = (a[axis], b[axis] - a[axis]);
        if d.abs() < 1e-9 {
            if p < min[axis] || p >= max[axis] {
                return None;
            }
            continue;
        }
        let (low, high) = ((min[axis] - p) / d, (max[axis] - p) / d);
        let (face_low, face_high) = (Some(2 * axis as u8), Some(2 * axis as u8 + 1));
        let ends = if d > 0.0 {
            [(low, face_low), (high, face_high)]
        } else {
            [(high, face_high), (low, face_low)]
        };
        if ends[0].0 > enter.0 {
            enter = ends[0];
        }
        if ends[1].0 < leave.0 {
            leave = ends[1];
        }
    }
    (leave.0 - enter.0 > 1e-9).then_some([enter, leave])
}

/// The storey's pipes as lines; the higher one is in front.
fn lines(network: &Network, zone: Zone, factor: f64, part: &Part) -> Vec<PipeLine> {
    let mut made = Vec::new();
    for ix in shown(network, part) {
        let pipe = network.pipe(ix);
        if !on_plan(network, zone, pipe) {
            continue;
        }
        let (a, b) = network.drawn(pipe);
        let Some(ends) = clipped(part, a, b) else {
            continue;
        };
        let space = ends.map(|(t, _)| a.lerp(b, t));
        let paper = space.map(|p| paper((p.x, p.y), factor));
        if !paper.iter().all(|p| p.is_finite()) || paper[0].distance(paper[1]) < 1e-6 {
            continue;
        }
        made.push(PipeLine {
            pipe: ix,
            space,
            paper,
            depth: space.map(|p| -p.z),
            truly: None,
            nodes: [
                ends[0].1.is_none().then_some(pipe.from),
                ends[1].1.is_none().then_some(pipe.to),
            ],
            cut: ends.map(|(_, face)| face),
            half: style::pen(pipe.system, pipe.existing).width / 2.0,
        });
    }
    made
}

/// Draws the storey's pipes.
pub(super) fn add(network: &Network, zone: Zone, factor: f64, part: &Part, picture: &mut Picture) {
    let lines = lines(network, zone, factor, part);
    let stretches = overlap::stretches(&lines);
    let apart = overlap::pull_apart(network, &lines, &stretches);
    let crossings = crossing::crossings(&lines, &apart.paper);
    let gaps = crossing::breaks(network, &lines, &apart.paper, &crossings);
    for (i, line) in lines.iter().enumerate() {
        let mut pieces = crossing::pieces(apart.paper[i], &gaps[i]);
        let pipe = network.pipe(line.pipe);
        let up = pipe.from;
        let after_vertical = network.node(up).pipes.iter().any(|p| {
            let other = network.pipe(*p);
            other.to == up && other.lie == Lie::Vertical
        });
        let arrows = arrow::arrows(pipe.system, &pieces, after_vertical);
        if let Some(jog) = apart.jogs[i][0] {
            pieces.insert(0, (jog, apart.paper[i][0]));
        }
        if let Some(jog) = apart.jogs[i][1] {
            pieces.push((apart.paper[i][1], jog));
        }
        picture.pipes.push(PipeMark {
            pipe: line.pipe,
            system: pipe.system,
            pen: style::pen(pipe.system, pipe.existing),
            pieces,
            shift: apart.shift[i],
            arrows,
        });
    }
    picture.moved = apart.moved;
    picture.beyond = beyond(network, &lines);
    picture.shifts.extend(
        apart
            .notes
            .iter()
            .map(|&(pipe, from, by)| ShiftNote { pipe, from, by }),
    );
}

/// What stands in one place as one stack: a drain and the vent it goes on as have one mark.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Stack {
    Sanitary,
    Other(System),
}

impl Stack {
    fn of(system: System) -> Self {
        match system {
            System::Waste | System::Vent => Self::Sanitary,
            other => Self::Other(other),
        }
    }
}

/// One place in plan where pipe stands.
struct Riser {
    /// Lowest and highest point of the plumb pipe there.
    z: (f64, f64),
    /// The lowest height at which pipe of this plan leaves it.
    leaves: Option<f64>,
    node: NodeIx,
    at: Point,
    colour: crate::ink::Colour,
    /// All of it goes from a fixture's outlet to its trap or drain, which the fixture's outline shows.
    outlet: bool,
}

/// Marks the risers that pass through the storey.
pub(super) fn add_risers(
    network: &Network,
    zone: Zone,
    factor: f64,
    part: &Part,
    picture: &mut Picture,
) {
    let mut risers: BTreeMap<(Stack, i64, i64), Riser> = BTreeMap::new();
    for ix in shown(network, part) {
        let pipe = network.pipe(ix);
        let (a, b) = network.drawn(pipe);
        let (low, high) = (a.z.min(b.z), a.z.max(b.z));
        let (from, to) = zone.span(pipe.system);
        if pipe.lie != Lie::Vertical
            || high < from
            || low >= to
            || clipped(part, a, a + DVec3::Y).is_none()
        {
            continue;
        }
        let nodes = [pipe.from, pipe.to];
        let outlet = nodes
            .iter()
            .any(|n| matches!(network.node(*n).kind, NodeKind::Outlet | NodeKind::Trap));
        let node = nodes
            .into_iter()
            .find(|n| zone.has(pipe.system, network.node(*n).z_drawn))
            .unwrap_or(pipe.from);
        let riser = risers
            .entry((
                Stack::of(pipe.system),
                a.x.round() as i64,
                a.y.round() as i64,
            ))
            .or_insert(Riser {
                z: (low, high),
                leaves: None,
                node,
                at: paper((a.x, a.y), factor),
                colour: style::pen(pipe.system, pipe.existing).colour,
                outlet,
            });
        riser.z = (riser.z.0.min(low), riser.z.1.max(high));
        riser.outlet &= outlet;
        for n in nodes {
            let z = network.node(n).z_drawn;
            let level = network
                .node(n)
                .pipes
                .iter()
                .any(|p| on_plan(network, zone, network.pipe(*p)));
            if level {
                riser.leaves = Some(riser.leaves.map_or(z, |l| l.min(z)));
                riser.node = n;
            }
        }
    }
    for riser in risers.values().filter(|r| !r.outlet) {
        // It goes up if there is more of it above the lowest pipe that leaves it here, or if it only
        // passes; where it joins two pipes of this plan it is told from the lower one.
        let up = riser.leaves.is_none_or(|lowest| riser.z.1 > lowest + 1.0);
        picture.symbols.push(mark(riser, up));
    }
}

fn mark(r: &Riser, up: bool) -> Symbol {
    let kind = if up {
        SymbolKind::RiserUp
    } else {
        SymbolKind::RiserDown
    };
    riser(r.at, up, r.colour, kind, r.node)
}
