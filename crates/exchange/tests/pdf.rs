//! What the PDF of a set holds, read back by a PDF library of another make.

mod support;

use hayro_syntax::Pdf;
use hayro_syntax::object::{Dict, Object};
use wyeline_exchange::pdf;

/// Points in a millimetre.
const POINTS: f64 = 72.0 / 25.4;

/// The straight lines of a page: pairs of points, in points.
fn lines(pdf: &Pdf) -> Vec<[(f64, f64); 2]> {
    let page = &pdf.pages()[0];
    let stream = String::from_utf8_lossy(page.page_stream().expect("drawn on")).into_owned();
    let mut lines = Vec::new();
    let (mut numbers, mut at) = (Vec::new(), (0.0, 0.0));
    for word in stream.split_ascii_whitespace() {
        if let Ok(number) = word.parse::<f64>() {
            numbers.push(number);
            continue;
        }
        if let [.., x, y] = numbers[..] {
            match word {
                "m" => at = (x, y),
                "l" => {
                    lines.push([at, (x, y)]);
                    at = (x, y);
                }
                _ => {}
            }
        }
        numbers.clear();
    }
    lines
}

fn written() -> Pdf {
    Pdf::new(pdf(&support::ten_feet().sheets).expect("written")).expect("sound")
}

#[test]
fn a_page_is_exactly_as_large_as_its_paper() {
    let pdf = written();
    let page = pdf.pages()[0].media_box();
    // 11 x 17 in: 1224 x 792 points.
    assert!(
        (page.x1 - page.x0 - 1224.0).abs() < 1e-3 && (page.y1 - page.y0 - 792.0).abs() < 1e-3,
        "{page:?}"
    );
}

#[test]
fn ten_feet_at_a_quarter_inch_are_a_hundred_and_eighty_points() {
    // Two equal risers 10 ft apart: what is drawn of one is drawn of the other, 10 ft further along the axis.
    let text = "job Two risers\nunits ft-in\nlevel main floor 0' ceiling 8'\nroof 12'\n\
                vent a\n  start 0',0' main floor +1'\n  up 6'\n  cap\n\
                vent b\n  start 10',0' main floor +1'\n  up 6'\n  cap\n";
    let layout = support::layout(text, &support::quarter_inch());
    let pdf = Pdf::new(pdf(&layout.sheets).expect("written")).expect("sound");
    // 10 ft at 1/4 in a foot are 2-1/2 in, 180 points, along an axis at 30 degrees: 180 cos 30 across, 90 up.
    // A riser of 6 ft is 108 points; at least half of it stays free of symbols.
    let across = 180.0 * 30_f64.to_radians().cos();
    let risers: Vec<_> = lines(&pdf)
        .into_iter()
        .filter(|[a, b]| (a.0 - b.0).abs() < 1e-3 && (a.1 - b.1).abs() > 54.0)
        .collect();
    let found = risers.iter().any(|[a, b]| {
        risers.iter().any(|[c, d]| {
            [(a, c), (b, d)].iter().all(|(p, q)| {
                (q.0 - p.0 - across).abs() < 0.01 && ((q.1 - p.1).abs() - 90.0).abs() < 0.01
            })
        })
    });
    assert!(found, "{risers:?}");
}

#[test]
fn the_check_bar_is_as_long_as_it_says() {
    // 4 in = 288 points, level.
    let found = lines(&written())
        .into_iter()
        .any(|[a, b]| ((b.0 - a.0).abs() - 288.0).abs() < 0.01 && a.1 == b.1);
    assert!(found);
}

#[test]
fn a_metric_check_bar_is_a_hundred_millimetres() {
    let text = "job Metric\nunits mm\nlevel main floor 0 ceiling 2400\nroof 3000\n\
                vent v\n  start 0,0 main floor +300\n  up 1200\n  cap\n";
    let layout = support::layout(text, &wyeline_sheet::Options::default());
    let pdf = Pdf::new(pdf(&layout.sheets).expect("written")).expect("sound");
    let found = lines(&pdf)
        .into_iter()
        .any(|[a, b]| ((b.0 - a.0).abs() - 100.0 * POINTS).abs() < 0.01 && a.1 == b.1);
    assert!(found);
}

#[test]
fn every_font_used_is_embedded() {
    let pdf = written();
    let dicts: Vec<Dict> = pdf
        .objects()
        .into_iter()
        .filter_map(|object| match object {
            Object::Dict(dict) => Some(dict),
            _ => None,
        })
        .collect();
    let descriptors: Vec<&Dict> = dicts
        .iter()
        .filter(|d| d.contains_key(&b"FontName"[..]) && d.contains_key(&b"Flags"[..]))
        .collect();
    // Regular and semi-bold are both on the sheet.
    assert_eq!(descriptors.len(), 2);
    for descriptor in descriptors {
        assert!(
            descriptor.contains_key(&b"FontFile2"[..])
                || descriptor.contains_key(&b"FontFile3"[..])
        );
    }
}

#[test]
fn all_sheets_are_in_one_file() {
    let mut sheets = support::ten_feet().sheets;
    sheets.extend(sheets.clone());
    let count = sheets.len();
    let pdf = Pdf::new(pdf(&sheets).expect("written")).expect("sound");
    assert_eq!(pdf.pages().len(), count);
}

#[test]
fn the_same_sheets_give_the_same_bytes() {
    assert_eq!(
        pdf(&support::ten_feet().sheets),
        pdf(&support::ten_feet().sheets)
    );
}

#[test]
fn nothing_to_write_is_refused() {
    assert_eq!(pdf(&[]), Err(wyeline_exchange::pdf::PdfError::NoPage));
}
