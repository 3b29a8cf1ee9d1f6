//! What a learner drew: pencil lines and letters on isometric paper, as the page saves them.

use serde::{Deserialize, Serialize};

/// A drawing, in mm of paper, x right and y down.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Drawing {
    /// The code of the exercise, as written; empty where not said.
    #[serde(default)]
    pub exercise: String,
    /// Who drew it; empty where not said.
    #[serde(default)]
    pub learner: String,
    /// The corner (`sw`) that the learner says it is seen from; none where not said.
    #[serde(default)]
    pub corner: Option<String>,
    /// Whether it is a route of the learner's own, to be held against the code rather than the key.
    #[serde(default)]
    pub own_route: bool,
    /// Pencil lines: the points through which the pencil went.
    #[serde(default)]
    pub strokes: Vec<Vec<[f64; 2]>>,
    /// Letters.
    #[serde(default)]
    pub letters: Vec<Letters>,
}

/// Letters set at a place.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Letters {
    /// Their middle.
    pub at: [f64; 2],
    /// The letters.
    pub text: String,
    /// Height of capitals, mm.
    pub height: f64,
}
