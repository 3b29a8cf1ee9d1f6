//! Materials by name: which a run's step means, which the job tells for a whole system, and names that are none.
//!
//! The names are those of the pipe table (`data/bores.toml`).

use std::collections::HashMap;

use wyeline_job::model::{FittingData, Job, Name, SpareOf, StepKind, System};
use wyeline_units::{Size, UnitSystem};

use crate::bores::{Material, bores};
use crate::builder::Builder;
use crate::remarks::Remarks;
use crate::walk::{Stop, Walk};

/// The material of each system's runs until they name one, with its name.
pub(crate) type Told<'a> = HashMap<System, (&'a str, Material)>;

impl<'a> Builder<'a> {
    /// The material of the pipe that follows.
    pub fn material(&mut self, walk: &mut Walk<'a>, name: &'a Name) -> Result<(), Stop<'a>> {
        let Some(material) = bores().material(&name.text) else {
            unknown(name, &mut self.remarks);
            return Err(Stop::Mistake);
        };
        walk.pen.set_material(&name.text, material, walk.system);
        Ok(())
    }
}

/// What the job tells of the materials of systems; names of materials in it that are none are reported.
pub(crate) fn told<'a>(job: &'a Job, remarks: &mut Remarks<'_>) -> Told<'a> {
    let fitting = &job.fitting;
    let mut told = Told::new();
    // One name may stand for several systems; it is reported once.
    let mut reported = None;
    for (system, name, _) in &fitting.materials {
        match bores().material(&name.text) {
            // Where a system is told twice, which is a mistake, the first holds.
            Some(material) => {
                told.entry(*system).or_insert((&name.text, material));
            }
            None if reported.replace(name.span) != Some(name.span) => unknown(name, remarks),
            None => {}
        }
    }
    for name in named(fitting).filter(|name| bores().material(&name.text).is_none()) {
        unknown(name, remarks);
    }
    told
}

/// Materials of which the job tells fittings, bars, cuts or spare.
fn named(fitting: &FittingData) -> impl Iterator<Item = &Name> {
    let measured = fitting.measured.iter().map(|one| &one.material);
    let stock = fitting.stock.iter().map(|one| &one.material);
    let offcuts = fitting.offcuts.iter().map(|one| &one.material);
    let kerfs = fitting.kerfs.iter().filter_map(|one| one.material.as_ref());
    let spare = fitting.spare.iter().filter_map(|one| match &one.of {
        SpareOf::Material(name) => Some(name),
        SpareOf::All | SpareOf::System(_) => None,
    });
    measured
        .chain(stock)
        .chain(offcuts)
        .chain(kerfs)
        .chain(spare)
}

fn unknown(name: &Name, remarks: &mut Remarks<'_>) {
    let known = bores().materials();
    let mistake = remarks.unknown("unknown-material", name.span, &name.text, "material", known);
    remarks.push(mistake);
}

/// The material taken where a job names none.
pub(crate) fn assumed(job: &Job) -> Material {
    let steps = job.runs.iter().flat_map(|run| &run.steps);
    let sizes = steps.filter_map(|step| match step.kind {
        StepKind::Size { size, .. }
        | StepKind::Catch {
            size: Some(size), ..
        }
        | StepKind::End {
            size: Some(size), ..
        } => Some(size),
        _ => None,
    });
    usual(job.units, sizes)
}

/// The usual material of these sizes: metric pipe where a metric job has sizes that are only in that.
pub(crate) fn usual(units: UnitSystem, mut sizes: impl Iterator<Item = Size>) -> Material {
    let table = bores();
    if units.is_metric() && sizes.any(|size| table.only_metric(size)) {
        table.assumed_metric()
    } else {
        table.assumed()
    }
}
