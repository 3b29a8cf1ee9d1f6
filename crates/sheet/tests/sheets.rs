//! Whole sets of sheets made from jobs told in words.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use kurbo::{ParamCurve, ParamCurveArclen, Point, Rect, Shape};
use wyeline_draw::Corner;
use wyeline_network::Network;
use wyeline_sheet::{
    Datum, Group, Item, Layout, Options, Orientation, Paper, Sheet, SheetError, Views, sheets,
};
use wyeline_units::Scale;

/// A half bath tied into an old drain.
const HALF_BATH: &str = include_str!("../../../examples/half-bath.wye");
/// Half of a house over three levels, metric, with a long drain to the street.
const DUPLEX: &str = include_str!("../../../examples/semi-detached.wye");
/// Two baths back to back on each of three storeys: many labels find no room.
const STOREYS: &str = include_str!("../../../examples/three-storeys.wye");
/// A house on a slab, with a long drain.
const SLAB: &str = include_str!("../../../examples/slab-house.wye");

fn network(text: &str) -> Network {
    let reading = wyeline_job::read(text);
    assert!(reading.diagnostics.is_empty(), "{:?}", reading.diagnostics);
    wyeline_network::build(&reading.job, text).network
}

/// A room with a riser in each of two corners and a branch between them.
const SMALL: &str = "job Small\nunits ft-in\nlevel main floor 0' ceiling 8'\nroof 10'\n\
    wall main 0',0' 12',0' 12',10' 0',10' 0',0'\n\
    vent v\n  start 1',1' main floor +1'\n  size 2\"\n  up 5'\n  east 9'\n  up through roof\n\
    note \"keep clear of the duct\"\n";

/// As many risers as asked for, 40 ft apart, each ten storeys of 10 ft high with a branch on each storey.
fn towers(count: u32) -> String {
    let mut text = "job Towers\nunits ft-in\n".to_owned();
    for level in 0..10 {
        let _ = writeln!(text, "level L{level} floor {}' ceiling 8'", level * 10);
    }
    text.push_str("roof 102'\n");
    for i in 0..count {
        let x = 40 * i;
        let _ = writeln!(
            text,
            "vent riser{i}\n  start {x}',0' L0 floor +1'\n  size 3\""
        );
        for level in 0..10 {
            let _ = writeln!(text, "  up to L{level} floor +4'\n  point P{i}_{level}");
        }
        text.push_str("  up through roof\n");
        for level in 0..10 {
            let _ = writeln!(
                text,
                "vent branch{i}_{level}\n  start P{i}_{level}\n  size 2\"\n  north 6'\n  cap"
            );
        }
    }
    text
}

fn made(text: &str, options: &Options) -> Layout {
    sheets(&network(text), options).expect("there is something to draw")
}

/// Every group of a sheet, outermost first.
fn groups(sheet: &Sheet) -> Vec<&Group> {
    fn add<'a>(items: &'a [Item], found: &mut Vec<&'a Group>) {
        for item in items {
            if let Item::Group(group) = item {
                found.push(group);
                add(&group.items, found);
            }
        }
    }
    let mut found = Vec::new();
    add(&sheet.items, &mut found);
    found
}

fn with_class<'a>(sheet: &'a Sheet, class: &str) -> Vec<&'a Group> {
    groups(sheet)
        .into_iter()
        .filter(|g| g.class == class)
        .collect()
}

/// All words on a sheet.
fn words(sheet: &Sheet) -> Vec<String> {
    let texts = |items: &[Item]| -> Vec<String> {
        items
            .iter()
            .filter_map(|i| {
                if let Item::Text(t) = i {
                    Some(t.lettering.text.clone())
                } else {
                    None
                }
            })
            .collect()
    };
    texts(&sheet.items)
        .into_iter()
        .chain(groups(sheet).iter().flat_map(|g| texts(&g.items)))
        .collect()
}

