//! The printed sheets: within the paper, black and white, one over the other exactly, no words over words.
//!
//! `SHEETS=FOLDER cargo test -p wyeline-lesson --test sheets` writes them there as PNG and PDF, to be looked at.

use std::collections::BTreeSet;

use glam::DVec3;
use kurbo::{PathEl, Point, Rect, Shape};
use wyeline_draw::Corner;
use wyeline_draw::ink::{Colour, Lettering};
use wyeline_draw::lettering;
use wyeline_lesson::exercise::{Exercise, Subject};
use wyeline_lesson::figure::{Figure, Line, Role};
use wyeline_lesson::sheets::{self, Deduction, Heading, Rubric, Set, SheetsError};
use wyeline_lesson::{Code, Level, solid};
use wyeline_sheet::{Group, Item, Sheet};
use wyeline_units::Scale;
use wyeline_whole::Built;

/// An exercise made of the text of a job.
fn of_job(title: &str, level: u8, text: &str, corner: Corner) -> Exercise {
    let built = Built::of(text.as_bytes(), |_| ());
    assert!(!built.has_mistakes(), "{title}: {:?}", built.diagnostics);
    let network = &built.network;
    let lines = network.pipes.iter().map(|pipe| {
        let (from, to) = network.drawn(pipe);
        Line {
            from,
            to,
            role: Role::Pipe(pipe.system),
            part: String::new(),
            pipe: None,
        }
    });
    let figure = Figure {
        lines: lines.collect(),
        ..Figure::default()
    };
    let metric = network.units.is_metric();
    let scale = sheets::scale(&figure, corner, metric).expect("it fits a sheet");
    Exercise {
        code: None,
        title: title.to_owned(),
        brief: Level::new(level).expect("a level").facts().brief.clone(),
        text: text.to_owned(),
        subject: Subject::Pipes(Box::new(built)),
        corner,
        scale,
        pitch_mm: sheets::pitch_mm(metric),
        figure,
    }
}

fn shipped(name: &str, level: u8, corner: Corner) -> Exercise {
    let (_, text) = wyeline_whole::examples::ALL
        .iter()
        .find(|(known, _)| *known == name)
        .expect("it is shipped");
    of_job(name, level, text, corner)
}

fn block(practice: &str, seed: u32) -> Exercise {
    let code = Code::new(Level::new(1).expect("a level"), practice, seed, 0).expect("a code");
    solid::exercise(code).expect("blocks are level 1")
}

fn rubric() -> Rubric {
    let heading = |name: &str, weight, faults: &[(&str, f64, Option<f64>)]| Heading {
        name: name.to_owned(),
        weight,
        deductions: faults
            .iter()
            .map(|(words, points, most)| Deduction {
                words: (*words).to_owned(),
                points: *points,
                most: *most,
            })
            .collect(),
    };
    Rubric {
        source: "Weights of a published plumbing contractor examination (Florida, five isometric drawings).".to_owned(),
        headings: vec![
            heading("legibility", 8.0, &[("letters smaller than 3/32 in, or over lines", 2.0, Some(8.0))]),
            heading("orientation", 20.0, &[("east and west swapped", 20.0, None), ("drawn from another corner than the one declared", 10.0, None)]),
            heading("flow", 12.0, &[("arrow missing or the wrong way where pipe turns from upright to level, or at a fixture", 3.0, Some(12.0))]),
            heading("angles", 8.0, &[("level pipe drawn level on paper", 4.0, None), ("45 drawn at 45 degrees on paper", 4.0, None)]),
            heading("piping", 20.0, &[("pipe missing", 5.0, Some(20.0)), ("drop missing at a fixture", 4.0, None), ("wrong length", 2.0, Some(10.0)), ("trap left out", 3.0, None)]),
            heading("labels", 4.0, &[("letters missing or wrong", 1.0, Some(4.0))]),
            heading("vents", 16.0, &[("vent missing", 8.0, None), ("vent joined below the flood rim", 8.0, None)]),
            heading("fixtures", 12.0, &[("fixture missing", 4.0, Some(12.0))]),
        ],
    }
}

