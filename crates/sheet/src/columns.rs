//! Where the notes of a sheet go, and where its pictures stand, so that the corner for the stamp stays clear.
//!
//! In: a draft and the heights of its notes. Out: columns, cells and places. Looked for in turn: the page's own column below the
//! stamp; a second column on the right or left of the drawing; what the drawing leaves free at its edges; and only then the stamp's
//! corner.

use kurbo::{Rect, Vec2};

use crate::arrange::{Draft, Drawn};
use crate::block::Block;
use crate::caption;
use crate::frame::{GUTTER, left_over};
use crate::paper::Orientation;
use crate::place::Ink;

/// Distance from the stamp's corner, mm; our choice.
const CLEAR: f64 = 2.0;
/// Distances from the drawing to notes in what it leaves free, mm, the better first; our choice: so that none is taken for a label.
const OFF: [f64; 2] = [6.0, 3.0];
/// A free piece beside the drawing lower than this holds no notes, mm; our choice: a heading and some lines.
const LOWEST: f64 = 25.0;

/// How a sheet is shared out.
pub(crate) struct Shares {
    /// Where notes go, in order.
    pub columns: Vec<Rect>,
    /// A cell for each picture, its caption at its foot.
    pub cells: Vec<Rect>,
    /// By how much each picture is moved, mm.
    pub by: Vec<Vec2>,
    /// The stamp's corner, where it stays clear.
    pub stamp: Option<Rect>,
}

/// Where a picture stands in its cell, as shares of the spare width and height; the middle first.
const PLACES: [(f64, f64); 6] = [
    (0.5, 0.5),
    (0.25, 0.5),
    (0.0, 0.5),
    (0.5, 1.0),
    (0.25, 1.0),
    (0.0, 1.0),
];
/// The same where notes are to stand round it.
const ASIDE: [(f64, f64); 9] = [
    (0.5, 0.5),
    (0.25, 0.5),
    (0.0, 0.5),
    (0.0, 0.0),
    (0.0, 1.0),
    (0.75, 0.5),
    (1.0, 0.5),
    (1.0, 1.0),
    (0.5, 1.0),
];