/// The box round a group's marks and level lettering.
fn bounds(group: &Group) -> Option<Rect> {
    let boxes = group.items.iter().filter_map(|item| match item {
        Item::Stroke(mark) => Some(mark.stroke.path.bounding_box()),
        Item::Text(text) if text.lettering.angle == 0.0 => {
            let l = &text.lettering;
            Some(Rect::new(
                l.at.x,
                l.at.y - l.height,
                l.at.x + l.width,
                l.at.y,
            ))
        }
        Item::Text(_) => None,
        Item::Group(inner) => bounds(inner),
    });
    boxes.reduce(|a, b| a.union(b))
}

fn told<'a>(group: &'a Group, name: &str) -> Option<&'a Datum> {
    group
        .data
        .iter()
        .find(|(n, _)| *n == name)
        .map(|(_, value)| value)
}

fn scale(sheet: &Sheet) -> Option<u32> {
    groups(sheet)
        .iter()
        .filter(|g| g.class.starts_with("view"))
        .find_map(|g| match told(g, "scale") {
            Some(Datum::Count(scale)) => Some(*scale),
            _ => None,
        })
}

#[test]
fn everything_on_a_sheet_lies_inside_its_frame() {
    for paper in Paper::all() {
        for views in [Views::Iso, Views::Plan, Views::Both] {
            let layout = made(
                SMALL,
                &Options {
                    views,
                    paper: Some(paper),
                    ..Options::default()
                },
            );
            for sheet in &layout.sheets {
                let lying = sheet.size_mm.0 > sheet.size_mm.1;
                let way = if lying {
                    Orientation::Landscape
                } else {
                    Orientation::Portrait
                };
                let frame = paper.frame(way).inflate(0.01, 0.01);
                for group in groups(sheet) {
                    let Some(b) = bounds(group) else { continue };
                    assert!(
                        frame.union(b) == frame,
                        "{} {views:?}: {} reaches {b:?}",
                        paper.name,
                        group.class
                    );
                }
            }
        }
    }
}

#[test]
fn views_captions_and_title_block_do_not_lie_on_each_other() {
    for views in [Views::Iso, Views::Both] {
        let layout = made(
            SMALL,
            &Options {
                views,
                ..Options::default()
            },
        );
        let sheet = &layout.sheets[0];
        // Notes may stand in what a view leaves free: `notes_stand_clear_of_every_mark`.
        let apart = [
            "view iso",
            "view plan",
            "caption",
            "title-block",
            "check-bar",
            "foot",
        ];
        let boxes: Vec<(&str, Rect)> = sheet
            .items
            .iter()
            .filter_map(|i| match i {
                Item::Group(g) if apart.contains(&g.class) => bounds(g).map(|b| (g.class, b)),
                _ => None,
            })
            .collect();
        assert!(boxes.len() >= 5, "{boxes:?}");
        for (i, (name, a)) in boxes.iter().enumerate() {
            for (other, b) in &boxes[i + 1..] {
                let shared = a.intersect(*b);
                assert!(
                    shared.width() <= 0.0 || shared.height() <= 0.0,
                    "{name} on {other}: {shared:?}"
                );
            }
        }
    }
}

/// Everything a group draws: points along its lines and the boxes of its lettering.
fn marks(group: &Group) -> (Vec<Point>, Vec<Rect>) {
    let (mut points, mut boxes) = (Vec::new(), Vec::new());
    for item in &group.items {
        match item {
            Item::Stroke(mark) => {
                for segment in mark.stroke.path.segments() {
                    let steps = segment.arclen(0.1).ceil().max(1.0);
                    let count = steps as u32;
                    points.extend((0..=count).map(|i| segment.eval(f64::from(i) / steps)));
                }
            }
            Item::Text(text) => {
                let l = &text.lettering;
                boxes.push(Rect::new(
                    l.at.x,
                    l.at.y - l.height,
                    l.at.x + l.width,
                    l.at.y,
                ));
            }
            Item::Group(inner) => {
                let (p, b) = marks(inner);
                points.extend(p);
                boxes.extend(b);
            }
        }
    }
    (points, boxes)
}

