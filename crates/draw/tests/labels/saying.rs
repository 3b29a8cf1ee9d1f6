//! What labels say.

use wyeline_draw::iso::{IsoOptions, iso};
use wyeline_draw::label::{Options, place};
use wyeline_draw::picture::{About, LabelClass};
use wyeline_draw::{Corner, Part, Picture};
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{
    Beyond, Device, FallSlope, Flag, Flagged, Level, NodeIx, NodeKind, PipeIx,
};
use wyeline_units::{Scale, Slope, UnitSystem};

use super::bench::{FOOT, INCH, node, picture, pipe};

fn placed(net: &Network) -> Picture {
    let mut made = picture(net, 24);
    place(net, &mut made, &Options::default());
    assert!(made.overflow.is_empty(), "room enough: {:?}", made.overflow);
    made
}

/// The words about something, in their order.
fn words(picture: &Picture, about: About, class: LabelClass) -> String {
    let labels = picture
        .labels
        .iter()
        .filter(|l| l.about == about && l.class == class);
    let lines: Vec<&str> = labels
        .flat_map(|l| &l.lines)
        .map(|l| l.text.as_str())
        .collect();
    lines.join(" ")
}

fn of_pipe(picture: &Picture, ix: PipeIx) -> String {
    words(picture, About::Pipe(ix), LabelClass::Pipe)
}

fn height(picture: &Picture, ix: NodeIx) -> String {
    words(picture, About::Node(ix), LabelClass::Height)
}

/// A stack falling from a level pipe, running on level: feet (12,0,8) > (6,0,8) > (6,0,0) > (0,0,0).
fn stack() -> (Network, [NodeIx; 4], [PipeIx; 3]) {
    let mut net = Network::default();
    let w = System::Waste;
    let a = node(&mut net, (12.0, 0.0, 8.0), NodeKind::Cap, w);
    let b = node(&mut net, (6.0, 0.0, 8.0), NodeKind::Turn, w);
    let c = node(&mut net, (6.0, 0.0, 0.0), NodeKind::Turn, w);
    let d = node(&mut net, (0.0, 0.0, 0.0), NodeKind::Start, w);
    let pipes = [
        pipe(&mut net, a, b, 3),
        pipe(&mut net, b, c, 3),
        pipe(&mut net, c, d, 3),
    ];
    for (ix, fall) in [(pipes[0], 1.5), (pipes[1], 96.0), (pipes[2], 1.5)] {
        net.pipes[ix.0 as usize].fall_mm = fall * INCH;
    }
    for ix in [pipes[0], pipes[2]] {
        let fall = FallSlope {
            slope: Slope::QUARTER_INCH_PER_FOOT,
            assumed: false,
        };
        net.pipes[ix.0 as usize].slope = Some(fall);
    }
    (net, [a, b, c, d], pipes)
}

#[test]
fn a_pipe_says_size_length_and_fall() {
    let (net, _, pipes) = stack();
    let made = placed(&net);
    assert_eq!(of_pipe(&made, pipes[0]), "3\" 6'-0\" 1/4\"/ft");
    assert_eq!(
        of_pipe(&made, pipes[1]),
        "3\" 8'-0\"",
        "a drop has no fall to state"
    );
}

#[test]
fn the_slope_arrow_points_downhill() {
    // Flow goes west, which from the south-west corner is down to the left on paper.
    let (net, _, pipes) = stack();
    let made = placed(&net);
    let label = made
        .labels
        .iter()
        .find(|l| l.about == About::Pipe(pipes[0]))
        .expect("labelled");
    let head = label
        .strokes
        .iter()
        .find(|s| s.fill.is_some())
        .expect("a filled head");
    let shaft = label
        .strokes
        .iter()
        .find(|s| s.pen.is_some())
        .expect("a shaft");
    let first = |s: &wyeline_draw::ink::Stroke| match s.path.elements()[0] {
        kurbo::PathEl::MoveTo(p) => p,
        other => panic!("a path begins with a move, not {other:?}"),
    };
    // The head begins at its tip, the shaft at its tail.
    let way = first(head) - first(shaft);
    assert!(way.x < 0.0 && way.y > 0.0);
    // It lies parallel to the pipe: 30 degrees.
    assert!((way.y / -way.x - 30.0_f64.to_radians().tan()).abs() < 1e-6);
}

#[test]
fn assumed_slopes_existing_and_unverified_pipe_are_marked() {
    let (mut net, _, pipes) = stack();
    let first = &mut net.pipes[pipes[0].0 as usize];
    first.slope = Some(FallSlope {
        slope: Slope::QUARTER_INCH_PER_FOOT,
        assumed: true,
    });
    first.existing = true;
    first.unverified = true;
    let made = placed(&net);
    assert_eq!(
        of_pipe(&made, pipes[0]),
        "3\" 6'-0\" 1/4\"/ft* (E) (verify)"
    );
}

