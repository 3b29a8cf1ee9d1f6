//! The isometric: network and corner in, finished picture out.
//!
//! Geometry first (outlines, pipes with breaks and arrows, construction frames, match marks), then the
//! symbols that stand on it, then the labels that keep clear of both.

use kurbo::{Point, Rect, Shape};
use wyeline_network::model::{Lie, Network};
use wyeline_units::Scale;

use crate::lines::{self, PipeLine};
use crate::picture::{LabelClass, Picture, PipeMark, ShiftNote};
use crate::project::Projection;
use crate::view::{Corner, Part, View};
use crate::{arrow, crossing, doubled, hatch, label, outline, overlap, part, skew, style, symbol};

/// What an isometric is to show, and how.
#[derive(Clone, Debug)]
pub struct IsoOptions {
    /// The corner the viewer stands at.
    pub corner: Corner,
    /// Scale along the axes.
    pub scale: Scale,
    /// Sloped runs as they lie instead of along the axes.
    pub true_fall: bool,
    /// What part of the network.
    pub part: Part,
    /// Labels along their pipes instead of level.
    pub labels_along: bool,
    /// Isometric grid behind.
    pub grid: bool,
}

/// White paper kept round the drawing, mm.
const MARGIN: f64 = 2.0;

/// Returns the isometric of a network as a picture in paper millimetres.
///
/// Pipes are ordered by their index. What is pulled aside, broken or shifted is said in the
/// picture itself.
pub fn iso(network: &Network, options: &IsoOptions) -> Picture {
    let mut picture = bare(network, options);
    label::place(network, &mut picture, &labels(options));
    finished(network, options, picture)
}

/// The same, but nothing where so many words find no room beside what they are about that another scale,
/// or fewer systems at a time, had better be tried. This is known in a fraction of the time.
pub fn iso_unless_crowded(network: &Network, options: &IsoOptions) -> Option<Picture> {
    let mut picture = bare(network, options);
    label::place_unless_crowded(network, &mut picture, &labels(options))
        .then(|| finished(network, options, picture))
}

/// The same, saying only what is of a class that `wanted` lets through: a key for learners says less than a drawing to build from.
pub fn iso_saying(
    network: &Network,
    options: &IsoOptions,
    wanted: impl Fn(LabelClass) -> bool,
) -> Picture {
    let mut picture = bare(network, options);
    label::place_some(network, &mut picture, &labels(options), wanted);
    finished(network, options, picture)
}

/// The same, but with what is said about a part of the picture alone, mm; with nothing said where no part is named. As large as
/// without words, so that the same marks stand at the same places whatever part is named.
pub fn iso_in_part(network: &Network, options: &IsoOptions, seen: Option<Rect>) -> Picture {
    let mut picture = bare(network, options);
    let bare = bounds(&picture);
    if let Some(seen) = seen {
        label::place_within(network, &mut picture, &labels(options), seen);
    }
    Picture {
        bounds: bare,
        ..finished(network, options, picture)
    }
}

fn labels(options: &IsoOptions) -> label::Options {
    label::Options {
        along: options.labels_along,
    }
}

/// The picture without labels.
fn bare(network: &Network, options: &IsoOptions) -> Picture {
    let projection = Projection::new(options.corner, options.scale);
    let mut picture = geometry(network, projection, options);
    symbol::add_iso(network, projection, options.true_fall, &mut picture);
    doubled::clear(&mut picture);
    picture
}

/// What is added once the labels stand.
fn finished(network: &Network, options: &IsoOptions, mut picture: Picture) -> Picture {
    hatch::clear_of(&picture.labels, &mut picture.frames);
    picture.bounds = bounds(&picture);
    if options.grid {
        let sizes = style::sizes();
        let pitch = if network.units.is_metric() {
            sizes.grid_metric
        } else {
            sizes.grid_inch
        };
        picture
            .outlines
            .insert(0, outline::grid(picture.bounds, pitch));
    }
    picture
}

/// Everything but symbols of fittings and fixtures, and labels.
fn geometry(network: &Network, projection: Projection, options: &IsoOptions) -> Picture {
    let (corner, true_fall) = (options.corner, options.true_fall);
    let what = if options.part.title.is_empty() {
        "Isometric"
    } else {
        &options.part.title
    };
    let title = format!("{what}, seen from the {}", corner.name());
    let mut picture = Picture::new(View::Iso { corner, true_fall }, title, options.scale);
    let lines = lines::pipe_lines(network, projection, &options.part, true_fall);
    picture.outlines = outline::outlines(network, projection, &lines, options.part.clip);
    let stretch = overlap::stretches(&lines);
    let apart = overlap::pull_apart(network, &lines, &stretch);
    let crossings = crossing::crossings(&lines, &apart.paper);
    let gaps = crossing::breaks(network, &lines, &apart.paper, &crossings);
    picture.pipes = lines
        .iter()
        .enumerate()
        .map(|(i, line)| pipe_mark(network, line, &apart, i, &gaps[i]))
        .collect();
    picture.frames = skew::frames(network, projection, &lines, &stretch, &apart.shift);
    picture.symbols = part::match_marks(network, &lines, &apart.paper, &options.part);
    picture.shifts = apart
        .notes
        .into_iter()
        .map(|(pipe, from, by)| ShiftNote { pipe, from, by })
        .collect();
    picture.moved = apart.moved;
    picture.beyond = lines::beyond(network, &lines);
    picture
}

