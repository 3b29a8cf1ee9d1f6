//! The plan sheets of a pipe exercise: each storey's plan with lengths and marks, the table of heights, the brief.

use std::collections::BTreeSet;

use kurbo::{Point, Rect, Vec2};
use wyeline_draw::ink::{Lettering, Weight};
use wyeline_draw::label::{height, length};
use wyeline_draw::picture::{About, SymbolKind};
use wyeline_draw::plan::{PlanOptions, plan, viewpoint_mark};
use wyeline_draw::{Corner, Part, Picture};
use wyeline_network::Network;
use wyeline_network::model::{LevelIx, Lie, Node, NodeIx, PipeIx};
use wyeline_sheet::{
    Group, Item, LEADING, Mark, NOTE, Sheet, north, scale_bar, scale_words, shift, view, wrapped,
};
use wyeline_units::Scale;

use crate::exercise::Exercise;

use super::axes;
use super::brief::{self, ROW};
use super::heights::{Heights, Row, heights};
use super::lay::Lay;
use super::page::{PAD, Page};

/// Room for the north arrow beside a plan's words, mm.
const NORTH: f64 = 15.0;
/// Height of what stands under a plan: its name, scale and bar, mm.
const UNDER: f64 = 19.0;
/// Left free round a plan for the eye that looks at it, mm.
const EYE: f64 = 8.0;
/// What stands under a plan has at least this width, mm: north arrow, scale bar and the words at its end.
const NARROWEST: f64 = 90.0;

/// The network as a learner is told of it: no sizes, falls or inverts, every pipe at the height at which it is drawn, nothing set apart as existing.
pub(super) fn told(network: &Network) -> Network {
    let mut told = network.clone();
    (told.datum_mm, told.code) = (None, None);
    told.notes.clear();
    told.flags.clear();
    for node in &mut told.nodes {
        node.at.z = node.z_drawn;
        (node.mark, node.note) = (None, None);
    }
    for pipe in &mut told.pipes {
        (pipe.size, pipe.bore_mm, pipe.outside_mm) = (None, None, None);
        (pipe.slope, pipe.invert_from, pipe.invert_to) = (None, None, None);
        (pipe.load, pipe.mark) = (None, None);
        (pipe.worked_out, pipe.existing, pipe.unverified) = (false, false, false);
    }
    for fixture in &mut told.fixtures {
        (fixture.existing, fixture.unverified) = (false, false);
    }
    told
}

/// A storey's plan at a scale.
fn drawn(network: &Network, level: LevelIx, scale: Scale) -> Picture {
    let options = PlanOptions {
        level,
        scale,
        part: Part::default(),
        labels_along: false,
    };
    plan(network, &options)
}

/// The node at which the drawing begins.
fn beginning(told: &Network, lay: &Lay) -> Option<NodeIx> {
    let near = |(_, node): &(u32, &Node)| node.drawn().distance(lay.anchor) < 1.0;
    (0..).zip(&told.nodes).find(near).map(|(i, _)| NodeIx(i))
}

/// What the table says of it.
fn start_row(told: &Network, lay: &Lay) -> Option<Row> {
    let node = told.node(beginning(told, lay)?);
    let run = node
        .pipes
        .first()
        .and_then(|pipe| told.runs.get(told.pipe(*pipe).run.0 as usize));
    Some(Row {
        mark: "START".to_owned(),
        words: format!(
            "{}, {}: at {}",
            run.map_or("", |run| run.name.as_str()),
            node.system.word(),
            height(node.z_drawn, told.units)
        ),
    })
}

/// A node on this plan above or below the one at which the drawing begins, or that one itself.
fn beginning_on(
    told: &Network,
    heights: &Heights,
    lay: &Lay,
    shown: impl Fn(NodeIx) -> bool,
) -> Option<NodeIx> {
    let begin = beginning(told, lay)?;
    let place = heights
        .places
        .iter()
        .find(|(nodes, _)| nodes.contains(&begin));
    let others = place.map_or(&[][..], |(nodes, _)| nodes);
    std::iter::once(begin)
        .chain(others.iter().copied())
        .find(|node| shown(*node))
}

/// The network with the marks that this storey's plan carries.
fn marked(told: &Network, level: LevelIx, heights: &Heights, lay: &Lay) -> Network {
    let mut marked = told.clone();
    let shown: BTreeSet<PipeIx> = drawn(told, level, Scale(48))
        .pipes
        .iter()
        .map(|mark| mark.pipe)
        .collect();
    let touched = |node: NodeIx| {
        told.node(node)
            .pipes
            .iter()
            .any(|pipe| shown.contains(pipe))
    };
    for (pipes, mark) in &heights.pipes {
        let here = pipes.iter().filter(|pipe| shown.contains(pipe));
        let longest = here.max_by(|a, b| {
            told.length_mm(told.pipe(**a))
                .total_cmp(&told.length_mm(told.pipe(**b)))
        });
        if let Some(pipe) = longest {
            marked.pipes[pipe.0 as usize].mark = Some(mark.clone());
        }
    }
    for (nodes, mark) in &heights.places {
        if let Some(node) = nodes.iter().find(|node| touched(**node)) {
            marked.nodes[node.0 as usize].mark = Some(mark.clone());
        }
    }
    if let Some(node) = beginning_on(told, heights, lay, touched) {
        let mark = &mut marked.nodes[node.0 as usize].mark;
        *mark = Some(
            mark.take()
                .map_or_else(|| "START".to_owned(), |mark| format!("START {mark}")),
        );
    }
    marked
}

