//! The plan of one storey, to scale, north up the page: walls, fixtures, the pipes that belong to it, risers.
//!
//! In: the network, a level and a scale. Out: a picture in paper millimetres, x = east, y = -north.
//! Which pipes belong to a storey is said at [`Zone`]; risers: a circle with a dot goes up, an open one drops
//! (plumbing apprenticeship, level 2, as taught in British Columbia, D-2.3). Start at [`plan`].

mod building;
mod pipes;
mod viewpoint;

use kurbo::{Point, Rect};
use wyeline_network::Network;
use wyeline_network::model::{FixtureIx, LevelIx};
use wyeline_units::Scale;

use crate::label;
use crate::picture::Picture;
use crate::symbol;
use crate::view::{Part, View};

pub use pipes::Zone;
pub use viewpoint::viewpoint_mark;

/// What a plan is made with.
#[derive(Clone, Debug)]
pub struct PlanOptions {
    /// The storey.
    pub level: LevelIx,
    /// Its scale.
    pub scale: Scale,
    /// What part of the network it shows; the clip's heights are not looked at.
    pub part: Part,
    /// Lettering lies along the pipes.
    pub labels_along: bool,
}

/// The plan of a storey; empty where the network has no such level.
pub fn plan(network: &Network, options: &PlanOptions) -> Picture {
    let mut picture = without_labels(network, options);
    label::place(
        network,
        &mut picture,
        &label::Options {
            along: options.labels_along,
        },
    );
    picture.bounds = bounds(&picture);
    picture
}

/// The plan before its labels are placed.
pub(crate) fn without_labels(network: &Network, options: &PlanOptions) -> Picture {
    let factor = options.scale.paper(1.0);
    let level = options.level;
    let name = network
        .levels
        .get(level.0 as usize)
        .map_or("", |l| l.name.as_str());
    let title = if options.part.title.is_empty() {
        format!("Plan, {name}")
    } else {
        format!("Plan, {name}: {}", options.part.title)
    };
    let mut picture = Picture::new(View::Plan { level }, title, options.scale);
    if let Some(zone) = Zone::of(network, level) {
        picture.outlines = building::outlines(network, level, zone, factor);
        let fixtures = network
            .fixtures
            .iter()
            .enumerate()
            .filter(|(_, f)| f.level == level);
        pipes::add(network, zone, factor, &options.part, &mut picture);
        let fixtures = fixtures.map(|(i, _)| FixtureIx(i as u32));
        symbol::add_plan(network, factor, fixtures, &mut picture);
        pipes::add_risers(network, zone, factor, &options.part, &mut picture);
    }
    picture.bounds = bounds(&picture);
    picture
}

/// A paper point of a plan.
fn paper((x, y): (f64, f64), factor: f64) -> Point {
    Point::new(x * factor, -y * factor)
}

/// Everything drawn lies within.
fn bounds(picture: &Picture) -> Rect {
    let strokes = picture.outlines.iter().flat_map(|o| &o.strokes);
    let strokes = strokes.chain(picture.symbols.iter().flat_map(|s| &s.strokes));
    let strokes = strokes.chain(picture.labels.iter().flat_map(|l| &l.strokes));
    let boxes = strokes
        .map(|s| s.path.control_box())
        .chain(picture.symbols.iter().flat_map(|s| s.boxes.iter().copied()));
    let lines = picture
        .pipes
        .iter()
        .flat_map(|p| p.pieces.iter())
        .map(|(a, b)| Rect::from_points(*a, *b));
    let words = picture
        .labels
        .iter()
        .flat_map(|l| l.area)
        .map(|p| Rect::from_points(p, p));
    boxes
        .chain(lines)
        .chain(words)
        .reduce(|a, b| a.union(b))
        .unwrap_or(Rect::ZERO)
}
