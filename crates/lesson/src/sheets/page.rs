//! A practice sheet's frame: title, code, lines for name, date and class above; check bar, caution and number below; between them the area for what it shows.

use glam::DVec3;
use kurbo::{Point, Rect};
use wyeline_draw::Corner;
use wyeline_draw::ink::{Lettering, Weight};
use wyeline_draw::lettering::width;
use wyeline_sheet::{
    Group, Item, LEADING, MEDIUM, NOTE, Orientation, Paper, Sheet, THIN, check_bar, line, outline,
    shift, wrapped,
};
use wyeline_units::{Scale, UnitSystem};

use crate::exercise::Exercise;

use super::lay::extent;

/// Height of the head, mm: title, what is shown, and a line to write on.
const HEAD: f64 = 23.0;
/// Height of the foot, mm: check bar and two lines of notes.
const FOOT: f64 = 11.0;
/// From a rule to what stands beside it, mm.
pub(super) const PAD: f64 = 2.5;
/// Height of the lines over a grid that tell its pitch and scale, mm.
const CAPTION: f64 = 2.0 * NOTE * LEADING + 1.0;
/// Left free round a drawing for the letters beside its outermost lines, mm: a fixture's tag and its clear room.
const ROUND: (f64, f64) = (12.0, 9.0);
/// Height of capitals of titles, mm: 3/16 in, the drafting custom.
const TITLE: f64 = 4.5;

/// What all practice sheets say; nobody is to build from them.
const CAUTION: &str = "Practice exercise, not for building.";

/// A page before anything is drawn on it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Page {
    /// Width and height of the paper, mm.
    pub size: (f64, f64),
    pub frame: Rect,
    /// Between head and foot.
    pub area: Rect,
    /// Lengths are told in millimetres.
    pub metric: bool,
}

impl Page {
    fn new(orientation: Orientation, metric: bool) -> Self {
        let name = if metric { "a4" } else { "letter" };
        let paper = Paper::named(name).unwrap_or(&Paper::all()[0]);
        let frame = paper.frame(orientation);
        Self {
            size: paper.size(orientation),
            frame,
            area: Rect::new(frame.x0, frame.y0 + HEAD, frame.x1, frame.y1 - FOOT),
            metric,
        }
    }

    /// The page on which a drawing with these points fits at a scale, upright rather than on its side; nothing where neither has the room.
    pub fn fitting(points: &[DVec3], corner: Corner, scale: Scale, metric: bool) -> Option<Self> {
        let extent = extent(points, corner, scale);
        [Orientation::Portrait, Orientation::Landscape]
            .map(|orientation| Self::new(orientation, metric))
            .into_iter()
            .find(|page| {
                let room = page.drawing();
                extent.width() + 2.0 * ROUND.0 <= room.width()
                    && extent.height() + 2.0 * ROUND.1 <= room.height()
            })
    }

    /// Where grid and key lie: the area below the lines that tell pitch and scale.
    pub fn drawing(&self) -> Rect {
        Rect {
            y0: self.area.y0 + CAPTION,
            ..self.area
        }
    }

    /// A sheet with this frame, head and foot, its number left open.
    ///
    /// * `shows`: what it shows
    /// * `learner`: it is handed to the learner, who writes a name on it
    pub fn sheet(
        &self,
        exercise: &Exercise,
        shows: &str,
        learner: bool,
        mut items: Vec<Item>,
    ) -> Sheet {
        let code = exercise
            .code
            .map_or_else(String::new, |code| code.to_string());
        let mut furniture = vec![
            Item::Group(self.border()),
            Item::Group(self.head(exercise, shows, &code, learner)),
        ];
        furniture.extend(self.foot());
        furniture.append(&mut items);
        let title = format!("{}: {shows}", exercise.title);
        Sheet {
            size_mm: self.size,
            number: 1,
            count: 1,
            description: format!("{title}. Exercise {code}. {CAUTION}"),
            title,
            items: furniture,
        }
    }

    fn border(&self) -> Group {
        let mut border = Group::new("border");
        border.stroke("frame", outline(self.frame), MEDIUM);
        for y in [self.area.y0, self.area.y1] {
            border.stroke("", line((self.frame.x0, y), (self.frame.x1, y)), MEDIUM);
        }
        border
    }

