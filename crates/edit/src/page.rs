//! The text of a job by lines, words and statements, as the reader takes it apart.

use std::ops::Range;

use wyeline_job::words::{continues_run, system};
use wyeline_job::{columns, split_remark, word_len};

/// Widest first word to which others are aligned, as in tidied text.
const WIDEST_FIRST: usize = 8;

/// A line by its bytes in the text.
#[derive(Clone, Copy, Debug)]
pub struct Row {
    /// Its first byte.
    pub start: usize,
    /// The end of its last word; `start` where it says nothing.
    pub says: usize,
    /// Its end without the line break.
    pub end: usize,
    /// Where the next line begins.
    pub next: usize,
}

/// A statement with the lines that belong to it.
#[derive(Clone, Copy, Debug)]
pub struct Statement<'a> {
    /// Its first word.
    pub first: &'a str,
    /// Its line, from 1.
    pub line: u32,
    /// Its last line: the last step of a run.
    pub last: u32,
    /// It stands in a group.
    pub in_group: bool,
}

/// The text of a job, line by line.
#[derive(Debug)]
pub struct Page<'a> {
    /// The whole text.
    pub text: &'a str,
    /// The line break that new lines get.
    pub newline: &'static str,
    rows: Vec<Row>,
}

impl<'a> Page<'a> {
    /// The page of a text.
    pub fn new(text: &'a str) -> Self {
        let mut rows = Vec::new();
        let mut start = 0;
        for raw in text.split_inclusive('\n') {
            let next = start + raw.len();
            let body = raw.trim_end_matches(['\n', '\r']);
            let end = start + body.len();
            // Some editors put a byte order mark at the start of a file.
            let skip = body.len() - body.strip_prefix('\u{FEFF}').unwrap_or(body).len();
            let (says, _) = split_remark(&body[skip..]);
            let says = start + skip + says.trim_end().len();
            rows.push(Row {
                start: start + skip,
                says,
                end,
                next,
            });
            start = next;
        }
        let newline = if text.contains("\r\n") { "\r\n" } else { "\n" };
        Self {
            text,
            newline,
            rows,
        }
    }

    /// How many lines there are.
    pub fn count(&self) -> u32 {
        self.rows.len() as u32
    }

    /// A line, from 1.
    pub fn row(&self, line: u32) -> Option<Row> {
        let at = (line as usize).checked_sub(1)?;
        self.rows.get(at).copied()
    }

    /// The line that holds a byte, from 1.
    pub fn line_of(&self, byte: u32) -> u32 {
        self.rows.partition_point(|row| row.start <= byte as usize) as u32
    }

    /// What a line says, without indentation and remark.
    pub fn says(&self, line: u32) -> &'a str {
        self.row(line)
            .map_or("", |row| self.text[row.start..row.says].trim_start())
    }

    /// The words of a line by their bytes.
    pub fn words(&self, line: u32) -> Vec<Range<usize>> {
        let Some(row) = self.row(line) else {
            return Vec::new();
        };
        let mut words = Vec::new();
        let mut at = row.start;
        loop {
            let rest = &self.text[at..row.says];
            at += rest.len() - rest.trim_start().len();
            let bytes = word_len(&self.text[at..row.says]);
            if bytes == 0 {
                return words;
            }
            words.push(at..at + bytes);
            at += bytes;
        }
    }

    /// The text of a stretch.
    pub fn cut(&self, range: &Range<usize>) -> &'a str {
        self.text.get(range.clone()).unwrap_or_default()
    }

    /// The first word of a line, or nothing.
    pub fn first_word(&self, line: u32) -> &'a str {
        let says = self.says(line);
        &says[..word_len(says)]
    }

    /// Whether a line is empty, without even a remark.
    pub fn blank(&self, line: u32) -> bool {
        self.row(line)
            .is_some_and(|row| self.text[row.start..row.end].trim().is_empty())
    }

    /// The statements in order.
    pub fn statements(&self) -> Vec<Statement<'a>> {
        let mut all: Vec<Statement<'a>> = Vec::new();
        let (mut run, mut in_group) = (false, false);
        for line in 1..=self.count() {
            let says = self.says(line);
            let first = self.first_word(line);
            if first.is_empty() {
                continue;
            }
            if run && continues_run(first) {
                let ends = matches!(first, "end" | "join" | "cap" | "continues");
                let roof = says.split_whitespace().nth(1) == Some("through");
                run = !(ends || first == "up" && roof);
                if let Some(open) = all.last_mut() {
                    open.last = line;
                }
                continue;
            }
            run = system(first).is_some();
            in_group = in_group && first != "end-group";
            all.push(Statement {
                first,
                line,
                last: line,
                in_group,
            });
            in_group = in_group || first == "group";
        }
        all
    }

    /// The indentation of a line.
    fn indent(&self, line: u32) -> &'a str {
        let Some(row) = self.row(line) else { return "" };
        let text = &self.text[row.start..row.end];
        &text[..text.len() - text.trim_start().len()]
    }

    /// Words laid out as a line's neighbour is: its indentation, and its columns as far as
    /// statements of that kind have them. Steps have one.
    pub fn like(&self, words: &str, neighbour: u32) -> String {
        let indent = self.indent(neighbour);
        let first = &words[..word_len(words)];
        let step = self.is_step(neighbour);
        let known = if step {
            1
        } else if self.first_word(neighbour) == first {
            columns(first) + 1
        } else {
            0
        };
        let Some(row) = self.row(neighbour) else {
            return words.to_owned();
        };
        let stops: Vec<usize> = self
            .words(neighbour)
            .iter()
            .map(|word| self.text[row.start..word.start].chars().count())
            .collect();
        let mut line = indent.to_owned();
        let mut rest = words;
        for column in 0.. {
            let bytes = word_len(rest);
            line.push_str(&rest[..bytes]);
            rest = rest[bytes..].trim_start();
            if rest.is_empty() {
                break;
            }
            if column >= known {
                line.push(' ');
                line.push_str(rest);
                break;
            }
            let wide = line.chars().count();
            let stop = stops.get(column + 1).copied().unwrap_or(0);
            line.extend(std::iter::repeat_n(' ', stop.saturating_sub(wide).max(1)));
        }
        line
    }

    /// Whether a line is a step of a run.
    pub fn is_step(&self, line: u32) -> bool {
        self.statements()
            .iter()
            .any(|statement| (statement.line + 1..=statement.last).contains(&line))
            && !self.says(line).is_empty()
    }

    /// A line for a step in a run: laid out as the run's own steps are.
    pub fn step_like(&self, words: &str, first: u32, last: u32) -> String {
        // The last step of more than one word shows the column, but that devices have long names.
        let shows = |line: &u32| {
            let short = self.first_word(*line).chars().count() <= WIDEST_FIRST;
            short && self.words(*line).len() > 1
        };
        let shown = (first + 1..=last).rev().find(shows);
        match shown {
            Some(line) => self.like(words, line),
            None if last > first => format!("{}{words}", self.indent(last)),
            None => format!("{}  {words}", self.indent(first)),
        }
    }
}
