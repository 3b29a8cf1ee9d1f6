//! Puts what was worked out into the network that is drawn: sizes nobody stated, loads, flags.

use wyeline_checks::{At, Checked};
use wyeline_network::Network;
use wyeline_network::model::{Flag, Flagged};

use crate::judge::Judged;
use crate::words;

/// Sizes that no run states, as the code gives them.
pub fn sizes(network: &mut Network, judged: &Judged) {
    let mut any = false;
    for (pipe, result) in network.pipes.iter_mut().zip(&judged.sized.pipes) {
        if pipe.size.is_none() && !result.stated && result.size.is_some() {
            pipe.size = result.size;
            pipe.worked_out = true;
            any = true;
        }
    }
    if any {
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
