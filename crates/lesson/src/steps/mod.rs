//! The key of an exercise as a series of steps: each a sentence in plain words and a picture that contains the ones before.
//!
//! In: a network or the edges of a block, and how it is looked at. Out: [`Step`]s. The order is a learner's: axes and grid, the uprights, the
//! main, each branch, vents, symbols, labels; a 45 or a rolling offset has its square or box before its diagonal. Pens and limits stand in
//! `data/steps.toml`. Start at [`of_network`].

mod begin;
mod block;
mod legs;
mod marks;
pub(crate) mod order;
pub(crate) mod paper;
mod pipes;
pub(crate) mod show;
mod skew;
mod style;
pub(crate) mod words;

use wyeline_draw::Corner;
use wyeline_draw::iso::{self, IsoOptions};
use wyeline_draw::{Part, Projection};
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{NodeIx, PipeIx};
use wyeline_sheet::Sheet;
use wyeline_units::{Scale, UnitSystem};

pub use block::{Edge, of_block};

/// How an exercise is looked at.
#[derive(Clone, Debug)]
pub struct View {
    /// The corner looked from.
    pub corner: Corner,
    /// The scale along the axes.
    pub scale: Scale,
    /// Distance of the grid's lines along an axis, mm of paper.
    pub pitch_mm: f64,
    /// The systems drawn; all where empty.
    pub systems: Vec<System>,
}

impl View {
    /// How points fall on paper, and how lengths are counted on it.
    pub(crate) fn measure(&self, units: UnitSystem) -> words::Measure {
        words::Measure {
            projection: Projection::new(self.corner, self.scale),
            square_mm: self.pitch_mm * f64::from(self.scale.0),
            units,
        }
    }
}

/// A step.
#[derive(Clone, Debug)]
pub struct Step {
    /// What is drawn.
    pub title: String,
    /// How, in plain words.
    pub sentence: String,
    /// Which marks of the key appear.
    pub new: New,
    /// The picture: what is new bold, what was there thin, all of one size.
    pub sheet: Sheet,
}

/// Marks of the key that a step adds.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct New {
    /// The axes, and the grid.
    pub axes: bool,
    /// Outlines of the building, by their place in the picture.
    pub outlines: Vec<usize>,
    /// Pipes.
    pub pipes: Vec<PipeIx>,
    /// Construction squares and boxes, by the pipe they are for.
    pub frames: Vec<PipeIx>,
    /// Pipes that get their arrows.
    pub arrows: Vec<PipeIx>,
    /// Symbols, by their place in the picture.
    pub symbols: Vec<usize>,
    /// Labels, by their place in the picture.
    pub labels: Vec<usize>,
    /// Edges of a block, by their place among those given.
    pub edges: Vec<usize>,
}

/// A step before its picture is drawn.
struct Draft {
    title: String,
    sentence: String,
    new: New,
    /// Where its drawing begins.
    ring: Option<NodeIx>,
}

/// Returns the key of a network as steps, one after the other.
///
/// Every pipe, symbol and label of the key appears in one of them. The same network gives the same steps.
pub fn of_network(network: &Network, view: &View) -> Vec<Step> {
    let part = Part {
        systems: view.systems.clone(),
        ..Part::default()
    };
    let shown = wyeline_draw::shown(network, &part);
    let picture = iso::iso(
        network,
        &IsoOptions {
            corner: view.corner,
            scale: view.scale,
            true_fall: false,
            part,
            labels_along: false,
            grid: false,
        },
    );
    let measure = view.measure(network.units);
    let paths = order::paths(network, &shown);
    let mut drafts = begin::drafts(network, &picture, &measure, &paths);
    drafts.extend(pipes::drafts(network, &picture, &measure, &paths));
    marks::with_pipes(network, &picture, &mut drafts);
    drafts.extend(marks::drafts(network, &picture, &drafts));
    show::steps(network, &picture, view, drafts)
}
