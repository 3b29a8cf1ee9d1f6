//! One line of the job as it is being read: a place in it, and what was found wrong.

use wyeline_units::UnitSystem;

use crate::diagnostic::{Diagnostic, Span};
use crate::model::Name;
use crate::near;
use crate::source::{is_quoted, shown, space, unquoted, word_len};

/// What reading lines leaves behind besides the job itself.
#[derive(Debug, Default)]
pub struct Found {
    /// Mistakes and warnings.
    pub diagnostics: Vec<Diagnostic>,
    /// Levels that are spoken of; checked when all of them are known.
    pub levels: Vec<Name>,
    /// `$words` used in the open group, without their `$`.
    pub words: Vec<Name>,
}

/// A line being read, word by word.
pub struct Line<'a, 'f> {
    /// The line without its remark and trailing space.
    text: &'a str,
    /// Where it begins in the whole text, bytes.
    start: usize,
    /// How far it has been read.
    at: usize,
    /// What a bare number means.
    pub units: UnitSystem,
    /// Inside a group, where `here` and `$words` mean something.
    pub in_group: bool,
    /// Its end has been reported as too early.
    short: bool,
    /// Where a word was left that has been reported already.
    left: Option<usize>,
    /// What was found, here and before.
    pub found: &'f mut Found,
}

impl<'a, 'f> Line<'a, 'f> {
    pub fn new(
        text: &'a str,
        start: usize,
        units: UnitSystem,
        in_group: bool,
        found: &'f mut Found,
    ) -> Self {
        Self {
            text: text.trim_end(),
            start,
            at: 0,
            units,
            in_group,
            short: false,
            left: None,
            found,
        }
    }

