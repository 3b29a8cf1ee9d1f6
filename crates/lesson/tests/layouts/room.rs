//! The room: doors, what stands where, and what codes keep free. Rays and rectangles, not the checks' own geometry.

use std::collections::HashSet;

use glam::{DVec2, DVec3};
use wyeline_job::model::{Compass, OpeningKind};
use wyeline_network::model::{Fixture, Network};

use crate::INCH;

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
pub fn doors_open(network: &Network, name: &str) {
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
        // Nor a pipe that stands in its way, from the floor to the height of a door, 6 ft 8 in.
        let floor = network.levels[door.level.0 as usize].floor;
        for pipe in &network.pipes {
            let [a, b] = [pipe.from, pipe.to].map(|node| network.node(node).at);
            let (low, high) = (a.min(b), a.max(b));
            let around = [flat(low) - 1.0, flat(high) + 1.0];
            let stands = high.z > floor + 1.0 && low.z < floor + 80.0 * INCH;
            assert!(
                !(stands && overlap(leaf, around)),
                "{name}: the door hits {}",
                pipe.id
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
/// 405.3.1, UPC 2021 402.5.
pub fn clear(network: &Network, practice: &str, name: &str) {
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
