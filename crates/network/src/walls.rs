//! Finds walls: near a point, along a line, behind a finished face.

use glam::DVec2;
use rstar::AABB;
use wyeline_job::model::Compass;

use crate::model::{LevelIx, Wall};
use crate::remarks::NOTHING;
use crate::site::{ON_FACE, Site, Storey, way};

impl Site<'_> {
    /// Levels whose walls are looked at for a height, nearest storey first, one group after the other.
    fn storeys(&self, z: f64) -> [&[LevelIx]; 2] {
        let floor = |ix: &LevelIx| self.levels[ix.0 as usize].floor;
        let above = self.upwards.partition_point(|ix| floor(ix) <= z);
        let same = |of: Option<&LevelIx>| match of {
            None => &[][..],
            Some(of) => {
                let start = self.upwards.partition_point(|ix| floor(ix) < floor(of));
                let end = self.upwards.partition_point(|ix| floor(ix) <= floor(of));
                &self.upwards[start..end]
            }
        };
        let (below, over) = (
            same(above.checked_sub(1).map(|ix| &self.upwards[ix])),
            same(self.upwards.get(above)),
        );
        // Between ceiling and floor, or among the joists, the walls meant are those above.
        let in_floor = below
            .iter()
            .any(|ix| self.levels[ix.0 as usize].ceiling.is_some_and(|c| z >= c))
            || over.iter().any(|ix| {
                self.levels[ix.0 as usize]
                    .underside
                    .is_some_and(|u| z >= u - ON_FACE)
            });
        if in_floor {
            [over, below]
        } else {
            [below, over]
        }
    }

    pub fn walls_near(&self, level: LevelIx, a: DVec2, b: DVec2) -> impl Iterator<Item = u32> + '_ {
        let (low, high) = (a.min(b), a.max(b));
        let storey = f64::from(level.0);
        let extent = AABB::from_corners(
            [low.x - ON_FACE, low.y - ON_FACE, storey - 0.5],
            [high.x + ON_FACE, high.y + ON_FACE, storey + 0.5],
        );
        self.walls
            .locate_in_envelope_intersecting(extent)
            .map(|found| found.wall)
    }

    /// Along a line of the plan, the place of the outermost wall core on a side.
    pub fn outermost(&self, side: Compass, across: Option<f64>, storey: Storey) -> Option<f64> {
        let outward = way(side);
        let far = 1e9;
        let (a, b) = match (side, across) {
            (_, None) => (DVec2::splat(-far), DVec2::splat(far)),
            (Compass::East | Compass::West, Some(y)) => (DVec2::new(-far, y), DVec2::new(far, y)),
            (_, Some(x)) => (DVec2::new(x, -far), DVec2::new(x, far)),
        };
        let on_level = |level: LevelIx| {
            self.walls_near(level, a, b)
                .filter_map(|ix| {
                    let (from, to) = core(&self.building.walls[ix as usize]);
                    match across {
                        None => Some(from.dot(outward).max(to.dot(outward))),
                        Some(_) => meet(a, outward, from, to).map(|at| at.dot(outward)),
                    }
                })
                .reduce(f64::max)
        };
        let best = |levels: &[LevelIx]| {
            levels
                .iter()
                .filter_map(|&level| on_level(level))
                .reduce(f64::max)
        };
        let found = match storey {
            Storey::Level(level) => on_level(level),
            Storey::Height(z) => self
                .storeys(z)
                .into_iter()
                .find_map(best)
                .or_else(|| best(&self.upwards)),
        };
        // Outward of west and south is negative: turn the measure back into a coordinate.
        found.map(|measure| measure * (outward.x + outward.y))
    }

    /// How far it is from a point to the core of the next wall in a direction.
    pub fn to_wall_core(&self, from: DVec2, direction: DVec2, z: f64) -> Option<f64> {
        let to = from + direction * 1e7;
        self.storeys(z).into_iter().find_map(|levels| {
            levels
                .iter()
                .flat_map(|&level| self.walls_near(level, from, to))
                .filter_map(|ix| {
                    let (a, b) = core(&self.building.walls[ix as usize]);
                    meet(from, direction, a, b)
                        .map(|at| (at - from).dot(direction))
                        .filter(|&s| s > NOTHING)
                })
                .reduce(f64::min)
        })
    }

    /// How far the core's centre lies behind a finished face, for a point on that face
    /// of a wall that looks in the direction `out`.
    pub fn core_behind(&self, level: LevelIx, at: DVec2, out: DVec2) -> Option<f64> {
        self.walls_near(level, at, at).find_map(|ix| {
            let wall = &self.building.walls[ix as usize];
            let into = DVec2::from(wall.into);
            let deep = (at - DVec2::from(wall.from)).dot(into);
            let square = into.dot(out);
            let room_side = deep.abs() <= ON_FACE && square < -0.99;
            let far_side = (deep - wall.thick).abs() <= ON_FACE && square > 0.99;
            ((room_side || far_side) && on_stretch(wall, at)).then_some(wall.thick / 2.0)
        })
    }
}

/// The centre line of a wall's core, carried to the corners at both ends.
fn core(wall: &Wall) -> (DVec2, DVec2) {
    let (from, to, into) = (
        DVec2::from(wall.from),
        DVec2::from(wall.to),
        DVec2::from(wall.into),
    );
    let (shift, reach) = (
        into * (wall.thick / 2.0),
        (to - from).normalize() * (wall.thick / 2.0),
    );
    (from + shift - reach, to + shift + reach)
}

pub(crate) fn on_stretch(wall: &Wall, at: DVec2) -> bool {
    let (from, to) = (DVec2::from(wall.from), DVec2::from(wall.to));
    let along = (at - from).dot((to - from).normalize());
    (-ON_FACE..=from.distance(to) + ON_FACE).contains(&along)
}

/// Where a line meets a stretch, if it does.
fn meet(start: DVec2, direction: DVec2, from: DVec2, to: DVec2) -> Option<DVec2> {
    let along = to - from;
    let square = along.perp_dot(direction);
    if square.abs() < 1e-9 * along.length() {
        return None;
    }
    let part = (start - from).perp_dot(direction) / square;
    (-1e-9..=1.0 + 1e-9)
        .contains(&part)
        .then(|| from + along * part)
}
