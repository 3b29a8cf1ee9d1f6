//! Reads a job from bytes that may be no text: what is not UTF-8, and NUL bytes.

use std::borrow::Cow;

use crate::diagnostic::{Diagnostic, Span};
use crate::reading::{Reading, read};
use crate::{names, source};

/// The text that [`read_bytes`] reads: bytes that are not UTF-8 become U+FFFD.
/// All places reported are places in this text.
pub fn text_of(bytes: &[u8]) -> Cow<'_, str> {
    String::from_utf8_lossy(bytes)
}

/// Reads the bytes of a file as a job. Each line with bytes that are not UTF-8 is
/// a mistake of its own; reading goes on with U+FFFD in their place.
pub fn read_bytes(bytes: &[u8]) -> Reading {
    let text = text_of(bytes);
    let mut reading = read(&text);
    if matches!(text, Cow::Owned(_)) {
        not_utf8(bytes, &text, &mut reading.diagnostics);
        names::in_order(&mut reading.diagnostics);
    }
    reading
}

/// One mistake for each line, at its first byte that is not UTF-8.
fn not_utf8(bytes: &[u8], text: &str, found: &mut Vec<Diagnostic>) {
    let index = source::line_index(text);
    let (mut at, mut byte, mut last_line) = (0, 0, 0);
    for chunk in bytes.utf8_chunks() {
        at += chunk.valid().len();
        byte += chunk.valid().len();
        let Some(first) = chunk.invalid().first() else {
            continue;
        };
        let span = Span::new(at, at + char::REPLACEMENT_CHARACTER.len_utf8());
        let line = index.line(span.start);
        if line != last_line {
            last_line = line;
            let message = format!("byte {byte} of the file (0x{first:02X}) is not UTF-8");
            let mistake = Diagnostic::mistake("not-utf8", span, message)
                .expected("expected text in UTF-8")
                .help("save the file as UTF-8");
            found.push(mistake);
        }
        at = span.end as usize;
        byte += chunk.invalid().len();
    }
}

/// One mistake for each row of NUL bytes: NUL is no letter, and other programs cut a text short at it.
pub fn nul_bytes(text: &str, found: &mut Vec<Diagnostic>) {
    let mut from = 0;
    while let Some(at) = text[from..].find('\0') {
        let begin = from + at;
        let length = text[begin..].bytes().take_while(|byte| *byte == 0).count();
        let span = Span::new(begin, begin + length);
        let mistake = Diagnostic::mistake("nul-byte", span, "there is a NUL byte in the text")
            .expected("expected text")
            .help("the file may be damaged, or no text at all");
        found.push(mistake);
        from = begin + length;
    }
}
