//! Pens and limits of steps, read once from `data/steps.toml`.

use std::sync::LazyLock;

use serde::Deserialize;

/// What steps look like, and how much one holds.
#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(crate) struct Style {
    /// Lines drawn in one step, at most.
    pub lines: usize,
    /// Symbols or labels in one step, at most.
    pub marks: usize,
    /// Widths of pens, mm.
    pub pen: Pens,
    /// Grey of letters that were there already.
    pub old_letters: u8,
    /// Radius of the ring where a step begins, mm.
    pub ring: f64,
    /// Length of the axes' arrows, squares of the grid.
    pub axes: f64,
    /// White paper round the drawing, mm.
    pub margin: f64,
    /// Height of the axes' letters, mm.
    pub letters: f64,
}

/// Widths of pens, mm.
#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(crate) struct Pens {
    /// A pipe that is new in a step.
    pub new_pipe: f64,
    /// A pipe that was there.
    pub old_pipe: f64,
    /// The least of a symbol's line that is new.
    pub new_symbol: f64,
    /// A construction line that is new.
    pub new_frame: f64,
    /// A line of the building that is new.
    pub outline: f64,
    /// An axis that is new.
    pub axis: f64,
    /// An axis that was there.
    pub old_axis: f64,
    /// An edge of a block in the finished drawing.
    pub edge: f64,
    /// The ring where a step begins.
    pub ring: f64,
}

static STYLE: LazyLock<Style> = LazyLock::new(|| {
    toml::from_str(include_str!("../../data/steps.toml"))
        .expect("data/steps.toml is part of the program and read by its tests")
});

/// The table.
pub(crate) fn style() -> &'static Style {
    &STYLE
}
