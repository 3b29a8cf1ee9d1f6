//! Blocks for the first level: a grid of whole heights becomes a solid, its edges, and what of them is seen from a corner.
//!
//! Everything is counted in whole squares, so nothing is rounded: x east, y north, z up, from the south-west corner of the grid at the floor.
//! The text is read in `read`, edges are found in `edges`, what is seen in `look`, blocks are made in `make` from the shapes in `shapes`.

mod edges;
mod look;
mod make;
mod read;
mod shapes;

pub use edges::{Edge, edges};
pub use look::{Line, paper, seen};
pub use make::{Difficulty, Made, MakeError, exercise, make, members, of_block};
pub use read::{Block, read};

use glam::DVec3;
use wyeline_draw::Corner;

use crate::figure::{self, Figure, Role};

/// Length that a square of a block stands for, mm.
pub fn square_mm(metric: bool) -> f64 {
    if metric {
        SQUARE_METRIC_MM
    } else {
        SQUARE_INCH_MM
    }
}

/// A point of whole coordinates: squares east, north and up.
pub type Point = [i32; 3];

/// The longest side of a grid, and the greatest height: more would not be told apart on a letter sheet at two pitches a square.
pub const MOST: i32 = 12;
/// Length that a square stands for where the grid of the paper is told in inches, mm: a foot, which two pitches of 1/4 in stand for at 1/2 in = 1 ft.
pub const SQUARE_INCH_MM: f64 = 304.8;
/// The same where it is told in millimetres: half a metre, which two pitches of 5 mm stand for at 1:50.
pub const SQUARE_METRIC_MM: f64 = 500.0;

/// A solid of upright columns of whole height standing on a grid of squares.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Solid {
    wide: i32,
    deep: i32,
    /// By row from the south, each from the west.
    heights: Vec<i32>,
}

impl Solid {
    /// A grid of no height, so many squares from west to east and from south to north (each 1 to [`MOST`]).
    pub(crate) fn flat(wide: i32, deep: i32) -> Self {
        let (wide, deep) = (wide.clamp(1, MOST), deep.clamp(1, MOST));
        Self {
            wide,
            deep,
            heights: vec![0; (wide * deep) as usize],
        }
    }

    /// The same with all squares from (x0, y0) up to but not with (x1, y1) at a height.
    #[must_use]
    pub(crate) fn with(mut self, [x0, y0]: [i32; 2], [x1, y1]: [i32; 2], height: i32) -> Self {
        for y in y0.max(0)..y1.min(self.deep) {
            for x in x0.max(0)..x1.min(self.wide) {
                self.heights[(y * self.wide + x) as usize] = height.clamp(0, MOST);
            }
        }
        self
    }

    /// A solid from rows of heights, the northernmost first, each from west to east; nothing where the rows are of unequal length, there
    /// are none, a side or height is beyond [`MOST`], or nothing stands up.
    pub fn of_rows(rows: &[Vec<i32>]) -> Option<Self> {
        let first = rows.first()?;
        let side = |count: usize| {
            i32::try_from(count)
                .ok()
                .filter(|count| (1..=MOST).contains(count))
        };
        let (wide, deep) = (side(first.len())?, side(rows.len())?);
        let heights: Vec<i32> = rows.iter().rev().flatten().copied().collect();
        let even = rows.iter().all(|row| row.len() == first.len());
        let sound =
            heights.iter().all(|h| (0..=MOST).contains(h)) && heights.iter().any(|h| *h > 0);
        (even && sound).then_some(Self {
            wide,
            deep,
            heights,
        })
    }

    /// Squares from west to east, from south to north, and the greatest height.
    pub fn size(&self) -> [i32; 3] {
        let high = self.heights.iter().copied().max().unwrap_or(0);
        [self.wide, self.deep, high]
    }

    /// The height of a square, from the west and from the south; 0 outside.
    pub fn height(&self, x: i32, y: i32) -> i32 {
        let inside = (0..self.wide).contains(&x) && (0..self.deep).contains(&y);
        if inside {
            self.heights[(y * self.wide + x) as usize]
        } else {
            0
        }
    }

    /// Whether the unit cube whose lowest corner is `at` belongs to it.
    pub fn holds(&self, [x, y, z]: Point) -> bool {
        (0..self.height(x, y)).contains(&z)
    }

