//! Layouts are lawful, are rooms one can walk into, can be drawn on a grid, and are different but equally hard within a class.
//!
//! 1,000 exercises over all levels, 32 classes of 30; `WYELINE_SEEDS` sets how many seeds a level gets instead of 125, and a thirtieth as many classes.

mod class;
mod room;

use std::collections::HashSet;

use glam::DVec2;
use wyeline_checks::Checked;
use wyeline_draw::Projection;
use wyeline_job::model::System;
use wyeline_lesson::make::{self, Layout, MakeError};
use wyeline_lesson::{Code, Level};
use wyeline_network::model::{Lie, Network, NodeKind};
use wyeline_units::Scale;
use wyeline_whole::{Built, Judged};

const INCH: f64 = 25.4;

fn level(number: u8) -> Level {
    Level::new(number).expect("a level")
}

fn one(number: u8, practice: &str, seed: u32, member: u16) -> Layout {
    let code = Code::new(level(number), practice, seed, member).expect("a code");
    make::layout(code).unwrap_or_else(|error| panic!("{code}: {error}"))
}

/// How many seeds a level gets.
fn seeds() -> u32 {
    let told = std::env::var("WYELINE_SEEDS").ok();
    told.map_or(125, |text| text.parse().expect("a number of seeds"))
}

/// Every seed once, codes and places in the class in turn.
fn many(number: u8) -> impl Iterator<Item = Layout> {
    (0..seeds()).map(move |seed| {
        let practice = ["ipc-2021", "upc-2021"][seed as usize % 2];
        one(number, practice, seed, (seed * 7 % 30) as u16)
    })
}

/// The job with what another sheet shows of it, and what the code it names says of it.
fn checked(layout: &Layout) -> (Built, Checked) {
    let all = [layout.text.as_str(), &layout.beside].concat();
    let mut built = Built::of(all.as_bytes(), |_| ());
    let judged = Judged::of(&mut built, None).expect("the code it names");
    let checked = judged.check(&built);
    (built, checked)
}

fn hold(number: u8) {
    for layout in many(number) {
        let name = format!("{} ({})", layout.code, layout.title);
        let (built, checked) = checked(&layout);
        assert!(
            built.diagnostics.is_empty(),
            "{name}: {:?}",
            built.diagnostics
        );
        assert!(
            checked.findings.is_empty(),
            "{name}: {:?}",
            checked.findings
        );
        assert!(layout.built.diagnostics.is_empty(), "{name}");
        assert!(layout.built.network.doubts.is_empty(), "{name}");
        assert_eq!(
            built.network.code.as_deref(),
            Some(layout.code.practice().id())
        );
        let network = &layout.built.network;
        on_the_grid(network, &name);
        apart_on_paper(&layout, &name);
        room::doors_open(network, &name);
        room::clear(network, layout.code.practice().id(), &name);
        is_of_its_level(&layout, &name);
    }
}

/// Heights as drawn and places lie on the grid of 6 in, so that every length along an axis is a whole number of it. Traps hang where they hang.
fn on_the_grid(network: &Network, name: &str) {
    for node in network
        .nodes
        .iter()
        .filter(|node| node.kind != NodeKind::Trap)
    {
        for at in node.drawn().to_array() {
            let steps = at / (6.0 * INCH);
            assert!(
                (steps - steps.round()).abs() < 1e-6,
                "{name}: {} at {at} mm",
                node.id
            );
        }
    }
}

/// No two pipes lie one on the other on paper, as seen from the learner's corner, by more than they touch.
fn apart_on_paper(layout: &Layout, name: &str) {
    let network = &layout.built.network;
    let projection = Projection::new(layout.corner, Scale(1));
    let lines: Vec<[DVec2; 2]> = network
        .pipes
        .iter()
        .map(|pipe| {
            [pipe.from, pipe.to].map(|node| {
                let at = projection.point(network.node(node).drawn());
                DVec2::new(at.x, at.y)
            })
        })
        .filter(|[a, b]| a.distance(*b) > 1.0)
        .collect();
    for (place, [a, b]) in lines.iter().enumerate() {
        let along = (*b - *a).normalize();
        let length = a.distance(*b);
        for [c, d] in &lines[place + 1..] {
            let off = |p: &DVec2| along.perp_dot(*p - *a).abs();
            if off(c) > 1.0 || off(d) > 1.0 {
                continue;
            }
            let (from, to) = (along.dot(*c - *a), along.dot(*d - *a));
            let shared = from.max(to).min(length) - from.min(to).max(0.0);
            assert!(
                shared < 1.0,
                "{name}: {shared} mm of two pipes fall on each other"
            );
        }
    }
}

