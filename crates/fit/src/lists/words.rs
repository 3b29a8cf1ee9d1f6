//! Words of lists: materials with sizes, ends of pieces, systems.

use wyeline_codes::How;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{NodeIx, NodeKind};
use wyeline_units::UnitSystem;

use super::Given;
use crate::list::{Cell, shown};
use crate::marks;
use crate::model::{Family, Fitting, Stuff};
use crate::name;

/// A material with its size, as the job and as the trade calls it: `3" pvc (PVC DWV)`.
pub fn stuff(stuff: &Stuff, units: UnitSystem) -> String {
    let size = stuff.size.map_or_else(
        || "size not known".to_owned(),
        |size| name::size(size, units),
    );
    format!("{size} {}", material(stuff))
}

/// A material as the job and as the trade calls it: `pvc (PVC DWV)`.
pub fn material(stuff: &Stuff) -> String {
    let Stuff {
        family, material, ..
    } = stuff;
    if *family == Family::Other {
        material.clone()
    } else {
        format!("{material} ({})", name::family(*family))
    }
}

/// Fittings that stand together, with their marks: `F1-F3 3" wye + street 1/8 bend + cleanout plug`; sizes are told
/// again where they change. What is there already says so.
pub(super) fn fittings(given: &Given, all: &[Fitting]) -> String {
    let mut sizes = None;
    let called: Vec<String> = all
        .iter()
        .map(|fitting| {
            let again = sizes.replace(&fitting.sizes) == Some(&fitting.sizes);
            let mut said = fitting.clone();
            if again {
                said.sizes.clear();
            }
            name::fitting(&said, given.network.units)
        })
        .collect();
    let called = called.join(" + ");
    match marks::several('F', &given.marks.numbers(all)) {
        none if none.is_empty() => format!("existing {called}"),
        marks => format!("{marks} {called}"),
    }
}

/// What stands at the end of a piece: its fittings, else what the end is.
pub(super) fn end(given: &Given, node: NodeIx) -> String {
    let network = given.network;
    let joint = &given.fitted.joints[node.0 as usize];
    if !joint.fittings.is_empty() {
        return fittings(given, &joint.fittings);
    }
    let node = network.node(node);
    let fixture = node
        .fixture
        .and_then(|ix| network.fixtures.get(ix.0 as usize));
    match (&node.kind, fixture, &node.name) {
        (_, Some(fixture), _) => format!("at {}", fixture.tag),
        (NodeKind::Continues { to, .. }, ..) => format!("goes on to {to}"),
        (NodeKind::Start, _, None) => "start of the run".to_owned(),
        (NodeKind::RoofEnd, ..) => "open above the roof".to_owned(),
        (NodeKind::Cap | NodeKind::Loose, _, None) => "end of the pipe".to_owned(),
        (_, _, Some(name)) => format!("at {name}"),
        _ => String::new(),
    }
}

/// A system in words: `hot return`.
pub fn system(system: System) -> &'static str {
    match system {
        System::HotReturn => "hot return",
        system => system.word(),
    }
}

/// Where something stands, and that nobody has read it there where that is so.
pub(super) fn stands(document: &str, how: How) -> String {
    match how {
        How::Memory => format!("{document}, from memory"),
        How::Seen | How::Computed | How::CommonPractice | How::Local => document.to_owned(),
    }
}

/// A height above the job's datum or benchmark, with its sign.
pub(super) fn height(network: &Network, mm: f64) -> Cell {
    let mm = mm + network.datum_mm.unwrap_or(0.0);
    let text = shown(mm, network.units);
    let sign = if text.starts_with('-') { "" } else { "+" };
    Cell::Length {
        mm,
        shown: format!("{sign}{text}"),
    }
}
