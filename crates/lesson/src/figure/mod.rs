//! What a learner is to draw, in space: straight lines and what has to be told at points of them.
//!
//! The hinge of the lessons: blocks and networks both become one, and keys, steps and marks come from it alone.

use glam::DVec3;
use wyeline_draw::Corner;
use wyeline_job::model::System;
use wyeline_network::model::PipeIx;

mod network;

/// What is to be drawn, mm, x east, y north, z up (heights as the drawing takes them: falls left out).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Figure {
    /// Straight lines; where two touch, both end.
    pub lines: Vec<Line>,
    /// What has to be told at points.
    pub spots: Vec<Spot>,
    /// Which parts of edges are hidden; nothing where the figure is of pipes.
    pub hidden: Vec<Hidden>,
}

/// A part of an edge that cannot be seen from a corner, and is drawn dashed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hidden {
    /// The corner looked from.
    pub corner: Corner,
    /// One end.
    pub from: DVec3,
    /// The other end.
    pub to: DVec3,
}

/// A straight line of a figure, cut at every point where another one meets it.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// One end: where what flows in it comes from.
    pub from: DVec3,
    /// The other end.
    pub to: DVec3,
    /// What it is.
    pub role: Role,
    /// What it belongs to, in words: the name of its run; empty for edges of a block.
    pub part: String,
    /// The pipe it stands for, where the figure is of a network.
    pub pipe: Option<PipeIx>,
}

/// What a line is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Role {
    /// An edge of a block; seen or hidden by the corner looked from.
    Edge,
    /// A pipe that ends at or serves nothing but one fixture: its drop, riser or arm.
    Branch(System),
    /// Any other pipe.
    Pipe(System),
}

impl Role {
    /// The system, for pipes.
    pub fn system(self) -> Option<System> {
        match self {
            Self::Edge => None,
            Self::Branch(system) | Self::Pipe(system) => Some(system),
        }
    }
}

/// Something told at a point.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// Where.
    pub at: DVec3,
    /// What.
    pub what: What,
}

/// What is told at a point.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// A fixture or piece of equipment: its tag, and the letters by which it may be told.
    Fixture {
        /// Its tag.
        tag: String,
        /// Letters that tell it, the usual ones first (`WC`, `WC1`).
        letters: Vec<String>,
        /// Height of its flood rim, mm, where it is known.
        rim: Option<f64>,
    },
    /// A trap: a small hook or loop, or its letter.
    Trap {
        /// The fixture it belongs to.
        tag: String,
    },
    /// An arrow that shows the way of flow, on a line that goes out from here.
    Flow {
        /// Unit vector of the way.
        along: DVec3,
    },
    /// A letter or word by the legend (`CO`, `VTR`, `C`, `H`).
    Letters {
        /// What is told, in words (`cleanout`).
        of: &'static str,
        /// Letters that tell it.
        letters: Vec<String>,
    },
}
