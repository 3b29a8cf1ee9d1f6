//! A shower's water cannot scald.
//!
//! IPC 412.3, UPC 408.3, Canada 2.2.10.7.

use wyeline_codes::Cited;
use wyeline_job::model::{DeviceKind, Setting, System, Use};
use wyeline_network::model::{FixtureIx, NodeIx};
use wyeline_units::UnitSystem;

use crate::context::Context;
use crate::finding::At;
use crate::kind::Kind;
use crate::limits;
use crate::rule::{Rule, Said};
use crate::supply::Devices;

/// The rule.
pub static RULE: Rule = Rule {
    name: "hot-scald-shower",
    title: "A shower has a pressure-balanced or thermostatic valve that limits its temperature.",
    page: "Somebody flushes, the cold pressure drops, and the one in the shower is scalded: at 140 F in about five seconds.\n\n\
        Looked at is every shower with hot water. Its line says what its valve limits the water to (`limit 120 F`), which may be the code's limit \
        at most; or a `mixing-valve` sits in the hot pipe that feeds showers only.\n\n\
        A mixing valve at the heater, for all outlets, does not count: it neither balances pressures nor stands for the shower's own valve.",
    cite: |pack| limits::cite(pack, "scald-shower"),
    look: |context, said| judge(context, said, "scald-shower", |kind| kind == Kind::Shower),
};

/// Less than a thermometer shows, degrees Celsius.
const EVEN: f64 = 0.2;

/// Looks at fixtures of some kinds that hot water is led to.
pub fn judge(context: &Context, said: &mut Said, key: &str, of: fn(Kind) -> bool) {
    for ix in 0..context.network.fixtures.len() as u32 {
        let ix = FixtureIx(ix);
        if of(context.kind(ix)) {
            at(context, said, ix, key);
        }
    }
}

/// How hot the water may be: by the code's own table, else by the key.
fn most(context: &Context, ix: FixtureIx, key: &str) -> Option<Cited<f64>> {
    let by = match context.usage(ix) {
        Use::Private => wyeline_codes::Use::Private,
        Use::Public => wyeline_codes::Use::Public,
        Use::Assembly => wyeline_codes::Use::Assembly,
    };
    let own = context.pack.scald_limit(&context.fixture(ix).kind, by);
    let own = own.map(|limit| Cited {
        value: limit.value.hottest_c,
        cite: limit.cite,
    });
    own.ok().or_else(|| limits::limit(context.pack, key))
}

/// Looks at one fixture.
pub fn at(context: &Context, said: &mut Said, ix: FixtureIx, key: &str) {
    let fixture = context.fixture(ix);
    let Some(node) = context.port(ix, "hot") else {
        return;
    };
    if context.supply().feed[node.0 as usize].is_none() {
        return;
    }
    let Some(Cited { value: most, cite }) = most(context, ix, key) else {
        return;
    };
    said.cite = cite;
    said.looked();
    let tag = &fixture.tag;
    let limit = |celsius: f64| show(context, celsius);
    if let Some(told) = fixture.facts.limit {
        if told.celsius > most + EVEN {
            let message = format!(
                "the valve of {tag} lets out water of {}; {} is the most",
                limit(told.celsius),
                limit(most)
            );
            said.breaks(
                context,
                At::Fixture(ix),
                message,
                "set its limit stop lower",
            );
        }
        return;
    }
    let whole = if context.kind(ix) == Kind::Shower {
        "a balanced or thermostatic valve"
    } else {
        "a limiting valve"
    };
    let help = format!(
        "choose {whole} and say what it is set to: `fixture {tag} {} … limit {}`",
        fixture.kind,
        limit(most)
    );
    let Some(valve) = mixing_valve(context, node) else {
        let message = format!("nothing limits how hot the water at {tag} is: {whole} is not told");
        said.breaks(context, At::Fixture(ix), message, help);
        return;
    };
    let device = context.node(valve).device.as_ref();
    let set = match device.and_then(|device| device.setting) {
        Some(Setting::Temperature(set)) => Some(set.celsius),
        _ => None,
    };
    let span = context.span(At::Node(valve));
    if context.kind(ix) == Kind::Shower && !only_showers(context, valve) {
        let message = format!(
            "{tag} has only a mixing valve that other outlets share; a shower needs its own"
        );
        said.breaks(context, At::Fixture(ix), message, help)
            .note(span, "the mixing valve is here");
    } else if let Some(set) = set.filter(|set| *set > most + EVEN) {
        let message = format!(
            "the mixing valve before {tag} is set to {}; {} is the most",
            limit(set),
            limit(most)
        );
        let help = format!("set it to {} or less", limit(most));
        said.breaks(context, At::Fixture(ix), message, help)
            .note(span, "the mixing valve is here");
    }
}

