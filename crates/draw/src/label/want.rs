//! Something to be said, and what it has to stand beside.

use kurbo::{Point, Rect, Vec2};

use super::block::{Item, Layout};
use crate::picture::{About, LabelClass};

/// What a block of words stands beside.
#[derive(Clone, Copy, Debug)]
pub(super) enum Spot {
    /// A line drawn with a pen of twice `half`.
    Line { a: Point, b: Point, half: f64 },
    /// An edge whose outer side is preferred.
    Edge { a: Point, b: Point, out: Vec2 },
    /// A point with nothing of its own within `reach`.
    At { at: Point, reach: f64 },
    /// A symbol.
    Box(Rect),
    /// A fixture's outline, in or beside which its tag may stand.
    Outline(Rect),
    /// Words that stand over a place rather than beside it.
    Over(Point),
    /// Words at the outer end of a reference line: left of the first point, or right of the second.
    Ends(Point, Point),
}

/// A block of words that must appear.
#[derive(Clone, Debug)]
pub(super) struct Want {
    pub about: About,
    pub class: LabelClass,
    pub items: Vec<Item>,
    /// Ways of breaking it into rows, the preferred first.
    pub layouts: Vec<Layout>,
    /// Items before which a row may end.
    pub breaks: Vec<usize>,
    pub spot: Spot,
    /// Lies along its line rather than level.
    pub along: bool,
}

impl Want {
    /// Level words in one row.
    pub fn new(about: About, class: LabelClass, items: Vec<Item>, spot: Spot) -> Self {
        let layouts = vec![Layout::new(&items, &[], false)];
        Self {
            about,
            class,
            items,
            layouts,
            breaks: Vec::new(),
            spot,
            along: false,
        }
    }

    /// The words, for the table.
    pub fn text(&self) -> String {
        // A number alone would be taken for that of a label.
        let mut text = match self.class {
            LabelClass::Flag => "flag".to_owned(),
            _ => String::new(),
        };
        for item in &self.items {
            if !item.text().is_empty() {
                if !text.is_empty() {
                    text.push_str("  ");
                }
                text.push_str(item.text());
            }
        }
        text
    }
}
