//! The building behind an isometric: what tells the eye where floor, ceiling and roof are.
//!
//! In: the building and the pipes shown. Out: thin grey outlines, never to be taken for pipe. Of a large
//! building only the walls and bodies near the pipes are drawn, and of the roof the part round
//! the vents that go through it. Outlines are not cut by pipes nor cut them.

use glam::DVec3;
use kurbo::{BezPath, Point, Rect, Shape};
use wyeline_network::model::{Body, Building, LevelIx, Network, NodeKind, RoofPlane, Wall};

use crate::footprint::Footprints;
use crate::ink::{Pen, Stroke};
use crate::lines::PipeLine;
use crate::picture::{Outline, OutlineKind};
use crate::project::Projection;
use crate::style::{self, Line};

/// How far around the pipes the building is drawn, mm: an arm's length of room. Own choice.
const NEAR: f64 = 1000.0;
/// How far the piece of roof reaches beyond the vents through it, mm. Own choice.
pub(crate) const ROOF_ROUND: f64 = 600.0;
/// How much of its two edges a corner of a bare storey's ceiling shows, mm: a foot. Own choice.
const CORNER: f64 = 304.8;
/// Beyond so many roof planes only the edge of the piece of roof is drawn, not the ridges.
const MANY_PLANES: usize = 32;

/// A box in space.
#[derive(Clone, Copy)]
struct Region {
    min: DVec3,
    max: DVec3,
}

impl Region {
    fn round(points: impl Iterator<Item = DVec3>) -> Option<Self> {
        points.fold(None, |region: Option<Self>, p| {
            let r = region.unwrap_or(Self { min: p, max: p });
            Some(Self {
                min: r.min.min(p),
                max: r.max.max(p),
            })
        })
    }

    fn grown(self, by: f64) -> Self {
        Self {
            min: self.min - DVec3::splat(by),
            max: self.max + DVec3::splat(by),
        }
    }

    fn touches(self, other: Self) -> bool {
        self.min.cmple(other.max).all() && other.min.cmple(self.max).all()
    }
}

/// The outlines behind these pipes.
///
/// * `clip`: the part's box, mm; what it cuts off has no edge there
pub(crate) fn outlines(
    network: &Network,
    projection: Projection,
    lines: &[PipeLine],
    clip: Option<([f64; 3], [f64; 3])>,
) -> Vec<Outline> {
    let Some(near) = Region::round(lines.iter().flat_map(|l| l.space)) else {
        return Vec::new();
    };
    let near = near.grown(NEAR);
    let draw = Draw { projection, clip };
    let mut outlines = Vec::new();
    draw.walls(network, near, &mut outlines);
    let nodes = lines.iter().flat_map(|l| l.nodes).flatten();
    draw.bare_floors(
        network,
        &Footprints::of(network, nodes),
        near,
        &mut outlines,
    );
    draw.bodies(&network.building, near, &mut outlines);
    draw.roof(network, lines, &mut outlines);
    outlines
}

#[derive(Clone, Copy)]
struct Draw {
    projection: Projection,
    clip: Option<([f64; 3], [f64; 3])>,
}

impl Draw {
    fn line(self, path: &mut BezPath, a: DVec3, b: DVec3) {
        path.move_to(self.projection.point(a));
        path.line_to(self.projection.point(b));
    }

