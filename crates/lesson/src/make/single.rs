//! Levels 2 and 7: one cold pipe from a valve to a fixture, along the axes alone or with rolling offsets.
//!
//! Offsets are 18 by 24 in, so that by Pythagoras (18, 24, 30) a 45 is 30 in long along its run and both its ends lie on the grid.
//! Sizes, heights and distances are our own choice; what a code asks is asked of the checks afterwards.

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

/// Tells a room in which the fixture stands so far to the east and north of the place where the pipe begins. In the south wall the pipe takes up
/// so much to the east of there.
fn room(
    kind_of: Kind,
    choices: &mut Choices,
    turned: (bool, u8),
    from: (i64, i64),
    across: (i64, i64),
    in_wall: i64,
) -> Option<Room> {
    let wet = facts().dry.half;
    let name = *choices.shared.pick(&ENDS);
    let kind = kind(name);
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
    told.say("roof 12'");
    told.say("");
    told.walls("main");
    let tag = format!("{}1", kind.letters);
    let mut lines = told.clone();
    lines.text.clear();
    lines.fixture(name, &tag, "main", (east, depth - wet), S);
    if from.1 == 0 {
        // No door where the pipe stands in the wall.
        lines
            .taken
            .push([from.0 - 6, 0, from.0 + in_wall + 6, wet + 1]);
    }
    told.door(&lines, "main", facts().bath_door, choices)?;
    told.say(&format!(
        "room \"{}\" main {}",
        kind.room.to_uppercase(),
        turned.at(width / 2, depth / 3)
    ));
    told.say("");
    told.text.push_str(&lines.text);
    Some(Room { told, tag, from })
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

/// Level 2: legs along the axes, up in the wall and over the ceiling, or under the floor and up.
pub(super) fn axes(kind_of: Kind, choices: &mut Choices) -> Option<Told> {
    let pattern = choices.shared.whole(0, 2);
    let turned = (choices.own(2) == 1, choices.own(4) as u8);
    let a = choices.own_of(&[12, 18, 24, 30, 36]);
    let b = choices.own_of(&[12, 18, 24, 30, 36]);
    let c = choices.own_of(&[24, 30, 36, 42, 48]);
    let d = choices.own_of(&[42, 48, 54, 60]);
    let e = choices.own_of(&[12, 18, 24]);
    let (east, north) = (choices.own_of(&[12, 18, 24]), choices.own_of(&[12, 18, 24]));
    let from = (east, if pattern == 0 { 0 } else { north });
    let room = room(kind_of, choices, turned, from, (b + c, d + e), b)?;
    let turned = room.told.turned;
    let (east, north) = (turned.way(E), turned.way(N));
    let across = format!("{north} to abreast {}", turned.at(0, from.1 + d));
    let beside = format!("{east} to abreast {}.cold", room.tag);
    let (height, legs) = match pattern {
        // In the south wall: up, along, up over the ceiling, across, along, into the wall, down.
        0 => (
            above("main floor", 12),
            vec![
                format!("up {}", feet(a)),
                format!("{east} {}", feet(b)),
                format!("up to {}", above("main ceiling", 12)),
                across,
                beside,
            ],
        ),
        // Under the floor: along, down below a beam, across, along, into the wall, up.
        1 => (
            above("main floor", -18),
            vec![
                format!("{east} {}", feet(b)),
                format!("down {}", feet(a)),
                across,
                beside,
            ],
        ),
        // Under the floor: across, up over a beam, along, down, along, into the wall, up.
        _ => (
            above("main floor", -12 - a),
            vec![
                across,
                format!("up {}", feet(a - 6)),
                format!("{east} {}", feet(b)),
                "down 1'".into(),
                beside,
            ],
        ),
    };
    Some(room.run(&height, legs))
}

/// Level 7: up in the wall, then one rolling offset or two between legs along the axes over the ceiling, and down in the wall.
pub(super) fn rolling(kind_of: Kind, choices: &mut Choices) -> Option<Told> {
    let pattern = choices.shared.whole(0, 2);
    let turned = (choices.own(2) == 1, choices.own(4) as u8);
    let a = choices.own_of(&[36, 48, 60]);
    let over = choices.own_of(&[6, 12]);
    let b = choices.own_of(&[18, 24, 30, 36]);
    let c = choices.own_of(&[24, 30, 36, 42]);
    let d = choices.own_of(&[36, 42, 48, 54]);
    let (set, roll) = choices.own_of(&[(18, 24), (24, 18)]);
    let (set_2, roll_2) = choices.own_of(&[(18, 24), (24, 18)]);
    let e = choices.own_of(&[18, 24, 30]);
    let from = (choices.own_of(&[12, 18, 24]), 0);
    let across = match pattern {
        0 => (b + 30 + c, roll + d),
        1 => (roll + c + e, b + 30 + d),
        _ => (b + 60 + c, roll + roll_2 + d),
    };
    let room = room(kind_of, choices, turned, from, across, 0)?;
    let turned = room.told.turned;
    let (east, north) = (turned.way(E), turned.way(N));
    let offset = |up: &str, set: i64, roll: i64, side: &str, way: &str| {
        let (set, roll) = (feet(set), feet(roll));
        format!("offset {up} {set} {side} {roll} at 45 going {way}")
    };
    let beside = format!("{east} to abreast {}.cold", room.tag);
    let mut legs = vec![format!("up to {}", above("main ceiling", over))];
    legs.extend(match pattern {
        // Along, the offset up and to the north, along, across to the wall.
        0 => vec![
            format!("{east} {}", feet(b)),
            offset("up", set, roll, north, east),
            beside,
        ],
        // Across, the offset up and to the east, across, along, into the wall.
        1 => vec![
            format!("{north} {}", feet(b)),
            offset("up", set, roll, east, north),
            format!("{north} {}", feet(d - 6)),
            beside,
        ],
        // Along, an offset up, along, an offset down, along, across to the wall.
        _ => vec![
            format!("{east} {}", feet(b)),
            offset("up", set, roll, north, east),
            format!("{east} {}", feet(c - 12)),
            offset("down", set_2, roll_2, north, east),
            beside,
        ],
    });
    Some(room.run(&above("main floor", a), legs))
}