#[test]
fn notes_stand_clear_of_every_mark() {
    let papers = ["tabloid", "a3", "letter"];
    for (text, paper) in [SMALL, HALF_BATH, DUPLEX]
        .iter()
        .flat_map(|text| papers.map(|paper| (*text, paper)))
    {
        let layout = made(
            text,
            &Options {
                paper: Paper::named(paper),
                ..Options::default()
            },
        );
        for sheet in &layout.sheets {
            let mut notes = Vec::new();
            let (mut points, mut boxes) = (Vec::new(), Vec::new());
            for item in &sheet.items {
                let Item::Group(group) = item else { continue };
                let (p, b) = marks(group);
                if group.class == "notes" {
                    notes.extend(b);
                } else {
                    points.extend(p);
                    boxes.extend(b);
                }
            }
            for (i, note) in notes.iter().enumerate() {
                let on = points.iter().find(|p| note.contains(**p));
                assert_eq!(on, None, "{paper} {}", sheet.title);
                for other in boxes.iter().chain(&notes[i + 1..]) {
                    let shared = note.intersect(*other);
                    assert!(
                        shared.width() <= 1e-9 || shared.height() <= 1e-9,
                        "{paper} {}: {note:?} on {other:?}",
                        sheet.title
                    );
                }
            }
        }
    }
}

#[test]
fn the_stamp_corner_is_kept_on_the_usual_sheets_of_ordinary_jobs() {
    for (text, paper) in [
        (HALF_BATH, "tabloid"),
        (HALF_BATH, "a3"),
        (SMALL, "tabloid"),
    ] {
        let paper = Paper::named(paper).expect("a known paper");
        let layout = made(
            text,
            &Options {
                paper: Some(paper),
                ..Options::default()
            },
        );
        let lost = layout.remarks.iter().find(|r| r.contains("stamp"));
        assert_eq!(lost, None);
        for sheet in layout.sheets {
            let way = if sheet.size_mm.0 > sheet.size_mm.1 {
                Orientation::Landscape
            } else {
                Orientation::Portrait
            };
            // A millimetre inside: the frame's own line runs along two of its sides.
            let stamp = paper.stamp(way).expect("this paper keeps one").inset(-1.0);
            for item in &sheet.items {
                let Item::Group(group) = item else { continue };
                let (points, boxes) = marks(group);
                // The rule beside the column of notes may run through.
                if ["border"].contains(&group.class) {
                    continue;
                }
                let on = points.iter().find(|p| stamp.contains(**p));
                assert_eq!(on, None, "{} in {}", group.class, sheet.title);
                assert!(!boxes.iter().any(|b| {
                    let shared = b.intersect(stamp);
                    shared.width() > 0.0 && shared.height() > 0.0
                }));
            }
        }
    }
}

/// Numbers in words such as `2, 4 to 6 and 9`.
fn numbers(words: &str) -> BTreeSet<u32> {
    let mut found = BTreeSet::new();
    for part in words.split(", ").flat_map(|p| p.split(" and ")) {
        let ends: Vec<u32> = part
            .split(" to ")
            .filter_map(|n| n.trim().parse().ok())
            .collect();
        match ends[..] {
            [only] => found.extend([only]),
            [from, to] => found.extend(from..=to),
            _ => {}
        }
    }
    found
}

