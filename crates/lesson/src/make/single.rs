//! Levels 2 and 7: one cold pipe from a valve to a fixture, along the axes alone or with rolling offsets.
//!
//! Offsets are 18 by 24 in, so that by Pythagoras (18, 24, 30) a 45 is 30 in long along its run and both its ends lie on the grid.

use super::choices::Choices;
use super::rooms::{facts, grid, kind};
use super::told::Told;
use super::turned::{E, N, S, Turned, above, feet};
use super::{Kind, title};

/// What the pipe ends at.
const ENDS: [&str; 4] = ["water-closet", "drinking-fountain", "water-box", "urinal"];

/// The room, its fixture on the north wall, and what the pipe starts with.
struct Room {
    told: Told,
    tag: String,
    /// Where the pipe begins.
    from: (i64, i64),
}

/// Tells a room in which the fixture stands so far to the east and north of the place where the pipe begins.
fn room(kind_of: Kind, choices: &mut Choices, across: (i64, i64), turned: (bool, u8)) -> Option<Room> {
    let wet = facts().dry.half;
    let name = *choices.shared.pick(&ENDS);
    let kind = kind(name);
    let from = (choices.own_of(&[12, 18]), choices.own_of(&[12, 18, 24]));
    let (east, depth) = (from.0 + across.0, from.1 + across.1);
    let width = grid(east + kind.side + wet) + choices.own_of(&[0, 6, 12, 18]);
    if east < kind.side + wet || depth < wet + kind.depth + 30 {
        return None;
    }
    let turned = Turned {
        mirrored: turned.0,
        quarters: turned.1,
        size: [width, depth],
    };
    let mut told = Told::new(
        turned,
        wet,
        &title(choices, &kind.room),
        kind_of.code,
        &[
            "supply pressure 55 psi from street",
            "supply pressure 70 psi static",
        ],
    );
    told.say("level main floor 0' ceiling 8'");
    told.say("roof 9'6\"");
    told.say("");
    told.walls("main");
    let tag = format!("{}1", kind.letters);
    let mut lines = told.clone();
    lines.text.clear();
    lines.fixture(name, &tag, "main", (east, depth - wet), S);
    let doors = lines.doors(facts().bath_door);
    if doors.is_empty() {
        return None;
    }
    let door = *choices.free.pick(&doors);
    let leaf = feet(facts().bath_door);
    told.say(&format!("door main {} wide {leaf}", turned.at(door.0, door.1)));
    told.say(&format!(
        "room \"{}\" main {}",
        kind.room.to_uppercase(),
        turned.at(width / 2, depth / 3)
    ));
    told.say("");
    told.text.push_str(&lines.text);
    told.taken = lines.taken;
    Some(Room {
        told,
        tag,
        from,
    })
}

impl Room {
    /// The run: its start, its legs, its end.
    fn run(mut self, height: &str, legs: Vec<String>) -> Told {
        let start = self.told.turned.at(self.from.0, self.from.1);
        let mut steps = vec![
            format!("start {start} {height}"),
            "size 3/4\"".to_owned(),
            "material copper".into(),
            "gate-valve V1".into(),
        ];
        steps.extend(legs);
        steps.push(format!("end {}", self.tag));
        self.told.run("cold line", &steps);
        self.told
    }
}

/// Level 2: 5 to 7 legs along the axes, up the wall and over the ceiling, or under the floor and up.
pub(super) fn axes(kind_of: Kind, choices: &mut Choices) -> Option<Told> {
    let pattern = choices.shared.whole(0, 2);
    let turned = (choices.own(2) == 1, choices.own(4) as u8);
    let a = choices.own_of(&[12, 18, 24, 30, 36]);
    let b = choices.own_of(&[12, 18, 24, 30, 36]);
    let c = choices.own_of(&[24, 30, 36, 42, 48]);
    let d = choices.own_of(&[24, 30, 36, 42]);
    let e = choices.own_of(&[12, 18, 24]);
    let room = room(kind_of, choices, (b + c, d + e), turned)?;
    let (turned, from) = (room.told.turned, room.from);
    let (east, north) = (turned.way(E), turned.way(N));
    let across_to = |leg: i64| format!("{north} to abreast {}", turned.at(0, from.1 + leg));
    let beside = format!("{east} to abreast {}.cold", room.tag);
    let (height, legs) = match pattern {
        // Up, along, up over the ceiling, across, along, into the wall, down.
        0 => (
            above("main floor", 12),
            vec![
                format!("up {}", feet(a)),
                format!("{east} {}", feet(b)),
                format!("up to {}", above("main ceiling", 12)),
                across_to(d),
                beside,
            ],
        ),
        // Under the floor: along, down below a beam, across, along, into the wall, up.
        1 => (
            above("main floor", -18),
            vec![
                format!("{east} {}", feet(b)),
                format!("down {}", feet(a)),
                across_to(d),
                beside,
            ],
        ),
        // Across under the floor, up over a beam, along, down, along, into the wall, up.
        _ => (
            above("main floor", -12 - a),
            vec![
                across_to(d),
                format!("up {}", feet(a - 6)),
                format!("{east} {}", feet(b)),
                format!("down {}", feet(12)),
                beside,
            ],
        ),
    };
    Some(room.run(&height, legs))
}

/// Level 7: one rolling offset or two between legs along the axes.
pub(super) fn rolling(kind_of: Kind, choices: &mut Choices) -> Option<Told> {
    let pattern = choices.shared.whole(0, 2);
    let turned = (choices.own(2) == 1, choices.own(4) as u8);
    let a = choices.own_of(&[12, 18, 24]);
    let b = choices.own_of(&[18, 24, 30, 36]);
    let c = choices.own_of(&[18, 24, 30, 36]);
    let d = choices.own_of(&[24, 30, 36, 42]);
    let (set, roll) = choices.own_of(&[(18, 24), (24, 18)]);
    let (set_2, roll_2) = choices.own_of(&[(18, 24), (24, 18)]);
    let e = choices.own_of(&[18, 24, 30]);
    let rolls = if pattern == 2 { roll + roll_2 } else { roll };
    let runs = if pattern == 2 { 60 } else { 30 };
    let across = match pattern {
        0 | 2 => (b + runs + c, rolls + d),
        _ => (roll + c + e, b + 30 + d),
    };
    let room = room(kind_of, choices, across, turned)?;
    let turned = room.told.turned;
    let (east, north) = (turned.way(E), turned.way(N));
    let offset = |up: &str, set: i64, roll: i64, side: &str, way: &str| {
        format!("offset {up} {} {side} {} at 45 going {way}", feet(set), feet(roll))
    };
    let beside = format!("{east} to abreast {}.cold", room.tag);
    let legs = match pattern {
        // Up, along, the offset up and to the north, along, across into the wall, up or down.
        0 => vec![
            format!("up {}", feet(a + 24)),
            format!("{east} {}", feet(b)),
            offset("up", set, roll, north, east),
            beside,
        ],
        // Across, the offset up and to the east, across, along, into the wall.
        1 => vec![
            format!("up {}", feet(a)),
            format!("{north} {}", feet(b)),
            offset("up", set, roll, east, north),
            format!("{north} {}", feet(d - 6)),
            beside,
        ],
        // Up, along, an offset up, along, an offset down, along.
        _ => vec![
            format!("up {}", feet(a + 36)),
            format!("{east} {}", feet(b)),
            offset("up", set, roll, north, east),
            format!("{east} {}", feet(c - 6)),
            offset("down", set_2, roll_2, north, east),
            beside,
        ],
    };
    Some(room.run(&above("main floor", 12), legs))
}
