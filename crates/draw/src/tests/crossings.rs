//! Breaks against a look along the line of sight in three dimensions.

use glam::{DMat3, DVec3};
use kurbo::Point;
use proptest::prelude::*;
use wyeline_job::model::System;
use wyeline_network::Network;

use super::{drawn, network};
use crate::crossing::crossings;
use crate::lines::{PipeLine, pipe_lines};
use crate::view::{Corner, Part};
use crate::{Projection, style};
use wyeline_units::Scale;

/// Away from the viewer, in space: half a room's diagonal and down.
fn sight(corner: Corner) -> DVec3 {
    match corner {
        Corner::Sw => DVec3::new(1.0, 1.0, -1.0),
        Corner::Se => DVec3::new(-1.0, 1.0, -1.0),
        Corner::Ne => DVec3::new(-1.0, -1.0, -1.0),
        Corner::Nw => DVec3::new(1.0, -1.0, -1.0),
    }
}

fn lines(net: &Network, corner: Corner) -> (Vec<PipeLine>, Vec<[Point; 2]>) {
    let lines = pipe_lines(
        net,
        Projection::new(corner, Scale(10)),
        &Part::default(),
        false,
    );
    let paper = lines.iter().map(|l| l.paper).collect();
    (lines, paper)
}

/// A pipe going north 1 m above one going east crosses in front of it, seen from above.
#[test]
fn the_upper_of_two_level_pipes_is_in_front() {
    for reversed in [false, true] {
        let mut runs = vec![
            (
                System::Cold,
                vec![[0.0, 0.0, 1000.0], [0.0, 2000.0, 1000.0]],
            ),
            (System::Hot, vec![[-2000.0, 0.0, 0.0], [4000.0, 0.0, 0.0]]),
        ];
        if reversed {
            runs.reverse();
        }
        let net = network(&runs);
        // From south-west one looks along (1, 1, -1): 1000 of it would take (0, -1000, 1000), which is
        // off the upper pipe, to (1000, 0, 0).
        let (seen, paper) = lines(&net, Corner::Sw);
        assert_eq!(crossings(&seen, &paper), []);
        // From north-west along (1, -1, -1): 1000 of it takes (0, 1000, 1000) to (1000, 0, 0).
        let (seen, paper) = lines(&net, Corner::Nw);
        let found = crossings(&seen, &paper);
        assert_eq!(found.len(), 1);
        assert_eq!(net.pipe(seen[found[0].front].pipe).system, System::Cold);
        assert_eq!(net.pipe(seen[found[0].behind].pipe).system, System::Hot);
    }
}

/// Pipes with a node in common, and pipes that truly run into each other, are not broken.
#[test]
fn pipes_that_meet_are_not_broken() {
    let tee = [
        (
            System::Cold,
            vec![[0.0, 0.0, 0.0], [1000.0, 0.0, 0.0], [2000.0, 0.0, 0.0]],
        ),
        (System::Cold, vec![[1000.0, 0.0, 0.0], [1000.0, 800.0, 0.0]]),
    ];
    let clash = [
        (System::Cold, vec![[0.0, 0.0, 0.0], [2000.0, 0.0, 0.0]]),
        (
            System::Hot,
            vec![[1000.0, -900.0, 0.0], [1000.0, 800.0, 0.0]],
        ),
    ];
    for runs in [&tee, &clash] {
        let net = network(runs);
        for corner in Corner::ALL {
            let (lines, paper) = lines(&net, corner);
            assert_eq!(crossings(&lines, &paper), []);
        }
    }
}

/// Which of two drains is behind is told by where they truly are, though the drawing sets a sloped
/// run at the height of its lower end.
#[test]
fn true_heights_decide() {
    let mut net = network(&[
        (System::Waste, vec![[0.0, 0.0, 400.0], [8000.0, 0.0, 0.0]]),
        (
            System::Cold,
            vec![[1000.0, -1000.0, 300.0], [1000.0, 1500.0, 300.0]],
        ),
    ]);
    // Drawn along the axis at height 0, below the cold at 300; where they pass, at x = 1000, the drain truly lies at
    // 400 - 400 / 8 = 350, above it.
    net.nodes[0].z_drawn = 0.0;
    let (lines, paper) = lines(&net, Corner::Sw);
    let found = crossings(&lines, &paper);
    assert_eq!(found.len(), 1);
    assert_eq!((found[0].front, found[0].behind), (0, 1));
}

/// Where a crossing is near the end of a pipe the gap goes on in the pipe after it: here the pipe
/// behind turns from north to up 5 mm of the building (0.5 mm on paper) beyond the line in front.
#[test]
fn a_gap_goes_on_round_a_corner() {
    let net = network(&[
        (
            System::Hot,
            vec![[0.0, 0.0, 0.0], [0.0, 1000.0, 0.0], [0.0, 1000.0, 900.0]],
        ),
        // From south-west one looks along (1, 1, -1): 500 nearer than (0, 995, 0) is (-500, 495, 500).
        (
            System::Cold,
            vec![[-900.0, 495.0, 500.0], [-100.0, 495.0, 500.0]],
        ),
    ]);
    let picture = drawn(&net, Corner::Sw, 10);
    let front = &picture.pipes[2];
    let (a, b) = (front.pieces[0].0, front.pieces.last().unwrap().1);
    let clear = style::sizes().crossing_gap + front.pen.width / 2.0;
    let along = (b - a).normalize();
    let ends = picture.pipes[..2]
        .iter()
        .flat_map(|p| &p.pieces)
        .flat_map(|p| [p.0, p.1]);
    let nearest = ends
        .map(|p| along.cross(p - a).abs())
        .fold(f64::INFINITY, f64::min);
    assert!(nearest > clear - 0.01, "{nearest} of {clear}");
}

