//! Walls with their openings, bodies and the mark of the joists' direction, in plan.
//!
//! A wall is cut by the plan, so both its faces are drawn heavier; its corners are mitred where exactly two
//! walls of the storey meet.

use std::collections::BTreeMap;

use kurbo::{BezPath, Point, Rect, Shape, Vec2};
use wyeline_job::model::{BodyKind, OpeningKind};
use wyeline_network::Network;
use wyeline_network::model::{LevelIx, Opening, Wall};

use super::paper;
use super::pipes::Zone;
use crate::ink::{Pattern, Pen, Stroke};
use crate::picture::{Outline, OutlineKind};
use crate::style::{self, Line};

/// Pen of wall faces cut by the plan, mm: building drawings at 1:50 use 0.7, 0.35, 0.25 (school textbook
/// on installation drawing, p. 12); the middle one, for pipes come first.
const WALL_PEN: f64 = 0.35;
/// Half the length of the joists' mark, mm; own choice.
const JOIST_HALF: f64 = 12.0;

/// Everything of the building a plan shows.
pub(super) fn outlines(network: &Network, level: LevelIx, zone: Zone, factor: f64) -> Vec<Outline> {
    let building = &network.building;
    let walls: Vec<(usize, &Wall)> = building
        .walls
        .iter()
        .enumerate()
        .filter(|(_, w)| w.level == level)
        .collect();
    let mut openings: BTreeMap<u32, Vec<&Opening>> = BTreeMap::new();
    for opening in building.openings.iter().filter(|o| o.level == level) {
        openings.entry(opening.wall).or_default().push(opening);
    }
    let corners = corners(&walls);
    let mut made = Vec::new();
    for (i, wall) in &walls {
        let own = openings.get(&(*i as u32)).map_or(&[][..], Vec::as_slice);
        let plan = WallPlan::new(wall, *i, &walls, &corners, factor);
        made.push(Outline {
            of: OutlineKind::Wall,
            strokes: plan.faces(own, factor),
        });
        for opening in own {
            made.push(Outline {
                of: OutlineKind::Opening,
                strokes: plan.opening(opening, factor),
            });
        }
    }
    for body in building.bodies.iter().filter(|b| zone.sees(b.z)) {
        made.push(body_outline(body.kind, &body.corners, factor));
    }
    made.extend(joists(network, level, &walls, factor));
    made
}

/// End points of walls, in tenths of a millimetre, with the walls that end there.
type Corners = BTreeMap<(i64, i64), Vec<usize>>;

fn key(p: (f64, f64)) -> (i64, i64) {
    ((p.0 * 10.0).round() as i64, (p.1 * 10.0).round() as i64)
}

fn corners(walls: &[(usize, &Wall)]) -> Corners {
    let mut at = Corners::new();
    for (i, wall) in walls {
        at.entry(key(wall.from)).or_default().push(*i);
        at.entry(key(wall.to)).or_default().push(*i);
    }
    at
}

/// One wall on paper.
struct WallPlan {
    /// Start of the finished face, and unit direction along it.
    start: Point,
    along: Vec2,
    length: f64,
    /// Unit vector into the wall, and its thickness on paper.
    into: Vec2,
    thick: f64,
    /// How far the far face reaches beyond the near one at the start and at the end (mitres).
    beyond: (f64, f64),
    /// Whether each end is free, to be closed by a line.
    free: (bool, bool),
}

impl WallPlan {
    fn new(
        wall: &Wall,
        index: usize,
        walls: &[(usize, &Wall)],
        corners: &Corners,
        factor: f64,
    ) -> Self {
        let (from, to) = (paper(wall.from, factor), paper(wall.to, factor));
        let d = to - from;
        let length = d.hypot();
        let along = if length > 1e-9 {
            d / length
        } else {
            Vec2::new(1.0, 0.0)
        };
        let into = Vec2::new(wall.into.0, -wall.into.1);
        let thick = wall.thick * factor;
        let end = |at: (f64, f64), out: Vec2| {
            let here = corners.get(&key(at)).map_or(&[][..], Vec::as_slice);
            let [a, b] = *here else {
                return (0.0, here.len() < 2);
            };
            let other = if a == index { b } else { a };
            let Ok(found) = walls.binary_search_by_key(&other, |w| w.0) else {
                return (0.0, true);
            };
            let other = walls[found].1;
            let other_into = Vec2::new(other.into.0, -other.into.1);
            // The far face runs until it meets the other's: along `out` by t, where
            // (into thick + out t) . other_into = other.thick.
            let slope = out.dot(other_into);
            if slope.abs() < 0.1 {
                return (0.0, false);
            }
            let t = (other.thick * factor - into.dot(other_into) * thick) / slope;
            (t.clamp(-8.0 * thick, 8.0 * thick), false)
        };
        let (start, stop) = (end(wall.from, -along), end(wall.to, along));
        Self {
            start: from,
            along,
            length,
            into,
            thick,
            beyond: (start.0, stop.0),
            free: (start.1, stop.1),
        }
    }

    /// A point: so far along, so far into the wall.
    fn at(&self, s: f64, depth: f64) -> Point {
        self.start + self.along * s + self.into * depth
    }

    /// Centre and half width of an opening along the wall.
    fn span(&self, opening: &Opening, factor: f64) -> (f64, f64) {
        let s = (paper(opening.at, factor) - self.start).dot(self.along);
        (s, opening.width * factor / 2.0)
    }

