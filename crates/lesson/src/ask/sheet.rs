//! The isometric that questions are asked of: the drawing as it is, black on white on one page, with letters in hexagons.
//!
//! Letters are placed by the same search that places every other label, as the numbers of flags are; one for which there is no room stands
//! on its pipe.

use glam::DVec3;
use kurbo::{Point, Rect, Size, Vec2};
use wyeline_draw::ink::{Colour, Lettering, Stroke, Weight};
use wyeline_draw::iso::{self, IsoOptions};
use wyeline_draw::picture::{Label, LabelClass};
use wyeline_draw::style::{Line, line, sizes};
use wyeline_draw::{Part, Picture, Projection, lettering};
use wyeline_network::Network;
use wyeline_network::model::{Flag, Flagged};
use wyeline_sheet::{Group, Item, Orientation, Paper, Sheet, scale_words};
use wyeline_units::Scale;

use super::{At, LETTERS, Lettered, Question};
use crate::steps::{View, paper, show};

/// Letters are set as the numbers from here on, for the hexagon round two figures holds any letter.
const FIRST: u32 = 10;
/// From the frame of the page to what stands on it, mm; own choice.
const INSIDE: f64 = 4.0;
/// Heights of capitals of the title and of what is said under it, mm; own choice.
const TITLE: f64 = 4.5;
const WORDS: f64 = 2.5;
/// From one base line to the next, in heights of capitals.
const ROW: f64 = 1.75;

/// Returns the isometric with the letters of these questions on one page, black and white: letter paper (A4 for metric jobs), or the next larger
/// one where much would find no room on it.
///
/// Figures are printed on it, so that the exercise's own scale need not hold: of the scales at which it fits the page it is the one at which the most
/// letters and figures find room beside what they are about, of several the largest; the smallest allowed where it fits at none.
pub fn sheet(network: &Network, view: &View, questions: &[Question]) -> Sheet {
    let metric = network.units.is_metric();
    let names = if metric {
        ["a4", "a3"]
    } else {
        ["letter", "tabloid"]
    };
    let papers: Vec<&'static Paper> = names.iter().filter_map(|name| Paper::named(name)).collect();
    let lettered = lettered(questions);
    let part = Part {
        systems: view.systems.clone(),
        ..Part::default()
    };
    let extent = iso::extent(network, view.corner, &part);
    let mut best: Option<Laid> = None;
    for &paper in &papers {
        for &scale in Scale::allowed(metric) {
            let fits =
                |size: Size, room: Rect| size.width <= room.width() && size.height <= room.height();
            let bare = extent.size() / f64::from(scale.0);
            let ways = [Orientation::Landscape, Orientation::Portrait];
            if !ways.iter().any(|way| fits(bare, paper.frame(*way))) {
                continue;
            }
            let Drawn { picture, without } = drawn(network, view, scale, &lettered);
            let size = picture.bounds.size();
            let way = ways.into_iter().find(|way| {
                let rows = head(&picture, view, scale, paper, *way).len();
                fits(size, room(paper, *way, rows))
            });
            let Some(way) = way else { continue };
            let misses = LETTER * without + picture.overflow.len();
            if best.as_ref().is_none_or(|best| misses < best.misses) {
                best = Some(Laid {
                    misses,
                    picture,
                    paper,
                    way,
                    scale,
                });
            }
        }
        if best.as_ref().is_some_and(|best| best.misses <= ENOUGH) {
            break;
        }
    }
    let laid = best.unwrap_or_else(|| {
        let scale = Scale::allowed(metric).last().copied().unwrap_or(view.scale);
        Laid {
            misses: 0,
            picture: drawn(network, view, scale, &lettered).picture,
            paper: papers.last().copied().unwrap_or_else(|| &Paper::all()[0]),
            way: Orientation::Landscape,
            scale,
        }
    });
    page(network, view, laid)
}

/// A letter without room weighs as much as so many figures without; our own choice.
const LETTER: usize = 4;
/// So much without room is put up with before a larger paper is taken; our own choice.
const ENOUGH: usize = 6;

/// A drawing that fits its paper.
struct Laid {
    /// What found no room beside what it is about.
    misses: usize,
    picture: Picture,
    paper: &'static Paper,
    way: Orientation,
    scale: Scale,
}

