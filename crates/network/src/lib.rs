//! Turns a [`Job`] into the 3-D [`Network`].
//!
//! In: the Job, every reference still a name. Out: nodes and pipes in space,
//! with direction of flow, falls and inverts, and every mistake of meaning.
//! Knows no code of practice and no paper. Start at [`build`].

mod after;
pub mod arms;
mod arrive;
pub mod bores;
mod builder;
pub mod clash;
mod fixtures;
mod json;
pub mod junction;
pub mod kinds;
mod lay;
mod materials;
pub mod model;
mod moves;
mod practice;
mod refs;
mod remarks;
mod report;
mod site;
mod sizes;
mod steps;
mod traps;
mod twins;
mod walk;
mod walls;

use wyeline_job::{Diagnostic, Job};

pub use json::to_json;
pub use model::Network;
pub use refs::{port_takes, systems_meet, usual_port};
pub use report::report;
pub use site::way;
pub use sizes::with_sizes;

/// A network, and what was found wrong on the way.
#[derive(Clone, Debug, Default)]
pub struct Built {
    /// The network of everything that was understood.
    pub network: Network,
    /// Mistakes and warnings, by their place in the text.
    pub diagnostics: Vec<Diagnostic>,
}

/// Returns the network of a job.
///
/// * `text`: the text the job was read from; used only to count lines
///
/// Never fails: what is mistaken is left out or laid as far as it is understood, and reported.
pub fn build(job: &Job, text: &str) -> Built {
    let mut builder = builder::Builder::new(job, text);
    builder.walk_all();
    let (network, diagnostics) = builder.close();
    Built {
        network,
        diagnostics,
    }
}
