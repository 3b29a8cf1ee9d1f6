//! Steps with their pictures: of the key's marks those that are there, old ones thin and new ones bold, nothing moved.

use std::collections::BTreeSet;

use kurbo::{ParamCurve, Point, Rect};
use wyeline_draw::ink::{Colour, Lettering, Stroke};
use wyeline_draw::{Picture, Projection};
use wyeline_network::Network;
use wyeline_network::model::PipeIx;
use wyeline_sheet::Item;

use super::style::style;
use super::{Draft, New, Step, View, paper};

/// What of a picture is there.
#[derive(Default)]
struct There {
    axes: bool,
    outlines: BTreeSet<usize>,
    pipes: BTreeSet<PipeIx>,
    frames: BTreeSet<PipeIx>,
    arrows: BTreeSet<PipeIx>,
    symbols: BTreeSet<usize>,
    labels: BTreeSet<usize>,
}

impl There {
    fn add(&mut self, new: &New) {
        self.axes |= new.axes;
        self.outlines.extend(&new.outlines);
        self.pipes.extend(&new.pipes);
        self.frames.extend(&new.frames);
        self.arrows.extend(&new.arrows);
        self.symbols.extend(&new.symbols);
        self.labels.extend(&new.labels);
    }
}

/// Draws the steps.
pub(super) fn steps(
    network: &Network,
    picture: &Picture,
    view: &View,
    drafts: Vec<Draft>,
) -> Vec<Step> {
    let projection = Projection::new(view.corner, view.scale);
    let margin = style().margin;
    let marks = picture.bounds.inflate(margin, margin);
    let (bounds, axes) = with_axes(picture, projection, marks, view.pitch_mm);
    let origin = drafts
        .first()
        .and_then(|draft| draft.ring)
        .map_or(Point::ORIGIN, |node| {
            picture.node_point(projection, node, network.node(node), false)
        });
    let mut there = There::default();
    let mut steps = Vec::with_capacity(drafts.len());
    for draft in drafts {
        let last = draft.new == New::default();
        there.add(&draft.new);
        let mut shown = pick(picture, &there, &draft.new, last);
        shown.bounds = bounds;
        let by = Point::ORIGIN - bounds.origin().to_vec2();
        let mut sheet = wyeline_sheet::pictured(network, shown, draft.sentence.clone());
        let grid = paper::grid(
            Rect::from_origin_size(Point::ORIGIN, bounds.size()),
            view.pitch_mm,
            origin + by.to_vec2(),
        );
        sheet.items.insert(0, Item::Group(grid));
        if there.axes {
            let at = axes + by.to_vec2();
            sheet.items.insert(
                1,
                Item::Group(paper::axes(projection, at, view.pitch_mm, draft.new.axes)),
            );
        }
        if let Some(node) = draft.ring {
            let at = picture.node_point(projection, node, network.node(node), false);
            sheet
                .items
                .push(Item::Group(paper::ring(at + by.to_vec2())));
        }
        sheet.title.clone_from(&draft.title);
        steps.push(Step {
            title: draft.title,
            sentence: draft.sentence,
            new: draft.new,
            sheet,
        });
    }
    numbered(&mut steps);
    steps
}

/// Numbers the sheets of steps.
pub(super) fn numbered(steps: &mut [Step]) {
    let count = steps.len() as u32;
    for (step, number) in steps.iter_mut().zip(1..) {
        step.sheet.number = number;
        step.sheet.count = count;
    }
}

/// Where the axes stand, in a corner of the drawing where nothing else is, and the paper with room for them.
fn with_axes(picture: &Picture, projection: Projection, marks: Rect, pitch: f64) -> (Rect, Point) {
    if let Some(at) = free_corner(picture, projection, marks, pitch) {
        return (marks, at);
    }
    let reach = reach(projection, pitch);
    let wider = Rect {
        x0: marks.x0 - reach.width(),
        ..marks
    };
    (wider, Point::new(wider.x0 - reach.x0, wider.y1 - reach.y1))
}

/// Where in the corners of a region the axes touch nothing of a picture; nothing where they would everywhere.
pub(crate) fn free_corner(
    picture: &Picture,
    projection: Projection,
    region: Rect,
    pitch: f64,
) -> Option<Point> {
    let reach = reach(projection, pitch);
    let ink = ink(picture);
    let (left, right) = (region.x0 - reach.x0, region.x1 - reach.x1);
    let (top, bottom) = (region.y0 - reach.y0, region.y1 - reach.y1);
    let corners = [(left, bottom), (left, top), (right, bottom), (right, top)];
    corners.into_iter().map(Point::from).find(|at| {
        let here = reach + at.to_vec2();
        !ink.iter().any(|rect| rect.overlaps(here))
    })
}

