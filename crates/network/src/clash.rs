//! Finds pipes that go through beams, girders, ducts, footings, columns and slabs.
//!
//! A pipe is its outside diameter (its nominal size where that is not known) round its true centre line; a body is a box that may be
//! turned in plan. Bodies lie in a spatial index, so the cost grows with pipes, not pairs.

use glam::{DVec2, DVec3};
use rstar::{AABB, RTree, RTreeObject};
use wyeline_job::Diagnostic;
use wyeline_job::model::BodyKind;
use wyeline_units::Size;

use crate::model::{Body, Lie, Network, Pipe, PipeIx};
use crate::remarks::show;

/// Overlaps below this are none, mm; far under what is printed.
const TOUCH: f64 = 0.01;

struct Indexed {
    body: usize,
    extent: AABB<[f64; 3]>,
}

impl RTreeObject for Indexed {
    type Envelope = AABB<[f64; 3]>;
    fn envelope(&self) -> Self::Envelope {
        self.extent
    }
}

/// A body's own axes: along, across and up, with its half sizes.
struct Frame {
    middle: DVec3,
    axes: [DVec3; 3],
    half: [f64; 3],
}

impl Frame {
    fn of(body: &Body) -> Self {
        let corner = body.corners.map(DVec2::from);
        let (u, v) = (corner[1] - corner[0], corner[3] - corner[0]);
        let middle = (corner[0] + corner[2]) / 2.0;
        Self {
            middle: middle.extend(f64::midpoint(body.z.0, body.z.1)),
            axes: [
                u.normalize().extend(0.0),
                v.normalize().extend(0.0),
                DVec3::Z,
            ],
            half: [
                u.length() / 2.0,
                v.length() / 2.0,
                (body.z.1 - body.z.0) / 2.0,
            ],
        }
    }
    fn local(&self, at: DVec3) -> [f64; 3] {
        self.axes.map(|axis| (at - self.middle).dot(axis))
    }
    /// Distance from a point to the box, 0 inside.
    fn distance(&self, at: [f64; 3]) -> f64 {
        let mut sum = 0.0;
        for (at, half) in at.into_iter().zip(self.half) {
            let beyond = (at.abs() - half).max(0.0);
            sum += beyond * beyond;
        }
        sum.sqrt()
    }

    /// How far a pipe has to move along the axis that needs least, where it overlaps: along the
    /// whole pipe, and at the body's middle where it crosses that.
    fn overlap(&self, from: DVec3, to: DVec3, radius: f64) -> Option<Overlap> {
        let (a, b) = (self.local(from), self.local(to));
        let at = |t: f64| [0, 1, 2].map(|k| a[k] + (b[k] - a[k]) * t);
        // The distance from a box is convex along a line: narrow in on the least.
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..80 {
            let (first, second) = (low + (high - low) / 3.0, high - (high - low) / 3.0);
            if self.distance(at(first)) <= self.distance(at(second)) {
                high = second;
            } else {
                low = first;
            }
        }
        let least = self.distance(at(f64::midpoint(low, high)));
        if least > 0.0 && least > radius - TOUCH {
            return None;
        }
        (0..3)
            .flat_map(|axis| [(axis, 1.0), (axis, -1.0)])
            .filter_map(|(axis, sign)| {
                // Only the part of the pipe that lies beside the body in the other two axes counts.
                let (mut start, mut end) = (0.0_f64, 1.0_f64);
                for other in (0..3).filter(|&other| other != axis) {
                    let (p, d, limit) = (a[other], b[other] - a[other], self.half[other]);
                    if d.abs() > 1e-9 {
                        let (one, two) = ((-limit - p) / d, (limit - p) / d);
                        start = start.max(one.min(two));
                        end = end.min(one.max(two));
                    }
                }
                let (start, end) = if start <= end {
                    (start, end)
                } else {
                    (low, high)
                };
                let need = |t: f64| self.half[axis] + radius - sign * at(t)[axis];
                let middle = (0..2).filter(|&other| other != axis).find_map(|other| {
                    let d = b[other] - a[other];
                    let t = -a[other] / d;
                    (d.abs() > 1e-9 && (0.0..=1.0).contains(&t)).then(|| need(t))
                });
                let most = need(start).max(need(end));
                (most > 0.0).then(|| Overlap {
                    most,
                    middle: middle.unwrap_or(most),
                    move_to: self.axes[axis] * sign,
                })
            })
            .min_by(|a, b| a.most.total_cmp(&b.most))
            .filter(|overlap| overlap.most > TOUCH)
    }
}

struct Overlap {
    most: f64,
    middle: f64,
    move_to: DVec3,
}

