//! Turns what the job says was measured into dimensions that stand in the tables' place, and finds what of it means nothing.

use std::collections::HashMap;

use wyeline_job::model::{Leg, Measured, Name};
use wyeline_job::{Diagnostic, Job, did_you_mean};
use wyeline_network::bores::bores;
use wyeline_units::Size;

use super::ask::{branches, doubles, in_line};
use super::table::{Held, table};
use super::{LegKind, Told, inch};
use crate::material;
use crate::model::{Family, Shape, Trust};
use crate::name;

/// A measured number.
pub(super) fn held(mm: f64) -> Held {
    Held {
        mm,
        trust: Trust::Measured,
        error_mm: None,
        source: "measured on this job".to_owned(),
    }
}

/// What was measured, and the mistakes in it. Where a dimension is told twice, which is a mistake, the first holds.
pub(super) fn read(job: &Job) -> (Told, Vec<Diagnostic>) {
    let mut told = Told {
        legs: HashMap::new(),
        depths: HashMap::new(),
    };
    let mut mistakes = Vec::new();
    for measured in &job.fitting.measured {
        if let Err(mistake) = take(measured, &mut told) {
            mistakes.push(*mistake);
        }
    }
    (told, mistakes)
}

fn take(measured: &Measured, told: &mut Told) -> Result<(), Box<Diagnostic>> {
    let families = families(&measured.material)?;
    let mm = measured.length.mm();
    let Some(fitting) = &measured.fitting else {
        for family in families {
            let size = inch(family, measured.size);
            told.depths.entry((family, size)).or_insert(mm);
        }
        return Ok(());
    };
    let shape = shape(fitting)?;
    let leg = leg(measured, shape)?;
    let made: Vec<Family> = families
        .iter()
        .copied()
        .filter(|&family| table().made(family, shape))
        .collect();
    // What was measured is there, whatever is known of its pattern.
    let made = if made.is_empty() { families } else { made };
    for family in made {
        let sizes = sizes(measured, shape).map(|size| inch(family, size));
        let key = (family, shape, leg, sizes.collect());
        told.legs.entry(key).or_insert(mm);
    }
    Ok(())
}

/// The families that a material belongs to; none where its name is no material, which the network reports.
fn families(material: &Name) -> Result<Vec<Family>, Box<Diagnostic>> {
    let known = material::families(&material.text);
    if known.is_empty() && bores().material(&material.text).is_some() {
        let text = format!("no fittings of {} are known", material.text);
        let warning = Diagnostic::warning("measured-not-used", material.span, text);
        return Err(Box::new(warning.expected("what was measured is not used")));
    }
    Ok(known)
}

/// The shape that a word means.
fn shape(word: &Name) -> Result<Shape, Box<Diagnostic>> {
    name::shape_of(&word.text).ok_or_else(|| {
        let text = format!("unknown fitting `{}`", word.text);
        let mut mistake = Diagnostic::mistake("unknown-fitting", word.span, text);
        mistake.help = did_you_mean(&word.text, name::words());
        Box::new(mistake)
    })
}

/// Which leg was measured; the only one, or each, where nothing is said.
fn leg(measured: &Measured, shape: Shape) -> Result<LegKind, Box<Diagnostic>> {
    let fits = match measured.leg {
        None | Some(Leg::Total) if in_line(shape) => Some(LegKind::Total),
        Some(Leg::Total | Leg::Depth) => None,
        Some(_) if in_line(shape) => None,
        None | Some(Leg::Each) => Some(LegKind::Each),
        Some(Leg::RunInlet) => Some(LegKind::RunInlet),
        Some(Leg::RunOutlet) => Some(LegKind::RunOutlet),
        Some(Leg::Branch) => branches(shape).then_some(LegKind::Branch),
    };
    fits.ok_or_else(|| {
        let word = measured.leg.map_or("", Leg::word);
        let text = format!("{} has no `{word}`", name::shape(shape));
        let help = if in_line(shape) {
            "it is measured from stop to stop: `total`"
        } else if branches(shape) {
            "it has `run-inlet`, `run-outlet` and `branch`, or `each`; depth is told without a fitting"
        } else {
            "it has `each`; depth is told without a fitting"
        };
        Box::new(Diagnostic::mistake("measured-leg", measured.span, text).help(help))
    })
}

/// Its sizes as a fitting's are told, the larger first in line.
fn sizes(measured: &Measured, shape: Shape) -> impl Iterator<Item = Size> {
    let size = measured.size;
    let ends = match measured.other.filter(|&other| other != size) {
        None => vec![size],
        Some(branch) if doubles(shape) => vec![size, size, branch, branch],
        Some(branch) if branches(shape) => vec![size, size, branch],
        Some(other) if in_line(shape) => vec![size.max(other), size.min(other)],
        Some(other) => vec![size, other],
    };
    ends.into_iter()
}
