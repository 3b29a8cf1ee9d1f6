//! Notes in sections: blocks under one heading, set on their own sheet or, where that has no room, on a sheet of notes.
//!
//! In: the sections of every sheet. Out: blocks in columns. What goes on elsewhere is headed there by the sheet it belongs
//! to, on every column anew, and the sheet itself says where to look; what is said of several sheets alike is said once.

use std::collections::{BTreeMap, VecDeque};

use kurbo::{Point, Rect};

use crate::block::{Block, heading, paragraph};
use crate::page::{Datum, Group, Item};

/// A heading names the sheets it belongs to as long as they are no more than so many, or so many rows of them; our choice.
const MOST: usize = 8;

/// Blocks under one heading.
#[derive(Clone, Debug)]
pub(crate) struct Section {
    /// The heading; nothing for what stands without one.
    pub title: String,
    pub blocks: Vec<Block>,
    /// It is about one sheet alone, as are the words of its rings.
    pub own: bool,
}

impl Section {
    /// A section of what may be said of many sheets alike.
    pub fn new(title: impl Into<String>, blocks: Vec<Block>) -> Self {
        Self {
            title: title.into(),
            blocks,
            own: false,
        }
    }

    /// The same, about its sheet alone.
    pub fn own(mut self) -> Self {
        self.own = true;
        self
    }

    /// How many blocks it takes, its heading included.
    fn count(&self) -> usize {
        self.blocks.len() + usize::from(!self.title.is_empty())
    }

    /// Numbers of labels in it, ascending.
    fn numbers(&self) -> Vec<u32> {
        let mut numbers = Vec::new();
        for block in &self.blocks {
            numbered(&block.group, &mut numbers);
        }
        numbers.sort_unstable();
        numbers.dedup();
        numbers
    }
}

/// The numbers told along with a group and the groups in it.
fn numbered(group: &Group, into: &mut Vec<u32>) {
    for (name, value) in &group.data {
        if let ("number", Datum::Count(number)) = (*name, value) {
            into.push(*number);
        }
    }
    for item in &group.items {
        if let Item::Group(inner) = item {
            numbered(inner, into);
        }
    }
}

/// Sections as blocks one after the other, each under its heading.
pub(crate) fn blocks(sections: &[Section], room: f64) -> Vec<Block> {
    let mut all = Vec::new();
    for section in sections {
        all.extend((!section.title.is_empty()).then(|| heading(&section.title, room)));
        all.extend(section.blocks.iter().cloned());
    }
    all
}

/// What is left of sections of which all but the last `left` blocks are set.
pub(crate) fn remaining(sections: Vec<Section>, left: usize) -> Vec<Section> {
    let total: usize = sections.iter().map(Section::count).sum();
    let mut set = total - left.min(total);
    let mut rest = Vec::new();
    for mut section in sections {
        let count = section.count();
        if set >= count {
            set -= count;
            continue;
        }
        let heads = usize::from(!section.title.is_empty());
        section.blocks.drain(..set.saturating_sub(heads));
        set = 0;
        rest.push(section);
    }
    rest
}

/// A section on a sheet of notes.
#[derive(Clone, Debug)]
pub(crate) struct Elsewhere {
    title: String,
    /// The sheets it belongs to, ascending.
    of: Vec<u32>,
    blocks: VecDeque<Block>,
    /// Some of it is set already.
    begun: bool,
    /// The first and last sheet on which it stands.
    on: Option<(u32, u32)>,
}

/// What finds no room on the sheets it belongs to: what is about one sheet alone first, in order of sheets, then what is said of
/// one or several, once.
pub(crate) fn elsewhere(rest: &[(u32, Vec<Section>)]) -> Vec<Elsewhere> {
    let mut all: Vec<Elsewhere> = Vec::new();
    let mut titles: Vec<&str> = Vec::new();
    let mut common: Vec<(usize, Vec<u32>, &Block)> = Vec::new();
    let mut known: BTreeMap<(usize, String), usize> = BTreeMap::new();
    for (sheet, sections) in rest {
        for section in sections {
            if section.own {
                all.push(Elsewhere {
                    title: section.title.clone(),
                    of: vec![*sheet],
                    blocks: section.blocks.iter().cloned().collect(),
                    begun: false,
                    on: None,
                });
                continue;
            }
            let title = titles.iter().position(|t| *t == section.title);
            let title = title.unwrap_or_else(|| {
                titles.push(&section.title);
                titles.len() - 1
            });
            for block in &section.blocks {
                let mut words = String::new();
                said(&block.group, &mut words);
                let at = *known.entry((title, words)).or_insert(common.len());
                match common.get_mut(at) {
                    Some((_, sheets, _)) if sheets.last() != Some(sheet) => sheets.push(*sheet),
                    Some(_) => {}
                    None => common.push((title, vec![*sheet], block)),
                }
            }
        }
    }
    // Under one title, what is said of the same sheets stands together.
    let mut groups: BTreeMap<(usize, Vec<u32>), VecDeque<Block>> = BTreeMap::new();
    for (title, sheets, block) in common {
        let blocks = groups.entry((title, sheets)).or_default();
        blocks.push_back(block.clone());
    }
    all.extend(groups.into_iter().map(|((title, of), blocks)| Elsewhere {
        title: titles[title].to_owned(),
        of,
        blocks,
        begun: false,
        on: None,
    }));
    all
}

