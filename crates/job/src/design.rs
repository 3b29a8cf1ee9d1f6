//! Turns statements about use, local amendments, supplies, heaters and methods into plain data.

use crate::diagnostic::{Diagnostic, Span};
use crate::line::Line;
use crate::model::{
    Amendment, DemandReading, Design, Facts, Friction, GasKind, GasMethod, GasSupply, Name, Supply,
    WaterMethod, WaterSource,
};
use crate::source::{is_quoted, unquoted};
use wyeline_units::{Temperature, read_number};

const SOURCES: [(&str, WaterSource); 2] =
    [("street", WaterSource::Street), ("well", WaterSource::Well)];

const GASES: [(&str, GasKind); 2] = [("natural", GasKind::Natural), ("propane", GasKind::Propane)];

const GAS_METHODS: [(&str, GasMethod); 2] = [
    ("longest-length", GasMethod::LongestLength),
    ("branch-length", GasMethod::BranchLength),
];

const WATER_METHODS: [(&str, WaterMethod); 2] = [
    ("table", WaterMethod::Table),
    ("segmented", WaterMethod::Segmented),
];

const READINGS: [(&str, DemandReading); 2] = [
    ("next-row", DemandReading::NextRow),
    ("interpolated", DemandReading::Interpolated),
];

const FRICTIONS: [(&str, Friction); 2] = [
    ("hazen-williams", Friction::HazenWilliams),
    ("darcy-weisbach", Friction::DarcyWeisbach),
];

/// What a method is chosen for.
#[derive(Clone, Copy)]
enum Topic {
    Gas,
    Water,
    Demand,
    Friction,
}

const TOPICS: [(&str, Topic); 4] = [
    ("gas", Topic::Gas),
    ("water", Topic::Water),
    ("demand", Topic::Demand),
    ("friction", Topic::Friction),
];

/// Reads `amend`, `supply` or `method`, whose first word has been taken.
pub fn statement(line: &mut Line, first: &str, span: Span, design: &mut Design) {
    match first {
        "amend" => {
            let amendment = amendment(line);
            design.amendments.extend(amendment);
        }
        "supply" if line.peek() == "gas" => gas(line, span, design),
        "supply" => water(line, span, design),
        _ => method(line, span, design),
    }
}

/// Says that something has been told twice.
fn twice(line: &mut Line, span: Span, what: &str, first: Span) {
    let mistake = Diagnostic::mistake("said-twice", span, format!("{what} has been said already"))
        .expected("expected this once in a job")
        .note(first, "said here first");
    line.report(mistake);
}

/// `amend TABLE KEY VALUE [UNIT] by "CITATION"`.
fn amendment(line: &mut Line) -> Option<Amendment> {
    let table = words(line, "a table, or `rules`");
    let key = words(line, "the value in the table");
    if key.is_none() && line.done() {
        return None;
    }
    let value_span = line.ahead(0);
    let mut said: Vec<&str> = Vec::new();
    let mut end = value_span.end;
    while !line.done() && line.peek() != "by" {
        let rest = line.rest();
        // An inch mark stands here, not a quote mark: words end at spaces.
        let word = rest.split_whitespace().next().unwrap_or_default();
        if is_quoted(word) {
            break;
        }
        end = line.take(word.len()).end;
        said.push(word);
    }
    if said.is_empty() {
        line.missing("word-missing", "what holds here");
        return None;
    }
    line.expect("by");
    let by = line.quoted("who says so, in quote marks");
    line.finish();
    let (value, unit) = parted(&said);
    Some(Amendment {
        table: table?,
        key: key?,
        value,
        unit,
        value_span: Span::new(value_span.start as usize, end as usize),
        by: by?,
        span: line.whole(),
    })
}

/// A word, or words in quote marks.
fn words(line: &mut Line, what: &str) -> Option<Name> {
    let word = line.peek();
    if word.is_empty() {
        line.too_short(what);
        return None;
    }
    if is_quoted(word) && unquoted(word).is_none() {
        line.quoted(what);
        return None;
    }
    let (word, span) = line.word();
    let text = unquoted(word).unwrap_or(word).to_owned();
    Some(Name { text, span })
}

/// The value and its unit: a number is parted from what follows it, anything else (`1/4 in per ft`, `3"`) is left whole.
fn parted(said: &[&str]) -> (String, String) {
    let whole = said.join(" ");
    let slope = said.contains(&"per") || whole.contains(':');
    match read_number(&whole) {
        Some((number, bytes)) if !slope => {
            let rest = &whole[bytes..];
            if rest.is_empty() || rest.starts_with(' ') {
                return (number.to_string(), rest.trim_start().to_owned());
            }
            (whole, String::new())
        }
        _ => (whole, String::new()),
    }
}

