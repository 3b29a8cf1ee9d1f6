//! Makes the blocks of a class: as many different ones as it has members, all as hard as each other.
//!
//! All shapes are put in an order that the seed decides and gone through: what has as many lines, hidden lines and corners from some corner as the seed's
//! kind of class asks for, and is not one of those before it turned or mirrored, is the next member's. `data/blocks.toml` holds the kinds of class.

use std::collections::BTreeSet;
use std::fmt;
use std::sync::LazyLock;

use serde::Deserialize;
use wyeline_draw::Corner;
use wyeline_units::Scale;

use crate::code::Code;
use crate::dice::Dice;
use crate::exercise::{Exercise, Subject};
use crate::level::Level;

use super::edges::{Unit, joined, units};
use super::look::{looked_at, paper};
use super::shapes::{self, Shape};
use super::{Block, Solid};

/// The level that blocks are.
const LEVEL: u8 = 1;
/// Where the dice of a whole class stand among its members: beyond all that a code can name.
const CLASS: u16 = u16::MAX;
/// Of a block's unit edges at most one in so many may fall on another one on paper: where more do, the drawing can be read as another block. Our own choice.
const FALLEN: usize = 8;
/// A block has at most so many lines more than edges: where an edge goes behind something, it is two or three lines. Our own choice, for speed alone.
const SPLIT: usize = 5;

/// How much there is to draw.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Difficulty {
    /// Straight lines seen.
    pub lines: usize,
    /// Straight lines hidden.
    pub hidden: usize,
    /// Points of the paper at which a line seen ends.
    pub corners: usize,
}

impl Difficulty {
    /// Of a solid with these unit edges from a corner; nothing where so many of them fall on others that the drawing shows less than there is.
    fn of(solid: &Solid, units: &[Unit], corner: Corner) -> Option<Self> {
        let (lines, fallen) = looked_at(solid, units, corner);
        if fallen * FALLEN > units.len() {
            return None;
        }
        let hidden = lines.iter().filter(|line| line.hidden).count();
        let seen = lines.iter().filter(|line| !line.hidden);
        let mut corners: Vec<[i32; 2]> = seen
            .flat_map(|line| [line.edge.from, line.edge.to])
            .map(|end| paper(end, corner))
            .collect();
        corners.sort_unstable();
        corners.dedup();
        Some(Self {
            lines: lines.len() - hidden,
            hidden,
            corners: corners.len(),
        })
    }
}

/// A block for a member of a class.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Made {
    /// The block with its name.
    pub block: Block,
    /// The corner it is drawn from.
    pub corner: Corner,
    /// How hard it is.
    pub difficulty: Difficulty,
}

/// Why there is no block.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MakeError {
    /// The code is of another level.
    Level,
}

impl fmt::Display for MakeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("blocks are the first level; that code is of another one")
    }
}

impl std::error::Error for MakeError {}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    /// Where the figures come from.
    #[expect(dead_code, reason = "it stands in the file for whoever reads it")]
    source: String,
    /// Codes of practice by which the paper is in millimetres.
    metric: Vec<String>,
    /// Kinds of class: what each of its blocks comes to.
    kind: Vec<Difficulty>,
}

static FILE: LazyLock<File> = LazyLock::new(|| {
    toml::from_str(include_str!("../../data/blocks.toml")).expect("our own file, read by a test")
});

static SHAPES: LazyLock<Vec<Shape>> = LazyLock::new(shapes::all);

/// The block of a code of the first level.
///
/// # Errors
/// The code is of another level.
pub fn make(code: Code) -> Result<Made, MakeError> {
    if code.level.number() != LEVEL {
        return Err(MakeError::Level);
    }
    let (kind, found) = class(code.seed(), usize::from(code.member()) + 1);
    Ok(member(code.seed(), code.member(), kind, &found))
}

/// The first so many members of a seed's class at once: the same as each by its code, in the time of the last.
pub fn members(seed: u32, count: u16) -> Vec<Made> {
    let (kind, found) = class(seed, usize::from(count).max(1));
    (0..count)
        .map(|place| member(seed, place, kind, &found))
        .collect()
}

