//! Walls by place, so that a pipe is compared with those beside it only, and points in a wall's own measure.

use std::collections::HashMap;

use glam::{DVec2, DVec3};
use wyeline_network::model::{LevelIx, Wall};

/// Side of a square of the index, mm.
const SIDE: f64 = 4000.0;
/// Nothing a plumber builds is thicker, mm: what is told thicker is looked for so far only.
const THICKEST: f64 = 10_000.0;
/// No line is cut into more parts than this for the index.
const PARTS: f64 = 10_000.0;

type Square = (LevelIx, i64, i64);

/// All walls of the building.
pub(crate) struct Walls<'a> {
    pub all: &'a [Wall],
    squares: HashMap<Square, Vec<u32>>,
    /// What the walls of each level take up, mm.
    levels: Vec<(LevelIx, Extent)>,
}

/// A box, lower and upper corner, mm.
type Extent = (DVec3, DVec3);

/// The squares that a strip beside a line touches, each at least once.
fn squares(from: DVec2, to: DVec2, deep: DVec2, mut each: impl FnMut(i64, i64)) {
    let parts = (from.distance(to) / SIDE).ceil().clamp(1.0, PARTS) as u32;
    let at = |part: u32| from.lerp(to, f64::from(part) / f64::from(parts));
    let square = |at: f64| (at / SIDE).floor() as i64;
    for part in 0..parts {
        let corners = [at(part), at(part + 1), at(part) + deep, at(part + 1) + deep];
        let low = corners.into_iter().fold(corners[0], DVec2::min) - 1.0;
        let high = corners.into_iter().fold(corners[0], DVec2::max) + 1.0;
        for x in square(low.x)..=square(high.x) {
            for y in square(low.y)..=square(high.y) {
                each(x, y);
            }
        }
    }
}

impl<'a> Walls<'a> {
    pub fn of(all: &'a [Wall]) -> Self {
        let mut found: HashMap<Square, Vec<u32>> = HashMap::new();
        let mut levels: Vec<(LevelIx, Extent)> = Vec::new();
        for (wall, ix) in all.iter().zip(0..) {
            let deep = DVec2::from(wall.into) * wall.thick.min(THICKEST);
            squares(wall.from.into(), wall.to.into(), deep, |x, y| {
                let here = found.entry((wall.level, x, y)).or_default();
                if here.last() != Some(&ix) {
                    here.push(ix);
                }
            });
            let own = extent(wall);
            match levels.iter_mut().find(|(level, _)| *level == wall.level) {
                Some((_, all)) => *all = (all.0.min(own.0), all.1.max(own.1)),
                None => levels.push((wall.level, own)),
            }
        }
        Self {
            all,
            squares: found,
            levels,
        }
    }

    pub fn get(&self, ix: u32) -> &'a Wall {
        &self.all[ix as usize]
    }

    /// Walls that may stand where a pipe lies, in their order.
    pub fn around(&self, a: DVec3, b: DVec3) -> Vec<u32> {
        let mut found = Vec::new();
        let (low, high) = (a.z.min(b.z) - 1.0, a.z.max(b.z) + 1.0);
        for &(level, (bottom, top)) in &self.levels {
            if top.z < low || bottom.z > high {
                continue;
            }
            squares(a.truncate(), b.truncate(), DVec2::ZERO, |x, y| {
                let here = self.squares.get(&(level, x, y));
                found.extend(here.into_iter().flatten().copied());
            });
        }
        found.sort_unstable();
        found.dedup();
        found
    }

    /// Whether a point of the plan lies in the box round the walls of a level; nothing where it has none.
    pub fn round(&self, level: LevelIx, at: DVec2) -> Option<bool> {
        let own = self.levels.iter().find(|(own, _)| *own == level);
        own.map(|(_, extent)| inside(*extent, at))
    }

    /// The same for all walls of the building.
    pub fn outline(&self, at: DVec2) -> Option<bool> {
        let all = self.levels.iter().map(|(_, extent)| *extent);
        let all = all.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)));
        all.map(|extent| inside(extent, at))
    }
}

fn extent(wall: &Wall) -> Extent {
    let (from, to) = (DVec2::from(wall.from), DVec2::from(wall.to));
    let deep = DVec2::from(wall.into) * wall.thick;
    let (low, high) = (from.min(to), from.max(to));
    let (low, high) = (low.min(low + deep), high.max(high + deep));
    (low.extend(wall.z.0), high.extend(wall.z.1))
}

fn inside((low, high): Extent, at: DVec2) -> bool {
    at.cmpge(low.truncate() - 1.0).all() && at.cmple(high.truncate() + 1.0).all()
}

/// A point in a wall's own measure, mm: along its finished face from its first end, and behind that face.
pub(crate) fn own(wall: &Wall, at: DVec2) -> (f64, f64) {
    let (from, to) = (DVec2::from(wall.from), DVec2::from(wall.to));
    let along = (to - from).normalize_or_zero();
    let off = at - from;
    (off.dot(along), off.dot(wall.into.into()))
}

/// Length of a wall along its finished face, mm.
pub(crate) fn length(wall: &Wall) -> f64 {
    DVec2::from(wall.from).distance(wall.to.into())
}

/// Whether a stretch lies for half of it or more in one of others: a wall told from both of its rooms is one wall.
pub(crate) fn told_before(before: &[(f64, f64)], stretch: (f64, f64)) -> bool {
    let (low, high) = (stretch.0.min(stretch.1), stretch.0.max(stretch.1));
    before.iter().any(|&(a, b)| {
        let shared = high.min(a.max(b)) - low.max(a.min(b));
        shared * 2.0 >= high - low
    })
}
