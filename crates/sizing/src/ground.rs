//! The ground over pipe: under the lowest floor within the walls, under grade outside them.
//!
//! In: floors, walls and grade of a network. Out: depth of cover, from the top of a pipe up to the surface, mm. Walls
//! count as the box round them on the plan: below the lowest floor the box of all walls, above it that of the storey's own.

use glam::DVec3;
use wyeline_network::Network;

use crate::drain::role::{Extent, extent};

/// What is less on the plan does not count, mm.
const NOTHING: f64 = 1.0;

/// Surfaces of the ground.
pub struct Ground {
    /// Floors from the lowest up, each with the box round the walls of its level.
    storeys: Vec<(f64, Option<Extent>)>,
    /// The box round all walls.
    walls: Option<Extent>,
    grade: Option<f64>,
}

/// What lies over a pipe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Over {
    /// So much ground, mm; below 0 the pipe reaches out of it.
    Cover(f64),
    /// It lies outside the walls, and how high the ground is there is not told.
    NotTold,
    /// It lies outside the walls that are told, as high as a storey whose walls are not: in the ground or in a room.
    Unsure,
    /// None: it lies in the air or over a floor.
    Nothing,
}

impl Over {
    /// Depth of cover, mm, where there is any and it is known.
    pub fn mm(self) -> Option<f64> {
        match self {
            Self::Cover(mm) => Some(mm),
            Self::NotTold | Self::Unsure | Self::Nothing => None,
        }
    }
}

/// The walls that count for a pipe.
enum Walls {
    /// Outside this box there is ground or air.
    Known(Extent),
    /// Outside this box there may be a room as well.
    InPart(Extent),
    /// None, or they tell nothing of the ground.
    None,
}

impl Ground {
    /// That of a network.
    pub fn of(network: &Network) -> Self {
        let walls = &network.building.walls;
        let levels = network.levels.iter().enumerate();
        let mut storeys: Vec<_> = levels
            .map(|(ix, level)| {
                let own = walls.iter().filter(|wall| wall.level.0 as usize == ix);
                (level.floor, extent(own))
            })
            .collect();
        storeys.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self {
            storeys,
            walls: extent(walls),
            grade: network.building.grade,
        }
    }

    /// What lies over a point of a pipe.
    ///
    /// * `centre`: of the pipe, mm
    /// * `half`: half of the pipe's outside, mm
    pub fn over(&self, centre: DVec3, half: f64) -> Over {
        match self.walls_at(centre.z + half) {
            Walls::Known(walls) if is_outside(walls, centre) => self.under_grade(centre.z, half),
            Walls::InPart(walls) if is_outside(walls, centre) => self.unsure(centre.z, half),
            _ => match self.storeys.first() {
                Some((floor, _)) if *floor > centre.z + half => {
                    Over::Cover(floor - centre.z - half)
                }
                _ => Over::Nothing,
            },
        }
    }

    /// What lies over the part of a pipe that is outside the walls, at its least.
    pub fn over_outside(&self, from: DVec3, to: DVec3, half: f64) -> Over {
        let (walls, known) = match self.walls_at(from.z.min(to.z) + half) {
            Walls::Known(walls) => (walls, true),
            Walls::InPart(walls) => (walls, false),
            Walls::None => return Over::Nothing,
        };
        let (enters, leaves) = within(walls, from, to).unwrap_or((1.0, 1.0));
        let level = (to - from).truncate().length();
        let mut least = Over::Nothing;
        for (start, end) in [(0.0, enters), (leaves, 1.0)] {
            if (end - start) * level <= NOTHING {
                continue;
            }
            for share in [start, end] {
                let z = from.lerp(to, share).z;
                let here = if known {
                    self.under_grade(z, half)
                } else {
                    self.unsure(z, half)
                };
                least = match (least, here) {
                    (Over::Cover(known), Over::Cover(cover)) => Over::Cover(known.min(cover)),
                    (Over::Nothing, here) => here,
                    (least, _) => least,
                };
            }
        }
        least
    }

    /// The walls outside which a pipe, whose top lies at that height, may be in the ground.
    fn walls_at(&self, top: f64) -> Walls {
        let above = self.storeys.partition_point(|(floor, _)| *floor <= top);
        let Some((_, own)) = above.checked_sub(1).map(|at| self.storeys[at]) else {
            return self.walls.map_or(Walls::None, Walls::Known);
        };
        // Where grade is not told, only what is as low as the lowest storey is taken to be near the ground.
        match (own, self.walls) {
            _ if self.grade.is_none() && above > 1 => Walls::None,
            (Some(own), _) => Walls::Known(own),
            (None, Some(all)) => Walls::InPart(all),
            (None, None) => Walls::None,
        }
    }