#[test]
fn a_level_45_says_its_angle_and_its_diagonal() {
    // 3 ft square: 4.2426 ft = 4 ft 2.912 in, so 4'-2 15/16" to the nearest sixteenth.
    let mut net = Network::default();
    let a = node(&mut net, (0.0, 0.0, 0.0), NodeKind::Turn, System::Vent);
    let b = node(&mut net, (3.0, 3.0, 0.0), NodeKind::Turn, System::Vent);
    let p = pipe(&mut net, a, b, 2);
    assert_eq!(of_pipe(&placed(&net), p), "2\" 4'-2 15/16\" 45°");
}

#[test]
fn pieces_in_line_share_one_fall_and_keep_their_own_lengths() {
    // 6 ft and 4 ft in line: the longer one says the fall.
    let mut net = Network::default();
    let w = System::Waste;
    let a = node(&mut net, (10.0, 0.0, 0.0), NodeKind::Cap, w);
    let b = node(&mut net, (6.0, 0.0, 0.0), NodeKind::Inline, w);
    let c = node(&mut net, (0.0, 0.0, 0.0), NodeKind::Start, w);
    let pipes = [pipe(&mut net, a, b, 3), pipe(&mut net, b, c, 3)];
    for ix in pipes {
        let p = &mut net.pipes[ix.0 as usize];
        p.slope = Some(FallSlope {
            slope: Slope::QUARTER_INCH_PER_FOOT,
            assumed: false,
        });
        p.fall_mm = INCH;
    }
    let made = placed(&net);
    assert_eq!(of_pipe(&made, pipes[0]), "3\" 4'-0\"");
    assert_eq!(of_pipe(&made, pipes[1]), "3\" 6'-0\" 1/4\"/ft");
}

#[test]
fn inverts_are_said_at_the_ends_and_at_changes_of_level() {
    // Bore 3.068 in (schedule 40): inverts given 1.534 in below the centres, here rounded by hand.
    let (mut net, nodes, pipes) = stack();
    let set = |net: &mut Network, ix: PipeIx, from: f64, to: f64| {
        net.pipes[ix.0 as usize].invert_from = Some(from * INCH);
        net.pipes[ix.0 as usize].invert_to = Some(to * INCH);
    };
    set(&mut net, pipes[0], 96.0, 94.5);
    set(&mut net, pipes[2], 0.0, -1.5);
    let made = placed(&net);
    assert_eq!(height(&made, nodes[0]), "INV +8'-0\"");
    assert_eq!(height(&made, nodes[1]), "INV +7'-10 1/2\"");
    assert_eq!(
        height(&made, nodes[2]),
        "INV +0'-0\"",
        "the stack's base: the pipe that leaves it"
    );
    assert_eq!(height(&made, nodes[3]), "INV -0'-1 1/2\"");
}

#[test]
fn pipe_without_a_bore_gets_centre_heights_once_along_a_level_stretch() {
    // A level cold main at +4 ft with two risers from it: its height is said once, the risers'
    // tops once each.
    let mut net = Network::default();
    let c = System::Cold;
    let start = node(&mut net, (0.0, 0.0, 4.0), NodeKind::Start, c);
    let b = node(&mut net, (6.0, 0.0, 4.0), NodeKind::Junction, c);
    let e = node(&mut net, (12.0, 0.0, 4.0), NodeKind::Turn, c);
    let top = node(&mut net, (6.0, 0.0, 7.0), NodeKind::Stub, c);
    let end = node(&mut net, (12.0, 0.0, 8.0), NodeKind::Stub, c);
    for (from, to) in [(start, b), (b, e), (b, top), (e, end)] {
        pipe(&mut net, from, to, 1);
    }
    let made = placed(&net);
    let said: Vec<String> = [start, b, e, top, end]
        .iter()
        .map(|&n| height(&made, n))
        .collect();
    assert_eq!(said, ["CL +4'-0\"", "", "", "CL +7'-0\"", "CL +8'-0\""]);
}

#[test]
fn heights_are_those_of_the_benchmark_where_one_is_named() {
    let mut net = Network {
        units: UnitSystem::Metres,
        datum_mm: Some(101_450.0),
        ..Network::default()
    };
    let a = node(&mut net, (0.0, 0.0, 0.0), NodeKind::Start, System::Cold);
    let b = node(&mut net, (6.0, 0.0, 0.0), NodeKind::Cap, System::Cold);
    pipe(&mut net, a, b, 1);
    assert_eq!(height(&placed(&net), a), "CL +101.450");
}

