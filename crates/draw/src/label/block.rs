//! A block of words glued together: its items set in one or more rows, as a box of known size.

use kurbo::{BezPath, Point, Vec2};

use super::shape::Oblong;
use crate::ink::{Colour, Lettering, Pattern, Pen, Stroke, Weight};
use crate::lettering::{self, Extent};

/// Clear room round the glyphs of a label, mm. Own choice: about the width of a heavy pen, so that
/// a copy at half size still shows white between.
pub(super) const CLEAR: f64 = 0.3;
/// From one row's base line to the next row's capitals, over the capitals' height.
/// A utility's drafting guideline on text size: line gap 0.5 of the height.
const ROW_GAP: f64 = 0.5;
/// Between items of a row, over the capitals' height. Own choice.
const ITEM_GAP: f64 = 0.6;
/// Length of a slope arrow, mm. Own choice.
const ARROW: f64 = 6.0;
/// Length and width of its head, mm. Own choice.
const HEAD: (f64, f64) = (1.8, 1.1);
/// Its middle above the base line, mm: half the height of the words it follows.
const ARROW_RISE: f64 = 1.25;
/// A steep one is shortened to about this height, mm, so that rows stay close. Own choice.
const ARROW_HIGH: f64 = 4.0;
/// Its line width, mm: a step of ISO 128.
const ARROW_PEN: f64 = 0.25;
/// Circle round a table number, over the capitals' height. Own choice.
const RING: f64 = 0.95;
/// Line width of the hexagon round the number of a flag, mm: twice that of a ring. Own choice.
const FLAG_PEN: f64 = 0.5;

/// One item of a block.
#[derive(Clone, Debug)]
pub(super) enum Item {
    /// Words.
    Words {
        text: String,
        height: f64,
        weight: Weight,
        extent: Extent,
    },
    /// A slope arrow pointing along this unit vector.
    Arrow(Vec2),
    /// A number in a ring.
    Ringed {
        text: String,
        height: f64,
        width: f64,
    },
    /// The number of a flag, in a hexagon.
    Flag {
        text: String,
        height: f64,
        width: f64,
    },
}

impl Item {
    /// Words in regular weight.
    pub fn words(text: impl Into<String>, height: f64) -> Self {
        Self::weighted(text, height, Weight::Regular)
    }

    /// Words in semi-bold.
    pub fn tag(text: impl Into<String>, height: f64) -> Self {
        Self::weighted(text, height, Weight::SemiBold)
    }

    fn weighted(text: impl Into<String>, height: f64, weight: Weight) -> Self {
        let text: String = text.into();
        let text = if text.chars().all(|c| lettering::has(c, weight)) {
            text
        } else {
            Lettering::new(&text, Point::ZERO, height, weight).text
        };
        let extent = lettering::extent(&text, height, weight);
        Self::Words {
            text,
            height,
            weight,
            extent,
        }
    }

    /// A table number in a ring.
    pub fn ringed(text: String, height: f64) -> Self {
        let width = lettering::width(&text, height, Weight::SemiBold);
        Self::Ringed {
            text,
            height,
            width,
        }
    }

    /// The number of a flag in a hexagon.
    pub fn flag(number: u32, height: f64) -> Self {
        let text = number.to_string();
        let width = lettering::width(&text, height, Weight::SemiBold);
        Self::Flag {
            text,
            height,
            width,
        }
    }

    /// Width, reach above and reach below the base line, height of capitals.
    fn measure(&self, along: bool) -> (f64, f64, f64, f64) {
        match self {
            Self::Words { height, extent, .. } => {
                (extent.width, extent.above, extent.below, *height)
            }
            Self::Arrow(way) => {
                let length = arrow_length(*way, along);
                let (x, y) = if along {
                    (1.0, 0.0)
                } else {
                    (way.x.abs(), way.y.abs())
                };
                // Half its reach: to the tip, or to the corner of its head.
                let back = length / 2.0 - HEAD.0;
                let wide = (x * length / 2.0).max(x * back + y * HEAD.1 / 2.0);
                let high = (y * length / 2.0).max(y * back + x * HEAD.1 / 2.0);
                (
                    2.0 * wide,
                    ARROW_RISE + high,
                    (high - ARROW_RISE).max(0.0),
                    0.0,
                )
            }
            Self::Ringed { height, width, .. } | Self::Flag { height, width, .. } => {
                let radius = (height * RING).max(width / 2.0 + 0.8);
                (
                    2.0 * radius,
                    height / 2.0 + radius,
                    radius - height / 2.0,
                    *height,
                )
            }
        }
    }

