//! Letters of the system set into the line at intervals, the line cut clear round them.

use kurbo::{Point, Rect, Vec2};

use super::block::Align;
use super::block::{CLEAR, Item, Layout};
use super::field::{Field, Thing};
use super::shape::Oblong;
use crate::picture::{About, Label, LabelClass, PipeMark};
use crate::style;

/// A straight pipe at least so long on paper, mm, carries letters.
const LEAST: f64 = 25.0;
/// From one set of letters to the next, mm.
const EVERY: f64 = 120.0;
/// White between the letters' area and the cut line, mm.
const WHITE: f64 = 0.3;
/// Least line left between letters and the end or break of the piece, mm.
const LEFT: f64 = 1.5;
/// Where in its stretch letters may stand, the preferred first: off the middle, where the pipe's
/// own words stand.
const PLACES: [f64; 9] = [0.2, 0.8, 0.26, 0.74, 0.14, 0.86, 0.33, 0.67, 0.5];

/// Sets letters into the lines, where said only into those of a part of the picture.
pub(super) fn set(
    marks: &mut [PipeMark],
    seen: Option<Rect>,
    field: &mut Field,
    labels: &mut Vec<Label>,
) {
    let height = style::sizes().lettering_notes;
    for mark in marks {
        let letters = style::letters(mark.system);
        let Some((a, b)) = super::content::ends(mark) else {
            continue;
        };
        let length = a.distance(b);
        let hidden = seen.is_some_and(|seen| !Rect::from_points(a, b).overlaps(seen));
        if letters.is_empty() || length < LEAST || hidden {
            continue;
        }
        let items = [Item::words(letters, height)];
        let layout = Layout::new(&items, &[], false);
        let stretches = (length / EVERY).ceil().max(1.0);
        for i in 0..stretches as u32 {
            let place = PLACES.iter().find_map(|t| {
                let at = a.lerp(b, (f64::from(i) + t) / stretches);
                let area = Oblong::level(at, layout.half());
                fits(mark, field, &area, (b - a) / length).map(|piece| (area, piece))
            });
            let Some((area, piece)) = place else { continue };
            cut(mark, piece, &area, (b - a) / length);
            field.add(area, Thing::Label(labels.len() as u32));
            let (lines, strokes) = layout.set(&items, &area, Align::Centre);
            labels.push(Label {
                about: About::Pipe(mark.pipe),
                class: LabelClass::Letters,
                lines: lines
                    .into_iter()
                    .map(|l| l.coloured(mark.pen.colour))
                    .collect(),
                area: area.corners(),
                leader: None,
                strokes,
            });
        }
    }
}

/// Half of the gap the letters need along the line.
fn gap(area: &Oblong, way: Vec2) -> f64 {
    // Where the line enters the box: through its end or through its side.
    let through = (area.half.0 / way.x.abs().max(1e-9)).min(area.half.1 / way.y.abs().max(1e-9));
    through + WHITE + CLEAR
}

/// The piece of the line in which letters can stand, if they touch nothing else.
fn fits(mark: &PipeMark, field: &Field, area: &Oblong, way: Vec2) -> Option<usize> {
    let gap = gap(area, way);
    let piece = mark.pieces.iter().position(|&(p, q)| {
        let at = (area.centre - p).dot(way);
        at >= gap + LEFT && (q - p).dot(way) - at >= gap + LEFT
    })?;
    let blocked = field.any(area, |_, other, thing| {
        thing != Thing::Frame && thing != Thing::Pipe(mark.pipe) && area.touches(other)
    });
    (!blocked).then_some(piece)
}

fn cut(mark: &mut PipeMark, piece: usize, area: &Oblong, way: Vec2) {
    let (p, q): (Point, Point) = mark.pieces[piece];
    let gap = way * (gap(area, way) + mark.pen.width / 2.0);
    mark.pieces[piece] = (p, area.centre - gap);
    mark.pieces.insert(piece + 1, (area.centre + gap, q));
}
