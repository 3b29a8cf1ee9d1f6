//! The text of a block: its name, then rows of heights, the northernmost first, each from west to east.
//!
//! `block "Steps"`, `3 3 1`, `3 3 1`; a number sign begins a remark. Mistakes are told all at once, with place and help.

use wyeline_job::{Diagnostic, Span};

use super::{MOST, Solid};

/// A block as told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Block {
    /// Its name; empty where it has none.
    pub title: String,
    /// The solid.
    pub solid: Solid,
}

/// Words of a line with their places in the text; a remark left out.
fn words(line: &str, start: usize) -> impl Iterator<Item = (&str, Span)> {
    let told = line.split('#').next().unwrap_or_default();
    told.split_whitespace().map(move |word| {
        // Both slices are of one line.
        let at = start + (word.as_ptr() as usize - line.as_ptr() as usize);
        (word, Span::new(at, at + word.len()))
    })
}

/// Reads a block.
///
/// # Errors
/// All that is wrong, in the order of the text.
pub fn read(text: &str) -> Result<Block, Vec<Diagnostic>> {
    let mut wrong = Vec::new();
    let mut title: Option<String> = None;
    let mut rows: Vec<(Vec<i32>, Span)> = Vec::new();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let here = start;
        start += line.len();
        let trimmed = line.trim_start();
        if trimmed.split_whitespace().next() == Some("block") {
            let span = Span::new(here, here + line.trim_end().len());
            match name(trimmed) {
                _ if title.is_some() || !rows.is_empty() => wrong.push(
                    Diagnostic::mistake("second-block", span, "a second block in one text")
                        .help("write one block a file, its name first"),
                ),
                Some(name) => title = Some(name),
                None => wrong.push(
                    Diagnostic::mistake(
                        "no-name",
                        span,
                        "a block without a name in quotation marks",
                    )
                    .help("write, for example, block \"Steps\""),
                ),
            }
            continue;
        }
        let mut row = Vec::new();
        let mut whole: Option<Span> = None;
        for (word, span) in words(line, here) {
            whole = Some(whole.map_or(span, |before| before.to(span)));
            if let Ok(height) = word.parse::<i32>()
                && (0..=MOST).contains(&height)
            {
                row.push(height);
            } else {
                row.push(0);
                wrong.push(
                    Diagnostic::mistake("not-a-height", span, format!("`{word}` is not a height"))
                        .expected(format!("a whole number from 0 to {MOST}"))
                        .help("a row is heights in squares from west to east, with spaces between: 3 3 1"),
                );
            }
        }
        if let Some(span) = whole {
            rows.push((row, span));
        }
    }
    unequal(&rows, &mut wrong);
    let end = Span::new(text.len(), text.len());
    if rows.is_empty() {
        wrong.push(
            Diagnostic::mistake("no-rows", end, "a block without rows of heights")
                .help("write rows of heights under its name, the northernmost first"),
        );
    }
    let heights: Vec<Vec<i32>> = rows.iter().map(|(row, _)| row.clone()).collect();
    let solid = Solid::of_rows(&heights);
    if wrong.is_empty() && solid.is_none() {
        let span = rows
            .iter()
            .map(|(_, span)| *span)
            .reduce(Span::to)
            .unwrap_or(end);
        wrong.push(if heights.iter().flatten().all(|h| *h == 0) {
            Diagnostic::mistake(
                "nothing-stands",
                span,
                "no square of the block has a height",
            )
            .help("give at least one square a height of 1 or more")
        } else {
            Diagnostic::mistake(
                "too-large",
                span,
                format!("a block of more than {MOST} rows or squares in a row"),
            )
            .help("use fewer, larger squares")
        });
    }
    match solid {
        Some(solid) if wrong.is_empty() => Ok(Block {
            title: title.unwrap_or_default(),
            solid,
        }),
        _ => {
            wrong.sort_by_key(|fault| fault.span);
            Err(wrong)
        }
    }
}

/// Rows that are longer or shorter than the first.
fn unequal(rows: &[(Vec<i32>, Span)], wrong: &mut Vec<Diagnostic>) {
    let Some((first, span)) = rows.first() else {
        return;
    };
    for (row, here) in &rows[1..] {
        if row.len() != first.len() {
            wrong.push(
                Diagnostic::mistake(
                    "uneven-rows",
                    *here,
                    format!(
                        "this row has {} heights, the first has {}",
                        row.len(),
                        first.len()
                    ),
                )
                .note(*span, "the first row")
                .help("give every row as many heights; 0 where nothing stands"),
            );
        }
    }
}

/// The words in quotation marks after `block`.
fn name(line: &str) -> Option<String> {
    let rest = line.strip_prefix("block")?.trim_start();
    let (name, rest) = rest.strip_prefix('"')?.split_once('"')?;
    let rest = rest.trim();
    (rest.is_empty() || rest.starts_with('#')).then(|| name.trim().to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn faults(text: &str) -> Vec<(&'static str, &str)> {
        let faults = read(text).expect_err("it is wrong");
        let at = |span: Span| &text[span.start as usize..span.end as usize];
        faults
            .iter()
            .map(|fault| (fault.code, at(fault.span)))
            .collect()
    }

    #[test]
    fn a_block_is_its_name_and_rows_from_north_to_south() {
        let block =
            read("# two steps\nblock \"Steps\"\n3 3 1\n\n2 0 1 # the south\n").expect("sound");
        assert_eq!(block.title, "Steps");
        assert_eq!(block.solid.size(), [3, 2, 3]);
        assert_eq!((block.solid.height(0, 0), block.solid.height(0, 1)), (2, 3));
    }

    #[test]
    fn what_is_written_is_read_back() {
        let block = read("block \"L\"\n0 2\n2 2\n").expect("sound");
        assert_eq!(read(&block.solid.text(&block.title)), Ok(block));
    }

    #[test]
    fn every_mistake_is_told_with_its_place() {
        assert_eq!(
            faults("block Steps\n1 x 1\n1 1\n"),
            [
                ("no-name", "block Steps"),
                ("not-a-height", "x"),
                ("uneven-rows", "1 1")
            ]
        );
        assert_eq!(
            faults("block \"a\"\n1 -1 99"),
            [("not-a-height", "-1"), ("not-a-height", "99")]
        );
        assert_eq!(faults("block \"a\"\n"), [("no-rows", "")]);
        assert_eq!(faults("block \"a\"\n0 0\n"), [("nothing-stands", "0 0")]);
        assert_eq!(
            faults("block \"a\"\n1\nblock \"b\""),
            [("second-block", "block \"b\"")]
        );
        assert_eq!(faults("1 1 1 1 1 1 1 1 1 1 1 1 1")[0].0, "too-large");
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_read_or_refused_in_words(text in "[ -~\n]{0,60}|(block \"a\"\n)?([0-9 \n]{0,40})") {
            if let Err(faults) = read(&text) {
                proptest::prop_assert!(!faults.is_empty());
            }
        }
    }
}
