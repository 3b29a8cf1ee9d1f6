//! What is said beside each pipe: size, centre-to-centre length, angle, fall, and whether it is
//! existing or not verified, glued into one block; and the edges of construction frames.

use kurbo::{Point, Vec2};
use wyeline_network::Network;
use wyeline_network::model::{Lie, NodeIx, Pipe, PipeIx};

use super::block::{Item, Layout};
use super::paper::Paper;
use super::want::{Spot, Want};
use super::words;
use crate::picture::{About, LabelClass, Picture, PipeMark, SymbolKind};
use crate::style;

/// A line on paper shorter than this, mm, is labelled as a point.
const POINT_LIKE: f64 = 0.8;

/// Where the straight line of a pipe mark begins and ends, short jogs at its ends left out.
pub(super) fn ends(mark: &PipeMark) -> Option<(Point, Point)> {
    let length = |p: &(Point, Point)| p.0.distance_squared(p.1);
    let longest = *mark
        .pieces
        .iter()
        .reduce(|best, p| if length(p) > length(best) { p } else { best })?;
    let way = longest.1 - longest.0;
    let in_line = |p: &&(Point, Point)| {
        way.cross(p.0 - longest.0).abs() + way.cross(p.1 - longest.0).abs() < 1e-3 * way.hypot()
    };
    let first = mark.pieces.iter().find(in_line)?.0;
    Some((first, mark.pieces.iter().rev().find(in_line)?.1))
}

/// The blocks of all pipes shown.
///
/// * `along`: words lie along their pipe
pub(super) fn pipes(net: &Network, picture: &Picture, along: bool, into: &mut Vec<Want>) {
    let carries_fall = falls_said(net, picture);
    let risers = Risers::of(picture);
    for (mark, fall) in picture.pipes.iter().zip(carries_fall) {
        let pipe = net.pipe(mark.pipe);
        let at = ends(mark).unwrap_or_else(|| {
            let paper = Paper::of(picture);
            let at = |n: NodeIx| paper.node(net.node(n)) + picture.moved(n);
            (at(pipe.from), at(pipe.to))
        });
        if let Some(want) = block(net, mark, at, fall, along, &risers) {
            into.push(want);
        }
    }
}

/// One pipe's block.
fn block(
    net: &Network,
    mark: &PipeMark,
    (a, b): (Point, Point),
    with_fall: bool,
    along: bool,
    risers: &Risers,
) -> Option<Want> {
    let pipe = net.pipe(mark.pipe);
    // The drop from an outlet to its own trap comes with the fixture: its arm says the size. A piece that is cut
    // for it has to be found all the same.
    if pipe.arm && pipe.lie == Lie::Vertical && !pipe.existing && pipe.mark.is_none() {
        return None;
    }
    let (big, small) = (style::sizes().lettering, style::sizes().lettering_notes);
    let on_paper = a.distance(b);
    let mut items = Vec::with_capacity(7);
    let mut breaks = Vec::with_capacity(3);
    if on_paper < POINT_LIKE
        && let Some(word) = risers.word(pipe)
    {
        items.push(Item::words(word, small));
    }
    if let Some(size) = pipe.size {
        items.push(Item::words(words::size(size, pipe.worked_out), big));
    }
    let length = net.length_mm(pipe);
    if length >= 0.5 {
        if !items.is_empty() {
            breaks.push(items.len());
        }
        items.push(Item::words(words::length(length, net.units), big));
    }
    if let Some(angle) = angle(net, pipe) {
        items.push(Item::words(angle, small));
    }
    let mut later = None;
    if let (Some(fall), true) = (pipe.slope, with_fall && pipe.fall_mm.abs() > 1e-6) {
        later = Some(items.len());
        items.push(Item::words(words::fall(fall, net.units), small));
        let down = if pipe.fall_mm > 0.0 { b - a } else { a - b };
        if on_paper >= POINT_LIKE {
            items.push(Item::Arrow(down / on_paper));
        }
    }
    if let Some(load) = &pipe.load {
        later.get_or_insert(items.len());
        items.push(Item::words(load.as_str(), small));
    }
    if let Some(mark) = &pipe.mark {
        later.get_or_insert(items.len());
        items.push(Item::words(mark.as_str(), small));
    }
    let marks = words::marks(pipe);
    if !marks.is_empty() {
        later.get_or_insert(items.len());
        items.push(Item::words(marks, small));
    }
    breaks.extend(later.filter(|&at| at > 0));
    if items.is_empty() {
        return None;
    }
    let spot = if on_paper < POINT_LIKE {
        Spot::At { at: a, reach: 1.6 }
    } else {
        Spot::Line {
            a,
            b,
            half: mark.pen.width / 2.0,
        }
    };
    let along = along && on_paper >= POINT_LIKE;
    let layouts = layouts(&items, &breaks, along);
    let (about, class) = (About::Pipe(mark.pipe), LabelClass::Pipe);
    Some(Want {
        about,
        class,
        items,
        layouts,
        breaks,
        spot,
        along,
    })
}

/// One row; two rows, the latter part below; each part in its own row.
fn layouts(items: &[Item], breaks: &[usize], along: bool) -> Vec<Layout> {
    let mut made = Vec::with_capacity(3);
    made.push(Layout::new(items, &[], along));
    if let Some(last) = breaks.last() {
        made.push(Layout::new(items, &[*last], along));
    }
    if breaks.len() > 1 {
        made.push(Layout::new(items, breaks, along));
    }
    made
}

