//! The title block: the fields of ISO 7200 that apply (from memory) and what authorities ask for besides,
//! job address, preparer, licence, code and scale on every sheet. A field that nobody filled is left blank for a pen.

use kurbo::{Point, Rect};
use wyeline_draw::ink::{Lettering, Weight};
use wyeline_network::Network;
use wyeline_units::UnitSystem;

use crate::block::{Block, CAPTION, LEADING, MEDIUM, NOTE, THIN, wrapped};
use crate::page::{Group, line, outline};

/// Distance from a cell's edge to its words, mm.
const PAD: f64 = 1.5;

/// What differs from sheet to sheet.
pub(crate) struct SheetWords<'a> {
    /// What the sheet shows.
    pub title: &'a str,
    /// Its scale in words.
    pub scale: &'a str,
    /// Its number and how many there are.
    pub number: (u32, u32),
}

/// One cell: caption, words, height of capitals, weight.
struct Cell {
    caption: &'static str,
    lines: Vec<String>,
    height: f64,
    weight: Weight,
}

impl Cell {
    fn new(caption: &'static str, words: &str, room: f64, height: f64, weight: Weight) -> Self {
        Self {
            caption,
            lines: wrapped(words, room - 2.0 * PAD, height, weight),
            height,
            weight,
        }
    }

    fn tall(&self) -> f64 {
        let lines = self.lines.len().max(1) as f64;
        PAD + CAPTION + PAD + self.height + (lines - 1.0) * self.height * LEADING + PAD + 0.4
    }

    fn draw(&self, group: &mut Group, x: f64, y: f64) {
        group.text(
            "caption",
            Lettering::new(
                self.caption,
                Point::new(x + PAD, y + PAD + CAPTION),
                CAPTION,
                Weight::Regular,
            ),
        );
        let mut base = y + PAD + CAPTION + PAD + self.height;
        for line in &self.lines {
            group.text(
                "value",
                Lettering::new(line, Point::new(x + PAD, base), self.height, self.weight),
            );
            base += self.height * LEADING;
        }
    }
}

/// The code named in the job, and whether the job was held against one.
pub(crate) fn code_words(network: &Network) -> String {
    if let Some(by) = &network.checked_by {
        let found = match network.flags.len() {
            0 => "nothing found".to_owned(),
            1 => "1 flag".to_owned(),
            flags => format!("{flags} flags"),
        };
        return format!("{by}: {found}. What was not checked, the list of checks tells.");
    }
    match &network.code {
        Some(code) => format!(
            "{}, as named in the job; not checked in this drawing",
            code.to_uppercase().replace('-', " ")
        ),
        None => "none named; nothing checked in this drawing".to_owned(),
    }
}

/// The title block, `width` mm wide.
pub(crate) fn title_block(network: &Network, words: &SheetWords, width: f64) -> Block {
    let title = &network.title;
    let said = |field: &Option<String>| field.clone().unwrap_or_default();
    let half = width / 2.0;
    let small = |caption, words: &str, room| Cell::new(caption, words, room, NOTE, Weight::Regular);
    let job = title.job.as_ref().map_or("", |name| name.text.as_str());
    let units = match network.units {
        UnitSystem::FeetInches => "feet and inches",
        UnitSystem::Inches => "inches",
        UnitSystem::Millimetres => "millimetres",
        UnitSystem::Metres => "metres",
    };
    let (number, count) = words.number;
    let rows: [Vec<Cell>; 7] = [
        vec![Cell::new("job", job, width, 4.5, Weight::SemiBold)],
        vec![small("address", &said(&title.address), width)],
        vec![Cell::new(
            "sheet shows",
            words.title,
            width,
            3.0,
            Weight::SemiBold,
        )],
        vec![
            small("drawn by", &said(&title.drawn_by), half),
            small("licence", &said(&title.licence), half),
        ],
        vec![
            small("date", &said(&title.date), half),
            small("issue", &said(&title.issue), half),
        ],
        vec![
            small("scale", words.scale, half),
            small("lengths in", units, half),
        ],
        vec![
            small("code", &code_words(network), width - 30.0),
            Cell::new(
                "sheet",
                &format!("{number} of {count}"),
                30.0,
                4.5,
                Weight::SemiBold,
            ),
        ],
    ];
    let mut group = Group::new("title-block");
    let mut y = 0.0;
    let last = rows.len() - 1;
    for (i, row) in rows.iter().enumerate() {
        let tall = row.iter().map(Cell::tall).fold(0.0, f64::max);
        if i > 0 {
            group.stroke("", line((0.0, y), (width, y)), THIN);
        }
        for (k, cell) in row.iter().enumerate() {
            let x = if k == 0 {
                0.0
            } else if i == last {
                width - 30.0
            } else {
                half
            };
            if k > 0 {
                group.stroke("", line((x, y), (x, y + tall)), THIN);
            }
            cell.draw(&mut group, x, y);
        }
        y += tall;
    }
    group.stroke("", outline(Rect::new(0.0, 0.0, width, y)), MEDIUM);
    Block {
        height: y,
        keep_with_next: false,
        group: group.into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::page::Item;

    fn printed(network: &Network) -> Vec<String> {
        let words = SheetWords {
            title: "Isometric",
            scale: "1/4 in = 1 ft",
            number: (2, 3),
        };
        let block = title_block(network, &words, 96.0);
        block
            .group
            .items
            .iter()
            .filter_map(|i| match i {
                Item::Text(t) => Some(t.lettering.text.clone()),
                _ => None,
            })
            .collect()
    }

    #[test]
    fn every_field_a_counter_asks_for_has_its_cell() {
        let words = printed(&Network::default());
        for caption in [
            "job", "address", "drawn by", "licence", "date", "issue", "scale", "code", "sheet",
        ] {
            assert!(words.iter().any(|w| w == caption), "{caption}");
        }
        assert!(words.contains(&"2 of 3".to_owned()));
    }

    #[test]
    fn the_code_is_named_and_said_to_be_unchecked() {
        let network = Network {
            code: Some("ipc-2021".to_owned()),
            ..Network::default()
        };
        let words = printed(&network).join(" ");
        assert!(
            words.contains("IPC 2021") && words.contains("not checked"),
            "{words}"
        );
    }
}
