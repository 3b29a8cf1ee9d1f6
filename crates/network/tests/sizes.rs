//! Sizes that were worked out, and the diameters and inverts that follow from them.

mod support;

use support::network;
use wyeline_network::model::DoubtKind;
use wyeline_network::with_sizes;
use wyeline_units::Size;

const INCH: f64 = 25.4;
const THREE: Size = Size::Inch { eighths: 24 };

/// A drain rising 1/4 in per ft over 8 ft, from a centre 3 ft below the floor, with a riser at its end.
fn drain(size: &str) -> String {
    format!(
        "job d\nunits ft-in\nlevel main floor 0'\nslope 1/4 in per ft\n\
         waste d\n  start 0',0' main floor -3'\n{size}  east 8'\n  up 1'\n  cap\n"
    )
}

/// 3 in Schedule 40 is 3.500 in outside and 3.068 in inside: the invert lies 1.534 in below the centre, which begins 36 in below the
/// floor and is 2 in higher at the other end.
#[test]
fn a_size_worked_out_brings_diameters_and_inverts() {
    let told = network(&drain(""));
    let count = told.pipes.len();
    assert_eq!(told.pipes[0].invert_to, None);
    let sized = with_sizes(told.clone(), &vec![Some(THREE); count]);
    let pipe = &sized.pipes[0];
    assert!(pipe.worked_out && pipe.size == Some(THREE));
    let close = |found: Option<f64>, inches: f64| {
        let found = found.expect("known") / INCH;
        assert!((found - inches).abs() < 1e-9, "{found} instead of {inches}");
    };
    close(pipe.bore_mm, 3.068);
    close(pipe.outside_mm, 3.5);
    close(pipe.invert_to, -36.0 - 1.534);
    close(pipe.invert_from, -34.0 - 1.534);
    // What is plumb has no invert, and nothing has moved.
    assert_eq!(sized.pipes[1].invert_from, None);
    for (before, after) in told.nodes.iter().zip(&sized.nodes) {
        assert_eq!((before.at, before.z_drawn), (after.at, after.z_drawn));
    }
}

/// The same drain told with its size has the same diameters, inverts and doubts.
#[test]
fn a_size_worked_out_is_as_good_as_one_that_is_told() {
    let worked_out = network(&drain(""));
    let count = worked_out.pipes.len();
    let worked_out = with_sizes(worked_out, &vec![Some(THREE); count]);
    let told = network(&drain("  size 3\"\n"));
    for (one, other) in worked_out.pipes.iter().zip(&told.pipes) {
        assert_eq!(
            (one.bore_mm, one.outside_mm, one.invert_from, one.invert_to),
            (
                other.bore_mm,
                other.outside_mm,
                other.invert_from,
                other.invert_to
            )
        );
    }
    let said = |network: &wyeline_network::Network| {
        let doubts = network.doubts.iter();
        doubts.map(|doubt| doubt.text.clone()).collect::<Vec<_>>()
    };
    assert_eq!(said(&worked_out), said(&told));
}

/// What no table sizes stays without a size, and is still said to have none; a size that is told stays as it is.
#[test]
fn only_what_has_no_size_is_given_one() {
    let told = network(&drain(""));
    let count = told.pipes.len();
    let none = with_sizes(told, &vec![None; count]);
    assert!(
        none.doubts
            .iter()
            .any(|doubt| doubt.why == DoubtKind::Unknown)
    );
    assert!(none.pipes.iter().all(|pipe| !pipe.worked_out));
    let stated = network(&drain("  size 4\"\n"));
    let kept = with_sizes(stated, &vec![Some(THREE); count]);
    assert!(
        kept.pipes
            .iter()
            .all(|pipe| !pipe.worked_out && pipe.size != Some(THREE))
    );
}

/// 8 in below the floor.
#[test]
fn grade_is_a_height() {
    let told = network("units ft-in\nlevel main floor 1'\ngrade main floor -8\"\n");
    assert_eq!(told.building.grade.map(|mm| (mm / INCH).round()), Some(4.0));
    assert_eq!(network("units ft-in\n").building.grade, None);
}
