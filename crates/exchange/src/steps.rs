//! Pictures that follow one another, with their sentences, as one animated SVG: no script, only a style sheet's key frames.
//!
//! On a screen, where nobody asked for less motion, step follows step and the last one stays before it begins anew. Everywhere else, on paper
//! and in readers that know no style sheets, it stands still: the last picture, somewhat smaller, and all the sentences under it.

use std::fmt::Write as _;

use kurbo::Point;
use wyeline_draw::ink::{Lettering, Weight};
use wyeline_draw::lettering;
use wyeline_sheet::{Sheet, Text};

use crate::number::{number, words};
use crate::svg;

/// One step: its title, its sentence and its picture. All pictures of a series are of one size.
#[derive(Clone, Copy, Debug)]
pub struct Frame<'a> {
    /// What is drawn.
    pub title: &'a str,
    /// How, in plain words.
    pub sentence: &'a str,
    /// The picture so far.
    pub sheet: &'a Sheet,
}

// Our own choices, all in mm of paper but the times.
/// White paper round everything.
const MARGIN: f64 = 6.0;
/// Least width: sentences need room even where the drawing is narrow.
const LEAST_WIDTH: f64 = 170.0;
/// Height of capitals of the sentence that goes with a step: read from the back of a class room.
const SPOKEN: f64 = 4.0;
/// The same in the list of all sentences.
const LISTED: f64 = 2.2;
/// From one base line to the next, in heights of capitals.
const ROW: f64 = 1.75;
/// Between the list's columns.
const GUTTER: f64 = 7.0;
/// Widest column of the list, about sixty letters.
const COLUMN: f64 = 92.0;
/// The drawing that stands still keeps at least this share of its size.
const LEAST_SHARE: f64 = 0.4;
/// Seconds for looking at a step.
const LOOK: f64 = 2.0;
/// Letters read in a second: slow readers manage 150 words of six letters in a minute.
const LETTERS_A_SECOND: f64 = 15.0;
/// Seconds that the finished drawing stays on.
const PAUSE: f64 = 4.0;

/// Returns the steps as one SVG that shows one after the other and begins anew after a pause.
pub fn svg_steps(frames: &[Frame]) -> String {
    let set = Set::of(frames);
    let mut out = Vec::with_capacity(256 * 1024);
    let (width, height) = (set.width, set.height);
    // No size of its own: a browser shows it as large as its window, a page as large as it wants it.
    out.extend_from_slice(b"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 ");
    number(&mut out, width);
    out.push(b' ');
    number(&mut out, height);
    out.extend_from_slice(
        b"\" role=\"img\" aria-labelledby=\"steps-title steps-desc\" fill=\"none\" stroke-linejoin=\"round\" \
          font-family=\"&quot;IBM Plex Sans Condensed&quot;, &quot;Arial Narrow&quot;, sans-serif\" \
          style=\"font-kerning:none;font-variant-ligatures:none\">\n<title id=\"steps-title\">",
    );
    words(&mut out, &format!("{} steps", frames.len()));
    out.extend_from_slice(b"</title>\n<desc id=\"steps-desc\">");
    for (n, frame) in frames.iter().enumerate() {
        words(
            &mut out,
            &format!("{}. {}: {} ", n + 1, frame.title, frame.sentence),
        );
    }
    out.extend_from_slice(b"</desc>\n<style>\n");
    out.extend_from_slice(motion(frames, (width - set.picture.0) / 2.0).as_bytes());
    out.extend_from_slice(b"</style>\n<rect width=\"");
    number(&mut out, width);
    out.extend_from_slice(b"\" height=\"");
    number(&mut out, height);
    out.extend_from_slice(b"\" fill=\"#ffffff\"/>\n<g class=\"pictures\" transform=\"translate(");
    number(&mut out, (width - set.picture.0 * set.share) / 2.0);
    out.push(b' ');
    number(&mut out, MARGIN);
    out.extend_from_slice(b") scale(");
    number(&mut out, set.share);
    out.extend_from_slice(b")\">\n");
    for (n, frame) in frames.iter().enumerate() {
        // Standing still, only the last is there.
        let still = if n + 1 == frames.len() {
            ""
        } else {
            " display=\"none\""
        };
        open(&mut out, n, "", still);
        svg::items(&mut out, &frame.sheet.items);
        out.extend_from_slice(b"</g>\n");
    }
    out.extend_from_slice(b"</g>\n");
    for (n, rows) in set.spoken.iter().enumerate() {
        open(&mut out, n, " spoken", " display=\"none\"");
        for row in rows {
            svg::lettering(&mut out, row);
        }
        out.extend_from_slice(b"</g>\n");
    }
    out.extend_from_slice(b"<g class=\"list\">\n");
    for row in &set.list {
        svg::lettering(&mut out, row);
    }
    out.extend_from_slice(b"</g>\n</svg>\n");
    String::from_utf8(out).expect("only whole characters are written")
}