    fn head(&self, exercise: &Exercise, shows: &str, code: &str, learner: bool) -> Group {
        let mut head = Group::new("head");
        let (left, right) = (self.frame.x0 + PAD, self.frame.x1 - PAD);
        let base = self.frame.y0 + PAD + TITLE;
        let code_letters =
            Lettering::ending(code, Point::new(right, base), TITLE, Weight::SemiBold);
        let room = code_letters.at.x - 4.0 - left;
        head.text(
            "title",
            Lettering::new(
                &cut(&exercise.title, room, TITLE, Weight::SemiBold),
                Point::new(left, base),
                TITLE,
                Weight::SemiBold,
            ),
        );
        head.text("code", code_letters);
        let base = base + 6.0;
        let level = exercise.code.map_or_else(String::new, |code| {
            format!("level {}: {}", code.level.number(), code.level.facts().name)
        });
        let level = Lettering::ending(&level, Point::new(right, base), NOTE, Weight::Regular);
        let room = level.at.x - 4.0 - left;
        head.text(
            "shows",
            Lettering::new(
                &cut(shows, room, 3.0, Weight::SemiBold),
                Point::new(left, base),
                3.0,
                Weight::SemiBold,
            ),
        );
        head.text("level", level);
        if learner {
            let base = self.area.y0 - 2.5;
            let wide = right - left;
            for (word, from, to) in [
                ("name", 0.0, 0.5),
                ("date", 0.53, 0.74),
                ("class", 0.77, 1.0),
            ] {
                let words = Lettering::new(
                    word,
                    Point::new(left + wide * from, base),
                    NOTE,
                    Weight::Regular,
                );
                let start = words.at.x + words.width + 1.5;
                head.text("caption", words);
                head.stroke(
                    "write",
                    line((start, base + 0.4), (left + wide * to, base + 0.4)),
                    THIN,
                );
            }
        } else {
            let at = Point::new(left, self.area.y0 - 2.5);
            head.text(
                "note",
                Lettering::new("For the instructor.", at, NOTE, Weight::Regular),
            );
        }
        head
    }

    fn foot(&self) -> Vec<Item> {
        let units = if self.metric {
            UnitSystem::Millimetres
        } else {
            UnitSystem::FeetInches
        };
        let (mut bar, length, _) = check_bar(units);
        shift(&mut bar, (self.frame.x0 + PAD, self.area.y1 + 2.0).into());
        let mut foot = Group::new("foot");
        let left = self.frame.x0 + PAD + length + 6.0;
        let lines = wrapped(
            CAUTION,
            self.frame.x1 - PAD - 24.0 - left,
            NOTE,
            Weight::Regular,
        );
        for (i, words) in lines.iter().enumerate() {
            let at = Point::new(left, self.area.y1 + 2.0 + NOTE + NOTE * LEADING * i as f64);
            foot.text("caution", Lettering::new(words, at, NOTE, Weight::Regular));
        }
        vec![Item::Group(bar), Item::Group(foot)]
    }

    /// Writes a sheet's number on it.
    pub fn number(&self, sheet: &mut Sheet, number: u32, count: u32) {
        (sheet.number, sheet.count) = (number, count);
        let at = Point::new(self.frame.x1 - PAD, self.area.y1 + 2.0 + NOTE);
        let words = Lettering::ending(
            &format!("sheet {number} of {count}"),
            at,
            NOTE,
            Weight::SemiBold,
        );
        let mut group = Group::new("number");
        group.text("number", words);
        sheet.items.push(Item::Group(group));
    }

    /// The lines over a grid, in the room kept for them.
    pub fn caption(&self, words: &str) -> Group {
        let mut group = Group::new("caption");
        let room = self.area.width() - 2.0 * PAD;
        for (i, words) in wrapped(words, room, NOTE, Weight::Regular)
            .iter()
            .take(2)
            .enumerate()
        {
            let at = Point::new(
                self.area.x0 + PAD,
                self.area.y0 + 1.0 + NOTE + NOTE * LEADING * i as f64,
            );
            group.text("note", Lettering::new(words, at, NOTE, Weight::Regular));
        }
        group
    }
}

/// Words cut with dots so that they are no wider than `room` mm.
fn cut(words: &str, room: f64, height: f64, weight: Weight) -> String {
    if width(words, height, weight) <= room {
        return words.to_owned();
    }
    let mut short = words.to_owned();
    while short.pop().is_some() {
        let dotted = format!("{} …", short.trim_end());
        if width(&dotted, height, weight) <= room {
            return dotted;
        }
    }
    short
}
