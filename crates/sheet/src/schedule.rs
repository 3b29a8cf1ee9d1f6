//! Tables on sheets of their own: columns as wide as their words, rows under headings that are repeated where a table
//! goes on, notes in the column beside.
//!
//! In: tables of words, from whoever makes them. Out: what stands on each sheet.

use kurbo::{Point, Rect};
use wyeline_draw::ink::{Lettering, Weight};
use wyeline_draw::lettering::width;

use crate::block::{self, Block, LEADING, NOTE, THIN, paragraph, wrapped};
use crate::frame::{Page, continued, flow, split};
use crate::page::{Group, Item, line};

/// A table of words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Schedule {
    /// What it lists.
    pub title: String,
    /// Headings of its columns, and whether what stands under them is set to the right.
    pub columns: Vec<(String, bool)>,
    /// Rows under headings.
    pub groups: Vec<Rows>,
    /// What is said of it.
    pub notes: Vec<String>,
}

/// Rows under one heading.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Rows {
    /// The heading; empty where there is none.
    pub name: String,
    /// The rows, as wide as the columns.
    pub rows: Vec<Vec<String>>,
    /// Sums, as wide as the columns, set in bold.
    pub totals: Vec<Vec<String>>,
}

/// Space between two columns, mm; our choice: two letters.
const BETWEEN: f64 = 3.5;
/// Lines of a row that stay together; our choice, as in paragraphs.
const CHUNK: usize = 16;
const PITCH: f64 = NOTE * LEADING;

/// What stands on each sheet; nothing for a table that finds no room at all.
pub(crate) fn set(schedules: &[Schedule], page: &Page) -> Vec<Vec<Item>> {
    // Side by side where all tables have room.
    let widest = schedules.iter().map(natural_width).fold(1.0, f64::max);
    let columns = split(page.area, widest);
    let room = columns[0].width();
    let mut tables: Vec<Block> = schedules.iter().flat_map(|one| table(one, room)).collect();
    let mut notes = said(schedules, page.room());
    // A band below the drawing may be too low for a long note: then they go under the tables.
    let lowest = page
        .columns
        .iter()
        .map(Rect::height)
        .fold(f64::INFINITY, f64::min);
    let tallest = |keep: bool| {
        let blocks = notes.iter().filter(|block| block.keep_with_next == keep);
        blocks.map(|block| block.height).fold(0.0, f64::max)
    };
    if tallest(true) + tallest(false) > lowest {
        tables.extend(said(schedules, room));
        notes.clear();
    }
    let mut sheets = Vec::new();
    while !(tables.is_empty() && notes.is_empty()) {
        let count = tables.len() + notes.len();
        let (rows, more) = on(tables, &columns);
        let (words, left) = on(notes, &page.columns);
        (tables, notes) = (more, left);
        // A block that no sheet is large enough for would never be placed.
        if tables.len() + notes.len() >= count {
            break;
        }
        let mut lists = Group::new("schedule");
        lists.items = rows;
        let mut beside = Group::new("notes");
        beside.items = words;
        sheets.push(vec![Item::Group(lists), Item::Group(beside)]);
    }
    sheets
}

/// What is said of the tables, as blocks `room` mm wide under their titles.
fn said(schedules: &[Schedule], room: f64) -> Vec<Block> {
    let schedules = schedules
        .iter()
        .filter(|schedule| !schedule.notes.is_empty());
    schedules
        .flat_map(|schedule| {
            let notes = schedule.notes.iter();
            let notes = notes.flat_map(move |note| paragraph("note", "", note, room));
            std::iter::once(block::heading(&schedule.title, room)).chain(notes)
        })
        .collect()
}

/// Blocks on one sheet, and what is left for the next: what goes on there is headed again.
fn on(blocks: Vec<Block>, columns: &[Rect]) -> (Vec<Item>, Vec<Block>) {
    let all = blocks.len();
    let headings = blocks
        .iter()
        .map(|block| block.keep_with_next.then(|| block.clone()));
    let headings: Vec<Option<Block>> = headings.collect();
    let (items, mut rest) = flow(blocks, columns);
    let goes_on = rest.first().is_some_and(|block| !block.keep_with_next);
    let mut placed = headings[..all - rest.len()].iter().rev();
    if let (true, Some(heading)) = (
        goes_on && !items.is_empty(),
        placed.find_map(Option::as_ref),
    ) {
        let room = columns.first().map_or(0.0, Rect::width);
        rest.insert(0, continued(heading, room));
    }
    (items, rest)
}

/// A table as blocks, `room` mm wide.
fn table(schedule: &Schedule, room: f64) -> Vec<Block> {
    let shown = shown(schedule);
    let set = Columns {
        right: shown.iter().map(|&at| schedule.columns[at].1).collect(),
        widths: widths(schedule, &shown, room),
    };
    let pick = |row: &[String]| -> Vec<String> {
        let cells = shown.iter().map(|&at| row.get(at));
        cells
            .map(|cell| cell.cloned().unwrap_or_default())
            .collect()
    };
    let heads: Vec<String> = schedule
        .columns
        .iter()
        .map(|(head, _)| head.clone())
        .collect();
    let heads = pick(&heads);
    let mut blocks = Vec::new();
    for (at, group) in schedule.groups.iter().enumerate() {
        let title = (at == 0).then_some(schedule.title.as_str());
        blocks.push(set.heading(title, &group.name, &heads));
        for row in &group.rows {
            blocks.extend(set.row(&pick(row), Weight::Regular));
        }
        for row in &group.totals {
            blocks.extend(set.row(&pick(row), Weight::SemiBold));
        }
    }
    blocks
}

