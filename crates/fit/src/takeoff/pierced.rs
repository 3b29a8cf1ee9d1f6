//! Sleeves and firestops for the places where pipe goes through floors and walls.

use super::crossing::{Crossing, Through};
use super::data::PENETRATIONS;
use super::tally::Key;
use super::{Amount, Taking, What};
use crate::model::{Mark, Phase};
use crate::name;

/// A sleeve for each place in concrete, a firestop for each between two storeys or through a wall.
pub(super) fn pierced(taking: &mut Taking, crossings: &[Crossing]) {
    let network = taking.network;
    let (mut bare, mut not_told) = (0_u32, false);
    for crossing in crossings {
        let level = match crossing.through {
            Through::Floor(level) => level,
            Through::Wall(number) => network.building.walls[number as usize].level,
            // The flashing is a fitting of the pipe's end.
            Through::Roof => continue,
        };
        let pipe = network.pipe(crossing.pipe);
        let stuff = &taking.fitted.stuff[crossing.pipe.0 as usize];
        let mark = || [Mark::Crossing(crossing.pipe, level)];
        let sleeve = &PENETRATIONS.sleeve;
        not_told |= crossing.made == super::Made::NotTold;
        if let Some(size) = crossing.sleeve {
            let mut key = Key {
                level: Some(level),
                material: sleeve.material.clone(),
                name: format!("{} sleeve", name::size(size, network.units)),
                sizes: vec![size],
                ..taking.key(What::Sleeve, pipe.system, crossing.at.z)
            };
            // It is set before the lowest floor is closed.
            if !crossing.firestop {
                key.phase = Phase::Underground;
            }
            let doubtful = crossing.doubt.is_some();
            taking
                .tally
                .add(key, Amount::Count(1), mark(), &sleeve.source, doubtful);
        } else if crossing.made != super::Made::Framed {
            bare += 1;
        }
        if crossing.firestop {
            let key = Key {
                level: Some(level),
                material: stuff.material.clone(),
                name: "firestop where rated".to_owned(),
                sizes: stuff.size.into_iter().collect(),
                ..taking.key(What::Firestop, pipe.system, crossing.at.z)
            };
            let source = &PENETRATIONS.firestop.source;
            taking
                .tally
                .add(key, Amount::Count(1), mark(), source, true);
        }
    }
    notes(taking, crossings, bare, not_told);
}

fn notes(taking: &mut Taking, crossings: &[Crossing], bare: u32, not_told: bool) {
    let notes = &mut taking.notes;
    if not_told {
        notes.push("What some floors or walls are made of is not told (`joists` or `slab` of a level; a wall as thick as no stud and two boards): sleeves are counted there as for concrete, as an estimate.".to_owned());
    }
    if bare > 0 {
        notes.push(format!("{bare} places in concrete have no sleeve on the list: the pipe's size is not known, or beyond the table."));
    }
    let outside = crossings.iter().filter(|crossing| {
        matches!(crossing.through, Through::Floor(_))
            && crossing.doubt == Some(super::crossing::OUTSIDE)
    });
    let outside = outside.count();
    if outside > 0 {
        notes.push(format!("{outside} floors are crossed outside the walls that are told: whether there is a floor, look at the place."));
    }
    if crossings.iter().any(|crossing| crossing.firestop) {
        notes.push("Firestops are counted at every floor between storeys and every wall that is crossed: which of them are fire-rated the job does not say. Where one is, it wants a listed system for this pipe and this assembly, by the local code and the authority in charge; so do boxes, stubs and traps that pass one face only, which are not counted.".to_owned());
    }
    if !crossings.is_empty() {
        notes.push("Holes and sleeves in concrete, bearing walls, beams and rated assemblies are not to be made by this list alone: the local code and whoever answers for the structure go first.".to_owned());
    }
}
