//! Room over a drain: what hangs over it.
//!
//! In: heights of storeys and bodies. Out: distances from the top of the pipe (its outside), mm; below 0 where the
//! pipe reaches into what is told.

use glam::DVec3;
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};
use wyeline_job::model::BodyKind;
use wyeline_network::Network;
use wyeline_network::model::LevelIx;

/// What hangs over a pipe.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Overhead {
    /// The joists, or the slab, under the floor of a level.
    Floor(LevelIx),
    /// A body, by its number in the building.
    Body(u32),
}

/// Something over a pipe, and the room below it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Under {
    /// What it is.
    pub what: Overhead,
    /// Height of its underside, mm.
    pub underside_mm: f64,
    /// From the top of the pipe up to it, mm; below 0 the pipe reaches into it.
    pub clear_mm: f64,
}

/// Floors by their height.
pub(super) struct Ceilings {
    /// Floor, underside and number of each level, from the lowest up.
    levels: Vec<(f64, Option<f64>, LevelIx)>,
}

impl Ceilings {
    pub fn of(network: &Network) -> Self {
        let levels = network.levels.iter().enumerate();
        let mut levels: Vec<_> = levels
            .map(|(ix, level)| (level.floor, level.underside, LevelIx(ix as u32)))
            .collect();
        levels.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self { levels }
    }

    /// Where in the order the first floor above a height stands.
    fn above(&self, height: f64) -> usize {
        self.levels.partition_point(|level| level.0 <= height)
    }

    /// The joists or slab over a pipe whose top lies at a height; below the lowest floor the ground is no ceiling.
    pub fn under(&self, top: f64) -> Option<Under> {
        let above = self.above(top);
        let (_, underside, level) = *self.levels.get(above).filter(|_| above > 0)?;
        let underside_mm = underside?;
        Some(Under {
            what: Overhead::Floor(level),
            underside_mm,
            clear_mm: underside_mm - top,
        })
    }
}

/// Bodies that a pipe may pass under, found by place.
pub(super) struct Bodies {
    tree: RTree<GeomWithData<Rectangle<[f64; 2]>, u32>>,
}

impl Bodies {
    pub fn of(network: &Network) -> Self {
        let bodies = network.building.bodies.iter().enumerate();
        let boxes = bodies
            .filter(|(_, body)| body.kind != BodyKind::Slab && body.kind != BodyKind::Column)
            .map(|(ix, body)| {
                let [a, b, c, d] = body.corners;
                let west = a.0.min(b.0).min(c.0).min(d.0);
                let east = a.0.max(b.0).max(c.0).max(d.0);
                let south = a.1.min(b.1).min(c.1).min(d.1);
                let north = a.1.max(b.1).max(c.1).max(d.1);
                let plan = Rectangle::from_corners([west, south], [east, north]);
                GeomWithData::new(plan, ix as u32)
            });
        Self {
            tree: RTree::bulk_load(boxes.collect()),
        }
    }

    /// The body that leaves least room above a pipe between two points of its centre line, `half` as thick as it is.
    pub fn lowest_above(
        &self,
        network: &Network,
        from: DVec3,
        to: DVec3,
        half: f64,
    ) -> Option<Under> {
        let plan = AABB::from_corners(
            [from.x.min(to.x), from.y.min(to.y)],
            [from.x.max(to.x), from.y.max(to.y)],
        );
        let mut lowest: Option<Under> = None;
        for found in self.tree.locate_in_envelope_intersecting(plan) {
            let body = &network.building.bodies[found.data as usize];
            let Some((start, end)) = inside(&body.corners, from, to) else {
                continue;
            };
            let top = from.lerp(to, start).z.max(from.lerp(to, end).z) + half;
            // What lies wholly below the pipe does not hang over it.
            if body.z.1 <= top - 2.0 * half {
                continue;
            }
            let clear_mm = body.z.0 - top;
            if lowest.is_none_or(|known| clear_mm < known.clear_mm) {
                lowest = Some(Under {
                    what: Overhead::Body(found.data),
                    underside_mm: body.z.0,
                    clear_mm,
                });
            }
        }
        lowest
    }
}

/// The stretch of a line (0 to 1 along it) that lies within a counter-clockwise rectangle in plan.
fn inside(corners: &[(f64, f64); 4], from: DVec3, to: DVec3) -> Option<(f64, f64)> {
    let (mut start, mut end) = (0.0_f64, 1.0_f64);
    for ix in 0..4 {
        let (a, b) = (corners[ix], corners[(ix + 1) % 4]);
        // Positive left of the edge, which is inside.
        let left = |p: DVec3| (b.0 - a.0) * (p.y - a.1) - (b.1 - a.1) * (p.x - a.0);
        let (first, last) = (left(from), left(to));
        if first < 0.0 && last < 0.0 {
            return None;
        }
        if first < 0.0 {
            start = start.max(first / (first - last));
        } else if last < 0.0 {
            end = end.min(first / (first - last));
        }
    }
    (start <= end).then_some((start, end))
}