/// The lengths of slanting pipes are taken away: a learner builds these from the measures along the axes that the table gives.
fn without_slants(network: &Network, picture: &mut Picture) {
    for label in &mut picture.labels {
        if let About::Pipe(pipe) = label.about {
            let pipe = network.pipe(pipe);
            if matches!(pipe.lie, Lie::LevelSkew | Lie::Tilted | Lie::Rolling) {
                let slant = length(network.length_mm(pipe), network.units);
                label.lines.retain(|line| line.text != slant);
            }
        }
    }
}

/// One storey on the page.
struct Storey {
    name: String,
    network: Network,
    picture: Picture,
    /// Labels that are only numbers on the plan, as lines.
    numbered: Vec<String>,
    /// Where the drawing begins, if it is here, mm from the job's origin.
    start: Option<Point>,
}

impl Storey {
    /// Width and height with what stands round and under it, mm.
    fn size(&self) -> (f64, f64) {
        let all = self.all();
        (
            all.width().max(NARROWEST),
            all.height() + under(&self.numbered),
        )
    }

    fn all(&self) -> Rect {
        self.picture.bounds.inflate(EYE, EYE)
    }
}

/// Height of what stands under a plan, with so many lines of numbered labels, mm.
fn under(numbered: &[String]) -> f64 {
    let lines = ROW * numbered.len() as f64;
    UNDER
        + if numbered.is_empty() {
            0.0
        } else {
            lines + NOTE
        }
}

/// Every storey that has something to show, at a scale; what is numbered on it in lines `wide` mm long at most.
fn storeys(told: &Network, heights: &Heights, lay: &Lay, scale: Scale, wide: f64) -> Vec<Storey> {
    let mut made = Vec::new();
    for level in (0..told.levels.len() as u32).map(LevelIx) {
        let network = marked(told, level, heights, lay);
        let mut picture = drawn(&network, level, scale);
        let fixtures = picture
            .symbols
            .iter()
            .any(|symbol| symbol.kind == SymbolKind::Fixture);
        if picture.pipes.is_empty() && !fixtures {
            continue;
        }
        without_slants(&network, &mut picture);
        let shown = |node: NodeIx| {
            let mut pipes = picture.pipes.iter().map(|mark| told.pipe(mark.pipe));
            pipes.any(|pipe| pipe.from == node || pipe.to == node)
        };
        let begins = beginning_on(told, heights, lay, shown).is_some();
        let lines = picture.overflow.iter().flat_map(|(number, words)| {
            let words = format!("in a ring {number}: {words}");
            wrapped(&words, wide - 2.0 * PAD, NOTE, Weight::Regular)
        });
        made.push(Storey {
            name: told.levels[level.0 as usize].name.clone(),
            numbered: lines.collect(),
            start: begins
                .then(|| Point::new(scale.paper(lay.anchor.x), -scale.paper(lay.anchor.y))),
            network,
            picture,
        });
    }
    made.sort_by(|a, b| floor(told, &a.name).total_cmp(&floor(told, &b.name)));
    made
}

fn floor(network: &Network, name: &str) -> f64 {
    network
        .levels
        .iter()
        .find(|level| level.name == name)
        .map_or(0.0, |level| level.floor)
}

/// The plan sheets.
pub(super) fn sheets(exercise: &Exercise, network: &Network, page: &Page, lay: &Lay) -> Vec<Sheet> {
    let told = told(network);
    let heights = heights(&told);
    let mut rows = heights.rows.clone();
    rows.extend(start_row(&told, lay));
    let (words, room) = brief::set(exercise, &rows, page);
    let allowed = Scale::allowed(page.metric);
    // All storeys on one page where a scale lets every word find its place; else each on a page of its own.
    for scale in allowed {
        let storeys = storeys(&told, &heights, lay, *scale, room.width());
        let all_said = storeys.iter().all(|storey| storey.numbered.is_empty());
        let places = beside(&storeys, room).or_else(|| above(&storeys, room));
        if let Some(places) = places.filter(|_| all_said) {
            return vec![sheet(
                exercise,
                page,
                &words,
                storeys.into_iter().zip(places).collect(),
                *scale,
            )];
        }
    }
    let smallest = allowed[allowed.len() - 1];
    let count = storeys(&told, &heights, lay, smallest, room.width()).len();
    (0..count)
        .map(|i| {
            let at = |scale: &Scale| {
                storeys(&told, &heights, lay, *scale, room.width())
                    .into_iter()
                    .nth(i)
                    .map(|storey| (storey, *scale))
            };
            let fits = |(storey, _): &(Storey, Scale)| {
                storey.size().0 <= room.width() && storey.size().1 <= room.height()
            };
            let fitting: Vec<(Storey, Scale)> =
                allowed.iter().filter_map(at).filter(fits).collect();
            // The largest at which every word has its place; or else the largest.
            let said = fitting
                .iter()
                .position(|(storey, _)| storey.numbered.is_empty())
                .unwrap_or(0);
            let own = fitting.into_iter().nth(said).or_else(|| at(&smallest));
            let (storey, scale) = own.map_or_else(
                || (Vec::new(), smallest),
                |(storey, scale)| (vec![(storey, room)], scale),
            );
            sheet(exercise, page, &words, storey, scale)
        })
        .collect()
}

