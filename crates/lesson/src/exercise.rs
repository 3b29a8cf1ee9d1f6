//! An exercise: what is given, what is to be drawn, from where and how large.

use wyeline_draw::Corner;
use wyeline_units::Scale;
use wyeline_whole::Built;

use crate::code::Code;
use crate::figure::Figure;
use crate::solid::Block;

/// An exercise.
#[derive(Clone, Debug)]
pub struct Exercise {
    /// Its code; none for a job of the instructor's own.
    pub code: Option<Code>,
    /// What it is called.
    pub title: String,
    /// What the learner is told to do.
    pub brief: String,
    /// The text it is made from: a job, or a block.
    pub text: String,
    /// What the text says.
    pub subject: Subject,
    /// The corner the learner draws from.
    pub corner: Corner,
    /// The scale.
    pub scale: Scale,
    /// Distance of the grid's lines along an axis, mm of paper.
    pub pitch_mm: f64,
    /// What is to be drawn.
    pub figure: Figure,
}

/// What an exercise is about.
#[derive(Clone, Debug)]
pub enum Subject {
    /// Pipes.
    Pipes(Box<Built>),
    /// A block, its figure's squares as large as the paper's units ask for.
    Block(Box<Block>),
}
