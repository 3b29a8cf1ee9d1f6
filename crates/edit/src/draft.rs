//! Changes while they are gathered, and the text they come to.

use std::ops::Range;

use crate::page::Page;
use crate::{Change, Refusal};

/// Where the chosen line of the new text comes from.
#[derive(Clone, Copy, Debug)]
enum Chosen {
    /// A line of the old text.
    Old(u32),
    /// So many line breaks into what one of the changes writes.
    Written(usize, usize),
}

/// Changes of a page.
#[derive(Debug)]
pub struct Draft<'p, 'a> {
    page: &'p Page<'a>,
    cuts: Vec<(Range<usize>, String)>,
    chosen: Option<Chosen>,
}

/// What a draft comes to.
#[derive(Debug)]
pub struct Written {
    /// The new text.
    pub text: String,
    /// The changes, ascending and apart.
    pub changes: Vec<Change>,
    /// What the changed lines say.
    pub said: String,
    /// The chosen line of the new text.
    pub chosen: Option<u32>,
}

impl<'p, 'a> Draft<'p, 'a> {
    /// No changes yet.
    pub fn new(page: &'p Page<'a>) -> Self {
        Self {
            page,
            cuts: Vec::new(),
            chosen: None,
        }
    }

    /// Puts words in the place of others.
    pub fn replace(&mut self, range: Range<usize>, words: impl Into<String>) {
        self.cuts.push((range, words.into()));
    }

    /// Makes a line say something else; indentation and remark stay.
    pub fn say(&mut self, line: u32, words: impl Into<String>) {
        let all = self.page.words(line);
        let (Some(first), Some(last)) = (all.first(), all.last()) else {
            return;
        };
        self.replace(first.start..last.end, words);
    }

    /// Puts lines after a line (0: before the first), and chooses one of them, from 0.
    pub fn insert_after(&mut self, line: u32, lines: &[String], chosen: Option<usize>) {
        let newline = self.page.newline;
        let mut text = lines.join(newline);
        let (at, skip) = match self.page.row(line) {
            // The last line of a text may lack its break.
            Some(row) if row.next == row.end => {
                text.insert_str(0, newline);
                (row.end, 1)
            }
            Some(row) => {
                text.push_str(newline);
                (row.next, 0)
            }
            None => {
                text.push_str(newline);
                (0, 0)
            }
        };
        if let Some(chosen) = chosen {
            self.chosen = Some(Chosen::Written(self.cuts.len(), chosen + skip));
        }
        self.cuts.push((at..at, text));
    }

    /// Takes lines away, from the first to the last.
    pub fn remove(&mut self, first: u32, last: u32) {
        let (Some(from), Some(to)) = (self.page.row(first), self.page.row(last)) else {
            return;
        };
        let before = self.page.row(first.saturating_sub(1));
        let range = match before {
            Some(before) if to.next == to.end => before.end..to.end,
            _ => from.start..to.next,
        };
        self.cuts.push((range, String::new()));
    }

    /// Chooses a line of the old text.
    pub fn choose(&mut self, line: u32) {
        self.chosen = Some(Chosen::Old(line));
    }

    /// The text with all changes made.
    pub fn write(&self) -> Result<Written, Refusal> {
        let old = self.page.text;
        let mut order: Vec<usize> = (0..self.cuts.len()).collect();
        order.sort_by_key(|&cut| (self.cuts[cut].0.start, self.cuts[cut].0.end));
        let mut text = String::with_capacity(old.len() + 64);
        let mut changes: Vec<Change> = Vec::new();
        let mut starts = vec![0; self.cuts.len()];
        let mut stretches: Vec<Range<usize>> = Vec::new();
        let mut at = 0;
        for cut in order {
            let (range, words) = &self.cuts[cut];
            let between = old.get(at..range.start);
            let (Some(between), true) = (between, old.is_char_boundary(range.end)) else {
                return Err(Refusal::new(
                    "two parts of this change meet in one place",
                    "make them one after the other",
                ));
            };
            text.push_str(between);
            starts[cut] = text.len();
            text.push_str(words);
            let written = starts[cut]..text.len();
            match (changes.last_mut(), stretches.last_mut()) {
                (Some(last), Some(stretch)) if last.to as usize == range.start => {
                    last.to = range.end as u32;
                    last.text.push_str(words);
                    stretch.end = written.end;
                }
                _ => {
                    changes.push(Change {
                        from: range.start as u32,
                        to: range.end as u32,
                        text: words.clone(),
                    });
                    stretches.push(written);
                }
            }
            at = range.end;
        }
        text.push_str(old.get(at..).unwrap_or_default());
        let chosen = self.chosen.map(|chosen| match chosen {
            Chosen::Old(line) => self.moved(line, &changes),
            Chosen::Written(cut, line) => line_at(&text, starts[cut]) + line as u32,
        });
        let said = said(&text, &changes, &stretches);
        changes.retain(|change| {
            old.get(change.from as usize..change.to as usize) != Some(&change.text)
        });
        Ok(Written {
            text,
            changes,
            said,
            chosen,
        })
    }

    /// Where a line of the old text has come to.
    fn moved(&self, line: u32, changes: &[Change]) -> u32 {
        let old = self.page.text;
        let start = self.page.row(line).map_or(0, |row| row.start as u32);
        let breaks = |text: &str| i64::try_from(text.matches('\n').count()).unwrap_or(0);
        let shift: i64 = changes
            .iter()
            .filter(|change| change.to <= start)
            .map(|change| {
                breaks(&change.text) - breaks(&old[change.from as usize..change.to as usize])
            })
            .sum();
        u32::try_from(i64::from(line) + shift).unwrap_or(1)
    }
}

/// The line of a text that a byte lies on, from 1.
fn line_at(text: &str, byte: usize) -> u32 {
    text[..byte].matches('\n').count() as u32 + 1
}

/// What the lines that hold the written stretches say, one line each.
fn said(text: &str, changes: &[Change], stretches: &[Range<usize>]) -> String {
    let page = Page::new(text);
    let mut lines: Vec<u32> = Vec::new();
    for (change, stretch) in changes.iter().zip(stretches) {
        let words = change.text.as_str();
        let whole_lines = |at: usize| at == 0 || text[..at].ends_with('\n');
        if words.is_empty() && whole_lines(stretch.start) {
            continue;
        }
        let begin = stretch.start + (words.len() - words.trim_start_matches(['\r', '\n']).len());
        let end = stretch.end - (words.len() - words.trim_end_matches(['\r', '\n']).len());
        let (first, last) = (line_at(text, begin), line_at(text, end.max(begin)));
        lines.extend(first..=last);
    }
    lines.dedup();
    let said = lines.into_iter().map(|line| page.says(line));
    let said: Vec<&str> = said.filter(|says| !says.is_empty()).collect();
    said.join("\n")
}