/// A member of a class, its block turned as the dice will have it.
fn member(seed: u32, place: u16, kind: Difficulty, class: &[(u32, Corner)]) -> Made {
    // A class larger than the stock begins again.
    let (index, corner) = class[usize::from(place) % class.len()];
    let mut dice = Dice::new(LEVEL, seed, place, 0);
    let shape = &SHAPES[index as usize];
    let as_made = (shape.solid.clone(), corner);
    let turns = 0..dice.whole(0, 3);
    let (solid, corner) = turns.fold(as_made, |(solid, corner), _| (solid.turned(), next(corner)));
    Made {
        block: Block {
            title: shape.name.to_owned(),
            solid,
        },
        corner,
        difficulty: kind,
    }
}

/// The shapes of a class and the corners they are drawn from, at most so many of them; and what each comes to.
fn class(seed: u32, count: usize) -> (Difficulty, Vec<(u32, Corner)>) {
    let mut dice = Dice::new(LEVEL, seed, CLASS, 0);
    let kind = *dice.pick(&FILE.kind);
    let mut order: Vec<u32> = (0..SHAPES.len() as u32).collect();
    dice.shuffle(&mut order);
    let mut taken = BTreeSet::new();
    let mut found: Vec<(u32, Corner)> = Vec::new();
    for index in order {
        if found.len() == count {
            break;
        }
        let solid = &SHAPES[index as usize].solid;
        if !one_piece(solid) {
            continue;
        }
        let units = units(solid);
        // Most edges are drawn as one line: what has far fewer or more of them need not be looked at from four corners.
        let edges = joined(&units, |_, _| false).len();
        if !(kind.lines + kind.hidden - SPLIT..=kind.lines + kind.hidden).contains(&edges) {
            continue;
        }
        let mut corners = Corner::ALL;
        dice.shuffle(&mut corners);
        let fits = |corner: &Corner| Difficulty::of(solid, &units, *corner) == Some(kind);
        if let Some(corner) = corners.into_iter().find(fits)
            && taken.insert(solid.plain_form())
        {
            found.push((index, corner));
        }
    }
    (kind, found)
}

/// Whether all that stands hangs together by whole sides of squares.
fn one_piece(solid: &Solid) -> bool {
    let [wide, deep, _] = solid.size();
    let all = (0..deep).flat_map(|y| (0..wide).map(move |x| [x, y]));
    let standing: Vec<[i32; 2]> = all.filter(|[x, y]| solid.height(*x, *y) > 0).collect();
    let mut reached: Vec<[i32; 2]> = standing.first().copied().into_iter().collect();
    let mut next = 0;
    while let Some([x, y]) = reached.get(next).copied() {
        next += 1;
        for side in [[x + 1, y], [x - 1, y], [x, y + 1], [x, y - 1]] {
            if solid.height(side[0], side[1]) > 0 && !reached.contains(&side) {
                reached.push(side);
            }
        }
    }
    reached.len() == standing.len()
}

/// The corner that a viewer comes to who is turned a quarter counter-clockwise with the block.
const fn next(corner: Corner) -> Corner {
    match corner {
        Corner::Sw => Corner::Se,
        Corner::Se => Corner::Ne,
        Corner::Ne => Corner::Nw,
        Corner::Nw => Corner::Sw,
    }
}

/// The exercise of a code of the first level, its paper in inches, or in millimetres where the code of practice is metric.
///
/// # Errors
/// The code is of another level.
pub fn exercise(code: Code) -> Result<Exercise, MakeError> {
    let made = make(code)?;
    let metric = FILE.metric.iter().any(|id| id == code.practice().id());
    Ok(Exercise {
        code: Some(code),
        ..of_block(made.block, made.corner, metric)
    })
}

/// The exercise of a block of the instructor's own.
pub fn of_block(block: Block, corner: Corner, metric: bool) -> Exercise {
    let level = Level::new(LEVEL).expect("levels begin with blocks");
    let square_mm = super::square_mm(metric);
    let figure = block.solid.figure(square_mm);
    let pitch_mm = crate::sheets::pitch_mm(metric);
    // Two pitches a square, or one where the block is too large for the paper.
    let scale = crate::sheets::scale(&figure, corner, metric)
        .unwrap_or(Scale((square_mm / pitch_mm).round() as u32));
    Exercise {
        code: None,
        title: block.title.clone(),
        brief: level.facts().brief.clone(),
        text: block.solid.text(&block.title),
        subject: Subject::Block(Box::new(block)),
        corner,
        scale,
        pitch_mm,
        figure,
    }
}
