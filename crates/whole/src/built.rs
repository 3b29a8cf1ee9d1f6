//! Takes the bytes of a job as far as the network, with everything that was wrong on the way.

use wyeline_job::{Diagnostic, Job, Severity};
use wyeline_network::Network;

/// A job as far as the network, with everything that was wrong on the way.
#[derive(Clone, Debug)]
pub struct Built {
    /// The job as told.
    pub job: Job,
    /// The network.
    pub network: Network,
    /// Mistakes and warnings, in the order of the text.
    pub diagnostics: Vec<Diagnostic>,
}

impl Built {
    /// Reads a job and follows its pipes. `stage` is told what is being done, in words, before it is done.
    pub fn of(bytes: &[u8], mut stage: impl FnMut(&str)) -> Self {
        stage("reading");
        let reading = wyeline_job::read_bytes(bytes);
        stage("following the pipes");
        let built = wyeline_network::build(&reading.job, &wyeline_job::text_of(bytes));
        let mut all = Self {
            job: reading.job,
            network: built.network,
            diagnostics: reading.diagnostics,
        };
        all.add(built.diagnostics);
        all
    }

    /// Whether anything is a mistake rather than a warning.
    pub fn has_mistakes(&self) -> bool {
        has_mistakes(&self.diagnostics)
    }

    /// Adds what a later stage found, in the order of the text.
    pub fn add(&mut self, more: Vec<Diagnostic>) {
        self.diagnostics.extend(more);
        self.diagnostics
            .sort_by_key(|diagnostic| (diagnostic.span, diagnostic.code));
    }
}

/// Whether anything is a mistake rather than a warning.
pub fn has_mistakes(diagnostics: &[Diagnostic]) -> bool {
    diagnostics
        .iter()
        .any(|diagnostic| diagnostic.severity == Severity::Mistake)
}