/// All words of a group, in order.
fn said(group: &Group, into: &mut String) {
    for item in &group.items {
        match item {
            Item::Text(text) => {
                into.push_str(&text.lettering.text);
                into.push(' ');
            }
            Item::Group(inner) => said(inner, into),
            Item::Stroke(_) => {}
        }
    }
}

impl Elsewhere {
    /// Its heading: whose it is, what it is, and whether it began before.
    fn heading(&self) -> String {
        let runs = self.of.chunk_by(|a, b| a + 1 == *b).count();
        let of = match self.of.as_slice() {
            [only] => format!("To sheet {only}"),
            many if runs <= MOST => format!("To sheets {}", list(many)),
            _ => "To all sheets that lead here".to_owned(),
        };
        let mut words = if self.title.is_empty() {
            of
        } else {
            format!("{of}: {}", small(&self.title))
        };
        if self.begun {
            words.push_str(", continued");
        }
        words
    }
}

/// Sets sections on the sheet of notes numbered `sheet`, from section `from` on; every column begins with a heading.
///
/// Returns the items and the first section of which something is left.
pub(crate) fn set(
    sections: &mut [Elsewhere],
    from: usize,
    columns: &[Rect],
    sheet: u32,
) -> (Vec<Item>, usize) {
    let (mut items, mut at) = (Vec::new(), from);
    for column in columns {
        let (mut y, mut headed) = (column.y0, false);
        while let Some(section) = sections.get_mut(at) {
            let Some(block) = section.blocks.front() else {
                (at, headed) = (at + 1, false);
                continue;
            };
            let mut head = (!headed).then(|| heading(&section.heading(), column.width()));
            let tall = block.height + head.as_ref().map_or(0.0, |h| h.height);
            if y + tall > column.y1 {
                if y > column.y0 || block.height > column.height() {
                    break;
                }
                head = None;
            }
            for block in head.into_iter().chain(section.blocks.pop_front()) {
                let top = y;
                y += block.height;
                items.push(block.at(Point::new(column.x0, top)));
            }
            (headed, section.begun) = (true, true);
            section.on = Some((section.on.map_or(sheet, |on| on.0), sheet));
        }
    }
    (items, at)
}

/// The lines that tell on sheet `sheet` where the rest of its notes stands; `placed` is nothing as long as that is not known,
/// and the lines are then as long as they can become.
pub(crate) fn pointer(
    sheet: u32,
    rest: &[Section],
    placed: Option<&[Elsewhere]>,
    room: f64,
) -> Vec<Block> {
    let on = |title: &str| {
        let Some(placed) = placed else {
            return Some((8888, 9999));
        };
        let here = placed
            .iter()
            .filter(|e| e.title == title && e.of.binary_search(&sheet).is_ok());
        let on = here.filter_map(|e| e.on);
        on.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
    };
    let sheets = |(first, last): (u32, u32)| {
        if first == last {
            format!("sheet {first}")
        } else {
            format!("sheets {first} to {last}")
        }
    };
    let mut words = Vec::new();
    let mut others: Vec<String> = Vec::new();
    let mut range: Option<(u32, u32)> = None;
    for section in rest {
        let Some(on) = on(&section.title) else {
            continue;
        };
        let numbers = section.numbers();
        if section.own && !numbers.is_empty() {
            words.push(format!(
                "{} {}: {}.",
                section.title,
                list(&numbers),
                sheets(on)
            ));
            continue;
        }
        others.push(small(&section.title));
        range = Some(range.map_or(on, |r| (r.0.min(on.0), r.1.max(on.1))));
    }
    if let Some(range) = range {
        let mut titles = joined(&others);
        if let Some(first) = titles.get_mut(..1) {
            first.make_ascii_uppercase();
        }
        words.push(format!("{titles}: {}.", sheets(range)));
    }
    words
        .iter()
        .flat_map(|words| paragraph("elsewhere", "", words, room))
        .collect()
}

/// Words with a small first letter.
fn small(words: &str) -> String {
    let mut words = words.to_owned();
    if let Some(first) = words.get_mut(..1) {
        first.make_ascii_lowercase();
    }
    words
}

/// Numbers in words, `1, 3 to 6 and 9`; they ascend.
fn list(numbers: &[u32]) -> String {
    let mut parts: Vec<String> = Vec::new();
    for run in numbers.chunk_by(|a, b| a + 1 == *b) {
        match run {
            [first, .., last] if run.len() > 2 => parts.push(format!("{first} to {last}")),
            _ => parts.extend(run.iter().map(u32::to_string)),
        }
    }
    joined(&parts)
}

