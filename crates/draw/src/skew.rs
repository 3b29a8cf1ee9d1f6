//! Construction squares and boxes: what tells a skew pipe from one along an axis.
//!
//! A pipe in a level or upright plane gets the rectangle, a rolling offset the prism, with the pipe as
//! diagonal, its edges along the axes, in thin line; one half of each auxiliary plane is hatched,
//! level planes along an axis, upright planes upright (ISO 6412-2, from memory). The three (two)
//! edges from one end of the travel to the other are there to be dimensioned: NAVEDTRA 14265, p. 19.

use glam::DVec3;
use kurbo::{BezPath, Point, Vec2};
use wyeline_network::model::{Lie, Network, NodeIx};

use crate::hatch::{beside_pipe, hatch};
use crate::ink::Stroke;
use crate::lines::PipeLine;
use crate::picture::Frame;
use crate::project::Projection;
use crate::style::{self, Line};

/// An extent along an axis below this is none, mm: a level 45 drawn with its fall stays level.
const NO_EXTENT: f64 = 1.0;

/// The construction frames of all skew pipes. Pieces of one travel share one frame, which is the
/// first piece's in the order of pipes.
///
/// * `stretch`: for each line the straight stretch it belongs to
/// * `shift`: by how much each line was pulled aside on paper, mm
pub(crate) fn frames(
    network: &Network,
    projection: Projection,
    lines: &[PipeLine],
    stretch: &[usize],
    shift: &[Vec2],
) -> Vec<Frame> {
    let skew = |i: &usize| {
        let lie = network.pipe(lines[*i].pipe).lie;
        matches!(lie, Lie::LevelSkew | Lie::Tilted | Lie::Rolling)
    };
    let mut members: Vec<(usize, usize)> = (0..lines.len())
        .filter(skew)
        .map(|i| (stretch[i], i))
        .collect();
    members.sort_unstable();
    members
        .chunk_by(|a, b| a.0 == b.0)
        .filter_map(|group| {
            let (first, rest) = (group[0].1, group);
            let line = &lines[first];
            let along = (line.space[1] - line.space[0]).try_normalize()?;
            let origin = line.space[0];
            // The whole travel: from the first end of all its pieces to the last.
            let ends = rest.iter().flat_map(|&(_, i)| lines[i].space);
            let (mut from, mut to) = (f64::INFINITY, f64::NEG_INFINITY);
            for p in ends {
                let s = along.dot(p - origin);
                (from, to) = (from.min(s), to.max(s));
            }
            let travel = Travel {
                ends: [origin + along * from, origin + along * to],
                level: network.pipe(line.pipe).lie == Lie::LevelSkew,
            };
            let nodes = rest.iter().flat_map(|&(_, i)| lines[i].nodes).flatten();
            let busy = neighbours(network, projection, nodes, &travel);
            let (strokes, edges) = travel.frame(projection, shift[first], &busy)?;
            Some(Frame {
                pipe: line.pipe,
                strokes,
                edges,
            })
        })
        .collect()
}

/// Paper directions of the pipes that join a travel: leaving its first end, and arriving at its
/// second.
fn neighbours(
    network: &Network,
    projection: Projection,
    nodes: impl Iterator<Item = NodeIx>,
    travel: &Travel,
) -> [Vec<Vec2>; 2] {
    let mut busy = [Vec::new(), Vec::new()];
    let [a, b] = travel.ends;
    for ix in nodes {
        let node = network.node(ix);
        let at = node.drawn();
        // Fall apart, a node of the travel lies at its first end, at its second, or between.
        let (end, sign) = if at.distance(a) < at.distance(b) {
            (0, 1.0)
        } else {
            (1, -1.0)
        };
        if at.distance(travel.ends[end]) > a.distance(b) * 0.1 {
            continue;
        }
        for pipe in &node.pipes {
            let pipe = network.pipe(*pipe);
            let other = network.node(if pipe.from == ix { pipe.to } else { pipe.from });
            let d = projection.vector(other.drawn() - at);
            if d.hypot() > 1e-6 {
                busy[end].push(d.normalize() * sign);
            }
        }
    }
    busy
}

/// A skew travel from end to end.
struct Travel {
    ends: [DVec3; 2],
    /// Level apart from its fall.
    level: bool,
}

type Edge = (Point, Point, f64);