    /// Edges of rooms at the floor and the ceiling, and their upright corners; the underside of
    /// joists or slab below the walls farthest from the viewer, where it hides nothing.
    fn walls(self, network: &Network, near: Region, outlines: &mut Vec<Outline>) {
        let mut walls: Vec<&Wall> = network.building.walls.iter().collect();
        walls.sort_by_key(|w| w.level);
        for (ix, level) in network.levels.iter().enumerate() {
            let ix = LevelIx(ix as u32);
            let first = walls.partition_point(|w| w.level < ix);
            let of_level = walls[first..].iter().take_while(|w| w.level == ix);
            let (mut floor, mut ceiling) = (BezPath::new(), BezPath::new());
            let mut corners: Vec<(i64, i64, DVec3, DVec3)> = Vec::new();
            let mut below: Vec<(f64, f64)> = Vec::new();
            for wall in of_level {
                let ends = [wall.from, wall.to];
                let foot = ends.map(|(x, y)| DVec3::new(x, y, wall.z.0));
                let head = ends.map(|(x, y)| DVec3::new(x, y, wall.z.1));
                let Some(all) = Region::round(foot.into_iter().chain(head)) else {
                    continue;
                };
                if !all.touches(near) {
                    continue;
                }
                if !self.cut_off(wall.z.0, level.floor, 0) {
                    self.line(&mut floor, foot[0], foot[1]);
                }
                if !self.cut_off(wall.z.1, level.ceiling.unwrap_or(f64::INFINITY), 1) {
                    self.line(&mut ceiling, head[0], head[1]);
                }
                for (foot, head) in foot.into_iter().zip(head) {
                    // Walls that meet share the corner: to the millimetre.
                    corners.push((foot.x.round() as i64, foot.y.round() as i64, foot, head));
                }
                below.extend(ends);
            }
            corners.sort_unstable_by_key(|c| (c.0, c.1));
            corners.dedup_by_key(|c| (c.0, c.1));
            let mut uprights = BezPath::new();
            for (_, _, foot, head) in corners {
                self.line(&mut uprights, foot, head);
            }
            push(
                outlines,
                OutlineKind::Floor,
                floor,
                style::line(Line::Structure),
            );
            push(
                outlines,
                OutlineKind::Ceiling,
                ceiling,
                style::line(Line::Ceiling),
            );
            push(
                outlines,
                OutlineKind::Wall,
                uprights,
                style::line(Line::Ceiling),
            );
            if let Some(z) = level
                .underside
                .filter(|z| near.min.z <= *z && *z <= near.max.z)
                && let Some(r) = Region::round(below.iter().map(|&(x, y)| DVec3::new(x, y, z)))
            {
                let mut edge = BezPath::new();
                for [a, b] in far_edges(self.projection, r) {
                    self.line(&mut edge, a, b);
                }
                push(
                    outlines,
                    OutlineKind::Floor,
                    edge,
                    style::line(Line::Hidden),
                );
            }
        }
    }

    /// Whether a wall ends at height `z` for no other reason than that the part's box does, its floor or ceiling
    /// being at `whole`: an edge there would be taken for it.
    fn cut_off(self, z: f64, whole: f64, side: usize) -> bool {
        self.clip.is_some_and(|(low, high)| {
            let end = if side == 0 { low[2] } else { high[2] };
            (z - end).abs() < 1e-3 && (z - whole).abs() > 1.0
        })
    }

    /// Whether a height lies above or below the part's box.
    fn cut_away(self, z: f64) -> bool {
        self.clip
            .is_some_and(|(low, high)| z < low[2] - 1.0 || z > high[2] + 1.0)
    }

    /// The floor of a storey that has no walls, lightly round what lies on it: without it nothing tells
    /// the eye where that floor is. Of its ceiling only two corners, where its mark may stand.
    fn bare_floors(
        self,
        network: &Network,
        storeys: &Footprints,
        near: Region,
        outlines: &mut Vec<Outline>,
    ) {
        for (ix, level) in network.levels.iter().enumerate() {
            let (ix, z) = (LevelIx(ix as u32), level.floor);
            let shown = |z: &f64| *z >= near.min.z && *z <= near.max.z && !self.cut_away(*z);
            let ceiling = level.ceiling.filter(shown);
            if storeys.walled(ix) || !shown(&z) && ceiling.is_none() {
                continue;
            }
            let Some(r) = storeys.of_level(ix) else {
                continue;
            };
            // Of a large building only what is near, as with walls.
            let r = r.intersect(Rect::new(near.min.x, near.min.y, near.max.x, near.max.y));
            let r = self.clip.map_or(r, |(low, high)| {
                r.intersect(Rect::new(low[0], low[1], high[0], high[1]))
            });
            if r.is_zero_area() {
                continue;
            }
            let corners = [(r.x0, r.y0), (r.x1, r.y0), (r.x1, r.y1), (r.x0, r.y1)];
            let corners = corners.map(|(x, y)| DVec3::new(x, y, z));
            if shown(&z) {
                let mut path = BezPath::new();
                for i in 0..4 {
                    self.line(&mut path, corners[i], corners[(i + 1) % 4]);
                }
                push(
                    outlines,
                    OutlineKind::Floor,
                    path,
                    style::line(Line::Ceiling),
                );
            }
            if let Some(ceiling) = ceiling {
                self.bare_ceiling(corners, ceiling, shown(&z), outlines);
            }
        }
    }

