//! A page laid out: the frame, the title block in its lower right corner, the column beside or the band below
//! the drawing, the check bar and the line at its foot, and the area that is left for pictures.

use std::rc::Rc;

use kurbo::{Point, Rect};
use wyeline_draw::ink::{Lettering, Weight};
use wyeline_network::Network;

use crate::bars::check_bar;
use crate::block::{Block, LEADING, MEDIUM, NOTE, THIN, WIDE, wrapped};
use crate::notes::foot;
use crate::page::{Group, Item, line, outline};
use crate::paper::{Orientation, Paper};

/// Distance from a rule to what stands beside it, mm.
const PAD: f64 = 3.0;
/// Space between two columns, mm.
pub(crate) const GUTTER: f64 = 6.0;
/// A column is at least so wide, mm: about 45 letters of 2.5 mm; our choice.
const NARROWEST: f64 = 70.0;

/// A page before anything is drawn on it; rectangles in mm from the upper left corner of the paper.
#[derive(Clone, Debug)]
pub(crate) struct Page {
    pub paper: &'static Paper,
    pub orientation: Orientation,
    pub frame: Rect,
    /// Where pictures go.
    pub area: Rect,
    /// Where legend and notes go, in order; all of one width.
    pub columns: Vec<Rect>,
    /// Where the title block goes.
    pub title: Rect,
    /// Check bar and foot line.
    pub foot: Rect,
    /// The line between pictures and column.
    rule: (Point, Point),
}

impl Page {
    /// Lays out a page for a title block `title_height` mm high.
    pub fn new(paper: &'static Paper, orientation: Orientation, title_height: f64) -> Self {
        let frame = paper.frame(orientation);
        let title = Rect::new(
            frame.x1 - paper.side,
            frame.y1 - title_height,
            frame.x1,
            frame.y1,
        );
        let foot = Rect::new(
            frame.x0,
            frame.y1 - foot_height(frame.width() - paper.side),
            title.x0,
            frame.y1,
        );
        match orientation {
            Orientation::Landscape => Self {
                paper,
                orientation,
                frame,
                area: Rect::new(frame.x0, frame.y0, title.x0, foot.y0).inset(-PAD),
                columns: vec![Rect::new(title.x0, frame.y0, frame.x1, title.y0).inset(-PAD)],
                title,
                foot,
                rule: (
                    Point::new(title.x0, frame.y0),
                    Point::new(title.x0, frame.y1),
                ),
            },
            Orientation::Portrait => Self {
                paper,
                orientation,
                frame,
                area: Rect::new(frame.x0, frame.y0, frame.x1, title.y0).inset(-PAD),
                columns: split(
                    Rect::new(frame.x0, title.y0, title.x0, foot.y0).inset(-PAD),
                    NARROWEST,
                ),
                title,
                foot,
                rule: (
                    Point::new(frame.x0, title.y0),
                    Point::new(frame.x1, title.y0),
                ),
            },
        }
    }

    /// The corner kept clear for a stamp.
    pub fn stamp(&self) -> Option<Rect> {
        self.paper.stamp(self.orientation)
    }

    /// Width of a column for words, mm.
    pub fn room(&self) -> f64 {
        self.columns[0].width()
    }

    /// Frame, rules, check bar and foot line; `drawn` where the page holds pictures beside its notes.
    pub fn furniture(&self, network: &Network, drawn: bool) -> Vec<Item> {
        let mut border = Group::new("border");
        border.stroke("frame", outline(self.frame), WIDE);
        if drawn {
            border.stroke("", line(self.rule.0, self.rule.1), MEDIUM);
        }
        border.stroke(
            "",
            line((self.foot.x0, self.foot.y0), (self.foot.x1, self.foot.y0)),
            THIN,
        );
        let (mut bar, length, height) = check_bar(network.units);
        let wide = is_wide(self.foot.width());
        crate::block::shift(&mut bar, (self.foot.x0 + PAD, self.foot.y0 + 2.0).into());
        let (x, y) = if wide {
            (self.foot.x0 + PAD + length + 6.0, self.foot.y0 + 2.0)
        } else {
            (self.foot.x0 + PAD, self.foot.y0 + 2.0 + height + 1.0)
        };
        let mut words = Group::new("foot");
        for (i, said) in wrapped(foot(), self.foot.x1 - PAD - x, NOTE, Weight::Regular)
            .iter()
            .enumerate()
        {
            let at = Point::new(x, y + NOTE + NOTE * LEADING * i as f64);
            words.text("", Lettering::new(said, at, NOTE, Weight::Regular));
        }
        vec![Item::Group(border), Item::Group(bar), Item::Group(words)]
    }
}

