//! Water that grows when it is heated has somewhere to go.
//!
//! IPC 607.3, UPC 608.3, Canada 2.6.1.11.

use wyeline_job::model::DeviceKind;
use wyeline_network::model::{FixtureIx, NodeIx};

use crate::context::Context;
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};
use crate::supply::{Devices, ONE_WAY};

/// The rule.
pub static RULE: Rule = Rule {
    name: "hot-closed-system",
    title: "A heater behind a check valve, reducing valve or backflow preventer has an expansion tank.",
    page: "Fifty gallons heated by 90 F grow by about a gallon. If they cannot push back into the street, the pressure rises until the relief valve \
        drips or something bursts.\n\n\
        Looked at is every water heater and storage tank that is fed through a check valve, a reducing valve or station, or a backflow preventer. \
        Water has to be able to push into an `expansion-tank` without passing one of these: the tank sits in the \
        heater's pipe or on any branch behind the device.\n\n\
        Exceptions: an open system, in which nothing stops the water from going back. Whether a meter holds a check valve the job cannot say. \
        A heater without storage is told from one with only by its maker: it is treated alike.",
    cite: |pack| limits::cite(pack, "closed-system"),
    look,
};

const TANK: Devices = Devices::one(DeviceKind::ExpansionTank);

fn look(context: &Context, said: &mut Said) {
    let all = context.supply();
    let mut tanks: Option<Vec<bool>> = None;
    for (ix, fixture) in context.network.fixtures.iter().enumerate() {
        if !matches!(&*fixture.kind, "water-heater" | "storage-tank") {
            continue;
        }
        let ix = FixtureIx(ix as u32);
        let Some(node) = context.port(ix, "cold") else {
            continue;
        };
        if all.feed[node.0 as usize].is_none() {
            continue;
        }
        said.looked();
        if !all.behind[node.0 as usize].any(ONE_WAY) {
            continue;
        }
        let tanks = tanks.get_or_insert_with(|| with_tank(context));
        let mut stops: Option<NodeIx> = None;
        let mut tank = tanks[node.0 as usize];
        for pipe in context.upstream(node) {
            let from = context.pipe(pipe).from;
            if tank {
                break;
            }
            if context.device_at(from, ONE_WAY) {
                stops = Some(from);
                break;
            }
            tank = tanks[from.0 as usize];
        }
        let Some(stops) = stops.filter(|_| !tank) else {
            // Fed by another heater, which is looked at itself.
            continue;
        };
        let what = context
            .node(stops)
            .device
            .as_ref()
            .map_or("valve", |device| word(device.kind));
        let tag = &fixture.tag;
        let message = format!(
            "water heated in {tag} cannot go back through the {what} and has no room to expand"
        );
        let help =
            format!("put an `expansion-tank` into the cold pipe between the {what} and {tag}");
        let span = context.span(At::Node(stops));
        said.breaks(context, At::Fixture(ix), message, help)
            .note(span, format!("the {what} is here"));
    }
}

fn word(kind: DeviceKind) -> &'static str {
    match kind {
        DeviceKind::CheckValve => "check valve",
        DeviceKind::BackflowPreventer => "backflow preventer",
        DeviceKind::PressureReducingStation => "reducing station",
        _ => "reducing valve",
    }
}

/// Points from which water can push into a tank: where one sits, and all before it up to what stops the water.
fn with_tank(context: &Context) -> Vec<bool> {
    let all = context.supply();
    let mut found = vec![false; context.network.nodes.len()];
    for &node in &all.order {
        if !context.device_at(node, TANK) {
            continue;
        }
        found[node.0 as usize] = true;
        for pipe in context.upstream(node) {
            let from = context.pipe(pipe).from;
            if context.device_at(from, ONE_WAY)
                || std::mem::replace(&mut found[from.0 as usize], true)
            {
                break;
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(way: &str) -> Tell {
        let body = format!(
            "fixture W water-heater main 20',5' faces south\n\
             cold c\nstart 0',5' main floor +6'\nsize 3/4\"\neast 2'\n{way}east to abreast W.cold\nend W.cold\n"
        );
        Tell::plain(&body, "hot-closed-system")
    }

    #[test]
    fn behind_each_of_the_one_way_devices() {
        for (device, word) in [
            ("check-valve", "check valve"),
            ("backflow-preventer", "backflow preventer"),
            ("pressure-reducing-valve", "reducing valve"),
            ("pressure-reducing-station", "reducing station"),
        ] {
            let told = told(&format!("{device}\neast 2'\n"));
            assert!(
                told.one()
                    .message
                    .contains(&format!("back through the {word}")),
                "{}",
                told.one().message
            );
        }
    }

    /// A tank between the device and the heater, or nothing that stops the water.
    #[test]
    fn room_to_expand() {
        told("check-valve\neast 2'\nexpansion-tank\neast 1'\n").silent();
        told("ball-valve\neast 2'\n").silent();
    }

    /// A tank before the check valve is on the wrong side.
    #[test]
    fn on_the_wrong_side() {
        told("expansion-tank\neast 2'\ncheck-valve\neast 1'\n").one();
    }

    /// Exception: the tank stands on another branch, behind the same check valve.
    #[test]
    fn on_its_own_branch() {
        let body = "fixture W water-heater main 20',5' faces south\n\
             cold c\nstart 0',5' main floor +6'\nsize 3/4\"\neast 2'\ncheck-valve\neast 2'\npoint T\neast to abreast W.cold\nend W.cold\n\
             cold t\nstart T\nsize 3/4\"\nup 6\"\nexpansion-tank\ncap\n";
        Tell::plain(body, "hot-closed-system").silent();
    }
}
