//! Reads, builds, sizes and fits a job, and asks for what stands at a point.
#![allow(dead_code, reason = "each test file uses its own part")]

use wyeline_codes::Pack;
use wyeline_fit::Fitted;
use wyeline_fit::model::Fitting;
use wyeline_job::{Diagnostic, Job, Severity};
use wyeline_network::Network;
use wyeline_network::model::{NodeIx, PipeIx};
use wyeline_sizing::Sized;

/// A job with its fittings.
pub struct Fit {
    pub job: Job,
    pub network: Network,
    pub pack: &'static Pack,
    pub sized: Sized,
    pub fitted: Fitted,
}

#[track_caller]
fn unmistaken(all: Vec<Diagnostic>) {
    let wrong = all.into_iter().filter(|d| d.severity == Severity::Mistake);
    let wrong: Vec<_> = wrong.collect();
    assert!(wrong.is_empty(), "the job is mistaken: {wrong:#?}");
}

/// Fits a job in which nothing is mistaken, by a code.
#[track_caller]
pub fn fit(code: &str, text: &str) -> Fit {
    let reading = wyeline_job::read(text);
    unmistaken(reading.diagnostics);
    let built = wyeline_network::build(&reading.job, text);
    unmistaken(built.diagnostics);
    let pack = Pack::named(code).expect("a code that is held");
    let sized = wyeline_sizing::size(&reading.job, &built.network, pack);
    let sizes: Vec<_> = sized.pipes.iter().map(|pipe| pipe.size).collect();
    let network = wyeline_network::with_sizes(built.network, &sizes);
    let (fitted, mistakes) = wyeline_fit::fit(&reading.job, &network, Some((pack, &sized)));
    unmistaken(mistakes);
    Fit {
        job: reading.job,
        network,
        pack,
        sized,
        fitted,
    }
}

impl Fit {
    /// The node of a name or id.
    #[track_caller]
    pub fn node(&self, name: &str) -> NodeIx {
        let nodes = &self.network.nodes;
        let at = nodes
            .iter()
            .position(|node| node.name.as_deref() == Some(name) || node.id == name);
        let at = at.unwrap_or_else(|| {
            let ids: Vec<_> = nodes.iter().map(|node| node.id.as_str()).collect();
            panic!("no node {name} among {ids:?}")
        });
        NodeIx(at as u32)
    }

    /// The pipe of an id.
    #[track_caller]
    pub fn pipe(&self, id: &str) -> PipeIx {
        let at = self.network.pipes.iter().position(|pipe| pipe.id == id);
        PipeIx(at.unwrap_or_else(|| panic!("no pipe {id}")) as u32)
    }

    /// The fittings at a node.
    #[track_caller]
    pub fn fittings(&self, name: &str) -> &[Fitting] {
        &self.fitted.joints[self.node(name).0 as usize].fittings
    }

    /// The fittings at a node as they are called, with a plus between.
    #[track_caller]
    pub fn names(&self, name: &str) -> String {
        let called = self
            .fittings(name)
            .iter()
            .map(|fitting| wyeline_fit::name::fitting(fitting, self.network.units));
        called.collect::<Vec<_>>().join(" + ")
    }
}
