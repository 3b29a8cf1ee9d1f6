//! The marking sheet: headings with their weights, what each fault costs, and room for the marks of one learner.

use kurbo::Point;
use wyeline_draw::ink::{Lettering, Weight};
use wyeline_sheet::{Group, Item, LEADING, MEDIUM, NOTE, Sheet, THIN, line, wrapped};

use crate::exercise::Exercise;

use super::page::{PAD, Page};

/// What an exercise is marked by.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Rubric {
    /// Where it comes from, in a sentence; may be empty.
    pub source: String,
    /// Headings in order.
    pub headings: Vec<Heading>,
}

/// A heading of a rubric.
#[derive(Clone, Debug, PartialEq)]
pub struct Heading {
    /// Its name (`orientation`).
    pub name: String,
    /// Points there are.
    pub weight: f64,
    /// What faults cost.
    pub deductions: Vec<Deduction>,
}

/// What a fault costs.
#[derive(Clone, Debug, PartialEq)]
pub struct Deduction {
    /// The fault in words.
    pub words: String,
    /// Points each time.
    pub points: f64,
    /// Points at most for all of them; none where only the heading's weight ends it.
    pub most: Option<f64>,
}

/// Widths of the columns for points, at most, how many and marks, mm.
const COLUMNS: [f64; 4] = [14.0, 16.0, 16.0, 18.0];

/// Points in words: whole or with one decimal.
fn points(value: f64) -> String {
    let tenths = (value * 10.0).round() / 10.0;
    format!("{tenths}")
}

/// The marking sheet for one learner.
pub(super) fn sheet(exercise: &Exercise, rubric: &Rubric, page: &Page) -> Sheet {
    // As open as the page allows, from a comfortable pitch down to one at which letters nearly touch.
    let pitches = [1.9, 1.6, 1.45, 1.3];
    let room = page.area.height() - 2.0 * PAD;
    let table = pitches
        .iter()
        .map(|pitch| table(rubric, page, NOTE * pitch))
        .find(|(_, tall)| *tall <= room);
    let (group, _) = table.unwrap_or_else(|| self::table(rubric, page, NOTE * 1.25));
    page.sheet(exercise, "Marking sheet", true, vec![Item::Group(group)])
}

/// The table from the top of the area with so many mm from line to line; and its height.
fn table(rubric: &Rubric, page: &Page, pitch: f64) -> (Group, f64) {
    let mut group = Group::new("rubric");
    let (x0, x1) = (page.area.x0 + PAD, page.area.x1 - PAD);
    let ends: Vec<f64> = (0..COLUMNS.len())
        .map(|i| x1 - COLUMNS[i + 1..].iter().sum::<f64>())
        .collect();
    let words_to = ends[0] - COLUMNS[0] - 2.0;
    let mut y = page.area.y0 + PAD + NOTE;
    let say = |group: &mut Group, class, words: &str, at: Point, weight| {
        group.text(class, Lettering::new(words, at, NOTE, weight));
    };
    let right = |group: &mut Group, words: &str, x: f64, y: f64, weight| {
        group.text(
            "points",
            Lettering::ending(words, Point::new(x - 1.5, y), NOTE, weight),
        );
    };
    for (end, words) in ends.iter().zip(["each", "at most", "how many", "marks"]) {
        right(&mut group, words, *end, y, Weight::Regular);
    }
    say(
        &mut group,
        "caption",
        "heading, and what is taken off it",
        Point::new(x0, y),
        Weight::Regular,
    );
    y += pitch * 0.4;
    group.stroke("", line((x0, y), (x1, y)), MEDIUM);
    for heading in &rubric.headings {
        y += pitch;
        let mut name = heading.name.clone();
        if let Some(first) = name.get_mut(0..1) {
            first.make_ascii_uppercase();
        }
        say(
            &mut group,
            "heading",
            &name,
            Point::new(x0, y),
            Weight::SemiBold,
        );
        right(
            &mut group,
            &format!("___ of {}", points(heading.weight)),
            x1,
            y,
            Weight::SemiBold,
        );
        for deduction in &heading.deductions {
            let lines = wrapped(&deduction.words, words_to - x0 - 4.0, NOTE, Weight::Regular);
            for (i, words) in lines.iter().enumerate() {
                y += pitch;
                say(
                    &mut group,
                    "fault",
                    words,
                    Point::new(x0 + 4.0, y),
                    Weight::Regular,
                );
                if i == 0 {
                    right(
                        &mut group,
                        &format!("-{}", points(deduction.points)),
                        ends[0],
                        y,
                        Weight::Regular,
                    );
                    if let Some(most) = deduction.most {
                        right(
                            &mut group,
                            &format!("-{}", points(most)),
                            ends[1],
                            y,
                            Weight::Regular,
                        );
                    }
                    group.stroke(
                        "write",
                        line(
                            (ends[2] - COLUMNS[2] + 3.0, y + 0.4),
                            (ends[2] - 1.5, y + 0.4),
                        ),
                        THIN,
                    );
                }
            }
        }
        y += pitch * 0.4;
        group.stroke("", line((x0, y), (x1, y)), THIN);
    }
    y += pitch;
    let all: f64 = rubric.headings.iter().map(|heading| heading.weight).sum();
    say(
        &mut group,
        "heading",
        "All",
        Point::new(x0, y),
        Weight::SemiBold,
    );
    right(
        &mut group,
        &format!("___ of {}", points(all)),
        x1,
        y,
        Weight::SemiBold,
    );
    y += pitch * 0.4;
    group.stroke("", line((x0, y), (x1, y)), MEDIUM);
    for words in wrapped(&rubric.source, x1 - x0, NOTE, Weight::Regular) {
        y += NOTE * LEADING;
        say(
            &mut group,
            "note",
            &words,
            Point::new(x0, y),
            Weight::Regular,
        );
    }
    y += NOTE * LEADING * 1.5;
    say(
        &mut group,
        "note",
        "Any of the four corners, any place on the sheet and any consistent scale is right.",
        Point::new(x0, y),
        Weight::Regular,
    );
    let tall = y + 1.0 - page.area.y0;
    (group, tall)
}