/// Sets of each kind that are looked at.
fn sets() -> Vec<(&'static str, Exercise)> {
    vec![
        ("block", block("ipc-2021", 3)),
        ("block-metric", block("en-12056", 5)),
        ("half-bath", shipped("half-bath", 5, Corner::Sw)),
        ("attic-bath", shipped("attic-bath", 5, Corner::Se)),
        ("flat-bath", shipped("flat-bath", 5, Corner::Sw)),
        (
            "family-bath-water",
            shipped("family-bath-water", 6, Corner::Sw),
        ),
    ]
}

fn made(name: &str, exercise: &Exercise) -> Set {
    sheets::set(exercise, &rubric()).unwrap_or_else(|error| panic!("{name}: {error}"))
}

/// Every stroke with its class, and every lettering, of things on a page.
fn walk<'a>(
    items: &'a [Item],
    marks: &mut Vec<&'a wyeline_sheet::Mark>,
    words: &mut Vec<&'a Lettering>,
) {
    for item in items {
        match item {
            Item::Stroke(mark) => marks.push(mark),
            Item::Text(text) => words.push(&text.lettering),
            Item::Group(group) => walk(&group.items, marks, words),
        }
    }
}

fn everything(sheet: &Sheet) -> (Vec<&wyeline_sheet::Mark>, Vec<&Lettering>) {
    let (mut marks, mut words) = (Vec::new(), Vec::new());
    walk(&sheet.items, &mut marks, &mut words);
    (marks, words)
}

fn group<'a>(items: &'a [Item], class: &str) -> Option<&'a Group> {
    items.iter().find_map(|item| match item {
        Item::Group(group) if group.class == class => Some(group),
        Item::Group(inner) => group(&inner.items, class),
        _ => None,
    })
}

/// The box of level lettering, from its highest to its lowest outline.
fn box_of(l: &Lettering) -> Rect {
    let extent = lettering::extent(&l.text, l.height, l.weight);
    Rect::new(
        l.at.x,
        l.at.y - extent.above,
        l.at.x + extent.width,
        l.at.y + extent.below,
    )
}

/// The straight lines of a path.
fn segments(path: &kurbo::BezPath) -> Vec<(Point, Point)> {
    let mut lines = Vec::new();
    let mut at = Point::ZERO;
    for element in path.elements() {
        match element {
            PathEl::MoveTo(p) => at = *p,
            PathEl::LineTo(p) => {
                lines.push((at, *p));
                at = *p;
            }
            _ => {}
        }
    }
    lines
}

#[test]
fn a_set_is_one_page_each_and_numbered() {
    for (name, exercise) in sets() {
        let all = made(name, &exercise).into_sheets();
        // Plan, grid, key, keys, marking; two plans where the words of two storeys find no room on one page.
        let plans = if name == "half-bath" || name == "family-bath-water" {
            2
        } else {
            1
        };
        assert_eq!(all.len(), plans + 4, "{name}");
        let metric = matches!(name, "flat-bath" | "block-metric");
        for (number, sheet) in (1..).zip(&all) {
            assert_eq!(
                (sheet.number, sheet.count),
                (number, all.len() as u32),
                "{name}"
            );
            // 8 1/2 x 11 in, or A4 by ISO 216.
            let (short, long) = if metric {
                (210.0, 297.0)
            } else {
                (8.5 * 25.4, 11.0 * 25.4)
            };
            let (width, height) = sheet.size_mm;
            assert!(
                (width.min(height) - short).abs() < 1e-9 && (width.max(height) - long).abs() < 1e-9,
                "{name}: {:?}",
                sheet.size_mm
            );
            assert!(
                everything(sheet)
                    .1
                    .iter()
                    .any(|words| words.text.contains("not for")),
                "{name}, sheet {number}"
            );
        }
    }
}

