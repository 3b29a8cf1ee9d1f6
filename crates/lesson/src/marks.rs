//! The marks of a drawing: points by heading, and each fault with its place and its reason.

use serde::Serialize;

/// What a drawing got.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Marks {
    /// The corner from which it was understood (`sw`); none where it fits none.
    pub corner: Option<&'static str>,
    /// Points by heading, in the order of the rubric.
    pub headings: Vec<Heading>,
    /// What is wrong, the dearest first.
    pub faults: Vec<Fault>,
    /// Points got.
    pub got: f64,
    /// Points there are.
    pub of: f64,
    /// What else has to be said of the marking, in plain words: headings that the exercise has nothing for, another scale or corner.
    pub notes: Vec<String>,
}

/// A heading of the rubric.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Heading {
    /// Its name (`orientation`).
    pub name: String,
    /// Points got.
    pub got: f64,
    /// Points there are: its weight.
    pub of: f64,
}

/// A fault.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Fault {
    /// Which, by its name in the rubric's table of deductions (`mirrored`).
    pub name: String,
    /// The heading that loses by it.
    pub heading: String,
    /// Points lost.
    pub points: f64,
    /// Where on the drawing, mm of its paper; none for the drawing as a whole.
    pub at: Option<[f64; 2]>,
    /// What is wrong and how it is put right, in plain words.
    pub words: String,
}
