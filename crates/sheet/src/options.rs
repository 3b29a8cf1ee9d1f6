//! What is wanted on the sheets.

use wyeline_draw::Corner;
use wyeline_job::model::System;
use wyeline_network::model::LevelIx;
use wyeline_units::Scale;

use crate::paper::{Orientation, Paper};
use crate::schedule::Schedule;

/// Which views.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Views {
    /// The isometric.
    #[default]
    Iso,
    /// A plan of each level on which anything stands, or of the one asked for.
    Plan,
    /// Plans and the isometric, on one sheet where they fit.
    Both,
}

/// What is wanted; `Options::default()` leaves every choice to the program.
#[derive(Clone, Debug, Default)]
pub struct Options {
    /// Which views.
    pub views: Views,
    /// The corner looked from; the best one where not said.
    pub corner: Option<Corner>,
    /// The systems shown; all where empty.
    pub systems: Vec<System>,
    /// The scale; the largest standard one that fits where not said.
    pub scale: Option<Scale>,
    /// The paper; where not said tabloid, or A3 for metric jobs, or the next larger one on which the labels find room.
    pub paper: Option<&'static Paper>,
    /// Which way up; landscape unless portrait allows a larger scale, where not said.
    pub orientation: Option<Orientation>,
    /// The isometric grid behind the drawing.
    pub grid: bool,
    /// Sloped runs drawn as they lie.
    pub true_fall: bool,
    /// Labels lie along their pipes.
    pub labels_along: bool,
    /// The level of the plan; every level on which anything stands where not said.
    pub level: Option<LevelIx>,
    /// Tables on sheets of their own, after the drawings.
    pub schedules: Vec<Schedule>,
}
