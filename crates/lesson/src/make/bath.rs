//! Levels 3 to 5: the waste of a bathroom on a slab, with level and tilted 45s, with vents through the roof.
//!
//! All lies on a grid of 6 in from the centre of the wall behind the fixtures, heights too. Sizes, heights and distances are our own choice; what a code
//! asks is asked of the checks afterwards.

use super::choices::Choices;
use super::rooms::{facts, kind, row};
use super::told::Told;
use super::turned::{E, NE, S, Turned, W, above, feet};
use super::{Kind, title};

/// A fixture of the row.
struct Stands {
    name: &'static str,
    tag: String,
    east: i64,
}

impl Stands {
    fn is_lavatory(&self) -> bool {
        self.name == "lavatory"
    }
    /// The port at which its drain is met.
    fn port(&self) -> String {
        format!(
            "{}.{}",
            self.tag,
            if self.is_lavatory() { "tee" } else { "drain" }
        )
    }
    fn run(&self) -> &'static str {
        match self.name {
            "lavatory" => "lavatory",
            "water-closet" => "closet",
            "shower" => "shower",
            _ => "bath",
        }
    }
}

const WC: &str = "water-closet";
const LAV: &str = "lavatory";
const SHR: &str = "shower";
const TUB: &str = "bathtub";

/// A bathroom with its fixtures along the north wall, a bath across its east end.
struct Bath {
    told: Told,
    stands: Vec<Stands>,
}

