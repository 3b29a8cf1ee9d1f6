//! Loads, reasons and places in the words of a report, and what closes every report.

use std::fmt::Write;

use wyeline_checks::At;
use wyeline_codes::{Cite, Family, How, Pack};
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{Pipe, PipeIx};
use wyeline_sizing::{GapAt, Governs, PipeResult, Role};
use wyeline_units::{Flow, Len, Power, UnitSystem};

/// What a pipe is to the code.
pub fn role(role: Role) -> &'static str {
    match role {
        Role::FixtureDrain => "fixture drain",
        Role::Branch => "branch",
        Role::Stack => "stack",
        Role::StackOffset => "stack offset",
        Role::BuildingDrain => "building drain",
        Role::BuildingSewer => "building sewer",
        Role::IndividualVent => "individual vent",
        Role::BranchVent => "branch vent",
        Role::StackVent => "stack vent",
        Role::VentStack => "vent stack",
        Role::ReliefVent => "relief vent",
        Role::CircuitVent => "circuit vent",
        Role::Storm => "storm",
        Role::Service => "service",
        Role::Distribution => "distribution",
        Role::FixtureSupply => "fixture supply",
        Role::HotReturn => "hot return",
        Role::Gas => "gas",
        Role::Unknown => "not known",
    }
}