/// Places side by side, where they fit.
fn beside(storeys: &[Storey], room: Rect) -> Option<Vec<Rect>> {
    let wide: f64 = storeys.iter().map(|s| s.size().0).sum();
    let high = storeys.iter().map(|s| s.size().1).fold(0.0, f64::max);
    let spare = room.width() - wide;
    (spare >= 0.0 && high <= room.height()).then(|| {
        let mut x = room.x0;
        let share = spare / storeys.len().max(1) as f64;
        let place = |s: &Storey| {
            let x0 = x;
            x += s.size().0 + share;
            Rect { x0, x1: x, ..room }
        };
        storeys.iter().map(place).collect()
    })
}

/// Places one above the other, the upper storey higher, where they fit.
fn above(storeys: &[Storey], room: Rect) -> Option<Vec<Rect>> {
    let high: f64 = storeys.iter().map(|s| s.size().1).sum();
    let wide = storeys.iter().map(|s| s.size().0).fold(0.0, f64::max);
    let spare = room.height() - high;
    (spare >= 0.0 && wide <= room.width()).then(|| {
        let mut y = room.y1;
        let share = spare / storeys.len().max(1) as f64;
        let place = |s: &Storey| {
            let y1 = y;
            y -= s.size().1 + share;
            Rect { y0: y, y1, ..room }
        };
        storeys.iter().map(place).collect()
    })
}

/// A sheet with storeys at their places.
fn sheet(
    exercise: &Exercise,
    page: &Page,
    words: &Group,
    storeys: Vec<(Storey, Rect)>,
    scale: Scale,
) -> Sheet {
    let mut items = vec![Item::Group(words.clone())];
    let names: Vec<String> = storeys
        .iter()
        .map(|(storey, _)| storey.name.clone())
        .collect();
    for (storey, place) in storeys {
        items.extend(set(storey, place, exercise.corner, scale));
    }
    page.sheet(
        exercise,
        &format!("Plan: {}", names.join(", ")),
        true,
        items,
    )
}

/// A storey set at its place: plan, eye, name, scale.
fn set(storey: Storey, place: Rect, corner: Corner, scale: Scale) -> Vec<Item> {
    let all = storey.all();
    let under = under(&storey.numbered);
    let room = Rect {
        y1: place.y1 - under,
        ..place
    };
    let by: Vec2 = room.center() - all.center();
    let units = storey.network.units;
    let mut eye = Group::new("viewpoint");
    let strokes = viewpoint_mark(storey.picture.bounds + by, corner);
    eye.items.extend(strokes.into_iter().map(|stroke| {
        Item::Stroke(Mark {
            class: "eye",
            stroke,
        })
    }));
    let mut items = Vec::new();
    if let Some(start) = storey.start {
        items.push(Item::Group(axes::cross(start + by)));
    }
    items.push(Item::Group(view(
        &storey.network,
        storey.picture,
        by.to_point(),
    )));
    items.push(Item::Group(eye));
    let (mut arrow, bounds) = north(None);
    let left = place.x0 + PAD;
    shift(
        &mut arrow,
        Point::new(left, room.y1 + 1.0) - bounds.origin(),
    );
    items.push(Item::Group(arrow));
    let mut words = Group::new("caption");
    let x = left + NORTH;
    let mut y = room.y1 + 4.5;
    words.text(
        "title",
        Lettering::new(
            &format!("Plan, {}", storey.name),
            Point::new(x, y),
            3.0,
            Weight::SemiBold,
        ),
    );
    y += NOTE * LEADING;
    words.text(
        "note",
        Lettering::new(
            &format!("scale {}", scale_words(scale)),
            Point::new(x, y),
            NOTE,
            Weight::Regular,
        ),
    );
    let (mut bar, ..) = scale_bar(scale, units);
    shift(&mut bar, Vec2::new(x, y + 2.0));
    items.push(Item::Group(bar));
    y = room.y1 + UNDER + NOTE;
    for line in &storey.numbered {
        words.text(
            "note",
            Lettering::new(line, Point::new(left, y), NOTE, Weight::Regular),
        );
        y += ROW;
    }
    items.push(Item::Group(words));
    items
}
