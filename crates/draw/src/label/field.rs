//! What stands where on the paper: boxes in a uniform grid, asked "what would this touch?".
//!
//! Cells hold linked lists in two flat arrays, so adding costs no allocation per cell and asking
//! costs as much as there is nearby, however large the picture.

use kurbo::{Point, Rect};
use wyeline_network::model::PipeIx;

use super::near::meet;
use super::shape::Oblong;

/// What a box in the field is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Thing {
    /// A piece of a pipe, with its pen.
    Pipe(PipeIx),
    /// A flow arrow.
    Arrow,
    /// A symbol's box.
    Symbol,
    /// Part of the label with this number (area or leader).
    Label(u32),
    /// A construction square's or box's edge, better not written over.
    Frame,
}

#[derive(Clone, Copy, Debug)]
struct Entry {
    item: u32,
    next: u32,
}

const NONE: u32 = u32::MAX;

/// Boxes on paper by place.
#[derive(Debug)]
pub(crate) struct Field {
    corner: Point,
    cell: f64,
    /// Cells per mm.
    per_mm: f64,
    columns: usize,
    rows: usize,
    heads: Vec<u32>,
    entries: Vec<Entry>,
    items: Vec<(Oblong, Thing)>,
    /// Bounds of each box; empty for one taken away.
    bounds: Vec<Rect>,
}

/// Bounds that meet nothing.
const GONE: Rect = Rect::new(
    f64::INFINITY,
    f64::INFINITY,
    f64::NEG_INFINITY,
    f64::NEG_INFINITY,
);

impl Field {
    /// An empty field for about `expected` boxes within `bounds`, mm; what lies outside is kept
    /// in the outermost cells.
    pub fn new(bounds: Rect, expected: usize) -> Self {
        // About the height of a two-line block; larger where the picture is vast and mostly empty.
        let least = 8.0_f64;
        let most_cells = (expected * 4 + 1024) as f64;
        let (width, height) = (bounds.width().max(1.0), bounds.height().max(1.0));
        let cell = least.max((width * height / most_cells).sqrt());
        let columns = (width / cell).ceil() as usize + 1;
        let rows = (height / cell).ceil() as usize + 1;
        Self {
            corner: bounds.origin(),
            cell,
            per_mm: 1.0 / cell,
            columns,
            rows,
            heads: vec![NONE; columns * rows],
            entries: Vec::with_capacity(expected * 4),
            items: Vec::with_capacity(expected),
            bounds: Vec::with_capacity(expected),
        }
    }

    fn span(&self, low: f64, high: f64, from: f64, count: usize) -> (usize, usize) {
        let index = |x: f64| (((x - from) * self.per_mm).max(0.0) as usize).min(count - 1);
        (index(low), index(high))
    }

    /// Adds a box; gives its number.
    pub fn add(&mut self, shape: Oblong, thing: Thing) -> u32 {
        let item = self.items.len() as u32;
        self.items.push((shape, thing));
        self.bounds.push(shape.bounds());
        // A long slanting stroke is entered bit by bit, for its bounds would fill the page.
        let bits = ((shape.half.0 / self.cell).ceil() as usize).max(1);
        let bit = shape.half.0 / bits as f64;
        for i in 0..bits {
            let at = shape.centre + shape.along * (bit * (2 * i + 1) as f64 - shape.half.0);
            let bounds = Oblong {
                centre: at,
                half: (bit, shape.half.1),
                ..shape
            }
            .bounds();
            let (x0, x1) = self.span(bounds.x0, bounds.x1, self.corner.x, self.columns);
            let (y0, y1) = self.span(bounds.y0, bounds.y1, self.corner.y, self.rows);
            for y in y0..=y1 {
                for x in x0..=x1 {
                    let head = &mut self.heads[y * self.columns + x];
                    if *head != NONE && self.entries[*head as usize].item == item {
                        continue;
                    }
                    self.entries.push(Entry { item, next: *head });
                    *head = self.entries.len() as u32 - 1;
                }
            }
        }
        item
    }

    /// Takes a box away again.
    pub fn remove(&mut self, item: u32) {
        self.bounds[item as usize] = GONE;
    }

    /// How many boxes were ever added.
    pub fn len(&self) -> usize {
        self.items.len()
    }

    /// Calls `each` with number, bounds and shape of every box whose bounds meet `around`, some more
    /// than once, until it answers `true`; answers whether it did.
    pub fn visit(
        &self,
        around: Rect,
        mut each: impl FnMut(u32, &Rect, &Oblong, Thing) -> bool,
    ) -> bool {
        let (x0, x1) = self.span(around.x0, around.x1, self.corner.x, self.columns);
        let (y0, y1) = self.span(around.y0, around.y1, self.corner.y, self.rows);
        for y in y0..=y1 {
            for x in x0..=x1 {
                let mut at = self.heads[y * self.columns + x];
                while at != NONE {
                    let Entry { item, next } = self.entries[at as usize];
                    at = next;
                    let bounds = &self.bounds[item as usize];
                    if meet(bounds, &around) {
                        let (shape, thing) = &self.items[item as usize];
                        if each(item, bounds, shape, *thing) {
                            return true;
                        }
                    }
                }
            }
        }
        false
    }

    /// Calls `each` for every box whose bounds meet `shape`'s, some more than once, until it
    /// answers `true`; answers whether it did.
    pub fn any(&self, shape: &Oblong, mut each: impl FnMut(u32, &Oblong, Thing) -> bool) -> bool {
        self.visit(shape.bounds(), |item, _, other, thing| {
            each(item, other, thing)
        })
    }

    /// Whether `shape` touches anything that must not be touched.
    pub fn hits(&self, shape: &Oblong) -> bool {
        self.any(shape, |_, other, thing| {
            thing != Thing::Frame && shape.touches(other)
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn field() -> Field {
        Field::new(Rect::new(0.0, 0.0, 200.0, 100.0), 10)
    }

    #[test]
    fn a_long_slanting_pipe_is_found_all_along_and_only_there() {
        let mut f = field();
        f.add(
            Oblong::of_stroke(Point::new(0.0, 0.0), Point::new(200.0, 100.0), 0.35),
            Thing::Pipe(PipeIx(0)),
        );
        for i in 0..=20 {
            let on = Point::new(f64::from(i) * 10.0, f64::from(i) * 5.0);
            assert!(f.hits(&Oblong::level(on, (0.5, 0.5))), "{on:?}");
            let off = on + kurbo::Vec2::new(0.0, 3.0);
            assert!(!f.hits(&Oblong::level(off, (0.5, 0.5))), "{off:?}");
        }
    }

    #[test]
    fn what_lies_outside_the_bounds_is_still_found() {
        let mut f = field();
        f.add(
            Oblong::level(Point::new(-50.0, 300.0), (5.0, 5.0)),
            Thing::Symbol,
        );
        assert!(f.hits(&Oblong::level(Point::new(-54.0, 304.0), (2.0, 2.0))));
        assert!(!f.hits(&Oblong::level(Point::new(-90.0, 300.0), (2.0, 2.0))));
    }

    #[test]
    fn a_box_taken_away_is_no_longer_found() {
        let mut f = field();
        let n = f.add(
            Oblong::level(Point::new(50.0, 50.0), (5.0, 5.0)),
            Thing::Label(0),
        );
        assert!(f.hits(&Oblong::level(Point::new(50.0, 50.0), (1.0, 1.0))));
        f.remove(n);
        assert!(!f.hits(&Oblong::level(Point::new(50.0, 50.0), (1.0, 1.0))));
    }
}
