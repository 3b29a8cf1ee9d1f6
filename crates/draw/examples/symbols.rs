//! Writes a sheet of all symbols, each on a pipe along each of the three axes, as SVG to standard output.
//!
//!     cargo run -p wyeline-draw --example symbols > symbols.svg

use std::fmt::Write;

use glam::DVec3;
use wyeline_draw::ink::{Colour, Lettering, Stroke, Weight};
use wyeline_draw::lettering;
use wyeline_draw::picture::Symbol;
use wyeline_draw::symbol::{all_kinds, sample_along};

const COLUMN: f64 = 30.0;
const ROW: f64 = 26.0;

fn main() {
    let kinds = all_kinds();
    let boxes = std::env::args().any(|a| a == "--boxes");
    let per_row = 3;
    let rows = kinds.len().div_ceil(per_row);
    let (width, height) = (COLUMN * 4.2 * per_row as f64, ROW * rows as f64);
    let mut out = format!(
        "<svg xmlns='http://www.w3.org/2000/svg' width='{w}' height='{h}' viewBox='0 0 {width} {height}'><rect width='100%' height='100%' fill='white'/>\n",
        w = width * 5.0,
        h = height * 5.0,
    );
    for (i, kind) in kinds.iter().enumerate() {
        let (x, y) = (
            (i % per_row) as f64 * COLUMN * 4.2,
            (i / per_row) as f64 * ROW,
        );
        let _ = writeln!(
            out,
            "<text x='{}' y='{}' font-size='3' font-family='sans-serif'>{kind:?}</text>",
            x + 2.0,
            y + 4.0
        );
        for (k, way) in [DVec3::X, DVec3::Y, DVec3::Z].into_iter().enumerate() {
            let (dx, dy) = (x + COLUMN * (k as f64 + 0.8), y + ROW * 0.6);
            let _ = writeln!(out, "<g transform='translate({dx} {dy})'>");
            symbol(&mut out, &sample_along(*kind, way), boxes);
            out.push_str("</g>\n");
        }
    }
    out.push_str("</svg>\n");
    print!("{out}");
}

fn symbol(out: &mut String, symbol: &Symbol, boxes: bool) {
    for stroke in &symbol.strokes {
        path(out, stroke);
    }
    for letters in &symbol.letters {
        text(out, letters);
    }
    for b in symbol.boxes.iter().filter(|_| boxes) {
        let _ = writeln!(
            out,
            "<rect x='{}' y='{}' width='{}' height='{}' fill='none' stroke='red' stroke-width='0.08'/>",
            b.x0,
            b.y0,
            b.width(),
            b.height()
        );
    }
}

fn path(out: &mut String, stroke: &Stroke) {
    let hex = |c: Colour| format!("#{:02x}{:02x}{:02x}", c.0, c.1, c.2);
    let fill = stroke.fill.map_or("none".to_owned(), hex);
    let (line, width) = stroke
        .pen
        .map_or(("none".to_owned(), 0.0), |p| (hex(p.colour), p.width));
    let _ = writeln!(
        out,
        "<path d='{}' fill='{fill}' stroke='{line}' stroke-width='{width}' stroke-linejoin='round' stroke-linecap='round'/>",
        stroke.path.to_svg()
    );
}

fn text(out: &mut String, letters: &Lettering) {
    let weight = if letters.weight == Weight::SemiBold {
        600
    } else {
        400
    };
    let _ = writeln!(
        out,
        "<text x='{}' y='{}' font-size='{}' font-weight='{weight}' font-family='IBM Plex Sans Condensed' textLength='{}'>{}</text>",
        letters.at.x,
        letters.at.y,
        lettering::em(letters.height, letters.weight),
        letters.width,
        letters.text
    );
}
