//! What pressure is left at each outlet is what it needs.
//!
//! IPC Table 604.3, UPC 608.1, EN 806-3 Table 2: the needs are the pack's, the rest is worked out by sizing.

use wyeline_network::model::FixtureIx;

use crate::context::Context;
use crate::figures::PSI;
use crate::finding::At;
use crate::limits;
use crate::rests::pressure_rests;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "water-pressure-low",
    title: "At every outlet the pressure that its fixture needs is left.",
    page: "The fixture that stands highest and farthest gets what is left when the meter, the devices, the height and the friction of every \
        pipe on the way have had their share. A shower valve that balances pressures needs more than a tap.\n\n\
        Measured is the pressure at the stub at the likely peak flow, against what the kind needs. The message says by how much it falls short \
        and whether larger pipe could mend it at all: what height takes, no pipe gives back.\n\n\
        Exactly what is needed is enough. Heaters and tanks hand water on and have no outlet. Not checked is a fixture to which no pressure could be followed, mostly because the job says none \
        (`supply pressure 55 psi`).",
    cite: |pack| limits::cite(pack, "residual"),
    look,
};

/// Less than what any gauge shows, Pa.
const EVEN: f64 = 0.5;

fn look(context: &Context, said: &mut Said) {
    for (ix, fixture) in context.network.fixtures.iter().enumerate() {
        // What only hands water on has no outlet.
        if matches!(&*fixture.kind, "water-heater" | "storage-tank") {
            continue;
        }
        let ix = FixtureIx(ix as u32);
        let Some(result) = context.sized.fixtures.get(ix.0 as usize) else {
            continue;
        };
        for (side, name) in ["cold", "hot"].into_iter().enumerate() {
            let Some(node) = context.port(ix, name) else {
                continue;
            };
            if context.supply().feed[node.0 as usize].is_none() {
                continue;
            }
            let (Some(left), Some(needs)) = (result.residual_pa[side], result.needs_pa) else {
                let why = if result.needs_pa.is_none() {
                    "the code does not say what pressure this kind needs"
                } else {
                    "no pressure can be followed to this outlet: the job does not say what there is, or the sizes on the way are not known"
                };
                said.unknown(At::Fixture(ix), why);
                continue;
            };
            said.looked();
            if left >= needs - EVEN {
                continue;
            }
            let tag = &fixture.tag;
            let message = format!(
                "{} left for {name} water at {tag} while others draw; it needs {}: {} short",
                context.pressure(left),
                context.pressure(needs),
                context.pressure(needs - left)
            );
            let friction: f64 = context
                .upstream(node)
                .filter_map(|pipe| context.result(pipe)?.water)
                .map(|water| water.loss_pa)
                .sum();
            let help = if left + friction < needs {
                "no larger pipe cures it: raise the pressure (a pump, another setting of the reducing valve) or choose a fixture that needs less".to_owned()
            } else {
                format!(
                    "{} are lost on the way: take larger pipe or a device that loses less",
                    context.pressure(friction)
                )
            };
            let finding = said.breaks(context, At::Fixture(ix), message, help);
            pressure_rests(context, finding, ix);
            if friction > PSI
                && let Some(worst) = worst_pipe(context, node)
            {
                let loss = context.result(worst).and_then(|result| result.water);
                let loss = context.pressure(loss.map_or(0.0, |water| water.loss_pa));
                finding.note(
                    context.span(At::Pipe(worst)),
                    format!("most is lost here: {loss}"),
                );
            }
        }
    }
}

/// The pipe before a node in which most pressure is lost.
fn worst_pipe(
    context: &Context,
    node: wyeline_network::model::NodeIx,
) -> Option<wyeline_network::model::PipeIx> {
    let loss = |pipe| {
        context
            .result(pipe)
            .and_then(|result| result.water)
            .map_or(0.0, |water| water.loss_pa)
    };
    context
        .upstream(node)
        .max_by(|&a, &b| loss(a).total_cmp(&loss(b)))
}

#[cfg(test)]
mod tests {
    use wyeline_sizing::WaterResult;

    use crate::figures::PSI;
    use crate::tell::Tell;

    fn told(left: Option<f64>, needs: Option<f64>, lost: f64) -> Tell {
        let body = "fixture L lavatory main 10',0' faces north\n\
             cold c\nstart 0',-3\" main floor +21\"\nsize 1/2\"\neast to abreast L.cold\nend L\n";
        Tell::of(body, "water-pressure-low", move |_, sized| {
            sized.fixtures[0].residual_pa[0] = left.map(|psi| psi * PSI);
            sized.fixtures[0].needs_pa = needs.map(|psi| psi * PSI);
            sized.pipes[0].water = Some(WaterResult {
                loss_pa: lost * PSI,
                ..WaterResult::default()
            });
        })
    }

    /// 6.5 psi left of 8 psi needed is 1.5 psi short; where 5 psi are lost on the way larger pipe mends it.
    #[test]
    fn short_by_a_psi_and_a_half() {
        let told = told(Some(6.5), Some(8.0), 5.0);
        let found = told.one();
        assert!(
            found.message.ends_with("1.5 psi short"),
            "{}",
            found.message
        );
        assert!(
            found.help.contains("larger pipe or a device"),
            "{}",
            found.help
        );
        assert_eq!(found.notes.len(), 1);
    }

    /// Where only 1 psi is lost on the way to a shortage of 1.5 psi, no pipe mends it.
    #[test]
    fn no_pipe_mends_it() {
        let told = told(Some(6.5), Some(8.0), 1.0);
        assert!(
            told.one().help.contains("no larger pipe"),
            "{}",
            told.one().help
        );
    }

    #[test]
    fn just_enough_and_more() {
        told(Some(8.0), Some(8.0), 1.0).silent();
        told(Some(8.1), Some(8.0), 1.0).silent();
    }

    #[test]
    fn what_is_not_known() {
        told(None, Some(8.0), 0.0).unknown("no pressure can be followed");
        told(Some(8.0), None, 0.0).unknown("what pressure this kind needs");
    }

    /// A heater has no outlet of its own: it is neither a finding nor left unchecked.
    #[test]
    fn a_heater_hands_water_on() {
        let body = "fixture W water-heater main 10',5' faces south\n\
             cold c\nstart 0',0' main floor +5'\nsize 3/4\"\neast to abreast W.cold\nend W.cold\n";
        Tell::plain(body, "water-pressure-low").nowhere();
    }
}
