//! Where in plan each storey stands: within its walls or, where it has none, under and over the
//! pipes and fixtures that lie on it.

use kurbo::{Point, Rect};
use wyeline_network::model::{LevelIx, Network, NodeIx};

/// How far the floor of a storey without walls reaches beyond what lies on it, mm. Own choice: a foot.
const ROUND: f64 = 304.8;

/// The rectangles of plan of all storeys, mm.
pub(crate) struct Footprints {
    /// By level: its walls.
    walls: Vec<Option<Rect>>,
    /// By level without walls: what lies on it.
    lying: Vec<Option<Rect>>,
    /// Levels by height of floor.
    upwards: Vec<(f64, usize)>,
    /// All walls, or else all that lies anywhere.
    building: Option<Rect>,
}

fn join(all: &mut Option<Rect>, r: Rect) {
    *all = Some(all.map_or(r, |a| a.union(r)));
}

impl Footprints {
    /// The footprints of a network of which these nodes are shown.
    pub(crate) fn of(network: &Network, nodes: impl Iterator<Item = NodeIx>) -> Self {
        let count = network.levels.len();
        let (mut walls, mut lying) = (vec![None; count], vec![None; count]);
        let (mut building, mut shown) = (None, None);
        for wall in &network.building.walls {
            let r = Rect::from_points(wall.from, wall.to);
            join(&mut building, r);
            if let Some(here) = walls.get_mut(wall.level.0 as usize) {
                join(here, r);
            }
        }
        let mut upwards: Vec<(f64, usize)> = network
            .levels
            .iter()
            .enumerate()
            .map(|(i, l)| (l.floor, i))
            .collect();
        upwards.sort_by(|a, b| a.0.total_cmp(&b.0));
        for ix in nodes {
            let node = network.node(ix);
            let at = node.drawn();
            let here = Point::new(at.x, at.y);
            join(&mut shown, Rect::from_points(here, here));
            // What hangs or stands on a floor is above it; the lowest has all below it as well.
            let above = upwards.partition_point(|l| l.0 <= at.z + 1.0);
            if let Some(&(_, level)) = upwards.get(above.saturating_sub(1)) {
                join(&mut lying[level], Rect::from_points(here, here));
            }
            let fixture = node
                .fixture
                .and_then(|f| network.fixtures.get(f.0 as usize));
            if let Some(fixture) = fixture
                && let Some(floor) = lying.get_mut(fixture.level.0 as usize)
            {
                let (x, y) = (fixture.anchor.x, fixture.anchor.y);
                let half = if fixture.centred {
                    fixture.size.0.max(fixture.size.1) / 2.0
                } else {
                    0.0
                };
                join(floor, Rect::new(x - half, y - half, x + half, y + half));
            }
        }
        for floor in &mut lying {
            *floor = floor.map(|r| r.inflate(ROUND, ROUND));
        }
        Self {
            walls,
            lying,
            upwards,
            building: building.or(shown),
        }
    }

    /// Whether a storey has walls of its own.
    pub(crate) fn walled(&self, level: LevelIx) -> bool {
        self.walls
            .get(level.0 as usize)
            .is_some_and(Option::is_some)
    }

    /// Where a storey stands: its walls; or what lies on it; or the walls over it; or all there is.
    pub(crate) fn of_level(&self, level: LevelIx) -> Option<Rect> {
        let i = level.0 as usize;
        let own = |of: &[Option<Rect>]| of.get(i).copied().flatten();
        let over = || {
            let upwards = self.upwards.iter().skip_while(|l| l.1 != i);
            upwards.into_iter().find_map(|l| self.walls[l.1])
        };
        own(&self.walls)
            .or_else(|| own(&self.lying))
            .or_else(over)
            .or(self.building)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use wyeline_network::model::{Level, Wall};

    fn level(floor: f64) -> Level {
        Level {
            name: String::new(),
            floor,
            ceiling: None,
            underside: None,
            joists: None,
        }
    }

    fn wall(level: u32, from: (f64, f64), to: (f64, f64)) -> Wall {
        Wall {
            level: LevelIx(level),
            from,
            to,
            into: (0.0, 1.0),
            thick: 100.0,
            z: (0.0, 2400.0),
        }
    }

    /// An attic, a cellar and between them the only storey with walls; nothing lies anywhere.
    #[test]
    fn a_bare_storey_takes_the_walls_over_it() {
        let mut network = Network {
            levels: vec![level(5000.0), level(-2000.0), level(0.0)],
            ..Network::default()
        };
        network.building.walls = vec![
            wall(2, (0.0, 0.0), (4000.0, 0.0)),
            wall(2, (4000.0, 0.0), (4000.0, 3000.0)),
        ];
        let made = Footprints::of(&network, std::iter::empty());
        let walls = Some(Rect::new(0.0, 0.0, 4000.0, 3000.0));
        assert_eq!(made.of_level(LevelIx(2)), walls);
        assert_eq!(made.of_level(LevelIx(1)), walls);
        // No walls over the attic: the building's.
        assert_eq!(made.of_level(LevelIx(0)), walls);
        assert!(made.walled(LevelIx(2)) && !made.walled(LevelIx(1)));
    }
}
