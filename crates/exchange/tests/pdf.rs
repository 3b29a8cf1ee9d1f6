//! What the PDF of a set holds, read back by a PDF library of another make.

mod support;

use std::collections::BTreeSet;

use hayro_syntax::Pdf;
use hayro_syntax::object::{Dict, Object};
use wyeline_draw::ink::Pen;
use wyeline_exchange::pdf;
use wyeline_sheet::{Item, Options, Orientation, Paper};

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

/// Long and short edge of the papers, points: a US paper's inches times 72; an A size's millimetres (ISO 216) over 25.4
/// times 72.
const PAPERS: [(&str, (f64, f64)); 7] = [
    ("letter", (792.0, 612.0)),
    ("tabloid", (1224.0, 792.0)),
    ("arch-c", (1728.0, 1296.0)),
    ("arch-d", (2592.0, 1728.0)),
    ("a4", (297.0 * POINTS, 210.0 * POINTS)),
    ("a3", (420.0 * POINTS, 297.0 * POINTS)),
    ("a2", (594.0 * POINTS, 420.0 * POINTS)),
];

#[test]
fn no_paper_is_left_out_here() {
    let known: Vec<&str> = Paper::all()
        .iter()
        .map(|paper| paper.name.as_str())
        .collect();
    assert_eq!(known, PAPERS.map(|(name, _)| name));
}

#[test]
fn a_page_is_exactly_as_large_as_its_paper() {
    for (name, (long, short)) in PAPERS {
        let options = Options {
            paper: Paper::named(name),
            orientation: Some(Orientation::Landscape),
            ..support::quarter_inch()
        };
        let layout = support::layout(TWO_RISERS, &options);
        let pdf = Pdf::new(pdf(&layout.sheets).expect("written")).expect("sound");
        for page in pdf.pages().iter() {
            let page = page.media_box();
            assert!(
                (page.x1 - page.x0 - long).abs() < 1e-3 && (page.y1 - page.y0 - short).abs() < 1e-3,
                "{name}: {page:?}"
            );
        }
    }
}

/// Two equal risers 10 ft apart: what is drawn of one is drawn of the other, 10 ft further along the axis.
const TWO_RISERS: &str = "job Two risers\nunits ft-in\nlevel main floor 0' ceiling 8'\nroof 12'\n\
                          vent a\n  start 0',0' main floor +1'\n  up 6'\n  cap\n\
                          vent b\n  start 10',0' main floor +1'\n  up 6'\n  cap\n";

#[test]
fn ten_feet_are_as_long_as_the_scale_says_on_every_paper() {
    for (name, _) in PAPERS {
        // 10 ft at 1/4 in a foot are 2-1/2 in, 180 points; a ratio is what the foot's 12 in are divided by.
        for ratio in [48_u32, 96] {
            let options = Options {
                paper: Paper::named(name),
                scale: Some(wyeline_units::Scale(ratio)),
                ..support::quarter_inch()
            };
            let layout = support::layout(TWO_RISERS, &options);
            let pdf = Pdf::new(pdf(&layout.sheets).expect("written")).expect("sound");
            let along = 10.0 * 12.0 * 72.0 / f64::from(ratio);
            // The axis rises 30 degrees. A riser of 6 ft is 6/10 of that; at least a third stays free of symbols.
            let (across, up) = (along * 30_f64.to_radians().cos(), along / 2.0);
            let risers: Vec<_> = lines(&pdf)
                .into_iter()
                .filter(|[a, b]| (a.0 - b.0).abs() < 1e-3 && (a.1 - b.1).abs() > 0.2 * along)
                .collect();
            let found = risers.iter().any(|[a, b]| {
                risers.iter().any(|[c, d]| {
                    [(a, c), (b, d)].iter().all(|(p, q)| {
                        (q.0 - p.0 - across).abs() < 0.01 && ((q.1 - p.1).abs() - up).abs() < 0.01
                    })
                })
            });
            assert!(found, "{name} 1:{ratio}: {risers:?}");
        }
    }
}

/// All pens of a sheet, in its strokes.
fn pens(items: &[Item], found: &mut Vec<Pen>) {
    for item in items {
        match item {
            Item::Stroke(mark) => found.extend(mark.stroke.pen),
            Item::Group(group) => pens(&group.items, found),
            Item::Text(_) => {}
        }
    }
}

/// What `w` (line width) and `d` (dash pattern) set in the page's content (ISO 32000-1, table 57), in hundredths of a
/// point.
#[test]
fn pens_and_patterns_are_as_wide_and_long_as_on_the_sheet() {
    let layout = support::layout(TWO_RISERS, &support::quarter_inch());
    let hundredths = |points: f64| (points * 100.0).round() as i64;
    let mut wanted = Vec::new();
    pens(&layout.sheets[0].items, &mut wanted);
    let widths: BTreeSet<i64> = wanted
        .iter()
        .map(|pen| hundredths(pen.width * POINTS))
        .collect();
    let patterns: BTreeSet<Vec<i64>> = wanted
        .iter()
        .map(|pen| {
            pen.pattern
                .lengths()
                .iter()
                .map(|mm| hundredths(mm * POINTS))
                .collect()
        })
        .collect();
    assert!(
        widths.len() > 3 && patterns.len() > 1,
        "{widths:?} {patterns:?}"
    );
    let pdf = Pdf::new(pdf(&layout.sheets).expect("written")).expect("sound");
    let stream =
        String::from_utf8_lossy(pdf.pages()[0].page_stream().expect("drawn on")).into_owned();
    let stream = stream.replace(['[', ']'], " ");
    let (mut found_widths, mut found_patterns, mut numbers) =
        (BTreeSet::new(), BTreeSet::new(), Vec::new());
    for word in stream.split_ascii_whitespace() {
        if let Ok(number) = word.parse::<f64>() {
            numbers.push(number);
            continue;
        }
        match word {
            "w" => found_widths.extend(numbers.last().copied().map(hundredths)),
            // The lengths, then where in the pattern to begin.
            "d" => {
                found_patterns.insert(
                    numbers[..numbers.len() - 1]
                        .iter()
                        .copied()
                        .map(hundredths)
                        .collect(),
                );
            }
            _ => {}
        }
        numbers.clear();
    }
    // Without a pattern, nothing need be said.
    found_patterns.insert(Vec::new());
    assert_eq!(found_widths, widths);
    assert_eq!(found_patterns, patterns);
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
