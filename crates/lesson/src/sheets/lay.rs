//! Where the drawing lies on the page, and where the grid has to lie so that what is drawn falls on it.

use glam::DVec3;
use kurbo::{Point, Rect, Vec2};
use wyeline_draw::{Corner, Projection};
use wyeline_network::model::{Node, NodeKind};
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

/// The point of an exercise through which the grid's lines go and at which the learner begins: of the beginnings of runs the one from which most ends of lines
/// lie whole pitches away, or of all ends of lines where there is no beginning; of a block the corner at the floor that is nearest to the viewer.
pub fn anchor(exercise: &Exercise) -> DVec3 {
    let points = points(&exercise.figure);
    let starts: Vec<DVec3> = match &exercise.subject {
        Subject::Block(_) => {
            // All of a block lies on the grid; the lowest on paper is the nearest.
            let projection = Projection::new(exercise.corner, exercise.scale);
            let foot = points.iter().filter(|p| p.z.abs() < ON_GRID_MM);
            let lowest =
                foot.max_by(|a, b| projection.point(**a).y.total_cmp(&projection.point(**b).y));
            return lowest.copied().unwrap_or_default();
        }
        Subject::Pipes(built) => {
            let nodes = built.network.nodes.iter();
            nodes
                .filter(|node| node.kind == NodeKind::Start)
                .map(Node::drawn)
                .collect()
        }
    };
    let step = exercise.pitch_mm * f64::from(exercise.scale.0);
    let on_grid = |from: DVec3| {
        let away = |other: &&DVec3| {
            let off = (**other - from) / step;
            ((off - off.round()) * step).abs().max_element() <= ON_GRID_MM
        };
        points.iter().filter(away).count()
    };
    let mut best = (0, DVec3::ZERO);
    for point in if starts.is_empty() { &points } else { &starts } {
        let score = on_grid(*point);
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