/// Chooses and tells the room.
///
/// `clear` is kept free in the room's west, in inches, before the first fixture.
fn bath(
    kind_of: Kind,
    choices: &mut Choices,
    orders: &[[&'static str; 3]],
    clear: i64,
) -> Option<Bath> {
    let wet = choices.shared.pick(&facts().wet).half;
    let mirrored = choices.own(2) == 1;
    let quarters = choices.own(4) as u8;
    let order = orders[choices.own(orders.len() as u32) as usize];
    let mut more = [0; 3].map(|_| choices.own_of(&[0, 6, 12]));
    more[0] += clear;
    let wider = choices.own_of(&[0, 6, 12, 18]);
    let mut depth = choices.own_of(&[66, 72, 78, 84]);
    let tub = order[2] == TUB;
    let (mut at, mut width) = if tub {
        // 5 ft long, it needs 5 ft between south and north wall.
        depth += 6;
        let (at, _) = row(&order[..2], &more, false);
        let beside = at[1] + kind(order[1]).side;
        let edge = super::rooms::grid(beside + more[2] + kind(TUB).depth + facts().dry.half);
        (at, edge)
    } else {
        row(&order, &more, false)
    };
    if tub {
        at.push(width + wider - 18);
    }
    width += wider;
    let turned = Turned {
        mirrored,
        quarters,
        size: [width, depth],
    };
    let mut told = Told::new(
        turned,
        wet,
        &title(choices, "bath"),
        kind_of.code,
        &["slope 1/4 in per ft", "grade main floor -6\""],
    );
    told.say("level main floor 0' ceiling 8' slab 4\"");
    told.say("roof 9'6\"");
    told.say("");
    told.walls("main");
    let mut stands = Vec::new();
    let mut lines = told.clone();
    lines.text.clear();
    for (name, east) in order.into_iter().zip(at) {
        let tag = format!("{}1", kind(name).letters);
        if name == TUB {
            let along = depth - wet - 30;
            lines.fixture(name, &tag, "main", (width - facts().dry.half, along), W);
        } else {
            lines.fixture(name, &tag, "main", (east, depth - wet), S);
        }
        stands.push(Stands { name, tag, east });
    }
    told.door(&lines, "main", facts().bath_door, choices)?;
    told.say(&format!(
        "room \"BATH\" main {}",
        turned.at(width / 2, depth / 3)
    ));
    told.say("");
    told.text.push_str(&lines.text);
    told.taken = lines.taken;
    Some(Bath { told, stands })
}

/// Level 3: a drain beside the row with a branch to each fixture. The lavatory's vent is on another sheet.
pub(super) fn waste(kind_of: Kind, choices: &mut Choices) -> Option<Told> {
    let orders = [
        [WC, SHR, LAV],
        [SHR, WC, LAV],
        [WC, LAV, TUB],
        [WC, LAV, SHR],
    ];
    let Bath { mut told, stands } = bath(kind_of, choices, &orders, 0)?;
    let turned = told.turned;
    let [_, depth] = turned.size;
    let aside = choices.own_of(&[12, 18, 24]);
    let out = choices.own_of(&[30, 36, 42]);
    let rise = choices.own_of(&[12, 18, 24]);
    let line = depth - 18 - aside;
    let mut steps = begin(&turned, -out, line, -18 - rise);
    steps.push(format!(
        "{} to abreast {}",
        turned.way(E),
        turned.at(12, line)
    ));
    steps.push(format!("up to {}", above("main floor", -18)));
    for (place, stand) in stands.iter().enumerate() {
        steps.push(format!("{} to abreast {}", turned.way(E), stand.port()));
        if place == 2 {
            steps.push("cleanout CO2".into());
            steps.push(format!("end {}", stand.tag));
        } else {
            // What leaves the 3 in drain says its size.
            let smaller = place == 0 && stand.name != WC;
            let size = if smaller { " size 2\"" } else { "" };
            steps.push(format!("catch {}{size}", stand.tag));
        }
        if stand.name == WC {
            steps.push("size 2\"".into());
        }
    }
    told.run("waste house-drain", &steps);
    vent_beside(&mut told);
    Some(told)
}

/// Level 4: the drain rises tilted, branches leave it at 45, and it ends by a 45 into the wall.
pub(super) fn forty_fives(kind_of: Kind, choices: &mut Choices) -> Option<Told> {
    let orders = [[WC, SHR, LAV], [SHR, WC, LAV]];
    let Bath { mut told, stands } = bath(kind_of, choices, &orders, 24)?;
    let turned = told.turned;
    let [_, depth] = turned.size;
    let aside = choices.own_of(&[12, 18]);
    let out = choices.own_of(&[24, 30, 36, 42]);
    let rise = choices.own_of(&[12, 18]);
    let line = depth - 18 - aside;
    let tilt = 6;
    let first = stands[0].east - aside;
    let last = stands[2].east - aside - 18;
    if first < tilt + rise + 6 || last < stands[1].east - aside + 6 {
        return None;
    }
    let mut steps = begin(&turned, -out, line, -18 - rise);
    let east = turned.way(E);
    steps.push(format!("{east} to abreast {}", turned.at(tilt, line)));
    steps.push(format!("up {} at 45 {east}", feet(rise)));
    for stand in &stands[..2] {
        let leaves = turned.at(stand.east - aside, line);
        steps.push(format!("{east} to abreast {leaves}"));
        let size = if stand.name == WC { "" } else { " size 2\"" };
        steps.push(format!("catch {} at 45{size}", stand.tag));
        if stand.name == WC {
            steps.push("size 2\"".into());
        }
    }
    steps.push(format!("{east} to abreast {}", turned.at(last, line)));
    steps.push(format!("{} legs {}", turned.way(NE), feet(aside + 18)));
    steps.push("cleanout CO2".into());
    steps.push("end LAV1".into());
    told.run("waste house-drain", &steps);
    vent_beside(&mut told);
    Some(told)
}

/// Level 5: the drain in the ground under the wall; each trap's arm meets its riser there, the riser goes on as its vent; vents are gathered above
/// the rims and leave by one pipe through the roof.
pub(super) fn vented(kind_of: Kind, choices: &mut Choices) -> Option<Told> {
    let orders = [
        [WC, SHR, LAV],
        [SHR, WC, LAV],
        [WC, LAV, SHR],
        [LAV, WC, SHR],
        [SHR, LAV, WC],
        [LAV, SHR, WC],
        [WC, LAV, TUB],
        [LAV, WC, TUB],
    ];
    let Bath { mut told, stands } = bath(kind_of, choices, &orders, 0)?;
    let turned = told.turned;
    let [_, depth] = turned.size;
    let out = choices.own_of(&[24, 30, 36]);
    let rise = choices.own_of(&[12, 18]);
    let tie = choices.own_of(&[42, 48, 54]);
    let gap = choices.own(2) as usize;
    let east = turned.way(E);
    let mut steps = begin(&turned, -out, depth, -18 - rise);
    for (place, stand) in stands.iter().enumerate() {
        steps.push(format!("{east} to abreast {}", stand.port()));
        if place < 2 {
            steps.push(format!("point P{}", place + 1));
        } else {
            steps.push("cleanout CO2".into());
            steps.extend(riser(stand));
        }
        if stand.name == WC && place < 2 {
            steps.push("size 2\"".into());
        }
    }
    told.run("waste house-drain", &steps);
    for (place, stand) in stands.iter().enumerate().take(2) {
        let size = if stand.name == WC { "3\"" } else { "2\"" };
        let mut steps = vec![
            format!("start P{}", place + 1),
            format!("size {size}"),
            "material pvc".into(),
        ];
        steps.extend(riser(stand));
        told.run(&format!("waste {}", stand.run()), &steps);
    }
    // The roof's pipe stands between two of the three; the third vent comes to it past the middle one.
    let roof = super::rooms::grid(i64::midpoint(stands[gap].east, stands[gap + 1].east));
    let (far, near, way, back) = if gap == 1 { (0, 2, E, W) } else { (2, 0, W, E) };
    let begin = |stand: &Stands| {
        let from = if stand.is_lavatory() {
            stand.port()
        } else {
            format!("{}-TOP", stand.tag)
        };
        vec![
            format!("start {from}"),
            "size 2\"".into(),
            "material pvc".into(),
        ]
    };
    let up = format!("up to {}", above("main floor", tie));
    let mut steps = begin(&stands[far]);
    steps.push(up.clone());
    steps.push(format!(
        "{} to abreast {}",
        turned.way(way),
        stands[1].port()
    ));
    steps.push("point TIE".into());
    steps.push(format!(
        "{} to abreast {}",
        turned.way(way),
        turned.at(roof, depth)
    ));
    steps.push("point ROOF".into());
    steps.push("size 3\"".into());
    steps.push("up through roof".into());
    told.run(&format!("vent {}-vent", stands[far].run()), &steps);
    let mut steps = begin(&stands[1]);
    steps.push("join TIE".into());
    told.run(&format!("vent {}-vent", stands[1].run()), &steps);
    let mut steps = begin(&stands[near]);
    steps.push(up);
    steps.push(format!(
        "{} to abreast {}",
        turned.way(back),
        turned.at(roof, depth)
    ));
    steps.push("join ROOF".into());
    told.run(&format!("vent {}-vent", stands[near].run()), &steps);
    Some(told)
}

/// From the drain under the wall to a fixture: at once where its tee stands in the wall, by a riser to the height of its arm otherwise.
fn riser(stand: &Stands) -> Vec<String> {
    let end = format!("end {}", stand.tag);
    if stand.is_lavatory() {
        return vec![end];
    }
    vec![
        format!("up to {}", above("main floor", -18)),
        format!("point {}-TOP", stand.tag),
        end,
    ]
}

/// The drain from outside the building, with its cleanout.
fn begin(turned: &Turned, east: i64, north: i64, height: i64) -> Vec<String> {
    vec![
        format!(
            "start {} {}",
            turned.at(east, north),
            above("main floor", height)
        ),
        "size 3\"".into(),
        "material pvc".into(),
        format!("{} 1'", turned.way(E)),
        "cleanout CO1".into(),
    ]
}

/// The vent by which the waste is lawful.
fn vent_beside(told: &mut Told) {
    let steps = [
        "start LAV1.tee".to_owned(),
        "size 2\"".into(),
        "material pvc".into(),
        format!("up to {}", above("main floor", 42)),
        "size 3\"".into(),
        "up through roof".into(),
    ];
    told.run_beside("vent lavatory-vent", &steps);
    told.text = told
        .text
        .replacen("\n\n", "\nnote \"Vents are on another sheet.\"\n\n", 1);
}
