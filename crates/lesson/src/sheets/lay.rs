//! Where the drawing lies on the page, and where the grid has to lie so that what is drawn falls on it.

use glam::DVec3;
use kurbo::{Point, Rect, Vec2};
use wyeline_draw::{Corner, Projection};
use wyeline_network::model::NodeKind;
use wyeline_units::Scale;

use crate::exercise::{Exercise, Subject};
use crate::figure::Figure;

use super::page::Page;

/// So far from a point of the grid, mm of the building, a point counts as being on it: a sixteenth of an inch, to which lengths are printed.
const ON_GRID_MM: f64 = 25.4 / 16.0;

/// The ends of a figure's lines, mm.
pub(super) fn points(figure: &Figure) -> Vec<DVec3> {
    figure
        .lines
        .iter()
        .flat_map(|line| [line.from, line.to])
        .collect()
}

/// The box round points on paper, as seen from a corner with the job's origin at (0, 0); they have to be some.
pub(super) fn extent(points: &[DVec3], corner: Corner, scale: Scale) -> Rect {
    let projection = Projection::new(corner, scale);
    let boxes = points.iter().map(|p| {
        let at = projection.point(*p);
        Rect::from_points(at, at)
    });
    boxes.reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO)
}

/// The point of an exercise through which the grid's lines go: of all ends of lines the one from which most others lie whole pitches away,
/// the beginnings of runs before others; of a block the corner nearest to the viewer.
pub fn anchor(exercise: &Exercise) -> DVec3 {
    let points = points(&exercise.figure);
    if let Subject::Block(_) = exercise.subject {
        // All of a block lies on the grid: the lowest on paper is the nearest at the floor.
        let projection = Projection::new(exercise.corner, exercise.scale);
        let foot = points.iter().filter(|p| p.z.abs() < ON_GRID_MM);
        let lowest =
            foot.max_by(|a, b| projection.point(**a).y.total_cmp(&projection.point(**b).y));
        return lowest.copied().unwrap_or_default();
    }
    let starts: Vec<DVec3> = match &exercise.subject {
        Subject::Pipes(built) => {
            let starts = built
                .network
                .nodes
                .iter()
                .filter(|node| node.kind == NodeKind::Start);
            starts.map(wyeline_network::model::Node::drawn).collect()
        }
        Subject::Block(_) => Vec::new(),
    };
    let step = exercise.pitch_mm * f64::from(exercise.scale.0);
    let on_grid = |point: DVec3| {
        let away = |other: &&DVec3| {
            let off = (**other - point) / step;
            ((off - off.round()) * step).abs().max_element() <= ON_GRID_MM
        };
        points.iter().filter(away).count()
    };
    let mut best = (0, DVec3::ZERO);
    for point in &points {
        let begins = starts
            .iter()
            .any(|start| start.distance(*point) < ON_GRID_MM);
        // Where a run begins a learner begins: it counts twice.
        let score = on_grid(*point) * if begins { 2 } else { 1 };
        if score > best.0 {
            best = (score, *point);
        }
    }
    best.1
}

/// A drawing on its page.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lay {
    /// From the corner looked from, at the exercise's scale.
    pub projection: Projection,
    /// Where the job's origin falls, mm of the page.
    pub origin: Vec2,
    /// The point of the building through which the grid goes.
    pub anchor: DVec3,
}

impl Lay {
    /// The drawing in the middle of the page's grid.
    ///
    /// * `bounds`: the box round it, letters included, with the job's origin at (0, 0)
    pub fn new(exercise: &Exercise, bounds: Rect, page: &Page) -> Self {
        Self {
            projection: Projection::new(exercise.corner, exercise.scale),
            origin: page.drawing().center() - bounds.center(),
            anchor: anchor(exercise),
        }
    }

    /// Where a point of the building falls on the page.
    pub fn at(&self, point: DVec3) -> Point {
        self.projection.point(point) + self.origin
    }
}
