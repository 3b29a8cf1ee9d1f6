//! Lines that fall on each other, pulled apart.

use kurbo::{Point, Vec2};
use proptest::prelude::*;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_units::Scale;

use super::{drawn, network};
use crate::lines::pipe_lines;
use crate::overlap::{coinciding, pull_apart, stretches};
use crate::view::{Corner, Part};
use crate::{Projection, style};

/// The ends on paper of every pipe, pulled apart or not.
fn ends(net: &Network, corner: Corner) -> (Vec<[Point; 2]>, crate::overlap::Apart) {
    let lines = pipe_lines(
        net,
        Projection::new(corner, Scale(10)),
        &Part::default(),
        false,
    );
    let apart = pull_apart(net, &lines, &stretches(&lines));
    (lines.iter().map(|l| l.paper).collect(), apart)
}

/// Seen from south-west two points 500 (1, 1, -1) apart are one: so are two pipes going east.
fn one_behind_the_other() -> Network {
    network(&[
        (System::Cold, vec![[0.0, 0.0, 0.0], [3000.0, 0.0, 0.0]]),
        (
            System::Hot,
            vec![[900.0, 500.0, -500.0], [2400.0, 500.0, -500.0]],
        ),
    ])
}

/// The shorter one moves, square to itself, by 0.7 clear and two half pens of 0.25: 1.2 mm; and the
/// picture says so.
#[test]
fn two_in_one_line_are_set_side_by_side() {
    let picture = drawn(&one_behind_the_other(), Corner::Sw, 10);
    let (cold, hot) = (&picture.pipes[0], &picture.pipes[1]);
    assert_eq!(cold.shift, Vec2::ZERO);
    assert!((hot.shift.hypot() - 1.2).abs() < 1e-9);
    let along = (hot.pieces[0].1 - hot.pieces[0].0).normalize();
    assert!(hot.shift.dot(along).abs() < 1e-9);
    assert_eq!(picture.shifts.len(), 1);
    assert_eq!(
        (picture.shifts[0].pipe, picture.shifts[0].from),
        (hot.pipe, cold.pipe)
    );
    assert_eq!(picture.shifts[0].by, hot.shift);
}

/// From north-east the hot, 500 farther north and 500 lower, is nearer and lower: far apart on paper, and left
/// alone.
#[test]
fn from_another_corner_nothing_moves() {
    let picture = drawn(&one_behind_the_other(), Corner::Ne, 10);
    assert!(picture.shifts.is_empty() && picture.moved.is_empty());
}

/// Two pieces of one line in space do not hide each other, and stay.
#[test]
fn pipes_on_one_line_in_space_stay() {
    let net = network(&[
        (System::Cold, vec![[0.0, 0.0, 0.0], [2000.0, 0.0, 0.0]]),
        (System::Hot, vec![[1500.0, 0.0, 0.0], [3000.0, 0.0, 0.0]]),
    ]);
    assert!(drawn(&net, Corner::Sw, 10).shifts.is_empty());
}

/// The hot of the first case with a riser up at one end and a pipe north at the other: both stay on their
/// axes and joined to it, their far ends where they were.
#[test]
fn corners_stay_corners() {
    let net = network(&[
        (System::Cold, vec![[0.0, 0.0, 0.0], [3000.0, 0.0, 0.0]]),
        (
            System::Hot,
            vec![
                [900.0, 500.0, 300.0],
                [900.0, 500.0, -500.0],
                [2400.0, 500.0, -500.0],
                [2400.0, 900.0, -500.0],
            ],
        ),
    ]);
    let (before, apart) = ends(&net, Corner::Sw);
    let [riser, level, north] = [1, 2, 3].map(|i| apart.paper[i]);
    assert!(apart.shift[2].hypot() > 1.0);
    assert!(apart.jogs.iter().flatten().all(Option::is_none));
    assert!(riser[1].distance(level[0]) < 1e-9 && level[1].distance(north[0]) < 1e-9);
    assert_eq!((riser[0], north[1]), (before[1][0], before[3][1]));
    assert!(
        (riser[0].x - riser[1].x).abs() < 1e-9,
        "the riser is upright"
    );
    let d = north[1] - north[0];
    assert!(
        (d.y / d.x - (before[3][1].y - before[3][0].y) / (before[3][1].x - before[3][0].x)).abs()
            < 1e-9
    );
}

/// From south-west a level 45 to the north-east stands upright on paper, over a riser from the same point. One of
/// the two goes aside and a jog joins it.
#[test]
fn a_45_folding_back_over_a_riser_is_shown_beside_it() {
    let net = network(&[
        (System::Vent, vec![[0.0, 0.0, 0.0], [0.0, 0.0, 2000.0]]),
        (System::Waste, vec![[1000.0, 1000.0, 0.0], [0.0, 0.0, 0.0]]),
    ]);
    let (_, apart) = ends(&net, Corner::Sw);
    let gap = (apart.paper[0][0].x - apart.paper[1][1].x).abs();
    // Vent 0.5 and waste 0.7: half of each, and 0.7 between.
    assert!((gap - (0.7 + 0.25 + 0.35)).abs() < 1e-9, "{gap}");
    assert_eq!(apart.jogs.iter().flatten().flatten().count(), 1);
}

