//! Fittings of gas pipe as lengths of straight pipe, section by section.
//!
//! In: the gas pipes of a network and the sizes they have. Out: what the fittings of each add. A section is what lies between
//! two points where gas parts; its fittings count where it has as many as the code counts from (IFGC 2018 A.3.2, step 2).

use wyeline_codes::Pack;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{NodeKind, Pipe, PipeIx};
use wyeline_units::Size;

use super::route::Route;

/// Fittings of the gas pipes.
pub(super) struct Fittings {
    /// For each pipe of the route, in its order: the fitting at its near end, by its name in the code's table.
    of: Vec<Option<&'static str>>,
    /// For each pipe of the route the section it belongs to.
    section: Vec<usize>,
    /// For each section how many fittings it has.
    count: Vec<usize>,
    /// Fittings of a section from which they count, where the code says it.
    from: Option<f64>,
}

impl Fittings {
    /// The fittings of a route; those of tees belong to the section that leaves them.
    pub fn of(network: &Network, route: &Route, pack: &Pack) -> Self {
        let mut all = Self {
            of: Vec::with_capacity(route.order.len()),
            section: Vec::with_capacity(route.order.len()),
            count: Vec::new(),
            from: pack
                .scalar("gas.fittings-counted-from")
                .ok()
                .map(|from| from.value),
        };
        let mut feeding = vec![usize::MAX; network.nodes.len()];
        for (at, &ix) in route.order.iter().enumerate() {
            let pipe = network.pipe(ix);
            feeding[pipe.to.0 as usize] = at;
            let before = feeding.get(pipe.from.0 as usize).copied();
            let before = before.filter(|&before| before != usize::MAX);
            let gas = |&&ix: &&PipeIx| network.pipe(ix).system == System::Gas;
            let node = network.node(pipe.from);
            let parts = node.pipes.iter().filter(gas).count() > 2;
            let fitting = before.and_then(|before| {
                let before = network.pipe(route.order[before]);
                fitting(network, before, pipe, parts && node.kind != NodeKind::Port)
            });
            let section = match before {
                Some(before) if !parts => all.section[before],
                _ => {
                    all.count.push(0);
                    all.count.len() - 1
                }
            };
            all.count[section] += usize::from(fitting.is_some());
            all.section.push(section);
            all.of.push(fitting);
        }
        all
    }

    /// Length that the fitting of a pipe adds at a size, mm; nothing in sections of few fittings.
    pub fn length(&self, pack: &Pack, at: usize, size: Option<Size>) -> f64 {
        let count = self.count[self.section[at]] as f64;
        let (Some(fitting), Some(size)) = (self.of[at], size) else {
            return 0.0;
        };
        if self.from.is_none_or(|from| count < from) {
            return 0.0;
        }
        pack.gas_fitting(fitting, size)
            .map_or(0.0, |length| length.value)
    }

    /// Whether any section has fittings that count.
    pub fn any(&self) -> bool {
        self.from
            .is_some_and(|from| self.count.iter().any(|&count| count as f64 >= from))
    }
}

/// The fitting between a pipe and the one that feeds it. The run of a tee is not in the table: it loses as good as nothing.
fn fitting(network: &Network, before: &Pipe, pipe: &Pipe, parts: bool) -> Option<&'static str> {
    let way = |pipe: &Pipe| {
        let (from, to) = network.drawn(pipe);
        (to - from).normalize_or_zero()
    };
    let straight = way(before).dot(way(pipe));
    if parts {
        // Within 22-1/2 degrees of straight on is the run of the tee.
        return (straight <= 0.92).then_some("tee-branch");
    }
    match straight {
        // Turns of less than 20 degrees are made in the pipe.
        s if s > 0.94 => None,
        // Up to 60 degrees.
        s if s > 0.5 => Some("elbow-45"),
        _ => Some("elbow-90"),
    }
}
