//! What joints use up: couplings and rings by the piece; cement, primer, solder, flux and tape as allowances, from
//! `data/allowances.toml`.

use wyeline_job::model::System;
use wyeline_units::Size;

use super::data::{ALLOWANCES, PerJoint, Unit};
use super::tally::Key;
use super::{Amount, Taking, What};
use crate::material;
use crate::model::{Family, Join, Joint, Mark, Shape, Stuff};
use crate::name;

const QUART: f64 = 0.946_352_946;
const POUND: f64 = 0.453_592_37;
/// Pipe of one outside diameter has it within this, whatever it is called, mm.
const SAME: f64 = 1.0;

/// One joint to be made.
struct Made<'a> {
    join: Join,
    family: Family,
    material: &'a str,
    size: Option<Size>,
    system: System,
    z: f64,
    mark: Mark,
}

/// Every joint: at each end of a pipe in a fitting, between two fittings that stand together, on both sides of a coupling.
pub(super) fn joints(taking: &mut Taking) {
    let mut unsized_joints = 0_u32;
    let mut beyond: Vec<String> = Vec::new();
    let mut made = Vec::new();
    for (node, joint) in taking.network.nodes.iter().zip(&taking.fitted.joints) {
        at_node(taking, joint, node.at.z, &mut made);
    }
    for straight in &taking.fitted.straights {
        let z = straight.ends.map(|node| taking.network.node(node).at.z);
        let stuff = &taking.fitted.stuff[straight.pipes[0].0 as usize];
        for coupling in straight
            .couplings
            .iter()
            .filter(|coupling| !coupling.existing)
        {
            // A no-hub coupling is the joint, and is counted as a fitting.
            if coupling.shape != Shape::NoHubCoupling {
                let join = taking.shelf.join(coupling.family);
                let one = || {
                    of(
                        join,
                        stuff,
                        coupling.system,
                        z[0].midpoint(z[1]),
                        &coupling.id,
                    )
                };
                made.extend([one(), one()]);
            }
        }
    }
    for one in made {
        let Some(size) = one.size else {
            unsized_joints += u32::from(one.join != Join::Open);
            continue;
        };
        pieces(taking, &one, size);
        for table in &ALLOWANCES.joint {
            if !table.families.contains(&one.family) {
                continue;
            }
            if let Some(units) = units(table, &one, size) {
                used(taking, &one, table, units);
            } else {
                let what = format!("{} for {}", table.name, said(&one, size, taking));
                if !beyond.contains(&what) {
                    beyond.push(what);
                }
            }
        }
    }
    if unsized_joints > 0 {
        taking.notes.push(format!(
            "{unsized_joints} joints of pipe whose size is not known are not in the allowances."
        ));
    }
    if !beyond.is_empty() {
        taking
            .notes
            .push(format!("No allowance is held of {}.", beyond.join(", ")));
    }
}

fn of<'a>(join: Join, stuff: &'a Stuff, system: System, z: f64, id: &str) -> Made<'a> {
    Made {
        join,
        family: stuff.family,
        material: &stuff.material,
        size: stuff.size,
        system,
        z,
        mark: Mark::Fitting(id.to_owned()),
    }
}

fn at_node<'a>(taking: &Taking<'a>, joint: &'a Joint, z: f64, made: &mut Vec<Made<'a>>) {
    let joins = |shape| !matches!(shape, Shape::RoofFlashing);
    let fittings = joint.fittings.iter();
    let fittings: Vec<_> = fittings
        .filter(|fitting| !fitting.existing && joins(fitting.shape))
        .collect();
    let Some(first) = fittings.first() else {
        return;
    };
    for leg in &joint.legs {
        let pipe = taking.network.pipe(leg.pipe);
        let stuff = &taking.fitted.stuff[leg.pipe.0 as usize];
        // A fixture's tail goes into its trap with a nut; a no-hub coupling in line is both its joints.
        let nut = first.shape == Shape::PTrap && pipe.to == first.node;
        if !nut && first.shape != Shape::NoHubCoupling {
            made.push(of(leg.join, stuff, pipe.system, z, &first.id));
        }
    }
    for fitting in &fittings[1..] {
        // An adapter's pipe has a leg of its own; beside another fitting stands its other end.
        let family = fitting.other.unwrap_or(fitting.family);
        made.push(Made {
            join: taking.shelf.join(family),
            family,
            material: material::of_family(family).unwrap_or(""),
            size: fitting.sizes.first().copied(),
            system: fitting.system,
            z,
            mark: Mark::Fitting(fitting.id.clone()),
        });
    }
}

/// What is bought by the piece for a joint.
fn pieces(taking: &mut Taking, one: &Made, size: Size) {
    let (name, source) = match one.join {
        Join::Clamped => (
            "no-hub coupling",
            "one at each joint: what the joint is made of",
        ),
        Join::Crimped => (
            "crimp ring, clamp or sleeve",
            "one at each joint, by the tool used",
        ),
        Join::Threaded => return tape(taking, one, size),
        _ => return,
    };
    let key = Key {
        material: name::family(one.family).to_owned(),
        name: format!("{} {name}", name::size(size, taking.network.units)),
        sizes: vec![size],
        ..taking.key(What::Joint, one.system, one.z)
    };
    taking
        .tally
        .add(key, Amount::Count(1), [one.mark.clone()], source, false);
}

fn tape(taking: &mut Taking, one: &Made, size: Size) {
    let thread = &ALLOWANCES.thread;
    let Some(found) = material::diameters(one.material, size) else {
        return;
    };
    let long = thread.turns * std::f64::consts::PI * found.outside;
    let key = Key {
        material: name::family(one.family).to_owned(),
        name: thread.name.clone(),
        ..taking.key(What::ThreadSealant, one.system, one.z)
    };
    taking.tally.add(
        key,
        Amount::Length(long),
        [one.mark.clone()],
        &thread.source,
        true,
    );
}

/// Units that one joint of a size takes: of the row of its size, or of pipe with the same outside.
fn units(table: &PerJoint, one: &Made, size: Size) -> Option<f64> {
    let exact = table.rows().find(|(row, _)| *row == size);
    let alike = || {
        let outside = material::diameters(one.material, size)?.outside;
        let of_row = |row: Size| material::diameters(material::of_family(one.family)?, row);
        let mut rows = table.rows();
        rows.find(|(row, _)| {
            of_row(*row).is_some_and(|found| (found.outside - outside).abs() <= SAME)
        })
    };
    exact.or_else(alike).map(|(_, units)| units)
}

fn used(taking: &mut Taking, one: &Made, table: &PerJoint, units: f64) {
    let amount = match table.unit {
        Unit::Quart => Amount::Volume(units * QUART),
        Unit::Pound => Amount::Mass(units * POUND),
    };
    let key = Key {
        material: name::family(one.family).to_owned(),
        name: table.name.clone(),
        ..taking.key(table.what, one.system, one.z)
    };
    taking
        .tally
        .add(key, amount, [one.mark.clone()], &table.source, true);
}

fn said(one: &Made, size: Size, taking: &Taking) -> String {
    let size = name::size(size, taking.network.units);
    format!("{size} {}", name::family(one.family))
}
