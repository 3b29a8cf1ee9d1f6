//! Water does not run faster in a pipe than its material stands.
//!
//! UPC 610.12 for copper, EN 806-3 4.4, pipe makers' limits elsewhere: the values are the pack's.

use wyeline_job::model::System;
use wyeline_sizing::Role;

use crate::context::Context;
use crate::finding::At;
use crate::limits;
use crate::rests::rests;
use crate::rule::{Rule, Said};
use crate::undersized::is_too_small;

/// The rule.
pub static RULE: Rule = Rule {
    name: "water-too-fast",
    title: "Water does not run faster than its pipe stands.",
    page: "Fast water is heard in the walls, hammers when a valve shuts, and wears copper away at the bends, hot water sooner than cold.\n\n\
        Measured is the velocity at the likely peak flow in the bore of the stated pipe, against the limit for its material, cold or hot; it is \
        said once for each stretch of one size.\n\n\
        Exactly the limit is allowed. A stated pipe that is smaller than its flow, its pressure or the code's table asks for is told of by \
        `water-pipe-undersized`, and not here again. Not checked is a pipe whose flow, bore or material is not known, or whose material the code's table \
        does not hold.",
    cite: |pack| limits::cite(pack, "velocity"),
    look,
};

/// Rounding of a velocity that is printed to a tenth of a foot, m/s.
const EVEN: f64 = 1e-6;

fn look(context: &Context, said: &mut Said) {
    for system in [System::Cold, System::Hot, System::HotReturn] {
        let hot = system != System::Cold;
        for (ix, pipe) in context.pipes_of(system) {
            let Some(water) = context.result(ix).and_then(|result| result.water) else {
                said.unknown(At::Pipe(ix), "flow or bore of this water pipe is not known");
                continue;
            };
            let Some(material) = pipe.material.as_deref() else {
                said.unknown(
                    At::Pipe(ix),
                    "the material of this water pipe is not stated",
                );
                continue;
            };
            let single = context.role(ix) == Role::FixtureSupply;
            let Ok(limit) = context.pack.velocity_limit(material, hot, single) else {
                said.unknown(
                    At::Pipe(ix),
                    "the code states no velocity for this material",
                );
                continue;
            };
            said.looked();
            // Of a pipe that is too small altogether, velocity among other things, `water-pipe-undersized` tells.
            if water.velocity <= limit.value + EVEN || is_too_small(context, ix) {
                continue;
            }
            // Said once for each stretch of one size: where it begins.
            let before = context.supply().feed[pipe.from.0 as usize].filter(|&before| {
                let told = context.pipe(before);
                told.run == pipe.run && told.size == pipe.size && told.material == pipe.material
            });
            let before = before.filter(|&before| !is_too_small(context, before));
            let before = before.and_then(|before| context.result(before)?.water);
            if before.is_some_and(|water| water.velocity > limit.value + EVEN) {
                continue;
            }
            let name = context.run(ix);
            let size = context
                .size(ix)
                .map_or_else(String::new, |size| format!("{size} "));
            let message = format!(
                "water runs {} in {size}{material} of {name}; {} is the most for {} water",
                context.speed(water.velocity),
                context.speed(limit.value),
                if hot { "hot" } else { "cold" }
            );
            // The same flow in a bore larger by the root of the ratio is as slow as it has to be.
            let more = (water.velocity / limit.value).sqrt();
            let help = match pipe.bore_mm {
                Some(bore) => format!(
                    "take a size with a bore of {} or more",
                    context.show(bore * more)
                ),
                None => "take the next larger size".to_owned(),
            };
            let finding = said.breaks(context, At::Pipe(ix), message, help);
            finding.by(&limit.cite);
            rests(context, finding, ix);
        }
    }
}

#[cfg(test)]
mod tests {
    use wyeline_sizing::WaterResult;

    use crate::tell::{Tell, inch};

    fn at(velocity: Option<f64>, material: &str) -> Tell {
        let body = format!(
            "fixture L lavatory main 10',0' faces north\n\
             cold c\nstart 0',-3\" main floor +21\"\nsize 1/2\"\n{material}east to abreast L.cold\nend L\n"
        );
        let body = body.as_str();
        Tell::whole(
            "upc-2021",
            &format!("{}{body}", crate::tell::HEAD),
            "water-too-fast",
            move |_, sized| {
                for pipe in &mut sized.pipes {
                    pipe.water = velocity.map(|velocity| WaterResult {
                        velocity,
                        ..WaterResult::default()
                    });
                }
            },
        )
    }

    /// UPC 610.12: cold copper 8 ft/s, that is 2.4384 m/s. Just over, exactly, just under.
    #[test]
    fn cold_copper() {
        let told = at(Some(2.45), "material copper\n");
        assert!(!told.said.findings.is_empty());
        assert!(
            told.said.findings[0]
                .message
                .contains("8.0 ft/s is the most for cold water")
        );
        at(Some(2.4384), "material copper\n").silent();
        at(Some(2.43), "material copper\n").silent();
    }

    /// A stated pipe that is too small altogether is another rule's: 1/2 in where 3/4 in is needed.
    #[test]
    fn too_small_is_told_once() {
        let body = "fixture L lavatory main 10',0' faces north\n\
             cold c\nstart 0',-3\" main floor +21\"\nsize 1/2\"\nmaterial copper\neast to abreast L.cold\nend L\n";
        let told = |needed: u16| {
            Tell::of(body, "water-too-fast", move |_, sized| {
                for pipe in &mut sized.pipes {
                    pipe.water = Some(WaterResult {
                        velocity: 9.0,
                        ..WaterResult::default()
                    });
                    (pipe.size, pipe.needed) = (Some(inch(4)), Some(inch(needed)));
                    pipe.stated = true;
                }
            })
        };
        told(6).silent();
        assert_eq!(told(4).said.findings.len(), 1);
    }

    /// Without a material, or without a flow, nothing is judged.
    #[test]
    fn what_is_not_known() {
        at(Some(9.0), "").unknown("material");
        at(None, "material copper\n").unknown("flow or bore");
    }
}