/// Every number in a ring has its words: on its sheet, or on one that the sheet names, under its own sheet's number.
#[test]
fn every_ring_leads_to_its_words() {
    let mut met = 0;
    for (text, paper) in [(STOREYS, "letter"), (STOREYS, "a4"), (HALF_BATH, "letter")] {
        let layout = made(
            text,
            &Options {
                paper: Paper::named(paper),
                ..Options::default()
            },
        );
        // What the sheets of notes say of labels by number: sheet of notes, sheet it is about, numbers.
        let mut noted: Vec<(u32, u32, u32)> = Vec::new();
        for sheet in layout.sheets.iter().filter(|s| s.title.contains("Notes (")) {
            let mut about = None;
            for group in groups(sheet) {
                match group.class {
                    "heading" => {
                        let head = bare(group).concat();
                        about = head
                            .strip_prefix("To sheet ")
                            .and_then(|w| w.split_once(": labels by number"))
                            .and_then(|(number, _)| number.parse::<u32>().ok());
                    }
                    "overflow" => {
                        if let (Some(about), Some(Datum::Count(n))) = (about, told(group, "number"))
                        {
                            noted.push((sheet.number, about, *n));
                        }
                    }
                    _ => {}
                }
            }
        }
        for sheet in &layout.sheets {
            let own: BTreeSet<u32> = with_class(sheet, "overflow")
                .iter()
                .filter_map(|g| match told(g, "number") {
                    Some(Datum::Count(n)) => Some(*n),
                    _ => None,
                })
                .collect();
            // `Labels by number 17 to 20: sheet 9.`, perhaps broken into lines.
            let lines = with_class(sheet, "elsewhere");
            let said: Vec<String> = lines.iter().map(|g| bare(g).join(" ")).collect();
            let pointed: BTreeSet<(u32, u32)> = said
                .iter()
                .filter_map(|w| w.strip_prefix("Labels by number ")?.split_once(": sheet"))
                .flat_map(|(labels, sheets)| {
                    let sheets = numbers(sheets.trim_start_matches('s').trim_end_matches('.'));
                    let pairs = numbers(labels)
                        .into_iter()
                        .flat_map(move |n| sheets.clone().into_iter().map(move |s| (n, s)));
                    pairs.collect::<Vec<_>>()
                })
                .collect();
            for ring in rings(sheet) {
                let there = noted.iter().any(|(on, about, n)| {
                    (*about, *n) == (sheet.number, ring) && pointed.contains(&(ring, *on))
                });
                assert!(
                    own.contains(&ring) || there,
                    "{paper} {}: {ring}; {said:?}",
                    sheet.title
                );
                met += 1;
            }
        }
    }
    assert!(met > 0, "no job here has a label without room");
}

/// The words right in a group.
fn bare(group: &Group) -> Vec<String> {
    let text = |item: &Item| match item {
        Item::Text(text) => Some(text.lettering.text.clone()),
        _ => None,
    };
    group.items.iter().filter_map(text).collect()
}

/// The numbers that stand in rings: lettering that is a whole number, inside a closed mark of a label.
fn rings(sheet: &Sheet) -> BTreeSet<u32> {
    let mut found = BTreeSet::new();
    for view in groups(sheet).iter().filter(|g| g.class.starts_with("view")) {
        let rings: Vec<Rect> = view
            .items
            .iter()
            .filter_map(|item| match item {
                Item::Stroke(mark) if mark.class == "label-mark" => {
                    Some(mark.stroke.path.bounding_box())
                }
                _ => None,
            })
            .collect();
        for item in &view.items {
            let Item::Text(text) = item else { continue };
            let l = &text.lettering;
            let at = Point::new(l.at.x + l.width / 2.0, l.at.y - l.height / 2.0);
            if let Ok(number) = l.text.parse()
                && rings.iter().any(|ring| ring.contains(at))
            {
                found.insert(number);
            }
        }
    }
    found
}

#[test]
fn numbers_are_explained_only_where_one_stands_in_a_ring() {
    let mut without = 0;
    for paper in ["letter", "a4"] {
        let layout = made(
            SLAB,
            &Options {
                paper: Paper::named(paper),
                ..Options::default()
            },
        );
        for sheet in &layout.sheets {
            // A sheet of notes carries legends of others.
            if !sheet.title.contains("Notes (") {
                let explained = words(sheet).iter().any(|w| w == "(1)");
                assert!(!explained || !rings(sheet).is_empty(), "{}", sheet.title);
            }
        }
        without += layout.sheets.iter().filter(|s| rings(s).is_empty()).count();
    }
    assert!(without > 0);
}

#[test]
fn the_scale_asked_for_is_the_scale_drawn() {
    for ratio in [24, 48, 75] {
        let layout = made(
            SMALL,
            &Options {
                scale: Some(Scale(ratio)),
                ..Options::default()
            },
        );
        assert_eq!(scale(&layout.sheets[0]), Some(ratio));
    }
}

