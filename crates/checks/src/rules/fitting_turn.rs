//! Fittings that the job names where the code does not let them turn the flow.
//!
//! IPC 706.3 and its table, UPC 706, EN 12056-2, Canada 2.2.4.3.

use wyeline_codes::{Allowed, Change};
use wyeline_network::model::{NodeIx, PipeIx};

use crate::context::{Context, is_level, smaller};
use crate::finding::At;
use crate::keys;
use crate::measure::turn;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "fitting-turn",
    title: "Turns from plumb to level, and from level to level, are made with long fittings.",
    page: "A short quarter bend, or a tee, stops solids where the flow loses its fall.\n\n\
        Looked at is each point of a drain where the job names the fitting (`fitting quarter-bend`): the change of direction it makes there, the size, and \
        whether one fixture alone drains through it, against the code's table.\n\n\
        Where the job names none, nothing is a finding: `wyeline materials` names a fitting that the code allows, and says so where none is made.",
    cite: |pack| {
        let asked = pack.fitting_allowed("quarter-bend", Change::HorizontalToHorizontal);
        asked
            .ok()
            .map(|allowed| allowed.cite)
            .or_else(|| keys::section(pack, "fitting-turn"))
    },
    look,
};

/// Less than this is no turn, degrees: the fall of a drain is 1 or 2.
const STRAIGHT: f64 = 5.0;

fn look(context: &Context, said: &mut Said) {
    for (ix, node) in context.network.nodes.iter().enumerate() {
        let Some(named) = node.fitting.first() else {
            continue;
        };
        let here = NodeIx(ix as u32);
        let Some(out) = context.down(here) else {
            continue;
        };
        said.looked();
        let into = node.pipes.iter().copied().filter(|&pipe| {
            let pipe = context.pipe(pipe);
            pipe.to == here && pipe.system.drains()
        });
        let wrong = into
            .filter(|&pipe| turn(context, pipe, out) > STRAIGHT)
            .find_map(|pipe| refused(context, named, pipe, out));
        if let Some((change, limit)) = wrong {
            said.breaks(
                context,
                At::Node(here),
                format!("a {} turns waste from {change} here{limit}", named.replace('-', " ")),
                "name a long sweep, two eighth bends, or a wye with an eighth bend; or leave the choice to `wyeline materials`",
            );
        }
    }
}

/// The change of direction that the code does not let a fitting make between two drains, and up to which size it does;
/// nothing where it does, or where the code's table does not know the fitting.
fn refused(context: &Context, named: &str, into: PipeIx, out: PipeIx) -> Option<(Change, String)> {
    let change = match (is_level(context.pipe(into)), is_level(context.pipe(out))) {
        (true, false) => Change::HorizontalToVertical,
        (false, true) => Change::VerticalToHorizontal,
        (true, true) => Change::HorizontalToHorizontal,
        (false, false) => return None,
    };
    match context.pack.fitting_allowed(named, change).ok()?.value {
        Allowed::Yes => None,
        Allowed::No => Some((change, String::new())),
        Allowed::FixtureDrains { up_to, or_from } => {
            let of_fixture = context.index.upstream[into.0 as usize].fixtures <= 1;
            let size = context.size(into)?;
            let may = (of_fixture && !smaller(up_to, size))
                || or_from.is_some_and(|from| !smaller(size, from));
            (!may).then(|| (change, format!("; it may on fixture drains up to {up_to}")))
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, unchecked};

    fn drain(size: &str, fitting: &str) -> String {
        format!(
            "fixture A floor-drain main 9',9' faces south\n\
             waste d\nstart 0',0' main floor -3'\nsize {size}\neast 5'\n{fitting}\nnorth to abreast A.drain\neast to abreast A.drain\nend A\n"
        )
    }

    /// IPC Table 706.3: a quarter bend from level to level on fixture drains of 2 in only.
    #[test]
    fn larger_than_two_inch() {
        let found = fires(&drain("3\"", "fitting quarter-bend"), "fitting-turn");
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(
            found[0].message.contains("up to 2\""),
            "{}",
            found[0].message
        );
    }

    /// A fixture drain of 2 in, exactly on the limit, may turn with a short bend.
    #[test]
    fn a_fixture_drain_of_two_inch() {
        assert!(fires(&drain("2\"", "fitting quarter-bend"), "fitting-turn").is_empty());
    }

    /// Long sweeps and pairs of eighth bends may turn any drain.
    #[test]
    fn long_fittings() {
        for named in ["long-sweep", "eighth-bend eighth-bend"] {
            let job = drain("3\"", &format!("fitting {named}"));
            assert!(fires(&job, "fitting-turn").is_empty(), "{named}");
        }
    }

    /// Where the job names none there is nothing to find, and nothing left unchecked: what is named for it is lawful.
    #[test]
    fn nothing_named() {
        assert!(fires(&drain("3\"", ""), "fitting-turn").is_empty());
        assert!(unchecked(&drain("3\"", ""), "fitting-turn").is_empty());
    }
}