    /// Its words, for the table.
    pub fn text(&self) -> &str {
        match self {
            Self::Words { text, .. } | Self::Ringed { text, .. } | Self::Flag { text, .. } => text,
            Self::Arrow(_) => "",
        }
    }
}

/// How rows narrower than the widest are set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Align {
    Left,
    Centre,
    Right,
}

#[derive(Clone, Copy, Debug, Default)]
struct Row {
    /// First item and the one after the last.
    items: (u8, u8),
    width: f64,
    /// From the block's top (glyphs, without the clear room) to the row's base line.
    base: f64,
}

/// One way of breaking a block into rows.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    rows: Vec<Row>,
    width: f64,
    height: f64,
    along: bool,
}

impl Layout {
    /// Sets `items`; a row ends before each item whose number is in `breaks`.
    ///
    /// * `along`: the block will lie along its pipe, so that slope arrows are level in it
    pub fn new(items: &[Item], breaks: &[usize], along: bool) -> Self {
        let mut rows: Vec<Row> = Vec::with_capacity(breaks.len() + 1);
        let (mut width, mut bottom) = (0.0_f64, 0.0_f64);
        let mut first = 0;
        for last in breaks.iter().copied().chain([items.len()]) {
            let (mut wide, mut above, mut below, mut capital) = (0.0, 0.0_f64, 0.0_f64, 0.0_f64);
            for (i, item) in items[first..last].iter().enumerate() {
                let (w, a, b, c) = item.measure(along);
                wide += w;
                above = above.max(a);
                below = below.max(b);
                capital = capital.max(c);
                if i > 0 {
                    wide += ITEM_GAP * capital.max(2.0);
                }
            }
            if !rows.is_empty() {
                bottom += ROW_GAP * capital;
            }
            rows.push(Row {
                items: (first as u8, last as u8),
                width: wide,
                base: bottom + above,
            });
            bottom += above + below;
            width = width.max(wide);
            first = last;
        }
        Self {
            rows,
            width,
            height: bottom,
            along,
        }
    }

    /// Half its length and height, the clear room included.
    pub fn half(&self) -> (f64, f64) {
        (self.width / 2.0 + CLEAR, self.height / 2.0 + CLEAR)
    }

    /// The lettering and small marks of the block set into `area`.
    pub fn set(
        &self,
        items: &[Item],
        area: &Oblong,
        align: Align,
    ) -> (Vec<Lettering>, Vec<Stroke>) {
        let across = Vec2::new(-area.along.y, area.along.x);
        let corner = area.centre - area.along * (self.width / 2.0) - across * (self.height / 2.0);
        let angle = area.along.y.atan2(area.along.x).to_degrees();
        let (mut lines, mut strokes) = (Vec::with_capacity(items.len()), Vec::new());
        for row in &self.rows {
            let spare = self.width - row.width;
            let mut x = match align {
                Align::Left => 0.0,
                Align::Centre => spare / 2.0,
                Align::Right => spare,
            };
            let mut capital = 0.0_f64;
            let (first, last) = (usize::from(row.items.0), usize::from(row.items.1));
            for (i, item) in items[first..last].iter().enumerate() {
                let (wide, _, _, high) = item.measure(self.along);
                capital = capital.max(high);
                if i > 0 {
                    x += ITEM_GAP * capital.max(2.0);
                }
                let at = corner + area.along * x + across * row.base;
                match item {
                    Item::Words {
                        text,
                        height,
                        weight,
                        extent,
                    } => lines.push(Lettering {
                        text: text.clone(),
                        at,
                        angle,
                        height: *height,
                        weight: *weight,
                        colour: Colour::BLACK,
                        width: extent.width,
                    }),
                    Item::Arrow(way) => {
                        let middle = at + area.along * (wide / 2.0) - across * ARROW_RISE;
                        strokes.extend(arrow(middle, *way, arrow_length(*way, self.along)));
                    }
                    Item::Ringed {
                        text,
                        height,
                        width,
                    }
                    | Item::Flag {
                        text,
                        height,
                        width,
                    } => {
                        let middle = at + area.along * (wide / 2.0) - across * (height / 2.0);
                        strokes.push(match item {
                            Item::Flag { .. } => hexagon(middle, wide / 2.0),
                            _ => ring(middle, wide / 2.0),
                        });
                        lines.push(Lettering {
                            text: text.clone(),
                            at: at + area.along * ((wide - width) / 2.0),
                            angle,
                            height: *height,
                            weight: Weight::SemiBold,
                            colour: Colour::BLACK,
                            width: *width,
                        });
                    }
                }
                x += wide;
            }
        }
        (lines, strokes)
    }
}