#[test]
fn the_largest_standard_scale_that_fits_is_chosen() {
    // Walls of 12 x 10 ft, 8 ft high: as an isometric (12 + 10) cos 30 = 19 ft wide and (12 + 10) / 2 + 8 = 19 ft high;
    // the riser, 10 ft 6 in high near a side corner, stays below that.
    // Tabloid: 279 mm less frame, foot and caption leave some 205 mm = 8 in for that and its labels:
    // at 3/8 in a foot it is 7.1 in, at 1/2 in 9.5 in.
    let landscape = Options {
        corner: Some(Corner::Sw),
        orientation: Some(Orientation::Landscape),
        ..Options::default()
    };
    assert_eq!(scale(&made(SMALL, &landscape).sheets[0]), Some(32));
    // 24 x 36 in: 610 mm leave some 535 mm = 21 in: at 1 in a foot 19 in, the largest of all scales.
    let large = Options {
        paper: Paper::named("arch-d"),
        ..landscape
    };
    assert_eq!(scale(&made(SMALL, &large).sheets[0]), Some(12));
}

#[test]
fn plan_and_isometric_share_a_sheet_and_a_scale_with_the_plan_on_the_left() {
    let layout = made(
        SMALL,
        &Options {
            views: Views::Both,
            ..Options::default()
        },
    );
    let sheet = &layout.sheets[0];
    let (plan, iso) = (
        with_class(sheet, "view plan"),
        with_class(sheet, "view iso"),
    );
    assert_eq!((plan.len(), iso.len()), (1, 1));
    assert_eq!(told(plan[0], "scale"), told(iso[0], "scale"));
    let (plan_box, iso_box) = (
        bounds(plan[0]).expect("drawn"),
        bounds(iso[0]).expect("drawn"),
    );
    assert!(plan_box.x1 < iso_box.x0);
    // The mark for the viewpoint names the isometric's corner.
    assert_eq!(
        told(with_class(sheet, "viewpoint")[0], "corner"),
        told(iso[0], "corner")
    );
}

#[test]
fn the_stamp_corner_is_clear_where_there_is_room() {
    let paper = Paper::named("arch-c").expect("listed");
    let asked = Options {
        corner: Some(Corner::Sw),
        paper: Some(paper),
        scale: Some(Scale(48)),
        ..Options::default()
    };
    let layout = made(SMALL, &asked);
    let stamp = paper.stamp(Orientation::Landscape).expect("kept");
    assert!(
        !layout.remarks.iter().any(|r| r.contains("stamp")),
        "{:?}",
        layout.remarks
    );
    for group in groups(&layout.sheets[0]) {
        if ["border", "view iso"].contains(&group.class) {
            continue;
        }
        let Some(b) = bounds(group) else { continue };
        let shared = b.intersect(stamp);
        assert!(
            shared.width() <= 0.01 || shared.height() <= 0.01,
            "{} {b:?}",
            group.class
        );
    }
}

#[test]
fn a_jobs_notes_and_cautions_are_on_its_first_sheet() {
    let layout = made(SMALL, &Options::default());
    let said = words(&layout.sheets[0]).join(" ");
    assert!(said.contains("keep clear of the duct"), "{said}");
    assert!(
        said.contains("Not an engineer's design") && said.contains("authority having jurisdiction")
    );
}

#[test]
fn the_legend_explains_what_is_drawn_and_nothing_else() {
    let said = words(&made(SMALL, &Options::default()).sheets[0]);
    assert!(said.contains(&"vent".to_owned()) && said.contains(&"vent through roof".to_owned()));
    for word in [
        "cold water",
        "fuel gas",
        "waste and soil",
        "ball valve",
        "trap",
    ] {
        assert!(!said.contains(&word.to_owned()), "{word}");
    }
}