impl Draft<'_> {
    /// Columns for blocks, cells and places for pictures.
    pub fn shares(&self, blocks: &[Block]) -> Shares {
        let ink: Vec<Ink> = self.cells.iter().map(|d| Ink::of(&d.picture)).collect();
        let stamp = self.page.stamp();
        let mut least: Option<(usize, Shares)> = None;
        for corner in stamp.map(Some).into_iter().chain([None]) {
            for (beside, cells) in self.splits() {
                let Some(by) = self.standing(&ink, &cells, corner) else {
                    continue;
                };
                let columns = self.columns(&beside, corner);
                let shares = Shares {
                    columns,
                    cells,
                    by,
                    stamp: corner,
                };
                let left = left_over(blocks, &shares.columns);
                if left == 0 {
                    return shares;
                }
                // Where notes go to another sheet anyhow, the stamp keeps its corner.
                if least.as_ref().is_none_or(|(fewest, _)| left < *fewest) && corner == stamp {
                    least = Some((left, shares));
                }
            }
            if let Some(shares) = self.round(&ink[..], corner, blocks) {
                return shares;
            }
        }
        least.map_or_else(
            || Shares {
                columns: self.page.columns.clone(),
                cells: self.cells.iter().map(|d| d.cell).collect(),
                by: self.middle(),
                stamp: None,
            },
            |(_, shares)| shares,
        )
    }

    /// The page's columns after those beside the drawing, clear of the stamp's corner.
    fn columns(&self, beside: &[Rect], stamp: Option<Rect>) -> Vec<Rect> {
        let all = beside.iter().chain(&self.page.columns);
        all.map(|column| match stamp {
            Some(stamp) if overlap(*column, stamp) => Rect {
                y0: stamp.y1 + CLEAR,
                ..*column
            },
            _ => *column,
        })
        .collect()
    }

    /// The drawing's cells as they are, and with a column taken off on the right or left where its pictures leave one.
    fn splits(&self) -> Vec<(Vec<Rect>, Vec<Rect>)> {
        let cells: Vec<Rect> = self.cells.iter().map(|d| d.cell).collect();
        let (room, area) = (self.page.room(), self.page.area);
        let mut all = vec![(Vec::new(), cells.clone())];
        if self.page.orientation != Orientation::Landscape {
            return all;
        }
        let spare = |drawn: &Drawn| {
            let taken = drawn.picture.bounds.width().max(caption::LEAST) + CLEAR;
            drawn.cell.width() - taken >= room + GUTTER
        };
        if let Some(last) = self.cells.last().filter(|d| spare(d))
            && last.cell.x1 >= area.x1 - 1e-9
        {
            let mut narrower = cells.clone();
            if let Some(cell) = narrower.last_mut() {
                let beside = Rect {
                    x0: cell.x1 - room,
                    ..*cell
                };
                cell.x1 -= room + GUTTER;
                all.push((vec![beside], narrower));
            }
        }
        if let [only] = self.cells.as_slice()
            && spare(only)
        {
            let cell = only.cell;
            let beside = Rect {
                x1: cell.x0 + room,
                ..cell
            };
            let narrower = Rect {
                x0: beside.x1 + GUTTER,
                ..cell
            };
            all.push((vec![beside], vec![narrower]));
        }
        all
    }

    /// By how much each picture is moved to stand in its cell clear of the stamp's corner: in the middle, or as far left or
    /// low as need be; nothing where one cannot.
    fn standing(&self, ink: &[Ink], cells: &[Rect], stamp: Option<Rect>) -> Option<Vec<Vec2>> {
        let pictures = self.cells.iter().zip(ink).zip(cells);
        let place = |((drawn, ink), cell): ((&Drawn, &Ink), &Rect)| {
            let inner = drawn.inner(*cell);
            let free = |by: &Vec2| stamp.is_none_or(|s| !ink.touches(s - *by));
            PLACES.iter().map(|at| moved(drawn, inner, *at)).find(free)
        };
        pictures.map(place).collect()
    }

    /// All pictures in the middle of their cells.
    fn middle(&self) -> Vec<Vec2> {
        let place = |d: &Drawn| moved(d, d.inner(d.cell), (0.5, 0.5));
        self.cells.iter().map(place).collect()
    }

    /// The notes round a single drawing: in what it leaves free at the left and right edges of its cell.
    fn round(&self, ink: &[Ink], stamp: Option<Rect>, blocks: &[Block]) -> Option<Shares> {
        let ([drawn], [ink]) = (self.cells.as_slice(), ink) else {
            return None;
        };
        if self.page.orientation != Orientation::Landscape {
            return None;
        }
        let (cell, room) = (drawn.cell, self.page.room());
        // What is more than all columns hold need not be tried in any.
        let notes: f64 = blocks.iter().map(|b| b.height).sum();
        let columns: f64 = self.page.columns.iter().map(Rect::height).sum();
        if notes > columns + 2.0 * cell.height() {
            return None;
        }
        let inner = drawn.inner(cell);
        let caption = drawn.caption(cell);
        let bottom = |x0: f64| {
            if x0 > caption.x1 + GUTTER {
                cell.y1
            } else {
                inner.y1
            }
        };
        let places = OFF.iter().flat_map(|off| ASIDE.map(|at| (*off, at)));
        for (off, at) in places {
            let by = moved(drawn, inner, at);
            if stamp.is_some_and(|s| ink.touches(s - by)) {
                continue;
            }
            let piece = |x0: f64| {
                let column = Rect::new(x0, cell.y0, x0 + room, bottom(x0));
                let column = self.columns(&[column], stamp)[0];
                let free = ink.widest_gap(column.inflate(off, 0.0) - by, off)? + by;
                (free.height() >= LOWEST).then_some(Rect {
                    x0: column.x0,
                    x1: column.x1,
                    ..free
                })
            };
            let (left, right) = (piece(cell.x0), piece(cell.x1 - room));
            let apart = cell.x1 - room >= cell.x0 + room + GUTTER;
            let both = left.into_iter().chain(right).collect();
            let tries: [Vec<Rect>; 3] = [
                right.into_iter().collect(),
                left.into_iter().collect(),
                if apart { both } else { Vec::new() },
            ];
            for beside in tries {
                let columns = self.columns(&beside, stamp);
                if !beside.is_empty() && left_over(blocks, &columns) == 0 {
                    return Some(Shares {
                        columns,
                        cells: vec![cell],
                        by: vec![by],
                        stamp,
                    });
                }
            }
        }
        None
    }
}

/// By how much a picture is moved to stand in `inner` at these shares of what is spare.
fn moved(drawn: &Drawn, inner: Rect, (across, down): (f64, f64)) -> Vec2 {
    let bounds = drawn.picture.bounds;
    let spare = inner.size() - bounds.size();
    inner.origin() + Vec2::new(spare.width * across, spare.height * down) - bounds.origin()
}

fn overlap(a: Rect, b: Rect) -> bool {
    let shared = a.intersect(b);
    shared.width() > 0.0 && shared.height() > 0.0
}