/// The columns in which anything stands.
fn shown(schedule: &Schedule) -> Vec<usize> {
    let used = |at: &usize| {
        let groups = schedule.groups.iter();
        let mut rows = groups.flat_map(|group| group.rows.iter().chain(&group.totals));
        rows.any(|row| row.get(*at).is_some_and(|cell| !cell.is_empty()))
    };
    (0..schedule.columns.len()).filter(used).collect()
}

/// How wide a table is where nothing is broken, mm.
fn natural_width(schedule: &Schedule) -> f64 {
    let widths = widths(schedule, &shown(schedule), f64::INFINITY);
    widths.iter().sum::<f64>() + BETWEEN * widths.len().saturating_sub(1) as f64
}

/// How wide each column is, mm: as wide as its widest words, the widest ones cut down alike where there is no room for all.
fn widths(schedule: &Schedule, shown: &[usize], room: f64) -> Vec<f64> {
    let natural = |at: usize| {
        let groups = schedule.groups.iter();
        let regular = groups.clone().flat_map(|group| &group.rows);
        let bold = groups.flat_map(|group| &group.totals);
        let wide =
            |row: &Vec<String>, weight| row.get(at).map_or(0.0, |cell| width(cell, NOTE, weight));
        let regular = regular.map(|row| wide(row, Weight::Regular));
        let bold = bold.map(|row| wide(row, Weight::SemiBold));
        let head = width(&schedule.columns[at].0, NOTE, Weight::SemiBold);
        regular.chain(bold).fold(head, f64::max)
    };
    let natural: Vec<f64> = shown.iter().map(|&at| natural(at)).collect();
    let gaps = BETWEEN * natural.len().saturating_sub(1) as f64;
    let room = (room - gaps).max(0.0);
    // The greatest width at which the columns, none wider than it, have room together.
    let mut sorted = natural.clone();
    sorted.sort_by(f64::total_cmp);
    let (mut left, mut count) = (room, sorted.len());
    let mut most = f64::INFINITY;
    for wide in sorted {
        if wide * count as f64 > left {
            most = left / count as f64;
            break;
        }
        left -= wide;
        count -= 1;
    }
    natural.into_iter().map(|wide| wide.min(most)).collect()
}

/// The columns of a table.
struct Columns {
    widths: Vec<f64>,
    right: Vec<bool>,
}

impl Columns {
    /// Title, heading of the rows, and the columns' headings over a line. What is repeated where the table goes on is told by
    /// its last words: the rows' heading, or the title.
    fn heading(&self, title: Option<&str>, name: &str, heads: &[String]) -> Block {
        let mut group = Group::new("heading");
        let mut y = 0.0;
        let mut words = Vec::new();
        let title = title.filter(|title| !title.is_empty());
        if let Some(title) = title {
            y += 8.0;
            words.push(Lettering::new(
                title,
                Point::new(0.0, y),
                3.5,
                Weight::SemiBold,
            ));
        }
        if !name.is_empty() {
            y += 6.0;
            words.push(Lettering::new(
                name,
                Point::new(0.0, y),
                3.0,
                Weight::SemiBold,
            ));
        }
        y += 1.5;
        let cells = self.cells(heads, Weight::SemiBold);
        let deep = cells.iter().map(|cell| cell.1.len()).max().unwrap_or(0);
        for (x, lines, wide, right) in cells {
            letters(&mut group, (x, y, wide, right), &lines, Weight::SemiBold);
        }
        y += deep as f64 * PITCH + 0.8;
        let gaps = BETWEEN * self.widths.len().saturating_sub(1) as f64;
        let wide = self.widths.iter().sum::<f64>() + gaps;
        group.stroke("", line((0.0, y), (wide, y)), THIN);
        for lettering in words {
            group.text("", lettering);
        }
        Block {
            height: y + 1.2,
            keep_with_next: true,
            group: group.into(),
        }
    }

    /// A row; one of many lines in several blocks.
    fn row(&self, row: &[String], weight: Weight) -> Vec<Block> {
        let cells = self.cells(row, weight);
        let deep = cells
            .iter()
            .map(|cell| cell.1.len())
            .max()
            .unwrap_or(0)
            .max(1);
        (0..deep)
            .step_by(CHUNK)
            .map(|from| {
                let mut group = Group::new("row");
                let count = CHUNK.min(deep - from);
                for (x, lines, wide, right) in &cells {
                    let part = lines.iter().skip(from).take(CHUNK).cloned();
                    let part: Vec<String> = part.collect();
                    letters(&mut group, (*x, 0.0, *wide, *right), &part, weight);
                }
                Block {
                    height: PITCH * count as f64 + 0.6,
                    keep_with_next: false,
                    group: group.into(),
                }
            })
            .collect()
    }