/// What the brief of the level is about is there, and nothing that comes later.
fn is_of_its_level(layout: &Layout, name: &str) {
    let network = &layout.built.network;
    let lies = |lie: Lie| network.pipes.iter().filter(|pipe| pipe.lie == lie).count();
    let has = |system: System| network.pipes.iter().any(|pipe| pipe.system == system);
    let ends = |kind: &NodeKind| {
        network
            .nodes
            .iter()
            .filter(|node| node.kind == *kind)
            .count()
    };
    let number = layout.code.level.number();
    let (level_45, tilted, rolling) = (lies(Lie::LevelSkew), lies(Lie::Tilted), lies(Lie::Rolling));
    match number {
        2 => {
            assert!(
                (5..=7).contains(&layout.difficulty.pipes),
                "{name}: {:?}",
                layout.difficulty
            );
            assert!(lies(Lie::Vertical) >= 2, "{name}");
        }
        3 => assert_eq!(
            (ends(&NodeKind::Outlet), ends(&NodeKind::RoofEnd)),
            (3, 0),
            "{name}"
        ),
        4 => assert!(
            level_45 >= 3 && tilted == 1,
            "{name}: {level_45} and {tilted}"
        ),
        5 => assert!(
            ends(&NodeKind::Outlet) == 3 && ends(&NodeKind::RoofEnd) == 1,
            "{name}"
        ),
        6 => assert!(
            has(System::Cold) && has(System::Hot) && network.fixtures.len() == 6,
            "{name}"
        ),
        7 => assert!((1..=2).contains(&rolling), "{name}: {rolling}"),
        8 => {
            let floors: HashSet<_> = network
                .fixtures
                .iter()
                .map(|fixture| fixture.level)
                .collect();
            assert_eq!((floors.len(), ends(&NodeKind::RoofEnd)), (2, 1), "{name}");
        }
        _ => {
            assert!(
                has(System::Cold) && has(System::Hot) && has(System::HotReturn),
                "{name}"
            );
            let ceiling = network.levels[0].ceiling.expect("told");
            let above = network
                .nodes
                .iter()
                .filter(|node| node.at.z > ceiling)
                .count();
            assert!(above >= 15, "{name}: {above}");
        }
    }
    if number != 4 {
        assert_eq!((level_45, tilted), (0, 0), "{name}");
    }
    if number != 7 {
        assert_eq!(rolling, 0, "{name}");
    }
    // Only waste is drawn at levels 3 and 4: its vent is told beside.
    assert_eq!(layout.beside.is_empty(), !matches!(number, 3 | 4), "{name}");
    assert!(!matches!(number, 3 | 4) || !has(System::Vent), "{name}");
}

#[test]
fn single_pipes_keep_all_rules() {
    hold(2);
}
#[test]
fn waste_of_a_bath_keeps_all_rules() {
    hold(3);
}
#[test]
fn forty_fives_keep_all_rules() {
    hold(4);
}
#[test]
fn vented_baths_keep_all_rules() {
    hold(5);
}
#[test]
fn hot_and_cold_keep_all_rules() {
    hold(6);
}
#[test]
fn rolling_offsets_keep_all_rules() {
    hold(7);
}
#[test]
fn two_storeys_keep_all_rules() {
    hold(8);
}
#[test]
fn shops_keep_all_rules() {
    hold(9);
}

/// The last place of a class that codes can say.
#[test]
fn a_class_may_be_as_large_as_codes_can_say() {
    for number in 2..=9 {
        let last = one(number, "ipc-2021", 1_048_575, 1023);
        assert_ne!(
            class::what_is_drawn(&last),
            class::what_is_drawn(&one(number, "ipc-2021", 1_048_575, 0))
        );
    }
}

#[test]
fn what_cannot_be_made_is_said() {
    let blocks = Code::new(level(1), "ipc-2021", 0, 0).expect("a code");
    assert_eq!(make::layout(blocks).err(), Some(MakeError::Blocks));
    for practice in ["npc-2020", "en-12056"] {
        let error = make::class(level(3), practice, 0, 1).expect_err("not carried");
        assert!(
            error.to_string().contains("cannot carry level 3"),
            "{error}"
        );
    }
}
