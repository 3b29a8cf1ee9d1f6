//! Reads, builds and sizes a job, and asks for pipes by their ids.
#![allow(dead_code, reason = "each test file uses its own part")]

use wyeline_codes::Pack;
use wyeline_job::{Job, Severity};
use wyeline_network::Network;
use wyeline_network::model::{Pipe, PipeIx};
use wyeline_sizing::{PipeResult, Sized, size};
use wyeline_units::Size;

/// A job with its network and its sizes.
pub struct Sizing {
    pub job: Job,
    pub network: Network,
    pub pack: Pack,
    pub sized: Sized,
}

/// Sizes a job in which nothing is mistaken, by a code and the job's own amendments.
#[track_caller]
pub fn sizing(code: &str, text: &str) -> Sizing {
    let reading = wyeline_job::read(text);
    let mistakes = |all: Vec<wyeline_job::Diagnostic>| {
        let wrong = all.into_iter().filter(|d| d.severity == Severity::Mistake);
        wrong.collect::<Vec<_>>()
    };
    let wrong = mistakes(reading.diagnostics);
    assert!(wrong.is_empty(), "the text is mistaken: {wrong:#?}");
    let built = wyeline_network::build(&reading.job, text);
    let wrong = mistakes(built.diagnostics);
    assert!(wrong.is_empty(), "the network is mistaken: {wrong:#?}");
    let pack = Pack::named(code).expect("a code that is held").clone();
    let sized = size(&reading.job, &built.network, &pack);
    Sizing {
        job: reading.job,
        network: built.network,
        pack,
        sized,
    }
}

impl Sizing {
    /// The number of a pipe.
    #[track_caller]
    pub fn ix(&self, id: &str) -> PipeIx {
        let at = self.network.pipes.iter().position(|pipe| pipe.id == id);
        let at = at.unwrap_or_else(|| {
            let ids: Vec<_> = self
                .network
                .pipes
                .iter()
                .map(|pipe| pipe.id.as_str())
                .collect();
            panic!("no pipe {id} among {ids:?}")
        });
        PipeIx(at as u32)
    }
    /// A pipe as told.
    #[track_caller]
    pub fn told(&self, id: &str) -> &Pipe {
        self.network.pipe(self.ix(id))
    }
    /// What was worked out for a pipe.
    #[track_caller]
    pub fn pipe(&self, id: &str) -> &PipeResult {
        &self.sized.pipes[self.ix(id).0 as usize]
    }
    /// The least size of a pipe, as it is written.
    #[track_caller]
    pub fn needs(&self, id: &str) -> String {
        self.pipe(id)
            .needed
            .map_or_else(|| "nothing".to_owned(), |size: Size| size.to_string())
    }
}