    /// The same turned a quarter counter-clockwise, seen from above: what looked east looks north.
    #[must_use]
    pub fn turned(&self) -> Self {
        let mut turned = Self::flat(self.deep, self.wide);
        for y in 0..self.deep {
            for x in 0..self.wide {
                let place = x * turned.wide + (self.deep - 1 - y);
                turned.heights[place as usize] = self.height(x, y);
            }
        }
        turned
    }

    /// The same with east and west exchanged.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let mut mirrored = self.clone();
        for row in mirrored.heights.chunks_exact_mut(self.wide as usize) {
            row.reverse();
        }
        mirrored
    }

    /// The first in order of its eight turned and mirrored forms: the same for all solids that differ by no more than that.
    #[must_use]
    pub fn plain_form(&self) -> Self {
        let mut forms = vec![self.clone(), self.mirrored()];
        for _ in 0..3 {
            let turned: Vec<Self> = forms[forms.len() - 2..].iter().map(Self::turned).collect();
            forms.extend(turned);
        }
        forms.into_iter().min().unwrap_or_else(|| self.clone())
    }

    /// Its text, which [`read`] reads back.
    pub fn text(&self, title: &str) -> String {
        let mut text = format!("block \"{}\"\n", title.replace(['"', '\n', '\r'], " "));
        for y in (0..self.deep).rev() {
            let row: Vec<String> = (0..self.wide)
                .map(|x| self.height(x, y).to_string())
                .collect();
            text.push_str(&row.join(" "));
            text.push('\n');
        }
        text
    }

    /// Its edges as a figure, a square standing for `square_mm`; cut where others meet them.
    pub fn figure(&self, square_mm: f64) -> Figure {
        let place =
            |p: Point| DVec3::new(f64::from(p[0]), f64::from(p[1]), f64::from(p[2])) * square_mm;
        let line = |edge: Edge| figure::Line {
            from: place(edge.from),
            to: place(edge.to),
            role: Role::Edge,
            part: String::new(),
            pipe: None,
        };
        let all = Corner::ALL.into_iter();
        let hidden = all.flat_map(|corner| {
            let lines = seen(self, corner).into_iter().filter(|line| line.hidden);
            lines.map(move |line| figure::Hidden {
                corner,
                from: place(line.edge.from),
                to: place(line.edge.to),
            })
        });
        Figure {
            lines: edges(self).into_iter().map(line).collect(),
            spots: Vec::new(),
            hidden: hidden.collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(rows: &[&[i32]]) -> Solid {
        let rows: Vec<Vec<i32>> = rows.iter().map(|row| row.to_vec()).collect();
        Solid::of_rows(&rows).expect("a sound grid")
    }

    #[test]
    fn the_first_row_is_the_northernmost() {
        let solid = of(&[&[1, 2], &[3, 4]]);
        assert_eq!((solid.height(0, 1), solid.height(1, 1)), (1, 2));
        assert_eq!((solid.height(0, 0), solid.height(1, 0)), (3, 4));
        assert_eq!(solid.height(2, 0), 0);
    }

    #[test]
    fn a_quarter_turn_brings_what_was_east_to_the_north() {
        // One row, from west to east 1 2 3: after the turn a column with 3 in the north.
        assert_eq!(of(&[&[1, 2, 3]]).turned(), of(&[&[3], &[2], &[1]]));
        assert_eq!(of(&[&[1, 2], &[3, 4]]).turned(), of(&[&[2, 4], &[1, 3]]));
    }

    #[test]
    fn turned_and_mirrored_solids_have_one_plain_form() {
        let solid = of(&[&[1, 0, 0], &[2, 3, 3]]);
        let mut form = solid.clone();
        for _ in 0..4 {
            form = form.turned();
            assert_eq!(form.plain_form(), solid.plain_form());
            assert_eq!(form.mirrored().plain_form(), solid.plain_form());
        }
        assert_eq!(form, solid);
        assert_ne!(
            of(&[&[1, 0, 0], &[2, 3, 2]]).plain_form(),
            solid.plain_form()
        );
    }

    #[test]
    fn grids_that_are_no_solid_are_refused() {
        let rows =
            |rows: &[&[i32]]| Solid::of_rows(&rows.iter().map(|r| r.to_vec()).collect::<Vec<_>>());
        assert_eq!(rows(&[]), None);
        assert_eq!(rows(&[&[]]), None);
        assert_eq!(rows(&[&[0, 0]]), None);
        assert_eq!(rows(&[&[1, 2], &[1]]), None);
        assert_eq!(rows(&[&[-1]]), None);
        assert_eq!(rows(&[&[MOST + 1]]), None);
    }
}
