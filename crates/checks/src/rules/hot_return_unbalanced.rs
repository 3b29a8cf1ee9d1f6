//! Where several returns come together, each can be throttled.
//!
//! Trade practice.

use wyeline_job::model::{DeviceKind, System};
use wyeline_network::model::{NodeIx, PipeIx};

use crate::context::Context;
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};
use crate::supply::Devices;

/// The rule.
pub static RULE: Rule = Rule {
    name: "hot-return-unbalanced",
    title: "Each of several hot returns has a balancing valve.",
    page: "Water takes the easy way: of two returns the short one circulates, the long one stays cold.\n\n\
        Looked at is every point where two or more returns flow together: in each of them there has to be a `balancing-valve` between where it begins and \
        that point.\n\n\
        A single return needs none.",
    cite: |pack| limits::cite(pack, "return-balance"),
    look,
};

const BALANCE: Devices = Devices::one(DeviceKind::BalancingValve);

fn look(context: &Context, said: &mut Said) {
    let mut into: Vec<u32> = vec![0; context.network.nodes.len()];
    for (_, pipe) in context.pipes_of(System::HotReturn) {
        into[pipe.to.0 as usize] += 1;
    }
    for (ix, pipe) in context.pipes_of(System::HotReturn) {
        if into[pipe.to.0 as usize] < 2 {
            continue;
        }
        said.looked();
        if balanced(context, ix, &into) {
            continue;
        }
        let name = context.run(ix);
        let message =
            format!("the return {name} flows together with another and has no balancing valve");
        let help = format!("put a `balancing-valve` into {name} before this point");
        said.breaks(context, At::Pipe(ix), message, help);
    }
}

/// Whether a valve sits in the return before its end here, up to where it begins or others come in.
fn balanced(context: &Context, last: PipeIx, into: &[u32]) -> bool {
    let mut pipe = last;
    for _ in 0..context.network.pipes.len() {
        let from: NodeIx = context.pipe(pipe).from;
        if context.device_at(from, BALANCE) {
            return true;
        }
        let here = context.node(from).pipes.iter().copied();
        let mut before = here.filter(|&other| {
            let other = context.pipe(other);
            other.system == System::HotReturn && other.to == from
        });
        match before.next() {
            // Those that flow together before have valves of their own.
            Some(_) if into[from.0 as usize] > 1 => return true,
            Some(next) => pipe = next,
            None => return false,
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(first: &str, second: &str) -> Tell {
        let body = format!(
            "fixture W water-heater main 0',0' faces south\n\
             hot h\nstart W.hot\nsize 3/4\"\nup 1'\neast 20'\npoint A\neast 20'\npoint B\neast 1'\ncap\n\
             hot-return a\nstart A\nsize 1/2\"\nup 1'\nnorth 3'\n{first}north 3'\npoint J\nwest 10'\nend W.return\n\
             hot-return b\nstart B\nsize 1/2\"\nup 1'\nnorth 3'\n{second}north 3'\njoin J\n"
        );
        Tell::plain(&body, "hot-return-unbalanced")
    }

    #[test]
    fn two_returns() {
        assert_eq!(told("", "").said.findings.len(), 2);
        assert!(
            told("balancing-valve\n", "")
                .one()
                .message
                .contains("the return b")
        );
        told("balancing-valve\n", "balancing-valve\n").silent();
    }

    /// Exception: a single return.
    #[test]
    fn a_single_return() {
        let body = "fixture W water-heater main 0',0' faces south\n\
             hot h\nstart W.hot\nsize 3/4\"\nup 1'\neast 20'\npoint A\neast 1'\ncap\n\
             hot-return a\nstart A\nsize 1/2\"\nup 1'\nnorth 3'\nwest 10'\nend W.return\n";
        Tell::plain(body, "hot-return-unbalanced").nowhere();
    }
}
