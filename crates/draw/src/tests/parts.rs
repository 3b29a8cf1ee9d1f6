//! Parts of a network: systems, boxes, and what is drawn behind.

use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{NodeKind, RoofPlane};
use wyeline_units::Scale;

use super::network;
use crate::iso::{IsoOptions, extent, iso};
use crate::picture::{OutlineKind, Picture, SymbolKind};
use crate::view::{Corner, Part};

fn picture(net: &Network, part: Part, grid: bool) -> Picture {
    let options = IsoOptions {
        corner: Corner::Sw,
        scale: Scale(10),
        true_fall: false,
        part,
        labels_along: false,
        grid,
    };
    iso(net, &options)
}

fn two_systems() -> Network {
    network(&[
        (System::Cold, vec![[0.0, 0.0, 0.0], [3000.0, 0.0, 0.0]]),
        (System::Waste, vec![[0.0, 700.0, 0.0], [3000.0, 700.0, 0.0]]),
    ])
}

#[test]
fn a_part_shows_its_systems_only() {
    let part = Part {
        systems: vec![System::Waste],
        ..Part::default()
    };
    let picture = picture(&two_systems(), part, false);
    assert!(picture.pipes.iter().all(|p| p.system == System::Waste) && picture.pipes.len() == 1);
}

/// The box ends at x = 2000, in both pipes' way: a match mark on each, with the words of the +x face.
#[test]
fn cut_ends_have_match_marks_with_words() {
    let mut part = Part {
        clip: Some(([-100.0; 3], [2000.0, 2000.0, 100.0])),
        ..Part::default()
    };
    part.beyond[1] = Some("to sheet 4".to_owned());
    let picture = picture(&two_systems(), part, false);
    let marks: Vec<_> = picture
        .symbols
        .iter()
        .filter(|s| s.kind == SymbolKind::Match)
        .collect();
    assert_eq!(marks.len(), 2);
    assert!(marks.iter().all(|m| m.letters[0].text == "to sheet 4"));
    // 2000 mm at 1:10 along the axis at 30 degrees: the right end is at 200 cos 30.
    let end = picture.pipes[0].pieces.last().unwrap().1;
    assert!((end.x - 200.0 * 3.0_f64.sqrt() / 2.0).abs() < 1e-6);
}

/// The words at the +z face of risers along an east-west line, so many mm apart at 1:10.
fn words_over_risers(apart: &[f64], words: &str) -> (usize, Vec<kurbo::Rect>) {
    let riser = |x: &f64| {
        (
            System::Cold,
            vec![[*x, 0.0, 0.0], [*x, 0.0, 1000.0], [*x, 0.0, 3000.0]],
        )
    };
    let net = network(&apart.iter().map(riser).collect::<Vec<_>>());
    let mut part = Part {
        clip: Some(([-1e4, -1e4, -10.0], [1e4, 1e4, 2000.0])),
        ..Part::default()
    };
    part.beyond[5] = Some(words.to_owned());
    let picture = picture(&net, part, false);
    let marks = picture
        .symbols
        .iter()
        .filter(|s| s.kind == SymbolKind::Match);
    let boxes = marks.clone().filter(|m| !m.letters.is_empty());
    (marks.clone().count(), boxes.map(|m| m.boxes[1]).collect())
}

/// 60 mm of the building east is 6 mm on paper: a row for the eye, which has its words once.
#[test]
fn match_marks_side_by_side_have_their_words_once() {
    let (bars, words) = words_over_risers(&[0.0, 60.0], "see sheet 11");
    assert_eq!((bars, words.len()), (2, 1));
}

/// 120 mm is 12 mm on paper, and at 30 degrees 10.4 mm to the right and 6 up; the words are some 17 mm long.
/// Each bar has its own, none on another.
#[test]
fn words_of_match_marks_farther_apart_do_not_overprint() {
    let (bars, words) = words_over_risers(&[0.0, 120.0, 240.0, 360.0], "see sheet 11");
    assert_eq!((bars, words.len()), (4, 4));
    for (i, a) in words.iter().enumerate() {
        for b in &words[..i] {
            assert!(a.intersect(*b).is_zero_area(), "{a:?} {b:?}");
        }
    }
}

/// Both pipes end at x = 3000, beyond the box that ends at 2000: nothing is said there, and no symbol stands there.
#[test]
fn nothing_is_said_of_what_lies_beyond_the_cut() {
    let clip = |x| Part {
        clip: Some(([-100.0; 3], [x, 2000.0, 100.0])),
        ..Part::default()
    };
    let mut net = two_systems();
    for node in &mut net.nodes {
        node.kind = NodeKind::Cap;
        node.note = Some(format!("at {}", node.at.x));
    }
    // 2999 leaves the nodes 1 mm beyond, a tenth of one on paper.
    for (x, said) in [(2000.0, false), (2999.0, false), (3001.0, true)] {
        let picture = picture(&net, clip(x), false);
        let told = |words: &str| {
            let mut lines = picture.labels.iter().flat_map(|l| &l.lines);
            lines.any(|l| l.text == words)
        };
        assert!(told("at 0"));
        assert_eq!(told("at 3000"), said, "box to {x}");
        let caps = picture.symbols.iter().filter(|s| s.kind == SymbolKind::Cap);
        assert_eq!(caps.count(), if said { 4 } else { 2 }, "box to {x}");
    }
}

