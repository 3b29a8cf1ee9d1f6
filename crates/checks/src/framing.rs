//! Where pipes meet joists and run inside walls: geometry for the rules on structure.
//!
//! Joists are those told with the levels, laid out all over the plan of the walls. Lengths are mm.

use glam::{DVec2, DVec3};
use wyeline_job::model::Joists;
use wyeline_network::model::{Lie, PipeIx, Wall};

use crate::context::{Context, nominal_mm};
use crate::place::{bounds, corners, outline};
use crate::practice::practice;

/// The joists of a floor.
#[derive(Clone, Copy, Debug)]
pub struct Floor {
    /// Underside and top.
    pub z: (f64, f64),
    /// They run east-west.
    pub east_west: bool,
    /// Centre to centre, where told.
    pub spacing: Option<f64>,
    /// Where one of them has its centre.
    pub from: Option<f64>,
    /// The box on the plan over which they lie.
    pub plan: (DVec2, DVec2),
    /// The job tells that they are of engineered wood.
    engineered: bool,
}

impl Floor {
    /// Depth of the joists.
    pub fn depth(&self) -> f64 {
        self.z.1 - self.z.0
    }
    /// They are engineered wood: told to be, or of a depth that no sawn joist has.
    pub fn engineered(&self) -> bool {
        self.engineered || !practice().joists.sawn(self.depth())
    }
    /// The coordinate across the joists.
    fn across(&self, at: DVec3) -> f64 {
        if self.east_west { at.y } else { at.x }
    }
}

/// A hole that a pipe needs in a joist.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hole {
    /// Its diameter: the outside of the pipe.
    pub wide: f64,
    /// Wood left above it; below 0 it breaks out.
    pub above: f64,
    /// Wood left below it.
    pub below: f64,
}

/// How a pipe meets joists.
#[derive(Debug)]
pub enum Meets<'a> {
    /// It crosses them.
    Across(&'a Floor, &'a [Hole]),
    /// It lies along the nearest of them: how far from its centre, and how far it has to be.
    Along {
        /// The floor.
        floor: &'a Floor,
        /// Between the centres.
        off: f64,
        /// What clears.
        clear: f64,
    },
    /// It goes up or down beside the nearest of them.
    Plumb {
        /// The floor.
        floor: &'a Floor,
        /// Between the centres.
        off: f64,
        /// What clears.
        clear: f64,
    },
    /// It lies among them, and where they are nobody told.
    NotKnown(&'static str),
}

/// Outside radius of a pipe; its nominal size, which no pipe is thinner than, where the outside is not known.
pub fn radius(context: &Context, ix: PipeIx) -> Option<f64> {
    let outside = context.pipe(ix).outside_mm;
    outside
        .or(context.size(ix).map(nominal_mm))
        .map(|mm| mm / 2.0)
}

/// The floors with joists, by their underside.
fn floors(context: &Context) -> Vec<Floor> {
    let everywhere = outline(context.network);
    let told = context.job.levels.iter().zip(&context.network.levels);
    let mut floors: Vec<Floor> = told
        .enumerate()
        .filter_map(|(ix, (told, level))| {
            let Joists {
                depth,
                east_west,
                spacing,
                from,
                engineered,
            } = level.joists.as_ref()?;
            let top = level.floor - told.finish.map_or(0.0, wyeline_units::Len::mm);
            let own = context
                .network
                .building
                .walls
                .iter()
                .filter(|wall| wall.level.0 as usize == ix);
            let own = own
                .map(|wall| bounds(&corners(wall)))
                .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)));
            Some(Floor {
                z: (top - depth.mm(), top),
                east_west: *east_west,
                spacing: spacing.map(wyeline_units::Len::mm),
                from: from.map(wyeline_units::Len::mm),
                plan: own.or(everywhere)?,
                engineered: *engineered,
            })
        })
        .collect();
    floors.sort_by(|a, b| a.z.0.total_cmp(&b.z.0));
    floors
}

