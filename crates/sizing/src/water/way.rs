//! The pressure budget of a tap as rows: one for each pipe on the way from the supply.

use super::Worked;
use super::load::Tap;
use super::tree::NONE;
use crate::model::{Budget, BudgetRow};

impl Worked<'_> {
    /// The budget of a tap; nothing where the pressure of the supply is not known.
    pub(super) fn budget(&self, tap: &Tap) -> Option<Budget> {
        let mut way = Vec::new();
        let mut place = tap.place;
        while place != NONE {
            way.push(place as usize);
            place = self.tree.parent[place as usize];
        }
        way.reverse();
        let physics = &self.physics;
        let near = |place: usize| {
            self.network
                .node(self.network.pipe(self.tree.pipes[place]).from)
                .at
                .z
                / 1e3
        };
        let first = *way.first()?;
        let source = self.tree.source[first] as usize;
        let at = self.network.node(self.tree.sources[source]).at.z / 1e3;
        let measured = self.conditions.flowing_at_mm.map_or(at, |mm| mm / 1e3);
        let supply_pa = self.conditions.flowing_pa?;
        let (mut z, mut left) = (measured, supply_pa);
        let mut rows = Vec::with_capacity(way.len());
        for place in way {
            let make = &self.makes.of[place];
            let size = self.picked.size(place, make);
            let flow = self.picked.flow[place].unwrap_or(0.0);
            let to_near = physics.per_metre * (near(place) - z);
            let before = left - to_near;
            let reduced_pa = make.set.map_or(0.0, |set| (before - set).max(0.0));
            let devices_pa = physics.devices(make, size, flow);
            let height_pa = physics.per_metre * (make.z - z);
            let friction_pa = size.map_or(0.0, |size| {
                physics.friction(&self.makes, make, size as usize, flow)
            });
            left = left - height_pa - reduced_pa - devices_pa - friction_pa;
            z = make.z;
            rows.push(BudgetRow {
                pipe: self.tree.pipes[place],
                reduced_pa,
                height_pa,
                devices_pa,
                friction_pa,
                fittings_mm: size
                    .map_or(0.0, |size| self.makes.fittings(make, size as usize) * 1e3),
                left_pa: left,
            });
        }
        Some(Budget {
            fixture: tap.fixture,
            hot: tap.hot,
            supply_pa,
            rows,
            residual_pa: left,
            needs_pa: self.loads.outlets[tap.fixture.0 as usize]
                .needs
                .unwrap_or(0.0),
        })
    }
}
