//! What holds of every job: more fixtures never shrink a pipe, a longer vent is never smaller, a mirrored job has the
//! same sizes, and nothing becomes smaller on its way down.

mod support;

use std::fmt::Write as _;

use proptest::prelude::*;
use support::{Sizing, sizing};
use wyeline_sizing::Airs;
use wyeline_units::Size;

/// Nominal diameter, to compare sizes; what is not known counts as nothing.
fn across(size: Option<Size>) -> f64 {
    match size {
        Some(Size::Inch { eighths }) => f64::from(eighths) * 25.4 / 8.0,
        Some(Size::Dn(mm)) => f64::from(mm),
        None => 0.0,
    }
}

const KINDS: [&str; 6] = [
    "water-closet",
    "lavatory",
    "shower",
    "kitchen-sink",
    "floor-drain",
    "clothes-washer",
];

/// A stack with, at each storey, one branch of fixtures in a row; `side` is +1, or -1 for its mirror image.
fn tower(storeys: &[Vec<usize>], vent_ft: u32, side: i32) -> String {
    let mut text = "job t\nunits ft-in\nslope 1/4 in per ft\n".to_owned();
    let top = storeys.len();
    for storey in 0..top {
        let _ = writeln!(text, "level l{storey} floor {}'", storey * 10);
    }
    let _ = writeln!(text, "roof {}'", top * 10 + 2);
    for (storey, kinds) in storeys.iter().enumerate() {
        for ((ix, kind), along) in kinds.iter().enumerate().zip(0_i32..) {
            let east = side * (6 + 5 * along);
            let _ = writeln!(
                text,
                "fixture F{storey}-{ix} {} l{storey} {east}',8' faces south",
                KINDS[*kind]
            );
        }
    }
    text += "waste stack\n  start 0',-12' l0 floor -4'\n  north 12'\n";
    for storey in 0..top {
        let _ = writeln!(text, "  up to l{storey} floor -1'\n  point S{storey}");
    }
    let _ = writeln!(
        text,
        "vent top\n  start S{}\n  up to l{} floor +9'\n  slope level\n  south {vent_ft}'\n  up through roof",
        top - 1,
        top - 1
    );
    let way = if side > 0 { "east" } else { "west" };
    for (storey, kinds) in storeys.iter().enumerate() {
        let _ = writeln!(text, "waste b{storey}\n  start S{storey}\n  {way} 3'");
        for (ix, kind) in kinds.iter().enumerate() {
            let port = match KINDS[*kind] {
                "lavatory" | "kitchen-sink" | "clothes-washer" => "tee",
                _ => "drain",
            };
            let last = ix + 1 == kinds.len();
            let verb = if last { "end" } else { "catch" };
            let _ = writeln!(
                text,
                "  {way} to abreast F{storey}-{ix}.{port}\n  {verb} F{storey}-{ix}"
            );
        }
    }
    text
}

fn storeys() -> impl Strategy<Value = Vec<Vec<usize>>> {
    prop::collection::vec(prop::collection::vec(0..KINDS.len(), 1..5), 1..6)
}

fn codes() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec!["ipc-2021", "upc-2021", "en-12056"])
}

/// Every pipe with the pipe it runs into, by system and end: no drain needs more than the one after it.
fn downstream(sizing: &Sizing) -> Vec<(usize, usize)> {
    let network = &sizing.network;
    let mut pairs = Vec::new();
    for (ix, pipe) in network.pipes.iter().enumerate() {
        if !pipe.system.drains() {
            continue;
        }
        for &next in &network.node(pipe.to).pipes {
            if network.pipe(next).from == pipe.to && network.pipe(next).system == pipe.system {
                pairs.push((ix, next.0 as usize));
            }
        }
    }
    pairs
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(48) })]

    #[test]
    fn nothing_becomes_smaller_nor_carries_less_on_its_way_down(storeys in storeys(), code in codes()) {
        let sizing = sizing(code, &tower(&storeys, 5, 1));
        for (above, below) in downstream(&sizing) {
            let (a, b) = (&sizing.sized.pipes[above], &sizing.sized.pipes[below]);
            let ids = (&sizing.network.pipes[above].id, &sizing.network.pipes[below].id);
            prop_assert!(b.load.drain >= a.load.drain - 1e-9, "{ids:?}");
            if b.needed.is_some() {
                prop_assert!(across(b.needed) >= across(a.size), "{ids:?}: {:?} {:?}", a.size, b.needed);
            }
        }
    }

    #[test]
    fn more_fixtures_never_shrink_a_pipe(storeys in storeys(), kind in 0..KINDS.len(), code in codes()) {
        let before = sizing(code, &tower(&storeys, 5, 1));
        let mut more = storeys.clone();
        more[0].push(kind);
        let after = sizing(code, &tower(&more, 5, 1));
        let place = |id: &str| after.network.pipes.iter().position(|other| other.id == id);
        // A stack that vents traps by itself is sized for that, its vent and what it runs into with it. One more fixture may put an end
        // to its being a vent at all: a rule tells that, and what is left to size by is what any stack is sized by. Such a pair of
        // jobs says nothing of this property.
        let ended = |ix: usize, at: usize| {
            let (was, is) = (before.sized.pipes[ix].airs, after.sized.pipes[at].airs);
            was != is && is == Some(Airs::Stack)
        };
        let pipes = before.network.pipes.iter().enumerate();
        let mut both = pipes.clone().filter_map(|(ix, pipe)| Some((ix, place(&pipe.id)?)));
        prop_assume!(!both.any(|(ix, at)| ended(ix, at)));
        for (ix, pipe) in pipes {
            let (Some(needed), Some(at)) = (
                before.sized.pipes[ix].needed,
                place(&pipe.id),
            ) else { continue };
            let then = after.sized.pipes[at].needed;
            // What is not known any more has outgrown its table, and is told as a gap.
            prop_assert!(then.is_none() || across(then) >= across(Some(needed)), "{}: {needed} became {then:?}", pipe.id);
        }
    }

    #[test]
    fn a_longer_vent_is_never_smaller(storeys in storeys(), short in 1_u32..40, more in 0_u32..60, code in codes()) {
        let a = sizing(code, &tower(&storeys, short, 1));
        let b = sizing(code, &tower(&storeys, short + more, 1));
        let needed = b.pipe("top/1").needed;
        prop_assert!(needed.is_none() || across(needed) >= across(a.pipe("top/1").needed));
    }

    #[test]
    fn a_mirrored_job_has_the_same_sizes(storeys in storeys(), code in codes()) {
        let a = sizing(code, &tower(&storeys, 5, 1));
        let b = sizing(code, &tower(&storeys, 5, -1));
        prop_assert_eq!(a.network.pipes.len(), b.network.pipes.len());
        for (one, other) in a.sized.pipes.iter().zip(&b.sized.pipes) {
            prop_assert_eq!(one.needed, other.needed);
            prop_assert_eq!(one.role, other.role);
            prop_assert_eq!(one.load, other.load);
        }
    }

    #[test]
    fn falls_are_told_for_every_level_drain(storeys in storeys()) {
        let sizing = sizing("ipc-2021", &tower(&storeys, 5, 1));
        let falls = wyeline_sizing::falls::falls(&sizing.network, &sizing.pack, &sizing.sized);
        for fall in &falls.drains {
            prop_assert!((fall.slope - 1.0 / 48.0).abs() < 1e-9);
            // All lies at 1/4 in per ft, the steepest least slope there is: what is left is never below nothing.
            if let Some(left) = fall.left_mm {
                prop_assert!(left > -1e-6);
            }
        }
    }
}