fn point() -> impl Strategy<Value = [f64; 3]> {
    [
        -2000.0..2000.0_f64,
        -2000.0..2000.0_f64,
        -1000.0..1000.0_f64,
    ]
}

/// Pipes along axes and askew, each a run of one to three.
fn runs() -> impl Strategy<Value = Vec<(System, Vec<[f64; 3]>)>> {
    let leg = (0..8_usize, -1500.0..1500.0_f64);
    let run = (point(), prop::collection::vec(leg, 1..4), 0..7_usize).prop_map(
        |(start, legs, system)| {
            let mut at = DVec3::from(start);
            let mut points = vec![start];
            for (axis, length) in legs {
                let way = match axis {
                    0 | 1 => DVec3::X,
                    2 | 3 => DVec3::Y,
                    4 | 5 => DVec3::Z,
                    6 => DVec3::new(0.7, 0.7, 0.0),
                    _ => DVec3::new(0.6, 0.3, 0.5),
                };
                at += way * length;
                points.push(at.to_array());
            }
            (System::ALL[system], points)
        },
    );
    prop::collection::vec(run, 2..14)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    /// Every pair: a line of sight through both pipes at once, by solving A(s) + k sight = B(t); the
    /// one met first is in front. Pairs within a hand's breadth of an end are left to judgement.
    #[test]
    fn crossings_are_those_of_the_lines_of_sight(runs in runs(), corner in 0..4_usize) {
        let net = network(&runs);
        let corner = Corner::ALL[corner];
        let (lines, paper) = lines(&net, corner);
        let found = crossings(&lines, &paper);
        let mut pairs = 0;
        for (i, a) in lines.iter().enumerate() {
            for (j, b) in lines.iter().enumerate().skip(i + 1) {
                let (u, v) = (a.space[1] - a.space[0], b.space[1] - b.space[0]);
                let pa = (paper[i][1] - paper[i][0], paper[j][1] - paper[j][0]);
                let sine = pa.0.cross(pa.1).abs() / (pa.0.hypot() * pa.1.hypot());
                if sine.is_nan() || sine <= 0.065 {
                    continue;
                }
                let m = DMat3::from_cols(-u, v, -sight(corner));
                let stk = m.inverse() * (a.space[0] - b.space[0]);
                let (s, t, k) = (stk.x, stk.y, stk.z);
                let within = |x: f64, l: f64| if x * l > 20.0 && (1.0 - x) * l > 20.0 { Some(true) }
                    else if x * l < -60.0 || (x - 1.0) * l > 60.0 { Some(false) } else { None };
                let ours = found.iter().find(|c| (c.front, c.behind) == (i, j) || (c.front, c.behind) == (j, i));
                let joined = runs_share_a_node(&net, a, b);
                match (within(s, u.length()), within(t, v.length())) {
                    (Some(true), Some(true)) if !joined && k.abs() > 1.0 => {
                        pairs += 1;
                        let (front, behind) = if k > 0.0 { (i, j) } else { (j, i) };
                        prop_assert_eq!(ours.map(|c| (c.front, c.behind)), Some((front, behind)));
                    }
                    (Some(false), _) | (_, Some(false)) => prop_assert!(ours.is_none(), "{} {}: {} {} {}", i, j, s, t, k),
                    _ => {}
                }
            }
        }
        prop_assert!(found.len() >= pairs);
    }

    /// Whatever the angle, the line behind ends at the same clear distance from the edge of the one in front.
    #[test]
    fn gaps_are_equally_clear_at_any_angle(degrees in 10.0..170.0_f64) {
        let (sin, cos) = degrees.to_radians().sin_cos();
        // Two level pipes, the upper one turned; from south-west 600 above is 600 nearer along (1, 1, -1).
        let at = DVec3::new(-600.0, -600.0, 600.0);
        let upper = DVec3::new(cos, sin, 0.0) * 900.0;
        let net = network(&[
            (System::Gas, vec![[-900.0, 0.0, 0.0], [900.0, 0.0, 0.0]]),
            (System::Cold, vec![(at - upper).to_array(), (at + upper).to_array()]),
        ]);
        let (lines, paper) = lines(&net, Corner::Sw);
        let found = crossings(&lines, &paper);
        prop_assume!(found.len() == 1);
        let gaps = crate::crossing::breaks(&net, &lines, &paper, &found);
        prop_assume!(gaps[0].len() == 1 && gaps[0][0].0 > 0.0);
        let pieces = crate::crossing::pieces(paper[0], &gaps[0]);
        let along = (paper[1][1] - paper[1][0]).normalize();
        for end in [pieces[0].1, pieces[1].0] {
            let clear = along.cross(end - paper[1][0]).abs() - 0.25;
            prop_assert!((clear - 2.0).abs() < 1e-9, "{}", clear);
        }
    }
}

fn runs_share_a_node(net: &Network, a: &PipeLine, b: &PipeLine) -> bool {
    let (a, b) = (net.pipe(a.pipe), net.pipe(b.pipe));
    [a.from, a.to].iter().any(|n| [b.from, b.to].contains(n))
}