/// Opens the group of a step.
fn open(out: &mut Vec<u8>, n: usize, more: &str, rest: &str) {
    out.extend_from_slice(format!("<g class=\"step s{n}{more}\"{rest}>\n").as_bytes());
}

/// The style sheet that makes it move, where it may.
///
/// * `left`: where the pictures stand at their full size, mm
fn motion(frames: &[Frame], left: f64) -> String {
    let times: Vec<f64> = frames
        .iter()
        .enumerate()
        .map(|(n, frame)| {
            let letters = frame.title.chars().count() + frame.sentence.chars().count();
            let pause = if n + 1 == frames.len() { PAUSE } else { 0.0 };
            LOOK + letters as f64 / LETTERS_A_SECOND + pause
        })
        .collect();
    let all: f64 = times.iter().sum();
    let mut css = String::from("@media screen and (prefers-reduced-motion: no-preference) {\n");
    let _ = writeln!(
        css,
        ".list {{ display: none; }}\n.pictures {{ transform: translate({left:.3}px, {MARGIN}px); }}"
    );
    let _ = writeln!(
        css,
        ".step {{ display: inline; visibility: hidden; animation-duration: {all:.2}s; animation-timing-function: step-end; animation-iteration-count: infinite; }}"
    );
    let mut from = 0.0;
    for (n, time) in times.iter().enumerate() {
        let (begin, end) = (from / all * 100.0, (from + time) / all * 100.0);
        from += time;
        let _ = writeln!(css, ".s{n} {{ animation-name: k{n}; }}");
        let _ = write!(css, "@keyframes k{n} {{ ");
        if n > 0 {
            let _ = write!(css, "0% {{ visibility: hidden; }} ");
        }
        let _ = write!(css, "{begin:.4}% {{ visibility: visible; }} ");
        if n + 1 < times.len() {
            let _ = write!(css, "{end:.4}% {{ visibility: hidden; }} ");
        }
        let _ = writeln!(css, "}}");
    }
    css += "}\n";
    css
}

/// Where everything stands.
struct Set {
    /// Of the whole.
    width: f64,
    height: f64,
    /// Of the pictures.
    picture: (f64, f64),
    /// How large the picture is where it stands still, as a share of its size.
    share: f64,
    /// For each step the rows of what is said with it.
    spoken: Vec<Vec<Text>>,
    /// All the sentences, in columns.
    list: Vec<Text>,
}