/// For each pipe mark whether its block carries the fall: of pieces of one run in line with each
/// other and of one slope, the longest does.
fn falls_said(net: &Network, picture: &Picture) -> Vec<bool> {
    let marks = &picture.pipes;
    let mut said = vec![false; marks.len()];
    let mut order: Vec<u32> = (0..marks.len() as u32)
        .filter(|&i| net.pipe(marks[i as usize].pipe).slope.is_some())
        .collect();
    order.sort_by_key(|&i| (net.pipe(marks[i as usize].pipe).run, marks[i as usize].pipe));
    let pipe_of = |i: u32| net.pipe(marks[i as usize].pipe);
    let mut first = 0;
    while first < order.len() {
        let mut last = first + 1;
        while last < order.len() && continues(net, pipe_of(order[last - 1]), pipe_of(order[last])) {
            last += 1;
        }
        let length = |i: u32| ends(&marks[i as usize]).map_or(0.0, |(a, b)| a.distance(b));
        let longest = order[first..last].iter().copied().reduce(|best, i| {
            if length(i) > length(best) + 1e-6 {
                i
            } else {
                best
            }
        });
        if let Some(i) = longest {
            said[i as usize] = true;
        }
        first = last;
    }
    said
}

/// Whether `b` goes on from `a` in the same run, in line and with the same slope.
fn continues(net: &Network, a: &Pipe, b: &Pipe) -> bool {
    if a.run != b.run || a.slope != b.slope || a.arm != b.arm {
        return false;
    }
    if a.from != b.to && a.to != b.from {
        return false;
    }
    let (p, q) = net.drawn(a);
    let (r, s) = net.drawn(b);
    let (u, v) = ((q - p).normalize_or_zero(), (s - r).normalize_or_zero());
    u.dot(v) > 1.0 - 1e-9
}

/// The angle of a skew pipe, as words: from the axis for a level one, from level for a tilted one,
/// the fitting's turn for a rolling offset.
fn angle(net: &Network, pipe: &Pipe) -> Option<String> {
    let (a, b) = net.drawn(pipe);
    let way = (b - a).normalize_or_zero();
    let degrees = match pipe.lie {
        Lie::Axis | Lie::Vertical => return None,
        Lie::LevelSkew => {
            let least = way.x.abs().min(way.y.abs());
            least.atan2(way.x.abs().max(way.y.abs())).to_degrees()
        }
        Lie::Tilted => way.z.abs().asin().to_degrees(),
        Lie::Rolling => {
            let turn = |node: NodeIx| {
                net.node(node)
                    .pipes
                    .iter()
                    .map(|&p| net.pipe(p))
                    .find(|p| p.run == pipe.run && p.id != pipe.id)
                    .map(|p| {
                        let (c, d) = net.drawn(p);
                        way.dot((d - c).normalize_or_zero())
                            .clamp(-1.0, 1.0)
                            .acos()
                            .to_degrees()
                    })
            };
            turn(pipe.from).or_else(|| turn(pipe.to))?
        }
    };
    if degrees < 0.05 {
        return None;
    }
    // To a tenth of a degree, without an idle zero (22.5, 45).
    let tenths = (degrees * 10.0).round() as i64;
    Some(if tenths % 10 == 0 {
        format!("{}°", tenths / 10)
    } else {
        format!("{}.{}°", tenths / 10, tenths % 10)
    })
}

/// Which nodes of a plan carry a riser's circle.
struct Risers {
    /// Node, going up, going down; ascending.
    at: Vec<(NodeIx, bool, bool)>,
}

impl Risers {
    fn of(picture: &Picture) -> Self {
        let mut at: Vec<(NodeIx, bool, bool)> = Vec::new();
        for symbol in &picture.symbols {
            let (up, down) = match symbol.kind {
                SymbolKind::RiserUp => (true, false),
                SymbolKind::RiserDown => (false, true),
                _ => continue,
            };
            if let Some(node) = symbol.node {
                at.push((node, up, down));
            }
        }
        at.sort_unstable();
        Self { at }
    }

    /// `UP`, `DN` or `UP & DN` for a vertical in plan.
    fn word(&self, pipe: &Pipe) -> Option<&'static str> {
        let (mut up, mut down) = (false, false);
        for node in [pipe.from, pipe.to] {
            let first = self.at.partition_point(|e| e.0 < node);
            for &(_, u, d) in self.at[first..].iter().take_while(|e| e.0 == node) {
                up |= u;
                down |= d;
            }
        }
        match (up, down) {
            (true, true) => Some("UP & DN"),
            (true, false) => Some("UP"),
            (false, true) => Some("DN"),
            (false, false) => None,
        }
    }
}

/// The dimensions of construction squares and boxes.
pub(super) fn frames(net: &Network, picture: &Picture, into: &mut Vec<Want>) {
    for frame in &picture.frames {
        let count = frame.edges.len().max(1) as f64;
        let sum: Vec2 = frame
            .edges
            .iter()
            .map(|(a, b, _)| a.midpoint(*b).to_vec2())
            .fold(Vec2::ZERO, |s, v| s + v);
        let middle = middle_of(picture, frame.pipe).unwrap_or_else(|| (sum / count).to_point());
        for &(a, b, mm) in &frame.edges {
            let item = Item::words(words::length(mm, net.units), style::sizes().lettering_notes);
            let spot = Spot::Edge {
                a,
                b,
                out: a.midpoint(b) - middle,
            };
            into.push(Want::new(
                About::Pipe(frame.pipe),
                LabelClass::Frame,
                vec![item],
                spot,
            ));
        }
    }
}

/// Middle of a pipe's line; marks are in order of their pipes only by custom, so it is looked for.
fn middle_of(picture: &Picture, pipe: PipeIx) -> Option<Point> {
    let mark = match picture.pipes.get(pipe.0 as usize) {
        Some(mark) if mark.pipe == pipe => mark,
        _ => picture.pipes.iter().find(|m| m.pipe == pipe)?,
    };
    ends(mark).map(|(a, b)| a.midpoint(b))
}
