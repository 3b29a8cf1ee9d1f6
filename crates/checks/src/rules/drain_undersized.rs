//! A stated drain is at least as large as the code asks for its load.
//!
//! IPC 710, UPC 703, EN 12056-2 clause 6, Canada 2.4.10: worked out by sizing, which cites the line of the table.

use wyeline_codes::{Cite, Pack};
use wyeline_job::model::System;
use wyeline_sizing::model::measure;
use wyeline_sizing::{Governs, PipeResult};
use wyeline_units::Size;

use crate::context::{Context, smaller};
use crate::finding::At;
use crate::rests::rests;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "drain-undersized",
    title: "A stated drain is large enough for what it carries.",
    page: "A drain that is too small runs full when several fixtures empty at once, and sucks or blows the traps near it.\n\n\
        The loads of the fixtures are summed downstream and each piece is sized by the table for what it is: fixture drain, branch, stack, \
        building drain or sewer. A stated size that is smaller than the least is a finding, with the line of the table that governs. \
        `wyeline size` shows the whole derivation.\n\n\
        That a wet vent is too small is told by `vent-wet-load`, that too many closets drain through it by `drain-closet-count`. A pipe without a stated size is given the least the code allows and cannot break this rule. Not checked is a pipe for which no \
        least size could be worked out. Existing pipe into which nothing new flows is reported apart.",
    cite: table,
    look,
};

/// Where a code sizes drains.
pub fn table(pack: &Pack) -> Option<Cite> {
    let allows = |size| pack.branch_allows(size, None).ok().map(|row| row.cite);
    allows(Size::Inch { eighths: 16 })
        .or_else(|| allows(Size::Dn(75)))
        .or_else(|| pack.system().ok().map(|system| system.cite))
}

fn look(context: &Context, said: &mut Said) {
    for (ix, pipe) in context.pipes_of(System::Waste) {
        let Some(result) = context.result(ix).filter(|result| result.stated) else {
            continue;
        };
        let (Some(needed), Some(size)) = (result.needed, result.size) else {
            said.unknown(
                At::Pipe(ix),
                "no least size could be worked out for this drain",
            );
            continue;
        };
        said.looked();
        if !smaller(size, needed) {
            continue;
        }
        let name = context.run(ix);
        if of_wet_vent(&result.governs) || one_closet_count_off(context, size, result) {
            continue;
        }
        let (why, cite) = reason(context, &result.governs, needed);
        let message = format!("{name} is {size} and has to be {needed}: {why}");
        let help =
            format!("lay {needed} from here down to the sewer, or lead part of the load elsewhere");
        let next = context.down(pipe.to);
        // Said once for each stretch: at its downstream end.
        let goes_on = next.is_some_and(|next| {
            context.result(next).is_some_and(|other| {
                other.stated && other.size == Some(size) && other.needed == Some(needed)
            }) && context.pipe(next).run == pipe.run
        });
        if goes_on {
            continue;
        }
        let finding = said.breaks(context, At::Pipe(ix), message, help);
        if let Some(cite) = cite {
            finding.by(cite);
        }
        rests(context, finding, ix);
    }
}

/// Whether it is as a wet vent that a drain has to be so large: `vent-wet-load` tells of that.
fn of_wet_vent(governs: &Governs) -> bool {
    matches!(governs, Governs::Table { unit, .. } if *unit == measure::WET_VENT)
}

/// Whether the count of closets asks for one size more than is stated: `drain-closet-count` tells of that.
fn one_closet_count_off(context: &Context, size: Size, result: &PipeResult) -> bool {
    matches!(&result.governs, Governs::Table { unit, .. } if *unit == measure::CLOSETS)
        && context.pack.next_size(size) == result.needed
}