/// Words with commas and an `and`.
fn joined(parts: &[String]) -> String {
    match parts {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        _ => parts.concat(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(items: &[Item]) -> Vec<String> {
        let mut all = Vec::new();
        for item in items {
            match item {
                Item::Text(text) => all.push(text.lettering.text.clone()),
                Item::Group(group) => all.extend(words(&group.items)),
                Item::Stroke(_) => {}
            }
        }
        all
    }

    fn section(title: &str, paragraphs: &[&str]) -> Section {
        let blocks = paragraphs
            .iter()
            .flat_map(|p| paragraph("note", "", p, 90.0))
            .collect();
        Section::new(title, blocks)
    }

    fn labels(numbers: &[u32]) -> Section {
        let blocks = numbers.iter().map(|n| {
            let mut block = paragraph("overflow", &n.to_string(), "words", 90.0).remove(0);
            std::rc::Rc::make_mut(&mut block.group)
                .data
                .push(("number", Datum::Count(*n)));
            block
        });
        Section::new("Labels by number", blocks.collect()).own()
    }

    #[test]
    fn numbers_are_told_in_runs_of_three_or_more() {
        assert_eq!(list(&[1, 3, 4, 5, 6, 8, 9]), "1, 3 to 6, 8 and 9");
        assert_eq!(list(&[17]), "17");
    }

    #[test]
    fn what_is_left_is_cut_off_at_the_block_where_the_room_ends() {
        // Heading, a, b, heading, c: with two blocks left only the second section is, with three `b` as well.
        let all = vec![section("One", &["a", "b"]), section("Two", &["c"])];
        let titles = |left| -> Vec<(String, usize)> {
            let rest = remaining(all.clone(), left);
            rest.into_iter()
                .map(|s| (s.title, s.blocks.len()))
                .collect()
        };
        assert_eq!(titles(2), [("Two".to_owned(), 1)]);
        assert_eq!(titles(3), [("One".to_owned(), 1), ("Two".to_owned(), 1)]);
        assert_eq!(titles(5), [("One".to_owned(), 2), ("Two".to_owned(), 1)]);
    }

    #[test]
    fn every_column_says_whose_labels_go_on_in_it() {
        let mut sections = elsewhere(&[(2, vec![labels(&[17, 18, 19, 20])])]);
        // A heading of 7 mm and two lines of 5.2 mm fill 18 mm: two columns hold the four labels.
        let columns = [
            Rect::new(0.0, 0.0, 90.0, 18.0),
            Rect::new(100.0, 0.0, 190.0, 18.0),
        ];
        let (items, at) = set(&mut sections, 0, &columns, 9);
        assert_eq!(at, 1);
        let said = words(&items);
        let heads: Vec<&String> = said.iter().filter(|w| w.starts_with("To ")).collect();
        assert_eq!(
            heads,
            [
                "To sheet 2: labels by number",
                "To sheet 2: labels by number, continued"
            ]
        );
    }

    #[test]
    fn a_sheet_says_where_its_numbers_and_its_notes_go_on() {
        let rest = vec![labels(&[17, 18, 19, 20]), section("Notes", &["a"])];
        let mut sections = elsewhere(&[(2, rest.clone())]);
        let column = [Rect::new(0.0, 0.0, 90.0, 200.0)];
        set(&mut sections, 0, &column, 9);
        let lines = pointer(2, &rest, Some(&sections), 90.0);
        let said: Vec<String> = lines
            .iter()
            .map(|b| words(&b.group.items).join(" "))
            .collect();
        assert_eq!(
            said,
            ["Labels by number 17 to 20: sheet 9.", "Notes: sheet 9."]
        );
    }

    #[test]
    fn the_lines_kept_free_for_it_are_enough() {
        let rest = vec![labels(&[1]), section("Notes", &["a"])];
        let mut sections = elsewhere(&[(2, rest.clone())]);
        set(&mut sections, 0, &[Rect::new(0.0, 0.0, 90.0, 200.0)], 4999);
        let tall = |blocks: Vec<Block>| blocks.iter().map(|b| b.height).sum::<f64>();
        let kept = tall(pointer(2, &rest, None, 40.0));
        assert!(tall(pointer(2, &rest, Some(&sections), 40.0)) <= kept);
    }

    #[test]
    fn what_is_said_of_several_sheets_alike_is_said_once() {
        let notes = || section("Notes", &["alike"]);
        let mut sections = elsewhere(&[
            (2, vec![notes()]),
            (4, vec![section("Notes", &["alike", "of four alone"])]),
            (5, vec![notes()]),
        ]);
        let column = [Rect::new(0.0, 0.0, 90.0, 200.0)];
        let (items, _) = set(&mut sections, 0, &column, 9);
        assert_eq!(
            words(&items),
            [
                "To sheets 2, 4 and 5: notes",
                "alike",
                "To sheet 4: notes",
                "of four alone"
            ]
        );
    }

    #[test]
    fn labels_of_two_sheets_stay_apart_though_they_say_the_same() {
        let sections = elsewhere(&[(2, vec![labels(&[17])]), (4, vec![labels(&[17])])]);
        let of: Vec<&[u32]> = sections.iter().map(|s| s.of.as_slice()).collect();
        assert_eq!(of, [&[2][..], &[4][..]]);
    }
}