fn pipe_mark(
    network: &Network,
    line: &PipeLine,
    apart: &overlap::Apart,
    i: usize,
    gaps: &[(f64, f64)],
) -> PipeMark {
    let pipe = network.pipe(line.pipe);
    let mut pieces = crossing::pieces(apart.paper[i], gaps);
    let after_vertical = pipe.system.drains()
        && pipe.lie != Lie::Vertical
        && line.nodes[0].is_some_and(|n| {
            let before = network.node(n).pipes.iter().map(|p| network.pipe(*p));
            before
                .into_iter()
                .any(|p| p.to == n && p.lie == Lie::Vertical)
        });
    let arrows = arrow::arrows(pipe.system, &pieces, after_vertical);
    let [first, last] = apart.jogs[i];
    if let Some(p) = first {
        pieces.insert(0, (p, apart.paper[i][0]));
    }
    if let Some(p) = last {
        pieces.push((apart.paper[i][1], p));
    }
    PipeMark {
        pipe: line.pipe,
        system: pipe.system,
        pen: style::pen(pipe.system, pipe.existing),
        pieces,
        shift: apart.shift[i],
        arrows,
    }
}

/// The box round everything in a picture, with its margin, mm.
fn bounds(picture: &Picture) -> Rect {
    let mut all = outline::bounds(&picture.outlines);
    let add = |all: &mut Option<Rect>, r: Rect| *all = Some(all.map_or(r, |a| a.union(r)));
    let around = |p: Point, r: f64| Rect::from_points(p, p).inflate(r, r);
    for mark in &picture.pipes {
        for &(a, b) in &mark.pieces {
            let half = mark.pen.width / 2.0;
            add(&mut all, around(a, half).union(around(b, half)));
        }
    }
    let symbols = picture.symbols.iter().flat_map(|s| &s.strokes);
    let frames = picture.frames.iter().flat_map(|f| &f.strokes);
    let labels = picture.labels.iter().flat_map(|l| &l.strokes);
    for stroke in symbols.chain(frames).chain(labels) {
        let half = stroke.pen.map_or(0.0, |p| p.width / 2.0);
        // A curve stays within the points that bend it, and most strokes lie well inside the drawing.
        let widest = stroke.path.control_box().inflate(half, half);
        if all.is_none_or(|all| all.union(widest) != all) {
            add(&mut all, stroke.path.bounding_box().inflate(half, half));
        }
    }
    for rect in picture.symbols.iter().flat_map(|s| &s.boxes) {
        add(&mut all, *rect);
    }
    for label in &picture.labels {
        let points = label.leader.into_iter().flat_map(|(a, b)| [a, b]);
        for p in points.chain(label.area) {
            add(&mut all, around(p, 0.0));
        }
    }
    all.map_or(Rect::ZERO, |r| r.inflate(MARGIN, MARGIN))
}

/// Returns the box that the isometric of a part takes up without its labels, at full scale, mm, y
/// down: what the choice of a scale and of sheets goes by.
pub fn extent(network: &Network, corner: Corner, part: &Part) -> Rect {
    let projection = Projection::new(corner, Scale(1));
    let lines = lines::pipe_lines(network, projection, part, false);
    let mut all = outline::bounds(&outline::outlines(network, projection, &lines, part.clip));
    for line in &lines {
        let mut r = Rect::from_points(line.paper[0], line.paper[1]);
        let lie = network.pipe(line.pipe).lie;
        if matches!(lie, Lie::LevelSkew | Lie::Tilted | Lie::Rolling) {
            // The construction frame's corners: its box in space.
            let [a, b] = line.space;
            for i in 0..8_u8 {
                let pick = |bit: u8, a: f64, b: f64| if i >> bit & 1 == 0 { a } else { b };
                let p = glam::DVec3::new(pick(0, a.x, b.x), pick(1, a.y, b.y), pick(2, a.z, b.z));
                r = r.union_pt(projection.point(p));
            }
        }
        all = Some(all.map_or(r, |a| a.union(r)));
    }
    all.unwrap_or(Rect::ZERO)
}
