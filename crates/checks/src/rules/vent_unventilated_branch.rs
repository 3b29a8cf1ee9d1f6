//! How long an unventilated branch may be, and how far it may drop.
//!
//! EN 12056-2 Table 5.

use crate::context::{ALIKE, Context, is_level};
use crate::finding::At;
use crate::measure::Way;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-unventilated-branch",
    title: "A branch without a vent of its own is short, straight and drops little.",
    page: "EN 12056-2 lets a branch run to a ventilated stack without a vent, as long as it is short: beyond that the water at its end pulls the traps.\n\n\
        Measured is the way from each trap to the stack (or to the first vent): its length, how far it drops in plumb pieces, and its bends of 90 degrees, \
        the one at the appliance not counted. The system in force decides the limits.\n\n\
        A trap with a vent at its own drain is not looked at. Branches of closets count like others.",
    cite: |pack| pack.branch_limits(false).ok().map(|limits| limits.cite),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Ok(limits) = context.pack.branch_limits(false) else {
        return;
    };
    for arm in &context.arms {
        if arm.vent.is_some_and(|vent| vent.at == vent.from) {
            continue;
        }
        let at = At::Fixture(arm.fixture);
        let to_stack = context
            .downstream(arm.trap)
            .find(|pipe| context.index.stack_of[pipe.0 as usize].is_some());
        let Some(stack) = to_stack else {
            said.unknown(at, "its drain reaches no stack in the drawing");
            continue;
        };
        said.looked();
        let end = context.pipe(stack).from;
        let way = Way::between(context, arm.trap, end);
        let tag = context.tag(arm.fixture);
        if way.length > limits.value.length_mm + ALIKE {
            let message = format!(
                "the branch of {tag} is {} long to the stack without a vent; {} is the most",
                context.show(way.length),
                context.show(limits.value.length_mm)
            );
            said.breaks(
                context,
                at,
                message,
                "ventilate the branch, or bring the stack nearer",
            );
        }
        let drop = plumb_drop(context, arm.trap, end);
        if drop > limits.value.drop_mm + ALIKE {
            let message = format!(
                "the branch of {tag} drops {} to the stack without a vent; {} is the most",
                context.show(drop),
                context.show(limits.value.drop_mm)
            );
            said.breaks(
                context,
                at,
                message,
                "ventilate the branch, or bring it in higher on the stack",
            );
        }
        if let Some(most) = limits.value.bends {
            let bends = bends(context, arm.trap, end);
            // The bend at the appliance is not counted.
            if bends.saturating_sub(1) > most {
                let message = format!(
                    "the branch of {tag} has {} bends of 90 degrees after the first, without a vent; {most} are the most",
                    bends - 1
                );
                said.breaks(
                    context,
                    at,
                    message,
                    "straighten the branch, use pairs of 45 degree bends, or ventilate it",
                );
            }
        }
    }
}

fn plumb_drop(
    context: &Context,
    from: wyeline_network::model::NodeIx,
    to: wyeline_network::model::NodeIx,
) -> f64 {
    let mut drop = 0.0;
    for pipe in context.downstream(from) {
        let told = context.pipe(pipe);
        if told.from == to {
            break;
        }
        if !is_level(told) {
            drop += told.fall_mm;
        }
    }
    drop
}

fn bends(
    context: &Context,
    from: wyeline_network::model::NodeIx,
    to: wyeline_network::model::NodeIx,
) -> u32 {
    let mut count = 0;
    let mut before = None;
    for pipe in context.downstream(from) {
        if context.pipe(pipe).from == to {
            break;
        }
        if before.is_some_and(|before| crate::measure::turn(context, before, pipe) > 67.5) {
            count += 1;
        }
        before = Some(pipe);
    }
    count
}

#[cfg(test)]
mod tests {
    use crate::testing::said_by;

    /// A floor gully at the end of a level branch of such a length, on a stack that goes on through the roof. Its trap hangs at the
    /// height of the branch, north of it by nothing.
    fn branch(mm: u32) -> Vec<String> {
        let body = format!(
            "fixture F floor-drain main {mm}mm,0mm faces east\nfixture C water-closet upper 2m,500mm faces south\n\
             waste s\nstart 0m,0m main floor -1000mm\nsize DN100\nslope 1:50\nup to main floor -400mm\npoint P\nup to upper floor -200mm\npoint Q\nup 1m\npoint TOP\n\
             waste b\nstart P\nsize DN50\nslope 1:50\neast to abreast F.drain\nend F\n\
             waste c\nstart Q\nsize DN100\neast to abreast C.drain\nend C\n\
             vent v\nstart TOP\nsize DN100\nup through roof\n"
        );
        let said = said_by("en-12056", &body, "vent-unventilated-branch");
        assert!(said.places >= 1, "{said:#?}");
        let of_gully = said
            .findings
            .into_iter()
            .filter(|f| f.message.contains("of F"));
        of_gully.map(|finding| finding.message).collect()
    }

    /// EN 12056-2 Table 5, system I: 4.0 m.
    #[test]
    fn longer_than_four_metres() {
        let found = branch(5000);
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(
            found[0].contains("13'-1 1/2\""),
            "4 m are 13 ft 1-1/2 in: {found:#?}"
        );
    }

    /// Where the trap hangs in the riser over the end of the branch, the riser counts as well.
    #[test]
    fn shorter_than_four_metres() {
        assert!(branch(3500).is_empty());
    }
}
