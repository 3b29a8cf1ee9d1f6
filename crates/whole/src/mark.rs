//! Puts what was worked out into the network that is drawn: sizes nobody stated, loads, marks of lists, flags.

use wyeline_checks::{At, Checked};
use wyeline_fit::marks;
use wyeline_network::Network;
use wyeline_network::model::{Flag, Flagged};

use crate::fitted::Listed;
use crate::judge::Judged;
use crate::words;

/// Sizes that no run states, as the code gives them, with the diameters and inverts that follow from them.
pub fn sizes(network: &mut Network, judged: &Judged) {
    let results = judged.sized.pipes.iter();
    let sizes: Vec<_> = results
        .map(|result| result.size.filter(|_| !result.stated))
        .collect();
    *network = wyeline_network::with_sizes(std::mem::take(network), &sizes);
    if network.pipes.iter().any(|pipe| pipe.worked_out) {
        network.sized_by = Some(judged.pack.document().to_owned());
    }
}

/// What each pipe carries.
pub fn loads(network: &mut Network, judged: &Judged) {
    let (family, units) = (judged.pack.family(), network.units);
    for (pipe, result) in network.pipes.iter_mut().zip(&judged.sized.pipes) {
        let load = words::load(pipe, result, family, units);
        pipe.load = Some(load).filter(|load| !load.is_empty());
    }
}

/// Marks of pieces at their pipes and of fittings at their nodes, as the lists call them.
pub fn marks(network: &mut Network, listed: &Listed) {
    for (pipe, mark) in marks::at_pipes(network, &listed.fitted, &listed.marks) {
        network.pipes[pipe.0 as usize].mark = Some(mark);
    }
    for (node, mark) in listed.marks.at_nodes(&listed.fitted) {
        network.nodes[node.0 as usize].mark = Some(mark);
    }
}

/// A flag at each place where a rule is broken, numbered as `wyeline check` numbers its findings.
pub fn flags(network: &mut Network, judged: &Judged, checked: &Checked) {
    network.checked_by = Some(judged.pack.document().to_owned());
    let findings = checked.findings.iter().enumerate();
    network.flags = findings
        .map(|(at, finding)| Flag {
            number: at as u32 + 1,
            at: match finding.at {
                At::Node(ix) => Flagged::Node(ix),
                At::Pipe(ix) => Flagged::Pipe(ix),
                At::Fixture(ix) => Flagged::Fixture(ix),
                At::Job => Flagged::Job,
            },
            text: format!("{}: {}", finding.message, words::stands(&finding.cite)),
        })
        .collect();
}