/// A figure with at most two decimals, idle zeros left out.
pub fn figure(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The units in which a code counts what drains and supplies carry.
struct Units {
    drain: &'static str,
    water: &'static str,
}

fn units(family: Family) -> Units {
    match family {
        Family::DfuIpc | Family::DfuUpc => Units {
            drain: "dfu",
            water: "wsfu",
        },
        Family::En => Units {
            drain: "DU",
            water: "LU",
        },
    }
}

/// What a pipe carries, in the code's units: `12 dfu`, `4.5 wsfu`, `75,000 btu/h`; empty where nothing is known.
pub fn load(pipe: &Pipe, result: &PipeResult, family: Family, system: UnitSystem) -> String {
    let words = units(family);
    let load = &result.load;
    match pipe.system {
        System::Waste | System::Vent if load.drain > 0.0 => {
            format!("{} {}", figure(load.drain), words.drain)
        }
        System::Cold | System::Hot => {
            let [cold, hot, total] = load.water;
            let of = match pipe.system {
                // Where both are fed, what counts is less than their sum.
                System::Cold if hot > 0.0 => total,
                System::Cold => cold,
                _ => hot,
            };
            let counted = (of > 0.0).then(|| format!("{} {}", figure(of), words.water));
            let runs_on = Flow {
                lps: load.continuous_lps,
            };
            let runs_on =
                (runs_on.lps > 0.0).then(|| format!("{} running on", runs_on.show(system)));
            let parts: Vec<String> = counted.into_iter().chain(runs_on).collect();
            parts.join(" + ")
        }
        System::Gas if load.gas_w > 0.0 => Power { watts: load.gas_w }.show(system),
        System::HotReturn | System::Storm | System::Waste | System::Vent | System::Gas => {
            String::new()
        }
    }
}

/// The likely peak flow in a pipe.
pub fn flow(result: &PipeResult, system: UnitSystem) -> String {
    let water = result.water.map(|water| water.flow_lps);
    let flow = water.or(result.load.flow_lps).filter(|lps| *lps > 0.0);
    flow.map_or_else(String::new, |lps| Flow { lps }.show(system))
}

/// The one line that decided a pipe's least size.
pub fn governs(governs: &Governs, network: &Network, system: UnitSystem) -> String {
    match governs {
        Governs::Nothing => String::new(),
        Governs::Table {
            cite,
            allows,
            carries,
            unit,
        } => {
            let show = |value: f64| match *unit {
                _ if value.is_infinite() => "any".to_owned(),
                "mm" => length(value, system),
                unit => format!("{} {unit}", figure(value)),
            };
            let (carries, allows) = (show(*carries), show(*allows));
            format!("{}: {carries}, allowed {allows}", stands(cite))
        }
        Governs::Least { cite, why } => format!("{}: {why}", stands(cite)),
        Governs::Upstream { pipe, cite } => {
            let id = &network.pipe(*pipe).id;
            format!("{}: not less than {id}", stands(cite))
        }
        Governs::Velocity { limit, cite } => {
            let limit = velocity(*limit, system);
            format!("{}: at most {limit}", stands(cite))
        }
        Governs::Pressure { fixture } => {
            let tag = network.fixtures.get(fixture.0 as usize);
            format!(
                "pressure left for {}",
                tag.map_or("the farthest fixture", |fixture| &*fixture.tag)
            )
        }
        Governs::Stated => "stated".to_owned(),
    }
}

/// Where something stands; what is common practice is said to be so once.
pub fn stands(cite: &Cite) -> String {
    if cite.how == How::CommonPractice && cite.document.eq_ignore_ascii_case("common practice") {
        format!("common practice, {}", cite.place)
    } else {
        cite.to_string()
    }
}

/// Where a reason stands, where it stands in a document.
pub fn cite(governs: &Governs) -> Option<&Cite> {
    match governs {
        Governs::Table { cite, .. }
        | Governs::Least { cite, .. }
        | Governs::Upstream { cite, .. }
        | Governs::Velocity { cite, .. } => Some(cite),
        Governs::Nothing | Governs::Pressure { .. } | Governs::Stated => None,
    }
}

/// A length as the job's units have it, to 1/16 in or a millimetre.
pub fn length(mm: f64, system: UnitSystem) -> String {
    Len::from_mm(mm).show(system, 16)
}

/// A height with its sign.
pub fn height(mm: f64, network: &Network) -> String {
    let text = length(mm + network.datum_mm.unwrap_or(0.0), network.units);
    if text.starts_with('-') {
        text
    } else {
        format!("+{text}")
    }
}

/// What something is called in a report: a tag, a point's name, or an id.
pub fn place(network: &Network, at: At) -> &str {
    match at {
        At::Job => "the job",
        At::Pipe(ix) => &network.pipe(ix).id,
        At::Fixture(ix) => network
            .fixtures
            .get(ix.0 as usize)
            .map_or("", |fixture| &fixture.tag),
        At::Node(ix) => {
            let node = network.node(ix);
            node.name.as_ref().unwrap_or(&node.id)
        }
    }
}

/// The same for what could not be sized.
pub fn gap_place(network: &Network, at: GapAt) -> &str {
    place(
        network,
        match at {
            GapAt::Job => At::Job,
            GapAt::Pipe(ix) => At::Pipe(ix),
            GapAt::Node(ix) => At::Node(ix),
            GapAt::Fixture(ix) => At::Fixture(ix),
        },
    )
}

/// Places named in one breath; the rest are counted.
const MOST_PLACES: usize = 4;

/// What a result rests on and nobody has verified, to be put behind it; empty where there is nothing of it.
pub fn rests(names: &[&str]) -> String {
    if names.is_empty() {
        return String::new();
    }
    format!("; NOT VERIFIED: {}", places(names.iter().copied()))
}

/// Names with commas; the first few, and how many more.
pub fn places<'a>(names: impl Iterator<Item = &'a str>) -> String {
    let mut all: Vec<&str> = names.collect();
    all.dedup();
    let more = all.len().saturating_sub(MOST_PLACES);
    let shown = all[..all.len() - more].join(", ");
    if more > 0 {
        format!("{shown} and {more} more")
    } else {
        shown
    }
}

/// Longest line of a list of names, letters.
const WIDEST: usize = 110;

/// A heading and names with commas, broken into lines, those after the first indented deeper.
pub fn listed(what: &str, names: &[&str]) -> String {
    let mut text = format!("  {what}:");
    let mut wide = text.chars().count();
    for (at, name) in names.iter().enumerate() {
        let comma = if at + 1 < names.len() { "," } else { "" };
        let more = name.chars().count() + comma.len() + 1;
        if wide + more > WIDEST {
            text.push_str("\n   ");
            wide = 3;
        }
        text.push(' ');
        text.push_str(name);
        text.push_str(comma);
        wide += more;
    }
    text.push('\n');
    text
}

