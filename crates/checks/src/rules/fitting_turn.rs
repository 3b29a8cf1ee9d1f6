//! Quarter turns that a short bend or tee may not make.
//!
//! IPC 706.3 and its table, UPC 706, EN 12056-2, Canada 2.2.4.3.

use wyeline_codes::{Allowed, Change};
use wyeline_job::model::System;

use crate::context::{Context, is_level, smaller};
use crate::finding::At;
use crate::keys;
use crate::measure::turn;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "fitting-turn",
    title: "Turns from plumb to level, and from level to level, are made with long fittings.",
    page: "A short quarter bend stops solids where the flow loses its fall.\n\n\
        Turns of more than 60 degrees into a level drain are counted, where a short quarter bend may not make them: on anything but a fixture drain up to the \
        size that the table names.\n\n\
        A job does not tell which fitting is used, so nothing is a finding here: the turns are listed as not checked, with what may make them: a long \
        sweep, two eighth bends, a wye with an eighth bend.",
    cite: |pack| {
        let asked = pack.fitting_allowed("quarter-bend", Change::HorizontalToHorizontal);
        asked
            .ok()
            .map(|allowed| allowed.cite)
            .or_else(|| keys::section(pack, "fitting-turn"))
    },
    look,
};

/// Turns above this need more than a sixth bend, degrees (a sixth bend turns by 60).
const SIXTH_BEND: f64 = 60.0;

fn look(context: &Context, said: &mut Said) {
    let allowed = |change| {
        context
            .pack
            .fitting_allowed("quarter-bend", change)
            .map(|cited| cited.value)
    };
    let to_level = [
        allowed(Change::VerticalToHorizontal),
        allowed(Change::HorizontalToHorizontal),
    ];
    let mut count = 0_u32;
    for (into, pipe) in context.pipes_of(System::Waste) {
        let Some(next) = context
            .down(pipe.to)
            .filter(|&next| is_level(context.pipe(next)))
        else {
            continue;
        };
        if turn(context, into, next) <= SIXTH_BEND + 1.0 {
            continue;
        }
        let of_fixture = context.index.upstream[into.0 as usize].fixtures <= 1;
        let short = match &to_level[usize::from(is_level(pipe))] {
            Ok(Allowed::Yes) => true,
            Ok(Allowed::FixtureDrains { up_to, or_from }) => {
                context.size(into).is_some_and(|size| {
                    (of_fixture && !smaller(*up_to, size))
                        || or_from.is_some_and(|from| !smaller(size, from))
                })
            }
            Ok(Allowed::No) | Err(_) => false,
        };
        if !short {
            count += 1;
        }
    }
    if count > 0 {
        let turns = if count == 1 { "turn" } else { "turns" };
        said.unknown(
            At::Job,
            format!("which fitting makes {count} quarter {turns} into a level drain is not told: a long sweep, two eighth bends, or a wye with an eighth bend, no short bend or tee"),
        );
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, unchecked};

    fn drain(size: &str) -> String {
        format!(
            "fixture A floor-drain main 9',9' faces south\n\
             waste d\nstart 0',0' main floor -3'\nsize {size}\neast 5'\nnorth to abreast A.drain\neast to abreast A.drain\nend A\n"
        )
    }

    /// IPC Table 706.3: a quarter bend from level to level on fixture drains of 2 in only. Two turns at 3 in, and a third where
    /// the trap, which hangs right over the end of the drain, comes down into it.
    #[test]
    fn larger_than_two_inch() {
        assert!(fires(&drain("3\""), "fitting-turn").is_empty());
        let open = unchecked(&drain("3\""), "fitting-turn");
        assert_eq!(open.len(), 1, "{open:#?}");
        assert!(open[0].why.contains("3 quarter turns"), "{}", open[0].why);
    }

    /// A fixture drain of 2 in may turn with a short bend.
    #[test]
    fn a_fixture_drain_of_two_inch() {
        assert!(unchecked(&drain("2\""), "fitting-turn").is_empty());
    }
}
