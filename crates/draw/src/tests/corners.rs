//! The four corners against each other, and the choice among them.

use glam::DVec3;
use kurbo::Point;
use proptest::prelude::*;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_units::Scale;

use super::{drawn, network};
use crate::best::best;
use crate::view::{Corner, Part};
use crate::{Picture, Projection};

/// Two baths' worth of pipe: levels, risers, a 45, a crossing.
fn house() -> Network {
    network(&[
        (
            System::Waste,
            vec![
                [4000.0, 2500.0, 0.0],
                [4000.0, 2500.0, -600.0],
                [1500.0, 2500.0, -600.0],
                [500.0, 1500.0, -600.0],
                [500.0, -2000.0, -600.0],
            ],
        ),
        (
            System::Vent,
            vec![[1500.0, 2500.0, -600.0], [1500.0, 2500.0, 3300.0]],
        ),
        (
            System::Cold,
            vec![
                [-500.0, 700.0, -300.0],
                [3100.0, 700.0, -300.0],
                [3100.0, 2300.0, -300.0],
                [3100.0, 2300.0, 500.0],
            ],
        ),
        (
            System::Hot,
            vec![
                [-500.0, 900.0, -300.0],
                [2800.0, 900.0, -300.0],
                [2800.0, 2300.0, -300.0],
                [2800.0, 2300.0, 500.0],
            ],
        ),
    ])
}

/// Turned clockwise by so many quarters, as seen on the plan: east goes to south.
fn turned(net: &Network, quarters: u32) -> Network {
    let mut net = net.clone();
    for node in &mut net.nodes {
        for _ in 0..quarters {
            node.at = DVec3::new(node.at.y, -node.at.x, node.at.z);
        }
    }
    net
}

fn same(a: &Picture, b: &Picture) {
    assert_eq!(a.pipes.len(), b.pipes.len());
    for (p, q) in a.pipes.iter().zip(&b.pipes) {
        assert_eq!(p.pieces.len(), q.pieces.len());
        for (x, y) in p.pieces.iter().zip(&q.pieces) {
            assert!(
                x.0.distance(y.0) < 1e-6 && x.1.distance(y.1) < 1e-6,
                "{x:?} {y:?}"
            );
        }
        assert_eq!(p.arrows.len(), q.arrows.len());
    }
    assert_eq!(a.frames.len(), b.frames.len());
}

/// Walking round the building counter-clockwise from south-west, or standing still while it turns
/// clockwise, is the same picture.
#[test]
fn walking_round_is_turning_the_building() {
    let house = house();
    for (quarters, corner) in [Corner::Sw, Corner::Se, Corner::Ne, Corner::Nw]
        .into_iter()
        .enumerate()
    {
        let net = turned(&house, quarters as u32);
        same(&drawn(&house, corner, 24), &drawn(&net, Corner::Sw, 24));
    }
}

/// The order in which pipes are told changes nothing in the lines.
#[test]
fn the_order_of_pipes_does_not_matter() {
    let runs = [
        (
            System::Hot,
            vec![[0.0, 0.0, 0.0], [3000.0, 0.0, 0.0], [3000.0, 1500.0, 0.0]],
        ),
        (
            System::Cold,
            vec![[500.0, 200.0, 700.0], [500.0, 1900.0, 700.0]],
        ),
        (
            System::Waste,
            vec![[2000.0, -700.0, -300.0], [2000.0, 2200.0, -300.0]],
        ),
    ];
    let mut reversed = runs.clone();
    reversed.reverse();
    for corner in Corner::ALL {
        let lines = |runs| {
            let mut lines: Vec<_> = drawn(&network(runs), corner, 24)
                .pipes
                .into_iter()
                .flat_map(|p| p.pieces)
                .map(|(a, b)| [a.x, a.y, b.x, b.y].map(|v| (v * 1e6).round() as i64))
                .collect();
            lines.sort_unstable();
            lines
        };
        assert_eq!(lines(&runs), lines(&reversed));
    }
}