/// What decided the least size, in words, with where it stands.
pub fn reason<'a>(
    context: &'a Context,
    governs: &'a Governs,
    needed: Size,
) -> (String, Option<&'a Cite>) {
    match governs {
        Governs::Table {
            cite,
            allows,
            carries,
            unit: measure::CLOSETS,
        } => (
            format!(
                "{} closets drain through it; the next smaller size may carry {}",
                round(*carries),
                round(*allows)
            ),
            Some(cite),
        ),
        Governs::Table {
            cite,
            allows,
            carries,
            unit: measure::LEVEL_VENT,
        } => (
            format!(
                "{} of it lie level; the next smaller size may have {}",
                context.show(*carries),
                context.show(*allows)
            ),
            Some(cite),
        ),
        Governs::Table {
            cite,
            allows,
            carries,
            unit,
        } => (
            format!(
                "it carries {} {unit}; {needed} is the least that may, up to {}",
                round(*carries),
                round(*allows)
            ),
            Some(cite),
        ),
        Governs::Least { cite, why } => ((*why).to_owned(), Some(cite)),
        Governs::Upstream { pipe, cite } => (
            format!("{} upstream of it is larger", context.run(*pipe)),
            Some(cite),
        ),
        _ => ("what lies upstream asks for it".to_owned(), None),
    }
}

/// A number without idle decimals.
pub fn round(number: f64) -> String {
    let text = format!("{number:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use std::fmt::Write;

    use super::round;
    use crate::testing::{fires, fires_upc, silent};

    /// Lavatories of 1 dfu on a 1-1/2 in branch to a stack: IPC Table 710.1(2) allows 3 dfu, so three are just right and a fourth is too many.
    fn lavatories(count: u32, size: &str) -> String {
        let mut body = String::new();
        for n in 0..count {
            let _ = writeln!(
                body,
                "fixture L{n} lavatory main {}',0' faces north",
                6 + 3 * n
            );
        }
        let _ = writeln!(
            body,
            "waste s\nstart 0',-4\" cellar floor -1'\nsize 4\"\nup to main floor -1'\npoint B\nup 1'\ncap\n\
            waste d\nstart B\nsize {size}"
        );
        for n in 0..count {
            let last = n + 1 == count;
            let _ = writeln!(
                body,
                "east to abreast L{n}.tee\n{} L{n}",
                if last { "end" } else { "catch" }
            );
        }
        body
    }

    #[test]
    fn one_lavatory_too_many() {
        silent(&lavatories(3, "1-1/2\""), "drain-undersized");
        let found = fires(&lavatories(4, "1-1/2\""), "drain-undersized");
        assert!(!found.is_empty());
        assert!(
            found[0].message.contains("has to be 2\""),
            "{}",
            found[0].message
        );
    }

    /// A larger pipe than needed breaks nothing; a pipe without a stated size is not looked at.
    #[test]
    fn larger_or_unstated() {
        silent(&lavatories(4, "2\""), "drain-undersized");
    }

    /// So many closets on a level 3 in drain: UPC Table 703.2, note 4, lets three on 3 in.
    fn closets(count: u32, size: &str) -> String {
        let mut body = String::new();
        for n in 0..count {
            let _ = writeln!(
                body,
                "fixture W{n} water-closet main {}',2' faces south",
                4 + 3 * n
            );
        }
        let _ = writeln!(body, "waste d\nstart 0',0' main floor -3'\nsize {size}");
        for n in 0..count {
            let word = if n + 1 == count { "end" } else { "catch" };
            let _ = writeln!(body, "east to abreast W{n}.drain\n{word} W{n}");
        }
        body
    }

    /// One size too small for four closets: the count of closets tells it, and it is not told twice.
    #[test]
    fn a_closet_too_many_is_told_by_its_own_rule() {
        let said = |rule| fires_upc(&closets(4, "3\""), rule).len();
        assert_eq!(said("drain-undersized"), 0);
        assert_eq!(said("drain-closet-count"), 1);
    }

    /// Two sizes too small is more than a count: four closets on 2 in (UPC Table 703.2, note 3: 3 in for one closet).
    #[test]
    fn more_than_a_closet_too_many() {
        let found = fires_upc(&closets(4, "2\""), "drain-undersized");
        assert!(
            found.iter().any(|one| one
                .message
                .ends_with("4 closets drain through it; the next smaller size may carry 3")),
            "{found:#?}"
        );
    }

    #[test]
    fn numbers_without_idle_decimals() {
        assert_eq!(
            [round(20.0), round(4.5), round(0.25)],
            ["20", "4.5", "0.25"]
        );
    }
}