/// `supply pressure 55 psi [static] [at HEIGHT] [from street|well]`.
fn water(line: &mut Line, span: Span, design: &mut Design) {
    line.expect("pressure");
    let pressure = line.pressure();
    let (mut standing, mut at, mut from) = (false, None, None);
    while let Some(option) = line.option(&["static", "at", "from"]) {
        match option {
            "static" => standing = true,
            "at" => at = line.height(),
            _ => from = line.one_of("unknown-word", "`street` or `well`", &SOURCES),
        }
    }
    let before = design
        .supplies
        .iter()
        .find(|supply| supply.standing == standing);
    if let Some(before) = before {
        let what = if standing {
            "the static pressure"
        } else {
            "the pressure of the supply"
        };
        let first = before.span;
        return twice(line, span, what, first);
    }
    design.supplies.extend(pressure.map(|pressure| Supply {
        pressure,
        standing,
        at,
        from: from.unwrap_or_default(),
        span: line.whole(),
    }));
}

/// `supply gas natural|propane pressure P [drop P] [heating-value H] [gravity N]`.
fn gas(line: &mut Line, span: Span, design: &mut Design) {
    line.word();
    let kind = line.one_of("unknown-word", "`natural` or `propane`", &GASES);
    line.expect("pressure");
    let pressure = line.pressure();
    let (mut drop, mut heating_value, mut gravity) = (None, None, None);
    while let Some(option) = line.option(&["drop", "heating-value", "gravity"]) {
        match option {
            "drop" => drop = line.pressure(),
            "heating-value" => heating_value = line.heating_value(),
            _ => gravity = line.number("a specific gravity").map(|(value, _)| value),
        }
    }
    if let Some(before) = &design.gas {
        let first = before.span;
        return twice(line, span, "the gas supply", first);
    }
    if let (Some(kind), Some(pressure)) = (kind, pressure) {
        design.gas = Some(GasSupply {
            kind,
            pressure,
            drop,
            heating_value,
            gravity,
            span: line.whole(),
        });
    }
}

/// `heater temperature 140 F`.
pub fn heater(line: &mut Line) -> Option<(Temperature, Span)> {
    line.expect("temperature");
    let temperature = line.temperature()?;
    Some((temperature, line.whole()))
}

/// `winter -5 F`: of all amounts of the language this one may be below nought.
pub fn winter(line: &mut Line) -> Option<(Temperature, Span)> {
    let below = line.rest().starts_with('-');
    if below {
        line.take(1);
    }
    let number = read_number(line.rest()).map_or(0.0, |(number, _)| number);
    let said = line.temperature()?;
    // A number of degrees Fahrenheit above nought is never the same number of degrees Celsius.
    let in_celsius = said.celsius.total_cmp(&number).is_eq();
    let temperature = match (below, in_celsius) {
        (false, _) => said,
        (true, true) => Temperature { celsius: -number },
        (true, false) => Temperature::fahrenheit(-number),
    };
    Some((temperature, line.whole()))
}

/// `method TOPIC CHOICE`.
fn method(line: &mut Line, span: Span, design: &mut Design) {
    let topic = line.one_of(
        "unknown-word",
        "`gas`, `water`, `demand` or `friction`",
        &TOPICS,
    );
    let Some(topic) = topic else {
        // What may be chosen depends on the topic.
        line.remainder();
        return;
    };
    let methods = &mut design.methods;
    let said = match topic {
        Topic::Gas => methods.gas.is_some(),
        Topic::Water => methods.water.is_some(),
        Topic::Demand => methods.demand.is_some(),
        Topic::Friction => methods.friction.is_some(),
    };
    if said {
        let mistake =
            Diagnostic::mistake("said-twice", span, "this method has been chosen already")
                .expected("expected each choice once in a job");
        line.report(mistake);
        line.remainder();
        return;
    }
    match topic {
        Topic::Gas => {
            methods.gas = line.one_of("unknown-word", "a way to size gas pipe", &GAS_METHODS);
        }
        Topic::Water => {
            methods.water = line.one_of("unknown-word", "a way to size water pipe", &WATER_METHODS);
        }
        Topic::Demand => {
            methods.demand = line.one_of("unknown-word", "a way to read the table", &READINGS);
        }
        Topic::Friction => {
            methods.friction = line.one_of("unknown-word", "a formula of friction", &FRICTIONS);
        }
    }
    line.finish();
}

/// What follows a word of a fixture's line that tells of its use, flow or heat.
pub fn fact(line: &mut Line, word: &str, facts: &mut Facts) {
    match word {
        "use" => facts.usage = line.usage(),
        "flushometer" => facts.flushometer = true,
        "flush" => facts.flush = line.volume(),
        "flow" => facts.flow = line.flow(),
        "draws" => {
            facts.draws = line.flow();
            line.expect("continuously");
        }
        "input" => facts.input = line.power(),
        "loses" => facts.loses = line.pressure(),
        "limit" => facts.limit = line.temperature(),
        _ => facts.protected = true,
    }
}
