//! The key plan of a sheet that shows one part of a job: where on the plan and how high it lies.

use kurbo::{BezPath, Point, Rect};
use wyeline_draw::ink::{Lettering, Weight};

use crate::block::{Block, CAPTION, MEDIUM, THIN};
use crate::page::{Group, line, outline};
use crate::split::Cuts;

/// Largest width and height of the key plan, mm; our choice.
const LARGEST: (f64, f64) = (44.0, 30.0);
/// Width of the key elevation, mm.
const ELEVATION: f64 = 14.0;
/// Distance between hatching lines, mm.
const HATCH: f64 = 1.5;

/// The key plan for the part `cell` of what `cuts` cut up.
pub(crate) fn key_plan(cuts: &Cuts, cell: [usize; 3]) -> Block {
    let (low, high) = cuts.bounds;
    let size = [0, 1, 2].map(|axis: usize| (high[axis] - low[axis]).max(1.0));
    let factor = (LARGEST.0 / size[0]).min(LARGEST.1 / size[1]);
    let (width, height) = (size[0] * factor, (size[1] * factor).max(6.0));
    let mut group = Group::new("key-plan");
    let top = CAPTION + 3.0;
    let caption = Lettering::new(
        "key plan, north up",
        Point::new(0.0, CAPTION + 0.5),
        CAPTION,
        Weight::Regular,
    );
    // The elevation stands clear of the plan and of its caption, which may be the wider.
    let beside = width.max(caption.width) + 10.0;
    group.text("caption", caption);
    let plan = Rect::new(0.0, top, width, top + height);
    let x = |mm: f64| ((mm - low[0]) / size[0]).clamp(0.0, 1.0) * width;
    let y = |mm: f64| plan.y1 - ((mm - low[1]) / size[1]).clamp(0.0, 1.0) * height;
    for cut in &cuts.x {
        group.stroke("", line((x(*cut), plan.y0), (x(*cut), plan.y1)), THIN);
    }
    for cut in &cuts.y {
        group.stroke("", line((plan.x0, y(*cut)), (plan.x1, y(*cut))), THIN);
    }
    let (from, to) = cuts.cell(cell);
    hatched(
        &mut group,
        Rect::from_points((x(from[0]), y(from[1])), (x(to[0]), y(to[1]))),
    );
    group.stroke("", outline(plan), MEDIUM);
    if !cuts.z.is_empty() {
        let tall = LARGEST.1;
        let side = Rect::new(beside, top, beside + ELEVATION, top + tall);
        let z = |mm: f64| side.y1 - ((mm - low[2]) / size[2]).clamp(0.0, 1.0) * tall;
        for cut in &cuts.z {
            group.stroke("", line((side.x0, z(*cut)), (side.x1, z(*cut))), THIN);
        }
        hatched(
            &mut group,
            Rect::from_points((side.x0, z(from[2])), (side.x1, z(to[2]))),
        );
        group.stroke("", outline(side), MEDIUM);
        group.text(
            "caption",
            Lettering::new(
                "height",
                Point::new(side.x0, CAPTION + 0.5),
                CAPTION,
                Weight::Regular,
            ),
        );
    }
    let tall = if cuts.z.is_empty() {
        height
    } else {
        LARGEST.1.max(height)
    };
    Block {
        height: top + tall + 3.0,
        keep_with_next: false,
        group: group.into(),
    }
}

/// Hatches a rectangle with lines rising to the right.
fn hatched(group: &mut Group, rect: Rect) {
    let mut path = BezPath::new();
    let mut start = rect.x0 - rect.height() + HATCH;
    while start < rect.x1 {
        // The line x - start = y1 - y, cut at the rectangle.
        let (a, b) = (start.max(rect.x0), (start + rect.height()).min(rect.x1));
        path.move_to((a, rect.y1 - (a - start)));
        path.line_to((b, rect.y1 - (b - start)));
        start += HATCH;
    }
    group.stroke("here", path, THIN);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::page::Item;
    use kurbo::Shape;

    #[test]
    fn the_part_shown_is_hatched_where_it_lies() {
        // 40 x 20 m cut at 10 m from the west: at 44 mm for 40 m the western part is 11 mm wide, from the left edge.
        let cuts = Cuts {
            x: vec![10_000.0],
            bounds: ([0.0; 3], [40_000.0, 20_000.0, 3000.0]),
            ..Cuts::default()
        };
        let block = key_plan(&cuts, [0, 0, 0]);
        let hatching = block.group.items.iter().find_map(|item| match item {
            Item::Stroke(mark) if mark.class == "here" => Some(mark.stroke.path.bounding_box()),
            _ => None,
        });
        let hatching = hatching.expect("hatched");
        assert!(
            hatching.x0 >= -1e-9 && hatching.x1 <= 11.0 + 1e-9 && hatching.width() > 10.0,
            "{hatching:?}"
        );
    }

    #[test]
    fn the_captions_of_a_narrow_plan_and_of_its_elevation_stand_apart() {
        // A shaft of 2 x 20 m, cut at half its height: the plan is 3 mm wide, its caption some 25 mm.
        let cuts = Cuts {
            z: vec![1500.0],
            bounds: ([0.0; 3], [2000.0, 20_000.0, 3000.0]),
            ..Cuts::default()
        };
        let block = key_plan(&cuts, [0, 0, 0]);
        let captions: Vec<(f64, f64)> = block
            .group
            .items
            .iter()
            .filter_map(|item| match item {
                Item::Text(text) => {
                    let l = &text.lettering;
                    Some((l.at.x, l.at.x + l.width))
                }
                _ => None,
            })
            .collect();
        let [plan, height] = captions[..] else {
            panic!("two captions: {captions:?}")
        };
        assert!(height.0 > plan.1 + 2.0, "{captions:?}");
    }
}
