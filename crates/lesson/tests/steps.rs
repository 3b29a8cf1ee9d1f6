//! The steps of a key: complete, each picture holding the ones before, in the order and the words of a learner.

use std::collections::{BTreeMap, BTreeSet};

use glam::DVec3;
use wyeline_draw::iso::{self, IsoOptions};
use wyeline_draw::{Corner, Part, Picture};
use wyeline_exchange::{Frame, svg, svg_steps};
use wyeline_job::model::System;
use wyeline_lesson::steps::{Edge, Step, View, of_block, of_network};
use wyeline_network::Network;
use wyeline_sheet::{Group, Item};
use wyeline_units::Scale;
use wyeline_whole::{Built, examples};

/// Jobs with waste, vents, 45s, tilted pipe, rolling offsets, water with a return, metric figures.
const JOBS: [&str; 6] = [
    "half-bath",
    "attic-bath",
    "beam-offset",
    "family-bath-water",
    "flat-bath",
    "slab-house",
];

fn example(name: &str) -> Network {
    let (_, text) = examples::ALL
        .iter()
        .find(|(other, _)| *other == name)
        .expect("a shipped example");
    Built::of(text.as_bytes(), |_| {}).network
}

/// At 1/2 in to the foot a square of 1/4 in stands for 6 in; at 1:20 one of 5 mm for 100 mm.
fn view(network: &Network, corner: Corner) -> View {
    let metric = network.units.is_metric();
    View {
        corner,
        scale: Scale(if metric { 20 } else { 24 }),
        pitch_mm: if metric { 5.0 } else { 6.35 },
        systems: Vec::new(),
    }
}

fn key(network: &Network, view: &View) -> Picture {
    iso::iso(
        network,
        &IsoOptions {
            corner: view.corner,
            scale: view.scale,
            true_fall: false,
            part: Part::default(),
            labels_along: false,
            grid: false,
        },
    )
}

/// How often each thing is new.
fn counted<T: Ord + Copy>(steps: &[Step], of: impl Fn(&Step) -> Vec<T>) -> BTreeMap<T, usize> {
    let mut counts = BTreeMap::new();
    for one in steps.iter().flat_map(of) {
        *counts.entry(one).or_default() += 1;
    }
    counts
}

#[test]
fn every_mark_of_the_key_is_new_in_exactly_one_step() {
    for name in JOBS {
        let network = example(name);
        for corner in [Corner::Sw, Corner::Ne] {
            let view = view(&network, corner);
            let (key, steps) = (key(&network, &view), of_network(&network, &view));
            let once = |things: BTreeMap<usize, usize>, count: usize, what: &str| {
                let expected: BTreeMap<usize, usize> = (0..count).map(|at| (at, 1)).collect();
                assert_eq!(things, expected, "{name}: {what}");
            };
            let pipe = |pipe: &wyeline_network::model::PipeIx| pipe.0 as usize;
            once(
                counted(&steps, |step| step.new.pipes.iter().map(pipe).collect()),
                key.pipes.len(),
                "pipes",
            );
            once(
                counted(&steps, |step| step.new.symbols.clone()),
                key.symbols.len(),
                "symbols",
            );
            once(
                counted(&steps, |step| step.new.labels.clone()),
                key.labels.len(),
                "labels",
            );
            once(
                counted(&steps, |step| step.new.outlines.clone()),
                key.outlines.len(),
                "outlines",
            );
            let frames = counted(&steps, |step| step.new.frames.clone());
            let expected: BTreeSet<_> = key.frames.iter().map(|frame| frame.pipe).collect();
            assert_eq!(frames.keys().copied().collect::<BTreeSet<_>>(), expected);
            assert!(
                frames.values().all(|times| *times == 1),
                "{name}: {frames:?}"
            );
            let arrows = counted(&steps, |step| step.new.arrows.clone());
            let expected = key.pipes.iter().filter(|mark| !mark.arrows.is_empty());
            assert_eq!(arrows.len(), expected.count(), "{name}");
            assert!(arrows.values().all(|times| *times == 1), "{name}");
        }
    }
}

/// The shapes on a sheet, without their pens; the ring that shows where a step begins is no part of the key.
fn shapes(items: &[Item], into: &mut BTreeSet<String>) {
    for item in items {
        match item {
            Item::Stroke(mark) => {
                into.insert(mark.stroke.path.to_svg());
            }
            Item::Text(text) => {
                let at = text.lettering.at;
                into.insert(format!("{} at {at:?}", text.lettering.text));
            }
            Item::Group(Group { class: "ring", .. }) => {}
            Item::Group(group) => shapes(&group.items, into),
        }
    }
}

