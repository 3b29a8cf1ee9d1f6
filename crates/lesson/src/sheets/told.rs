//! The network as an exercise tells of it: what a learner has to draw, and nothing besides.

use wyeline_network::Network;

/// The network as a learner is told of it: no sizes, falls or inverts, every pipe at the height at which it is drawn, nothing set apart as existing.
pub(super) fn told(network: &Network) -> Network {
    let mut told = network.clone();
    (told.datum_mm, told.code) = (None, None);
    told.notes.clear();
    told.flags.clear();
    for node in &mut told.nodes {
        node.at.z = node.z_drawn;
        (node.mark, node.note) = (None, None);
    }
    for pipe in &mut told.pipes {
        (pipe.size, pipe.bore_mm, pipe.outside_mm) = (None, None, None);
        (pipe.slope, pipe.invert_from, pipe.invert_to) = (None, None, None);
        (pipe.load, pipe.mark) = (None, None);
        (pipe.worked_out, pipe.existing, pipe.unverified) = (false, false, false);
    }
    for fixture in &mut told.fixtures {
        (fixture.existing, fixture.unverified) = (false, false);
    }
    told
}