fn word(kind: BodyKind) -> &'static str {
    match kind {
        BodyKind::Beam => "beam",
        BodyKind::Girder => "girder",
        BodyKind::Duct => "duct",
        BodyKind::Footing => "footing",
        BodyKind::Slab => "slab",
        BodyKind::Column => "column",
    }
}

/// A pipe is never thinner outside than its nominal size in any standard of the pipe table.
fn nominal_mm(size: Size) -> f64 {
    match size {
        Size::Inch { eighths } => f64::from(eighths) / 8.0 * 25.4,
        Size::Dn(dn) => f64::from(dn),
    }
}

pub(crate) fn way_word(way: DVec3) -> &'static str {
    if way.z.abs() > 0.5 {
        return if way.z > 0.0 { "up" } else { "down" };
    }
    let names = [
        "east",
        "northeast",
        "north",
        "northwest",
        "west",
        "southwest",
        "south",
        "southeast",
    ];
    let eighth = way.y.atan2(way.x) / std::f64::consts::FRAC_PI_4;
    names[(eighth.round() as i32).rem_euclid(8) as usize]
}

/// Where a pipe goes through a body.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// The pipe.
    pub pipe: PipeIx,
    /// The body, by its place in [`Building::bodies`](crate::model::Building::bodies).
    pub body: usize,
    /// How far the pipe would have to move to miss the body, mm, by the shortest way.
    pub most: f64,
    /// The same at the middle of the body.
    pub middle: f64,
    /// That way; of length 1.
    pub way: DVec3,
}

impl Network {
    /// Every pipe that goes through a beam, girder, duct, footing, column or slab, in the order of the pipes. A
    /// plumb pipe through a slab is none: slabs are there to be crossed.
    pub fn crossings(&self) -> Vec<Crossing> {
        let bodies = &self.building.bodies;
        let mut crossings = Vec::new();
        if bodies.is_empty() {
            return crossings;
        }
        let frames: Vec<Frame> = bodies.iter().map(Frame::of).collect();
        let tree = RTree::bulk_load(
            bodies
                .iter()
                .enumerate()
                .map(|(ix, body)| {
                    let low = body
                        .corners
                        .iter()
                        .map(|&c| DVec2::from(c))
                        .reduce(DVec2::min)
                        .unwrap_or_default();
                    let high = body
                        .corners
                        .iter()
                        .map(|&c| DVec2::from(c))
                        .reduce(DVec2::max)
                        .unwrap_or_default();
                    let extent =
                        AABB::from_corners([low.x, low.y, body.z.0], [high.x, high.y, body.z.1]);
                    Indexed { body: ix, extent }
                })
                .collect(),
        );
        for (at, pipe) in self.pipes.iter().enumerate() {
            let (from, to) = self.true_ends(pipe);
            let radius = pipe.outside_mm.or(pipe.size.map(nominal_mm)).unwrap_or(0.0) / 2.0;
            let (low, high) = (from.min(to) - radius, from.max(to) + radius);
            let extent = AABB::from_corners(low.to_array(), high.to_array());
            let mut hits: Vec<usize> = tree
                .locate_in_envelope_intersecting(extent)
                .map(|found| found.body)
                .collect();
            hits.sort_unstable();
            for body in hits {
                if bodies[body].kind == BodyKind::Slab && pipe.lie == Lie::Vertical {
                    continue;
                }
                if let Some(overlap) = frames[body].overlap(from, to, radius) {
                    crossings.push(Crossing {
                        pipe: PipeIx(at as u32),
                        body,
                        most: overlap.most,
                        middle: overlap.middle,
                        way: overlap.move_to,
                    });
                }
            }
        }
        crossings
    }
}

/// Adds a mistake for every pipe that goes through a body.
pub(crate) fn find(network: &Network, diagnostics: &mut Vec<Diagnostic>) {
    for crossing in network.crossings() {
        let body = &network.building.bodies[crossing.body];
        diagnostics.push(report(
            network,
            network.pipe(crossing.pipe),
            body,
            &crossing,
        ));
    }
}

fn report(network: &Network, pipe: &Pipe, body: &Body, crossing: &Crossing) -> Diagnostic {
    let (most, middle) = (
        show(crossing.most, network.units),
        show(crossing.middle, network.units),
    );
    let kind = word(body.kind);
    let at_middle = if most == middle {
        String::new()
    } else {
        format!(" ({middle} at its middle)")
    };
    let text = format!(
        "the pipe goes through {kind} {} by {most}{at_middle}",
        body.tag
    );
    Diagnostic::mistake("pipe-through-body", pipe.span, text)
        .note(body.span, format!("the {kind} is here"))
        .help(format!(
            "move the pipe {most} {}, or more",
            way_word(crossing.way)
        ))
}