#[test]
fn everything_lies_within_the_paper_in_black_on_white_and_thick_enough_to_be_copied() {
    for (name, exercise) in sets() {
        for sheet in made(name, &exercise).into_sheets() {
            // A printer leaves a quarter of an inch at the edge white.
            let paper = Rect::from_origin_size(Point::ZERO, sheet.size_mm).inset(-6.35);
            let (marks, words) = everything(&sheet);
            for mark in marks {
                let half = mark.stroke.pen.map_or(0.0, |pen| pen.width / 2.0);
                let bounds = mark.stroke.path.bounding_box().inflate(half, half);
                assert!(
                    paper.union(bounds) == paper,
                    "{name}, {}: {} {bounds:?}",
                    sheet.title,
                    mark.class
                );
                for colour in [mark.stroke.pen.map(|pen| pen.colour), mark.stroke.fill]
                    .into_iter()
                    .flatten()
                {
                    assert!(
                        [Colour::BLACK, Colour::WHITE].contains(&colour),
                        "{name}: {colour:?}"
                    );
                }
                assert!(
                    mark.stroke.pen.is_none_or(|pen| pen.width >= 0.18),
                    "{name}: {}",
                    mark.class
                );
            }
            for words in words {
                assert!(
                    paper.union(box_of(words)) == paper,
                    "{name}, {}: {}",
                    sheet.title,
                    words.text
                );
                assert_eq!(words.colour, Colour::BLACK, "{name}: {}", words.text);
            }
        }
    }
}

#[test]
fn no_words_stand_on_others() {
    for (name, exercise) in sets() {
        for sheet in made(name, &exercise).into_sheets() {
            let (_, words) = everything(&sheet);
            for (i, a) in words.iter().enumerate() {
                for b in &words[i + 1..] {
                    let shared = box_of(a).intersect(box_of(b));
                    assert!(
                        shared.width() < 0.05 || shared.height() < 0.05,
                        "{name}, {}: {:?} at {:?} on {:?} at {:?}",
                        sheet.title,
                        a.text,
                        a.at,
                        b.text,
                        b.at
                    );
                }
            }
        }
    }
}

/// The lines of a grid by their direction in degrees: distances from the upper left corner of the paper, ascending.
fn families(sheet: &Sheet) -> Vec<(i64, Vec<f64>)> {
    let grid = group(&sheet.items, "grid").expect("a grid");
    let mut found: std::collections::BTreeMap<i64, Vec<f64>> = std::collections::BTreeMap::new();
    for item in &grid.items {
        let Item::Stroke(mark) = item else { continue };
        if mark.class != "line" {
            continue;
        }
        for (a, b) in segments(&mark.stroke.path) {
            let way = (b - a).normalize();
            let way = if way.x < -1e-9 || (way.x.abs() <= 1e-9 && way.y < 0.0) {
                -way
            } else {
                way
            };
            let degrees = way.y.atan2(way.x).to_degrees().round() as i64;
            found
                .entry(degrees)
                .or_default()
                .push(way.cross(a.to_vec2()));
        }
    }
    let sorted = |mut lines: Vec<f64>| {
        lines.sort_by(f64::total_cmp);
        // A line is drawn in pieces.
        lines.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        lines
    };
    found
        .into_iter()
        .map(|(degrees, lines)| (degrees, sorted(lines)))
        .collect()
}

#[test]
fn the_lines_of_the_grid_stand_cos_30_of_the_pitch_apart() {
    for (name, exercise) in sets() {
        let set = made(name, &exercise);
        // Along an axis the pitch is 1/4 in or 5 mm; square to the lines that is pitch times cos 30 = 0.866 of it.
        let pitch = if matches!(name, "flat-bath" | "block-metric") {
            5.0
        } else {
            25.4 / 4.0
        };
        let families = families(&set.grid);
        assert_eq!(
            families.iter().map(|family| family.0).collect::<Vec<_>>(),
            [-30, 30, 90],
            "{name}"
        );
        for (degrees, lines) in families {
            assert!(lines.len() > 20, "{name}");
            for pair in lines.windows(2) {
                assert!(
                    (pair[1] - pair[0] - pitch * 0.866_025_4).abs() < 1e-6,
                    "{name}, {degrees}: {pair:?}"
                );
            }
        }
    }
}

#[test]
fn the_key_lies_on_the_same_grid_as_the_learners() {
    for (name, exercise) in sets() {
        let set = made(name, &exercise);
        assert_eq!(families(&set.grid), families(&set.key), "{name}");
        assert_eq!(set.grid.size_mm, set.key.size_mm, "{name}");
    }
}

