//! Level, ceiling and roof marks at the side of an isometric, and room names in a plan.

use glam::DVec3;
use kurbo::{PathEl, Point, Rect};
use wyeline_network::Network;
use wyeline_network::model::{LevelIx, NodeIx, NodeKind};

use super::block::Item;
use super::paper::Paper;
use super::want::{Spot, Want};
use super::words;
use crate::footprint::Footprints;
use crate::outline::ROOF_ROUND;
use crate::picture::{About, LabelClass, OutlineKind, Picture};
use crate::style;
use crate::view::View;

/// A mark this far above or below everything drawn, mm on paper, is left out. Own choice.
const BEYOND: f64 = 6.0;

/// A mark stands this near to the end of an outline, mm on paper: both are reckoned from the same places.
const AT: f64 = 0.05;

/// Where the outlines drawn begin and end: a mark beside nothing would tell nothing.
struct Ends(Vec<(Point, OutlineKind)>);

impl Ends {
    fn of(picture: &Picture) -> Self {
        let mut ends = Vec::new();
        for outline in &picture.outlines {
            let paths = outline.strokes.iter().flat_map(|s| s.path.elements());
            ends.extend(paths.filter_map(|element| match element {
                PathEl::MoveTo(p) | PathEl::LineTo(p) => Some((*p, outline.of)),
                _ => None,
            }));
        }
        ends.sort_by(|a, b| a.0.x.total_cmp(&b.0.x));
        Self(ends)
    }

    fn any(&self, of: OutlineKind, at: Point) -> bool {
        let first = self.0.partition_point(|(p, _)| p.x < at.x - AT);
        let near = self.0[first..].iter().take_while(|(p, _)| p.x <= at.x + AT);
        near.into_iter()
            .any(|(p, kind)| *kind == of && (p.y - at.y).abs() <= AT)
    }
}

/// Marks of the building.
///
/// * `drawn`: bounds of pipes, symbols and outlines, mm
pub(super) fn building(net: &Network, picture: &Picture, drawn: Rect, into: &mut Vec<Want>) {
    match picture.view {
        View::Plan { level } => rooms(net, picture, level, into),
        View::Iso { .. } => heights(net, picture, drawn, into),
    }
}

fn rooms(net: &Network, picture: &Picture, level: LevelIx, into: &mut Vec<Want>) {
    let paper = Paper::of(picture);
    for room in net.building.rooms.iter().filter(|r| r.level == level) {
        let at = paper.point(DVec3::new(room.at.0, room.at.1, 0.0));
        let item = Item::words(room.text.to_uppercase(), style::sizes().lettering_notes);
        into.push(Want::new(
            About::Building,
            LabelClass::Level,
            vec![item],
            Spot::Over(at),
        ));
    }
}

fn heights(net: &Network, picture: &Picture, drawn: Rect, into: &mut Vec<Want>) {
    let paper = Paper::of(picture);
    let small = style::sizes().lettering_notes;
    let datum = net.datum_mm.unwrap_or(0.0);
    let ends = Ends::of(picture);
    let mut say = |of: OutlineKind, corners: &[Point], z: &dyn Fn(Point) -> f64, words: &str| {
        let on_paper = corners
            .iter()
            .map(|&c| (paper.point(DVec3::new(c.x, c.y, z(c))), z(c)))
            .filter(|(p, _)| ends.any(of, *p));
        let (low, high) = on_paper
            .clone()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), (_, z)| {
                (low.min(z), high.max(z))
            });
        let flat = high - low < 1.0;
        let left = on_paper
            .clone()
            .reduce(|a, b| if b.0.x < a.0.x { b } else { a });
        let right = on_paper.reduce(|a, b| if b.0.x > a.0.x { b } else { a });
        let (Some((left, z)), Some((right, _))) = (left, right) else {
            return;
        };
        if left.y < drawn.y0 - BEYOND || left.y > drawn.y1 + BEYOND {
            return;
        }
        let text = if flat {
            format!("{words}  {}", words::height(z + datum, net.units))
        } else {
            // A slope has no one height; each vent's own end says how high it is there.
            words.to_owned()
        };
        let spot = Spot::Ends(left, right);
        into.push(Want::new(
            About::Building,
            LabelClass::Level,
            vec![Item::words(text, small)],
            spot,
        ));
    };
    let nodes = picture.pipes.iter().flat_map(|mark| {
        let pipe = net.pipe(mark.pipe);
        let ends = [pipe.from, pipe.to].into_iter();
        ends.filter(|n| picture.reaches(mark.pipe, *n))
    });
    let nodes: Vec<NodeIx> = nodes.collect();
    let vents = nodes
        .iter()
        .map(|n| net.node(*n))
        .filter(|n| n.kind == NodeKind::RoofEnd)
        .map(|n| Rect::from_center_size((n.at.x, n.at.y), (2.0 * ROOF_ROUND, 2.0 * ROOF_ROUND)))
        .reduce(|a, b| a.union(b));
    let storeys = Footprints::of(net, nodes.into_iter());
    // A storey's marks stand at ends of its walls, which are drawn, not at corners of the
    // rectangle round them, where there may be nothing.
    let mut walls: Vec<Vec<Point>> = vec![Vec::new(); net.levels.len()];
    for wall in &net.building.walls {
        if let Some(ends) = walls.get_mut(wall.level.0 as usize) {
            ends.extend([Point::from(wall.from), Point::from(wall.to)]);
        }
    }
    for (i, level) in net.levels.iter().enumerate() {
        let mut corners = std::mem::take(&mut walls[i]);
        if corners.is_empty() {
            let plan = storeys.of_level(LevelIx(i as u32));
            corners.extend(plan.into_iter().flat_map(corners_of));
        }
        let name = level.name.to_uppercase();
        say(
            OutlineKind::Floor,
            &corners,
            &|_| level.floor,
            &format!("{name} FLOOR"),
        );
        if let Some(ceiling) = level.ceiling {
            say(
                OutlineKind::Ceiling,
                &corners,
                &|_| ceiling,
                &format!("{name} CEILING"),
            );
        }
    }
    // The mark stands at the piece of roof that is drawn round the vents; where none goes through
    // there is no roof to be seen and nothing to mark.
    if !net.building.roof.is_empty()
        && let Some(plan) = vents
    {
        let roof = |c: Point| net.building.roof_at(c.x, c.y).unwrap_or(0.0);
        say(OutlineKind::Roof, &corners_of(plan), &roof, "ROOF");
    }
}

fn corners_of(plan: Rect) -> [Point; 4] {
    [
        Point::new(plan.x0, plan.y0),
        Point::new(plan.x1, plan.y0),
        Point::new(plan.x1, plan.y1),
        Point::new(plan.x0, plan.y1),
    ]
}