#[test]
fn what_does_not_fit_is_told_on_several_sheets_and_never_drawn_smaller() {
    let text = towers(4);
    let layout = made(
        &text,
        &Options {
            corner: Some(Corner::Sw),
            ..Options::default()
        },
    );
    assert!(layout.sheets.len() > 1);
    for sheet in &layout.sheets {
        // 1/8 in = 1 ft is the smallest scale chosen without being asked for.
        assert!(scale(sheet).is_none_or(|s| s <= 96));
        assert_eq!(sheet.count as usize, layout.sheets.len());
    }
}

#[test]
fn every_pipe_is_on_some_sheet_of_a_set() {
    let text = towers(4);
    let network = network(&text);
    let layout = sheets(
        &network,
        &Options {
            corner: Some(Corner::Sw),
            ..Options::default()
        },
    )
    .expect("drawn");
    let drawn: BTreeSet<&str> = layout
        .sheets
        .iter()
        .flat_map(|s| with_class(s, "pipe"))
        .filter(|g| !g.items.is_empty())
        .filter_map(|g| match told(g, "pipe") {
            Some(Datum::Text(id)) => Some(id.as_str()),
            _ => None,
        })
        .collect();
    for pipe in &network.pipes {
        assert!(drawn.contains(pipe.id.as_str()), "{}", pipe.id);
    }
}

#[test]
fn match_words_lead_to_a_sheet_that_leads_back() {
    let layout = made(
        &towers(4),
        &Options {
            corner: Some(Corner::Sw),
            ..Options::default()
        },
    );
    let sees = |sheet: &Sheet| -> BTreeSet<u32> {
        words(sheet)
            .iter()
            .filter_map(|w| w.strip_prefix("see sheet ")?.trim().parse().ok())
            .collect()
    };
    let seen: Vec<BTreeSet<u32>> = layout.sheets.iter().map(sees).collect();
    assert!(seen.iter().any(|s| !s.is_empty()));
    for (sheet, seen_here) in layout.sheets.iter().zip(&seen) {
        for other in seen_here {
            assert_ne!(*other, sheet.number);
            assert!(
                seen[*other as usize - 1].contains(&sheet.number),
                "{} does not lead back to {}",
                other,
                sheet.number
            );
        }
    }
}

#[test]
fn every_sheet_of_a_part_has_a_key_plan() {
    let layout = made(
        &towers(4),
        &Options {
            corner: Some(Corner::Sw),
            ..Options::default()
        },
    );
    for sheet in layout.sheets.iter().filter(|s| scale(s).is_some()) {
        assert_eq!(
            with_class(sheet, "key-plan").len(),
            1,
            "sheet {}",
            sheet.number
        );
    }
}

#[test]
fn a_scale_at_which_nothing_fits_is_refused() {
    let asked = Options {
        scale: Some(Scale(1)),
        ..Options::default()
    };
    assert_eq!(
        sheets(&network(&towers(4)), &asked).expect_err("100 ft at full size"),
        SheetError::TooLarge(Scale(1))
    );
}

#[test]
fn a_job_without_pipe_or_building_is_refused() {
    assert_eq!(
        sheets(&Network::default(), &Options::default()).expect_err("nothing"),
        SheetError::Nothing
    );
}

#[test]
fn a_level_that_is_not_there_is_refused() {
    let options = Options {
        views: Views::Plan,
        level: Some(wyeline_network::model::LevelIx(7)),
        ..Options::default()
    };
    assert_eq!(
        sheets(&network(SMALL), &options).expect_err("one level"),
        SheetError::NoLevel
    );
}

#[test]
fn metric_jobs_are_drawn_on_a3_at_metric_scales() {
    let text = "job Metric\nunits mm\nlevel main floor 0 ceiling 2400\nroof 3000\n\
                vent v\n  start 0,0 main floor +300\n  up 1200\n  east 2500\n  cap\n";
    let sheet = &made(text, &Options::default()).sheets[0];
    assert!(sheet.size_mm == (420.0, 297.0) || sheet.size_mm == (297.0, 420.0));
    assert!([20, 25, 50, 100].contains(&scale(sheet).expect("drawn")));
}