    /// The corners farthest left and right of a ceiling over a bare floor, with what joins them to it where that is `shown`.
    fn bare_ceiling(
        self,
        floor: [DVec3; 4],
        ceiling: f64,
        shown: bool,
        outlines: &mut Vec<Outline>,
    ) {
        let across = |i: &usize| self.projection.point(floor[*i]).x;
        let (mut edges, mut uprights) = (BezPath::new(), BezPath::new());
        let left = (0..4).min_by(|a, b| across(a).total_cmp(&across(b)));
        let right = (0..4).max_by(|a, b| across(a).total_cmp(&across(b)));
        for i in left.into_iter().chain(right) {
            let raised = |p: DVec3| DVec3::new(p.x, p.y, ceiling);
            let corner = raised(floor[i]);
            for next in [(i + 1) % 4, (i + 3) % 4] {
                let side = raised(floor[next]) - corner;
                let length = side.length().min(CORNER);
                self.line(
                    &mut edges,
                    corner,
                    corner + side.normalize_or_zero() * length,
                );
            }
            if shown {
                self.line(&mut uprights, floor[i], corner);
            }
        }
        for (of, path) in [(OutlineKind::Ceiling, edges), (OutlineKind::Wall, uprights)] {
            push(outlines, of, path, style::line(Line::Ceiling));
        }
    }

    /// Beams, ducts and the like as ghosts: the edges of the faces that look at the viewer.
    fn bodies(self, building: &Building, near: Region, outlines: &mut Vec<Outline>) {
        for body in &building.bodies {
            let points = corners_of(body);
            if !Region::round(points.into_iter()).is_some_and(|r| r.touches(near)) {
                continue;
            }
            let (bottom, top) = points.split_at(4);
            let mut path = BezPath::new();
            for i in 0..4 {
                let j = (i + 1) % 4;
                self.line(&mut path, top[i], top[j]);
                if self.faces_viewer(bottom[i], bottom[j]) {
                    self.line(&mut path, bottom[i], bottom[j]);
                }
                let before = self.faces_viewer(bottom[(i + 3) % 4], bottom[i]);
                if before || self.faces_viewer(bottom[i], bottom[j]) {
                    self.line(&mut path, bottom[i], top[i]);
                }
            }
            push(
                outlines,
                OutlineKind::Body(body.kind),
                path,
                style::line(Line::Structure),
            );
        }
    }

    /// Whether the upright face on an edge that runs counter-clockwise round a body is seen.
    fn faces_viewer(self, a: DVec3, b: DVec3) -> bool {
        let outward = DVec3::new(b.y - a.y, a.x - b.x, 0.0);
        self.projection.depth(outward) < -1e-9
    }