/// How far a point is from the nearest line of each direction of the grid; the largest.
fn off_grid(families: &[(i64, Vec<f64>)], p: Point) -> f64 {
    let off = families.iter().map(|(degrees, lines)| {
        let angle = (*degrees as f64).to_radians();
        let across = kurbo::Vec2::new(angle.cos(), angle.sin()).cross(p.to_vec2());
        lines
            .iter()
            .map(|line| (line - across).abs())
            .fold(f64::MAX, f64::min)
    });
    off.fold(0.0, f64::max)
}

#[test]
fn a_block_lies_on_the_grid_with_all_its_corners() {
    for (name, exercise) in sets().into_iter().take(2) {
        let set = made(name, &exercise);
        let families = families(&set.grid);
        let block = group(&set.key.items, "view block").expect("a block");
        let mut count = 0;
        for item in &block.items {
            let Item::Stroke(mark) = item else { continue };
            for (a, b) in segments(&mark.stroke.path) {
                assert!(
                    off_grid(&families, a).max(off_grid(&families, b)) < 1e-6,
                    "{name}"
                );
                count += 1;
            }
        }
        let Subject::Block(block) = &exercise.subject else {
            panic!("a block")
        };
        assert_eq!(count, solid::seen(&block.solid, exercise.corner).len());
    }
}

/// A bare pipe in whole feet from a point that is on no whole foot.
const BARE: &str = "job \"Bare pipe\"\nunits ft-in\nlevel main floor 0' ceiling 8'\ncold c1\n  start 7-1/2\",3-1/4\" main floor +1'1\"\n  size 3/4\"\n  material copper\n  east 4'\n  up 5'\n  north 3'\n  down 2'\n  west 6'\n  continues \"ON\"\n";

#[test]
fn a_pipe_of_whole_steps_lies_on_the_grid_wherever_it_begins() {
    for corner in Corner::ALL {
        let exercise = of_job("Bare pipe", 2, BARE, corner);
        let set = made("bare", &exercise);
        let families = families(&set.grid);
        let view = group(&set.key.items, "view iso").expect("a view");
        let mut count = 0;
        for item in &view.items {
            let Item::Group(pipe) = item else { continue };
            if pipe.class != "pipe" || pipe.data.iter().any(|(name, _)| *name == "shift") {
                continue;
            }
            for item in &pipe.items {
                let Item::Stroke(mark) = item else { continue };
                for (a, b) in segments(&mark.stroke.path)
                    .into_iter()
                    .filter(|_| mark.class == "line")
                {
                    // Pieces may end anywhere along the pipe (breaks, letters), but lie on a line of the grid.
                    let way = (b - a).normalize();
                    let near = families.iter().any(|(degrees, lines)| {
                        let angle = (*degrees as f64).to_radians();
                        let along = kurbo::Vec2::new(angle.cos(), angle.sin());
                        let across = along.cross(a.to_vec2());
                        along.cross(way).abs() < 1e-6
                            && lines.iter().any(|line| (line - across).abs() < 1e-6)
                    });
                    assert!(near, "{corner:?}: {a:?} to {b:?}");
                    count += 1;
                }
            }
        }
        assert!(count >= 5, "{corner:?}: {count}");
    }
}

#[test]
fn the_grid_goes_through_what_most_of_the_drawing_keeps_to() {
    // The pipe begins at 7 1/2 in, 3 1/4 in, 1 ft 1 in and goes in whole feet: all six of its points are whole steps from there.
    let exercise = of_job("Bare pipe", 2, BARE, Corner::Sw);
    let anchor = sheets::anchor(&exercise);
    let start = DVec3::new(7.5 * 25.4, 3.25 * 25.4, 13.0 * 25.4);
    assert!(anchor.distance(start) < 1e-6, "{anchor:?}");
}

