//! Lays out the text of a job anew: indentation, single spaces, columns, blank lines.
//!
//! In: the text. Out: text that says the same, line for line, remarks and order kept.
//! Lines with mistakes stay as they are, for nobody knows what they mean.

use crate::diagnostic::Severity;
use crate::reading::read;
use crate::source::{line_index, split_remark, without_mark, word_len};
use crate::words::{continues_run, system};

/// Widest word that others are aligned to; longer ones stand out.
const WIDEST: usize = 24;
/// Widest first word that others are aligned to.
const WIDEST_FIRST: usize = 8;

/// The job's text in its usual layout. Changes no word: reading it gives the same job.
pub fn tidy(text: &str) -> String {
    let wrong = wrong_lines(text);
    let mut lines = Vec::new();
    let mut state = State::default();
    for (raw, wrong) in text.split('\n').zip(wrong) {
        let (says, remark) = split_remark(without_mark(raw));
        let words = split(says);
        let depth = state.depth(&words);
        lines.push(if wrong {
            Laid::Kept(raw.trim_end())
        } else if words.is_empty() && remark.is_empty() {
            Laid::Blank
        } else {
            Laid::Words {
                depth,
                words,
                remark: remark.trim_end(),
            }
        });
    }
    align(&lines, text.len())
}

/// For each line, whether a mistake lies in it.
fn wrong_lines(text: &str) -> Vec<bool> {
    let index = line_index(text);
    let mut wrong = vec![false; index.lines() as usize];
    for diagnostic in read(text).diagnostics {
        if diagnostic.severity == Severity::Mistake {
            let first = index.line(diagnostic.span.start) as usize - 1;
            let last = index.line(diagnostic.span.end) as usize;
            wrong[first..last].fill(true);
        }
    }
    wrong
}

/// A line and what becomes of it.
enum Laid<'a> {
    Blank,
    Kept(&'a str),
    Words {
        depth: usize,
        words: Vec<&'a str>,
        remark: &'a str,
    },
}

fn split(says: &str) -> Vec<&str> {
    let mut rest = says.trim();
    let mut words = Vec::new();
    while !rest.is_empty() {
        // The job's name is the rest of its line; spaces in it are part of it.
        let bytes = if words == ["job"] {
            rest.len()
        } else {
            word_len(rest)
        };
        words.push(&rest[..bytes]);
        rest = rest[bytes..].trim_start();
    }
    words
}

/// Where a line stands: in a group, in a run.
#[derive(Default)]
struct State {
    group: bool,
    run: bool,
}

impl State {
    /// How deep a line is indented; takes note of what it opens and closes.
    fn depth(&mut self, words: &[&str]) -> usize {
        let first = words.first().copied().unwrap_or_default();
        let second = words.get(1).copied().unwrap_or_default();
        let step = self.run && continues_run(first);
        if !first.is_empty() && !step {
            self.run = system(first).is_some();
        }
        if first == "end-group" {
            self.group = false;
        }
        let depth = usize::from(self.group) + usize::from(step);
        if step {
            let ends = matches!(first, "end" | "join" | "cap" | "continues");
            self.run = !(ends || first == "up" && second == "through");
        } else if first == "group" {
            self.group = true;
        }
        depth
    }
}

/// How many of a statement's words, after its first, stand in columns.
pub fn columns(first: &str) -> usize {
    match first {
        "fixture" => 5,
        "place" => 7,
        "room" | "door" | "window" | "measured" | "stock" | "offcut" => 2,
        "level" | "wall" | "beam" | "girder" | "duct" | "footing" | "slab" | "column" => 1,
        _ => 0,
    }
}

fn width(word: &str) -> usize {
    word.chars().count()
}

/// Writes the lines, each block of neighbours in columns.
fn align(lines: &[Laid], size: usize) -> String {
    let mut text = String::with_capacity(size + size / 4);
    let mut blank = false;
    let mut at = 0;
    while at < lines.len() {
        let end = block(&lines[at..]) + at;
        if matches!(lines[at], Laid::Blank) {
            blank = !text.is_empty();
        } else {
            if blank {
                text.push('\n');
                blank = false;
            }
            write_block(&lines[at..end], &mut text);
        }
        at = end;
    }
    text
}

/// How many lines from the first belong together: neighbours of one depth, remarks among them; a run's first line stands alone.
fn block(lines: &[Laid]) -> usize {
    let Laid::Words { depth, .. } = &lines[0] else {
        return 1;
    };
    if system(first_word(&lines[0])).is_some() {
        return 1;
    }
    let same = |line: &Laid| match line {
        Laid::Words { depth: other, .. } => other == depth && system(first_word(line)).is_none(),
        _ => false,
    };
    lines.iter().take_while(|line| same(line)).count()
}

fn write_block(lines: &[Laid], text: &mut String) {
    let first_words = lines.iter().filter_map(|line| match line {
        Laid::Words { words, .. } if words.len() > 1 => Some(width(words[0])),
        _ => None,
    });
    let first = first_words
        .filter(|width| *width <= WIDEST_FIRST)
        .max()
        .unwrap_or(0);
    let mut at = 0;
    while at < lines.len() {
        let word = first_word(&lines[at]);
        let alike = lines[at..]
            .iter()
            .take_while(|line| first_word(line) == word)
            .count();
        let rows = &lines[at..at + alike];
        let mut widths = vec![first];
        for column in 1..=columns(word) {
            let words = rows.iter().filter_map(|line| match line {
                Laid::Words { words, .. } if words.len() > column + 1 => Some(width(words[column])),
                _ => None,
            });
            widths.push(words.filter(|width| *width <= WIDEST).max().unwrap_or(0));
        }
        for line in rows {
            write_line(line, &widths, text);
        }
        at += alike;
    }
}

fn first_word<'a>(line: &Laid<'a>) -> &'a str {
    match line {
        Laid::Words { words, .. } => words.first().copied().unwrap_or_default(),
        _ => "",
    }
}

fn write_line(line: &Laid, widths: &[usize], text: &mut String) {
    match line {
        Laid::Blank => {}
        Laid::Kept(raw) => text.push_str(raw),
        Laid::Words {
            depth,
            words,
            remark,
        } => {
            text.extend(std::iter::repeat_n("  ", *depth));
            for (column, word) in words.iter().enumerate() {
                text.push_str(word);
                if column + 1 < words.len() {
                    let wide = widths.get(column).copied().unwrap_or(0);
                    let pad = wide.saturating_sub(width(word)) + 1;
                    text.extend(std::iter::repeat_n(' ', pad));
                }
            }
            if !words.is_empty() && !remark.is_empty() {
                text.push_str("  ");
            }
            text.push_str(remark);
        }
    }
    text.push('\n');
}