    /// The piece of roof round the vents that go through it, with the ridges and valleys in it.
    fn roof(self, network: &Network, lines: &[PipeLine], outlines: &mut Vec<Outline>) {
        let planes = &network.building.roof;
        let through = lines
            .iter()
            .flat_map(|l| l.nodes)
            .flatten()
            .map(|n| network.node(n));
        let through = through
            .filter(|n| n.kind == NodeKind::RoofEnd)
            .map(|n| n.at);
        let Some(r) = Region::round(through).filter(|_| !planes.is_empty()) else {
            return;
        };
        let r = r.grown(ROOF_ROUND);
        let rect = Rect::new(r.min.x, r.min.y, r.max.x, r.max.y);
        let mut path = BezPath::new();
        let c = [
            (rect.x0, rect.y0),
            (rect.x1, rect.y0),
            (rect.x1, rect.y1),
            (rect.x0, rect.y1),
        ]
        .map(|(x, y)| Point::new(x, y));
        for i in 0..4 {
            for [p, q] in bent(planes, c[i], c[(i + 1) % 4]) {
                self.line(&mut path, p, q);
            }
        }
        if planes.len() <= MANY_PLANES {
            for (i, a) in planes.iter().enumerate() {
                for b in &planes[i + 1..] {
                    if let Some([p, q]) = seam(planes, a, b, rect) {
                        self.line(&mut path, p, q);
                    }
                }
            }
        }
        push(
            outlines,
            OutlineKind::Roof,
            path,
            style::line(Line::Structure),
        );
    }
}

fn push(outlines: &mut Vec<Outline>, of: OutlineKind, path: BezPath, pen: Pen) {
    if !path.elements().is_empty() {
        outlines.push(Outline {
            of,
            strokes: vec![Stroke {
                path,
                pen: Some(pen),
                fill: None,
            }],
        });
    }
}

/// The two upper edges on paper of a level rectangle: those farthest from the viewer.
fn far_edges(projection: Projection, r: Region) -> [[DVec3; 2]; 2] {
    let z = r.min.z;
    let corners = [
        (r.min.x, r.min.y),
        (r.max.x, r.min.y),
        (r.max.x, r.max.y),
        (r.min.x, r.max.y),
    ]
    .map(|(x, y)| DVec3::new(x, y, z));
    let far = (0..4)
        .max_by(|&i, &j| {
            projection
                .depth(corners[i])
                .total_cmp(&projection.depth(corners[j]))
        })
        .unwrap_or(0);
    [
        [corners[(far + 3) % 4], corners[far]],
        [corners[far], corners[(far + 1) % 4]],
    ]
}

/// Bottom corners counter-clockwise, then those above them.
fn corners_of(body: &Body) -> [DVec3; 8] {
    let at = |i: usize| {
        let (x, y) = body.corners[i % 4];
        DVec3::new(x, y, if i < 4 { body.z.0 } else { body.z.1 })
    };
    std::array::from_fn(at)
}

fn height(plane: &RoofPlane, p: Point) -> f64 {
    plane.z0 + plane.sx * p.x + plane.sy * p.y
}

fn surface(planes: &[RoofPlane], p: Point) -> f64 {
    planes
        .iter()
        .map(|plane| height(plane, p))
        .fold(f64::INFINITY, f64::min)
}

/// The roof's surface above a level line, as the straight pieces it is made of: its lowest planes
/// one after the other.
fn bent(planes: &[RoofPlane], p: Point, q: Point) -> Vec<[DVec3; 2]> {
    let lift = |p: Point, z: f64| DVec3::new(p.x, p.y, z);
    let mut pieces = Vec::new();
    let mut t = 0.0;
    // Walks from one lowest plane to the next; each can be lowest on one stretch only.
    for _ in 0..planes.len() {
        let at = p.lerp(q, t);
        let rise = |r: &RoofPlane| height(r, q) - height(r, p);
        let lowest = planes.iter().min_by(|a, b| {
            let (ha, hb) = (height(a, at), height(b, at));
            if (ha - hb).abs() > 1e-6 {
                ha.total_cmp(&hb)
            } else {
                rise(a).total_cmp(&rise(b))
            }
        });
        let Some(lowest) = lowest else { break };
        let next = planes
            .iter()
            .filter_map(|r| {
                let closing = rise(lowest) - rise(r);
                let s = t + (height(r, at) - height(lowest, at)) / closing;
                (closing > 1e-9 && s > t + 1e-9).then_some(s)
            })
            .fold(1.0, f64::min);
        let end = p.lerp(q, next);
        pieces.push([lift(at, height(lowest, at)), lift(end, height(lowest, end))]);
        t = next;
        if t >= 1.0 - 1e-9 {
            break;
        }
    }
    pieces
}

