//! Offsets as lists: set, run, travel and roll of each; and how much later the next of several parallel lines turns.

use super::{Given, words};
use crate::list::{Cell, Column, Kind, List, column};
use crate::marks;
use crate::offset::{Jump, Offset, offsets as all_offsets, spreads as all_spreads};

const COLUMNS: [Column; 11] = [
    column("offset", "offset", Kind::Text),
    column("pieces", "piece", Kind::Text),
    column("bends", "bends", Kind::Text),
    column("system", "system", Kind::Text),
    column("degrees", "angle", Kind::Text),
    column("set", "set", Kind::Length),
    column("run", "run", Kind::Length),
    column("travel", "travel", Kind::Length),
    column("rise", "rise", Kind::Length),
    column("roll", "roll", Kind::Length),
    column("jump", "", Kind::Text),
];

const SPREAD: [Column; 7] = [
    column("offset", "offset", Kind::Text),
    column("pieces", "piece", Kind::Text),
    column("spacing", "from the one above", Kind::Length),
    column("beside", "beside it", Kind::Length),
    column("shift", "turns later by", Kind::Length),
    column("told", "as told", Kind::Length),
    column("remark", "", Kind::Text),
];

/// Lines that turn so much apart from what keeps them parallel, mm, are told: 1/16 in, what a rule is read to.
const ALIKE_MM: f64 = 1.5875;

/// The lists `offsets` and `spreads`; where there are none they are empty.
pub fn offsets(given: &Given) -> [List; 2] {
    let (network, units) = (given.network, given.network.units);
    let found = all_offsets(network, given.fitted);
    let mut offsets = List::new("offsets", "Offsets", &COLUMNS);
    for (at, offset) in found.iter().enumerate() {
        offsets.push("", row(given, at, offset));
    }
    let mut spreads = List::new("spreads", "Parallel offsets", &SPREAD);
    for (at, spread) in all_spreads(network, &found).iter().enumerate() {
        let angle = degrees(spread.angle);
        let heading = format!("Set {}: {angle} degree fittings, inner line first", at + 1);
        for (nth, line) in spread.lines.iter().enumerate() {
            let figure = |mm: f64| {
                if nth == 0 {
                    Cell::Nothing
                } else {
                    Cell::length(mm, units)
                }
            };
            let uneven = nth > 0 && (line.told_mm - line.shift_mm).abs() > ALIKE_MM;
            let row = vec![
                Cell::text(number(line.offset)),
                Cell::text(marks::several('P', &found[line.offset].marks)),
                figure(line.spacing_mm),
                figure(line.plane_mm),
                figure(line.shift_mm),
                figure(line.told_mm),
                Cell::text(if uneven {
                    "not as far apart on the slant as before it"
                } else {
                    ""
                }),
            ];
            spreads.push(&heading, row);
        }
    }
    [offsets, spreads]
}

fn number(at: usize) -> String {
    format!("O{}", at + 1)
}

fn row(given: &Given, at: usize, offset: &Offset) -> Vec<Cell> {
    let units = given.network.units;
    let bends = offset.ends.iter().flat_map(|node| {
        let joint = &given.fitted.joints[node.0 as usize];
        given.marks.numbers(&joint.fittings)
    });
    let bends: Vec<u32> = bends.collect();
    let (rise, roll, jump) = match offset.jump {
        Jump::Plain => (Cell::Nothing, Cell::Nothing, String::new()),
        Jump::Rolling {
            rise_mm,
            roll_mm,
            roll_angle,
        } => (
            Cell::length(rise_mm, units),
            Cell::length(roll_mm, units),
            format!(
                "rolling: fittings {} degrees up from level",
                degrees(roll_angle)
            ),
        ),
        Jump::Plumb { east_mm, north_mm } => {
            let way = |mm: f64, to: &str, back: &str| {
                let word = if mm < 0.0 { back } else { to };
                format!("{} {word}", crate::list::shown(mm.abs(), units))
            };
            let (east, north) = (
                way(east_mm, "east", "west"),
                way(north_mm, "north", "south"),
            );
            let words = format!("going up: {east}, {north}");
            (Cell::Nothing, Cell::Nothing, words)
        }
    };
    vec![
        Cell::text(number(at)),
        Cell::text(marks::several('P', &offset.marks)),
        Cell::text(marks::several('F', &bends)),
        Cell::text(words::system(offset.system)),
        Cell::text(degrees(offset.angle)),
        Cell::length(offset.set_mm, units),
        Cell::length(offset.run_mm, units),
        Cell::length(offset.travel_mm, units),
        rise,
        roll,
        Cell::text(jump),
    ]
}

/// Degrees with at most two decimals.
fn degrees(angle: f64) -> String {
    let text = format!("{angle:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
