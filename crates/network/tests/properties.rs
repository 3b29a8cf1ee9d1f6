//! What holds for every network, tried on many that chance has made.

mod support;

use std::fmt::Write as _;

use glam::DVec2;
use proptest::prelude::*;
use support::{INCH, built};
use wyeline_network::model::{Lie, Network};

const GROUP: &str = "level main floor 0' ceiling 8'\nroof 12'\ngroup bath\n\
    fixture WC water-closet here 0',3' faces east\nfixture LAV lavatory here 0',6' faces east drain left\n\
    fixture BT bathtub here 5',0' faces north drain left\nwall here 0',0' 10',0' 10',8' 0',8' 0',0' thick 6\"\n\
    waste d\nstart 1',-1' here floor -12\"\nsize 3\"\nmaterial pvc\nnorth to abreast WC.drain\ncatch WC\nsize 2\"\n\
    northeast 8\"\nnorth to abreast LAV.tee\nend LAV\n\
    vent v\nstart LAV.tee\nup 4'\noffset north 6\" east 8\" at 22.5\nup through roof\n\
    cold c\nstart 8',1' here floor -5\"\nsize 3/4\"\nwest to abreast LAV.cold\nend LAV\nend-group\n";

fn placed(how: &str) -> Network {
    built(&format!("{GROUP}place bath as U at {how}\n")).network
}

