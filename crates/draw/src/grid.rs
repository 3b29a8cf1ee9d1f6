//! Which lines on paper come near each other: a uniform grid over the sheet.
//!
//! In: lines and how far around them counts as near. Out: cells with the lines that touch them, in
//! a fixed order. The cell is about half as long as the mean line, so that the number of entries grows
//! with the number of lines and not with the size of the sheet.

use kurbo::Point;

/// Least cell, mm: below this a cell holds no more than a fitting.
const LEAST_CELL: f64 = 4.0;

/// Lines by the cells they touch.
pub(crate) struct Grid {
    origin: Point,
    cell: f64,
    /// Cell and line, ascending.
    entries: Vec<(u64, u32)>,
}

impl Grid {
    /// Enters every line with everything within `reach` mm of it.
    pub(crate) fn new(
        lines: impl ExactSizeIterator<Item = (Point, Point)> + Clone,
        reach: f64,
    ) -> Self {
        let n = lines.len().max(1) as f64;
        let (mut min, mut max) = (
            Point::new(f64::MAX, f64::MAX),
            Point::new(f64::MIN, f64::MIN),
        );
        let mut total = 0.0;
        for (p, q) in lines.clone() {
            for e in [p, q] {
                min = Point::new(min.x.min(e.x), min.y.min(e.y));
                max = Point::new(max.x.max(e.x), max.y.max(e.y));
            }
            total += p.distance(q);
        }
        let widest = (max.x - min.x).max(max.y - min.y) + 2.0 * reach;
        // Rows and columns have to fit 32 bits, whatever the job's coordinates are.
        let cell = (total / n / 2.0)
            .max(LEAST_CELL)
            .max(2.0 * reach)
            .max(widest / 1e9);
        let origin = Point::new(min.x - reach - cell, min.y - reach - cell);
        let mut grid = Self {
            origin,
            cell,
            entries: Vec::with_capacity(lines.len() * 4),
        };
        for (i, (p, q)) in lines.enumerate() {
            grid.enter(i as u32, p, q, reach);
        }
        let cells = |low: f64, high: f64| ((high - low + 2.0 * (reach + cell)) / cell) as usize + 2;
        grid.sort(cells(min.x, max.x), cells(min.y, max.y));
        grid
    }

    /// Puts the entries, which are entered line by line, in order of cells.
    fn sort(&mut self, columns: usize, rows: usize) {
        let cells = columns.saturating_mul(rows);
        if cells > 4 * self.entries.len() + 1024 {
            self.entries.sort_unstable();
            return;
        }
        // Counted out: first how many entries come before each cell's, then each to its place.
        let index = |cell: u64| (cell >> 32) as usize * columns + cell as u32 as usize;
        let mut next = vec![0_u32; cells + 1];
        for (cell, _) in &self.entries {
            next[index(*cell) + 1] += 1;
        }
        for i in 0..cells {
            next[i + 1] += next[i];
        }
        let mut sorted = vec![(0, 0); self.entries.len()];
        for entry in &self.entries {
            let at = &mut next[index(entry.0)];
            sorted[*at as usize] = *entry;
            *at += 1;
        }
        self.entries = sorted;
    }

    /// The cell a point lies in.
    pub(crate) fn cell_at(&self, p: Point) -> u64 {
        let row = ((p.y - self.origin.y) / self.cell) as u64;
        let column = ((p.x - self.origin.x) / self.cell) as u64;
        row << 32 | column
    }

    fn enter(&mut self, line: u32, p: Point, q: Point, reach: f64) {
        let (p, q) = if p.y <= q.y { (p, q) } else { (q, p) };
        let row = |y: f64| ((y - self.origin.y) / self.cell) as u64;
        let column = |x: f64| ((x - self.origin.x) / self.cell) as u64;
        let (first, last) = (row(p.y - reach), row(q.y + reach));
        for r in first..=last {
            // The part of the line that can be within reach of this row of cells.
            let top = self.origin.y + r as f64 * self.cell - reach;
            let bottom = top + self.cell + 2.0 * reach;
            let x_at = |y: f64| {
                let t = if q.y > p.y {
                    ((y - p.y) / (q.y - p.y)).clamp(0.0, 1.0)
                } else {
                    0.0
                };
                p.x + (q.x - p.x) * t
            };
            let (x0, x1) = if q.y - p.y < 1e-9 {
                (p.x, q.x)
            } else {
                (x_at(top), x_at(bottom))
            };
            for c in column(x0.min(x1) - reach)..=column(x0.max(x1) + reach) {
                self.entries.push((r << 32 | c, line));
            }
        }
    }

    /// Cells touched by two or more lines: the cell, and its lines ascending.
    pub(crate) fn crowded(&self) -> impl Iterator<Item = (u64, &[(u64, u32)])> {
        self.entries
            .chunk_by(|a, b| a.0 == b.0)
            .filter(|c| c.len() > 1)
            .map(|c| (c[0].0, c))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two lines that come within reach of each other anywhere have a cell in common.
    #[test]
    fn lines_within_reach_share_a_cell() {
        let lines = [
            (Point::new(0.0, 0.0), Point::new(100.0, 57.0)),
            (Point::new(99.0, 58.0), Point::new(99.0, 200.0)),
            (Point::new(-50.0, 300.0), Point::new(400.0, 300.0)),
        ];
        let grid = Grid::new(lines.iter().copied(), 2.0);
        let together = |a: u32, b: u32| {
            grid.crowded()
                .any(|(_, c)| c.iter().any(|e| e.1 == a) && c.iter().any(|e| e.1 == b))
        };
        assert!(together(0, 1));
        assert!(!together(0, 2));
    }

    /// A line as long as the earth is round costs no more entries than the mean line asks for.
    #[test]
    fn one_huge_line_does_not_flood_the_grid() {
        let lines: Vec<_> = (0..100)
            .map(|i| {
                let y = f64::from(i);
                (
                    Point::new(0.0, y),
                    Point::new(if i == 0 { 4e10 } else { 5.0 }, y),
                )
            })
            .collect();
        let grid = Grid::new(lines.iter().copied(), 1.0);
        assert!(grid.entries.len() < 1000, "{}", grid.entries.len());
    }
}
