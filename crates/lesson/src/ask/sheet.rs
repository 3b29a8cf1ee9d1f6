//! The isometric that questions are asked of: the drawing as it is, black on white on one page, with letters in hexagons.
//!
//! Letters are placed by the same search that places every other label, as the numbers of flags are; one for which there is no room stands
//! on its pipe.

use kurbo::{BezPath, Point, Rect, Vec2};
use wyeline_draw::ink::{Colour, Lettering, Stroke, Weight};
use wyeline_draw::iso::{self, IsoOptions};
use wyeline_draw::picture::{Label, LabelClass};
use wyeline_draw::style::{Line, line, sizes};
use wyeline_draw::{Part, Picture, Projection};
use wyeline_network::Network;
use wyeline_network::model::{Flag, Flagged};
use wyeline_sheet::{Group, Item, Orientation, Paper, Sheet, scale_words};
use wyeline_units::Scale;

use super::{At, LETTERS, Lettered, Question};
use crate::steps::View;

/// Letters are set as the numbers from here on, for the hexagon round two figures holds any letter.
const FIRST: u32 = 10;
/// From the frame of the page to what stands on it, mm; own choice.
const INSIDE: f64 = 4.0;
/// Heights of capitals of the title and of what is said under it, mm; own choice.
const TITLE: f64 = 4.5;
const WORDS: f64 = 2.5;
/// From one base line to the next, in heights of capitals.
const ROW: f64 = 1.75;

/// Returns the isometric with the letters of these questions on one page, black and white: letter paper, A4 for metric jobs.
///
/// It is drawn at the view's scale, or at the largest smaller one at which it fits the page; no smaller than the smallest allowed.
pub fn sheet(network: &Network, view: &View, questions: &[Question]) -> Sheet {
    let metric = network.units.is_metric();
    let paper = Paper::named(if metric { "a4" } else { "letter" })
        .or_else(|| Paper::all().first())
        .expect("a test reads the table of papers");
    let lettered = lettered(questions);
    let smaller = Scale::allowed(metric)
        .iter()
        .copied()
        .filter(|scale| *scale > view.scale);
    let mut best = None;
    for scale in std::iter::once(view.scale).chain(smaller) {
        let picture = drawn(network, view, scale, &lettered);
        let size = picture.bounds.size();
        for orientation in [Orientation::Landscape, Orientation::Portrait] {
            let room = room(paper, orientation, &picture);
            if size.width <= room.width() && size.height <= room.height() {
                return page(network, view, picture, paper, orientation, scale);
            }
        }
        best = Some((picture, scale));
    }
    let (picture, scale) = best.expect("the view's own scale was tried");
    page(network, view, picture, paper, Orientation::Landscape, scale)
}

/// The letters of all questions, each once, in their order.
fn lettered(questions: &[Question]) -> Vec<Lettered> {
    let mut all: Vec<Lettered> = questions
        .iter()
        .flat_map(|question| question.about.iter().copied())
        .collect();
    all.sort_by_key(|one| one.letter);
    all.dedup();
    all
}

/// The isometric with its letters, in black.
fn drawn(network: &Network, view: &View, scale: Scale, lettered: &[Lettered]) -> Picture {
    let mut flagged = network.clone();
    let number = |letter: char| LETTERS.find(letter).map_or(0, |at| at as u32) + FIRST;
    flagged.flags = lettered
        .iter()
        .filter_map(|one| {
            let at = match one.at {
                At::Pipe(pipe) => Flagged::Pipe(pipe),
                At::Node(node) => Flagged::Node(node),
                At::Edge(_) => return None,
            };
            Some(Flag {
                number: number(one.letter),
                at,
                text: String::new(),
            })
        })
        .collect();
    let mut picture = iso::iso(
        &flagged,
        &IsoOptions {
            corner: view.corner,
            scale,
            true_fall: false,
            part: Part {
                systems: view.systems.clone(),
                ..Part::default()
            },
            labels_along: false,
            grid: false,
        },
    );
    let letter = |text: &str| {
        let number: u32 = text.parse().ok()?;
        LETTERS.chars().nth(number.checked_sub(FIRST)? as usize)
    };
    let mut placed = Vec::new();
    for label in &mut picture.labels {
        if label.class == LabelClass::Flag {
            for line in &mut label.lines {
                if let Some(letter) = letter(&line.text) {
                    *line = centred(&letter.to_string(), middle(line), line.height);
                    placed.push(letter);
                }
            }
        }
    }
    picture
        .overflow
        .retain(|(_, words)| !words.starts_with("flag"));
    let projection = Projection::new(view.corner, scale);
    for one in lettered.iter().filter(|one| !placed.contains(&one.letter)) {
        picture
            .labels
            .extend(on_it(network, &picture, projection, one));
    }
    black(&mut picture);
    picture
}

/// The middle of a line of lettering.
fn middle(line: &Lettering) -> Point {
    line.at + Vec2::new(line.width / 2.0, -line.height / 2.0)
}

/// Letters with their middle at a point.
fn centred(text: &str, middle: Point, height: f64) -> Lettering {
    let mut letters = Lettering::new(text, middle, height, Weight::SemiBold);
    letters.at = middle + Vec2::new(-letters.width / 2.0, letters.height / 2.0);
    letters
}