/// Whether the foot line has room beside the check bar.
fn is_wide(width: f64) -> bool {
    width > 101.6 + 2.0 * PAD + 6.0 + 75.0
}

/// Height of the band with check bar and foot line, mm.
fn foot_height(width: f64) -> f64 {
    let bar = 4.0 + NOTE + 0.8;
    let room = if is_wide(width) {
        width - 101.6 - 6.0 - 2.0 * PAD
    } else {
        width - 2.0 * PAD
    };
    let words = wrapped(foot(), room, NOTE, Weight::Regular).len() as f64 * NOTE * LEADING;
    if is_wide(width) {
        bar.max(words) + 3.5
    } else {
        bar + words + 4.5
    }
}

/// Where a block goes.
struct Place {
    /// Its column.
    column: usize,
    /// Its upper edge, mm.
    y: f64,
    /// A heading set again right above it: which block that is, and its upper edge, mm.
    again: Option<(usize, f64)>,
}

/// Finds places for blocks one below the other in the columns given, in order, headings kept with what follows, and tells `found`
/// each; what goes on in the next column is headed there again.
///
/// Returns for how many blocks there is room; heights decide.
fn places(blocks: &[Block], columns: &[Rect], mut found: impl FnMut(Place)) -> usize {
    let mut next = 0;
    let mut heading: Option<usize> = None;
    for (k, column) in columns.iter().enumerate() {
        let mut y = column.y0;
        while let Some(block) = blocks.get(next) {
            let again = heading.filter(|_| y <= column.y0 && !block.keep_with_next);
            let above = again.map_or(0.0, |h| blocks[h].height);
            let after = blocks.get(next + 1).filter(|_| block.keep_with_next);
            let tall = above + block.height + after.map_or(0.0, |after| after.height);
            let alone = y <= column.y0 && block.height <= column.height();
            if y + tall > column.y1 && !alone {
                break;
            }
            let again = again.filter(|_| y + tall <= column.y1).map(|h| (h, y));
            if again.is_some() {
                y += above;
            }
            found(Place {
                column: k,
                y,
                again,
            });
            if block.keep_with_next {
                heading = Some(next);
            }
            y += block.height;
            next += 1;
        }
    }
    next
}

/// Sets blocks one below the other in the columns given, in order; what goes on in the next column is headed there again.
///
/// Returns the items placed and the blocks for which there was no room.
pub(crate) fn flow(mut blocks: Vec<Block>, columns: &[Rect]) -> (Vec<Item>, Vec<Block>) {
    let mut found = Vec::with_capacity(blocks.len());
    let set = places(&blocks, columns, |place| found.push(place));
    let rest = blocks.split_off(set);
    // A heading that is set again is copied before it goes to its own place.
    let again: Vec<Option<Item>> = found
        .iter()
        .map(|place| {
            let (heading, y) = place.again?;
            let column = columns[place.column];
            let again = continued(&blocks[heading], column.width());
            Some(again.at(Point::new(column.x0, y)))
        })
        .collect();
    let mut items = Vec::with_capacity(blocks.len());
    for ((block, place), again) in blocks.into_iter().zip(found).zip(again) {
        items.extend(again);
        items.push(block.at(Point::new(columns[place.column].x0, place.y)));
    }
    (items, rest)
}

/// What a heading says that is repeated.
const CONTINUED: &str = ", continued";

/// A heading repeated over what goes on; it says so where that has room.
pub(crate) fn continued(heading: &Block, room: f64) -> Block {
    let mut again = heading.clone();
    if let Some(Item::Text(text)) = Rc::make_mut(&mut again.group).items.last_mut() {
        let old = &text.lettering;
        let first = old.text.trim_end_matches(CONTINUED);
        let words = format!("{first}{CONTINUED}");
        let new = Lettering::new(&words, old.at, old.height, old.weight);
        if new.width <= room {
            text.lettering = new;
        }
    }
    again
}

