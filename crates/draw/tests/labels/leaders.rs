//! What a leader may cross, as the independent check reckons it.

use kurbo::{Point, Vec2};
use wyeline_draw::label::{Touch, What, check};
use wyeline_draw::picture::{About, Label, LabelClass, Picture, PipeMark};
use wyeline_draw::{Corner, View, style};
use wyeline_job::model::System;
use wyeline_network::model::PipeIx;
use wyeline_units::Scale;

/// A drain from (-50, 0) to (50, 0), 0.7 mm thick, and a leader between two points of a label whose
/// words stand far off.
fn touches(from: Point, to: Point) -> Vec<Touch> {
    let view = View::Iso {
        corner: Corner::Sw,
        true_fall: false,
    };
    let mut made = Picture::new(view, String::new(), Scale(48));
    made.pipes.push(PipeMark {
        pipe: PipeIx(0),
        system: System::Waste,
        pen: style::pen(System::Waste, false),
        pieces: vec![(Point::new(-50.0, 0.0), Point::new(50.0, 0.0))],
        shift: Vec2::ZERO,
        arrows: Vec::new(),
    });
    made.labels.push(Label {
        about: About::Building,
        class: LabelClass::Note,
        lines: Vec::new(),
        area: [(0.0, 90.0), (9.0, 90.0), (9.0, 95.0), (0.0, 95.0)].map(Point::from),
        leader: Some((from, to)),
        strokes: Vec::new(),
    });
    check(&made)
}

/// A leader of 20 mm through the origin, at an angle to the pipe: its ends are 10 mm of slant off, at
/// least 10 sin 20 = 3.4 mm from the pipe's middle.
fn at_degrees(degrees: f64) -> Vec<Touch> {
    let way = Vec2::from_angle(degrees.to_radians()) * 10.0;
    touches(Point::ZERO - way, Point::ZERO + way)
}

fn one_touch() -> Vec<Touch> {
    vec![Touch {
        one: What::Leader(0),
        other: What::Pipe(0),
    }]
}

#[test]
fn a_leader_may_cross_a_pipe_at_thirty_degrees_or_more() {
    for degrees in [30.0, 45.0, 90.0, 135.0, 150.0, 210.0] {
        assert_eq!(at_degrees(degrees), [], "{degrees}");
    }
}

#[test]
fn a_leader_across_a_pipe_at_less_than_thirty_degrees_touches_it() {
    for degrees in [20.0, 29.0, 151.0, 160.0, 200.0] {
        assert_eq!(at_degrees(degrees), one_touch(), "{degrees}");
    }
}

#[test]
fn a_leader_along_a_pipe_touches_it() {
    assert_eq!(at_degrees(0.0), one_touch());
}

/// Square to the pipe, so only the end can offend: on the pipe's middle, in its edge (0.3 mm off, half
/// the pen being 0.35), and passing it by no more than a hair.
#[test]
fn a_leader_that_ends_on_a_pipe_touches_it() {
    for end in [0.0, -0.3, 0.2] {
        let (near, far) = (Point::new(0.0, end), Point::new(0.0, -10.0));
        assert_eq!(touches(far, near), one_touch(), "{end}");
        assert_eq!(touches(near, far), one_touch(), "{end}, other way round");
    }
}

/// 0.36 mm from the middle of a pipe of half a pen 0.35.
#[test]
fn a_leader_that_ends_short_of_a_pipe_does_not_touch_it() {
    assert_eq!(touches(Point::new(0.0, -10.0), Point::new(0.0, -0.36)), []);
}
