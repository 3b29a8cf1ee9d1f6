//! A grid of cubes in which boxes are put down and found again, so that nothing is compared with everything.

use glam::DVec3;

/// Boxes by the cubes they touch.
#[derive(Clone, Debug)]
pub struct Grid {
    /// Side of a cube, mm.
    side: f64,
    /// Cube and number of the box, in order once sealed.
    entries: Vec<(u64, u32)>,
}

/// Bits of a cube's number along each axis.
const BITS: u32 = 21;

impl Grid {
    /// * `side`: of a cube, mm
    pub fn new(side: f64) -> Self {
        let entries = Vec::new();
        Self { side, entries }
    }

    fn cube(&self, at: f64) -> i64 {
        const HALF: i64 = 1 << (BITS - 1);
        ((at / self.side).floor() as i64).clamp(-HALF, HALF - 1)
    }

    fn cubes(&self, low: DVec3, high: DVec3) -> impl Iterator<Item = u64> + use<> {
        let [x, y, z] = [0, 1, 2].map(|axis| self.cube(low[axis])..=self.cube(high[axis]));
        let part = |at: i64| (at as u64) & ((1 << BITS) - 1);
        z.flat_map(move |z| {
            let x = x.clone();
            y.clone().flat_map(move |y| {
                x.clone()
                    .map(move |x| part(z) << (2 * BITS) | part(y) << BITS | part(x))
            })
        })
    }

    /// Puts a box down.
    pub fn put(&mut self, low: DVec3, high: DVec3, number: u32) {
        let cubes = self.cubes(low, high);
        self.entries.extend(cubes.map(|cube| (cube, number)));
    }

    /// Puts a bar of a radius down, piece by piece, so that a skew one does not fill the box round it.
    pub fn put_bar(&mut self, from: DVec3, to: DVec3, radius: f64, number: u32) {
        let pieces = (from.distance(to) / self.side).ceil().clamp(1.0, 1e5);
        for piece in 0..pieces as u32 {
            let at = |n: u32| from.lerp(to, f64::from(n) / pieces);
            let (a, b) = (at(piece), at(piece + 1));
            self.put(a.min(b) - radius, a.max(b) + radius, number);
        }
    }

    /// To be called when all boxes are put down.
    #[must_use]
    pub fn sealed(mut self) -> Self {
        self.entries.sort_unstable();
        self.entries.dedup();
        self
    }

    /// Numbers of the boxes that may touch this one, in order, each once.
    pub fn around(&self, low: DVec3, high: DVec3, found: &mut Vec<u32>) {
        found.clear();
        for cube in self.cubes(low, high) {
            let start = self.entries.partition_point(|(at, _)| *at < cube);
            let here = self.entries[start..].iter();
            found.extend(here.take_while(|(at, _)| *at == cube).map(|(_, n)| *n));
        }
        found.sort_unstable();
        found.dedup();
    }

    /// Numbers that share a cube, cube by cube.
    pub fn together(&self) -> impl Iterator<Item = &[(u64, u32)]> {
        self.entries.chunk_by(|a, b| a.0 == b.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn boxes() -> impl Strategy<Value = Vec<(DVec3, DVec3)>> {
        let at = || -5000.0..5000.0_f64;
        let one = (
            at(),
            at(),
            at(),
            0.0..800.0_f64,
            0.0..800.0_f64,
            0.0..800.0_f64,
        );
        prop::collection::vec(one, 1..30).prop_map(|all| {
            let to_box = |(x, y, z, dx, dy, dz)| {
                let low = DVec3::new(x, y, z);
                (low, low + DVec3::new(dx, dy, dz))
            };
            all.into_iter().map(to_box).collect()
        })
    }

    proptest! {
        /// Whatever touches by comparing everything is found in the grid as well.
        #[test]
        fn nothing_that_touches_is_missed(boxes in boxes()) {
            let mut grid = Grid::new(500.0);
            for (n, (low, high)) in boxes.iter().enumerate() {
                grid.put(*low, *high, n as u32);
            }
            let grid = grid.sealed();
            let mut found = Vec::new();
            for (low, high) in &boxes {
                grid.around(*low, *high, &mut found);
                for (n, (other_low, other_high)) in boxes.iter().enumerate() {
                    let touch = low.cmple(*other_high).all() && other_low.cmple(*high).all();
                    prop_assert!(!touch || found.contains(&(n as u32)));
                }
            }
        }
    }

    /// A bar 10 m long at 45 degrees touches some 3 x 14 cubes of 1 m, not the 100 of the square round it.
    #[test]
    fn a_skew_bar_takes_few_cubes() {
        let mut grid = Grid::new(1000.0);
        grid.put_bar(DVec3::ZERO, DVec3::new(10_000.0, 10_000.0, 0.0), 20.0, 1);
        assert!(grid.sealed().entries.len() < 100);
    }
}
