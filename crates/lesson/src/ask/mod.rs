//! Reading questions: what an isometric says to one who can read it, with keys worked out from the network and never written by hand.
//!
//! In: a job (or the edges of a block), the corner looked from, [`Dice`]. Out: [`Question`]s, and a sheet with the letters they speak of.
//! Wrong options are slips that learners make; none is right by accident. Start at [`of_job`].

mod answer;
mod block;
mod crossing;
mod facts;
mod fitting;
mod height;
mod length;
mod letters;
mod place;
mod sheet;
mod trace;
mod vent;

use std::collections::BTreeSet;

use wyeline_draw::{Corner, Part, Projection};
use wyeline_job::model::System;
use wyeline_network::model::{NodeIx, PipeIx};
use wyeline_units::{Scale, UnitSystem};
use wyeline_whole::{Built, Judged, mark};

pub use answer::Answer;
pub use block::of_block;
pub use letters::LETTERS;
pub use sheet::sheet;

use crate::dice::Dice;
use facts::Facts;
use letters::Letters;

/// What a question is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// Which pipe lies above the ceiling, or below the floor.
    Place,
    /// How long a run is, centre to centre.
    Length,
    /// How far a pipe falls.
    Fall,
    /// How high a pipe's other end is.
    Height,
    /// Which fitting stands at a point.
    Fitting,
    /// Where a vent ends.
    Vent,
    /// Which fixture a branch serves.
    Serves,
    /// How many fixtures depend on a pipe.
    Count,
    /// Which way it flows.
    Flow,
    /// Which pipe passes in front.
    Front,
    /// Of a block: how long an edge is, which way it runs, how many are hidden.
    Block,
}

/// A thing that a letter is set at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum At {
    /// A pipe.
    Pipe(PipeIx),
    /// A point of the network.
    Node(NodeIx),
    /// An edge of a block, by its place among those given.
    Edge(usize),
}

/// A letter and what it is set at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lettered {
    /// The letter.
    pub letter: char,
    /// What it is set at.
    pub at: At,
}

/// A question.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// What it is about.
    pub kind: Kind,
    /// The question.
    pub words: String,
    /// The key.
    pub answer: Answer,
    /// Why that is the answer, in plain words.
    pub why: String,
    /// The letters it speaks of.
    pub about: Vec<Lettered>,
    /// How lengths without a unit are read.
    pub units: UnitSystem,
}

impl Question {
    /// Whether an answer is right, as it is typed or as the option chosen is worded.
    ///
    /// # Errors
    /// It is none: words that say what was expected.
    pub fn is_right(&self, typed: &str) -> Result<bool, String> {
        self.answer.is_right(typed, self.units)
    }

    /// The key as it is printed.
    pub fn key(&self) -> String {
        self.answer.key(self.units)
    }

    /// How an answer is to be typed, in plain words; nothing where one of the options is chosen.
    pub fn hint(&self) -> Option<String> {
        self.answer.hint(self.units)
    }
}

/// What questions are asked of.
pub(crate) struct Asking<'a> {
    pub facts: &'a Facts<'a>,
    pub dice: &'a mut Dice,
    pub letters: &'a mut Letters,
    /// What has been asked about.
    pub asked: BTreeSet<(Kind, At)>,
}

impl Asking<'_> {
    /// One of several candidates that this kind has not been asked about; each is known by its first letter's place.
    pub fn pick<T>(&mut self, kind: Kind, candidates: Vec<(At, T)>) -> Option<(At, T)> {
        let mut left: Vec<(At, T)> = candidates
            .into_iter()
            .filter(|(at, _)| !self.asked.contains(&(kind, *at)))
            .collect();
        if left.is_empty() {
            return None;
        }
        let places: Vec<usize> = (0..left.len()).collect();
        let at = *self.dice.pick(&places);
        let picked = left.swap_remove(at);
        self.asked.insert((kind, picked.0));
        Some(picked)
    }

    /// Letters for all of these; none at all where there are not enough left.
    pub fn letters(&mut self, at: &[At]) -> Option<Vec<Lettered>> {
        self.letters.of(at)
    }
}

/// A way of asking: a question of its kind that was not asked yet, or nothing.
type Ask = fn(&mut Asking) -> Option<Question>;

/// Every kind of question about pipes.
const KINDS: [Ask; 10] = [
    place::ask,
    length::ask,
    length::fall,
    height::ask,
    fitting::ask,
    vent::ask,
    trace::serves,
    trace::count,
    trace::flow,
    crossing::ask,
];

/// Returns questions about a job's isometric from a corner, as many as are wanted or as it gives.
///
/// Kinds come in turn, in an order and about places that the dice choose; the same dice give the same questions. Fittings are those of the code
/// that the job names; where it names none that is held, none is asked about.
///
/// * `systems`: those that are drawn; all where empty
pub fn of_job(
    built: &Built,
    corner: Corner,
    systems: &[System],
    dice: &mut Dice,
    how_many: usize,
) -> Vec<Question> {
    let mut built = built.clone();
    let fitted = Judged::of(&mut built, None).ok().map(|judged| {
        mark::sizes(&mut built.network, &judged);
        let by = Some((&*judged.pack, &judged.sized));
        wyeline_fit::fit(&built.job, &built.network, by).0
    });
    let part = Part {
        systems: systems.to_vec(),
        ..Part::default()
    };
    // Which pipe is in front hangs on the corner alone, not on the scale.
    let projection = Projection::new(corner, Scale(1));
    let facts = Facts::of(&built.network, &part, fitted.as_ref(), projection);
    let mut letters = Letters::default();
    let mut asking = Asking {
        facts: &facts,
        dice,
        letters: &mut letters,
        asked: BTreeSet::new(),
    };
    let mut kinds = KINDS.to_vec();
    asking.dice.shuffle(&mut kinds);
    let mut questions = Vec::new();
    // Round after round, each kind once, until none has anything left to ask.
    while questions.len() < how_many {
        let before = questions.len();
        for ask in &kinds {
            if questions.len() < how_many {
                questions.extend(ask(&mut asking));
            }
        }
        if questions.len() == before {
            break;
        }
    }
    questions
}