/// Where two planes meet in the roof's surface, inside a rectangle.
fn seam(planes: &[RoofPlane], a: &RoofPlane, b: &RoofPlane, rect: Rect) -> Option<[DVec3; 2]> {
    // The level line on which both are equally high, then cut by the rectangle and by every
    // other plane that goes below it.
    let (nx, ny, c) = (a.sx - b.sx, a.sy - b.sy, b.z0 - a.z0);
    let n2 = nx * nx + ny * ny;
    if n2 < 1e-18 {
        return None;
    }
    let centre = rect.center();
    let lift = (c - nx * centre.x - ny * centre.y) / n2;
    let base = Point::new(centre.x + nx * lift, centre.y + ny * lift);
    let n = n2.sqrt();
    let along = kurbo::Vec2::new(-ny / n, nx / n);
    let reach = rect.width() + rect.height();
    let (mut from, mut to) = (-reach, reach);
    let mut cut = |at_zero: f64, slope: f64| {
        // Keeps the part where at_zero + slope * s >= 0.
        if slope.abs() < 1e-12 {
            if at_zero < -1e-6 {
                (from, to) = (1.0, 0.0);
            }
        } else if slope > 0.0 {
            from = from.max(-at_zero / slope);
        } else {
            to = to.min(-at_zero / slope);
        }
    };
    cut(base.x - rect.x0, along.x);
    cut(rect.x1 - base.x, -along.x);
    cut(base.y - rect.y0, along.y);
    cut(rect.y1 - base.y, -along.y);
    for r in planes {
        cut(
            height(r, base) - height(a, base),
            (r.sx - a.sx) * along.x + (r.sy - a.sy) * along.y,
        );
    }
    (to - from > 1.0).then(|| {
        [from, to].map(|s| {
            let p = base + along * s;
            DVec3::new(p.x, p.y, surface(planes, p))
        })
    })
}

/// Isometric grid over a region of the paper, the three families of lines through the paper's
/// origin, `pitch` apart along the axes.
pub fn grid(over: Rect, pitch: f64) -> Outline {
    let mut path = BezPath::new();
    let cos_30 = 3.0_f64.sqrt() / 2.0;
    let columns = |x: f64| x / (pitch * cos_30);
    // Upright lines, half a rhombus apart, then lines at 30 degrees either way.
    for k in whole(columns(over.x0), columns(over.x1)) {
        let x = k * pitch * cos_30;
        path.move_to((x, over.y0));
        path.line_to((x, over.y1));
    }
    let tan_30 = 1.0 / 3.0_f64.sqrt();
    for slope in [tan_30, -tan_30] {
        // y = slope * x + k * pitch, for every k that meets the region.
        let (a, b) = (slope * over.x0, slope * over.x1);
        for k in whole((over.y0 - a.max(b)) / pitch, (over.y1 - a.min(b)) / pitch) {
            let y = k * pitch;
            let at = |v: f64| (v - y) / slope;
            let x0 = over.x0.max(at(over.y0).min(at(over.y1)));
            let x1 = over.x1.min(at(over.y0).max(at(over.y1)));
            if x0 < x1 {
                path.move_to((x0, slope * x0 + y));
                path.line_to((x1, slope * x1 + y));
            }
        }
    }
    let strokes = vec![Stroke {
        path,
        pen: Some(style::line(Line::Grid)),
        fill: None,
    }];
    Outline {
        of: OutlineKind::Grid,
        strokes,
    }
}

/// The whole numbers between two; none where there would be more than any sheet holds.
fn whole(from: f64, to: f64) -> impl Iterator<Item = f64> {
    let count = (to.floor() - from.ceil() + 1.0).clamp(0.0, 4000.0) as u32;
    (0..count).map(move |k| from.ceil() + f64::from(k))
}

/// The box round outlines' strokes, mm.
pub(crate) fn bounds(outlines: &[Outline]) -> Option<Rect> {
    outlines
        .iter()
        .flat_map(|o| &o.strokes)
        .map(|s| s.path.bounding_box())
        .reduce(|a, b| a.union(b))
}
