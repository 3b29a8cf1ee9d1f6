//! No long closed ends in which water stands.
//!
//! Trade practice; hygiene guides ask for short dead legs.

use wyeline_job::model::{DeviceKind, System};
use wyeline_network::model::{NodeIx, NodeKind};

use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};
use crate::supply::Devices;

/// The rule.
pub static RULE: Rule = Rule {
    name: "water-dead-end",
    title: "Drinking water does not stand in long closed ends.",
    page: "Water that never moves grows stale and warm and breeds what nobody wants to drink or breathe.\n\n\
        Measured is the length of pipe from a `cap` back to the first point from which something is fed.\n\n\
        Up to the limit is allowed, for a piece of pipe to go on from later. Exceptions: an end that carries a hammer arrestor or an \
        expansion tank; a run that `continues` beyond the drawing.",
    cite: |pack| limits::cite(pack, "dead-end"),
    look,
};

const MEANT: Devices = Devices::of(&[DeviceKind::HammerArrestor, DeviceKind::ExpansionTank]);

fn look(context: &Context, said: &mut Said) {
    let Some(most) = limits::limit(context.pack, "dead-end") else {
        return;
    };
    let all = context.supply();
    for &end in &all.order {
        let here = context.node(end);
        if here.kind != NodeKind::Cap || here.system == System::Gas {
            continue;
        }
        said.looked();
        let mut at: NodeIx = end;
        let mut length = 0.0;
        let mut meant = context.device_at(end, MEANT);
        for pipe in context.upstream(end) {
            if all.outlets[at.0 as usize] > 0 {
                break;
            }
            length += context.length(pipe);
            at = context.pipe(pipe).from;
            meant |= all.outlets[at.0 as usize] == 0 && context.device_at(at, MEANT);
        }
        if meant || length <= most.value + ALIKE {
            continue;
        }
        let message = format!(
            "water stands in {} of {} pipe that leads nowhere; more than {} goes stale",
            context.show(length),
            here.system.word(),
            context.show(most.value)
        );
        let help = "cap it at the branch, or say what it `continues` to";
        said.breaks(context, At::Node(end), message, help)
            .note(context.span(At::Node(at)), "from here on nothing is fed");
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(end: &str) -> Tell {
        let body = format!(
            "fixture L lavatory main 10',0' faces north\n\
             cold c\nstart 0',-3\" main floor +21\"\nsize 1/2\"\neast to abreast L.cold\ncatch L\n{end}\ncap\n"
        );
        Tell::plain(&body, "water-dead-end")
    }

    /// 2 ft is the limit itself; an inch more stands.
    #[test]
    fn two_feet() {
        assert!(
            told("east 2'1\"")
                .one()
                .message
                .contains("2'-1\" of cold pipe"),
            "{}",
            told("east 2'1\"").one().message
        );
        told("east 2'").silent();
        told("east 1'").silent();
    }

    /// The bends of the dead end count as pipe.
    #[test]
    fn round_a_corner() {
        told("east 1'6\"\nup 8\"").one();
    }

    /// Exception: an arrestor or an expansion tank at the end.
    #[test]
    fn an_end_with_a_purpose() {
        told("east 3'\nhammer-arrestor").silent();
        told("east 3'\nexpansion-tank").silent();
    }
}