/// A slope that need not be a plain ratio: `0.188 in/ft`, `1.56%`.
pub fn ratio(ratio: f64, system: UnitSystem) -> String {
    if system.is_metric() {
        format!("{:.2}%", ratio * 100.0)
    } else {
        format!("{:.3} in/ft", ratio * 12.0)
    }
}

/// A velocity: `5.2 ft/s`, `1.6 m/s`.
pub fn velocity(metres: f64, system: UnitSystem) -> String {
    if system.is_metric() {
        format!("{metres:.1} m/s")
    } else {
        // A foot is 0.3048 m.
        format!("{:.1} ft/s", metres / 0.3048)
    }
}

/// The pipe of that id.
pub fn pipe_named(network: &Network, id: &str) -> Option<PipeIx> {
    let at = network.pipes.iter().position(|pipe| pipe.id == id)?;
    Some(PipeIx(at as u32))
}

/// How many of these places were not read again in the printed code, in words; empty where all were.
pub fn trust<'a>(cites: impl Iterator<Item = &'a Cite>) -> String {
    let (mut all, mut memory, mut practice, mut local) = (0_u32, 0_u32, 0_u32, 0_u32);
    for cite in cites {
        all += 1;
        match cite.how {
            How::Memory => memory += 1,
            How::CommonPractice => practice += 1,
            How::Local => local += 1,
            How::Seen | How::Computed => {}
        }
    }
    let mut words = Vec::new();
    if memory > 0 {
        words.push(format!(
            "{memory} of {all} reasons rest on values from memory: compare those with the printed code"
        ));
    }
    if practice > 0 {
        words.push(format!("{practice} of {all} on common practice"));
    }
    if local > 0 {
        words.push(format!("{local} of {all} on local amendments"));
    }
    words.join("; ")
}

/// The local amendments in force, a line each.
pub fn amendments(pack: &Pack) -> String {
    let mut text = String::new();
    for one in pack.amendments() {
        let _ = writeln!(
            text,
            "local amendment: {} {}: {} instead of {} ({}), by {}",
            one.table, one.key, one.now, one.was, one.instead_of, one.by
        );
    }
    text
}

/// What closes every report: what was compared with what, and who decides.
pub fn closing(pack: &Pack) -> String {
    let amended = match pack.amendments().len() {
        0 => "without local amendments".to_owned(),
        1 => "with the local amendment named here and no other".to_owned(),
        count => format!("with the {count} local amendments named here and no others"),
    };
    format!(
        "Compared with the tables of {} held here, {amended}. The authority having jurisdiction decides: where it differs, \
         follow it.\nNot an engineer's design. Installation, testing and certification are for persons licensed to do \
         them where the work is.\n",
        pack.name()
    )
}

/// Whether a job has gas pipe, with which the caution goes.
pub fn has_gas(network: &Network) -> bool {
    network.pipes.iter().any(|pipe| pipe.system == System::Gas)
}

/// The caution that goes with lists.
pub const LISTS: &str = "Lengths rest on the dimensions of fittings held here: measure the fittings in hand and dry-fit before you cut or \
    glue. What is counted is what the job tells; hangers, firestops and bores follow local code.\n";

/// The caution that goes with sizes of gas pipe.
pub const GAS: &str = "CAUTION: gas sizes are read from the table named, by the pressures and inputs that the job tells. They are for a \
    licensed gas fitter to verify before anything is built; gas work is for those licensed for it.";

#[cfg(test)]
mod tests {
    use super::*;
    use wyeline_codes::Cite;

    #[test]
    fn figures_carry_no_idle_zeros() {
        assert_eq!(
            (
                &*figure(12.0),
                &*figure(0.5),
                &*figure(1.25),
                &*figure(0.333)
            ),
            ("12", "0.5", "1.25", "0.33")
        );
    }

    #[test]
    fn what_rests_on_memory_is_counted() {
        let cite = |how| Cite {
            document: "D".into(),
            place: "T".into(),
            how,
        };
        let cites = [
            cite(How::Seen),
            cite(How::Memory),
            cite(How::Memory),
            cite(How::Local),
        ];
        assert_eq!(
            trust(cites.iter()),
            "2 of 4 reasons rest on values from memory: compare those with the printed code; 1 of 4 on local amendments"
        );
        assert_eq!(trust(cites[..1].iter()), "");
    }
}
