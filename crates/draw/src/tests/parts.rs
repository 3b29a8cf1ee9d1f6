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