/// Tells of every pipe that meets joists, in the order of the pipes.
pub fn joists_met(context: &Context, mut tell: impl FnMut(PipeIx, Meets)) {
    const WHERE: &str = "it lies among the joists of a floor, and where the joists lie is not told (`joists … at 16\" from 0'`)";
    let floors = floors(context);
    let deepest = floors.iter().map(Floor::depth).fold(0.0, f64::max);
    if floors.is_empty() {
        return;
    }
    let mut holes = Vec::new();
    for (at, pipe) in context.network.pipes.iter().enumerate() {
        let ix = PipeIx(at as u32);
        let Some(radius) = radius(context, ix) else {
            continue;
        };
        let (a, b) = context.network.true_ends(pipe);
        let (low, high) = (a.z.min(b.z) - radius, a.z.max(b.z) + radius);
        let first = floors.partition_point(|floor| floor.z.0 < low - deepest);
        for floor in floors[first..].iter().take_while(|floor| floor.z.0 < high) {
            if floor.z.1 <= low {
                continue;
            }
            // The part of the pipe over which joists lie.
            let Some((a, b)) = within(a, b, floor.plan) else {
                continue;
            };
            let plumb = pipe.lie == Lie::Vertical;
            let along = !plumb && (floor.across(b) - floor.across(a)).abs() < 1.0;
            let (Some(spacing), Some(from)) = (floor.spacing, floor.from) else {
                // Longer than joists are apart, it meets one; shorter it may pass between two.
                let crosses = !plumb
                    && (floor.across(b) - floor.across(a)).abs() > practice().studs.spacing();
                if crosses || plumb {
                    tell(ix, Meets::NotKnown(WHERE));
                }
                continue;
            };
            if plumb || along {
                let off = floor.across(a) - from;
                let off = (off - (off / spacing).round() * spacing).abs();
                let clear = radius + practice().joists.thick() / 2.0;
                // What only dips into the floor's edge is no riser through it.
                if plumb && a.z.min(b.z) < floor.z.1 && a.z.max(b.z) > floor.z.0 {
                    tell(ix, Meets::Plumb { floor, off, clear });
                } else if along && a.distance(b) > 1.0 {
                    tell(ix, Meets::Along { floor, off, clear });
                }
                continue;
            }
            holes.clear();
            let (from_at, to_at) = (floor.across(a), floor.across(b));
            let (least, most) = (from_at.min(to_at), from_at.max(to_at));
            let mut number = ((least - from) / spacing).ceil();
            while from + number * spacing < most - 1e-6 {
                let t = (from + number * spacing - from_at) / (to_at - from_at);
                let z = a.z + (b.z - a.z) * t;
                let hole = Hole {
                    wide: radius * 2.0,
                    above: floor.z.1 - (z + radius),
                    below: z - radius - floor.z.0,
                };
                if hole.above > -hole.wide && hole.below > -hole.wide {
                    holes.push(hole);
                }
                number += 1.0;
            }
            if !holes.is_empty() {
                tell(ix, Meets::Across(floor, &holes));
            }
        }
    }
}

/// The part of a stretch that lies within a box of the plan.
fn within(a: DVec3, b: DVec3, (low, high): (DVec2, DVec2)) -> Option<(DVec3, DVec3)> {
    let (mut start, mut end) = (0.0_f64, 1.0_f64);
    for axis in 0..2 {
        let d = b[axis] - a[axis];
        if d.abs() < 1e-9 {
            if a[axis] < low[axis] || a[axis] > high[axis] {
                return None;
            }
            continue;
        }
        let (one, two) = ((low[axis] - a[axis]) / d, (high[axis] - a[axis]) / d);
        start = start.max(one.min(two));
        end = end.min(one.max(two));
    }
    (start <= end).then(|| (a.lerp(b, start), a.lerp(b, end)))
}

/// A pipe that runs inside a wall.
#[derive(Clone, Copy, Debug)]
pub struct InWall {
    /// The wall, by its place in the building's list.
    pub wall: u32,
    /// How far its centre lies behind the finished room face.
    pub deep: f64,
    /// It stands upright; otherwise it runs along the wall.
    pub plumb: bool,
}

/// How a pipe runs inside a wall, if its centre lies between the wall's faces all the way: upright, or along it.
pub fn in_wall(context: &Context, ix: PipeIx, number: u32) -> Option<InWall> {
    let wall: &Wall = &context.network.building.walls[number as usize];
    let pipe = context.pipe(ix);
    let (a, b) = context.network.true_ends(pipe);
    let (low, high) = (a.z.min(b.z).max(wall.z.0), a.z.max(b.z).min(wall.z.1));
    let plumb = pipe.lie == Lie::Vertical;
    if low > high || plumb && high - low < 1.0 {
        return None;
    }
    let (from, to, into) = (
        DVec2::from(wall.from),
        DVec2::from(wall.to),
        DVec2::from(wall.into),
    );
    let length = from.distance(to);
    let along = (to - from) / length;
    let place = |at: DVec3| {
        let off = at.truncate() - from;
        (off.dot(along), off.dot(into))
    };
    let ((s1, d1), (s2, d2)) = (place(a), place(b));
    let inside = |s: f64, d: f64| (0.0..=length).contains(&s) && d > 0.0 && d < wall.thick;
    let parallel = plumb || (d1 - d2).abs() < 1.0 && (s1 - s2).abs() > 1.0;
    (parallel && inside(s1, d1) && inside(s2, d2)).then_some(InWall {
        wall: number,
        deep: d1,
        plumb,
    })
}
