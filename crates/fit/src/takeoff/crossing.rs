//! Where pipe goes through floors, walls and roof, what is bored or sleeved there, and whether a firestop may be needed.
//!
//! Geometry of the levels, walls, slabs and roof that the job tells; holes and sleeves from `data/penetrations.toml`.

use glam::{DVec2, DVec3};
use wyeline_checks::practice::practice;
use wyeline_job::Job;
use wyeline_job::model::BodyKind;
use wyeline_network::Network;
use wyeline_network::model::{Body, LevelIx, Lie, NodeIx, Pipe, PipeIx, Wall};
use wyeline_units::Size;

use super::data::PENETRATIONS;
use super::storeys::Storeys;
use super::walls::{Walls, length, own, told_before};
use crate::material;
use crate::model::Stuff;

/// A place where a pipe goes through a floor, a wall or the roof.
#[derive(Clone, Debug, PartialEq)]
pub struct Crossing {
    /// The pipe.
    pub pipe: PipeIx,
    /// What it goes through.
    pub through: Through,
    /// Its centre line at the finished floor, at the finished room face of the wall, at the roof's surface, mm.
    pub at: DVec3,
    /// What that is made of.
    pub made: Made,
    /// Diameter of the hole, mm: bored in wood, or the outside of the sleeve; nothing where size or outside are not held.
    pub hole_mm: Option<f64>,
    /// The sleeve, where there is one.
    pub sleeve: Option<Size>,
    /// It wants a firestop where that floor or wall is fire-rated, which the job does not say.
    pub firestop: bool,
    /// Why it is not certain, in words.
    pub doubt: Option<&'static str>,
    /// Where the size of the hole stands.
    pub source: String,
}

/// What a pipe goes through.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Through {
    /// The floor of a level.
    Floor(LevelIx),
    /// A wall, by its place in the building's list.
    Wall(u32),
    /// The roof.
    Roof,
}

/// What a floor or wall is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Made {
    /// Joists, studs or rafters with boards.
    Framed,
    /// Concrete or masonry.
    Concrete,
    /// The job does not say: a sleeve is counted as for concrete.
    NotTold,
}

pub(super) const OUTSIDE: &str = "it lies outside the walls that are told";
const MADE_OF: &str = "what it is made of is not told: taken as concrete";

/// Shorter than this is nothing, mm.
const NOTHING: f64 = 0.01;
/// Pipes that go on in line are parallel within 3 degrees.
const IN_LINE: f64 = 0.998_63;

/// Every place where new pipe goes through a floor, a wall or the roof, in the order of the pipes.
///
/// * `stuff`: for each pipe of the network what it is made of
///
/// Once for each pipe and surface. A floor is crossed where plumb or tilted pipe comes from below it and reaches it at
/// least; a wall where pipe goes in at one face and out at the other, by itself or with the pipe in line with it. Pipe
/// that ends in a wall, or leaves it by one face only, crosses none.
pub fn crossings(job: &Job, network: &Network, stuff: &[Stuff]) -> Vec<Crossing> {
    let seeker = Seeker {
        job,
        network,
        stuff,
        storeys: Storeys::of(network),
        walls: Walls::of(&network.building.walls),
    };
    let mut found = Vec::new();
    for (pipe, ix) in network.pipes.iter().zip(0..) {
        if !pipe.existing {
            seeker.floors(PipeIx(ix), pipe, &mut found);
            seeker.walls(PipeIx(ix), pipe, &mut found);
            seeker.roof(PipeIx(ix), pipe, &mut found);
        }
    }
    found
}

struct Seeker<'a> {
    job: &'a Job,
    network: &'a Network,
    stuff: &'a [Stuff],
    storeys: Storeys,
    walls: Walls<'a>,
}

