//! What the job says stands at a node (`fitting long-sweep`), in place of what would be chosen.

use std::collections::HashSet;

use wyeline_job::model::StepKind;
use wyeline_job::{Diagnostic, Job, did_you_mean};

use super::build::Build;
use crate::model::Shape;
use crate::name;

/// The shapes told at this node, where any is told and all are known; words that are not known, [`unknown`] tells.
pub(crate) fn shapes(build: &mut Build) -> Option<Vec<Shape>> {
    build.hear();
    let told = &build.here().fitting;
    if told.is_empty() {
        return None;
    }
    told.iter().map(|word| Shape::named(word)).collect()
}

/// Words that name no fitting, each place once: a group that is placed many times says them once.
pub(crate) fn unknown(job: &Job) -> Vec<Diagnostic> {
    let steps = job.runs.iter().flat_map(|run| &run.steps);
    let named = steps.filter_map(|step| match &step.kind {
        StepKind::Fitting(names) => Some(names),
        _ => None,
    });
    let mut seen = HashSet::new();
    named
        .flatten()
        .filter(|name| Shape::named(&name.text).is_none())
        .filter(|name| seen.insert((name.span.start, name.span.end)))
        .map(|name| {
            let message = format!("unknown fitting `{}`", name.text);
            let mut mistake = Diagnostic::mistake("unknown-fitting", name.span, message);
            mistake.help = did_you_mean(&name.text, name::words());
            mistake
        })
        .collect()
}
