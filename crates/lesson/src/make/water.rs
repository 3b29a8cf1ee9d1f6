//! Levels 6 and 9: hot and cold of a large bath from below, and of a small shop from above the ceiling, with a return.
//!
//! The two mains run side by side at different heights, hot farther from the wall and nearer to the height of the fixtures, so that its branches pass the
//! cold main above (level 6) or below (level 9).
//! Sizes, heights and distances are our own choice; what a code asks is asked of the checks afterwards.

use super::choices::Choices;
use super::rooms::{facts, row};
use super::told::Told;
use super::turned::{E, N, S, Turned, W, above, feet};
use super::{Kind, title};

/// The orders of four things, as places.
const ORDERS: [[usize; 4]; 12] = [
    [0, 1, 2, 3],
    [0, 2, 1, 3],
    [0, 2, 3, 1],
    [2, 0, 1, 3],
    [2, 0, 3, 1],
    [2, 3, 0, 1],
    [0, 1, 3, 2],
    [0, 3, 1, 2],
    [0, 3, 2, 1],
    [3, 0, 1, 2],
    [3, 0, 2, 1],
    [3, 2, 0, 1],
];

/// Level 6.
pub(super) fn bath(kind_of: Kind, choices: &mut Choices) -> Option<Told> {
    let wet = facts().dry.half;
    let mirrored = choices.own(2) == 1;
    let quarters = choices.own(4) as u8;
    let order = choices.own_of(&ORDERS);
    let more = [0; 4].map(|_| choices.own_of(&[0, 6]));
    let depth = choices.own_of(&[96, 102, 108]);
    let wider = choices.own_of(&[0, 6, 12]);
    let shower = choices.own_of(&[27, 33]);
    let cold = depth - choices.own_of(&[12, 18, 24]);
    let hot = cold - choices.own_of(&[18, 24]);
    let heater = (
        -choices.own_of(&[36, 42, 48]),
        choices.own_of(&[18, 24, 30]),
    );
    // How far from the east wall the mains turn to the shower.
    let (cold_turns, hot_turns) = choices.own_of(&[(18, 36), (18, 42), (24, 42), (24, 48)]);
    let all = [
        ("lavatory", "LAV1"),
        ("lavatory", "LAV2"),
        ("water-closet", "WC1"),
        ("bidet", "BD1"),
    ];
    let stands = order.map(|place| all[place]);
    let (at, _) = row(&stands.map(|stand| stand.0), &more, true);
    // The shower's pan, 3 ft square, fills the corner: what stands before it keeps its side free.
    let width = super::rooms::grid(at[3] + 15 + 36 + wet) + wider;
    let turned = Turned {
        mirrored,
        quarters,
        size: [width, depth],
    };
    let mut told = Told::new(
        turned,
        wet,
        &title(choices, "large bath"),
        kind_of.code,
        &[
            "supply pressure 60 psi from street",
            "supply pressure 70 psi static",
        ],
    );
    told.say("level basement floor -9' ceiling 8'");
    told.say("level main floor 0' ceiling 8'");
    told.say("roof 9'6\"");
    told.say("");
    told.walls("main");
    let (dry, west) = (facts().dry.half, -93);
    let (east, north) = (width - dry, depth - dry);
    let around = [
        (west, north),
        (west, dry),
        (east, dry),
        (east, north),
        (west, north),
    ];
    told.wall("basement", &around, dry);
    let mut lines = told.clone();
    lines.text.clear();
    for ((name, tag), east) in stands.iter().zip(&at) {
        lines.fixture(name, tag, "main", (*east, depth - wet), S);
    }
    lines.fixture("shower", "SHR1", "main", (width - wet, shower), W);
    door(
        &mut told,
        &mut lines,
        choices,
        facts().bath_door,
        "LARGE BATH",
    )?;
    told.fixture("water-heater", "WH1", "basement", heater, N);

    let way = turned.way(E);
    let catches = |system: &str| {
        let mut steps: Vec<String> = Vec::new();
        for (name, tag) in stands {
            if system == "hot" && name == "water-closet" {
                continue;
            }
            steps.push(format!("{way} to abreast {tag}.{system}"));
            steps.push(format!("catch {tag} size 1/2\""));
        }
        steps
    };
    let last = |line: i64, less: i64| format!("{way} to abreast {}", turned.at(width - less, line));
    let mut steps = vec![
        format!(
            "start {} {}",
            turned.at(-84, cold),
            above("basement floor", 36)
        ),
        "size 1\"".into(),
        "material copper".into(),
        "gate-valve V1".into(),
        format!("up to {}", above("main floor", -30)),
        format!("{way} to abreast WH1.cold"),
        "point HEATER".into(),
    ];
    steps.extend(catches("cold"));
    steps.push("size 3/4\"".into());
    steps.push(last(cold, cold_turns));
    steps.push("end SHR1 size 1/2\"".into());
    told.run("cold cold-main", &steps);
    heater_supply(&mut told, "1\"", 6);
    let mut steps = vec![
        "start WH1.hot".to_owned(),
        "size 1\"".into(),
        "material copper".into(),
        format!("up to {}", above("main floor", -18)),
        format!("{way} to abreast {}", turned.at(-18, 0)),
        format!("{} to abreast {}", turned.way(N), turned.at(0, hot)),
    ];
    steps.extend(catches("hot"));
    steps.push("size 3/4\"".into());
    steps.push(last(hot, hot_turns));
    steps.push("end SHR1 size 1/2\"".into());
    told.run("hot hot-main", &steps);
    Some(told)
}

