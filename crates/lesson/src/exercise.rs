//! An exercise: what is given, what is to be drawn, from where and how large.

use std::fmt;

use wyeline_draw::{Corner, Part, best};
use wyeline_job::Diagnostic;
use wyeline_units::Scale;
use wyeline_whole::Built;

use crate::code::Code;
use crate::figure::Figure;
use crate::make::{self, MakeError};
use crate::solid::{self, Block};
use crate::{sheets, solid::MakeError as BlockError};

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

/// Why there is no exercise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ExerciseError {
    /// No layout of pipes.
    Layout(MakeError),
    /// No block.
    Block(BlockError),
    /// The text is no block.
    Misread,
    /// The job has no pipe.
    Nothing,
    /// It fits no page at a scale at which squares are easily counted.
    TooLarge,
}

impl fmt::Display for ExerciseError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Layout(error) => error.fmt(f),
            Self::Block(error) => error.fmt(f),
            Self::Misread => f.write_str("the block cannot be read"),
            Self::Nothing => f.write_str("the job has no pipe to draw"),
            Self::TooLarge => f.write_str("it fits no page of letter paper at 1/8 in to the foot (of A4 at 1:100): give a part of it"),
        }
    }
}

impl std::error::Error for ExerciseError {}

/// What is asked where the job is the instructor's own; our words, as those of the levels.
const OWN_BRIEF: &str = "Draw the pipes as an isometric from the corner named, to scale. Vents are dashed. Show flow on the waste where pipe turns and at every fixture, and letter fixtures and lines.";

impl Exercise {
    /// The exercise of a code.
    ///
    /// # Errors
    /// The code of practice cannot carry the level, or no layout was found.
    pub fn of(code: Code) -> Result<Self, ExerciseError> {
        if code.level.number() == 1 {
            return solid::exercise(code).map_err(ExerciseError::Block);
        }
        let layout = make::layout(code).map_err(ExerciseError::Layout)?;
        let figure = Figure::of_network(&layout.built.network);
        let metric = layout.built.network.units.is_metric();
        let fits = sheets::scale(&figure, layout.corner, metric).ok_or(ExerciseError::TooLarge)?;
        let mut exercise = Self {
            code: Some(code),
            title: layout.title,
            brief: code.level.facts().brief.clone(),
            text: layout.text,
            figure,
            pitch_mm: sheets::pitch_mm(metric),
            subject: Subject::Pipes(Box::new(layout.built)),
            corner: layout.corner,
            // The level's own, or the next smaller one that a page has room for.
            scale: Scale(layout.scale.0.max(fits.0)),
        };
        // Lettering may need more room than the lines.
        let smaller = |scale: Scale| {
            sheets::scales(metric)
                .iter()
                .copied()
                .find(|next| next.0 > scale.0)
        };
        while !sheets::fits(&exercise)
            && let Some(next) = smaller(exercise.scale)
        {
            exercise.scale = next;
        }
        Ok(exercise)
    }

    /// The exercise of an instructor's own text, a job or a block, with what is wrong with it. From the corner that reads best where none is given.
    pub fn of_text(
        text: &str,
        corner: Option<Corner>,
    ) -> (Result<Self, ExerciseError>, Vec<Diagnostic>) {
        let first = text
            .lines()
            .map(str::trim_start)
            .find(|line| !line.is_empty() && !line.starts_with('#'));
        if first.is_some_and(|line| line.starts_with("block")) {
            return match solid::read(text) {
                Ok(block) => (
                    Ok(solid::of_block(block, corner.unwrap_or(Corner::Sw), false)),
                    Vec::new(),
                ),
                Err(wrong) => (Err(ExerciseError::Misread), wrong),
            };
        }
        let built = Built::of(text.as_bytes(), |_| ());
        let diagnostics = built.diagnostics.clone();
        (Self::of_built(built, text, corner), diagnostics)
    }

    fn of_built(built: Built, text: &str, corner: Option<Corner>) -> Result<Self, ExerciseError> {
        let figure = Figure::of_network(&built.network);
        if figure.lines.is_empty() {
            return Err(ExerciseError::Nothing);
        }
        let metric = built.network.units.is_metric();
        let middle = sheets::scales(metric)[0];
        let corner =
            corner.unwrap_or_else(|| best::best(&built.network, &Part::default(), middle).corner);
        let scale = sheets::scale(&figure, corner, metric).ok_or(ExerciseError::TooLarge)?;
        let title = built
            .job
            .title
            .job
            .as_ref()
            .map_or("Exercise", |name| &name.text)
            .to_owned();
        Ok(Self {
            code: None,
            title,
            brief: OWN_BRIEF.to_owned(),
            text: text.to_owned(),
            subject: Subject::Pipes(Box::new(built)),
            corner,
            scale,
            pitch_mm: sheets::pitch_mm(metric),
            figure,
        })
    }

    /// What it is filed under: its code, or its title in plain letters.
    pub fn name(&self) -> String {
        if let Some(code) = self.code {
            return code.to_string();
        }
        let plain = self.title.chars().map(|c| {
            if c.is_ascii_alphanumeric() {
                c.to_ascii_lowercase()
            } else {
                '-'
            }
        });
        let words: String = plain.collect();
        let words: Vec<&str> = words.split('-').filter(|word| !word.is_empty()).collect();
        words.join("-")
    }
}
