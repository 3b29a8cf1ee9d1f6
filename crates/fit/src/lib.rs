//! Fittings, pieces and lists of a sized network: what stands between the drawing and installed pipe.
//!
//! In: a job, its network with sizes, and the code in force where one is. Out: [`Fitted`], by node and by straight;
//! lists for the counter, the saw and the crew are made from that. Nothing here knows of paper.

pub mod bars;
pub mod cutting;
pub mod joint;
pub mod list;
pub mod lists;
pub mod marks;
pub mod material;
pub mod model;
pub mod name;
pub mod offset;
mod pieces;
pub mod roughin;
pub mod shelf;
pub mod takeoff;
pub mod working;

use wyeline_codes::Pack;
use wyeline_job::{Diagnostic, Job};
use wyeline_network::Network;
use wyeline_sizing::Sized;

pub use model::Fitted;

/// Names the fittings of a network with sizes and cuts its pieces; and what is wrong with what the job says of them.
///
/// `code` is the code in force and what it says of each pipe, where there is one: without it, turns and branches
/// are made as the codes held have them in common. The cost grows with the pipes.
pub fn fit(
    job: &Job,
    network: &Network,
    code: Option<(&Pack, &Sized)>,
) -> (Fitted, Vec<Diagnostic>) {
    let (shelf, mut mistakes) = shelf::Shelf::of(job);
    mistakes.extend(joint::unknown(job));
    let stuff = material::stuff(job, network);
    let given = joint::Given {
        job,
        network,
        code,
        shelf: &shelf,
        stuff: &stuff,
    };
    let (joints, mut findings) = joint::joints(&given);
    let longest = |stuff: &model::Stuff| bars::longest(job, stuff);
    let straights = pieces::straights(&given, &joints, &longest, &mut findings);
    let (missing, estimated) = pieces::wanted(&straights);
    let fitted = Fitted {
        stuff,
        joints,
        straights,
        findings,
        missing,
        estimated,
    };
    (fitted, mistakes)
}
