//! Names in a finding what its figures rest on and nobody has verified: unverified pipe and fixtures, and peak flows by a
//! formula that is not the code's own.

use wyeline_network::model::{FixtureIx, PipeIx};

use crate::context::Context;
use crate::finding::Finding;

/// For a finding about the load, size or flow of a pipe.
pub fn rests(context: &Context, finding: &mut Finding, pipe: PipeIx) {
    for what in context.sized.pipe_rests_on(pipe) {
        finding.rests_on(what);
    }
    if context
        .result(pipe)
        .is_some_and(|result| result.flow_by.is_some())
    {
        formula(context, finding);
    }
}

/// For a finding about the pressure at a fixture while water runs.
pub fn pressure_rests(context: &Context, finding: &mut Finding, fixture: FixtureIx) {
    for what in context.sized.fixture_rests_on(fixture) {
        finding.rests_on(what);
    }
    formula(context, finding);
}

fn formula(context: &Context, finding: &mut Finding) {
    if let Some(cite) = context.pack.peak_cite() {
        finding.rests_on(format!("peak flows by {cite}"));
    }
}