/// How many of these blocks, in order, find no room in the columns.
pub(crate) fn left_over(blocks: &[Block], columns: &[Rect]) -> usize {
    blocks.len() - places(blocks, columns, |_| ())
}

/// A rectangle shared out into as many columns of equal width as it holds, each at least `least` mm wide.
pub(crate) fn split(rect: Rect, least: f64) -> Vec<Rect> {
    let count = ((rect.width() + GUTTER) / (least + GUTTER))
        .floor()
        .max(1.0);
    let step = (rect.width() + GUTTER) / count;
    (0..count as u32)
        .map(|i| {
            let x = rect.x0 + f64::from(i) * step;
            Rect::new(x, rect.y0, x + step - GUTTER, rect.y1)
        })
        .collect()
}

/// The columns of a sheet of notes, left to right, clear of the title block and the foot.
pub(crate) fn note_columns(page: &Page) -> Vec<Rect> {
    let inner = page.frame.inset(-PAD);
    split(inner, page.room())
        .into_iter()
        .map(|column| {
            let bottom = if column.x1 > page.title.x0 {
                page.title.y0
            } else {
                page.foot.y0
            };
            Rect {
                y1: bottom - PAD,
                ..column
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::block::paragraph;

    #[test]
    fn nothing_on_a_page_overlaps_anything_else() {
        for paper in Paper::all() {
            for orientation in [Orientation::Landscape, Orientation::Portrait] {
                let page = Page::new(paper, orientation, 70.0);
                let mut parts = vec![page.area, page.title, page.foot];
                parts.extend(&page.columns);
                for (i, a) in parts.iter().enumerate() {
                    assert!(
                        page.frame.contains(a.center()) && a.width() > 60.0,
                        "{} {orientation:?}",
                        paper.name
                    );
                    for b in &parts[i + 1..] {
                        let shared = a.intersect(*b);
                        assert!(
                            shared.width() <= 1e-9 || shared.height() <= 1e-9,
                            "{} {orientation:?}",
                            paper.name
                        );
                    }
                }
            }
        }
    }

    #[test]
    fn blocks_without_room_are_handed_back_in_order() {
        // Each paragraph of one line is 2.5 x 1.6 + 1.2 = 5.2 mm: two fit into 11 mm, the third does not.
        let blocks: Vec<Block> = ["one", "two", "three"]
            .iter()
            .flat_map(|w| paragraph("note", "", w, 90.0))
            .collect();
        let (placed, rest) = flow(blocks, &[Rect::new(0.0, 0.0, 90.0, 11.0)]);
        assert_eq!((placed.len(), rest.len()), (2, 1));
    }

    #[test]
    fn a_heading_moves_on_with_the_paragraph_it_heads() {
        let mut blocks = paragraph("note", "", "one", 90.0);
        blocks.push(crate::block::heading("Head", 90.0));
        blocks.extend(paragraph("note", "", "two", 90.0));
        // 5.2 + 7 fits into 13 mm, but the paragraph under the heading would not.
        let (placed, rest) = flow(
            blocks,
            &[
                Rect::new(0.0, 0.0, 90.0, 13.0),
                Rect::new(100.0, 0.0, 190.0, 13.0),
            ],
        );
        assert_eq!((placed.len(), rest.len()), (3, 0));
    }

    #[test]
    fn what_goes_on_in_the_next_column_is_headed_there_again() {
        let mut blocks = vec![crate::block::heading("Head", 90.0)];
        for words in ["one", "two", "three"] {
            blocks.extend(paragraph("note", "", words, 90.0));
        }
        // A heading of 7 mm and two lines of 5.2 mm fill 18 mm: the third line goes on under a heading of its own.
        let columns = [
            Rect::new(0.0, 0.0, 90.0, 18.0),
            Rect::new(100.0, 0.0, 190.0, 18.0),
        ];
        let (placed, rest) = flow(blocks, &columns);
        assert!(rest.is_empty());
        let said: Vec<&str> = placed
            .iter()
            .filter_map(|item| match item {
                Item::Group(group) => group.items.iter().find_map(|i| match i {
                    Item::Text(text) => Some(text.lettering.text.as_str()),
                    _ => None,
                }),
                _ => None,
            })
            .collect();
        assert_eq!(said, ["Head", "one", "two", "Head, continued", "three"]);
    }
}
