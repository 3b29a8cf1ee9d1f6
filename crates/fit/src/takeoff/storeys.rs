//! Where something lies: on which level, and whether it is buried before the lowest floor is closed.

use wyeline_network::Network;
use wyeline_network::model::LevelIx;

use super::data::PHASES;
use crate::model::Phase;

/// The levels from the lowest up.
pub(crate) struct Storeys {
    /// Finished floors, mm, lowest first.
    pub floors: Vec<(f64, LevelIx)>,
    /// What lies below this is buried, mm.
    ground: Option<f64>,
    within: f64,
}

impl Storeys {
    pub fn of(network: &Network) -> Self {
        let floors = network.levels.iter().zip(0..);
        let mut floors: Vec<_> = floors
            .map(|(level, ix)| (level.floor, LevelIx(ix)))
            .collect();
        floors.sort_by(|a, b| a.0.total_cmp(&b.0));
        let lowest = floors.first();
        let hangs = lowest.is_some_and(|(_, ix)| network.levels[ix.0 as usize].joists.is_some());
        let floor = lowest.map(|(floor, _)| *floor);
        Self {
            ground: if hangs { network.building.grade } else { floor },
            floors,
            within: PHASES.underground.within(),
        }
    }

    /// The highest level whose floor is at a height or below it; nothing under them all.
    pub fn level(&self, z: f64) -> Option<LevelIx> {
        let above = self
            .floors
            .partition_point(|(floor, _)| floor - self.within <= z);
        above.checked_sub(1).map(|at| self.floors[at].1)
    }

    /// Buried before the lowest floor is closed, else roughed in.
    pub fn phase(&self, z: f64) -> Phase {
        if self.ground.is_some_and(|ground| z < ground - self.within) {
            Phase::Underground
        } else {
            Phase::Rough
        }
    }

    /// The height below which everything is buried, mm, where there is one.
    pub fn ground(&self) -> Option<f64> {
        self.ground
    }

    /// Levels whose floor pipe between two heights goes through, mm: it comes from below, and reaches the floor at least.
    pub fn crossed(&self, low: f64, high: f64) -> &[(f64, LevelIx)] {
        let from = self
            .floors
            .partition_point(|(floor, _)| floor - self.within <= low);
        let to = self
            .floors
            .partition_point(|(floor, _)| floor - self.within <= high);
        &self.floors[from..to.max(from)]
    }
}