#[test]
fn each_picture_holds_the_one_before_unmoved() {
    for name in JOBS {
        let network = example(name);
        let steps = of_network(&network, &view(&network, Corner::Se));
        let mut before = BTreeSet::new();
        for step in &steps {
            let mut now = BTreeSet::new();
            shapes(&step.sheet.items, &mut now);
            let lost: Vec<&String> = before.difference(&now).collect();
            assert!(lost.is_empty(), "{name}, {}: {lost:?}", step.title);
            assert_eq!(step.sheet.size_mm, steps[0].sheet.size_mm);
            before = now;
        }
    }
}

#[test]
fn the_same_exercise_gives_the_same_bytes() {
    let written = || {
        let network = example("attic-bath");
        let steps = of_network(&network, &view(&network, Corner::Sw));
        let frames: Vec<Frame> = steps
            .iter()
            .map(|step| Frame {
                title: &step.title,
                sentence: &step.sentence,
                sheet: &step.sheet,
            })
            .collect();
        let sheets: Vec<String> = steps.iter().map(|step| svg(&step.sheet)).collect();
        (svg_steps(&frames), sheets)
    };
    assert!(written() == written());
}

/// Straight lines among pipes: those of one direction through one point are one.
fn lines(network: &Network, step: &Step) -> usize {
    let mut lines: Vec<(DVec3, DVec3)> = Vec::new();
    for &pipe in &step.new.pipes {
        let (a, b) = network.drawn(network.pipe(pipe));
        let way = (b - a).normalize_or_zero();
        let along = |(p, d): &(DVec3, DVec3)| {
            d.cross(way).length() < 0.02 && (a - *p).cross(*d).length() < 1.0
        };
        if way != DVec3::ZERO && !lines.iter().any(along) {
            lines.push((a, way));
        }
    }
    lines.len()
}

#[test]
fn no_step_draws_more_than_six_lines() {
    for name in JOBS {
        let network = example(name);
        for step in of_network(&network, &view(&network, Corner::Sw)) {
            let count = lines(&network, &step);
            assert!(count <= 6, "{name}, {}: {count}", step.title);
        }
    }
}

/// But for the uprights of a main, nothing is drawn that does not begin at something that is there, or where its system comes in.
#[test]
fn pipes_are_drawn_from_what_is_there() {
    for name in JOBS {
        let network = example(name);
        let mut there = BTreeSet::new();
        let mut begun: BTreeSet<System> = BTreeSet::new();
        let steps = of_network(&network, &view(&network, Corner::Sw));
        for step in steps.iter().filter(|step| !step.new.pipes.is_empty()) {
            let ends = |pipe| {
                let pipe = network.pipe(pipe);
                [pipe.from, pipe.to]
            };
            let nodes: Vec<_> = step.new.pipes.iter().flat_map(|pipe| ends(*pipe)).collect();
            let first = begun.insert(network.pipe(step.new.pipes[0]).system);
            let uprights = step.title.starts_with("Upright pipes");
            let touches = nodes.iter().any(|node| there.contains(node));
            let own_start = nodes.iter().any(|node| {
                let kind = network.node(*node).kind.word();
                matches!(kind, "start" | "port" | "continues")
            });
            assert!(
                first || uprights || touches || own_start,
                "{name}: {} begins nowhere",
                step.title
            );
            there.extend(nodes);
        }
    }
}

/// One pipe of four legs: 4 ft east, 2 ft up, a level 45 over legs of 3 ft, 2 ft north.
const PIPE: &str = "job Fern Row, one pipe
units ft-in
level main floor 0' ceiling 8'
cold c1
  start 1',1' main floor +1'
  size 3/4\"
  east 4'
  up 2'
  northeast legs 3'
  north 2'
  cap
";

fn told(text: &str) -> Vec<(String, String)> {
    let network = Built::of(text.as_bytes(), |_| {}).network;
    let steps = of_network(&network, &view(&network, Corner::Sw));
    steps
        .into_iter()
        .filter(|step| !step.new.pipes.is_empty() || !step.new.frames.is_empty() || step.new.axes)
        .map(|step| (step.title, step.sentence))
        .collect()
}