impl Travel {
    /// The legs along the axes, east-west, north-south, upright.
    fn legs(&self) -> Vec<DVec3> {
        let d = self.ends[1] - self.ends[0];
        let upright = if self.level { 0.0 } else { d.z };
        [DVec3::X * d.x, DVec3::Y * d.y, DVec3::Z * upright]
            .into_iter()
            .filter(|leg| leg.length() > NO_EXTENT)
            .collect()
    }

    /// Strokes and edges; nothing where the pipe lies along an axis after all.
    fn frame(
        &self,
        projection: Projection,
        shift: Vec2,
        busy: &[Vec<Vec2>; 2],
    ) -> Option<(Vec<Stroke>, Vec<Edge>)> {
        let legs = self.legs();
        let a = self.ends[0];
        let on_paper = |p: DVec3| projection.point(p) + shift;
        // Both legs or, of a box, the level ones in either order with the upright one first or last:
        // these leave a level and an upright plane to hatch.
        let ways: Vec<Vec<DVec3>> = match legs[..] {
            [p, q] => vec![vec![p, q], vec![q, p]],
            [x, y, z] => vec![vec![x, y, z], vec![y, x, z], vec![z, x, y], vec![z, y, x]],
            _ => return None,
        };
        let hides = |leg: DVec3, taken: &[Vec2]| {
            let d = projection.vector(leg).normalize();
            taken.iter().filter(|t| d.dot(**t) > 0.99).count()
        };
        // An edge along a pipe that joins there would vanish under it.
        let way = ways
            .into_iter()
            .min_by_key(|way| hides(way[0], &busy[0]) + hides(way[way.len() - 1], &busy[1]))?;
        let mut corners = vec![a];
        for leg in &way {
            corners.push(corners[corners.len() - 1] + *leg);
        }
        let edges = corners
            .windows(2)
            .map(|w| (on_paper(w[0]), on_paper(w[1]), w[0].distance(w[1])))
            .collect();
        let pen = Some(style::line(Line::Frame));
        let stroke = |path| Stroke {
            path,
            pen,
            fill: None,
        };
        let mut strokes = vec![stroke(outline(a, &legs, &on_paper))];
        let mut hatching = BezPath::new();
        for plane in planes(&corners) {
            let axis = self.hatch(&plane, projection);
            hatch(&beside_pipe(plane.map(on_paper)), axis, &mut hatching);
        }
        if !hatching.elements().is_empty() {
            strokes.push(Stroke {
                path: hatching,
                pen: Some(style::line(Line::Hatch)),
                fill: None,
            });
        }
        Some((strokes, edges))
    }

    /// Paper direction of a plane's hatching: upright, or in level planes along the axis that stands
    /// out more from the pipe.
    fn hatch(&self, plane: &[DVec3; 3], projection: Projection) -> Vec2 {
        let normal = (plane[1] - plane[0])
            .cross(plane[2] - plane[0])
            .normalize_or_zero();
        if normal.z.abs() < 0.5 {
            return Vec2::new(0.0, 1.0);
        }
        let pipe = projection.vector(self.ends[1] - self.ends[0]);
        let (x, y) = (projection.vector(DVec3::X), projection.vector(DVec3::Y));
        let axis = if x.cross(pipe).abs() >= y.cross(pipe).abs() {
            x
        } else {
            y
        };
        axis.normalize()
    }
}

/// Halves of the auxiliary planes between the edges and the pipe: one for two edges; for three the
/// level one and the upright one.
fn planes(corners: &[DVec3]) -> Vec<[DVec3; 3]> {
    match *corners {
        [a, c, b] => vec![[a, c, b]],
        [a, c, d, b] if (d - a).z.abs() < NO_EXTENT => vec![[a, c, d], [a, d, b]],
        [a, c, d, b] => vec![[a, c, b], [c, d, b]],
        _ => Vec::new(),
    }
}

/// The rectangle on two legs, or the prism on three.
fn outline(a: DVec3, legs: &[DVec3], on_paper: &impl Fn(DVec3) -> Point) -> BezPath {
    let mut path = BezPath::new();
    let mut edge = |from: DVec3, leg: DVec3| {
        path.move_to(on_paper(from));
        path.line_to(on_paper(from + leg));
    };
    for (i, &leg) in legs.iter().enumerate() {
        let others: Vec<DVec3> = legs
            .iter()
            .enumerate()
            .filter(|o| o.0 != i)
            .map(|o| *o.1)
            .collect();
        for subset in 0..1_u32 << others.len() {
            let start = others
                .iter()
                .enumerate()
                .filter(|(k, _)| subset >> k & 1 == 1)
                .fold(a, |p, (_, leg)| p + *leg);
            edge(start, leg);
        }
    }
    path
}
