//! Lists for the counter, the saw and the crew, as neutral tables: each builder turns what fitting gives into [`List`]s.

mod bars;
mod materials;
mod measure;
mod offsets;
mod pieces;
mod roughin;
mod sums;
mod words;

pub use materials::materials;
pub use roughin::roughin;
pub use sums::sums;

use wyeline_job::Job;
use wyeline_network::Network;

use crate::list::List;
use crate::marks::Marks;
use crate::model::Fitted;

/// What lists are made from.
#[derive(Clone, Copy, Debug)]
pub struct Given<'a> {
    /// The job.
    pub job: &'a Job,
    /// Its network, with sizes.
    pub network: &'a Network,
    /// Fittings and pieces.
    pub fitted: &'a Fitted,
    /// Their marks.
    pub marks: &'a Marks,
}

/// The lists for the saw: `pieces`, `measure`, `offsets`, `spreads` and `bars`.
pub fn cuts(given: &Given) -> Vec<List> {
    let [offsets, spreads] = offsets::offsets(given);
    vec![
        pieces::pieces(given),
        measure::measure(given),
        offsets,
        spreads,
        bars::bars(given),
    ]
}