impl Seeker<'_> {
    fn floors(&self, ix: PipeIx, pipe: &Pipe, found: &mut Vec<Crossing>) {
        // A drain with its fall that lies in a slab does not go through it.
        if matches!(pipe.lie, Lie::Axis | Lie::LevelSkew) {
            return;
        }
        let (a, b) = self.network.true_ends(pipe);
        let (low, high) = if a.z < b.z { (a, b) } else { (b, a) };
        for &(floor, level) in self.storeys.crossed(low.z, high.z) {
            let part = ((floor - low.z) / (high.z - low.z)).min(1.0);
            let at = low.lerp(high, part).with_z(floor);
            if self.other_floor(level, floor, at.truncate()) {
                continue;
            }
            let round = self.walls.round(level, at.truncate());
            let round = round.or_else(|| self.walls.outline(at.truncate()));
            let lowest = self.storeys.floors[0].0;
            let made = self.floor_made(level, at);
            let mut crossing = self.crossing(ix, Through::Floor(level), at, made);
            crossing.firestop = floor - lowest > PENETRATIONS.apart();
            if round == Some(false) {
                crossing.doubt = Some(OUTSIDE);
            }
            found.push(crossing);
        }
    }

    /// Another floor lies at this place, a little higher or lower: its walls stand round it, and this one's do not.
    fn other_floor(&self, level: LevelIx, floor: f64, at: DVec2) -> bool {
        if self.walls.round(level, at) == Some(true) {
            return false;
        }
        let near = |other: &&(f64, LevelIx)| {
            other.1 != level && (other.0 - floor).abs() < PENETRATIONS.apart()
        };
        let mut others = self.storeys.floors.iter().filter(near);
        others.any(|other| self.walls.round(other.1, at) == Some(true))
    }

    fn floor_made(&self, level: LevelIx, at: DVec3) -> Made {
        let told = &self.job.levels[level.0 as usize];
        let slab = |body: &Body| {
            let reaches = body.z.0 < at.z && body.z.1 > at.z - PENETRATIONS.apart() / 4.0;
            body.kind == BodyKind::Slab && reaches && in_plan(body, at.truncate())
        };
        if told.slab.is_some() || self.network.building.bodies.iter().any(slab) {
            Made::Concrete
        } else if told.joists.is_some() {
            Made::Framed
        } else {
            Made::NotTold
        }
    }

    fn walls(&self, ix: PipeIx, pipe: &Pipe, found: &mut Vec<Crossing>) {
        if pipe.lie == Lie::Vertical {
            return;
        }
        let (a, b) = self.network.true_ends(pipe);
        let mut before: Vec<(f64, f64)> = Vec::new();
        for number in self.walls.around(a, b) {
            let wall = self.walls.get(number);
            let ((_, deep_a), (_, deep_b)) = (own(wall, a.truncate()), own(wall, b.truncate()));
            // It crosses where it passes the middle of the wall: so a node there does not make it two.
            let middle = wall.thick / 2.0 + lean(wall);
            if (deep_a < middle) == (deep_b < middle) {
                continue;
            }
            let at = |deep: f64| a + (b - a) * ((deep - deep_a) / (deep_b - deep_a));
            let core = at(wall.thick / 2.0);
            let (along, _) = own(wall, core.truncate());
            let here =
                (0.0..=length(wall)).contains(&along) && (wall.z.0..=wall.z.1).contains(&core.z);
            let (near, far) = if deep_a < deep_b {
                (pipe.from, pipe.to)
            } else {
                (pipe.to, pipe.from)
            };
            let out = |deep: f64| deep <= NOTHING;
            let beyond = |deep: f64| deep >= wall.thick - NOTHING;
            if !here || !self.leaves(wall, ix, near, out) || !self.leaves(wall, ix, far, beyond) {
                continue;
            }
            let stretch = (a.distance(at(0.0)), a.distance(at(wall.thick)));
            if told_before(&before, stretch) {
                continue;
            }
            before.push(stretch);
            let made = match practice().studs.in_wall(wall.thick) {
                Some(_) => Made::Framed,
                None => Made::NotTold,
            };
            let mut crossing = self.crossing(ix, Through::Wall(number), at(0.0), made);
            crossing.firestop = true;
            found.push(crossing);
        }
    }

    /// Whether pipe leaves a wall beyond a node, by itself or by what goes on in line with it, water and air passing on.
    fn leaves(&self, wall: &Wall, pipe: PipeIx, node: NodeIx, out: impl Fn(f64) -> bool) -> bool {
        let (mut pipe, mut node) = (pipe, node);
        // A wall holds but a few nodes of one line; the count ends what leads round in a mistaken network.
        for _ in 0..16 {
            if out(own(wall, self.network.node(node).at.truncate()).1) {
                return true;
            }
            let Some(next) = in_line(self.network, pipe, node) else {
                return false;
            };
            let on = self.network.pipe(next);
            node = if on.from == node { on.to } else { on.from };
            pipe = next;
        }
        false
    }

    fn roof(&self, ix: PipeIx, pipe: &Pipe, found: &mut Vec<Crossing>) {
        let (a, b) = self.network.true_ends(pipe);
        let over = |at: DVec3| {
            let roof = self.network.building.roof_at(at.x, at.y);
            roof.map(|roof| at.z - roof)
        };
        let (Some(over_a), Some(over_b)) = (over(a), over(b)) else {
            return;
        };
        if (over_a < -NOTHING) == (over_b < -NOTHING) || over_a.max(over_b) < NOTHING {
            return;
        }
        let at = a.lerp(b, over_a / (over_a - over_b));
        found.push(self.crossing(ix, Through::Roof, at, Made::Framed));
    }

    fn crossing(&self, ix: PipeIx, through: Through, at: DVec3, made: Made) -> Crossing {
        let stuff = &self.stuff[ix.0 as usize];
        let (hole_mm, sleeve, source) = if made == Made::Framed {
            let outside = material::outside(self.network.pipe(ix), stuff);
            let hole = outside.map(|outside| PENETRATIONS.hole(outside));
            let source = hole.map_or("", |(_, source)| source);
            (hole.map(|(mm, _)| mm), None, source)
        } else {
            let data = &PENETRATIONS.sleeve;
            let sleeve = stuff.size.and_then(|size| data.of(size));
            let outside = sleeve.and_then(|sleeve| material::diameters(&data.material, sleeve));
            (
                outside.map(|found| found.outside),
                sleeve,
                data.source.as_str(),
            )
        };
        Crossing {
            pipe: ix,
            through,
            at,
            made,
            hole_mm,
            sleeve,
            firestop: false,
            doubt: (made == Made::NotTold).then_some(MADE_OF),
            source: source.to_owned(),
        }
    }
}

