//! Water does not run backwards through a hot return.
//!
//! Trade practice.

use wyeline_job::model::{DeviceKind, System};
use wyeline_network::model::{NodeIx, NodeKind};

use crate::context::Context;
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};
use crate::supply::Devices;

/// The rule.
pub static RULE: Rule = Rule {
    name: "hot-return-backwards",
    title: "A hot return has a check valve before the heater.",
    page: "When a hot tap is opened, water comes to it by every way there is: also backwards through the return, from the cold bottom of the heater.\n\n\
        Looked at is the last part of every return, where it goes into the heater or joins its cold pipe: there has to be a `check-valve` \
        somewhere in it.\n\n\
        A pump with a check valve in it is told by a `check-valve` beside it. A return that goes on beyond the drawing is not looked at.",
    cite: |pack| limits::cite(pack, "return-check"),
    look,
};

const CHECK: Devices = Devices::one(DeviceKind::CheckValve);

fn look(context: &Context, said: &mut Said) {
    for (ix, pipe) in context.pipes_of(System::HotReturn) {
        let end = context.node(pipe.to);
        let is = |system| {
            end.pipes
                .iter()
                .any(|&other| context.pipe(other).system == system)
        };
        if !(end.kind == NodeKind::Port || is(System::Cold)) {
            continue;
        }
        said.looked();
        if checked_from(context, pipe.to) {
            continue;
        }
        let name = context.run(ix);
        let message =
            format!("no check valve keeps water from running backwards through the return {name}");
        let help = "put a `check-valve` into it, behind the pump";
        said.breaks(context, At::Pipe(ix), message, help);
    }
}

/// Whether every way back along returns from a point meets a check valve.
fn checked_from(context: &Context, end: NodeIx) -> bool {
    let mut open = vec![end];
    let mut left = context.network.pipes.len();
    while let Some(node) = open.pop() {
        if node != end && context.device_at(node, CHECK) {
            continue;
        }
        let mut before = 0;
        for &pipe in &context.node(node).pipes {
            let pipe = context.pipe(pipe);
            if pipe.system == System::HotReturn && pipe.to == node && left > 0 {
                left -= 1;
                before += 1;
                open.push(pipe.from);
            }
        }
        if before == 0 {
            return context.device_at(node, CHECK);
        }
    }
    true
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(devices: &str) -> Tell {
        let body = format!(
            "fixture W water-heater main 0',0' faces south\n\
             hot h\nstart W.hot\nsize 3/4\"\nup 1'\neast 20'\npoint A\neast 1'\ncap\n\
             hot-return a\nstart A\nsize 1/2\"\nup 1'\nnorth 3'\n{devices}west 10'\nend W.return\n"
        );
        Tell::plain(&body, "hot-return-backwards")
    }

    /// A pump alone stops nothing when it stands still.
    #[test]
    fn a_pump_alone() {
        assert!(
            told("pump P length 6\"\nwest 1'\n")
                .one()
                .message
                .contains("the return a")
        );
        told("").one();
    }

    #[test]
    fn a_check_valve() {
        told("pump P length 6\"\nwest 1'\ncheck-valve\n").silent();
    }

    /// Exception: a return that goes on beyond the drawing.
    #[test]
    fn beyond_the_drawing() {
        let body = "fixture W water-heater main 0',0' faces south\n\
             hot h\nstart W.hot\nsize 3/4\"\nup 1'\neast 20'\npoint A\neast 1'\ncap\n\
             hot-return a\nstart A\nsize 1/2\"\nup 1'\nnorth 3'\ncontinues \"to the plant room\"\n";
        Tell::plain(body, "hot-return-backwards").nowhere();
    }
}