impl Set {
    fn of(frames: &[Frame]) -> Self {
        let largest = |size: fn(&Sheet) -> f64| {
            let sizes = frames.iter().map(|frame| size(frame.sheet));
            sizes.fold(0.0, f64::max)
        };
        let picture = (largest(|s| s.size_mm.0), largest(|s| s.size_mm.1));
        let width = picture.0.max(LEAST_WIDTH) + 2.0 * MARGIN;
        let inner = width - 2.0 * MARGIN;
        let rows: Vec<Vec<(String, Weight)>> = frames
            .iter()
            .enumerate()
            .map(|(n, frame)| rows(n, frame, inner, SPOKEN))
            .collect();
        let most = rows.iter().map(Vec::len).max().unwrap_or(0);
        let top = MARGIN + picture.1 + 2.0 * SPOKEN;
        let height = top + most as f64 * SPOKEN * ROW + MARGIN;
        let spoken = rows
            .into_iter()
            .map(|rows| {
                let rows = rows.into_iter().zip(0_u32..);
                rows.map(|((words, weight), row)| {
                    let y = top + SPOKEN + f64::from(row) * SPOKEN * ROW;
                    text(&words, Point::new(MARGIN, y), SPOKEN, weight)
                })
                .collect()
            })
            .collect();
        let (list, deep) = columns(frames, inner, LISTED);
        let room = height - 3.0 * MARGIN - deep;
        let share = (room / picture.1.max(1.0)).clamp(LEAST_SHARE, 1.0);
        // Many steps need more than the picture can give: then the list makes the whole longer.
        let list_top = 2.0 * MARGIN + picture.1 * share;
        let mut list = list;
        for row in &mut list {
            row.lettering.at.y += list_top;
        }
        Self {
            width,
            height: height.max(list_top + deep + MARGIN),
            picture,
            share,
            spoken,
            list,
        }
    }
}

/// All the sentences in columns, from the top at 0, and how deep they are.
fn columns(frames: &[Frame], inner: f64, height: f64) -> (Vec<Text>, f64) {
    let count = ((inner + GUTTER) / (COLUMN + GUTTER)).ceil().max(1.0);
    let column = (inner + GUTTER) / count - GUTTER;
    let blocks: Vec<Vec<(String, Weight)>> = frames
        .iter()
        .enumerate()
        .map(|(n, frame)| rows(n, frame, column, height))
        .collect();
    let lines = |block: &Vec<(String, Weight)>| block.len() as f64 + 0.5;
    let all: f64 = blocks.iter().map(lines).sum();
    // Columns of about the same depth: a block that begins before its column is full stands in it whole.
    let full = all / count;
    let (mut list, mut deepest) = (Vec::new(), 0.0_f64);
    let (mut at, mut row) = (0.0, 0.0);
    for block in &blocks {
        if row + lines(block) / 2.0 > full && at + 1.0 < count && row > 0.0 {
            (at, row) = (at + 1.0, 0.0);
        }
        for (words, weight) in block {
            let x = MARGIN + at * (column + GUTTER);
            list.push(text(
                words,
                Point::new(x, height + row * height * ROW),
                height,
                *weight,
            ));
            row += 1.0;
        }
        deepest = deepest.max(row);
        row += 0.5;
    }
    (list, deepest * height * ROW)
}

/// A step's number and title, then its sentence, broken into rows of a width.
fn rows(n: usize, frame: &Frame, width: f64, height: f64) -> Vec<(String, Weight)> {
    let title = format!("{}. {}", n + 1, frame.title);
    let mut rows = broken(&title, width, height, Weight::SemiBold);
    rows.extend(broken(frame.sentence, width, height, Weight::Regular));
    rows
}

/// Words broken into rows of a width; a word that is longer stands alone.
fn broken(text: &str, width: f64, height: f64, weight: Weight) -> Vec<(String, Weight)> {
    let mut rows: Vec<(String, Weight)> = Vec::new();
    for word in text.split_whitespace() {
        match rows.last_mut() {
            Some((row, _)) => {
                let longer = format!("{row} {word}");
                if lettering::width(&longer, height, weight) <= width {
                    *row = longer;
                } else {
                    rows.push((word.to_owned(), weight));
                }
            }
            None => rows.push((word.to_owned(), weight)),
        }
    }
    rows
}

/// One row of lettering.
fn text(words: &str, at: Point, height: f64, weight: Weight) -> Text {
    Text {
        class: "",
        data: Vec::new(),
        lettering: Lettering::new(words, at, height, weight),
        halo: false,
    }
}