    fn faces(&self, openings: &[&Opening], factor: f64) -> Vec<Stroke> {
        let mut gaps: Vec<(f64, f64)> = openings
            .iter()
            .map(|o| self.span(o, factor))
            .map(|(s, half)| ((s - half).max(0.0), (s + half).min(self.length)))
            .filter(|(a, b)| a < b)
            .collect();
        gaps.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut path = BezPath::new();
        let mut line = |a: Point, b: Point| {
            path.move_to(a);
            path.line_to(b);
        };
        for (depth, start, end) in [
            (0.0, 0.0, self.length),
            (self.thick, -self.beyond.0, self.length + self.beyond.1),
        ] {
            let mut from = start;
            for &(a, b) in &gaps {
                if a > from {
                    line(self.at(from, depth), self.at(a, depth));
                }
                from = from.max(b);
            }
            if end > from {
                line(self.at(from, depth), self.at(end, depth));
            }
        }
        for &(a, b) in &gaps {
            line(self.at(a, 0.0), self.at(a, self.thick));
            line(self.at(b, 0.0), self.at(b, self.thick));
        }
        if self.free.0 {
            line(self.at(0.0, 0.0), self.at(-self.beyond.0, self.thick));
        }
        if self.free.1 {
            line(
                self.at(self.length, 0.0),
                self.at(self.length + self.beyond.1, self.thick),
            );
        }
        let pen = Pen {
            width: WALL_PEN,
            pattern: Pattern::Solid,
            ..style::line(Line::Structure)
        };
        vec![Stroke {
            path,
            pen: Some(pen),
            fill: None,
        }]
    }

    /// A door's leaf, open into the room, with its swing; a window's panes.
    fn opening(&self, opening: &Opening, factor: f64) -> Vec<Stroke> {
        let (s, half) = self.span(opening, factor);
        let pen = style::line(Line::Structure);
        let mut path = BezPath::new();
        match opening.kind {
            OpeningKind::Door => {
                // The hinge is at the start of the wall as told, the leaf a quarter open on the near side.
                let (hinge, leaf) = (self.at(s - half, 0.0), self.at(s - half, -2.0 * half));
                path.move_to(hinge);
                path.line_to(leaf);
                let swing = crate::symbol::flat::Flat {
                    at: hinge,
                    x: self.along,
                    y: -self.into,
                };
                path.extend(swing.arc((0.0, 0.0), 2.0 * half, 0.0, 90.0));
            }
            OpeningKind::Window => {
                for depth in [0.0, 0.42, 0.58, 1.0] {
                    path.move_to(self.at(s - half, depth * self.thick));
                    path.line_to(self.at(s + half, depth * self.thick));
                }
            }
        }
        vec![Stroke {
            path,
            pen: Some(pen),
            fill: None,
        }]
    }
}

/// A body: dashed where it is overhead or under the floor, solid where it stands on it.
fn body_outline(kind: BodyKind, corners: &[(f64, f64); 4], factor: f64) -> Outline {
    let mut path = BezPath::new();
    for (i, corner) in corners.iter().enumerate() {
        let p = paper(*corner, factor);
        if i == 0 {
            path.move_to(p);
        } else {
            path.line_to(p);
        }
    }
    path.close_path();
    let pattern = if kind == BodyKind::Column {
        Pattern::Solid
    } else {
        Pattern::Dashed
    };
    let pen = Pen {
        pattern,
        ..style::line(Line::Structure)
    };
    Outline {
        of: OutlineKind::Body(kind),
        strokes: vec![Stroke {
            path,
            pen: Some(pen),
            fill: None,
        }],
    }
}

/// A line with half arrows at both ends, the way the joists under the floor run.
fn joists(
    network: &Network,
    level: LevelIx,
    walls: &[(usize, &Wall)],
    factor: f64,
) -> Option<Outline> {
    let told = network.levels.get(level.0 as usize)?.joists.as_ref()?;
    let rooms = walls
        .iter()
        .map(|(_, w)| Rect::from_points(paper(w.from, factor), paper(w.to, factor)));
    let rooms = rooms.reduce(|a, b| a.union(b))?;
    // In a quarter of the plan, where walls and fixtures are seldom.
    let middle = Point::new(
        rooms.x0 + rooms.width() * 0.3,
        rooms.y1 - rooms.height() * 0.3,
    );
    let along = if told.east_west {
        Vec2::new(1.0, 0.0)
    } else {
        Vec2::new(0.0, -1.0)
    };
    let half =
        JOIST_HALF.min(0.25 * (rooms.width() * along.x.abs() + rooms.height() * along.y.abs()));
    let side = Vec2::new(-along.y, along.x);
    let mut path = BezPath::new();
    for (end, turn) in [(middle + along * half, 1.0), (middle - along * half, -1.0)] {
        path.move_to(end + (side * 0.8 - along * 2.4) * turn);
        path.line_to(end);
    }
    path.move_to(middle - along * half);
    path.line_to(middle + along * half);
    debug_assert!(path.bounding_box().is_finite());
    Some(Outline {
        of: OutlineKind::Joists,
        strokes: vec![Stroke {
            path,
            pen: Some(style::line(Line::Structure)),
            fill: None,
        }],
    })
}
