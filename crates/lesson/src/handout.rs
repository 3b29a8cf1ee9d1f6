//! What is handed out of an exercise: sheets for the learner, keys for the instructor, the key step by step, questions with their drawing.
//!
//! Puts together what `sheets`, `steps` and `ask` make, for the command and the page alike.

use glam::DVec3;
use wyeline_codes::Pack;
use wyeline_draw::{Corner, Projection};
use wyeline_sheet::Sheet;

use crate::ask::{self, Question};
use crate::code::Code;
use crate::dice::Dice;
use crate::exercise::{Exercise, Subject};
use crate::figure::What;
use crate::level::Level;
use crate::make;
use crate::mark;
use crate::sheets::{self, SheetsError};
use crate::solid::{self, Block};
use crate::steps::{self, Edge, Step, View};

/// The sheets of an exercise.
#[derive(Clone, Debug)]
pub struct Handout {
    /// For the learner: plan, blank grid, the drawing that questions are asked of.
    pub learner: Vec<Sheet>,
    /// For the instructor: key from the learner's corner and from all four, marking sheet.
    pub keys: Vec<Sheet>,
    /// What is asked, with keys.
    pub questions: Vec<Question>,
}

/// Returns the sheets of an exercise with so many questions.
///
/// # Errors
/// There is nothing to draw, or it does not fit the paper.
pub fn handout(
    exercise: &Exercise,
    rubric: &mark::Rubric,
    questions: usize,
) -> Result<Handout, SheetsError> {
    let set = sheets::set(exercise, &printed(rubric))?;
    let mut learner = set.plan;
    learner.push(set.grid);
    let asked = self::questions(exercise, questions);
    learner.extend(asked.drawing);
    Ok(Handout {
        learner,
        keys: vec![set.key, set.keys, set.marking],
        questions: asked.questions,
    })
}

/// The plan sheets alone.
///
/// # Errors
/// As for [`handout`].
pub fn plans(exercise: &Exercise) -> Result<Vec<Sheet>, SheetsError> {
    Ok(sheets::set(exercise, &sheets::Rubric::default())?.plan)
}

/// The key from a corner, on the grid.
///
/// # Errors
/// As for [`handout`].
pub fn key(exercise: &Exercise, corner: Corner) -> Result<Sheet, SheetsError> {
    let seen = Exercise {
        corner,
        ..exercise.clone()
    };
    Ok(sheets::set(&seen, &sheets::Rubric::default())?.key)
}

fn view(exercise: &Exercise, corner: Corner) -> View {
    View {
        corner,
        scale: exercise.scale,
        pitch_mm: exercise.pitch_mm,
        systems: Vec::new(),
    }
}

/// The edges of a block as they are seen from a corner.
fn edges(exercise: &Exercise, block: &Block, corner: Corner) -> Vec<Edge> {
    let square = solid::square_mm(sheets::is_metric(exercise));
    let place = |at: solid::Point| DVec3::from_array(at.map(f64::from)) * square;
    let lines = solid::seen(&block.solid, corner);
    let edge = |line: solid::Line| Edge {
        from: place(line.edge.from),
        to: place(line.edge.to),
        hidden: line.hidden,
    };
    lines.into_iter().map(edge).collect()
}

/// The key step by step, from a corner.
pub fn steps(exercise: &Exercise, corner: Corner) -> Vec<Step> {
    let view = view(exercise, corner);
    match &exercise.subject {
        Subject::Pipes(built) => steps::of_network(&built.network, &view),
        Subject::Block(block) => steps::of_block(&edges(exercise, block, corner), &view),
    }
}

/// Questions and the drawing they are asked of.
#[derive(Clone, Debug, Default)]
pub struct Asked {
    /// The isometric with the letters they speak of; none where nothing is asked.
    pub drawing: Option<Sheet>,
    /// The questions.
    pub questions: Vec<Question>,
}

/// At most so many questions about an exercise, as seen from the learner's corner; the same each time.
pub fn questions(exercise: &Exercise, count: usize) -> Asked {
    let view = view(exercise, exercise.corner);
    let mut dice = exercise.code.map_or_else(
        || Dice::new(0, 0, 0, ASK),
        |code: Code| Dice::new(code.level.number(), code.seed(), code.member(), ASK),
    );
    let Subject::Pipes(built) = &exercise.subject else {
        return Asked::default();
    };
    let questions = ask::of_job(built, exercise.corner, &[], &mut dice, count);
    Asked {
        drawing: (!questions.is_empty()).then(|| ask::sheet(&built.network, &view, &questions)),
        questions,
    }
}

/// Questions are thrown apart from the layout: no layout is ever thrown so often.
const ASK: u32 = u32::MAX;

/// Whether questions are asked about exercises of a level: about blocks they are not yet, for want of a drawing with letters.
pub fn asks(level: Level) -> bool {
    level.number() > 1
}

/// Letters that a learner may want, each once, in the order of the figure; the usual ones of each thing.
pub fn letters(exercise: &Exercise) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for spot in &exercise.figure.spots {
        let told = match &spot.what {
            What::Fixture { letters, .. } | What::Letters { letters, .. } => letters
                .last()
                .filter(|_| matches!(spot.what, What::Fixture { .. }))
                .or(letters.first()),
            What::Trap { .. } | What::Flow { .. } => None,
        };
        if let Some(told) = told.filter(|told| !all.contains(told)) {
            all.push(told.clone());
        }
    }
    all
}

/// Width and height of paper on which the key has room from each corner, with some squares round it, mm.
pub fn paper(exercise: &Exercise) -> (f64, f64) {
    let (mut wide, mut tall) = (0.0_f64, 0.0_f64);
    for corner in Corner::ALL {
        let projection = Projection::new(corner, exercise.scale);
        let ends = exercise
            .figure
            .lines
            .iter()
            .flat_map(|line| [line.from, line.to]);
        let ends: Vec<_> = ends.map(|at| projection.point(at)).collect();
        let span = |of: fn(&kurbo::Point) -> f64| {
            let values = || ends.iter().map(of);
            values().fold(f64::NEG_INFINITY, f64::max) - values().fold(f64::INFINITY, f64::min)
        };
        if !ends.is_empty() {
            wide = wide.max(span(|at| at.x));
            tall = tall.max(span(|at| at.y));
        }
    }
    let round = 2.0 * ROUND * exercise.pitch_mm;
    (wide + round, tall + round)
}

/// Squares of free paper on each side of the drawing; our own choice.
const ROUND: f64 = 6.0;

/// Whether exercises are made by a code of practice.
pub fn carries(pack: &Pack) -> bool {
    let two = Level::new(2).and_then(|level| Code::new(level, pack.id(), 0, 0).ok());
    two.is_some_and(|code| make::layout(code).is_ok())
}

/// A rubric as it is printed.
fn printed(rubric: &mark::Rubric) -> sheets::Rubric {
    let headings = rubric.headings.iter().map(|heading| {
        let own = rubric
            .deductions
            .iter()
            .filter(|deduction| deduction.heading == heading.name);
        let deductions = own.map(|deduction| sheets::Deduction {
            words: deduction.fault.replace('-', " "),
            points: deduction.each,
            most: Some(deduction.most),
        });
        sheets::Heading {
            name: heading.name.clone(),
            weight: heading.weight,
            deductions: deductions.collect(),
        }
    });
    sheets::Rubric {
        source: rubric.source.clone(),
        headings: headings.collect(),
    }
}
