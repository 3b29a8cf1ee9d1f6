//! Quick-closing valves have an arrestor near them.
//!
//! IPC 604.9, UPC 609.11; how near: PDI-WH 201.

use wyeline_job::model::DeviceKind;
use wyeline_network::model::{FixtureIx, NodeIx};

use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};
use crate::supply::Devices;

/// The rule.
pub static RULE: Rule = Rule {
    name: "water-hammer",
    title: "A valve that closes quickly has a hammer arrestor near it.",
    page: "A magnet valve stops running water in a few hundredths of a second; the blow travels up the pipe and loosens what it meets.\n\n\
        Looked at is every hot and cold pipe that a run brings to a clothes washer, a dishwasher, or a fixture with a flushometer. Going back from \
        the fixture there has to be a `hammer-arrestor` within the distance of the table (6 ft), in the pipe itself or on a short branch of its own.\n\n\
        Ice makers and coffee machines draw too little to matter. An air chamber is no arrestor: it fills with water.",
    cite: |pack| limits::cite(pack, "hammer"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(within) = limits::limit(context.pack, "hammer") else {
        return;
    };
    let mut arrested: Option<Vec<bool>> = None;
    for (ix, fixture) in context.network.fixtures.iter().enumerate() {
        let quick =
            matches!(&*fixture.kind, "clothes-washer" | "dishwasher") || fixture.facts.flushometer;
        if !quick {
            continue;
        }
        let ix = FixtureIx(ix as u32);
        for name in ["cold", "hot"] {
            let Some(node) = context.port(ix, name) else {
                continue;
            };
            if context.supply().feed[node.0 as usize].is_none() {
                continue;
            }
            said.looked();
            let arrested = arrested.get_or_insert_with(|| arrested_nodes(context));
            let mut length = 0.0;
            let mut found = arrested[node.0 as usize];
            let mut near = None;
            for pipe in context.upstream(node) {
                if found {
                    break;
                }
                length += context.length(pipe);
                let from = context.pipe(pipe).from;
                found = arrested[from.0 as usize];
                if found {
                    near = Some(length);
                }
            }
            if found && near.is_none_or(|length| length <= within.value + ALIKE) {
                continue;
            }
            let tag = &fixture.tag;
            let message = match near {
                Some(length) => format!(
                    "the hammer arrestor before the {name} valve of {tag} is {} away; it may be {}",
                    context.show(length),
                    context.show(within.value)
                ),
                None => {
                    format!("the {name} valve of {tag} closes quickly and has no hammer arrestor")
                }
            };
            let help = format!("put a `hammer-arrestor` into the pipe right before {tag}");
            said.breaks(context, At::Fixture(ix), message, help);
        }
    }
}

/// Points that an arrestor protects: where one sits, and where its own branch leaves.
fn arrested_nodes(context: &Context) -> Vec<bool> {
    let all = context.supply();
    let mut arrested = vec![false; context.network.nodes.len()];
    for &node in &all.order {
        if !context.device_at(node, Devices::one(DeviceKind::HammerArrestor)) {
            continue;
        }
        let mut at: NodeIx = node;
        arrested[at.0 as usize] = true;
        // Back along a branch that feeds nothing but the arrestor.
        for pipe in context.upstream(node) {
            if all.outlets[at.0 as usize] > 0 {
                break;
            }
            at = context.pipe(pipe).from;
            arrested[at.0 as usize] = true;
        }
    }
    arrested
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn washer(way: &str) -> Tell {
        let body = format!(
            "fixture W clothes-washer main 10',0' faces north\n\
             cold c\nstart 0',0' main floor +42\"\nsize 1/2\"\n{way}end W.cold\n"
        );
        Tell::plain(&body, "water-hammer")
    }

    #[test]
    fn a_washer_without() {
        let told = washer("east to abreast W.cold\n");
        assert!(
            told.one()
                .message
                .contains("cold valve of W closes quickly"),
            "{}",
            told.one().message
        );
    }

    /// The washer faces north, so its cold valve, on its user's right, lies 3 in west of its centre: at 9 ft 9 in. 6 ft from it is the limit itself;
    /// an inch more is too far.
    #[test]
    fn six_feet_away() {
        washer("east 3'9\"\nhammer-arrestor\neast to abreast W.cold\n").silent();
        let told = washer("east 3'8\"\nhammer-arrestor\neast to abreast W.cold\n");
        assert!(
            told.one()
                .message
                .contains("is 6'-1\" away; it may be 6'-0\""),
            "{}",
            told.one().message
        );
    }

    /// Exceptions: on a branch of its own near the valve; a lavatory, whose taps close slowly.
    #[test]
    fn on_its_own_branch() {
        let branch = "east 9'\npoint A\neast to abreast W.cold\nend W.cold\n\
             cold air\nstart A\nsize 1/2\"\nup 6\"\nhammer-arrestor\ncap\n";
        let body = format!(
            "fixture W clothes-washer main 10',0' faces north\n\
             cold c\nstart 0',-3\" main floor +42\"\nsize 1/2\"\n{branch}"
        );
        Tell::plain(&body, "water-hammer").silent();
        let lavatory = "fixture L lavatory main 10',0' faces north\n\
             cold c\nstart 0',-3\" main floor +21\"\nsize 1/2\"\neast to abreast L.cold\nend L\n";
        Tell::plain(lavatory, "water-hammer").nowhere();
    }
}