fn show(context: &Context, celsius: f64) -> String {
    if UnitSystem::is_metric(context.network.units) {
        format!("{celsius:.0} C")
    } else {
        format!("{:.0} F", celsius * 1.8 + 32.0)
    }
}

/// The nearest mixing valve before a point.
fn mixing_valve(context: &Context, node: NodeIx) -> Option<NodeIx> {
    const MIXING: Devices = Devices::one(DeviceKind::MixingValve);
    if !context.supply().behind[node.0 as usize].any(MIXING) {
        return None;
    }
    let mut before = context.upstream(node).map(|pipe| context.pipe(pipe).from);
    before.find(|&node| context.device_at(node, MIXING))
}

/// Whether all that is fed from here are showers.
fn only_showers(context: &Context, from: NodeIx) -> bool {
    let mut open = vec![from];
    let mut left = context.network.pipes.len();
    while let Some(node) = open.pop() {
        let here = context.node(node);
        if let Some(fixture) = here.fixture
            && context.kind(fixture) != Kind::Shower
        {
            return false;
        }
        for &pipe in &here.pipes {
            let pipe = context.pipe(pipe);
            if pipe.from == node && pipe.system == System::Hot && left > 0 {
                left -= 1;
                open.push(pipe.to);
            }
        }
    }
    true
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(fact: &str, valve: &str) -> Tell {
        let body = format!(
            "fixture S shower main 10',0' faces north{fact}\nfixture W water-heater main 0',5' faces south\n\
             hot h\nstart W.hot\nsize 1/2\"\nup 1'\nsouth 3'\n{valve}end S.hot\n"
        );
        Tell::plain(&body, "hot-scald-shower")
    }

    #[test]
    fn nothing_is_told() {
        assert!(
            told("", "")
                .one()
                .message
                .starts_with("nothing limits how hot the water at S is")
        );
    }

    /// 120 F is the limit itself, 125 F too hot, 115 F below it.
    #[test]
    fn a_limit_stop() {
        assert!(
            told(" limit 125 F", "")
                .one()
                .message
                .contains("125 F; 120 F is the most")
        );
        told(" limit 120 F", "").silent();
        told(" limit 115 F", "").silent();
    }

    /// Exception: a mixing valve that feeds showers only; set too high it does not help.
    #[test]
    fn a_mixing_valve_for_showers() {
        told("", "mixing-valve set 110 F\nsouth 1'\n").silent();
        told("", "mixing-valve set 130 F\nsouth 1'\n").one();
    }

    /// One that feeds a lavatory as well is no shower valve.
    #[test]
    fn a_mixing_valve_for_all() {
        let body = "fixture S shower main 10',0' faces north\nfixture L lavatory main 16',0' faces north\nfixture W water-heater main 0',5' faces south\n\
             hot h\nstart W.hot\nsize 1/2\"\nup 1'\nsouth 3'\nmixing-valve set 110 F\neast to abreast S.hot\ncatch S\neast to abreast L.hot\nend L\n";
        assert!(
            Tell::plain(body, "hot-scald-shower")
                .one()
                .message
                .contains("other outlets share")
        );
    }

    /// A shower to which no hot water is led is not looked at.
    #[test]
    fn no_hot_water() {
        Tell::plain(
            "fixture S shower main 10',0' faces north\n",
            "hot-scald-shower",
        )
        .nowhere();
    }
}
