//! A [`Sheet`] as SVG 1.1 text: one user unit is one millimetre of paper, width and height are given in millimetres.
//!
//! Written straight into one run of bytes. Lettering carries its measured length, so that a viewer without
//! the project's font keeps every label inside the place kept clear for it.

use kurbo::PathEl;
use wyeline_draw::ink::{Colour, Pen, Weight};
use wyeline_sheet::{Datum, Group, Item, Mark, Sheet, Text};

use crate::halo;
use crate::number::{colour, number, whole, words};

/// Returns a sheet as a complete SVG document.
pub fn svg(sheet: &Sheet) -> String {
    let mut out = Vec::with_capacity(64 * 1024);
    let (width, height) = sheet.size_mm;
    out.extend_from_slice(b"<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"");
    number(&mut out, width);
    out.extend_from_slice(b"mm\" height=\"");
    number(&mut out, height);
    out.extend_from_slice(b"mm\" viewBox=\"0 0 ");
    number(&mut out, width);
    out.push(b' ');
    number(&mut out, height);
    out.extend_from_slice(b"\" role=\"img\" aria-labelledby=\"sheet-");
    whole(&mut out, sheet.number.into());
    out.extend_from_slice(b"-title sheet-");
    whole(&mut out, sheet.number.into());
    out.extend_from_slice(
        b"-desc\" fill=\"none\" stroke-linejoin=\"round\" font-family=\"&quot;IBM Plex Sans Condensed&quot;, \
         &quot;Arial Narrow&quot;, sans-serif\" style=\"font-kerning:none;font-variant-ligatures:none\">\n<title id=\"sheet-",
    );
    whole(&mut out, sheet.number.into());
    out.extend_from_slice(b"-title\">");
    words(&mut out, &sheet.title);
    out.extend_from_slice(b"</title>\n<desc id=\"sheet-");
    whole(&mut out, sheet.number.into());
    out.extend_from_slice(b"-desc\">");
    words(&mut out, &sheet.description);
    out.extend_from_slice(b"</desc>\n<rect class=\"paper\" width=\"");
    number(&mut out, width);
    out.extend_from_slice(b"\" height=\"");
    number(&mut out, height);
    out.extend_from_slice(b"\" fill=\"#ffffff\"/>\n");
    closed(out, sheet)
}

/// Returns a sheet as an element to be set into a page of ours, which styles it: no sizes but the view box, no title of
/// its own, no style that a strict content policy would refuse, no white behind.
pub fn svg_in_page(sheet: &Sheet) -> String {
    let mut out = Vec::with_capacity(64 * 1024);
    let (width, height) = sheet.size_mm;
    out.extend_from_slice(b"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 ");
    number(&mut out, width);
    out.push(b' ');
    number(&mut out, height);
    out.extend_from_slice(b"\" fill=\"none\" stroke-linejoin=\"round\">\n");
    closed(out, sheet)
}

/// Writes what stands on the sheet, and the end.
fn closed(mut out: Vec<u8>, sheet: &Sheet) -> String {
    items(&mut out, &sheet.items);
    out.extend_from_slice(b"</svg>\n");
    String::from_utf8(out).expect("only whole characters are written")
}

/// Writes items in drawing order.
pub(crate) fn items(out: &mut Vec<u8>, items: &[Item]) {
    for item in items {
        match item {
            Item::Stroke(mark) => path(out, mark),
            Item::Text(text) => lettering(out, text),
            Item::Group(group) => self::group(out, group),
        }
    }
}

/// Writes a group with what is told along.
fn group(out: &mut Vec<u8>, group: &Group) {
    out.extend_from_slice(b"<g");
    class(out, group.class);
    data(out, &group.data);
    out.extend_from_slice(b">\n");
    if let Some(title) = &group.title {
        out.extend_from_slice(b"<title>");
        words(out, title);
        out.extend_from_slice(b"</title>\n");
    }
    items(out, &group.items);
    out.extend_from_slice(b"</g>\n");
}

/// Writes a path with its pen and fill.
fn path(out: &mut Vec<u8>, mark: &Mark) {
    out.extend_from_slice(b"<path");
    class(out, mark.class);
    shape(out, mark.stroke.path.elements());
    if let Some(fill) = mark.stroke.fill {
        paint(out, "fill", fill);
    }
    if let Some(pen) = mark.stroke.pen {
        self::pen(out, pen);
    }
    out.extend_from_slice(b"/>\n");
}

/// Writes the shape of a path.
fn shape(out: &mut Vec<u8>, elements: &[PathEl]) {
    out.extend_from_slice(b" d=\"");
    for (i, element) in elements.iter().enumerate() {
        if i > 0 {
            out.push(b' ');
        }
        match *element {
            PathEl::MoveTo(p) => points(out, "M", &[p]),
            PathEl::LineTo(p) => points(out, "L", &[p]),
            PathEl::QuadTo(a, p) => points(out, "Q", &[a, p]),
            PathEl::CurveTo(a, b, p) => points(out, "C", &[a, b, p]),
            PathEl::ClosePath => out.push(b'Z'),
        }
    }
    out.push(b'"');
}

/// Writes a path letter and its points.
fn points(out: &mut Vec<u8>, letter: &str, points: &[kurbo::Point]) {
    out.extend_from_slice(letter.as_bytes());
    for p in points {
        out.push(b' ');
        number(out, p.x);
        out.push(b' ');
        number(out, p.y);
    }
}

/// Writes what a pen needs.
fn pen(out: &mut Vec<u8>, pen: Pen) {
    paint(out, "stroke", pen.colour);
    measure(out, "stroke-width", pen.width);
    let pattern = pen.pattern.lengths();
    if !pattern.is_empty() {
        out.extend_from_slice(b" stroke-dasharray=\"");
        for (i, length) in pattern.iter().enumerate() {
            if i > 0 {
                out.push(b' ');
            }
            number(out, *length);
        }
        out.push(b'"');
    }
}

/// Writes one line of lettering, on white where it asks for that.
pub(crate) fn lettering(out: &mut Vec<u8>, text: &Text) {
    let letters = &text.lettering;
    if text.halo {
        out.extend_from_slice(b"<path class=\"halo\"");
        shape(out, &halo::outline(letters));
        paint(out, "fill", Colour::WHITE);
        out.extend_from_slice(b"/>\n");
    }
    out.extend_from_slice(b"<text");
    class(out, text.class);
    data(out, &text.data);
    if has_wide_blanks(&letters.text) {
        // On the words themselves: browsers take the blanks of each text as plain again, whatever is said further out.
        out.extend_from_slice(b" xml:space=\"preserve\"");
    }
    measure(out, "x", letters.at.x);
    measure(out, "y", letters.at.y);
    if letters.angle != 0.0 {
        out.extend_from_slice(b" transform=\"rotate(");
        number(out, letters.angle);
        out.push(b' ');
        number(out, letters.at.x);
        out.push(b' ');
        number(out, letters.at.y);
        out.extend_from_slice(b")\"");
    }
    measure(
        out,
        "font-size",
        wyeline_draw::lettering::em(letters.height, letters.weight),
    );
    if letters.weight == Weight::SemiBold {
        out.extend_from_slice(b" font-weight=\"600\"");
    }
    if letters.width > 0.0 {
        measure(out, "textLength", letters.width);
        out.extend_from_slice(b" lengthAdjust=\"spacingAndGlyphs\"");
    }
    paint(out, "fill", letters.colour);
    out.push(b'>');
    words(out, &letters.text);
    out.extend_from_slice(b"</text>\n");
}

/// Whether a reader that folds blanks would shorten the words.
fn has_wide_blanks(text: &str) -> bool {
    let blank = |c: char| c.is_ascii_whitespace();
    let mut before = true;
    for c in text.chars() {
        if before && blank(c) {
            return true;
        }
        before = blank(c);
    }
    before && !text.is_empty()
}

/// Writes a class, where there is one.
fn class(out: &mut Vec<u8>, class: &str) {
    if !class.is_empty() {
        out.extend_from_slice(b" class=\"");
        out.extend_from_slice(class.as_bytes());
        out.push(b'"');
    }
}

/// Writes `data-` attributes.
fn data(out: &mut Vec<u8>, data: &[(&'static str, Datum)]) {
    for (name, value) in data {
        out.extend_from_slice(b" data-");
        out.extend_from_slice(name.as_bytes());
        out.extend_from_slice(b"=\"");
        match value {
            Datum::Word(word) => out.extend_from_slice(word.as_bytes()),
            Datum::Text(text) => words(out, text),
            Datum::Count(count) => whole(out, u64::from(*count)),
            Datum::Measure(mm) => number(out, *mm),
            Datum::Pair(a, b) => {
                number(out, *a);
                out.push(b' ');
                number(out, *b);
            }
        }
        out.push(b'"');
    }
}

/// Writes a measure attribute.
fn measure(out: &mut Vec<u8>, name: &str, value: f64) {
    out.push(b' ');
    out.extend_from_slice(name.as_bytes());
    out.extend_from_slice(b"=\"");
    number(out, value);
    out.push(b'"');
}

/// Writes a colour attribute.
fn paint(out: &mut Vec<u8>, name: &str, value: Colour) {
    out.push(b' ');
    out.extend_from_slice(name.as_bytes());
    out.extend_from_slice(b"=\"");
    colour(out, value);
    out.push(b'"');
}