    fn under_grade(&self, centre: f64, half: f64) -> Over {
        match self.grade {
            None => Over::NotTold,
            Some(grade) if grade <= centre - half => Over::Nothing,
            Some(grade) => Over::Cover(grade - centre - half),
        }
    }

    fn unsure(&self, centre: f64, half: f64) -> Over {
        match self.under_grade(centre, half) {
            Over::Nothing => Over::Nothing,
            _ => Over::Unsure,
        }
    }
}

fn is_outside([west, south, east, north]: Extent, at: DVec3) -> bool {
    at.x < west - NOTHING
        || at.x > east + NOTHING
        || at.y < south - NOTHING
        || at.y > north + NOTHING
}

/// The stretch of a line (0 to 1 along it) that lies within a box on the plan.
fn within([west, south, east, north]: Extent, from: DVec3, to: DVec3) -> Option<(f64, f64)> {
    let (mut start, mut end) = (0.0_f64, 1.0_f64);
    for (at, by, low, high) in [
        (from.x, to.x - from.x, west, east),
        (from.y, to.y - from.y, south, north),
    ] {
        if by.abs() < 1e-9 {
            if at < low || at > high {
                return None;
            }
            continue;
        }
        let (one, two) = ((low - at) / by, (high - at) / by);
        start = start.max(one.min(two));
        end = end.min(one.max(two));
    }
    (start < end).then_some((start, end))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Walls from (0, 0) to (10,000, 10,000), a floor at 0, the ground 200 mm below it.
    fn ground() -> Ground {
        let walls = Some([0.0, 0.0, 10_000.0, 10_000.0]);
        Ground {
            storeys: vec![(0.0, walls)],
            walls,
            grade: Some(-200.0),
        }
    }

    /// A pipe 100 mm thick with its centre at -1,000 has its top at -950: 950 mm below the floor, 750 mm below grade.
    #[test]
    fn under_the_floor_and_under_grade() {
        let inside = ground().over(DVec3::new(5000.0, 5000.0, -1000.0), 50.0);
        assert_eq!(inside, Over::Cover(950.0));
        let outside = ground().over(DVec3::new(12_000.0, 5000.0, -1000.0), 50.0);
        assert_eq!(outside, Over::Cover(750.0));
    }

    /// From 4 m outside the wall, at -2,000, up to 4 m behind it, at -1,200: at the wall it is half way, at -1,600, with its
    /// top at -1,550: 1,350 mm below grade. What lies higher, inside, does not count.
    #[test]
    fn only_the_part_outside_counts() {
        let (from, to) = (
            DVec3::new(14_000.0, 5000.0, -2000.0),
            DVec3::new(6000.0, 5000.0, -1200.0),
        );
        assert_eq!(ground().over_outside(from, to, 50.0), Over::Cover(1350.0));
        assert_eq!(ground().over_outside(to, from, 50.0), Over::Cover(1350.0));
        let under = (
            DVec3::new(1000.0, 1.0, -300.0),
            DVec3::new(2000.0, 1.0, -300.0),
        );
        assert_eq!(ground().over_outside(under.0, under.1, 50.0), Over::Nothing);
    }

    /// Above the ground there is no cover; without grade nobody knows.
    #[test]
    fn in_the_air_and_not_told() {
        let (from, to) = (
            DVec3::new(14_000.0, 5000.0, 500.0),
            DVec3::new(12_000.0, 5000.0, 500.0),
        );
        assert_eq!(ground().over_outside(from, to, 50.0), Over::Nothing);
        let none = Ground {
            grade: None,
            ..ground()
        };
        assert_eq!(none.over_outside(from, to, 50.0), Over::NotTold);
    }

    /// A cellar at -2,500 whose walls are not told: a pipe at -1,000, outside the walls of the floor above, lies in the ground or in the cellar. With the
    /// cellar's walls told it lies in the ground, 750 mm below grade. Below the cellar's floor it does in any case.
    #[test]
    fn beside_a_cellar() {
        let all = ground().walls;
        let cellar = |own| Ground {
            storeys: vec![(-2500.0, own), (0.0, all)],
            ..ground()
        };
        let at = |z: f64| DVec3::new(12_000.0, 5000.0, z);
        assert_eq!(cellar(None).over(at(-1000.0), 50.0), Over::Unsure);
        assert_eq!(cellar(all).over(at(-1000.0), 50.0), Over::Cover(750.0));
        assert_eq!(cellar(None).over(at(-3000.0), 50.0), Over::Cover(2750.0));
    }
}