/// The isometric with its letters.
struct Drawn {
    picture: Picture,
    /// How many letters found no room beside what they are about.
    without: usize,
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

/// Draws the isometric with its letters.
fn drawn(network: &Network, view: &View, scale: Scale, lettered: &[Lettered]) -> Drawn {
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
    // A flag without room is a number in a ring and a row of the table: neither is wanted here.
    let ringed: Vec<String> = picture
        .overflow
        .iter()
        .filter(|(_, words)| words.starts_with("flag"))
        .map(|(number, _)| number.clone())
        .collect();
    let ring = |label: &Label| label.lines.iter().any(|line| ringed.contains(&line.text));
    picture
        .labels
        .retain(|label| label.class != LabelClass::Flag || !ring(label));
    picture
        .overflow
        .retain(|(number, _)| !ringed.contains(number));
    let letter = |text: &str| {
        let number: u32 = text.parse().ok()?;
        LETTERS.chars().nth(number.checked_sub(FIRST)? as usize)
    };
    let mut placed = Vec::new();
    let flags = picture.labels.iter_mut();
    for label in flags.filter(|label| label.class == LabelClass::Flag) {
        for line in &mut label.lines {
            if let Some(letter) = letter(&line.text) {
                *line = centred(&letter.to_string(), middle(line), line.height);
                placed.push(letter);
            }
        }
    }
    let projection = Projection::new(view.corner, scale);
    let left: Vec<&Lettered> = lettered
        .iter()
        .filter(|one| !placed.contains(&one.letter))
        .collect();
    for one in &left {
        let label = on_it(network, &picture, projection, one);
        picture.labels.extend(label);
    }
    let without = left.len();
    Drawn { picture, without }
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
            let marks = picture.pipes.iter().filter(|mark| mark.pipe == ix);
            let longest = marks
                .flat_map(|mark| mark.pieces.iter().copied())
                .max_by(|a, b| a.0.distance(a.1).total_cmp(&b.0.distance(b.1)));
            // Of a short pipe the symbols at its ends may leave nothing.
            let (a, b) = longest.unwrap_or_else(|| {
                let (a, b) = network.drawn(network.pipe(ix));
                (projection.point(a), projection.point(b))
            });
            (a.midpoint(b), wyeline_draw::picture::About::Pipe(ix))
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
fn black(items: &mut [Item]) {
    for item in items {
        match item {
            Item::Stroke(mark) => {
                if let Some(pen) = &mut mark.stroke.pen {
                    pen.colour = Colour::BLACK;
                }
                if let Some(fill) = &mut mark.stroke.fill
                    && *fill != Colour::WHITE
                {
                    *fill = Colour::BLACK;
                }
            }
            Item::Text(text) => text.lettering.colour = Colour::BLACK,
            Item::Group(group) => black(&mut group.items),
        }
    }
}

/// The rows under the title: from where it is seen, how large, and what the numbers on it stand for.
fn head(
    picture: &Picture,
    view: &View,
    scale: Scale,
    paper: &Paper,
    way: Orientation,
) -> Vec<String> {
    let measure = view.measure(wyeline_units::UnitSystem::Millimetres);
    let seen = format!(
        "Seen from the {}: north goes {}, east {}. Scale {} along the axes. Lengths are centre to centre; pipe that falls is drawn level.",
        view.corner.name(),
        measure.paper(DVec3::Y),
        measure.paper(DVec3::X),
        scale_words(scale)
    );
    let own = "An exercise, not for building. Name: ______________________   Date: ______________   Class: ______________";
    let numbers = picture.overflow.iter();
    let numbers = numbers.map(|(number, words)| format!("({number})  {words}"));
    let width = paper.frame(way).width() - 2.0 * INSIDE;
    std::iter::once(seen)
        .chain(numbers)
        .chain(std::iter::once(own.to_owned()))
        .flat_map(|words| broken(&words, width))
        .collect()
}

/// Words broken into rows of a width.
fn broken(words: &str, width: f64) -> Vec<String> {
    let mut rows: Vec<String> = Vec::new();
    for word in words.split(' ') {
        match rows.last_mut() {
            Some(row)
                if lettering::width(&format!("{row} {word}"), WORDS, Weight::Regular) <= width =>
            {
                row.push(' ');
                row.push_str(word);
            }
            _ => rows.push(word.to_owned()),
        }
    }
    rows
}

/// The part of the page that is left for the drawing under so many rows.
fn room(paper: &Paper, way: Orientation, rows: usize) -> Rect {
    let frame = paper.frame(way).inflate(-INSIDE, -INSIDE);
    Rect {
        y0: frame.y0 + TITLE * ROW + rows as f64 * WORDS * ROW,
        ..frame
    }
}

/// The page.
fn page(network: &Network, view: &View, laid: Laid) -> Sheet {
    let Laid {
        picture,
        paper,
        way,
        scale,
        ..
    } = laid;
    let head = head(&picture, view, scale, paper, way);
    let room = room(paper, way, head.len());
    let outer = paper.frame(way);
    let corner = outer.inflate(-INSIDE, -INSIDE).origin();
    let by = room.center() - picture.bounds.center();
    let pitch = sizes().grid_inch;
    let projection = Projection::new(view.corner, scale);
    let axes = show::free_corner(&picture, projection, room - by, pitch)
        .map(|at| paper::axes(projection, at + by, pitch, true));
    // Bounds as large as the paper put the drawing where it stands on it.
    let whole = Rect::from_origin_size((-by).to_point(), paper.size(way));
    let set = Picture {
        bounds: whole,
        ..picture
    };
    let mut shown = wyeline_sheet::pictured(network, set, head.join(" "));
    let mut words = Group::new("words");
    let title = "Reading the isometric";
    let at = corner + Vec2::new(0.0, TITLE);
    words.text("title", Lettering::new(title, at, TITLE, Weight::SemiBold));
    for (row, y) in head.iter().zip(1_u32..) {
        let y = TITLE * ROW + (f64::from(y) - 1.0) * WORDS * ROW + WORDS;
        let at = corner + Vec2::new(0.0, y);
        words.text("", Lettering::new(row, at, WORDS, Weight::Regular));
    }
    let mut edge = Group::new("frame");
    edge.stroke("", kurbo::Shape::to_path(&outer, 0.1), line(Line::Symbol));
    shown.items.push(Item::Group(edge));
    shown.items.push(Item::Group(words));
    shown.items.extend(axes.map(Item::Group));
    black(&mut shown.items);
    title.clone_into(&mut shown.title);
    shown
}