/// How far the axes and their letters reach from the point where they meet.
fn reach(projection: Projection, pitch: f64) -> Rect {
    let axes = [glam::DVec3::X, glam::DVec3::Y, glam::DVec3::Z];
    let tips = axes.map(|axis| projection.vector(axis).normalize() * paper::room(pitch));
    tips.iter()
        .fold(Rect::ZERO, |all, tip| all.union_pt(tip.to_point()))
        .inflate(style().letters, style().letters)
}

/// Boxes round all ink of a picture, lines cut into short ones.
fn ink(picture: &Picture) -> Vec<Rect> {
    const SHORT: f64 = 4.0;
    let mut boxes = Vec::new();
    let mut line = |a: Point, b: Point| {
        let parts = (a.distance(b) / SHORT).ceil().clamp(1.0, 1000.0) as u32;
        let at = |k: u32| a.lerp(b, f64::from(k) / f64::from(parts));
        boxes.extend((0..parts).map(|k| Rect::from_points(at(k), at(k + 1)).inflate(0.5, 0.5)));
    };
    for (a, b) in picture.pipes.iter().flat_map(|mark| &mark.pieces) {
        line(*a, *b);
    }
    let outlines = picture.outlines.iter().flat_map(|outline| &outline.strokes);
    let frames = picture.frames.iter().flat_map(|frame| &frame.strokes);
    let symbols = picture.symbols.iter().flat_map(|symbol| &symbol.strokes);
    let labels = picture.labels.iter().flat_map(|label| &label.strokes);
    for stroke in outlines.chain(frames).chain(symbols).chain(labels) {
        for segment in stroke.path.segments() {
            // Curves are short enough to be taken for their chords.
            line(segment.start(), segment.end());
        }
    }
    for label in &picture.labels {
        if let Some((a, b)) = label.leader {
            line(a, b);
        }
    }
    let areas = picture.labels.iter().map(|label| {
        let all = label.area.iter();
        all.fold(Rect::from_points(label.area[0], label.area[0]), |r, p| {
            r.union_pt(*p)
        })
    });
    boxes.extend(areas);
    boxes.extend(picture.symbols.iter().flat_map(|s| s.boxes.iter().copied()));
    boxes
}

/// The marks that are there. In the last step all have the pens of the finished drawing.
fn pick(picture: &Picture, there: &There, new: &New, last: bool) -> Picture {
    let mut shown = Picture::new(picture.view, picture.title.clone(), picture.scale);
    for &at in &there.outlines {
        let mut outline = picture.outlines[at].clone();
        let bold = new.outlines.contains(&at);
        for stroke in &mut outline.strokes {
            line(stroke, bold, style().pen.outline);
        }
        shown.outlines.push(outline);
    }
    for mark in &picture.pipes {
        if !there.pipes.contains(&mark.pipe) {
            continue;
        }
        let mut mark = mark.clone();
        if !there.arrows.contains(&mark.pipe) {
            mark.arrows.clear();
        }
        mark.pen.colour = Colour::BLACK;
        if !last {
            let pens = &style().pen;
            let bold = new.pipes.contains(&mark.pipe);
            mark.pen.width = if bold { pens.new_pipe } else { pens.old_pipe };
        }
        shown.pipes.push(mark);
    }
    for frame in &picture.frames {
        if there.frames.contains(&frame.pipe) {
            let mut frame = frame.clone();
            for stroke in &mut frame.strokes {
                let bold = new.frames.contains(&frame.pipe);
                line(stroke, bold, style().pen.new_frame);
            }
            shown.frames.push(frame);
        }
    }
    for &at in &there.symbols {
        let mut symbol = picture.symbols[at].clone();
        let bold = new.symbols.contains(&at);
        for stroke in &mut symbol.strokes {
            black(stroke);
            line(stroke, bold, style().pen.new_symbol);
        }
        for letters in &mut symbol.letters {
            write(letters, bold || last);
        }
        shown.symbols.push(symbol);
    }
    for &at in &there.labels {
        let mut label = picture.labels[at].clone();
        let bold = new.labels.contains(&at) || last;
        for stroke in &mut label.strokes {
            black(stroke);
        }
        for letters in &mut label.lines {
            write(letters, bold);
        }
        shown.labels.push(label);
    }
    shown
}

/// Widens what is new.
fn line(stroke: &mut Stroke, bold: bool, least: f64) {
    if let Some(pen) = &mut stroke.pen
        && bold
    {
        pen.width = pen.width.max(least);
        pen.colour = Colour::BLACK;
    }
}

/// Draws in black what has a colour; white stays, for it covers what lies behind.
fn black(stroke: &mut Stroke) {
    if let Some(pen) = &mut stroke.pen {
        pen.colour = Colour::BLACK;
    }
    if let Some(fill) = &mut stroke.fill
        && *fill != Colour::WHITE
    {
        *fill = Colour::BLACK;
    }
}

/// New letters are black, old ones grey.
fn write(letters: &mut Lettering, new: bool) {
    let grey = style().old_letters;
    letters.colour = if new {
        Colour::BLACK
    } else {
        Colour(grey, grey, grey)
    };
}
