//! Measures a place of the plan from finished walls, as a tape does: square to the face.

use glam::{DVec2, DVec3};
use wyeline_job::model::Compass;
use wyeline_network::Network;
use wyeline_network::model::LevelIx;

use super::{Face, FromWall, Place};

/// How near a height has to be to a floor to be on it, mm: 1/32 in and a little, as places of the job are read.
const ON_FLOOR: f64 = 1.0;
/// Two walls cross where the sine between them is more than this: 30 degrees, our own choice.
const CROSS: f64 = 0.5;

/// The network, with the walls of each storey.
pub(crate) struct Site<'a> {
    pub network: &'a Network,
    /// For each level the walls that stand on it.
    walls: Vec<Vec<u32>>,
}

/// A wall seen from a place: how far it is, and which way.
#[derive(Clone, Copy)]
pub(crate) struct Seen {
    pub from: FromWall,
    /// Unit vector from the place to the wall.
    pub way: DVec2,
}

impl<'a> Site<'a> {
    pub fn of(network: &'a Network) -> Self {
        let mut walls = vec![Vec::new(); network.levels.len()];
        for (ix, wall) in network.building.walls.iter().enumerate() {
            walls[wall.level.0 as usize].push(ix as u32);
        }
        Self { network, walls }
    }

    /// The storey of a height: the highest finished floor at or below it, else the lowest there is.
    pub fn level_at(&self, z: f64) -> Option<LevelIx> {
        let levels = self.network.levels.iter().enumerate();
        let by_floor = |a: &(usize, f64), b: &(usize, f64)| a.1.total_cmp(&b.1);
        let floors = || levels.clone().map(|(ix, level)| (ix, level.floor));
        let below = floors()
            .filter(|(_, floor)| *floor <= z + ON_FLOOR)
            .max_by(by_floor);
        let found = below.or_else(|| floors().min_by(by_floor));
        found.map(|(ix, _)| LevelIx(ix as u32))
    }

    /// A place on a storey.
    pub fn place(&self, at: DVec3, level: Option<LevelIx>) -> Place {
        let floor = level.map_or(0.0, |level| self.network.levels[level.0 as usize].floor);
        Place {
            at,
            level,
            above_mm: at.z - floor,
            walls: self.two(at.truncate(), level),
        }
    }

    /// The two nearest walls of a storey that cross, the nearer first.
    fn two(&self, at: DVec2, level: Option<LevelIx>) -> Vec<FromWall> {
        let seen = self.seen(at, level);
        let nearest = |wanted: &dyn Fn(&Seen) -> bool| {
            let those = seen.iter().filter(|one| wanted(one));
            those
                .min_by(|a, b| a.from.mm.total_cmp(&b.from.mm))
                .copied()
        };
        let Some(first) = nearest(&|_| true) else {
            return Vec::new();
        };
        let second = nearest(&|one| one.way.perp_dot(first.way).abs() > CROSS);
        [Some(first), second]
            .into_iter()
            .flatten()
            .map(|one| one.from)
            .collect()
    }

    /// The nearest wall of a storey that lies that way, within 60 degrees.
    ///
    /// * `way`: unit vectors, any of which will do
    pub fn toward(&self, at: DVec2, level: LevelIx, ways: &[DVec2]) -> Option<FromWall> {
        let seen = self.seen(at, Some(level));
        let there = |one: &&Seen| ways.iter().any(|way| one.way.dot(*way) > CROSS);
        let nearest = seen
            .iter()
            .filter(there)
            .min_by(|a, b| a.from.mm.total_cmp(&b.from.mm));
        nearest.map(|one| one.from)
    }

    /// The walls of a storey that a square from the place meets.
    fn seen(&self, at: DVec2, level: Option<LevelIx>) -> Vec<Seen> {
        let walls = level.map_or(&[][..], |level| &self.walls[level.0 as usize]);
        walls.iter().filter_map(|&ix| self.sight(at, ix)).collect()
    }

    /// A wall seen from a place; nothing where no square from the place meets it.
    fn sight(&self, at: DVec2, ix: u32) -> Option<Seen> {
        let wall = &self.network.building.walls[ix as usize];
        let (from, to, into) = (
            DVec2::from(wall.from),
            DVec2::from(wall.to),
            DVec2::from(wall.into),
        );
        let along = (at - from).dot((to - from).normalize_or_zero());
        // Round a corner the next wall's thickness belongs to both.
        if along < -wall.thick || along > from.distance(to) + wall.thick {
            return None;
        }
        let deep = (at - from).dot(into);
        let (face, mm, way) = if deep <= wall.thick {
            (Face::Room, -deep, into)
        } else {
            (Face::Far, deep - wall.thick, -into)
        };
        let from = FromWall {
            wall: ix,
            side: compass(way),
            face,
            mm,
        };
        Some(Seen { from, way })
    }
}

/// The compass word nearest to a way on the plan.
fn compass(way: DVec2) -> Compass {
    use Compass::{East, North, Northeast, Northwest, South, Southeast, Southwest, West};
    const ROUND: [Compass; 8] = [
        East, Northeast, North, Northwest, West, Southwest, South, Southeast,
    ];
    let eighths = (way.y.atan2(way.x).to_degrees() / 45.0).round() as i64;
    ROUND[eighths.rem_euclid(8) as usize]
}
