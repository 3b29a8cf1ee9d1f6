//! Says what has to be said of every pipe, point and level, and finds room for it.
//!
//! In: the network and a picture with its lines and symbols. Out: the picture's labels, none of
//! whose areas touches another label, a pipe, a symbol, an arrow or a leader; what finds no room
//! becomes a numbered tag and a row of the overflow table. Start at [`place`]; what is said is in
//! `content` and `points`, where it may stand in `beside`, `along` and `ray`,
//! who gives way in `solve`.

mod along;
mod beside;
mod block;
mod candidate;
mod check;
mod content;
mod exact;
pub(crate) mod field;
mod flags;
mod inset;
mod levels;
mod near;
mod overflow;
mod paper;
mod points;
mod quality;
mod ray;
mod search;
pub(crate) mod shape;
mod slide;
mod solve;
mod strip;
mod want;
mod words;

use kurbo::{Rect, Shape};
use wyeline_network::Network;

pub use check::{Touch, What, check};
pub use quality::{Quality, quality};
pub use words::{height, length};

use candidate::Candidate;
use field::{Field, Thing};
use shape::Oblong;
use want::Want;

use crate::picture::{Label, LabelClass, Picture};
use crate::style;

/// How labels are placed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Options {
    /// Words lie along their pipe, read from below or from the right, rather than level.
    pub along: bool,
}

/// Room round the drawing in which labels are expected, mm; those further out are found as well,
/// only more slowly.
const MARGIN: f64 = 40.0;

/// Adds all labels to `picture`; letters of the system are set into the pipes' lines, which are
/// cut round them. Labels already there are kept.
pub fn place(net: &Network, picture: &mut Picture, options: &Options) {
    attempt(net, picture, *options, None, false, |_| true);
}

/// The same, saying only what is of a class that `wanted` lets through; letters set into the lines are said always.
pub fn place_some(
    net: &Network,
    picture: &mut Picture,
    options: &Options,
    wanted: impl Fn(LabelClass) -> bool,
) {
    attempt(net, picture, *options, None, false, |want| {
        wanted(want.class)
    });
}

/// The same, but says only what is about something in `seen`, a rectangle of the picture, mm: where a drawing is looked at from near,
/// the rest is out of sight.
pub fn place_within(net: &Network, picture: &mut Picture, options: &Options, seen: Rect) {
    attempt(net, picture, *options, Some(seen), false, |want| {
        beside::around(want).overlaps(seen)
    });
}

/// The same, but gives up, and answers `false`, where more than a few words find no room beside what they
/// are about; the picture is then of no use.
#[must_use]
pub fn place_unless_crowded(net: &Network, picture: &mut Picture, options: &Options) -> bool {
    attempt(net, picture, *options, None, true, |_| true)
}

fn attempt(
    net: &Network,
    picture: &mut Picture,
    options: Options,
    seen: Option<Rect>,
    unless_crowded: bool,
    wanted: impl Fn(&Want) -> bool,
) -> bool {
    let drawn = drawn(picture);
    let pieces: usize = picture
        .pipes
        .iter()
        .map(|p| p.pieces.len() + p.arrows.len())
        .sum();
    let expected = pieces + picture.symbols.len() * 2 + picture.frames.len() * 8;
    let bounds = drawn.inflate(MARGIN, MARGIN);
    let mut fixed = Field::new(bounds, expected);
    obstacles(picture, &mut fixed);
    inset::set(&mut picture.pipes, seen, &mut fixed, &mut picture.labels);

    let mut wants = Vec::with_capacity(picture.pipes.len() * 2);
    content::pipes(net, picture, options.along, &mut wants);
    let shown = points::Shown::of(net, picture);
    points::points(net, picture, &shown, &mut wants);
    content::frames(net, picture, &mut wants);
    flags::flags(net, picture, &shown, &mut wants);
    levels::building(net, picture, drawn, &mut wants);
    wants.retain(wanted);

    let Some(left) = solve(wants, &fixed, bounds, unless_crowded, picture) else {
        return false;
    };
    if !left.is_empty() {
        overflow::tag(net, picture, left, fixed);
    }
    true
}

/// Sets as many blocks as find room and gives back the rest; nothing where it gave up.
fn solve(
    wants: Vec<Want>,
    fixed: &Field,
    bounds: Rect,
    unless_crowded: bool,
    picture: &mut Picture,
) -> Option<Vec<Want>> {
    let room = Field::new(bounds, wants.len() + 16);
    let chosen = solve::Placing::new(&wants, fixed, room).solve(unless_crowded)?;
    let mut left = Vec::new();
    picture.labels.reserve(wants.len());
    for (want, choice) in wants.into_iter().zip(chosen) {
        match choice {
            Some(c) => picture.labels.push(set(&want, &c)),
            None => left.push(want),
        }
    }
    Some(left)
}

/// A block set in its place.
fn set(want: &Want, c: &Candidate) -> Label {
    let layout = &want.layouts[usize::from(c.layout)];
    let (lines, strokes) = layout.set(&want.items, &c.area, c.align);
    Label {
        about: want.about,
        class: want.class,
        lines,
        area: c.area.corners(),
        leader: c.leader,
        strokes,
    }
}

/// Bounds of everything drawn before labels.
fn drawn(picture: &Picture) -> Rect {
    let mut all: Option<Rect> = None;
    let mut join = |r: Rect| all = Some(all.map_or(r, |a| a.union(r)));
    for mark in &picture.pipes {
        for &(p, q) in &mark.pieces {
            join(Rect::from_points(p, q));
        }
    }
    for symbol in &picture.symbols {
        symbol.boxes.iter().for_each(|&b| join(b));
    }
    for outline in &picture.outlines {
        if outline.of != crate::picture::OutlineKind::Grid {
            outline
                .strokes
                .iter()
                .for_each(|s| join(s.path.bounding_box()));
        }
    }
    all.unwrap_or_default()
}

/// Enters all that labels must keep clear of, and the frames they had better.
fn obstacles(picture: &Picture, field: &mut Field) {
    let sizes = style::sizes();
    for mark in &picture.pipes {
        let half = mark.pen.width / 2.0;
        for &(p, q) in &mark.pieces {
            field.add(Oblong::of_stroke(p, q, half), Thing::Pipe(mark.pipe));
        }
        for &(tip, way) in &mark.arrows {
            let back = tip - way * sizes.arrow_length;
            field.add(
                Oblong::of_stroke(back, tip, sizes.arrow_width / 2.0),
                Thing::Arrow,
            );
        }
    }
    for symbol in &picture.symbols {
        for &rect in &symbol.boxes {
            field.add(Oblong::of_rect(rect), Thing::Symbol);
        }
    }
    for label in &picture.labels {
        let [a, b, _, d] = label.area;
        let side = d - a;
        let middle = side / 2.0;
        field.add(
            Oblong::of_stroke(a + middle, b + middle, side.hypot() / 2.0),
            Thing::Label(u32::MAX),
        );
    }
    for frame in &picture.frames {
        for &(a, b, _) in &frame.edges {
            field.add(Oblong::of_stroke(a, b, 0.1), Thing::Frame);
        }
    }
}
