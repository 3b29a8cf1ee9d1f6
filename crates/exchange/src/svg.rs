//! A [`Sheet`] as SVG 1.1 text: one user unit is one millimetre of paper, width and height are given in millimetres.
//!
//! Written straight into one string. Lettering carries its measured length, so that a viewer without
//! the project's font keeps every label inside the place kept clear for it.

use kurbo::PathEl;
use wyeline_draw::ink::{Colour, Pen, Weight};
use wyeline_sheet::{Datum, Group, Item, Mark, Sheet, Text};

use crate::halo;
use crate::number::{colour, number, whole, words};

/// Returns a sheet as a complete SVG document.
pub fn svg(sheet: &Sheet) -> String {
    let mut out = String::with_capacity(64 * 1024);
    let (width, height) = sheet.size_mm;
    out.push_str("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"");
    number(&mut out, width);
    out.push_str("mm\" height=\"");
    number(&mut out, height);
    out.push_str("mm\" viewBox=\"0 0 ");
    number(&mut out, width);
    out.push(' ');
    number(&mut out, height);
    out.push_str("\" role=\"img\" aria-labelledby=\"sheet-");
    whole(&mut out, sheet.number.into());
    out.push_str("-title sheet-");
    whole(&mut out, sheet.number.into());
    out.push_str(
        "-desc\" fill=\"none\" stroke-linejoin=\"round\" font-family=\"&quot;IBM Plex Sans Condensed&quot;, \
         &quot;Arial Narrow&quot;, sans-serif\" style=\"font-kerning:none;font-variant-ligatures:none\">\n<title id=\"sheet-",
    );
    whole(&mut out, sheet.number.into());
    out.push_str("-title\">");
    words(&mut out, &sheet.title);
    out.push_str("</title>\n<desc id=\"sheet-");
    whole(&mut out, sheet.number.into());
    out.push_str("-desc\">");
    words(&mut out, &sheet.description);
    out.push_str("</desc>\n<rect class=\"paper\" width=\"");
    number(&mut out, width);
    out.push_str("\" height=\"");
    number(&mut out, height);
    out.push_str("\" fill=\"#ffffff\"/>\n");
    items(&mut out, &sheet.items);
    out.push_str("</svg>\n");
    out
}

/// Writes items in drawing order.
fn items(out: &mut String, items: &[Item]) {
    for item in items {
        match item {
            Item::Stroke(mark) => path(out, mark),
            Item::Text(text) => lettering(out, text),
            Item::Group(group) => self::group(out, group),
        }
    }
}

/// Writes a group with what is told along.
fn group(out: &mut String, group: &Group) {
    out.push_str("<g");
    class(out, group.class);
    data(out, &group.data);
    out.push_str(">\n");
    if let Some(title) = &group.title {
        out.push_str("<title>");
        words(out, title);
        out.push_str("</title>\n");
    }
    items(out, &group.items);
    out.push_str("</g>\n");
}

/// Writes a path with its pen and fill.
fn path(out: &mut String, mark: &Mark) {
    out.push_str("<path");
    class(out, mark.class);
    shape(out, mark.stroke.path.elements());
    if let Some(fill) = mark.stroke.fill {
        paint(out, "fill", fill);
    }
    if let Some(pen) = mark.stroke.pen {
        self::pen(out, pen);
    }
    out.push_str("/>\n");
}

/// Writes the shape of a path.
fn shape(out: &mut String, elements: &[PathEl]) {
    out.push_str(" d=\"");
    for (i, element) in elements.iter().enumerate() {
        if i > 0 {
            out.push(' ');
        }
        match *element {
            PathEl::MoveTo(p) => points(out, "M", &[p]),
            PathEl::LineTo(p) => points(out, "L", &[p]),
            PathEl::QuadTo(a, p) => points(out, "Q", &[a, p]),
            PathEl::CurveTo(a, b, p) => points(out, "C", &[a, b, p]),
            PathEl::ClosePath => out.push('Z'),
        }
    }
    out.push('"');
}

/// Writes a path letter and its points.
fn points(out: &mut String, letter: &str, points: &[kurbo::Point]) {
    out.push_str(letter);
    for p in points {
        out.push(' ');
        number(out, p.x);
        out.push(' ');
        number(out, p.y);
    }
}

/// Writes what a pen needs.
fn pen(out: &mut String, pen: Pen) {
    paint(out, "stroke", pen.colour);
    measure(out, "stroke-width", pen.width);
    let pattern = pen.pattern.lengths();
    if !pattern.is_empty() {
        out.push_str(" stroke-dasharray=\"");
        for (i, length) in pattern.iter().enumerate() {
            if i > 0 {
                out.push(' ');
            }
            number(out, *length);
        }
        out.push('"');
    }
}

/// Writes one line of lettering, on white where it asks for that.
fn lettering(out: &mut String, text: &Text) {
    let letters = &text.lettering;
    if text.halo {
        out.push_str("<path class=\"halo\"");
        shape(out, &halo::outline(letters));
        paint(out, "fill", Colour::WHITE);
        out.push_str("/>\n");
    }
    out.push_str("<text");
    class(out, text.class);
    data(out, &text.data);
    if has_wide_blanks(&letters.text) {
        // On the words themselves: browsers take the blanks of each text as plain again, whatever is said further out.
        out.push_str(" xml:space=\"preserve\"");
    }
    measure(out, "x", letters.at.x);
    measure(out, "y", letters.at.y);
    if letters.angle != 0.0 {
        out.push_str(" transform=\"rotate(");
        number(out, letters.angle);
        out.push(' ');
        number(out, letters.at.x);
        out.push(' ');
        number(out, letters.at.y);
        out.push_str(")\"");
    }
    measure(
        out,
        "font-size",
        wyeline_draw::lettering::em(letters.height, letters.weight),
    );
    if letters.weight == Weight::SemiBold {
        out.push_str(" font-weight=\"600\"");
    }
    if letters.width > 0.0 {
        measure(out, "textLength", letters.width);
        out.push_str(" lengthAdjust=\"spacingAndGlyphs\"");
    }
    paint(out, "fill", letters.colour);
    out.push('>');
    words(out, &letters.text);
    out.push_str("</text>\n");
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
fn class(out: &mut String, class: &str) {
    if !class.is_empty() {
        out.push_str(" class=\"");
        out.push_str(class);
        out.push('"');
    }
}

/// Writes `data-` attributes.
fn data(out: &mut String, data: &[(&'static str, Datum)]) {
    for (name, value) in data {
        out.push_str(" data-");
        out.push_str(name);
        out.push_str("=\"");
        match value {
            Datum::Word(word) => out.push_str(word),
            Datum::Text(text) => words(out, text),
            Datum::Count(count) => whole(out, u64::from(*count)),
            Datum::Measure(mm) => number(out, *mm),
            Datum::Pair(a, b) => {
                number(out, *a);
                out.push(' ');
                number(out, *b);
            }
        }
        out.push('"');
    }
}

/// Writes a measure attribute.
fn measure(out: &mut String, name: &str, value: f64) {
    out.push(' ');
    out.push_str(name);
    out.push_str("=\"");
    number(out, value);
    out.push('"');
}

/// Writes a colour attribute.
fn paint(out: &mut String, name: &str, value: Colour) {
    out.push(' ');
    out.push_str(name);
    out.push_str("=\"");
    colour(out, value);
    out.push('"');
}
