//! What to bore in which joist: every joist that a level or sloping pipe crosses, where the job tells its joists' place.
//!
//! Joists lie all over the plan of their storey's walls (of all walls where it has none), under the floor's finish.

use glam::{DVec2, DVec3};
use wyeline_codes::Pack;
use wyeline_job::Job;
use wyeline_job::model::{Compass, Joists};
use wyeline_network::Network;
use wyeline_network::model::{Level, LevelIx, Lie, PipeIx};
use wyeline_units::Len;

use super::wall::Site;
use super::{Bore, Limit, frame};
use crate::material;
use crate::model::Fitted;

/// A pipe that goes across the joists by less than this, mm, lies along them.
const ALONG: f64 = 1.0;
/// Less than this is nothing, mm.
const NOTHING: f64 = 1e-6;

/// A box on the plan.
type Plan = (DVec2, DVec2);

/// The joists of one floor.
struct Floor<'a> {
    level: LevelIx,
    told: &'a Joists,
    /// Underside and top, mm.
    z: (f64, f64),
    plan: Plan,
    limit: Option<Limit>,
    engineered: bool,
}

impl Floor<'_> {
    /// The coordinate across the joists: 0 for east, 1 for north.
    fn axis(&self) -> usize {
        usize::from(self.told.east_west)
    }
}

/// A pipe as a bore sees it.
struct Run {
    pipe: PipeIx,
    ends: (DVec3, DVec3),
    outside: Option<f64>,
}

/// Bores by level, joist and pipe; and pipes that lie among joists whose place is not told.
pub(crate) fn bores(
    job: &Job,
    site: &Site,
    fitted: &Fitted,
    pack: Option<&Pack>,
) -> (Vec<Bore>, Vec<(PipeIx, LevelIx)>) {
    let floors = floors(job, site.network, pack);
    let (mut bores, mut untold) = (Vec::new(), Vec::new());
    for floor in &floors {
        for (ix, pipe) in site.network.pipes.iter().enumerate() {
            let outside = material::outside(pipe, &fitted.stuff[ix]);
            let radius = outside.unwrap_or(0.0) / 2.0;
            let (a, b) = site.network.true_ends(pipe);
            let beside = a.z.max(b.z) + radius <= floor.z.0 || a.z.min(b.z) - radius >= floor.z.1;
            if pipe.existing || pipe.lie == Lie::Vertical || beside {
                continue;
            }
            let Some(ends) = within(a, b, floor.plan) else {
                continue;
            };
            let axis = floor.axis();
            if (ends.1[axis] - ends.0[axis]).abs() < ALONG {
                continue;
            }
            let pipe = PipeIx(ix as u32);
            let run = Run {
                pipe,
                ends,
                outside,
            };
            let (Some(spacing), Some(from)) = (floor.told.spacing, floor.told.from) else {
                untold.push((pipe, floor.level));
                continue;
            };
            crossed(site, floor, &run, (spacing.mm(), from.mm()), &mut bores);
        }
    }
    bores.sort_by_key(|bore| (bore.level, bore.number, bore.pipe));
    (bores, untold)
}

/// The bores of one pipe in one floor, whose joists are so far apart, one of them there.
fn crossed(
    site: &Site,
    floor: &Floor,
    run: &Run,
    (spacing, from): (f64, f64),
    bores: &mut Vec<Bore>,
) {
    if spacing <= 0.0 {
        return;
    }
    let axis = floor.axis();
    let (a, b) = run.ends;
    let (least, most) = (a[axis].min(b[axis]), a[axis].max(b[axis]));
    let after = |at: f64| ((at - from) / spacing - NOTHING).ceil();
    let first = after(floor.plan.0[axis]);
    let mut joist = after(least);
    while from + joist * spacing < most - NOTHING {
        let share = (from + joist * spacing - a[axis]) / (b[axis] - a[axis]);
        let at = a.lerp(b, share);
        let up_mm = at.z - floor.z.0;
        let depth_mm = floor.z.1 - floor.z.0;
        let radius = run.outside.unwrap_or(0.0) / 2.0;
        if up_mm > -radius && up_mm < depth_mm + radius {
            let number = joist - first;
            bores.push(Bore {
                pipe: run.pipe,
                level: floor.level,
                number: number as u32 + 1,
                counted_from: if floor.told.east_west {
                    Compass::South
                } else {
                    Compass::West
                },
                from_first_mm: number * spacing,
                place: site.place(at, Some(floor.level)),
                depth_mm,
                up_mm,
                least_mm: run.outside,
                left_mm: run
                    .outside
                    .map(|_| [depth_mm - up_mm - radius, up_mm - radius]),
                engineered: floor.engineered,
                limit: floor.limit.clone(),
            });
        }
        joist += 1.0;
    }
}

/// The floors with joists.
fn floors<'a>(job: &Job, network: &'a Network, pack: Option<&Pack>) -> Vec<Floor<'a>> {
    let everywhere = outline(network, None);
    let levels = network.levels.iter().enumerate();
    let floor = |(ix, level): (usize, &'a Level)| {
        let told = level.joists.as_ref()?;
        let finish = job.levels.get(ix).and_then(|level| level.finish);
        let top = level.floor - finish.map_or(0.0, Len::mm);
        let level = LevelIx(ix as u32);
        let depth = told.depth.mm();
        let engineered = told.engineered || !frame::sawn(depth);
        let limit = pack.and_then(|pack| frame::limit(pack, depth));
        Some(Floor {
            level,
            told,
            z: (top - depth, top),
            plan: outline(network, Some(level)).or(everywhere)?,
            limit: limit.filter(|_| !engineered),
            engineered,
        })
    };
    levels.filter_map(floor).collect()
}

/// The box round the walls of a storey, or of all; nothing where none is told.
fn outline(network: &Network, level: Option<LevelIx>) -> Option<Plan> {
    let walls = network.building.walls.iter();
    let wanted = walls.filter(|wall| level.is_none_or(|level| wall.level == level));
    let corners = wanted.flat_map(|wall| {
        let deep = DVec2::from(wall.into) * wall.thick;
        let (from, to) = (DVec2::from(wall.from), DVec2::from(wall.to));
        [from, to, from + deep, to + deep]
    });
    corners
        .map(|at| (at, at))
        .reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
}

/// The part of a stretch that lies within a box of the plan.
fn within(a: DVec3, b: DVec3, (low, high): Plan) -> Option<(DVec3, DVec3)> {
    let (mut start, mut end) = (0.0_f64, 1.0_f64);
    for axis in 0..2 {
        let way = b[axis] - a[axis];
        if way.abs() < NOTHING {
            if a[axis] < low[axis] || a[axis] > high[axis] {
                return None;
            }
            continue;
        }
        let (one, two) = ((low[axis] - a[axis]) / way, (high[axis] - a[axis]) / way);
        start = start.max(one.min(two));
        end = end.min(one.max(two));
    }
    (start <= end).then(|| (a.lerp(b, start), a.lerp(b, end)))
}
