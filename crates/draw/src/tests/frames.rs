//! Construction squares and boxes.

use glam::DVec3;
use wyeline_job::model::System;

use super::{drawn, network};
use crate::picture::{Frame, Picture};
use crate::view::Corner;

fn edges(frame: &Frame) -> Vec<f64> {
    frame.edges.iter().map(|e| e.2.round()).collect()
}

/// The edges to be dimensioned lead from one end of the travel to the other.
fn leads_through(picture: &Picture, frame: &Frame, ends: [[f64; 3]; 2], corner: Corner) {
    let projection = crate::Projection::new(corner, picture.scale);
    let first = frame.edges.first().expect("edges").0;
    let last = frame.edges.last().expect("edges").1;
    assert!(first.distance(projection.point(ends[0].into())) < 1e-6);
    assert!(last.distance(projection.point(ends[1].into())) < 1e-6);
    for pair in frame.edges.windows(2) {
        assert!(pair[0].1.distance(pair[1].0) < 1e-9);
    }
}

/// A level 45 of 900 by 900 has a square, in every view; its edges lie on the level axes.
#[test]
fn a_level_45_has_its_square() {
    let ends = [[0.0, 0.0, 0.0], [900.0, 900.0, 0.0]];
    let net = network(&[(System::Waste, ends.to_vec())]);
    for corner in Corner::ALL {
        let picture = drawn(&net, corner, 10);
        assert_eq!(picture.frames.len(), 1);
        let frame = &picture.frames[0];
        assert_eq!(edges(frame), [900.0, 900.0]);
        leads_through(&picture, frame, ends, corner);
        for (a, b, _) in &frame.edges {
            // Level axes stand at 30 degrees: tan 30 = 0.577.
            assert!((((b.y - a.y) / (b.x - a.x)).abs() - 3.0_f64.sqrt().recip()).abs() < 1e-9);
        }
    }
}

/// Set 6, roll 8, run 10: the prism with those edges.
#[test]
fn a_rolling_offset_has_its_box() {
    let ends = [[0.0, 0.0, 0.0], [254.0, 203.2, -152.4]];
    let net = network(&[(System::Waste, ends.to_vec())]);
    for corner in Corner::ALL {
        let picture = drawn(&net, corner, 4);
        let mut lengths: Vec<f64> = picture.frames[0].edges.iter().map(|e| e.2).collect();
        lengths.sort_by(f64::total_cmp);
        for (got, inches) in lengths.into_iter().zip([6.0, 8.0, 10.0]) {
            assert!((got - inches * 25.4).abs() < 1e-9);
        }
        leads_through(&picture, &picture.frames[0], ends, corner);
    }
}

/// Three feet of rise at 45 to the north: an upright square.
#[test]
fn a_tilted_pipe_has_an_upright_square() {
    let net = network(&[(System::Vent, vec![[0.0, 0.0, 0.0], [0.0, 914.4, 914.4]])]);
    let picture = drawn(&net, Corner::Sw, 10);
    assert_eq!(edges(&picture.frames[0]), [914.0, 914.0]);
    let upright = picture.frames[0]
        .edges
        .iter()
        .filter(|(a, b, _)| (a.x - b.x).abs() < 1e-9)
        .count();
    assert_eq!(upright, 1);
}

/// A branch in the middle splits the pipe, not the travel: one square over both pieces.
#[test]
fn pieces_of_one_travel_share_a_square() {
    let net = network(&[
        (
            System::Waste,
            vec![[0.0, 0.0, 0.0], [400.0, 400.0, 0.0], [900.0, 900.0, 0.0]],
        ),
        (
            System::Waste,
            vec![[400.0, 400.0, 700.0], [400.0, 400.0, 0.0]],
        ),
    ]);
    let picture = drawn(&net, Corner::Se, 10);
    assert_eq!(picture.frames.len(), 1);
    assert_eq!(edges(&picture.frames[0]), [900.0, 900.0]);
}

/// Pipes along the axes need none.
#[test]
fn axis_pipes_have_none() {
    let net = network(&[(
        System::Cold,
        vec![[0.0, 0.0, 0.0], [900.0, 0.0, 0.0], [900.0, 0.0, 500.0]],
    )]);
    assert!(drawn(&net, Corner::Sw, 10).frames.is_empty());
}

/// Where the pipe comes from the west, the edge that goes on east is free and the one back over the pipe is not
/// to be had; where it then goes north, the last edge must not lie under that pipe: east first, then north, but that
/// ends along nothing. Walked the other way round it would start north from the first end, free as well.
#[test]
fn edges_do_not_lie_under_pipes() {
    let points = [
        [-900.0, 0.0, 0.0],
        [0.0, 0.0, 0.0],
        [900.0, 900.0, 0.0],
        [900.0, 0.0, 0.0],
    ];
    // The last pipe comes back south along the square's side: the edges must take the other way.
    let net = network(&[(System::Cold, points.to_vec())]);
    for corner in Corner::ALL {
        let picture = drawn(&net, corner, 10);
        let projection = crate::Projection::new(corner, picture.scale);
        let turn = picture.frames[0].edges[0].1;
        assert!(
            turn.distance(projection.point(DVec3::new(0.0, 900.0, 0.0))) < 1e-6,
            "{corner:?}"
        );
    }
}

/// A level 45 of 6 m on both legs at 1:24, its hatched band crossed by a riser: in no label's area is there hatching,
/// and there is some elsewhere.
#[test]
fn hatching_leaves_room_for_lettering() {
    let net = network(&[
        (System::Waste, vec![[0.0, 0.0, 0.0], [6000.0, 6000.0, 0.0]]),
        (
            System::Cold,
            vec![[2500.0, 3100.0, -200.0], [2500.0, 3100.0, 400.0]],
        ),
    ]);
    let picture = drawn(&net, Corner::Se, 24);
    let pen = crate::style::line(crate::style::Line::Hatch);
    let strokes = picture.frames.iter().flat_map(|f| &f.strokes);
    let mut lines = 0;
    for segment in strokes
        .filter(|s| s.pen == Some(pen))
        .flat_map(|s| s.path.segments())
    {
        use kurbo::ParamCurve;
        lines += 1;
        for k in 1..20_u8 {
            let p = segment.eval(f64::from(k) / 20.0);
            for label in &picture.labels {
                // Inside a convex area a point lies on the same side of all four sides.
                let side = |i: usize| {
                    let (a, b) = (label.area[i], label.area[(i + 1) % 4]);
                    (b - a).cross(p - a)
                };
                let all = |sign: f64| (0..4).all(|i| side(i) * sign > 1e-6);
                assert!(!all(1.0) && !all(-1.0), "{:?}", label.lines);
            }
        }
    }
    assert!(lines > 10, "{lines}");
}
