//! What stands on a page: marks in paper millimetres from its upper left corner, x right and y down,
//! in groups that say what they are. The file writers need nothing else.

use kurbo::{Affine, BezPath, Point, Rect, Shape, Vec2};
use wyeline_draw::ink::{Lettering, Pen, Stroke};

/// One page, ready for a file writer.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// Width and height, mm.
    pub size_mm: (f64, f64),
    /// Its number, from 1.
    pub number: u32,
    /// How many sheets there are.
    pub count: u32,
    /// Its title.
    pub title: String,
    /// What it shows, for those who cannot see it.
    pub description: String,
    /// Everything on it, in drawing order.
    pub items: Vec<Item>,
}

/// One thing on a page.
#[derive(Clone, Debug)]
pub enum Item {
    /// A line or a filled shape.
    Stroke(Mark),
    /// Lettering.
    Text(Text),
    /// Things that belong together.
    Group(Group),
}

/// A stroke and what it is.
#[derive(Clone, Debug)]
pub struct Mark {
    /// What it is (`line`, `arrow`); may be empty.
    pub class: &'static str,
    /// Its shape and pen.
    pub stroke: Stroke,
}

/// Lettering and what it is.
#[derive(Clone, Debug)]
pub struct Text {
    /// What it is (`label`, `title`); may be empty.
    pub class: &'static str,
    /// What it is about, as `data-` names and values.
    pub data: Vec<(&'static str, Datum)>,
    /// The words and where they stand.
    pub lettering: Lettering,
    /// White round the letters, so that they read across thin lines.
    pub halo: bool,
}

/// Things that belong together, and what they are.
#[derive(Clone, Debug, Default)]
pub struct Group {
    /// What they are (`view iso`, `pipe`).
    pub class: &'static str,
    /// More about them, as `data-` names and values.
    pub data: Vec<(&'static str, Datum)>,
    /// Words shown when pointed at, and read aloud.
    pub title: Option<String>,
    /// The things, in drawing order.
    pub items: Vec<Item>,
}

/// A value told along with a group or lettering.
#[derive(Clone, Debug, PartialEq)]
pub enum Datum {
    /// A word of ours.
    Word(&'static str),
    /// Words that may come from the job.
    Text(String),
    /// A whole number.
    Count(u32),
    /// Two measures in paper mm.
    Pair(f64, f64),
    /// A measure in paper mm.
    Measure(f64),
}

impl Group {
    /// An empty group of a class.
    pub fn new(class: &'static str) -> Self {
        Self {
            class,
            ..Self::default()
        }
    }
    /// The same with a value told along.
    #[must_use]
    pub fn with(mut self, name: &'static str, value: Datum) -> Self {
        self.data.push((name, value));
        self
    }
    /// Adds a stroked path.
    pub fn stroke(&mut self, class: &'static str, path: BezPath, pen: Pen) {
        self.items.push(Item::Stroke(Mark {
            class,
            stroke: Stroke {
                path,
                pen: Some(pen),
                fill: None,
            },
        }));
    }
    /// Adds plain lettering.
    pub fn text(&mut self, class: &'static str, lettering: Lettering) {
        self.items.push(Item::Text(Text {
            class,
            data: Vec::new(),
            lettering,
            halo: false,
        }));
    }
}

/// Moves a stroke by `by`, mm.
pub(crate) fn moved(mut stroke: Stroke, by: Vec2) -> Stroke {
    stroke.path.apply_affine(Affine::translate(by));
    stroke
}

/// A straight line from `a` to `b`.
pub fn line(a: impl Into<Point>, b: impl Into<Point>) -> BezPath {
    let mut path = BezPath::with_capacity(2);
    path.move_to(a);
    path.line_to(b);
    path
}

/// The outline of a rectangle.
pub fn outline(rect: Rect) -> BezPath {
    rect.to_path(0.1)
}