/// Three in one line: none of the three pairs is left on one another.
#[test]
fn three_in_one_line_are_all_shown() {
    let run =
        |system, k: f64, from: f64, to: f64| (system, vec![[from + k, k, -k], [to + k, k, -k]]);
    let net = network(&[
        run(System::Cold, 0.0, 0.0, 3000.0),
        run(System::Hot, 500.0, 100.0, 2500.0),
        run(System::Waste, 900.0, 400.0, 2800.0),
    ]);
    let (_, apart) = ends(&net, Corner::Sw);
    let halves = [0.25, 0.25, 0.35];
    for (i, j) in [(0, 1), (0, 2), (1, 2)] {
        let along = (apart.paper[i][1] - apart.paper[i][0]).normalize();
        let distance = along.cross(apart.paper[j][0] - apart.paper[i][0]).abs();
        assert!(
            distance > style::sizes().side_gap + halves[i] + halves[j] - 1e-6,
            "{i} {j}: {distance}"
        );
    }
}

fn runs() -> impl Strategy<Value = Vec<(System, Vec<[f64; 3]>)>> {
    // On a raster of 500, so that lines fall on each other often from some corner.
    let at = -3..3_i32;
    let run = (
        [at.clone(), at.clone(), at],
        prop::collection::vec(
            (0..4_usize, prop::sample::select(vec![-3, -2, -1, 1, 2, 3])),
            1..4,
        ),
        0..7_usize,
    );
    let run = run.prop_map(|(start, legs, system)| {
        let mut at = start;
        let place = |p: [i32; 3]| p.map(|v| f64::from(v) * 500.0);
        let mut points = vec![place(at)];
        for (axis, length) in legs {
            if axis == 3 {
                at[0] += length;
                at[1] += length;
            } else {
                at[axis] += length;
            }
            points.push(place(at));
        }
        (System::ALL[system], points)
    });
    prop::collection::vec(run, 2..9)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    /// All pairs: on paper side by side, not in line in space, for longer than 1 mm and closer than shows.
    #[test]
    fn coinciding_lines_are_all_found(runs in runs(), corner in 0..4_usize) {
        let net = network(&runs);
        let lines = pipe_lines(&net, Projection::new(Corner::ALL[corner], Scale(10)), &Part::default(), false);
        let found: Vec<(usize, usize)> = coinciding(&lines).iter().map(|b| (b.a, b.b)).collect();
        let mut all = Vec::new();
        for (i, a) in lines.iter().enumerate() {
            for (j, b) in lines.iter().enumerate().skip(i + 1) {
                let (u, v) = (a.paper[1] - a.paper[0], b.paper[1] - b.paper[0]);
                let along = u.normalize();
                if along.cross(v.normalize()).abs() > 0.01 {
                    continue;
                }
                let s = b.paper.map(|p| along.dot(p - a.paper[0]));
                let common = u.hypot().min(s[0].max(s[1])) - s[0].min(s[1]).max(0.0);
                let distance = along.cross(b.paper[0] - a.paper[0]).abs();
                let w = (a.space[1] - a.space[0]).normalize();
                let in_space = b.space.iter().all(|p| w.cross(*p - a.space[0]).length() < 0.5);
                if common > 1.0 && distance < 0.5 + a.half + b.half && !in_space {
                    all.push((i, j));
                }
            }
        }
        prop_assert_eq!(found, all);
    }

    /// However much is pulled aside: every line keeps its direction, and every node is still where all
    /// its pipes end, by themselves or by a jog.
    #[test]
    fn lines_keep_their_direction_and_stay_joined(runs in runs(), corner in 0..4_usize) {
        let net = network(&runs);
        let (before, apart) = ends(&net, Corner::ALL[corner]);
        let mut at = vec![None; net.nodes.len()];
        for (i, pipe) in net.pipes.iter().enumerate() {
            let (was, is) = (before[i][1] - before[i][0], apart.paper[i][1] - apart.paper[i][0]);
            prop_assert!(was.cross(is).abs() < 1e-6 * was.hypot().max(1.0));
            for (e, node) in [pipe.from, pipe.to].into_iter().enumerate() {
                let end = apart.jogs[i][e].unwrap_or(apart.paper[i][e]);
                let first: Point = *at[node.0 as usize].get_or_insert(end);
                prop_assert!(first.distance(end) < 1e-6, "{} {}", first, end);
            }
        }
    }
}
