//! Layouts are lawful, are rooms one can walk into, can be drawn on a grid, and are different but equally hard within a class.
//!
//! 1,000 exercises over all levels by default; `WYELINE_SEEDS` sets how many seeds a level gets.

use std::collections::HashSet;

use glam::{DVec2, DVec3};
use wyeline_checks::Checked;
use wyeline_draw::Projection;
use wyeline_job::model::{Compass, OpeningKind, System};
use wyeline_lesson::make::{self, Layout, MakeError};
use wyeline_lesson::{Code, Level};
use wyeline_network::model::{Fixture, Lie, Network, NodeKind};
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

/// Every seed once, codes and places in the class in turn.
fn many(number: u8) -> impl Iterator<Item = Layout> {
    let told = std::env::var("WYELINE_SEEDS").ok();
    let seeds = told.map_or(125, |text| text.parse().expect("a number of seeds"));
    (0..seeds).map(move |seed| {
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
        doors_open(network, &name);
        clear(network, layout.code.practice().id(), &name);
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

fn ahead(faces: Compass) -> DVec2 {
    match faces {
        Compass::East => DVec2::X,
        Compass::North => DVec2::Y,
        Compass::West => -DVec2::X,
        _ => -DVec2::Y,
    }
}

fn flat(at: DVec3) -> DVec2 {
    at.truncate()
}

/// What a fixture covers of the floor: low and high corner.
fn covers(fixture: &Fixture) -> [DVec2; 2] {
    let (out, at) = (ahead(fixture.faces), flat(fixture.anchor));
    let (across, deep) = (out.perp() * fixture.size.0 / 2.0, out * fixture.size.1);
    let back = if fixture.centred { at - deep / 2.0 } else { at };
    let corners = [back - across, back + across + deep];
    [corners[0].min(corners[1]), corners[0].max(corners[1])]
}

fn overlap(a: [DVec2; 2], b: [DVec2; 2]) -> bool {
    let low = a[0].max(b[0]);
    let high = a[1].min(b[1]);
    (high - low).min_element() > 0.1
}

/// Each floor has a door, and the square of its leaf inside the room is free, whichever side it is hung on.
fn doors_open(network: &Network, name: &str) {
    let building = &network.building;
    let mut floors = HashSet::new();
    for door in building
        .openings
        .iter()
        .filter(|opening| opening.kind == OpeningKind::Door)
    {
        let wall = &building.walls[door.wall as usize];
        let into = DVec2::new(wall.into.0, wall.into.1);
        let at = DVec2::new(door.at.0, door.at.1);
        let side = into.perp() * door.width / 2.0;
        let corners = [at - side, at + side - into * door.width];
        let leaf = [corners[0].min(corners[1]), corners[0].max(corners[1])];
        assert!(door.width >= 30.0 * INCH, "{name}");
        for end in [wall.from, wall.to] {
            let along = (DVec2::new(end.0, end.1) - at).length();
            assert!(along >= door.width / 2.0, "{name}: a door round a corner");
        }
        for fixture in network
            .fixtures
            .iter()
            .filter(|fixture| fixture.level == door.level)
        {
            assert!(
                !overlap(leaf, covers(fixture)),
                "{name}: the door hits {}",
                fixture.tag
            );
        }
        floors.insert(door.level);
    }
    // A heater in a basement needs no door of the bath's.
    let used = network
        .fixtures
        .iter()
        .filter(|fixture| fixture.kind != "water-heater");
    assert!(
        used.map(|fixture| fixture.level)
            .all(|level| floors.contains(&level)),
        "{name}"
    );
}

/// 15 in from the centre of a closet, lavatory or bidet to what is beside it, 30 in between centres, 21 in (UPC: 24 in) clear before it: IPC 2021
/// 405.3.1, UPC 2021 402.5. Rays and rectangles here, not the checks' own geometry.
fn clear(network: &Network, practice: &str, name: &str) {
    let before = if practice == "upc-2021" { 24.0 } else { 21.0 };
    for fixture in &network.fixtures {
        let others = network
            .fixtures
            .iter()
            .filter(|o| o.level == fixture.level && o.tag != fixture.tag);
        for other in others.clone() {
            assert!(
                !overlap(covers(fixture), covers(other)),
                "{name}: {} in {}",
                fixture.tag,
                other.tag
            );
        }
        if !["water-closet", "lavatory", "bidet"].contains(&fixture.kind.as_str()) {
            continue;
        }
        let (out, at) = (ahead(fixture.faces), flat(fixture.anchor));
        for side in [out.perp(), -out.perp()] {
            // A strip from the centre line 15 in wide and as deep as the fixture.
            let strip = [
                at + out,
                at + side * (15.0 * INCH - 0.1) + out * fixture.size.1,
            ];
            let strip = [strip[0].min(strip[1]), strip[0].max(strip[1])];
            for other in others.clone() {
                assert!(
                    !overlap(strip, covers(other)),
                    "{name}: {} beside {}",
                    other.tag,
                    fixture.tag
                );
            }
            assert!(
                to_wall(network, fixture, at + out, side) >= 15.0 * INCH - 0.1,
                "{name}: {}",
                fixture.tag
            );
        }
        let half = out.perp() * fixture.size.0 / 2.0;
        let front = at + out * fixture.size.1;
        let strip = [front - half, front + half + out * (before * INCH - 0.1)];
        let strip = [strip[0].min(strip[1]), strip[0].max(strip[1])];
        for other in others.clone() {
            assert!(
                !overlap(strip, covers(other)),
                "{name}: {} before {}",
                other.tag,
                fixture.tag
            );
            if ["water-closet", "lavatory", "bidet"].contains(&other.kind.as_str())
                && other.faces == fixture.faces
            {
                let apart = flat(other.anchor).distance(at);
                assert!(
                    apart >= 30.0 * INCH - 0.1,
                    "{name}: {} and {}",
                    fixture.tag,
                    other.tag
                );
            }
        }
        assert!(
            to_wall(network, fixture, front, out) >= before * INCH - 0.1,
            "{name}: {}",
            fixture.tag
        );
    }
}

/// How far it is from a point to the first wall of the fixture's floor.
fn to_wall(network: &Network, fixture: &Fixture, from: DVec2, way: DVec2) -> f64 {
    let walls = network
        .building
        .walls
        .iter()
        .filter(|wall| wall.level == fixture.level);
    let hits = walls.filter_map(|wall| {
        let [a, b] = [wall.from, wall.to].map(|p| DVec2::new(p.0, p.1) - from);
        let (side_a, side_b) = (way.perp_dot(a), way.perp_dot(b));
        if side_a * side_b > 0.0 || (side_a - side_b).abs() < 1e-6 {
            return None;
        }
        let at = a.lerp(b, side_a / (side_a - side_b)).dot(way);
        (at >= -1e-6).then_some(at)
    });
    hits.fold(f64::INFINITY, f64::min)
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

/// A job's text without what names it, and where its pipes lie.
fn what_is_drawn(layout: &Layout) -> (String, Vec<[i64; 6]>) {
    let text = layout.text.lines().filter(|line| !line.starts_with("job"));
    let network = &layout.built.network;
    let mut pipes: Vec<[i64; 6]> = network
        .pipes
        .iter()
        .map(|pipe| {
            let [a, b] = [pipe.from, pipe.to].map(|node| network.node(node).drawn().to_array());
            [a[0], a[1], a[2], b[0], b[1], b[2]].map(|mm| mm.round() as i64)
        })
        .collect();
    pipes.sort_unstable();
    (text.collect::<Vec<_>>().join("\n"), pipes)
}

/// Pipes between turns and junctions, turns, crossings: counted again from the network alone.
fn hard(layout: &Layout) -> f64 {
    let network = &layout.built.network;
    let at = |node| network.node(node).drawn();
    let long: Vec<_> = network
        .pipes
        .iter()
        .filter(|pipe| at(pipe.from).distance(at(pipe.to)) > 1.0)
        .collect();
    let (mut pipes, mut turns) = (long.len(), 0);
    for node in &network.nodes {
        let ways: Vec<DVec3> = long
            .iter()
            .flat_map(|pipe| [(pipe.from, pipe.to), (pipe.to, pipe.from)])
            .filter(|(here, _)| network.node(*here).id == node.id)
            .map(|(here, there)| (at(there) - at(here)).normalize())
            .collect();
        if let [a, b] = ways[..] {
            if (a + b).length() < 0.01 {
                pipes -= 1;
            } else {
                turns += 1;
            }
        }
    }
    (pipes + turns + layout.difficulty.crossings as usize) as f64
}

fn class_holds(number: u8, seeds: std::ops::Range<u32>) {
    for seed in seeds {
        let practice = ["ipc-2021", "upc-2021"][seed as usize % 2];
        let class = make::class(level(number), practice, seed, 30).expect("a class");
        let drawn: Vec<_> = class.iter().map(what_is_drawn).collect();
        let texts: HashSet<_> = drawn.iter().map(|one| &one.0).collect();
        let pipes: HashSet<_> = drawn.iter().map(|one| &one.1).collect();
        assert_eq!(
            (texts.len(), pipes.len()),
            (30, 30),
            "level {number}, seed {seed}"
        );

        let totals: Vec<f64> = class.iter().map(hard).collect();
        for (total, layout) in totals.iter().zip(&class) {
            assert_eq!(
                *total,
                f64::from(layout.difficulty.total()),
                "{}",
                layout.code
            );
        }
        let most = totals.iter().copied().fold(0.0, f64::max);
        let least = totals.iter().copied().fold(f64::INFINITY, f64::min);
        let mean = totals.iter().sum::<f64>() / totals.len() as f64;
        assert!(
            (most - least) / mean <= 0.1,
            "level {number}, seed {seed}: {least} to {most}"
        );

        let alone = one(number, practice, seed, 17);
        assert_eq!(
            (&alone.text, &alone.beside),
            (&class[17].text, &class[17].beside)
        );
        assert_eq!(
            (alone.corner, alone.scale),
            (class[17].corner, class[17].scale)
        );
    }
}

#[test]
fn classes_of_easy_levels_are_equal_and_all_different() {
    for number in 2..=5 {
        class_holds(number, 0..4);
    }
}
#[test]
fn classes_of_hard_levels_are_equal_and_all_different() {
    for number in 6..=9 {
        class_holds(number, 0..4);
    }
}

/// The last place of a class that codes can say.
#[test]
fn a_class_may_be_as_large_as_codes_can_say() {
    for number in 2..=9 {
        let last = one(number, "ipc-2021", 1_048_575, 1023);
        assert_ne!(
            what_is_drawn(&last),
            what_is_drawn(&one(number, "ipc-2021", 1_048_575, 0))
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
