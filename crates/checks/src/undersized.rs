//! Stated pipes of water and gas that are smaller than sizing finds, one for each stretch of a run.
//!
//! In: a sized network. Out: where each such stretch begins, and what decided the size it needs.

use wyeline_codes::Cite;
use wyeline_job::model::System;
use wyeline_network::model::PipeIx;
use wyeline_sizing::Governs;
use wyeline_units::Size;

use crate::context::{Context, smaller};
use crate::finding::At;
use crate::rule::Said;
use crate::rules::drain_undersized::reason;

/// The first pipe of a stretch that is too small.
pub struct TooSmall<'a> {
    /// It.
    pub pipe: PipeIx,
    /// What it is stated to be.
    pub size: Size,
    /// What it has to be.
    pub needed: Size,
    /// What decided that, in words.
    pub why: String,
    cite: Option<&'a Cite>,
}

impl TooSmall<'_> {
    /// Says it, by what decided where that stands somewhere.
    pub fn tell(&self, context: &Context, said: &mut Said, message: String, help: String) {
        let finding = said.breaks(context, At::Pipe(self.pipe), message, help);
        if let Some(cite) = self.cite {
            finding.by(cite);
        }
    }
}

/// All stretches of a system that are too small; what is not known is said with `unknown`.
pub fn too_small<'a>(
    context: &'a Context,
    said: &mut Said,
    system: System,
    unknown: &'static str,
) -> Vec<TooSmall<'a>> {
    let mut found = Vec::new();
    for (ix, pipe) in context.pipes_of(system) {
        let Some(result) = context.result(ix).filter(|result| result.stated) else {
            continue;
        };
        let (Some(needed), Some(size)) = (result.needed, result.size) else {
            said.unknown(At::Pipe(ix), unknown);
            continue;
        };
        said.looked();
        if !smaller(size, needed) {
            continue;
        }
        // Said once for each stretch: where it begins.
        let before = context.supply().feed[pipe.from.0 as usize].and_then(|before| {
            (context.pipe(before).run == pipe.run).then(|| context.result(before))?
        });
        if before.is_some_and(|other| {
            other.stated && other.size == Some(size) && other.needed == Some(needed)
        }) {
            continue;
        }
        let (why, cite) = fed_reason(context, &result.governs, needed, context.run(ix));
        found.push(TooSmall {
            pipe: ix,
            size,
            needed,
            why,
            cite,
        });
    }
    found
}

/// What decided the least size of a pipe that feeds others, in words, with where it stands.
///
/// * `name`: of the run it belongs to
fn fed_reason<'a>(
    context: &'a Context,
    governs: &'a Governs,
    needed: Size,
    name: &str,
) -> (String, Option<&'a Cite>) {
    match governs {
        Governs::Velocity { limit, cite } => (
            format!(
                "in a smaller pipe its peak flow is faster than {}",
                context.speed(*limit)
            ),
            Some(cite),
        ),
        Governs::Pressure { fixture } => (
            format!(
                "in a smaller pipe too little pressure is left at {}",
                context.tag(*fixture)
            ),
            None,
        ),
        Governs::Upstream { pipe, cite } => {
            let other = context.run(*pipe);
            let other = if other == name {
                "the next piece"
            } else {
                other
            };
            (
                format!("{other}, which it feeds, has to be as large"),
                Some(cite),
            )
        }
        other => reason(context, other, needed),
    }
}
