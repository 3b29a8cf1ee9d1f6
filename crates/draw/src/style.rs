//! Pens, line patterns, colours and sizes, read once from `data/lines.toml`.
//!
//! Every value there has its source or the words "own choice" beside it.

use std::sync::LazyLock;

use serde::Deserialize;
use wyeline_job::model::System;

use crate::ink::{Colour, Pattern, Pen};

/// The table as written.
#[derive(Deserialize)]
struct Table {
    pattern: Patterns,
    pen: Pens,
    size: Sizes,
}

#[derive(Deserialize)]
#[serde(rename_all = "kebab-case")]
struct Patterns {
    solid: Dashes,
    dashed: Dashes,
    dash_dot: Dashes,
    dash_two_dots: Dashes,
    dash_three_dots: Dashes,
    long_short: Dashes,
    dotted: Dashes,
}

#[derive(Deserialize)]
struct Dashes {
    mm: Vec<f64>,
}

#[derive(Deserialize)]
#[serde(rename_all = "kebab-case")]
struct Pens {
    waste: PipePen,
    vent: PipePen,
    storm: PipePen,
    cold: PipePen,
    hot: PipePen,
    hot_return: PipePen,
    gas: PipePen,
    existing: Existing,
    symbol: LinePen,
    frame: LinePen,
    hatch: LinePen,
    structure: LinePen,
    ceiling: LinePen,
    hidden: LinePen,
    grid: LinePen,
    #[serde(rename = "match")]
    match_bar: LinePen,
}

#[derive(Deserialize)]
struct PipePen {
    width: f64,
    pattern: PatternName,
    colour: [u8; 3],
    pale: [u8; 3],
    letters: String,
}

#[derive(Deserialize)]
struct Existing {
    width: f64,
}

#[derive(Deserialize)]
struct LinePen {
    width: f64,
    pattern: PatternName,
    colour: [u8; 3],
}

#[derive(Deserialize, Clone, Copy)]
#[serde(rename_all = "kebab-case")]
enum PatternName {
    Solid,
    Dashed,
    DashDot,
    DashTwoDots,
    DashThreeDots,
    LongShort,
    Dotted,
}

impl From<PatternName> for Pattern {
    fn from(name: PatternName) -> Self {
        match name {
            PatternName::Solid => Self::Solid,
            PatternName::Dashed => Self::Dashed,
            PatternName::DashDot => Self::DashDot,
            PatternName::DashTwoDots => Self::DashTwoDots,
            PatternName::DashThreeDots => Self::DashThreeDots,
            PatternName::LongShort => Self::LongShort,
            PatternName::Dotted => Self::Dotted,
        }
    }
}

/// Sizes on paper, mm.
#[derive(Clone, Copy, Debug, Deserialize)]
pub struct Sizes {
    /// Clear distance from the edge of the line in front to the end of the broken one, each side.
    pub crossing_gap: f64,
    /// Least clear distance between lines side by side.
    pub side_gap: f64,
    /// Lines side by side with less clear distance than this are pulled apart to `side_gap`.
    pub side_gap_missed: f64,
    /// Lines that fall on each other for less than this are let be.
    pub overlap_least: f64,
    /// What an end on a line adds to the cost of pulling it aside, as so much more length.
    pub overlap_pinned: f64,
    /// Length of a flow arrow.
    pub arrow_length: f64,
    /// Width of a flow arrow's head.
    pub arrow_width: f64,
    /// Distance between flow arrows.
    pub arrow_spacing: f64,
    /// A drained pipe of at least this length carries an arrow.
    pub arrow_least_drain: f64,
    /// Any other pipe (vents excepted) of at least this length carries an arrow.
    pub arrow_least_other: f64,
    /// From a turn to the tail of its flow arrow.
    pub arrow_turn: f64,
    /// Distance kept between a flow arrow and an end or break of its line.
    pub arrow_clear: f64,
    /// Distance between hatching lines.
    pub hatch_spacing: f64,
    /// Width of the band that is hatched of a large plane.
    pub hatch_band: f64,
    /// Length of a match bar.
    pub match_bar: f64,
    /// Pitch of the isometric grid along the axes, for jobs in feet and inches.
    pub grid_inch: f64,
    /// Pitch of the isometric grid along the axes, for metric jobs.
    pub grid_metric: f64,
    /// Height of capitals in sizes, lengths and heights.
    pub lettering: f64,
    /// Height of capitals in notes and falls.
    pub lettering_notes: f64,
}

/// The table with its pens made up.
struct Style {
    new: [Pen; 7],
    existing: [Pen; 7],
    letters: [String; 7],
    dashes: [Vec<f64>; 7],
    other: [Pen; 8],
    sizes: Sizes,
}

