//! Heights told anew, and what is verified.

use wyeline_job::model::{Height, Rise, Start, StepKind};

use crate::draft::Draft;
use crate::plan::Plan;
use crate::{Refusal, Work};

/// The heights that steps and statements tell.
fn heights<'p>(plan: &'p Plan<'_>) -> impl Iterator<Item = &'p Height> {
    let steps = plan.job.runs.iter().flat_map(|run| &run.steps);
    let told = steps.filter_map(|step| match &step.kind {
        StepKind::Start(Start::At { height, .. })
        | StepKind::Vertical {
            reach: Rise::To(height),
            ..
        }
        | StepKind::To {
            height: Some(height),
            ..
        }
        | StepKind::Arrives { height, .. } => Some(height),
        _ => None,
    });
    let bodies = plan.job.bodies.iter().map(|body| &body.top);
    let supplies = plan.job.design.supplies.iter();
    let measured = supplies.filter_map(|supply| supply.at.as_ref());
    told.chain(bodies)
        .chain(&plan.job.design.grade)
        .chain(measured)
}

/// Puts another height in the place of the one that a line tells.
pub fn height<'p, 'a>(plan: &'p Plan<'a>, line: u32, words: &str) -> Result<Work<'p, 'a>, Refusal> {
    let words = words.trim();
    let told = heights(plan).find(|height| plan.line(height.span) == line);
    let told = told.ok_or_else(|| {
        Refusal::new(
            "no height is told in this line",
            "say the whole line instead, as in `up to main floor +2'`",
        )
    })?;
    if words.is_empty() || words.lines().count() != 1 {
        return Err(Refusal::new(
            "no height is told",
            "for example `main floor -9\"`",
        ));
    }
    let mut draft = Draft::new(&plan.page);
    draft.replace(Plan::bytes(told.span), words);
    draft.choose(line);
    Ok(Work::new(draft))
}

/// Takes `unverified` away.
pub fn known<'p, 'a>(plan: &'p Plan<'a>, line: u32) -> Result<Work<'p, 'a>, Refusal> {
    let words = plan.page.words(line);
    let found = words
        .iter()
        .position(|word| plan.page.cut(word) == "unverified");
    let Some(found) = found else {
        return Err(Refusal::new(
            "nothing in this line is unverified",
            "choose a line that says `unverified`",
        ));
    };
    let mut draft = Draft::new(&plan.page);
    match found.checked_sub(1) {
        // The step of that word: pipe is known from here on.
        None => draft.remove(line, line),
        Some(before) => {
            draft.replace(words[before].end..words[found].end, "");
            draft.choose(line);
        }
    }
    Ok(Work::new(draft))
}