    /// What has not been read yet, from its first word.
    pub fn rest(&mut self) -> &'a str {
        self.at += space(&self.text[self.at..]);
        &self.text[self.at..]
    }

    /// Whether all of the line has been read.
    pub fn done(&mut self) -> bool {
        self.rest().is_empty()
    }

    /// The stretch from the next word, so many bytes long.
    pub fn ahead(&mut self, bytes: usize) -> Span {
        self.rest();
        Span::new(self.start + self.at, self.start + self.at + bytes)
    }

    /// From the line's first word to its last.
    pub fn whole(&self) -> Span {
        let first = space(self.text).min(self.text.len());
        Span::new(self.start + first, self.start + self.text.len())
    }

    /// The next word, left where it is; empty at the end of the line.
    pub fn peek(&mut self) -> &'a str {
        let rest = self.rest();
        &rest[..word_len(rest)]
    }

    /// The word after the next one.
    pub fn peek_second(&mut self) -> &'a str {
        let rest = self.rest();
        let after = rest[word_len(rest)..].trim_start();
        &after[..word_len(after)]
    }

    /// Takes so many bytes.
    pub fn take(&mut self, bytes: usize) -> Span {
        let span = self.ahead(bytes);
        self.at += bytes;
        span
    }

    /// Takes the next word.
    pub fn word(&mut self) -> (&'a str, Span) {
        let word = self.peek();
        (word, self.take(word.len()))
    }

    /// Takes the next word if it is this one.
    pub fn eat(&mut self, word: &str) -> bool {
        let here = self.peek() == word;
        if here {
            self.take(word.len());
        }
        here
    }

    pub fn report(&mut self, diagnostic: Diagnostic) {
        self.found.diagnostics.push(diagnostic);
    }

    /// Says that the line stops too soon; once in a line.
    pub fn too_short(&mut self, what: &str) {
        if !self.short {
            self.short = true;
            let end = self.start + self.text.len();
            let mistake = Diagnostic::mistake(
                "line-too-short",
                Span::new(end, end),
                format!("the line stops where {what} is missing"),
            )
            .expected(format!("expected {what}"));
            self.report(mistake);
        }
    }

    /// Says that the next word is not what was expected, and takes it.
    pub fn wrong(&mut self, code: &'static str, what: &str, help: Option<String>) {
        if self.done() {
            return self.too_short(what);
        }
        let (word, span) = self.word();
        let mut mistake =
            Diagnostic::mistake(code, span, format!("`{}` is not {what}", shown(word)))
                .expected(format!("expected {what}"));
        mistake.help = help;
        self.report(mistake);
    }

    /// Says that something is missing before the next word, and leaves the word.
    pub fn missing(&mut self, code: &'static str, what: &str) {
        if self.done() {
            return self.too_short(what);
        }
        let word = self.peek();
        self.left = Some(self.at);
        let span = self.ahead(word.len());
        let mistake = Diagnostic::mistake(
            code,
            span,
            format!("{what} is missing before `{}`", shown(word)),
        )
        .expected(format!("expected {what}"));
        self.report(mistake);
    }

    /// Takes a word of the language that has to stand here.
    pub fn expect(&mut self, word: &str) -> bool {
        if self.eat(word) {
            return true;
        }
        let found = self.peek();
        let what = format!("`{word}`");
        if near::nearest(found, [word]).is_some() {
            self.wrong("unknown-word", &what, Some(format!("did you mean {what}?")));
            // It was meant: what follows is read as if it had been written rightly.
            return true;
        }
        self.missing("word-missing", &what);
        false
    }

    /// Takes one of the words of a table.
    pub fn one_of<T: Copy>(
        &mut self,
        code: &'static str,
        what: &str,
        table: &[(&str, T)],
    ) -> Option<T> {
        let found = self.peek();
        if let Some(value) = crate::words::look_up(table, found) {
            self.word();
            return Some(value);
        }
        let names = || table.iter().map(|(name, _)| *name);
        match near::did_you_mean(found, names()) {
            Some(help) => self.wrong(code, what, Some(help)),
            None if looks_like_amount(found) && !found.is_empty() => self.missing(code, what),
            None => {
                let all: Vec<String> = names().map(|name| format!("`{name}`")).collect();
                self.wrong(code, what, Some(format!("one of {}", all.join(", "))));
            }
        }
        None
    }

    /// The next of a statement's options, left in place; reports and passes over what is none.
    /// Nothing at the end of the line.
    pub fn option(&mut self, options: &[&'static str]) -> Option<&'static str> {
        if self.done() {
            return None;
        }
        let found = self.peek();
        if let Some(option) = options.iter().find(|option| **option == found) {
            self.word();
            return Some(option);
        }
        let near = near::nearest(found, options.iter().copied());
        if let Some(meant) = near {
            self.wrong(
                "unknown-word",
                "a word known here",
                Some(format!("did you mean `{meant}`?")),
            );
            return Some(meant);
        }
        let reported = self.left == Some(self.at);
        let begin = self.ahead(found.len());
        let mut end = begin;
        while !self.done() && !options.contains(&self.peek()) {
            end = self.word().1;
        }
        if !reported {
            self.unexpected(begin.to(end), options);
        }
        self.option(options)
    }

    /// Says that words cannot stand where they do.
    fn unexpected(&mut self, span: Span, options: &[&str]) {
        let mistake = Diagnostic::mistake(
            "unexpected-words",
            span,
            "these words are not understood here",
        );
        let mistake = if options.is_empty() {
            mistake
                .expected("expected the end of the line")
                .help("a remark begins with #")
        } else {
            let all: Vec<String> = options.iter().map(|option| format!("`{option}`")).collect();
            mistake.expected(format!(
                "expected {} or the end of the line",
                all.join(", ")
            ))
        };
        self.report(mistake);
    }

    /// The line has to be at its end.
    pub fn finish(&mut self) {
        if !self.short {
            self.option(&[]);
        }
    }

    /// A new name.
    pub fn name(&mut self, what: &str) -> Option<Name> {
        let word = self.peek();
        if is_name(word) {
            let (word, span) = self.word();
            return Some(Name {
                text: word.to_owned(),
                span,
            });
        }
        if looks_like_amount(word) {
            self.missing("not-a-name", what);
        } else {
            self.wrong(
                "not-a-name",
                what,
                Some("a name is letters, digits, - and _, and begins with a letter".to_owned()),
            );
        }
        None
    }

    /// A name that may be a word of the language only by accident: not one of `words`.
    pub fn name_unless(&mut self, what: &str, words: &[&str]) -> Option<Name> {
        let word = self.peek();
        if words.contains(&word) {
            self.missing("not-a-name", what);
            return None;
        }
        self.name(what)
    }

    /// Words in quote marks.
    pub fn quoted(&mut self, what: &str) -> Option<String> {
        let word = self.peek();
        if let Some(text) = unquoted(word) {
            self.word();
            return Some(text.to_owned());
        }
        if is_quoted(word) {
            let span = self.take(word.len());
            let mistake = Diagnostic::mistake(
                "quote-not-closed",
                span,
                "the closing quote mark is missing",
            )
            .expected("expected a quote mark after these words");
            self.report(mistake);
            return None;
        }
        self.wrong(
            "text-not-quoted",
            what,
            Some("put the words between quote marks, \"…\"".to_owned()),
        );
        // The words that follow belong to the same text.
        self.rest();
        self.left = Some(self.at);
        None
    }

    /// Takes all that is left, from its first word to its last.
    pub fn remainder(&mut self) -> (&'a str, Span) {
        let rest = self.rest();
        (rest, self.take(rest.len()))
    }

    /// The offset in the whole text up to which the line has been read.
    pub fn offset(&self) -> usize {
        self.start + self.at
    }
}

/// Letters, digits, `-` and `_`, beginning with a letter.
pub fn is_name(word: &str) -> bool {
    let mut letters = word.chars();
    letters.next().is_some_and(char::is_alphabetic)
        && letters.all(|c| c.is_alphanumeric() || c == '-' || c == '_')
}

/// Begins as a number, a signed number or a coordinate does.
pub fn looks_like_amount(word: &str) -> bool {
    let digits = word.trim_start_matches(['+', '-', '\u{2212}', '.', ',']);
    digits.starts_with(|c: char| c.is_numeric())
}
