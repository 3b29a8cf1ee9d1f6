//! How many water closets a small drain may carry.
//!
//! UPC Table 703.2, notes.

use wyeline_codes::Way;
use wyeline_job::model::System;
use wyeline_units::Size;

use crate::context::{Context, is_level};
use crate::finding::At;
use crate::keys::BySize;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "drain-closet-count",
    title: "A small drain carries no more water closets than the code allows, whatever its load.",
    page: "A closet empties in seconds. Several at once fill a 3 in pipe, though the sum of their units is within the table.\n\n\
        The closets upstream of each piece of drain are counted and compared with what the code allows for its size: one number for level pipe, another \
        for plumb.\n\n\
        Codes that limit closets by their load alone have no such rule. A local amendment may allow one more in an alteration.",
    cite: |pack| {
        let sizes = [Size::Inch { eighths: 24 }, Size::Dn(75)];
        sizes.into_iter().find_map(|size| {
            pack.closet_limit(size, Way::Horizontal)
                .ok()
                .map(|limit| limit.cite)
        })
    },
    look,
};

fn look(context: &Context, said: &mut Said) {
    let (mut level, mut plumb) = (BySize::default(), BySize::default());
    for (ix, pipe) in context.pipes_of(System::Waste) {
        let closets = context.index.upstream[ix.0 as usize].closets;
        let Some(size) = context.size(ix).filter(|_| closets > 0) else {
            continue;
        };
        let flat = is_level(pipe);
        let limit = if flat {
            level.get(size, |size| {
                context.pack.closet_limit(size, Way::Horizontal).ok()
            })
        } else {
            plumb.get(size, |size| {
                context.pack.closet_limit(size, Way::Vertical).ok()
            })
        };
        let Some(limit) = limit else {
            continue;
        };
        said.looked();
        if closets <= limit.value {
            continue;
        }
        // Said once, where the count is passed: not again for each piece downstream with the same closets.
        let passed = context.drains_into(pipe.from).any(|into| {
            context.index.upstream[into.0 as usize].closets == closets
                && is_level(context.pipe(into)) == flat
                && context.size(into) == Some(size)
        });
        if passed {
            continue;
        }
        let way = if flat { "level" } else { "plumb" };
        let message = format!(
            "{closets} water closets drain through {size} {}; a {way} {size} drain may carry {}",
            context.run(ix),
            limit.value
        );
        said.breaks(
            context,
            At::Pipe(ix),
            message,
            "make it one size larger from here to the sewer",
        )
        .by(&limit.cite);
    }
}

#[cfg(test)]
mod tests {
    use std::fmt::Write;

    use crate::testing::{fires_upc, said_by};

    /// So many closets on a level 3 in drain.
    fn row(closets: u32, size: &str) -> String {
        let mut body = String::new();
        for n in 0..closets {
            let _ = writeln!(
                body,
                "fixture W{n} water-closet main {}',2' faces south",
                4 + 3 * n
            );
        }
        let _ = writeln!(body, "waste d\nstart 0',0' main floor -3'\nsize {size}");
        for n in 0..closets {
            let word = if n + 1 == closets { "end" } else { "catch" };
            let _ = writeln!(body, "east to abreast W{n}.drain\n{word} W{n}");
        }
        body
    }

    /// UPC Table 703.2: three on a level 3 in drain.
    #[test]
    fn three_on_three_inch() {
        let said = said_by("upc-2021", &row(3, "3\""), "drain-closet-count");
        assert!(said.findings.is_empty() && said.places > 0, "{said:#?}");
        let found = fires_upc(&row(4, "3\""), "drain-closet-count");
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(
            found[0]
                .message
                .starts_with("4 water closets drain through 3\""),
            "{}",
            found[0].message
        );
        assert!(fires_upc(&row(4, "4\""), "drain-closet-count").is_empty());
    }

    /// Four on a plumb 3 in drain: here they come in by two branches of two.
    #[test]
    fn four_on_a_stack() {
        let body = |extra: &str| {
            format!(
                "fixture A water-closet upper 2',2' faces south\nfixture B water-closet upper 5',2' faces south\n\
                 fixture C water-closet main 2',2' faces south\nfixture D water-closet main 5',2' faces south\n{extra}\
                 waste s\nstart -9',0' cellar floor -1'\nsize 4\"\neast to abreast 0',0'\nsize 3\"\nup to main floor -1'\npoint P\nup to upper floor -1'\npoint Q\nup 2'\npoint TOP\n\
                 waste b\nstart P\nsize 3\"\neast to abreast C.drain\ncatch C\neast to abreast D.drain\nend D\n\
                 waste a\nstart Q\nsize 3\"\neast to abreast A.drain\ncatch A\neast to abreast B.drain\nend B\n\
                 vent t\nstart TOP\nsize 3\"\nup through roof\n"
            )
        };
        assert!(fires_upc(&body(""), "drain-closet-count").is_empty());
        let five = body("fixture E water-closet main 8',2' faces south\n").replace(
            "catch C\neast to abreast D.drain\nend D",
            "catch C\neast to abreast D.drain\ncatch D\neast to abreast E.drain\nend E",
        );
        let found = fires_upc(&five, "drain-closet-count");
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(
            found[0].message.starts_with("5 water closets"),
            "{}",
            found[0].message
        );
    }
}
