//! Where one looks from, and what part of the network is looked at.

use wyeline_job::model::System;
use wyeline_network::model::{LevelIx, PipeIx};

/// The corner of the building the viewer stands at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Corner {
    /// South-west: north goes up to the left, east up to the right.
    Sw,
    /// South-east: north goes up to the right.
    Se,
    /// North-east.
    Ne,
    /// North-west.
    Nw,
}

impl Corner {
    /// All four.
    pub const ALL: [Self; 4] = [Self::Sw, Self::Se, Self::Ne, Self::Nw];
    /// `sw`, `se`, `ne`, `nw`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Sw => "sw",
            Self::Se => "se",
            Self::Ne => "ne",
            Self::Nw => "nw",
        }
    }
    /// `south-west` and so on.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Sw => "south-west",
            Self::Se => "south-east",
            Self::Ne => "north-east",
            Self::Nw => "north-west",
        }
    }
}

/// What kind of picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum View {
    /// Isometric drawing.
    Iso {
        /// From which corner.
        corner: Corner,
        /// Sloped runs drawn as they lie, not along the axes.
        true_fall: bool,
    },
    /// Plan of one storey.
    Plan {
        /// Which.
        level: LevelIx,
    },
}

/// What part of the network a picture shows.
#[derive(Clone, Debug, Default)]
pub struct Part {
    /// Words for the title (`Waste and vent`, `Level 3, east`); empty for the whole.
    pub title: String,
    /// The systems shown; all where empty.
    pub systems: Vec<System>,
    /// The pipes shown (ascending); all of the systems shown where nothing.
    pub pipes: Option<Vec<PipeIx>>,
    /// Pipes are cut at this box, mm (min, max corners); cut ends get a match mark.
    pub clip: Option<([f64; 3], [f64; 3])>,
    /// Words written at match marks, by the face of the box that cuts: -x, +x, -y, +y, -z, +z.
    pub beyond: [Option<String>; 6],
}
