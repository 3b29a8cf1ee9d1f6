//! Where more than the code's pressure stands at rest, a reducing valve brings it down.
//!
//! IPC 604.8, UPC 608.2: 80 psi. The pressure at rest is the supply's, less the height above where it was measured.

use wyeline_job::model::{Setting, System};
use wyeline_network::model::{NodeIx, NodeKind};

use crate::context::Context;
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};
use crate::supply::REDUCES;

/// The rule.
pub static RULE: Rule = Rule {
    name: "water-pressure-high",
    title: "Pressure at rest above the code's limit is brought down by a reducing valve.",
    page: "Too much pressure bursts hoses, wears out valves and wastes water.\n\n\
        Measured is the pressure while nothing flows: what the job says with `supply pressure … static`, more below where it was measured and \
        less above (9.8 kPa a metre, 0.43 psi a foot), and behind a reducing valve no more than it is set to. The lowest outlet decides; it is \
        said once for each source.\n\n\
        Hose bibbs outside may have the full pressure (IPC 604.8). Exactly the limit is allowed. Where only a pressure under flow is told, the \
        pressure at rest is not known; it is a finding all the same where that alone is too high.",
    cite: |pack| limits::cite(pack, "static-pressure"),
    look,
};

/// Weight of water, Pa for each mm: 998.2 kg/m3 (20 C) times 9.80665 m/s2.
const HEAD: f64 = 9.789;
/// Less than what any gauge shows, Pa.
const EVEN: f64 = 0.5;

fn look(context: &Context, said: &mut Said) {
    let Some(most) = limits::limit(context.pack, "static-pressure") else {
        return;
    };
    if context.pipes_of(System::Cold).next().is_none() {
        return;
    }
    let design = &context.job.design;
    let told = design.supplies.iter().zip(&context.network.supplies_mm);
    let Some((supply, height)) = told.max_by_key(|(supply, _)| supply.standing) else {
        said.unknown(
            At::Job,
            "the job says no water pressure (`supply pressure 72 psi static`)",
        );
        return;
    };
    let all = context.supply();
    let mut at_rest: Vec<Option<f64>> = vec![None; context.network.nodes.len()];
    let mut source: Vec<NodeIx> = (0..context.network.nodes.len() as u32)
        .map(NodeIx)
        .collect();
    for &node in &all.order {
        let here = context.node(node);
        if here.system == System::Gas {
            continue;
        }
        let at = node.0 as usize;
        let before = all.feed[at].map(|pipe| context.pipe(pipe).from);
        let mut pressure = match before {
            Some(before) => at_rest[before.0 as usize]
                .map(|pressure| pressure - HEAD * (here.at.z - context.node(before).at.z)),
            None if here.fixture.is_none() && here.system == System::Cold => {
                Some(supply.pressure.pa - HEAD * (here.at.z - height.unwrap_or(here.at.z)))
            }
            None => None,
        };
        if let Some(before) = before {
            source[at] = source[before.0 as usize];
        }
        if let Some(device) = here
            .device
            .as_ref()
            .filter(|_| context.device_at(node, REDUCES))
        {
            // A valve whose setting nobody told is taken to do its work.
            pressure = match device.setting {
                Some(Setting::Pressure(set)) => pressure.map(|pressure| pressure.min(set.pa)),
                _ => None,
            };
        }
        at_rest[at] = pressure;
    }
    // The highest for each source, in the order of flow.
    let mut worst: Vec<(NodeIx, NodeIx, f64)> = Vec::new();
    for &node in &all.order {
        let here = context.node(node);
        if !matches!(here.kind, NodeKind::Stub | NodeKind::Port)
            || all.feed[node.0 as usize].is_none()
        {
            continue;
        }
        let outside = here
            .fixture
            .is_some_and(|ix| context.fixture(ix).kind == "hose-bibb");
        let Some(pressure) = at_rest[node.0 as usize].filter(|_| !outside) else {
            continue;
        };
        said.looked();
        let from = source[node.0 as usize];
        match worst.iter_mut().find(|(known, ..)| *known == from) {
            Some(one) if one.2 >= pressure => {}
            Some(one) => (one.1, one.2) = (node, pressure),
            None => worst.push((from, node, pressure)),
        }
    }
    for (from, node, pressure) in worst {
        if pressure <= most.value + EVEN {
            if !supply.standing {
                said.unknown(At::Node(from), "only a pressure under flow is told; at rest there is more (`supply pressure 72 psi static`)");
            }
            continue;
        }
        let tag = context
            .node(node)
            .fixture
            .map_or("an outlet", |ix| context.tag(ix));
        let message = format!(
            "{} at rest at {tag}; more than {} needs a reducing valve",
            context.pressure(pressure),
            context.pressure(most.value)
        );
        let help = if context.supply().behind[node.0 as usize].any(REDUCES) {
            "set the reducing valve lower, or give the lower storeys one of their own".to_owned()
        } else {
            format!(
                "put a `pressure-reducing-valve` into the service, set to {} or less there",
                context.pressure(most.value)
            )
        };
        said.breaks(context, At::Node(from), message, help)
            .by(&most.cite)
            .note(supply.span, "the pressure is told here");
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(supply: &str, device: &str, kind: &str) -> Tell {
        let body = format!(
            "{supply}\nfixture F {kind} main 10',0' faces north cold up 2'\n\
             cold c\nstart 0',-3\" main floor +2'\nsize 3/4\"\n{device}east to abreast F.cold\nend F\n"
        );
        Tell::plain(&body, "water-pressure-high")
    }

    /// 81 psi where the outlet lies as high as the source: 1 too many. 80 psi is the limit, 79 below it.
    #[test]
    fn eighty_and_a_little_more() {
        let told_81 = told("supply pressure 81 psi static", "", "lavatory");
        assert!(
            told_81.one().message.starts_with("81.0 psi at rest at F"),
            "{}",
            told_81.one().message
        );
        told("supply pressure 80 psi static", "", "lavatory").silent();
        told("supply pressure 79 psi static", "", "lavatory").silent();
    }

    /// Measured 12 ft above the outlet (2 ft), 76 psi are 76 + 10 x 0.433 = 80.3 psi there.
    #[test]
    fn lower_down_there_is_more() {
        told(
            "supply pressure 76 psi static at upper floor +2'",
            "",
            "lavatory",
        )
        .one();
        told(
            "supply pressure 75 psi static at upper floor +2'",
            "",
            "lavatory",
        )
        .silent();
    }

    /// Exceptions: a reducing valve that is set low enough, and a hose bibb.
    #[test]
    fn a_reducing_valve_and_a_hose_bibb() {
        told(
            "supply pressure 120 psi static",
            "pressure-reducing-valve set 60 psi\n",
            "lavatory",
        )
        .silent();
        told("supply pressure 120 psi static", "", "hose-bibb").nowhere();
        let high = told(
            "supply pressure 120 psi static",
            "pressure-reducing-valve set 90 psi\n",
            "lavatory",
        );
        assert!(high.one().help.contains("lower"), "{}", high.one().help);
    }

    /// A pressure under flow of 70 psi says nothing of the pressure at rest; 85 psi is too much whatever that is.
    #[test]
    fn under_flow() {
        told("supply pressure 70 psi", "", "lavatory").unknown("only a pressure under flow");
        told("supply pressure 85 psi", "", "lavatory").one();
    }

    #[test]
    fn no_pressure_is_told() {
        told("", "", "lavatory").unknown("no water pressure");
    }
}
