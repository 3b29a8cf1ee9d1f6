//! How a drawing lies to the building: the corner, scale and place on the paper under which the lettered fixtures fall on the ends of lines.

use glam::DVec3;
use kurbo::{Point, Vec2};
use wyeline_draw::{Corner, Projection};
use wyeline_units::Scale;

use super::graph::Graph;

/// A fixture's points that a pipe may come to, in space, mm.
#[derive(Clone, Debug)]
pub struct Anchor {
    /// Its tag.
    pub tag: String,
    /// Name and place of each port that pipes of the drawing may come to, the usual one first.
    pub ports: Vec<(String, DVec3)>,
}

/// Where letters stand that tell of a fixture, by its place among the anchors.
pub type Lettered = (Point, usize);

/// How a drawing lies to the building.
#[derive(Clone, Copy, Debug)]
pub struct Placed {
    /// Points in space to paper as the exercise has it.
    projection: Projection,
    /// How much larger the learner drew.
    larger: f64,
    /// Moved by so much after that, mm.
    by: Vec2,
}

/// The learner's scale is to the exercise's within this; wider is taken for chance.
const LARGER: std::ops::RangeInclusive<f64> = 0.25..=4.0;
/// Letters stand at most so far from the line's end that they tell of, in pitches.
pub(super) const BESIDE: f64 = 5.0;

impl Placed {
    /// Where a point in space is drawn.
    pub fn point(&self, at: DVec3) -> Point {
        (self.projection.point(at).to_vec2() * self.larger + self.by).to_point()
    }
    /// The paper vector of a vector in space.
    pub fn vector(&self, along: DVec3) -> Vec2 {
        self.projection.vector(along) * self.larger
    }
    /// The corner looked from.
    pub fn corner(&self) -> Corner {
        self.projection.corner()
    }
    /// Building mm to a mm of paper, along an axis.
    pub fn building(&self) -> f64 {
        1.0 / (self.projection.factor() * self.larger)
    }
}

/// Finds how a drawing lies, from the corners that may be, in order: under it most lettered fixtures stand at an end of a line, with the
/// least error. `near` is the most that an end may miss, `pitch` the grid's.
pub fn place(
    graph: &Graph,
    anchors: &[Anchor],
    letters: &[Lettered],
    corners: &[Corner],
    (scale, near, pitch): (Scale, f64, f64),
) -> Option<Placed> {
    let mut best: Option<(usize, f64, Placed)> = None;
    let ends: Vec<(usize, Point)> = letters
        .iter()
        .flat_map(|(at, anchor)| {
            let beside = graph
                .at
                .iter()
                .filter(move |end| end.distance(*at) <= BESIDE * pitch);
            beside.map(move |end| (*anchor, *end))
        })
        .collect();
    for corner in corners {
        let projection = Projection::new(*corner, scale);
        for (one, p) in &ends {
            for (other, q) in ends.iter().filter(|(other, _)| other > one) {
                for (_, a) in &anchors[*one].ports {
                    for (_, b) in &anchors[*other].ports {
                        let (from, to) = (projection.point(*a), projection.point(*b));
                        let (told, drawn) = (to - from, *q - *p);
                        let larger = drawn.hypot() / told.hypot().max(1e-9);
                        let off = (drawn - told * larger).hypot();
                        if !LARGER.contains(&larger) || off > 2.0 * near {
                            continue;
                        }
                        let placed = Placed {
                            projection,
                            larger,
                            by: p.to_vec2() - from.to_vec2() * larger,
                        };
                        let (count, error) = fits(&placed, graph, anchors, near);
                        let better = best.as_ref().is_none_or(|(most, least, _)| {
                            count > *most || (count == *most && error < *least - 1e-9)
                        });
                        if better {
                            best = Some((count, error, placed));
                        }
                    }
                }
            }
        }
    }
    best.map(|(_, _, placed)| placed)
}

/// How many ports fall on ends of lines, and by how much they miss in all.
fn fits(placed: &Placed, graph: &Graph, anchors: &[Anchor], near: f64) -> (usize, f64) {
    let mut count = 0;
    let mut error = 0.0;
    for (_, at) in anchors.iter().flat_map(|anchor| &anchor.ports) {
        let at = placed.point(*at);
        if let Some(end) = graph.nearest(at, near) {
            count += 1;
            error += graph.at[end].distance(at);
        }
    }
    (count, error)
}