#[test]
fn the_heights_that_the_plan_does_not_show_stand_in_its_table() {
    // BARE: level at 1 ft 1 in, up 5 ft to 6 ft 1 in, level, down 2 ft to 4 ft 1 in, level.
    let exercise = of_job("Bare pipe", 2, BARE, Corner::Sw);
    let set = made("bare", &exercise);
    let (_, words) = everything(&set.plan[0]);
    let said: Vec<&str> = words.iter().map(|l| l.text.as_str()).collect();
    for wanted in [
        "c1, cold: level at +1'-1\"",
        "c1, cold: level at +6'-1\"",
        "c1, cold: level at +4'-1\"",
        "upright: cold +1'-1\" to +6'-1\"",
        "upright: cold +4'-1\" to +6'-1\"",
    ] {
        assert!(said.contains(&wanted), "{wanted}: {said:?}");
    }
    // Each mark of the table stands on the plan as well.
    for mark in ["A", "B", "C", "1", "2"] {
        let count = said
            .iter()
            .filter(|words| words.split(' ').any(|word| word == mark))
            .count();
        assert!(count >= 2, "{mark}: {said:?}");
    }
    assert!(
        said.iter().any(|words| words.starts_with("START")),
        "{said:?}"
    );
}

#[test]
fn a_level_45_is_told_by_its_legs_and_not_by_its_slant() {
    // The bath branch of the attic bath is told upstream, `northeast legs 2'6"`: it flows south-west. Its slant would be 2'-6" times 1.414 = 3'-6 7/16".
    let exercise = shipped("attic-bath", 4, Corner::Se);
    let set = made("attic-bath", &exercise);
    let (_, words) = everything(&set.plan[0]);
    let said: Vec<&str> = words.iter().map(|l| l.text.as_str()).collect();
    let said = said.join(" ");
    assert!(said.contains("its 45: 2'-6\" west, 2'-6\" south"), "{said}");
    assert!(!said.contains("3'-6 7/16\""), "{said}");
}

#[test]
fn a_step_of_the_grid_stands_for_a_length_that_is_easily_counted() {
    for (name, exercise) in sets() {
        let step = exercise.pitch_mm * f64::from(exercise.scale.0);
        let told = if matches!(name, "flat-bath" | "block-metric") {
            vec![250.0, 500.0]
        } else {
            vec![152.4, 304.8, 609.6]
        };
        assert!(
            told.iter().any(|length| (length - step).abs() < 1e-6),
            "{name}: {step}"
        );
    }
}

#[test]
fn what_is_larger_than_the_paper_is_refused() {
    let mut exercise = of_job("Bare pipe", 2, BARE, Corner::Sw);
    exercise.scale = Scale(2);
    assert_eq!(
        sheets::set(&exercise, &rubric()).err(),
        Some(SheetsError::TooLarge(Scale(2)))
    );
    exercise.figure = Figure::default();
    assert_eq!(
        sheets::set(&exercise, &rubric()).err(),
        Some(SheetsError::Nothing)
    );
}

#[test]
fn the_marking_sheet_says_every_heading_and_adds_them_up() {
    let exercise = block("ipc-2021", 3);
    let set = made("block", &exercise);
    let (_, words) = everything(&set.marking);
    let said: BTreeSet<&str> = words.iter().map(|l| l.text.as_str()).collect();
    for heading in [
        "Legibility",
        "Orientation",
        "Flow",
        "Angles",
        "Piping",
        "Labels",
        "Vents",
        "Fixtures",
    ] {
        assert!(said.contains(heading), "{heading}");
    }
    // 8 + 20 + 12 + 8 + 20 + 4 + 16 + 12 = 100.
    assert!(said.contains("___ of 100"), "{said:?}");
}

#[test]
fn the_sheets_can_be_written_as_pictures_and_as_one_file() {
    let folder = std::env::var_os("SHEETS").map(std::path::PathBuf::from);
    for (name, exercise) in sets() {
        let all = made(name, &exercise).into_sheets();
        let pdf = wyeline_exchange::pdf(&all).expect("a file");
        assert!(pdf.starts_with(b"%PDF"), "{name}");
        if let Some(folder) = &folder {
            std::fs::write(folder.join(format!("{name}.pdf")), &pdf).expect("it can be written");
            for sheet in &all {
                let png = wyeline_exchange::png(sheet, 200.0).expect("a picture");
                std::fs::write(folder.join(format!("{name}-{}.png", sheet.number)), png)
                    .expect("it can be written");
            }
        }
    }
}
