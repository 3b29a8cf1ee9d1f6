//! What a rule says: a finding at a place, or that it was not checked.

use std::borrow::Cow;

use wyeline_codes::Cite;
use wyeline_job::Span;
use wyeline_network::model::{FixtureIx, NodeIx, PipeIx};

/// What a finding is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum At {
    /// A node.
    Node(NodeIx),
    /// A pipe.
    Pipe(PipeIx),
    /// A fixture.
    Fixture(FixtureIx),
    /// The job as a whole.
    Job,
}

/// Something that breaks a rule.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// The rule's name (`trap-arm-length`).
    pub rule: &'static str,
    /// Where.
    pub at: At,
    /// Its place in the job.
    pub span: Span,
    /// What is wrong, with the figures, in lower case with no full stop:
    /// `the trap arm of LAV1 is 6'-3" long; a 1-1/2" arm may be 6'-0"`.
    pub message: String,
    /// The section it breaks.
    pub cite: Cite,
    /// What would mend it.
    pub help: String,
    /// Other places that matter, each with what to see there.
    pub notes: Vec<(Span, String)>,
    /// It concerns existing work, which is reported apart.
    pub existing: bool,
    /// Values it rests on that nobody has verified.
    pub unverified: Vec<String>,
}

impl Finding {
    /// Adds another place that matters.
    pub fn note(&mut self, span: Span, text: impl Into<String>) -> &mut Self {
        self.notes.push((span, text.into()));
        self
    }
    /// The section it breaks, where it is not the rule's own.
    pub fn by(&mut self, cite: &Cite) -> &mut Self {
        self.cite.clone_from(cite);
        self
    }
    /// Adds a value that it rests on and that nobody has verified, once.
    pub fn rests_on(&mut self, what: impl Into<String>) -> &mut Self {
        let what = what.into();
        if !self.unverified.contains(&what) {
            self.unverified.push(what);
        }
        self
    }
}

/// A rule that was not checked, somewhere or everywhere.
#[derive(Clone, Debug, PartialEq)]
pub struct Unchecked {
    /// The rule's name.
    pub rule: &'static str,
    /// Where.
    pub at: At,
    /// Why: `the slope of this drain is not known`.
    pub why: Cow<'static, str>,
}

/// All that checking gives.
#[derive(Clone, Debug, Default)]
pub struct Checked {
    /// What breaks a rule, in the order of the job.
    pub findings: Vec<Finding>,
    /// What was not checked.
    pub unchecked: Vec<Unchecked>,
    /// Rules that were checked, and how many places each looked at.
    pub looked_at: Vec<(&'static str, u32)>,
    /// Rules that the code in force does not have, or of which the pack holds no value.
    pub not_in_code: Vec<&'static str>,
}
