//! The printed sheets of an exercise: plan, blank grid, key, key from all corners and marking sheet, in black and white, a page each.
//!
//! In: an [`Exercise`] and the [`Rubric`] it is marked by. Out: [`Sheet`]s of letter paper, or A4 where the paper's grid is told in millimetres. Grid and key lie at the
//! same place of the page, so that one overlays the other. Where a page is divided is said in `page`, how large the drawing is in `lay`.

mod axes;
mod black;
mod blocks;
mod brief;
mod given;
mod heights;
mod key;
mod lay;
mod page;
mod plan;
mod rubric;
mod storey;
mod told;

use std::fmt;

use wyeline_draw::Corner;
use wyeline_draw::style;
use wyeline_sheet::{Sheet, scale_words};
use wyeline_units::Scale;

use crate::exercise::{Exercise, Subject};
use crate::figure::Figure;

pub use lay::anchor;
pub use rubric::{Deduction, Heading, Rubric};

use key::Drawing;
use lay::Lay;
use page::Page;

/// The sheets of one exercise.
#[derive(Clone, Debug)]
pub struct Set {
    /// For the learner: the plan with heights and brief; one page a storey where they do not fit on one.
    pub plan: Vec<Sheet>,
    /// For the learner: blank isometric grid.
    pub grid: Sheet,
    /// For the instructor: the key from the learner's corner, on the same grid.
    pub key: Sheet,
    /// For the instructor: the key from all four corners.
    pub keys: Sheet,
    /// For the instructor: what is marked, one page for each learner.
    pub marking: Sheet,
}

impl Set {
    /// All of them in order.
    pub fn into_sheets(self) -> Vec<Sheet> {
        let mut sheets = self.plan;
        sheets.extend([self.grid, self.key, self.keys, self.marking]);
        sheets
    }
}

/// Why there are no sheets.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SheetsError {
    /// The drawing does not fit the paper at that scale.
    TooLarge(Scale),
    /// There is nothing to draw.
    Nothing,
}

impl fmt::Display for SheetsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooLarge(scale) => write!(
                f,
                "at {} the drawing is larger than a sheet of practice paper; choose a smaller scale, or practise on a part of the job",
                scale_words(*scale)
            ),
            Self::Nothing => f.write_str("there is nothing to draw in this exercise"),
        }
    }
}

impl std::error::Error for SheetsError {}

/// Distance of the grid's lines along an axis, mm of paper: 1/4 in, or 5 mm (University of Wisconsin-Platteville, sketching standards).
pub fn pitch_mm(metric: bool) -> f64 {
    let sizes = style::sizes();
    if metric {
        sizes.grid_metric
    } else {
        sizes.grid_inch
    }
}

/// The scales at which a pitch stands for a length that is easily counted, the largest first: 6 in, 1 ft and 2 ft, or a quarter and half a metre.
/// Our own choice; all but these ask the learner to reckon at each step.
pub fn scales(metric: bool) -> &'static [Scale] {
    if metric {
        &[Scale(50), Scale(100)]
    } else {
        &[Scale(24), Scale(48), Scale(96)]
    }
}

/// The largest of these scales at which a figure fits the page, seen from a corner; nothing where none does.
pub fn scale(figure: &Figure, corner: Corner, metric: bool) -> Option<Scale> {
    let fits =
        |scale: &&Scale| Page::fitting(&lay::points(figure), corner, **scale, metric).is_some();
    scales(metric).iter().find(fits).copied()
}

/// Whether the key of an exercise, with what is lettered on it, has room on its page.
pub fn fits(exercise: &Exercise) -> bool {
    let points = lay::points(&exercise.figure);
    let (corner, scale) = (exercise.corner, exercise.scale);
    Page::fitting(&points, corner, scale, is_metric(exercise)).is_some_and(|page| {
        Drawing::new(exercise, corner, scale, page.drawing().size(), true).is_some()
    })
}

/// Whether an exercise's paper is told in millimetres.
pub(crate) fn is_metric(exercise: &Exercise) -> bool {
    exercise.pitch_mm < f64::midpoint(pitch_mm(true), pitch_mm(false))
}

/// The sheets of an exercise, marked by a rubric.
///
/// # Errors
/// There is nothing to draw, or it does not fit the paper.
pub fn set(exercise: &Exercise, rubric: &Rubric) -> Result<Set, SheetsError> {
    let points = lay::points(&exercise.figure);
    if points.is_empty() {
        return Err(SheetsError::Nothing);
    }
    let too_large = SheetsError::TooLarge(exercise.scale);
    let page = Page::fitting(
        &points,
        exercise.corner,
        exercise.scale,
        is_metric(exercise),
    )
    .ok_or_else(|| too_large.clone())?;
    let drawing = Drawing::new(
        exercise,
        exercise.corner,
        exercise.scale,
        page.drawing().size(),
        true,
    )
    .ok_or_else(|| too_large.clone())?;
    let lay = Lay::new(exercise, drawing.bounds, &page);
    let mut plan = match &exercise.subject {
        Subject::Pipes(built) => plan::sheets(exercise, &built.network, &page, &lay),
        Subject::Block(block) => vec![blocks::plan(exercise, &block.solid, &page, &lay)],
    };
    let mut rest = [
        key::grid(exercise, &page, &lay, &drawing),
        key::key(exercise, &page, &lay, &drawing),
        key::all_corners(exercise, &page).ok_or(too_large)?,
        rubric::sheet(exercise, rubric, &page),
    ];
    let count = (plan.len() + rest.len()) as u32;
    for (number, sheet) in (1..).zip(plan.iter_mut().chain(&mut rest)) {
        page.number(sheet, number, count);
        black::turn(&mut sheet.items);
    }
    let [grid, key, keys, marking] = rest;
    Ok(Set {
        plan,
        grid,
        key,
        keys,
        marking,
    })
}
