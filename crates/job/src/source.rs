//! Places in the text: lines, columns, and the lines as they are read.

use crate::Span;

/// Where each line of a text begins, to turn a [`Span`] into lines and columns.
#[derive(Clone, Debug)]
pub struct LineIndex<'a> {
    text: &'a str,
    starts: Vec<u32>,
}

/// A line and a column, both counted from 1; the column counts characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
pub struct Position {
    /// The line.
    pub line: u32,
    /// The character in it.
    pub column: u32,
}

/// The index of a text's lines; made once, asked often.
pub fn line_index(text: &str) -> LineIndex<'_> {
    let ends = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
    let starts = std::iter::once(0)
        .chain(ends.map(|(at, _)| at as u32 + 1))
        .collect();
    LineIndex { text, starts }
}

impl LineIndex<'_> {
    /// The line, counted from 1, that holds a byte of the text.
    pub fn line(&self, byte: u32) -> u32 {
        self.starts.partition_point(|start| *start <= byte) as u32
    }

    /// Line and column of a byte; one past the text is allowed.
    pub fn position(&self, byte: u32) -> Position {
        let line = self.line(byte);
        let start = self.starts[line as usize - 1] as usize;
        let end = (byte as usize).min(self.text.len());
        // Bytes that continue a character are not counted.
        let before = &self.text.as_bytes()[start.min(end)..end];
        let column = before.iter().filter(|byte| **byte & 0xC0 != 0x80).count() as u32 + 1;
        Position { line, column }
    }

    /// Line and column of the first character of a stretch, and of the one past its last.
    pub fn span(&self, span: Span) -> (Position, Position) {
        (self.position(span.start), self.position(span.end))
    }

    /// How many lines there are; a text that ends with a line break has an empty last one.
    pub fn lines(&self) -> u32 {
        self.starts.len() as u32
    }

    /// The text of a line, counted from 1, without its line break.
    pub fn text(&self, line: u32) -> &str {
        let Some(start) = (line as usize)
            .checked_sub(1)
            .and_then(|at| self.starts.get(at))
        else {
            return "";
        };
        let end = self
            .starts
            .get(line as usize)
            .map_or(self.text.len(), |next| *next as usize - 1);
        self.text[*start as usize..end].trim_end_matches('\r')
    }
}

/// Splits a line into what it says and its remark (from its `#`, or empty).
///
/// `#` begins a remark at the start of a line or after a space, but not inside quoted words.
pub fn split_remark(line: &str) -> (&str, &str) {
    if !line.contains('#') {
        return (line, "");
    }
    let mut at = 0;
    loop {
        at += space(&line[at..]);
        let rest = &line[at..];
        if rest.is_empty() || rest.starts_with('#') {
            return line.split_at(at);
        }
        at += word_len(rest);
    }
}

/// A line without the byte order mark that some editors put at the start of a file.
pub(crate) fn without_mark(line: &str) -> &str {
    line.strip_prefix('\u{FEFF}').unwrap_or(line)
}

/// A word as it is shown in a message: no control characters, and cut where it is long.
pub(crate) fn shown(word: &str) -> String {
    const LONGEST: usize = 40;
    let clean = |c: char| if c.is_control() { '\u{FFFD}' } else { c };
    let mut shown: String = word.chars().take(LONGEST).map(clean).collect();
    if word.chars().nth(LONGEST).is_some() {
        shown.push('…');
    }
    shown
}

/// Bytes of white space at the start.
pub(crate) fn space(text: &str) -> usize {
    text.len() - text.trim_start().len()
}

const QUOTES: [char; 3] = ['"', '“', '”'];

/// How many bytes the word at the start of a text has: quoted words up to their closing quote mark,
/// anything else up to the next white space.
pub fn word_len(text: &str) -> usize {
    if let Some(body) = text.strip_prefix(QUOTES) {
        let open = text.len() - body.len();
        return match body.char_indices().find(|(_, c)| QUOTES.contains(c)) {
            Some((at, close)) => open + at + close.len_utf8(),
            None => text.trim_end().len(),
        };
    }
    text.find(char::is_whitespace).unwrap_or(text.len())
}

/// What stands between the quote marks of a word, if it is quoted and closed.
pub(crate) fn unquoted(word: &str) -> Option<&str> {
    word.strip_prefix(QUOTES)?.strip_suffix(QUOTES)
}

/// Whether a word begins with a quote mark.
pub(crate) fn is_quoted(word: &str) -> bool {
    word.starts_with(QUOTES)
}
