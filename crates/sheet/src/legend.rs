//! The legend of a sheet: the lines, symbols and letters that occur on it and no others, from `data/legend.toml`.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

use kurbo::{Affine, Point, Rect, Shape};
use serde::Deserialize;
use wyeline_draw::Picture;
use wyeline_draw::ink::{Lettering, Stroke, Weight};
use wyeline_draw::picture::{LabelClass, Symbol, SymbolKind};
use wyeline_draw::style;
use wyeline_job::model::System;

use crate::block::{Block, LEADING, NOTE, wrapped};
use crate::drawer::Shown;
use crate::notes::ringed;
use crate::page::{Group, Item, Mark, Text, line};
use crate::place::symbol_word;
use crate::section::Section;

/// Length of a sample line, mm.
const SAMPLE: f64 = 17.0;
/// Largest width and height of a sample symbol, mm.
const SYMBOL: (f64, f64) = (11.0, 5.0);

#[derive(Deserialize)]
struct Table {
    word: Vec<Word>,
    symbol: BTreeMap<String, String>,
    system: BTreeMap<String, String>,
}

#[derive(Deserialize)]
struct Word {
    letters: String,
    means: String,
}

fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| {
        toml::from_str(include_str!("../data/legend.toml")).expect("a test reads the legend")
    })
}

/// A system in words.
pub(crate) fn system_words(system: System) -> &'static str {
    table()
        .system
        .get(system.word())
        .map_or(system.word(), String::as_str)
}

/// One entry: a sample and its words.
struct Entry {
    sample: Vec<Item>,
    /// Room the sample takes, mm.
    room: f64,
    words: String,
}

/// The legend in a column `room` mm wide.
pub(crate) fn legend(pictures: &[Shown], room: f64) -> Section {
    let mut blocks = rows(lines(pictures), room, 5.0);
    blocks.extend(rows(symbols(pictures), room, SYMBOL.1 + 1.4));
    blocks.extend(rows(letters(pictures), room, 5.0));
    Section::new("Legend", blocks)
}

/// The lines that occur, new before existing.
fn lines(pictures: &[Shown]) -> Vec<Entry> {
    let mut used: BTreeSet<(bool, usize)> = BTreeSet::new();
    for (network, picture) in pictures {
        for mark in &picture.pipes {
            let order = System::ALL
                .iter()
                .position(|s| *s == mark.system)
                .unwrap_or_default();
            used.insert((network.pipe(mark.pipe).existing, order));
        }
    }
    let entry = |(existing, order): (bool, usize)| {
        let system = System::ALL[order];
        let mut group = Group::default();
        let (pen, letters) = (style::pen(system, existing), style::letters(system));
        if letters.is_empty() {
            group.stroke("", line((0.0, 0.0), (SAMPLE, 0.0)), pen);
        } else {
            let middle = Point::new(SAMPLE / 2.0, NOTE / 2.0);
            let lettering =
                Lettering::centred(letters, middle, NOTE, Weight::Regular).coloured(pen.colour);
            let gap = lettering.width / 2.0 + 0.6;
            group.stroke("", line((0.0, 0.0), (SAMPLE / 2.0 - gap, 0.0)), pen);
            group.stroke("", line((SAMPLE / 2.0 + gap, 0.0), (SAMPLE, 0.0)), pen);
            group.text("", lettering);
        }
        let words = system_words(system);
        let words = if existing {
            format!("{words}, existing")
        } else {
            words.to_owned()
        };
        Entry {
            sample: group.items,
            room: SAMPLE + 2.0,
            words,
        }
    };
    used.into_iter().map(entry).collect()
}

/// One of each kind of symbol that occurs.
fn symbols(pictures: &[Shown]) -> Vec<Entry> {
    let used: BTreeSet<SymbolKind> = pictures
        .iter()
        .flat_map(|(_, p)| &p.symbols)
        .map(|s| s.kind)
        .collect();
    let entry = |kind: SymbolKind| {
        let words = table().symbol.get(symbol_word(kind))?;
        let sample = miniature(&wyeline_draw::symbol::sample(kind))?;
        Some(Entry {
            sample,
            room: SYMBOL.0 + 1.5,
            words: words.to_owned(),
        })
    };
    used.into_iter().filter_map(entry).collect()
}

/// A symbol's marks round (half the sample's room, 0), made smaller where it is too large.
fn miniature(symbol: &Symbol) -> Option<Vec<Item>> {
    let letters = symbol
        .letters
        .iter()
        .map(|l| Rect::new(l.at.x, l.at.y - l.height, l.at.x + l.width, l.at.y));
    let boxes = symbol
        .strokes
        .iter()
        .map(|s| s.path.bounding_box())
        .chain(letters);
    let bounds = boxes.reduce(|a, b| a.union(b))?;
    let factor = (SYMBOL.0 / bounds.width().max(0.1))
        .min(SYMBOL.1 / bounds.height().max(0.1))
        .min(1.0);
    let to_sample = Affine::translate((SYMBOL.0 / 2.0, 0.0))
        * Affine::scale(factor)
        * Affine::translate(-bounds.center().to_vec2());
    let mut items: Vec<Item> = symbol
        .strokes
        .iter()
        .map(|s| {
            Item::Stroke(Mark {
                class: "",
                stroke: Stroke {
                    path: to_sample * s.path.clone(),
                    ..s.clone()
                },
            })
        })
        .collect();
    for letters in &symbol.letters {
        let (at, height, width) = (
            to_sample * letters.at,
            letters.height * factor,
            letters.width * factor,
        );
        let lettering = Lettering {
            at,
            height,
            width,
            ..letters.clone()
        };
        items.push(Item::Text(Text {
            class: "",
            data: Vec::new(),
            lettering,
            halo: false,
        }));
    }
    Some(items)
}