/// Full-scale box of the two pipes: from (0, 700) to (3000, 0): u from -700 c to 3000 c, v from 0 to 1850.
#[test]
fn the_extent_is_that_of_the_lines() {
    let c = 3.0_f64.sqrt() / 2.0;
    let r = extent(&two_systems(), Corner::Sw, &Part::default());
    assert!((r.x0 + 700.0 * c).abs() < 1e-6 && (r.x1 - 3000.0 * c).abs() < 1e-6);
    assert!((r.y1 - 0.0).abs() < 1e-6 && (r.y0 + 1850.0).abs() < 1e-6);
}

/// Everything the picture consists of lies within its bounds.
#[test]
fn bounds_hold_all_lines() {
    let picture = picture(&two_systems(), Part::default(), true);
    for (a, b) in picture.pipes.iter().flat_map(|p| &p.pieces) {
        assert!(picture.bounds.contains(*a) && picture.bounds.contains(*b));
    }
    for label in &picture.labels {
        assert!(label.area.iter().all(|p| picture.bounds.contains(*p)));
    }
}

/// A cellar floor at -2000 without walls, pipe from (0, 0) to (3000, 700) over it: its outline is the rectangle
/// round both, a foot larger (304.8 mm), at that height.
#[test]
fn a_storey_without_walls_has_its_floor_outlined_round_its_pipes() {
    let mut net = network(&[(
        System::Waste,
        vec![
            [0.0, 0.0, -1500.0],
            [3000.0, 0.0, -1500.0],
            [3000.0, 700.0, -1500.0],
        ],
    )]);
    net.levels = vec![wyeline_network::model::Level {
        name: "cellar".to_owned(),
        floor: -2000.0,
        ceiling: None,
        underside: None,
        joists: None,
    }];
    let picture = picture(&net, Part::default(), false);
    let floors: Vec<_> = picture
        .outlines
        .iter()
        .filter(|o| o.of == OutlineKind::Floor)
        .collect();
    assert_eq!(floors.len(), 1);
    let projection = crate::Projection::new(Corner::Sw, Scale(10));
    let at = |x: f64, y: f64| projection.point(glam::DVec3::new(x, y, -2000.0));
    // From south-west the left corner is the north-west one and the right the south-east.
    let (left, right) = (at(-304.8, 1004.8), at(3304.8, -304.8));
    let drawn = kurbo::Shape::bounding_box(&floors[0].strokes[0].path);
    assert!((drawn.x0 - left.x).abs() < 1e-6 && (drawn.x1 - right.x).abs() < 1e-6);
    let (near, far) = (at(-304.8, -304.8), at(3304.8, 1004.8));
    assert!((drawn.y1 - near.y).abs() < 1e-6 && (drawn.y0 - far.y).abs() < 1e-6);
    // The level's mark stands at the height of one of its side corners.
    let mark = picture
        .labels
        .iter()
        .find(|l| l.lines[0].text.starts_with("CELLAR FLOOR"))
        .expect("a level mark");
    let (a, b) = mark.leader.expect("a tick from the floor");
    let reaches = |p: kurbo::Point| a.distance(p).min(b.distance(p)) < 12.0;
    assert!(reaches(left) || reaches(right), "{a} {b}");
}

/// An empty network gives an empty picture.
#[test]
fn nothing_gives_nothing() {
    let picture = picture(&Network::default(), Part::default(), true);
    assert!(picture.pipes.is_empty() && picture.symbols.is_empty());
}

/// A vent through a ridge: the piece of roof bends along it. Eaves at 3000, rising 1 in 2 from x = 0 towards the east and
/// from x = 4000 towards the west: the ridge at x = 2000 lies 1000 higher.
#[test]
fn the_piece_of_roof_bends_at_the_ridge() {
    let mut net = network(&[(
        System::Vent,
        vec![[2000.0, 500.0, 0.0], [2000.0, 500.0, 4150.0]],
    )]);
    net.nodes[1].kind = NodeKind::RoofEnd;
    net.building.roof = vec![
        RoofPlane {
            z0: 3000.0,
            sx: 0.5,
            sy: 0.0,
        },
        RoofPlane {
            z0: 5000.0,
            sx: -0.5,
            sy: 0.0,
        },
    ];
    let picture = picture(&net, Part::default(), false);
    let roof = picture
        .outlines
        .iter()
        .find(|o| o.of == OutlineKind::Roof)
        .expect("a roof");
    // Two bent edges of two pieces, two straight ones, one ridge: seven lines.
    assert_eq!(roof.strokes[0].path.segments().count(), 7);
    let projection = crate::Projection::new(Corner::Sw, Scale(10));
    // The ridge from (2000, -100) to (2000, 1100), both 600 beyond the vent, at 4000.
    let ridge = [-100.0, 1100.0].map(|y| projection.point(glam::DVec3::new(2000.0, y, 4000.0)));
    let drawn = roof.strokes[0].path.segments().any(|s| {
        use kurbo::ParamCurve;
        let (a, b) = (s.start(), s.end());
        (a.distance(ridge[0]) < 1e-6 && b.distance(ridge[1]) < 1e-6)
            || (a.distance(ridge[1]) < 1e-6 && b.distance(ridge[0]) < 1e-6)
    });
    assert!(drawn);
}
