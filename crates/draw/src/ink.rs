//! What a pen can do: strokes, fills and lettering, in paper millimetres, x right and y down.

use kurbo::{BezPath, Point};

/// A colour; black-and-white copies must read without it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Colour(pub u8, pub u8, pub u8);

impl Colour {
    /// Black.
    pub const BLACK: Self = Self(0, 0, 0);
    /// White (gaps behind lettering).
    pub const WHITE: Self = Self(255, 255, 255);
}

/// A line pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Pattern {
    /// Unbroken.
    Solid,
    /// Short dashes (vent).
    Dashed,
    /// Long dash, one dot (cold).
    DashDot,
    /// Long dash, two dots (hot).
    DashTwoDots,
    /// Long dash, three dots (hot return).
    DashThreeDots,
    /// Long and short dashes (storm).
    LongShort,
    /// Dots (hidden edges).
    Dotted,
}

/// A pen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pen {
    /// Line width, mm.
    pub width: f64,
    /// Line pattern.
    pub pattern: Pattern,
    /// Colour.
    pub colour: Colour,
}

/// A stroked or filled shape.
#[derive(Clone, Debug)]
pub struct Stroke {
    /// Its outline, mm.
    pub path: BezPath,
    /// The pen, if it is stroked.
    pub pen: Option<Pen>,
    /// The fill, if it is filled.
    pub fill: Option<Colour>,
}

/// Weight of lettering.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Weight {
    /// Regular.
    Regular,
    /// Semi-bold (tags, titles).
    SemiBold,
}

/// One line of lettering.
#[derive(Clone, Debug)]
pub struct Lettering {
    /// The words.
    pub text: String,
    /// Start of the base line, mm.
    pub at: Point,
    /// Degrees clockwise on the page (y down); 0 is level.
    pub angle: f64,
    /// Height of capitals, mm.
    pub height: f64,
    /// Weight.
    pub weight: Weight,
    /// Colour.
    pub colour: Colour,
    /// Advance width, mm, measured with the project's own font.
    pub width: f64,
}