    /// For each cell where it begins, its lines, how wide it is, and whether it is set to the right.
    fn cells(&self, row: &[String], weight: Weight) -> Vec<(f64, Vec<String>, f64, bool)> {
        let mut x = 0.0;
        let columns = self.widths.iter().zip(&self.right);
        let cells = row.iter().zip(columns);
        cells
            .map(|(cell, (&wide, &right))| {
                // A hair more than the words need, so that they are never broken by rounding.
                let lines = wrapped(cell, wide + 1e-6, NOTE, weight);
                let at = x;
                x += wide + BETWEEN;
                (at, lines, wide, right)
            })
            .collect()
    }
}

fn letters(
    group: &mut Group,
    (x, y, wide, right): (f64, f64, f64, bool),
    lines: &[String],
    weight: Weight,
) {
    for (at, words) in lines.iter().enumerate() {
        let indent = if right {
            (wide - width(words, NOTE, weight)).max(0.0)
        } else {
            0.0
        };
        let base = Point::new(x + indent, y + PITCH * (at as f64 + 0.8));
        group.text("", Lettering::new(words, base, NOTE, weight));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paper::{Orientation, Paper};

    fn page() -> Page {
        let paper = Paper::named("tabloid").expect("listed");
        Page::new(paper, Orientation::Landscape, 70.0)
    }

    fn sample(rows: usize) -> Schedule {
        let row = |at: usize| vec![format!("P{at}"), "word ".repeat(60)];
        Schedule {
            title: "Pieces".to_owned(),
            columns: vec![("piece".to_owned(), false), ("what".to_owned(), true)],
            groups: vec![Rows {
                name: "pvc".to_owned(),
                rows: (0..rows).map(row).collect(),
                totals: Vec::new(),
            }],
            notes: vec!["a note".to_owned()],
        }
    }

    fn words(items: &[Item], into: &mut Vec<(String, f64, f64)>) {
        for item in items {
            match item {
                Item::Group(group) => words(&group.items, into),
                Item::Text(text) => {
                    let one = &text.lettering;
                    into.push((one.text.clone(), one.at.x, one.at.x + one.width));
                }
                Item::Stroke(_) => {}
            }
        }
    }

    /// 200 rows go on over several sheets: none is lost, and each sheet begins with the heading of its rows.
    #[test]
    fn a_long_table_goes_on_under_its_heading() {
        let sheets = set(&[sample(200)], &page());
        assert!(sheets.len() > 1);
        let mut marks = 0;
        for sheet in &sheets {
            let mut all = Vec::new();
            words(sheet, &mut all);
            assert!(all.iter().any(|(text, ..)| text.starts_with("pvc")));
            marks += all
                .iter()
                .filter(|(text, ..)| text.starts_with('P') && text != "Pieces")
                .count();
        }
        assert_eq!(marks, 200);
    }

    /// Words too wide for the sheet are broken, and nothing stands outside the area.
    #[test]
    fn nothing_is_wider_than_the_area() {
        let page = page();
        let sheets = set(&[sample(3)], &page);
        let mut all = Vec::new();
        words(&sheets[0][..1], &mut all);
        for (text, from, to) in all {
            let inside = from >= page.area.x0 - 1e-6 && to <= page.area.x1 + 1e-6;
            assert!(inside, "{text}: {from} to {to}");
        }
    }

    /// On every paper, either way up, all rows and notes are set.
    #[test]
    fn every_paper_takes_a_table() {
        for paper in Paper::all() {
            for orientation in [Orientation::Landscape, Orientation::Portrait] {
                let page = Page::new(paper, orientation, 70.0);
                let mut schedule = sample(40);
                schedule.notes = vec!["word ".repeat(300), "the end".to_owned()];
                let mut all = Vec::new();
                for sheet in set(&[schedule], &page) {
                    words(&sheet, &mut all);
                }
                let said = |what: &str| all.iter().any(|(text, ..)| text == what);
                assert!(
                    said("P39") && said("the end"),
                    "{} {orientation:?}",
                    paper.name
                );
            }
        }
    }

    #[test]
    fn columns_are_cut_down_alike() {
        let cell = |letters: usize| "m".repeat(letters);
        let schedule = Schedule {
            columns: vec![
                (String::new(), false),
                (String::new(), false),
                (String::new(), false),
            ],
            groups: vec![Rows {
                rows: vec![vec![cell(1), cell(100), cell(200)]],
                ..Rows::default()
            }],
            ..Schedule::default()
        };
        let found = widths(&schedule, &[0, 1, 2], 100.0);
        // The narrow one keeps its width, the two others share what is left.
        assert_eq!(found[0], width("m", NOTE, Weight::Regular));
        assert!((found[1] - found[2]).abs() < 1e-9);
        assert!((found.iter().sum::<f64>() + 2.0 * BETWEEN - 100.0).abs() < 1e-9);
    }
}
