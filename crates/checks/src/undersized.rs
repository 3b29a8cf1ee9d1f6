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
use crate::rests::rests;
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
    /// Stretches that feed it and are too small for its sake alone.
    also: Vec<PipeIx>,
    cite: Option<&'a Cite>,
}

impl TooSmall<'_> {
    /// Says it, by what decided where that stands somewhere.
    pub fn tell(&self, context: &Context, said: &mut Said, message: String, help: String) {
        let finding = said.breaks(context, At::Pipe(self.pipe), message, help);
        if let Some(cite) = self.cite {
            finding.by(cite);
        }
        for &also in &self.also {
            let pipe = context.pipe(also);
            let size = pipe
                .size
                .map_or_else(String::new, |size| format!(", {size}"));
            let note = format!("{}{size}, feeds it and is as much too small", pipe.id);
            finding.note(pipe.span, note);
        }
        rests(context, finding, self.pipe);
    }
}

/// Whether a stated pipe of water or gas is smaller than sizing finds.
pub fn is_too_small(context: &Context, ix: PipeIx) -> bool {
    context.result(ix).is_some_and(|result| {
        let sizes = result.size.zip(result.needed);
        result.stated && sizes.is_some_and(|(size, needed)| smaller(size, needed))
    })
}

/// All stretches of a system that are too small, one for each cause; what is not known is said with `unknown`.
pub fn too_small<'a>(
    context: &'a Context,
    said: &mut Said,
    system: System,
    unknown: &'static str,
) -> Vec<TooSmall<'a>> {
    let mut found: Vec<TooSmall> = Vec::new();
    let mut for_others = Vec::new();
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
        // What is too small only because what it feeds is too small is told there, unless that is told apart.
        let root = root(context, ix);
        let other = context.pipe(root);
        if other.run != pipe.run
            && other.system == system
            && other.existing == pipe.existing
            && is_too_small(context, root)
        {
            for_others.push((root, ix));
            continue;
        }
        let (why, cite) = fed_reason(context, ix, needed);
        found.push(TooSmall {
            pipe: ix,
            size,
            needed,
            why,
            also: Vec::new(),
            cite,
        });
    }
    for (root, ix) in for_others {
        let needed = context.result(root).and_then(|result| result.needed);
        let told = found.iter_mut().find(|one| {
            context.pipe(one.pipe).run == context.pipe(root).run && Some(one.needed) == needed
        });
        if let Some(told) = told {
            told.also.push(ix);
        }
    }
    found
}

/// The pipe for whose sake a pipe has to be as large as it has to be: itself, or one that it feeds.
fn root(context: &Context, mut ix: PipeIx) -> PipeIx {
    // A mistaken network may hold a ring.
    for _ in 0..context.network.pipes.len() {
        match context.result(ix).map(|result| &result.governs) {
            Some(Governs::Upstream { pipe, .. }) => ix = *pipe,
            _ => break,
        }
    }
    ix
}

/// What decided the least size of a pipe that feeds others, in words, with where it stands.
fn fed_reason<'a>(context: &'a Context, ix: PipeIx, needed: Size) -> (String, Option<&'a Cite>) {
    let root = root(context, ix);
    let Some(result) = context.result(root) else {
        return (String::new(), None);
    };
    let (why, cite) = match &result.governs {
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
        other => reason(context, other, needed),
    };
    if root == ix {
        return (why, cite);
    }
    let fed = &context.pipe(root).id;
    (
        format!("{fed}, which it feeds, has to be as large: {why}"),
        cite,
    )
}