/// "C" stands in lines long enough for it. From the south-west east goes up to the right and north up to the left. 4 ft are 8 squares of 6 in, 3 ft are 6, 2 ft are 4;
/// the diagonal of 36 in by 36 in is 36 * 1.41421 = 50.912 in, to a sixteenth 50-15/16 = 4'-2 15/16".
#[test]
fn a_single_pipe_is_drawn_leg_by_leg_and_its_45_after_its_square() {
    let expected = [
        (
            "Axes and grid",
            "North goes up to the left, east up to the right, and height straight up; south, west and down go the other way. \
             Every length is counted along one of these three, 6\" to a square of the grid. Put a point for the start of the cold \
             main (ringed) where the drawing will have room, and count everything from there.",
        ),
        (
            "Leg 1 of 4",
            "From the start of the cold main (ringed), 4'-0\" east: up to the right, 8 squares of the grid. Letter the line C.",
        ),
        (
            "Leg 2 of 4",
            "From where the last line ended (ringed), 2'-0\" up, 4 squares.",
        ),
        (
            "The square of the level 45",
            "A 45 is never measured along its own line: it is the diagonal of a square. From the ring step off 3'-0\" east (up to \
             the right), 6 squares, from there 3'-0\" north (up to the left), 6 squares; close it with two lines along the axes, \
             and hatch one half.",
        ),
        (
            "Leg 3 of 4",
            "From the top of the upright (ringed), the diagonal, 3'-0\" east and 3'-0\" north at once: 4'-2 15/16\" of pipe centre \
             to centre, though the line on paper has another length. Letter the line C.",
        ),
        (
            "Leg 4 of 4",
            "From where the last line ended (ringed), 2'-0\" north: up to the left, 4 squares of the grid, to its cap.",
        ),
    ];
    let expected: Vec<(String, String)> = expected
        .iter()
        .map(|(title, sentence)| ((*title).to_owned(), (*sentence).to_owned()))
        .collect();
    assert_eq!(told(PIPE), expected);
}

/// A main with one branch: what lies beyond its last tee is a branch as the other is, and both come after it.
#[test]
fn branches_come_after_their_main() {
    let text = "job Fern Row, a tee
units ft-in
level main floor 0' ceiling 8'
cold c1
  start 1',1' main floor +1'
  size 3/4\"
  east 4'
  point TEE
  east 2'
  cap
cold c2
  start TEE
  size 3/4\"
  north 3'
  up 1'
  cap
";
    let told = told(text);
    let main = "From the start of the cold main (ringed), 4'-0\" east: up to the right, 8 squares of the grid. Letter the line C.";
    assert_eq!(told[1], ("The cold main".to_owned(), main.to_owned()));
    let rest: BTreeSet<&str> = told[2..].iter().map(|(_, said)| said.as_str()).collect();
    let expected = BTreeSet::from([
        "From the tee (ringed), 2'-0\" east: up to the right, 4 squares of the grid, to its cap. Letter the line C.",
        "From the tee (ringed), 3'-0\" north: up to the left, 6 squares of the grid. Then 1'-0\" up, 2 squares, to its cap. Letter the line C.",
    ]);
    assert_eq!(rest, expected);
}

/// A cube: from the south-west and above, the three edges at its far lower corner are hidden.
#[test]
fn a_block_is_drawn_from_its_base_upward_and_what_is_hidden_last() {
    let corner = |n: i32| {
        DVec3::new(
            f64::from(n & 1),
            f64::from(n >> 1 & 1),
            f64::from(n >> 2 & 1),
        ) * 100.0
    };
    let mut edges = Vec::new();
    for a in 0..8 {
        for bit in [1, 2, 4].into_iter().filter(|bit| a & bit == 0) {
            // The corner farthest from there is north-east at the bottom: bits 1 and 2.
            edges.push(Edge {
                from: corner(a),
                to: corner(a | bit),
                hidden: a == 3 || a | bit == 3,
            });
        }
    }
    let view = View {
        corner: Corner::Sw,
        scale: Scale(10),
        pitch_mm: 5.0,
        systems: Vec::new(),
    };
    let steps = of_block(&edges, &view);
    let titles: Vec<&str> = steps.iter().map(|step| step.title.as_str()).collect();
    let expected = [
        "Axes and grid",
        "The base",
        "The uprights",
        "The tops",
        "What is hidden",
        "Look it over",
    ];
    assert_eq!(titles, expected);
    // 12 edges: two of the base, three uprights and four of the top are seen, three are hidden.
    let counts: Vec<usize> = steps.iter().map(|step| step.new.edges.len()).collect();
    assert_eq!(counts, [0, 2, 3, 4, 3, 0]);
    let once = counted(&steps, |step| step.new.edges.clone());
    assert_eq!(once.len(), 12);
    // 100 mm at 1:10 are 10 mm of paper: two squares of 5 mm.
    assert_eq!(
        steps[2].sentence,
        "Every corner that is seen goes straight up: 2 squares up, 2 squares up and 2 squares up."
    );
}

#[test]
fn what_is_no_block_and_no_job_gives_steps_all_the_same() {
    let view = View {
        corner: Corner::Sw,
        scale: Scale(10),
        pitch_mm: 5.0,
        systems: Vec::new(),
    };
    let nowhere = Edge {
        from: DVec3::NAN,
        to: DVec3::ZERO,
        hidden: false,
    };
    assert_eq!(of_block(&[], &view).len(), 2);
    assert_eq!(of_block(&[nowhere], &view).len(), 2);
    assert_eq!(of_network(&Network::default(), &view).len(), 2);
}
