//! Jobs of water for the tests: text in, sizes out, found by the names of pipes and fixtures.

#![allow(dead_code, reason = "each test file uses a part of it")]

use wyeline_codes::Pack;
use wyeline_network::Network;
use wyeline_network::model::{FixtureIx, PipeIx};
use wyeline_sizing::{FixtureResult, PipeResult, Sized, WaterSummary};

/// Pascals in a psi.
pub const PSI: f64 = 6_894.757_293;
/// Litres a second in a gpm.
pub const GPM: f64 = 0.063_090_196_4;
/// Millimetres in a foot.
pub const FOOT: f64 = 304.8;

/// A job that was sized.
pub struct Done {
    pub job: wyeline_job::Job,
    pub network: Network,
    pub sized: Sized,
    pub pack: &'static Pack,
}

/// Sizes a job that has to be free of mistakes.
pub fn size(code: &str, text: &str) -> Done {
    let done = size_anyhow(code, text);
    let read = wyeline_job::read(text);
    let built = wyeline_network::build(&read.job, text);
    for fault in read.diagnostics.iter().chain(&built.diagnostics) {
        assert_ne!(
            fault.severity,
            wyeline_job::Severity::Mistake,
            "{}: {}",
            fault.code,
            fault.message
        );
    }
    done
}

/// Sizes a job with all its mistakes.
pub fn size_anyhow(code: &str, text: &str) -> Done {
    let pack = Pack::named(code).expect("the code is held");
    let job = wyeline_job::read(text).job;
    let network = wyeline_network::build(&job, text).network;
    let mut sized = Sized {
        code: code.to_owned(),
        pipes: vec![PipeResult::default(); network.pipes.len()],
        fixtures: vec![FixtureResult::default(); network.fixtures.len()],
        ..Sized::default()
    };
    wyeline_sizing::water::size(&job, &network, pack, &mut sized);
    Done {
        job,
        network,
        sized,
        pack,
    }
}

impl Done {
    pub fn pipe_ix(&self, id: &str) -> PipeIx {
        let found = self.network.pipes.iter().position(|pipe| pipe.id == id);
        let all: Vec<&str> = self
            .network
            .pipes
            .iter()
            .map(|pipe| pipe.id.as_str())
            .collect();
        PipeIx(found.unwrap_or_else(|| panic!("{id} is none of {all:?}")) as u32)
    }
    pub fn pipe(&self, id: &str) -> &PipeResult {
        &self.sized.pipes[self.pipe_ix(id).0 as usize]
    }
    pub fn fixture_ix(&self, tag: &str) -> FixtureIx {
        let found = self
            .network
            .fixtures
            .iter()
            .position(|fixture| fixture.tag == tag);
        FixtureIx(found.expect("the fixture is there") as u32)
    }
    pub fn fixture(&self, tag: &str) -> &FixtureResult {
        &self.sized.fixtures[self.fixture_ix(tag).0 as usize]
    }
    pub fn water(&self) -> &WaterSummary {
        self.sized.water.as_ref().expect("the job has water")
    }
    pub fn gpm(&self, id: &str) -> f64 {
        self.pipe(id).load.flow_lps.expect("a flow") / GPM
    }
    pub fn needed(&self, id: &str) -> String {
        self.pipe(id)
            .needed
            .map_or_else(|| "-".to_owned(), |size| size.to_string())
    }
    pub fn says(&self, words: &str) -> bool {
        self.sized.gaps.iter().any(|gap| gap.why.contains(words))
    }
}

/// What every job here begins with.
pub const HEAD: &str = "job water\nunits ft-in\ncode ipc-2021\nlevel main floor 0' ceiling 9'\nroof 20'\nuse private\n";

/// A cold line of so many feet to a hose bibb that draws so many gpm; straight, level, no fittings.
pub fn line(feet: u32, extra: &str, pipe: &str, gpm: &str) -> String {
    format!(
        "{HEAD}{extra}\nfixture HB1 hose-bibb main {feet}',0' faces east draws {gpm} gpm continuously\n\
         cold c\n  start 0',0' main floor +18\"\n{pipe}\n  end HB1\n"
    )
}
