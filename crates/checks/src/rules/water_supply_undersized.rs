//! The pipe to a fixture has at least the size that the code's table asks for its kind.
//!
//! IPC Table 604.5, UPC Table 610.3, Canada Table 2.6.3.2.A: the values are the pack's.

use wyeline_network::model::FixtureIx;

use crate::context::{Context, smaller};
use crate::finding::At;
use crate::limits;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "water-supply-undersized",
    title: "The last pipe to a fixture has at least the size of the code's table.",
    page: "However little a fixture draws on average, while it is open it needs its whole flow: a closet on too small a pipe fills \
        slowly, a shower starves.\n\n\
        Measured is the nominal size of the pipe that ends at the fixture's cold or hot stub, against the least supply for its kind. \
        A flushometer is a kind of its own.\n\n\
        The flexible connector behind the stop is not meant; it is not part of the drawing. Not checked is a pipe whose size is neither \
        stated nor found, and a kind that the table does not hold.",
    cite: |pack| limits::cite(pack, "fixture-supply"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    for (ix, fixture) in context.network.fixtures.iter().enumerate() {
        let ix = FixtureIx(ix as u32);
        let ends = ["cold", "hot"].map(|name| {
            let node = context.port(ix, name)?;
            context.supply().feed[node.0 as usize]
        });
        if fixture.centred || ends == [None, None] {
            continue;
        }
        let Ok(least) = least(context, ix) else {
            said.unknown(
                At::Fixture(ix),
                "the code's table of supply pipes does not hold this kind",
            );
            continue;
        };
        for (pipe, name) in ends.into_iter().zip(["cold", "hot"]) {
            let Some(pipe) = pipe else { continue };
            let Some(size) = context.size(pipe) else {
                said.unknown(At::Pipe(pipe), "the size of this pipe is not known");
                continue;
            };
            said.looked();
            if !smaller(size, least.value) {
                continue;
            }
            let (tag, value) = (&fixture.tag, least.value);
            let message = format!("the {name} pipe to {tag} is {size}; its kind needs {value}");
            let help = format!("lay {value} from the branch to {tag}");
            let span = context.span(At::Fixture(ix));
            said.breaks(context, At::Pipe(pipe), message, help)
                .by(&least.cite)
                .note(span, "the fixture is told here");
        }
    }
}

fn least(
    context: &Context,
    ix: FixtureIx,
) -> Result<wyeline_codes::Cited<wyeline_units::Size>, wyeline_codes::NoValue> {
    let fixture = context.fixture(ix);
    let variant = if fixture.facts.flushometer {
        "flushometer"
    } else {
        ""
    };
    context.pack.least_supply_of(&fixture.kind, variant)
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn supply(kind: &str, size: &str) -> Tell {
        let body = format!(
            "fixture F {kind} main 10',0' faces north\n\
             cold c\nstart 0',-3\" main floor +21\"\nsize {size}\neast to abreast F.cold\nend F\n"
        );
        Tell::plain(&body, "water-supply-undersized")
    }

    /// IPC Table 604.5: a kitchen sink needs 1/2 in; 3/8 is too small, 1/2 is the limit itself, 3/4 is more.
    #[test]
    fn kitchen_sink() {
        let told = supply("kitchen-sink", "3/8\"");
        assert!(
            told.one()
                .message
                .contains("is 3/8\"; its kind needs 1/2\""),
            "{}",
            told.one().message
        );
        supply("kitchen-sink", "1/2\"").silent();
        supply("kitchen-sink", "3/4\"").silent();
    }

    /// The same table: 3/8 in for a lavatory.
    #[test]
    fn lavatory() {
        supply("lavatory", "3/8\"").silent();
        supply("lavatory", "1/4\"").one();
    }

    /// A pipe without a size that sizing has found none for either.
    #[test]
    fn size_not_known() {
        let body = "fixture F lavatory main 10',0' faces north\n\
             cold c\nstart 0',-3\" main floor +21\"\neast to abreast F.cold\nend F\n";
        Tell::plain(body, "water-supply-undersized").unknown("size of this pipe is not known");
    }
}