/// Level 9.
pub(super) fn shop(kind_of: Kind, choices: &mut Choices) -> Option<Told> {
    let wet = facts().dry.half;
    let mirrored = choices.own(2) == 1;
    let quarters = choices.own(4) as u8;
    let orders = [
        [0, 1, 2],
        [0, 2, 1],
        [1, 0, 2],
        [1, 2, 0],
        [2, 0, 1],
        [2, 1, 0],
    ];
    let order = choices.own_of(&orders);
    let more = [0; 3].map(|_| choices.own_of(&[0, 12, 24]));
    let depth = choices.own_of(&[180, 192, 204]);
    let wider = choices.own_of(&[0, 12, 24]);
    let sink = choices.own_of(&[57, 63, 69, 75]);
    let ceiling = choices.own_of(&[108, 114, 120]);
    let heater = choices.own_of(&[24, 30]);
    let service = choices.own_of(&[18, 24, 30]);
    let all = [
        ("hand-sink", "HS1"),
        ("three-compartment-sink", "SK1"),
        ("mop-sink", "MS1"),
    ];
    let stands = order.map(|place| all[place]);
    // The first stands clear of the heater in the corner.
    let (at, width) = row(
        &stands.map(|stand| stand.0),
        &[more[0] + 48, more[1], more[2]],
        true,
    );
    let width = width + 30 + wider;
    let turned = Turned {
        mirrored,
        quarters,
        size: [width, depth],
    };
    let mut told = Told::new(
        turned,
        wet,
        &title(choices, "shop"),
        kind_of.code,
        &[
            "use public",
            "supply pressure 65 psi from street",
            "supply pressure 75 psi static",
        ],
    );
    told.say(&format!(
        "level main floor 0' ceiling {} slab 5\"",
        feet(ceiling)
    ));
    told.say(&format!("roof {}", feet(ceiling + 48)));
    told.say("");
    told.walls("main");
    let mut lines = told.clone();
    lines.text.clear();
    for ((name, tag), east) in stands.iter().zip(&at) {
        lines.fixture(name, tag, "main", (*east, depth - wet), S);
    }
    lines.fixture("hand-sink", "HS2", "main", (width - wet, sink), W);
    lines.fixture("water-heater", "WH1", "main", (heater, depth - 24), E);
    // Nor does the door hit the service where it rises.
    lines.taken.push([6, service - 6, 18, service + 6]);
    door(&mut told, &mut lines, choices, facts().shop_door, "SHOP")?;

    let (east, north, south, west) = (turned.way(E), turned.way(N), turned.way(S), turned.way(W));
    // Cold lies 24 in above the ceiling, hot 12 in, the return 6 in. Lines that lie as far apart level as plumb fall on each other on paper: these do not.
    let (cold, hot, back) = (depth - 42, depth - 60, depth - 72);
    let catches = |system: &str| {
        let mut steps: Vec<String> = Vec::new();
        for (name, tag) in stands {
            let size = if name == "three-compartment-sink" {
                "3/4"
            } else {
                "1/2"
            };
            steps.push(format!("{east} to abreast {tag}.{system}"));
            steps.push(format!("catch {tag} size {size}\""));
        }
        steps
    };
    let mut steps = vec![
        format!(
            "start {} {}",
            turned.at(12, service),
            above("main floor", 36)
        ),
        "size 1-1/4\"".into(),
        "material copper".into(),
        "gate-valve V1".into(),
        format!("up to {}", above("main ceiling", 24)),
        format!("{north} to abreast {}", turned.at(0, cold)),
        "point HEATER".into(),
    ];
    steps.extend(catches("cold"));
    steps.push("size 3/4\"".into());
    steps.push(format!("{east} to abreast {}", turned.at(width - 18, cold)));
    steps.push(format!("{south} to abreast HS2.cold"));
    steps.push("end HS2 size 1/2\"".into());
    told.run("cold cold-main", &steps);
    heater_supply(&mut told, "1-1/4\"", 18);
    let mut steps = vec![
        "start WH1.hot".to_owned(),
        "size 1-1/4\"".into(),
        "material copper".into(),
        format!("up to {}", above("main ceiling", 12)),
        format!("{south} to abreast {}", turned.at(0, hot)),
    ];
    steps.extend(catches("hot"));
    steps.push("size 3/4\"".into());
    steps.push(format!("{east} to abreast {}", turned.at(width - 36, hot)));
    steps.push(format!("{south} to abreast {}", turned.at(0, sink + 21)));
    steps.push("point FAR".into());
    steps.push("size 1/2\"".into());
    steps.push(format!("{south} to abreast HS2.hot"));
    steps.push("end HS2".into());
    told.run("hot hot-main", &steps);
    told.run(
        "hot-return loop",
        &[
            "start FAR".into(),
            "size 1/2\"".into(),
            "material copper".into(),
            "down 6\"".into(),
            format!("{west} 1'"),
            format!("{north} to abreast {}", turned.at(0, back)),
            format!("{west} to abreast {}", turned.at(72, back)),
            "balancing-valve V3".into(),
            format!("{west} 1'"),
            "pump P1".into(),
            format!("{west} 1'"),
            "check-valve V4".into(),
            "end WH1.return".into(),
        ],
    );
    Some(told)
}

/// From the main down to the heater, with a valve of its own.
fn heater_supply(told: &mut Told, size: &str, down: i64) {
    told.run(
        "cold heater-supply",
        &[
            "start HEATER".into(),
            format!("size {size}"),
            "material copper".into(),
            format!("down {}", feet(down)),
            "ball-valve V2".into(),
            "end WH1.cold".into(),
        ],
    );
}

/// Tells a door clear of the fixtures, the room's name, then the fixtures.
fn door(
    told: &mut Told,
    lines: &mut Told,
    choices: &mut Choices,
    leaf: i64,
    room: &str,
) -> Option<()> {
    let turned = told.turned;
    let [width, depth] = turned.size;
    told.door(lines, "main", leaf, choices)?;
    told.say(&format!(
        "room \"{room}\" main {}",
        turned.at(width / 2, depth / 3)
    ));
    told.say("");
    told.text.push_str(&lines.text);
    told.taken.clone_from(&lines.taken);
    Some(())
}