/// Half the scale, half of every length between nodes.
#[test]
fn half_the_scale_halves_every_length() {
    let net = house();
    for corner in Corner::ALL {
        let at = |scale, p| Projection::new(corner, Scale(scale)).point(p);
        for node in &net.nodes {
            let (full, half): (Point, Point) = (at(24, node.at), at(48, node.at));
            assert!((full.to_vec2() - half.to_vec2() * 2.0).hypot() < 1e-9);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Two opposite corners give a point back: with u = (x - y) cos 30 and v = (x + y)/2 + z from south-west, and
    /// v' = -(x + y)/2 + z from north-east: z = (v + v')/2, x + y = v - v', x - y = u / cos 30.
    #[test]
    fn two_corners_give_the_plan_back(p in [-1e5..1e5_f64, -1e5..1e5_f64, -1e4..1e4_f64]) {
        let at = |corner| Projection::new(corner, Scale(1)).point(p.into());
        let (sw, ne) = (at(Corner::Sw), at(Corner::Ne));
        let (v, w) = (-sw.y, -ne.y);
        let (sum, difference) = (v - w, sw.x / (3.0_f64.sqrt() / 2.0));
        let back = [f64::midpoint(sum, difference), (sum - difference) / 2.0, f64::midpoint(v, w)];
        for (a, b) in p.iter().zip(back) {
            prop_assert!((a - b).abs() < 1e-6);
        }
    }
}

/// A level 45 going north-east stands upright from south-west and north-east, and lies level, as
/// nothing else does, from south-east and north-west. South-east, with north to the upper right, is taken.
#[test]
fn the_corner_from_which_a_45_reads_as_a_riser_is_avoided() {
    let net = network(&[(
        System::Waste,
        vec![
            [4000.0, 7000.0, 0.0],
            [4000.0, 3000.0, 0.0],
            [1000.0, 0.0, 0.0],
            [-3000.0, 0.0, 0.0],
        ],
    )]);
    let choice = best(&net, &Part::default(), Scale(48));
    assert_eq!(choice.corner, Corner::Se);
    assert_eq!(
        choice.reason,
        "south-east: no offset reads as a riser or as level pipe against 0 to 1 from the other corners; north runs up to the right"
    );
    for score in choice.scores {
        let upright = matches!(score.corner, Corner::Sw | Corner::Ne);
        assert_eq!(score.false_axes, u32::from(upright), "{:?}", score.corner);
    }
}

/// Along (1, 1, -1) one looks from south-west: (1000, 1000, -800) is v = 1000 - 800 = 200 there, on 1625 of true
/// length; from north-east it is v = -1000 - 800 = -1800.
#[test]
fn a_travel_along_the_sight_is_short() {
    let net = network(&[(
        System::Waste,
        vec![[0.0, 0.0, 0.0], [1000.0, 1000.0, -800.0]],
    )]);
    let choice = best(&net, &Part::default(), Scale(48));
    let short = choice.scores.map(|s| (s.corner, s.short_travels));
    assert!(short.contains(&(Corner::Sw, 1)) && short.contains(&(Corner::Ne, 0)));
    assert_ne!(choice.corner, Corner::Sw);
}

/// A 45 that stands upright from south-west and north-east on the fullest of three storeys of 3000 mm, level pipe in
/// plenty on all: 1000 + 2000 + 1500 pipes are more than 4,000, and the middle storey alone makes up the slice.
#[test]
fn a_large_network_is_judged_on_its_fullest_storey() {
    let mut runs: Vec<(System, Vec<[f64; 3]>)> = Vec::new();
    let mut level = |count: u32, z: f64| {
        for i in 0..count {
            let (x, y) = (f64::from(i % 50) * 3000.0, f64::from(i / 50) * 3000.0);
            runs.push((System::Cold, vec![[x, y, z], [x + 500.0, y, z]]));
        }
    };
    level(1000, 100.0);
    level(1999, 3100.0);
    level(1500, 6100.0);
    let skew = |z: f64| vec![[-9000.0, -9000.0, z], [-8000.0, -8000.0, z]];
    runs.push((System::Waste, skew(3100.0)));
    let mut net = network(&runs);
    net.levels = [0.0, 3000.0, 6000.0]
        .map(|floor| wyeline_network::model::Level {
            name: String::new(),
            floor,
            ceiling: None,
            underside: None,
            joists: None,
        })
        .into();
    let choice = best(&net, &Part::default(), Scale(48));
    assert!(
        choice.reason.ends_with("; judged on 2000 of 4500 pipes"),
        "{}",
        choice.reason
    );
    for score in choice.scores {
        let upright = matches!(score.corner, Corner::Sw | Corner::Ne);
        assert_eq!(score.false_axes, u32::from(upright));
    }
    // Without the top storey there are 3,000, which are all judged.
    net.pipes
        .retain(|p| net.nodes[p.from.0 as usize].at.z < 6000.0);
    for node in &mut net.nodes {
        node.pipes.clear();
    }
    let choice = best(&net, &Part::default(), Scale(48));
    assert!(!choice.reason.contains("judged on"), "{}", choice.reason);
}
