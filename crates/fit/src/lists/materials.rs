//! What is bought, as a list for the counter: pipe, fittings and the rest, whole or by phase, system or level, what is
//! added for waste apart, and the marks that lead each line back to the drawing.

use std::collections::BTreeMap;

use wyeline_network::model::FixtureIx;
use wyeline_units::UnitSystem;

use super::{Given, words};
use crate::list::{Cell, Column, Kind, List, column, shown};
use crate::marks;
use crate::model::{Mark, Phase, Shape};
use crate::name;
use crate::takeoff::{Amount, By, Part, Sum, TakeOff, What, grouped};

const COLUMNS: [Column; 7] = [
    column("amount", "amount", Kind::Amount),
    column("what", "what", Kind::Text),
    column("size", "size", Kind::Text),
    column("material", "material", Kind::Text),
    column("waste", "waste, apart", Kind::Amount),
    column("marks", "where", Kind::Text),
    column("rule", "counted by", Kind::Text),
];

/// A fluid ounce of the United States, litres: 1/128 of 231 cubic inches, by definition.
const FLUID_OUNCE: f64 = 231.0 * 0.016_387_064 / 128.0;
/// An ounce, kilograms: 1/16 of a pound of 0.45359237 kg, by definition.
const OUNCE: f64 = 0.453_592_37 / 16.0;

/// The list `materials`.
pub fn materials(given: &Given, takeoff: &TakeOff, by: By) -> List {
    let mut list = List::new("materials", "Materials", &COLUMNS);
    let mut rules = Rules::default();
    for (part, sums) in grouped(&takeoff.lines, by) {
        let part = part_name(given, part);
        let mut pipes: BTreeMap<_, Vec<&Sum>> = BTreeMap::new();
        for sum in &sums {
            let heading = format!("{part}{}", class(sum.what));
            list.push(&heading, row(given, sum, &mut rules));
            if sum.what == What::Pipe {
                let alike = (&sum.material, &sum.sizes);
                pipes.entry(alike).or_default().push(sum);
            }
        }
        for alike in pipes.into_values().filter(|alike| alike.len() > 1) {
            let heading = format!("{part}{}", class(What::Pipe));
            list.total(&heading, both(&alike, given.network.units));
        }
    }
    list.notes.extend(rules.notes());
    list.notes.extend(takeoff.notes.iter().cloned());
    list
}

/// Ways of counting, each by a letter where it is first met.
#[derive(Default)]
struct Rules(Vec<String>);

impl Rules {
    fn letter(&mut self, source: &str) -> String {
        let known = self.0.iter().position(|known| known == source);
        let at = known.unwrap_or_else(|| {
            self.0.push(source.to_owned());
            self.0.len() - 1
        });
        letters(at)
    }

    fn notes(self) -> impl Iterator<Item = String> {
        let all = self.0.into_iter().enumerate();
        all.map(|(at, source)| format!("{}: {source}", letters(at)))
    }
}

/// `a` … `z`, then `a1` …
fn letters(at: usize) -> String {
    let letter = char::from(b'a' + (at % 26) as u8);
    match at / 26 {
        0 => letter.to_string(),
        more => format!("{letter}{more}"),
    }
}

fn part_name(given: &Given, part: Part) -> String {
    match part {
        Part::Whole => String::new(),
        Part::Phase(Phase::Underground) => "Underground: ".to_owned(),
        Part::Phase(Phase::Rough) => "Rough-in: ".to_owned(),
        Part::Phase(Phase::Finish) => "Finish: ".to_owned(),
        Part::System(system) => format!("{}: ", capital(words::system(system))),
        Part::Level(level) => {
            let level = level.and_then(|ix| given.network.levels.get(ix.0 as usize));
            match level {
                Some(level) => format!("Level {}: ", level.name),
                None => "Below all levels: ".to_owned(),
            }
        }
    }
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// What lines stand together.
fn class(what: What) -> &'static str {
    match what {
        What::Pipe => "Pipe",
        What::Fitting(Shape::Device(_)) => "Valves and devices",
        What::Fitting(_) | What::Joint => "Fittings",
        What::Hanger | What::Guide => "Hangers and guides",
        What::Plate | What::Sleeve | What::Firestop | What::Flashing => {
            "Plates, sleeves, firestops, flashings"
        }
        What::CleanoutCover | What::ClosetSet | What::Stop | What::SupplyTube => {
            "With the fixtures"
        }
        What::Cement | What::Primer | What::Solder | What::Flux | What::ThreadSealant => {
            "For joints: allowances, not measures"
        }
    }
}