/// A letter on the pipe or point itself, in a white disc.
fn on_it(
    network: &Network,
    picture: &Picture,
    projection: Projection,
    one: &Lettered,
) -> Option<Label> {
    let (at, about) = match one.at {
        At::Pipe(ix) => {
            let mark = picture.pipes.iter().find(|mark| mark.pipe == ix)?;
            let longest = mark
                .pieces
                .iter()
                .max_by(|a, b| a.0.distance(a.1).total_cmp(&b.0.distance(b.1)))?;
            (
                longest.0.midpoint(longest.1),
                wyeline_draw::picture::About::Pipe(ix),
            )
        }
        At::Node(ix) => (
            picture.node_point(projection, ix, network.node(ix), false),
            wyeline_draw::picture::About::Node(ix),
        ),
        At::Edge(_) => return None,
    };
    let height = sizes().lettering;
    let around = Rect::from_points(at, at).inflate(height, height);
    Some(Label {
        about,
        class: LabelClass::Flag,
        lines: vec![centred(&one.letter.to_string(), at, height)],
        area: [
            around.origin(),
            Point::new(around.x1, around.y0),
            Point::new(around.x1, around.y1),
            Point::new(around.x0, around.y1),
        ],
        leader: None,
        strokes: vec![Stroke {
            path: kurbo::Shape::to_path(&kurbo::Circle::new(at, height * 0.85), 0.01),
            pen: Some(line(Line::Symbol)),
            fill: Some(Colour::WHITE),
        }],
    })
}

/// Turns everything that has a colour black; greys of the building become thin black.
fn black(picture: &mut Picture) {
    let ink = |stroke: &mut Stroke| {
        if let Some(pen) = &mut stroke.pen {
            pen.colour = Colour::BLACK;
        }
        if let Some(fill) = &mut stroke.fill
            && *fill != Colour::WHITE
        {
            *fill = Colour::BLACK;
        }
    };
    for mark in &mut picture.pipes {
        mark.pen.colour = Colour::BLACK;
    }
    let outlines = picture.outlines.iter_mut().flat_map(|o| &mut o.strokes);
    let frames = picture.frames.iter_mut().flat_map(|f| &mut f.strokes);
    outlines.chain(frames).for_each(ink);
    for symbol in &mut picture.symbols {
        symbol.strokes.iter_mut().for_each(ink);
        for letters in &mut symbol.letters {
            letters.colour = Colour::BLACK;
        }
    }
    for label in &mut picture.labels {
        label.strokes.iter_mut().for_each(ink);
        for letters in &mut label.lines {
            letters.colour = Colour::BLACK;
        }
    }
}

/// What is said under the title: from where it is seen, how large, and what the numbers on it stand for.
fn said(picture: &Picture, view: &View, scale: Scale) -> Vec<String> {
    let mut said = vec![
        format!(
            "Seen from the {}, {} along the axes. Lengths are centre to centre; level pipe is drawn level, its fall is written beside it.",
            view.corner.name(),
            scale_words(scale)
        ),
        "An exercise, not for building. Name: ______________________   Date: ______________   Class: ______________"
            .to_owned(),
    ];
    let numbers = picture.overflow.iter();
    said.extend(numbers.map(|(number, words)| format!("({number})  {words}")));
    said
}

/// The part of the page that is left for the drawing.
fn room(paper: &Paper, orientation: Orientation, picture: &Picture) -> Rect {
    let frame = paper.frame(orientation).inflate(-INSIDE, -INSIDE);
    let rows = 2 + picture.overflow.len();
    let head = TITLE * ROW + rows as f64 * WORDS * ROW;
    Rect {
        y0: frame.y0 + head,
        ..frame
    }
}

/// The page.
fn page(
    network: &Network,
    view: &View,
    picture: Picture,
    paper: &Paper,
    orientation: Orientation,
    scale: Scale,
) -> Sheet {
    let room = room(paper, orientation, &picture);
    let frame = paper.frame(orientation).inflate(-INSIDE, -INSIDE);
    let said = said(&picture, view, scale);
    let by = room.center() - picture.bounds.center();
    // Bounds as large as the paper put the drawing where it stands on it.
    let whole = Rect::from_origin_size((-by).to_point(), paper.size(orientation));
    let set = Picture {
        bounds: whole,
        ..picture
    };
    let mut shown = wyeline_sheet::pictured(network, set, said.join(" "));
    let mut words = Group::new("words");
    let title = "Reading the isometric";
    words.text(
        "title",
        Lettering::new(
            title,
            Point::new(frame.x0, frame.y0 + TITLE),
            TITLE,
            Weight::SemiBold,
        ),
    );
    let mut y = frame.y0 + TITLE * ROW;
    for row in &said {
        y += WORDS * ROW;
        words.text(
            "",
            Lettering::new(
                row,
                Point::new(frame.x0, y - WORDS * (ROW - 1.0)),
                WORDS,
                Weight::Regular,
            ),
        );
    }
    let mut edge = Group::new("frame");
    let mut path = BezPath::new();
    let outer = paper.frame(orientation);
    path.move_to(outer.origin());
    path.line_to((outer.x1, outer.y0));
    path.line_to((outer.x1, outer.y1));
    path.line_to((outer.x0, outer.y1));
    path.close_path();
    edge.stroke("", path, line(Line::Symbol));
    shown.items.push(Item::Group(edge));
    shown.items.push(Item::Group(words));
    title.clone_into(&mut shown.title);
    shown
}
