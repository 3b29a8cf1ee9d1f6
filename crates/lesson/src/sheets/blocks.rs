//! The plan of a block with the height of each square, and its drawing from a corner.

use kurbo::{Point, Rect};
use wyeline_draw::ink::{Colour, Lettering, Pattern, Pen, Weight};
use wyeline_draw::plan::viewpoint_mark;
use wyeline_sheet::{Group, Item, LEADING, Mark, NOTE, Sheet, THIN, line, north, shift, wrapped};

use crate::exercise::Exercise;
use crate::solid::{self, Solid};

use super::lay::Lay;
use super::page::{PAD, Page};
use super::{axes, given};

/// Edge of a square on the plan, mm, where the paper has the room; our choice.
const SQUARE: f64 = 16.0;
/// Height of the figures in the squares, mm; our choice.
const FIGURE: f64 = 5.0;
/// The pens of edges that are seen and of hidden ones: 0.7 and 0.5 mm, steps of ISO 128 (from memory), the narrower dashed; on a grid narrower still would be
/// taken for one of its lines. Our choice.
const SEEN: Pen = Pen {
    width: 0.7,
    pattern: Pattern::Solid,
    colour: Colour::BLACK,
};
const HIDDEN: Pen = Pen {
    width: 0.5,
    pattern: Pattern::Dashed,
    colour: Colour::BLACK,
};

/// The plan sheet of a block.
pub(super) fn plan(exercise: &Exercise, solid: &Solid, page: &Page, lay: &Lay) -> Sheet {
    let mut items = Vec::new();
    let (words, tall) = words(exercise, page);
    items.push(Item::Group(words));
    let [wide, deep, _] = solid.size();
    let room = Rect::new(
        page.area.x0,
        page.area.y0,
        page.area.x1,
        page.area.y1 - tall,
    );
    let square = SQUARE
        .min((room.width() - 50.0) / f64::from(wide))
        .min((room.height() - 50.0) / f64::from(deep));
    let plan = Rect::from_center_size(
        room.center(),
        (square * f64::from(wide), square * f64::from(deep)),
    );
    let at = |x: i32, y: i32| {
        Point::new(
            plan.x0 + square * f64::from(x),
            plan.y1 - square * f64::from(y),
        )
    };
    let mut group = Group::new("view block-plan");
    // A line between two squares: thin where they are as high as each other, wide where there is a step.
    let mut between = |a: Point, b: Point, heights: [i32; 2]| {
        if heights[0] != heights[1] {
            group.stroke("step", line(a, b), SEEN);
        } else if heights[0] > 0 {
            group.stroke("square", line(a, b), THIN);
        }
    };
    for y in 0..=deep {
        for x in 0..=wide {
            if x < wide {
                between(
                    at(x, y),
                    at(x + 1, y),
                    [solid.height(x, y - 1), solid.height(x, y)],
                );
            }
            if y < deep {
                between(
                    at(x, y),
                    at(x, y + 1),
                    [solid.height(x - 1, y), solid.height(x, y)],
                );
            }
        }
    }
    for y in 0..deep {
        for x in 0..wide {
            let height = solid.height(x, y);
            if height > 0 {
                let middle = at(x, y).midpoint(at(x + 1, y + 1)) + (0.0, FIGURE / 2.0);
                group.text(
                    "height",
                    Lettering::centred(&height.to_string(), middle, FIGURE, Weight::SemiBold),
                );
            }
        }
    }
    items.push(Item::Group(group));
    let step = solid::square_mm(page.metric);
    let start = (lay.anchor / step).round();
    let mut cross = axes::start(at(start.x as i32, start.y as i32));
    // The word beside the plan, not in it.
    beside(&mut cross, plan);
    items.push(Item::Group(cross));
    let mut eye = Group::new("viewpoint");
    let strokes = viewpoint_mark(plan.inflate(4.0, 4.0), exercise.corner);
    eye.items.extend(strokes.into_iter().map(|stroke| {
        Item::Stroke(Mark {
            class: "eye",
            stroke,
        })
    }));
    items.push(Item::Group(eye));
    let (mut arrow, bounds) = north(None);
    shift(
        &mut arrow,
        Point::new(room.x0 + PAD + 3.0, room.y0 + PAD + 3.0) - bounds.origin(),
    );
    items.push(Item::Group(arrow));
    page.sheet(exercise, "Plan with heights in squares", true, items)
}

/// Sets the word of the beginning to the outer side of the plan.
fn beside(cross: &mut Group, plan: Rect) {
    for item in &mut cross.items {
        if let Item::Text(text) = item {
            let lettering = &mut text.lettering;
            let inside = plan.inflate(0.5, 0.5).contains(Point::new(
                lettering.at.x,
                lettering.at.y - lettering.height / 2.0,
            ));
            let left = lettering.at.x > plan.center().x;
            if inside || !left {
                lettering.at.x = if left {
                    plan.x1 + 3.0
                } else {
                    plan.x0 - 3.0 - lettering.width
                };
            }
        }
    }
}

/// What the learner is told, set at the foot of the area; and its height, mm.
fn words(exercise: &Exercise, page: &Page) -> (Group, f64) {
    let mut group = Group::new("brief");
    let room = page.area.width() - 2.0 * PAD;
    let lines: Vec<String> = given::brief(exercise, page.metric)
        .iter()
        .flat_map(|words| wrapped(words, room, 3.0, Weight::Regular))
        .collect();
    let pitch = 3.0 * LEADING;
    let tall = pitch * lines.len() as f64 + 2.0 * PAD;
    for (i, words) in lines.iter().enumerate() {
        let at = Point::new(
            page.area.x0 + PAD,
            page.area.y1 - tall + PAD + NOTE + pitch * i as f64,
        );
        group.text("note", Lettering::new(words, at, 3.0, Weight::Regular));
    }
    (group, tall)
}

/// The block drawn from the corner of a lay.
pub(super) fn drawn(solid: &Solid, lay: &Lay, metric: bool) -> Group {
    let square = solid::square_mm(metric);
    let mut group = Group::new("view block");
    let mut lines = solid::seen(solid, lay.projection.corner());
    // Seen lines over hidden ones.
    lines.sort_by_key(|line| !line.hidden);
    for edge in lines {
        let at = |p: solid::Point| {
            lay.at(glam::DVec3::new(f64::from(p[0]), f64::from(p[1]), f64::from(p[2])) * square)
        };
        let (class, pen) = if edge.hidden {
            ("hidden", HIDDEN)
        } else {
            ("seen", SEEN)
        };
        group.stroke(class, line(at(edge.edge.from), at(edge.edge.to)), pen);
    }
    group
}
