//! Gas pipe from the point of delivery to the appliances: loads summed back, and lengths.
//!
//! In: the gas pipes of a network. Out: for each the heat it carries, and the length from the point of delivery to
//! the farthest outlet that it feeds, with what its fittings add.

use wyeline_codes::Pack;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{NodeIx, NodeKind, PipeIx};
use wyeline_units::Quantity;

use crate::model::{Gap, GapAt, Sized};

/// The way of the gas.
pub(super) struct Route {
    /// Gas pipes, each after the one that feeds it.
    pub order: Vec<PipeIx>,
}

/// Lengths of the way of the gas.
pub(super) struct Lengths {
    /// For each pipe of the route, in its order: length from the point of delivery to the farthest outlet fed by it, mm.
    pub through: Vec<f64>,
    /// Length to the farthest outlet of all, mm.
    pub longest: f64,
}

impl Route {
    pub fn of(network: &Network) -> Self {
        let mut fed = vec![false; network.nodes.len()];
        let mut leaves: Vec<Vec<PipeIx>> = Vec::new();
        let mut slot = vec![usize::MAX; network.nodes.len()];
        for (ix, pipe) in network.pipes.iter().enumerate() {
            if pipe.system != System::Gas {
                continue;
            }
            fed[pipe.to.0 as usize] = true;
            let at = &mut slot[pipe.from.0 as usize];
            if *at == usize::MAX {
                *at = leaves.len();
                leaves.push(Vec::new());
            }
            leaves[*at].push(PipeIx(ix as u32));
        }
        let from = |node: NodeIx| {
            let at = slot[node.0 as usize];
            leaves.get(at).map_or(&[][..], Vec::as_slice)
        };
        let mut order = Vec::new();
        let mut seen = vec![false; network.nodes.len()];
        for node in 0..network.nodes.len() {
            if slot[node] == usize::MAX || fed[node] {
                continue;
            }
            let mut waiting = vec![NodeIx(node as u32)];
            while let Some(node) = waiting.pop() {
                for &ix in from(node) {
                    let pipe = network.pipe(ix);
                    if std::mem::replace(&mut seen[pipe.to.0 as usize], true) {
                        continue;
                    }
                    order.push(ix);
                    waiting.push(pipe.to);
                }
            }
        }
        Self { order }
    }

    /// Lengths along the way.
    ///
    /// * `fittings`: for each pipe of the route what its fittings add, mm
    pub fn lengths(&self, network: &Network, fittings: &[f64]) -> Lengths {
        let mut farthest = vec![0.0_f64; network.nodes.len()];
        for (&ix, more) in self.order.iter().zip(fittings) {
            let pipe = network.pipe(ix);
            let (a, b) = network.true_ends(pipe);
            farthest[pipe.to.0 as usize] = farthest[pipe.from.0 as usize] + a.distance(b) + more;
        }
        let mut found = Lengths {
            through: vec![0.0; self.order.len()],
            longest: 0.0,
        };
        for (at, &ix) in self.order.iter().enumerate().rev() {
            let pipe = network.pipe(ix);
            let far = farthest[pipe.to.0 as usize];
            found.through[at] = far;
            found.longest = found.longest.max(far);
            let before = &mut farthest[pipe.from.0 as usize];
            *before = before.max(far);
        }
        found
    }

    /// Sums the inputs of the appliances back to the point of delivery.
    pub fn load(&self, network: &Network, pack: &Pack, sized: &mut Sized) {
        let mut carried = vec![0.0_f64; network.nodes.len()];
        let mut counted = vec![false; network.fixtures.len()];
        for &ix in self.order.iter().rev() {
            let pipe = network.pipe(ix);
            let to = network.node(pipe.to);
            if let Some(at) = to.fixture
                && !std::mem::replace(&mut counted[at.0 as usize], true)
            {
                let fixture = &network.fixtures[at.0 as usize];
                let watts = fixture.facts.input.map(|input| input.watts);
                carried[pipe.to.0 as usize] += watts.unwrap_or_else(|| {
                    let usual = pack.gas_input(&fixture.kind, "");
                    let (why, help) = match &usual {
                        Ok(usual) => (
                            format!(
                                "the input of {} is not stated: {:.0} Btu/h is assumed ({})",
                                fixture.tag,
                                usual.value / super::BTU_H,
                                usual.cite
                            ),
                            "say what its rating plate says, as in `input 40,000 btu/h`".to_owned(),
                        ),
                        Err(none) => (none.to_string(), none.help.clone()),
                    };
                    sized.gaps.push(Gap {
                        at: GapAt::Fixture(at),
                        why,
                        help,
                        span: fixture.span,
                    });
                    usual.map_or(0.0, |usual| usual.value)
                });
            } else if let NodeKind::Continues {
                to: words, beyond, ..
            } = &to.kind
            {
                match beyond
                    .load
                    .as_ref()
                    .and_then(|(amount, unit)| watts(*amount, unit))
                {
                    Some(watts) => carried[pipe.to.0 as usize] += watts,
                    None => sized.gaps.push(Gap {
                        at: GapAt::Node(pipe.to),
                        why: format!("what gas goes on to `{words}` is not said"),
                        help: "say it as `load 65,000 btu/h` after the words".to_owned(),
                        span: to.span,
                    }),
                }
            }
            let here = carried[pipe.to.0 as usize];
            sized.pipes[ix.0 as usize].load.gas_w = here;
            carried[pipe.from.0 as usize] += here;
        }
    }
}

/// A load told by the job, W.
fn watts(amount: f64, unit: &str) -> Option<f64> {
    match Quantity::read(&format!("1 {unit}")) {
        Ok((Quantity::Power(power), _)) => Some(power.watts * amount),
        _ => None,
    }
}