/// The letters that occur in labels and symbols.
fn letters(pictures: &[Shown]) -> Vec<Entry> {
    let mut used: BTreeSet<&str> = BTreeSet::new();
    let (mut star, mut existing) = (false, false);
    let flagged = |p: &Picture| p.labels.iter().any(|l| l.class == LabelClass::Flag);
    let flags = pictures.iter().any(|(_, p)| flagged(p));
    // A number that stands in no ring on the drawing is explained where it is listed.
    let numbered = pictures.iter().any(|(_, p)| !ringed(p).is_empty());
    for (_, picture) in pictures {
        let labels = picture.labels.iter().flat_map(|l| &l.lines);
        for lettering in labels.chain(picture.symbols.iter().flat_map(|s| &s.letters)) {
            star |= lettering.text.contains('*');
            existing |= lettering.text.contains("(E)");
            used.extend(
                lettering
                    .text
                    .split(|c: char| !c.is_ascii_alphanumeric())
                    .filter(|w| w.len() >= 2),
            );
        }
    }
    let entry = |letters: &str, words: &str| {
        let lettering =
            Lettering::new(letters, Point::new(0.0, NOTE / 2.0), NOTE, Weight::SemiBold);
        let room = (lettering.width + 1.5).max(9.0);
        let sample = vec![Item::Text(Text {
            class: "",
            data: Vec::new(),
            lettering,
            halo: false,
        })];
        Entry {
            sample,
            room,
            words: words.to_owned(),
        }
    };
    let mut entries: Vec<Entry> = table()
        .word
        .iter()
        .filter(|w| used.contains(w.letters.as_str()))
        .map(|w| entry(&w.letters, &w.means))
        .collect();
    if flags {
        entries.push(entry("1", "in a hexagon: see flags"));
    }
    if existing {
        entries.push(entry("(E)", "existing"));
    }
    if numbered {
        entries.push(entry("(1)", "see labels by number"));
    }
    if star {
        entries.push(entry("*", "slope assumed: nobody stated it"));
    }
    entries
}

/// Entries two to a row of at least `least` mm.
fn rows(entries: Vec<Entry>, room: f64, least: f64) -> Vec<Block> {
    let half = room / 2.0;
    let mut blocks = Vec::new();
    let mut entries = entries.into_iter().peekable();
    while entries.peek().is_some() {
        let mut group = Group::new("legend");
        let pair: Vec<(Entry, Vec<String>)> = entries
            .by_ref()
            .take(2)
            .map(|entry| {
                let lines = wrapped(&entry.words, half - entry.room - 1.0, NOTE, Weight::Regular);
                (entry, lines)
            })
            .collect();
        let most = pair.iter().map(|(_, lines)| lines.len()).max().unwrap_or(1);
        let pitch = NOTE * LEADING;
        let height = (pitch * most as f64 + 0.8).max(least);
        for (k, (entry, lines)) in pair.into_iter().enumerate() {
            let x = half * k as f64;
            let mut sample = Group {
                items: entry.sample,
                ..Group::default()
            };
            crate::block::shift(&mut sample, (x, height / 2.0).into());
            group.items.append(&mut sample.items);
            let first = height / 2.0 + NOTE / 2.0 - pitch * (lines.len() as f64 - 1.0) / 2.0;
            for (i, words) in lines.iter().enumerate() {
                let at = Point::new(x + entry.room, first + pitch * i as f64);
                group.text("", Lettering::new(words, at, NOTE, Weight::Regular));
            }
        }
        blocks.push(Block {
            height,
            keep_with_next: false,
            group: group.into(),
        });
    }
    blocks
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The box all of a legend's samples stay within, for tests.
    fn reach(items: &[Item]) -> Option<Rect> {
        let boxes = items.iter().filter_map(|item| match item {
            Item::Stroke(mark) => Some(mark.stroke.path.bounding_box()),
            Item::Text(_) => None,
            Item::Group(group) => reach(&group.items),
        });
        boxes.reduce(|a, b| a.union(b))
    }

    #[test]
    fn every_name_in_the_table_of_symbols_is_a_kind_of_symbol() {
        // A misspelt name would silently leave its symbol out of the legend: `roof-end` and `gate-valve` are there.
        for name in ["roof-end", "gate-valve", "trap", "cleanout", "match"] {
            assert!(table().symbol.contains_key(name), "{name}");
        }
    }

    #[test]
    fn every_system_has_words() {
        for system in System::ALL {
            assert!(table().system.contains_key(system.word()), "{system:?}");
        }
    }

    #[test]
    fn a_symbol_too_large_for_its_place_is_made_smaller() {
        let symbol = Symbol {
            kind: wyeline_draw::picture::SymbolKind::Trap,
            node: None,
            fixture: None,
            strokes: vec![Stroke {
                path: Rect::new(100.0, 100.0, 144.0, 111.0).to_path(0.1),
                pen: None,
                fill: None,
            }],
            letters: Vec::new(),
            boxes: Vec::new(),
        };
        // 44 x 11 mm into 11 x 5 mm: a quarter of its size, 11 x 2.75 mm.
        let bounds = reach(&miniature(&symbol).expect("it has marks")).expect("strokes");
        assert!((bounds.width() - 11.0).abs() < 1e-9 && (bounds.height() - 2.75).abs() < 1e-9);
    }
}