#[test]
fn ends_devices_and_notes_are_named() {
    let (mut net, nodes, _) = stack();
    let load = Some("20 dfu".to_owned());
    net.nodes[nodes[0].0 as usize].kind = NodeKind::Continues {
        to: "to east wing".to_owned(),
        load,
        beyond: Beyond::default(),
    };
    net.nodes[nodes[1].0 as usize].note = Some("cut in here".to_owned());
    net.nodes[nodes[2].0 as usize].device = Some(Device {
        kind: wyeline_job::model::DeviceKind::Cleanout,
        tag: Some("CO1".to_owned()),
        length_mm: None,
        setting: None,
        loses: None,
    });
    let made = placed(&net);
    let note = |n| words(&made, About::Node(n), LabelClass::Note);
    assert_eq!(note(nodes[0]), "to east wing 20 dfu");
    assert_eq!(note(nodes[1]), "cut in here");
    assert_eq!(
        words(&made, About::Node(nodes[2]), LabelClass::Tag),
        "CO CO1"
    );
}

#[test]
fn a_vent_through_the_roof_says_so_with_its_height() {
    let mut net = Network::default();
    let a = node(&mut net, (0.0, 0.0, 0.0), NodeKind::Turn, System::Vent);
    let b = node(&mut net, (0.0, 0.0, 12.5), NodeKind::RoofEnd, System::Vent);
    pipe(&mut net, a, b, 2);
    assert_eq!(
        words(&placed(&net), About::Node(b), LabelClass::Note),
        "VTR +12'-6\""
    );
}

#[test]
fn floors_and_ceilings_are_marked_with_their_heights() {
    let (mut net, ..) = stack();
    net.levels.push(Level {
        name: "main".to_owned(),
        floor: 0.0,
        ceiling: Some(8.0 * FOOT),
        underside: None,
        joists: None,
    });
    // Marks stand at outlines, which the whole drawing has.
    let made = iso(
        &net,
        &IsoOptions {
            corner: Corner::Sw,
            scale: Scale(24),
            true_fall: false,
            part: Part::default(),
            labels_along: false,
            grid: false,
        },
    );
    let said = words(&made, About::Building, LabelClass::Level);
    assert_eq!(said, "MAIN FLOOR  +0'-0\" MAIN CEILING  +8'-0\"");
}

#[test]
fn what_finds_no_room_is_numbered_and_listed_with_the_same_words() {
    // Nine risers an inch apart: most of the words cannot stand beside them.
    let mut net = Network::default();
    for i in 0..9 {
        let x = f64::from(i) / 12.0;
        let a = node(&mut net, (x, 0.0, 0.0), NodeKind::Turn, System::Hot);
        let b = node(&mut net, (x, 0.0, 1.0), NodeKind::Turn, System::Hot);
        pipe(&mut net, a, b, 1);
    }
    let mut made = picture(&net, 48);
    place(&net, &mut made, &Options::default());
    assert!(!made.overflow.is_empty());
    for (i, (tag, text)) in made.overflow.iter().enumerate() {
        assert_eq!(*tag, (i + 1).to_string());
        assert!(text.starts_with("1\"  1'-0\""), "{text}");
    }
    let blocks = made
        .labels
        .iter()
        .filter(|l| l.class == LabelClass::Pipe)
        .count();
    let untagged = made
        .overflow
        .iter()
        .filter(|o| o.1.contains("pipe with"))
        .count();
    assert_eq!(
        blocks + untagged,
        9,
        "a block, a number or a place in words for each"
    );
}

#[test]
fn what_breaks_a_rule_is_flagged_at_its_place_in_hexagons() {
    let (mut net, nodes, pipes) = stack();
    let flag = |number, at| Flag {
        number,
        at,
        text: String::new(),
    };
    net.flags = vec![
        flag(1, Flagged::Node(nodes[2])),
        flag(2, Flagged::Pipe(pipes[0])),
        flag(3, Flagged::Node(nodes[2])),
        flag(4, Flagged::Job),
    ];
    let made = placed(&net);
    let flags = made.labels.iter().filter(|l| l.class == LabelClass::Flag);
    let mut said: Vec<(About, String, usize)> = flags
        .map(|l| {
            let words: Vec<&str> = l.lines.iter().map(|line| line.text.as_str()).collect();
            (l.about, words.join(" "), l.strokes.len())
        })
        .collect();
    said.sort_by(|a, b| a.1.cmp(&b.1));
    // One hexagon for each number; what concerns the whole job has no place.
    assert_eq!(
        said,
        [
            (About::Node(nodes[2]), "1 3".to_owned(), 2),
            (About::Pipe(pipes[0]), "2".to_owned(), 1),
        ]
    );
}