/// Turns counter-clockwise by quarters.
fn turned(at: DVec2, quarters: u8) -> DVec2 {
    (0..quarters % 4).fold(at, |at, _| at.perp())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Turning and moving a placement turns and moves every node of it, and nothing else changes.
    #[test]
    fn a_turned_placement_is_a_turned_network(x in -40_i32..40, y in -40_i32..40, quarters in 0_u8..4) {
        let turn = if quarters == 0 { String::new() } else { format!(" turned {}", u32::from(quarters) * 90) };
        let (plain, other) = (placed("0',0' on main"), placed(&format!("{x}',{y}' on main{turn}")));
        prop_assert_eq!(plain.nodes.len(), other.nodes.len());
        for (a, b) in plain.nodes.iter().zip(&other.nodes) {
            let expected = turned(a.at.truncate(), quarters) + DVec2::new(f64::from(x), f64::from(y)) * 12.0 * INCH;
            prop_assert_eq!(&a.id, &b.id);
            prop_assert!((expected - b.at.truncate()).length() < 1e-6, "{}: {} and {}", a.id, expected, b.at);
            prop_assert!((a.at.z - b.at.z).abs() < 1e-9 && (a.z_drawn - b.z_drawn).abs() < 1e-9);
            prop_assert_eq!(&a.kind, &b.kind);
        }
    }

    /// A mirrored placement is a mirrored network; only hot and cold keep their sides, so
    /// drains and vents are compared.
    #[test]
    fn a_mirrored_placement_is_a_mirrored_network(x in -40_i32..40, y in -40_i32..40, east_west: bool) {
        let axis = if east_west { "east-west" } else { "north-south" };
        let (plain, other) = (placed("0',0' on main"), placed(&format!("{x}',{y}' on main mirrored {axis}")));
        let flip = if east_west { DVec2::new(-1.0, 1.0) } else { DVec2::new(1.0, -1.0) };
        for (a, b) in plain.nodes.iter().zip(&other.nodes) {
            if a.system == wyeline_job::model::System::Cold {
                continue;
            }
            let expected = a.at.truncate() * flip + DVec2::new(f64::from(x), f64::from(y)) * 12.0 * INCH;
            prop_assert!((expected - b.at.truncate()).length() < 1e-6, "{}: {} and {}", a.id, expected, b.at);
            prop_assert!((a.at.z - b.at.z).abs() < 1e-9);
        }
    }

    /// Whatever way a drain is told, its pipes flow into one another down to its start, no pipe is without
    /// length, its developed length is the sum of them, and sloped pipe is drawn level.
    #[test]
    fn water_finds_its_way_out(moves in prop::collection::vec((0_u8..10, 1_u32..200), 1..25)) {
        let mut text = String::from("level main floor 0'\nfixture FD floor-drain main 100',100' faces south\nwaste d\nstart 0',0' datum -90'\nsize 3\"\nmaterial pvc\n");
        for (k, (what, far)) in moves.iter().enumerate() {
            let _ = match what {
                0 => writeln!(text, "east {far}\""),
                1 => writeln!(text, "north {far}\""),
                2 => writeln!(text, "northeast {far}\""),
                3 => writeln!(text, "up {far}\""),
                4 => writeln!(text, "up {far}\" at 45 north"),
                5 => writeln!(text, "offset up {far}\" south 4\" at 22.5 going east"),
                6 => writeln!(text, "slope 1/8 in per ft\nwest {far}\""),
                7 => writeln!(text, "point P{k}"),
                8 => writeln!(text, "size 2\" crowns"),
                _ => writeln!(text, "southwest legs {far}\""),
            };
        }
        text.push_str("end FD\n");
        let n = built(&text).network;
        let start = n.nodes.iter().position(|node| node.id == "d:0").unwrap();
        for pipe in &n.pipes {
            prop_assert_ne!(pipe.from, pipe.to);
            let (a, b) = n.true_ends(pipe);
            prop_assert!(a.distance(b) > 1e-6, "{} has no length", pipe.id);
            let (a, b) = n.drawn(pipe);
            if matches!(pipe.lie, Lie::Axis | Lie::LevelSkew) {
                prop_assert!((a.z - b.z).abs() < 1e-9, "{} is not drawn level", pipe.id);
                let (slope, run) = (pipe.slope.unwrap().slope.ratio(), a.distance(b));
                prop_assert!((pipe.fall_mm - slope * run).abs() < 1e-9);
            }
        }
        let mut ids: Vec<_> = n.pipes.iter().map(|pipe| &pipe.id).chain(n.nodes.iter().map(|node| &node.id)).collect();
        ids.sort_unstable();
        prop_assert!(ids.windows(2).all(|pair| pair[0] != pair[1]), "an id stands twice");
        // Follow the flow from every node.
        let mut next = vec![None; n.nodes.len()];
        for pipe in &n.pipes {
            prop_assert!(next[pipe.from.0 as usize].replace(pipe.to.0 as usize).is_none(), "two ways out");
        }
        for node in 0..n.nodes.len() {
            let mut at = node;
            let mut steps = 0;
            while let Some(to) = next[at] {
                at = to;
                steps += 1;
                prop_assert!(steps <= n.nodes.len());
            }
            prop_assert_eq!(at, start);
        }
        let sum: f64 = n.pipes.iter().map(|pipe| n.length_mm(pipe)).sum();
        prop_assert!((n.runs[0].developed_mm - sum).abs() < 1e-6);
    }

    /// Text of any kind is taken without a panic.
    #[test]
    fn nothing_panics(lines in prop::collection::vec(0_usize..24, 0..40)) {
        const LINES: [&str; 24] = [
            "level main floor 0' ceiling 8' joists 9\" run east-west", "roof 10'", "wall main 0',0' 9',0' 9',9'",
            "wall main 1',1' 1',1'", "fixture A lavatory main 0',3' faces east", "fixture B shower main 9',3' faces west drain left",
            "beam M 0',0' to 9',0' wide 0\" top main joists deep 6\"", "duct D 0',0' to 3',3' top main ceiling deep 1'",
            "waste d", "vent v", "cold c", "start 0',0' main floor -1'", "start A.tee", "start P", "east to abreast B.drain",
            "up 1' at 45 northeast", "offset up 0\" north 0\" at 45", "catch A", "end B", "join P", "point P", "up through roof",
            "arrives main floor", "to west-wall,north-wall main ceiling",
        ];
        let text: String = lines.iter().flat_map(|&k| [LINES[k], "\n"]).collect();
        let reading = wyeline_job::read(&text);
        let built = wyeline_network::build(&reading.job, &text);
        wyeline_network::report(&built.network);
        wyeline_network::to_json(&built.network);
    }
}