/// The pipe that goes on from another beyond a node: of the same system, in line, the same way as the flow.
pub(crate) fn in_line(network: &Network, pipe: PipeIx, node: NodeIx) -> Option<PipeIx> {
    let one = network.pipe(pipe);
    let way = |pipe: &Pipe| {
        let (a, b) = network.true_ends(pipe);
        (b - a).normalize_or_zero()
    };
    let along = way(one);
    let goes_on = |other: &&PipeIx| {
        let next = network.pipe(**other);
        let flows = if one.to == node {
            next.from == node
        } else {
            next.to == node
        };
        **other != pipe && next.system == one.system && flows && along.dot(way(next)) >= IN_LINE
    };
    network.node(node).pipes.iter().find(goes_on).copied()
}

/// How far beside its middle a wall is looked at, mm: the same place from whichever of its rooms it is told.
fn lean(wall: &Wall) -> f64 {
    let (east, north) = wall.into;
    if east > NOTHING || (east > -NOTHING && north > 0.0) {
        -NOTHING
    } else {
        NOTHING
    }
}

/// Whether a point of the plan lies in a body, whose corners go round counter-clockwise.
fn in_plan(body: &Body, at: DVec2) -> bool {
    (0..4).all(|n| {
        let (a, b) = (
            DVec2::from(body.corners[n]),
            DVec2::from(body.corners[(n + 1) % 4]),
        );
        (b - a).perp_dot(at - a) >= -NOTHING
    })
}