static STYLE: LazyLock<Style> = LazyLock::new(|| {
    let table: Table = toml::from_str(include_str!("../data/lines.toml"))
        .expect("data/lines.toml is part of the program and read by its tests");
    let p = table.pen;
    let pipes = [p.waste, p.vent, p.cold, p.hot, p.hot_return, p.storm, p.gas];
    let colour = |c: [u8; 3]| Colour(c[0], c[1], c[2]);
    let line = |l: &LinePen| Pen {
        width: l.width,
        pattern: l.pattern.into(),
        colour: colour(l.colour),
    };
    let pen = |p: &PipePen, width: f64, c: [u8; 3]| Pen {
        width,
        pattern: p.pattern.into(),
        colour: colour(c),
    };
    let t = table.pattern;
    Style {
        new: pipes.each_ref().map(|p| pen(p, p.width, p.colour)),
        existing: pipes.each_ref().map(|q| pen(q, p.existing.width, q.pale)),
        letters: pipes.map(|p| p.letters),
        dashes: [
            t.solid.mm,
            t.dashed.mm,
            t.dash_dot.mm,
            t.dash_two_dots.mm,
            t.dash_three_dots.mm,
            t.long_short.mm,
            t.dotted.mm,
        ],
        other: [
            line(&p.symbol),
            line(&p.frame),
            line(&p.hatch),
            line(&p.structure),
            line(&p.ceiling),
            line(&p.hidden),
            line(&p.grid),
            line(&p.match_bar),
        ],
        sizes: table.size,
    }
});

/// A pen that is not a pipe's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line {
    /// Symbols of fittings, fixtures and devices.
    Symbol,
    /// Construction squares and boxes and their dimension edges.
    Frame,
    /// Hatching of construction squares and boxes.
    Hatch,
    /// Floor edges, walls, bodies.
    Structure,
    /// Ceiling edges.
    Ceiling,
    /// Hidden edges and reference lines below the floor.
    Hidden,
    /// Isometric grid.
    Grid,
    /// Match bars.
    Match,
}

/// The pen of a pipe.
pub fn pen(system: System, existing: bool) -> Pen {
    let i = system as usize;
    if existing {
        STYLE.existing[i]
    } else {
        STYLE.new[i]
    }
}

/// The pen of anything else.
pub fn line(line: Line) -> Pen {
    STYLE.other[line as usize]
}

/// Letters set into the line of a system; empty for waste and vents.
pub fn letters(system: System) -> &'static str {
    &STYLE.letters[system as usize]
}

/// Sizes on paper.
pub fn sizes() -> &'static Sizes {
    &STYLE.sizes
}

impl Pattern {
    /// Lengths of pen down, gap, pen down, gap … in mm; empty for an unbroken line.
    pub fn lengths(self) -> &'static [f64] {
        &STYLE.dashes[self as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Black-and-white copies: the line alone tells the systems apart (letters included).
    #[test]
    fn no_two_systems_share_pattern_and_letters() {
        for (i, a) in System::ALL.iter().enumerate() {
            for b in &System::ALL[..i] {
                let same = pen(*a, false).pattern == pen(*b, false).pattern;
                assert!(
                    !same || letters(*a) != letters(*b),
                    "{a:?} and {b:?} look the same"
                );
            }
        }
    }

    /// The order of the table's pens follows the enum: a drain is the 0.7 solid line,
    /// a vent dashed 4-2, existing pipe 0.25 with the pattern of its system.
    #[test]
    fn pens_are_those_of_the_system_named() {
        let drain = pen(System::Waste, false);
        assert_eq!((drain.width, drain.pattern), (0.7, Pattern::Solid));
        assert_eq!(pen(System::Vent, false).pattern.lengths(), [4.0, 2.0]);
        for s in System::ALL {
            assert_eq!(pen(s, true).width, 0.25);
            assert_eq!(pen(s, true).pattern, pen(s, false).pattern);
        }
        assert_eq!(letters(System::Cold), "C");
        assert_eq!(letters(System::Hot), "H");
        assert_eq!(letters(System::HotReturn), "HR");
        assert_eq!(letters(System::Storm), "ST");
        assert_eq!(letters(System::Gas), "G");
    }

    /// A pattern is pairs of mark and gap.
    #[test]
    fn patterns_have_as_many_gaps_as_marks() {
        use Pattern::{DashDot, DashThreeDots, DashTwoDots, Dashed, Dotted, LongShort};
        for p in [
            Dashed,
            DashDot,
            DashTwoDots,
            DashThreeDots,
            LongShort,
            Dotted,
        ] {
            assert!(p.lengths().len() >= 2 && p.lengths().len() % 2 == 0);
            assert!(p.lengths().iter().all(|&l| l > 0.0));
        }
        assert!(Pattern::Solid.lengths().is_empty());
    }
}