fn row(given: &Given, sum: &Sum, rules: &mut Rules) -> Vec<Cell> {
    let units = given.network.units;
    let rules: Vec<String> = sum.sources.iter().map(|one| rules.letter(one)).collect();
    let sizes = name::sizes(&sum.sizes, units);
    let what = match (sum.what, sum.plumb) {
        (What::Pipe, true) => "pipe, plumb",
        (What::Pipe, false) => "pipe, level",
        _ => &*sum.name,
    };
    vec![
        amount(sum.amount, sum.estimated, units),
        Cell::text(what),
        // A fitting's name begins with its sizes.
        Cell::text(if sum.name.contains(&*sizes) {
            ""
        } else {
            &sizes
        }),
        Cell::text(&*sum.material),
        sum.spare
            .map_or(Cell::Nothing, |spare| amount(spare, false, units)),
        Cell::text(leads_to(given, &sum.from)),
        Cell::text(rules.join(" ")),
    ]
}

/// Level and plumb pipe of one size together.
fn both(alike: &[&Sum], units: UnitSystem) -> Vec<Cell> {
    let all: f64 = alike.iter().map(|sum| sum.amount.value()).sum();
    let spare = alike.iter().filter_map(|sum| sum.spare);
    let spare: Option<f64> = spare.map(Amount::value).reduce(|a, b| a + b);
    let estimated = alike.iter().any(|sum| sum.estimated);
    let length = |mm: f64, estimated| amount(Amount::Length(mm), estimated, units);
    vec![
        length(all, estimated),
        Cell::text("sum, level and plumb"),
        Cell::text(name::sizes(&alike[0].sizes, units)),
        Cell::text(&*alike[0].material),
        spare.map_or(Cell::Nothing, |mm| length(mm, false)),
        Cell::Nothing,
        Cell::Nothing,
    ]
}

fn amount(amount: Amount, estimated: bool, units: UnitSystem) -> Cell {
    let (unit, shown) = match amount {
        Amount::Count(count) => ("count", count.to_string()),
        Amount::Length(mm) => ("mm", shown(mm, units)),
        Amount::Volume(litres) if units.is_metric() => ("l", format!("{litres:.2} l")),
        Amount::Volume(litres) => ("l", format!("{:.1} fl oz", litres / FLUID_OUNCE)),
        Amount::Mass(kg) if units.is_metric() => ("kg", format!("{kg:.2} kg")),
        Amount::Mass(kg) => ("kg", format!("{:.1} oz", kg / OUNCE)),
    };
    let about = if estimated { "~ " } else { "" };
    Cell::Amount {
        value: amount.value(),
        unit,
        shown: format!("{about}{shown}"),
    }
}

/// Marks of pieces and fittings, tags of fixtures.
fn leads_to(given: &Given, from: &[Mark]) -> String {
    let (mut pieces, mut fittings) = (Vec::new(), Vec::new());
    let mut others: Vec<String> = Vec::new();
    for mark in from {
        match mark {
            Mark::Piece(number) => pieces.push(*number),
            Mark::Fitting(id) => fittings.extend(given.marks.fitting(id)),
            Mark::Fixture(FixtureIx(ix)) => {
                let fixture = given.network.fixtures.get(*ix as usize);
                others.extend(fixture.map(|fixture| fixture.tag.clone()));
            }
            Mark::Crossing(pipe, level) => {
                let pieces = given.marks.pieces(*pipe);
                let level = given.network.levels.get(level.0 as usize);
                let at = level.map_or("", |level| level.name.as_str());
                others.push(format!("{pieces} at {at}"));
            }
        }
    }
    let pieces = marks::several('P', &pieces);
    let fittings = marks::several('F', &fittings);
    let all = [pieces, fittings].into_iter().chain(others);
    let all: Vec<String> = all.filter(|one| !one.is_empty()).collect();
    all.join(", ")
}