fn arrow_length(way: Vec2, along: bool) -> f64 {
    if along {
        ARROW
    } else {
        ARROW.min(ARROW_HIGH / way.y.abs().max(1e-6))
    }
}

fn thin() -> Pen {
    Pen {
        width: ARROW_PEN,
        pattern: Pattern::Solid,
        colour: Colour::BLACK,
    }
}

/// A slope arrow: shaft and filled head, so that it differs from the flow arrow on the line.
fn arrow(middle: Point, way: Vec2, length: f64) -> [Stroke; 2] {
    let tip = middle + way * (length / 2.0);
    let neck = tip - way * HEAD.0;
    let side = Vec2::new(-way.y, way.x) * (HEAD.1 / 2.0);
    let mut shaft = BezPath::new();
    shaft.move_to(middle - way * (length / 2.0));
    shaft.line_to(neck);
    let mut head = BezPath::new();
    head.move_to(tip);
    head.line_to(neck + side);
    head.line_to(neck - side);
    head.close_path();
    [
        Stroke {
            path: shaft,
            pen: Some(thin()),
            fill: None,
        },
        Stroke {
            path: head,
            pen: None,
            fill: Some(Colour::BLACK),
        },
    ]
}

fn ring(middle: Point, radius: f64) -> Stroke {
    use kurbo::Shape;
    // Drawn within the radius, pen included.
    let path = kurbo::Circle::new(middle, radius - ARROW_PEN / 2.0).to_path(0.01);
    Stroke {
        path,
        pen: Some(thin()),
        fill: None,
    }
}

/// A hexagon on one of its corners' axis, its corners on the circle that a ring would be.
fn hexagon(middle: Point, radius: f64) -> Stroke {
    let radius = radius - FLAG_PEN / 2.0;
    let mut path = BezPath::new();
    for corner in 0..6 {
        let at =
            middle + Vec2::from_angle(f64::from(corner) * std::f64::consts::FRAC_PI_3) * radius;
        if corner == 0 {
            path.move_to(at);
        } else {
            path.line_to(at);
        }
    }
    path.close_path();
    Stroke {
        path,
        pen: Some(Pen {
            width: FLAG_PEN,
            ..thin()
        }),
        fill: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use kurbo::Shape;

    fn items() -> Vec<Item> {
        vec![
            Item::words("3\"", 3.0),
            Item::words("4'-6\"", 3.0),
            Item::words("1/4\"/ft", 2.5),
            Item::Arrow(Vec2::new(0.866, -0.5)),
        ]
    }

    #[test]
    fn breaking_a_block_makes_it_narrower_and_higher() {
        let one = Layout::new(&items(), &[], false).half();
        let two = Layout::new(&items(), &[2], false).half();
        assert!(two.0 < one.0 && two.1 > one.1);
    }

    #[test]
    fn all_words_and_marks_lie_within_the_box_less_its_clear_room() {
        let items = items();
        for (breaks, align) in [
            (vec![], Align::Left),
            (vec![2], Align::Right),
            (vec![1, 2], Align::Centre),
        ] {
            let layout = Layout::new(&items, &breaks, false);
            let area = Oblong::level(Point::new(50.0, 20.0), layout.half());
            let inner = area.bounds().inflate(-CLEAR + 1e-6, -CLEAR + 1e-6);
            let (lines, strokes) = layout.set(&items, &area, align);
            assert_eq!(lines.len(), 3);
            for line in &lines {
                let e = lettering::extent(&line.text, line.height, line.weight);
                assert!(
                    line.at.x >= inner.x0 && line.at.x + e.width <= inner.x1,
                    "{line:?}"
                );
                assert!(
                    line.at.y - e.above >= inner.y0 && line.at.y + e.below <= inner.y1,
                    "{line:?}"
                );
            }
            for stroke in &strokes {
                let b = stroke.path.bounding_box();
                assert!(inner.contains_rect(b), "{b:?} outside {inner:?}");
            }
        }
    }

    #[test]
    fn words_along_a_rising_pipe_keep_their_base_lines_parallel_to_it() {
        let items = items();
        let layout = Layout::new(&items, &[], true);
        let along = Vec2::new(30.0_f64.to_radians().cos(), -0.5);
        let area = Oblong {
            centre: Point::ZERO,
            along,
            half: layout.half(),
        };
        let (lines, _) = layout.set(&items, &area, Align::Left);
        // All on one base line: the step from one start to the next runs along the block.
        let step = lines[1].at - lines[0].at;
        assert!(step.cross(along).abs() < 1e-9 && step.dot(along) > 0.0);
        assert!((lines[0].angle + 30.0).abs() < 1e-9);
    }
}
