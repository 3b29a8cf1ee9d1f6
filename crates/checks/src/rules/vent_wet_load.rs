//! How much a wet vent carries.
//!
//! IPC 912.3 and its table, UPC 908.2, Canada 2.5.8.1.

use wyeline_units::Size;

use super::drain_undersized::round;
use crate::air::Way;
use crate::context::{Context, smaller};
use crate::finding::At;
use crate::keys::BySize;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-wet-load",
    title: "A wet vent is large enough for the fixtures that drain through it.",
    page: "A wet vent is drain and vent in one: it must never run so full that no air passes over the water. So it is larger than the drain alone would be.\n\n\
        Each piece of drain by which air comes down to a trap is looked at; the units that drain through it are compared with what the code's table \
        of wet vents allows for its size.\n\n\
        A common vent of two fixtures at two heights and a circuit vent have rules of their own; a stack used by other storeys is told by `vent-by-stack`.",
    cite: |pack| {
        let sizes = [Size::Inch { eighths: 16 }, Size::Dn(50)];
        sizes
            .into_iter()
            .find_map(|size| pack.wet_vent_row(size).ok().map(|row| row.cite))
    },
    look,
};

fn look(context: &Context, said: &mut Said) {
    let mut table = BySize::default();
    let unit = context.pack.drain_unit();
    for group in &context.index.groups {
        if group.way(context) != Way::Wet {
            continue;
        }
        // The load rises downstream: said once, at the last piece of the first size that is too small.
        let mut worst = None;
        let mut small = None;
        for &pipe in &group.wet {
            let Some(size) = context.size(pipe) else {
                said.unknown(At::Pipe(pipe), "the size of this wet vent is not known");
                continue;
            };
            let Some(row) = table.get(size, |size| context.pack.wet_vent_row(size).ok()) else {
                let least = context.pack.least_wet_vent(context.load(pipe)).ok();
                if let Some(least) = least.filter(|least| smaller(size, least.value.size)) {
                    said.looked();
                    small = small.or(Some((pipe, size, least)));
                    continue;
                }
                said.unknown(
                    At::Pipe(pipe),
                    "the code's table of wet vents does not hold this size",
                );
                continue;
            };
            said.looked();
            let load = context.load(pipe);
            if load > row.value + 1e-9 {
                worst = Some((pipe, size, load, row.clone()));
            }
        }
        if let Some((pipe, size, least)) = small {
            let message = format!(
                "{} is {size} and a wet vent; {} is the least wet vent for what it carries",
                context.run(pipe),
                least.value.size
            );
            let help = format!("lay {} from its dry vent down", least.value.size);
            said.breaks(context, At::Pipe(pipe), message, help)
                .by(&least.cite)
                .note(context.span(At::Pipe(group.vent)), "its dry vent");
        }
        let Some((pipe, size, load, row)) = worst else {
            continue;
        };
        let message = format!(
            "wet vent {} carries {} {unit}; a {size} wet vent may carry {}",
            context.run(pipe),
            round(load),
            round(row.value)
        );
        let help = match context.pack.least_wet_vent(load) {
            Ok(fit) => format!(
                "lay {} from its dry vent down to the last fixture on it",
                fit.value.size
            ),
            Err(_) => "give some of its fixtures a vent of their own".to_owned(),
        };
        said.breaks(context, At::Pipe(pipe), message, help)
            .by(&row.cite)
            .note(context.span(At::Pipe(group.vent)), "its dry vent");
    }
}

#[cfg(test)]
mod tests {
    use std::fmt::Write;

    use crate::testing::{one, silent};

    /// Lavatory (1 dfu), shower (2 dfu) and so many more showers drain through a wet vent before the closet at its end.
    fn bath(showers: u32, size: &str) -> String {
        let mut body = String::from(
            "fixture WC water-closet main 2',1' faces south\nfixture LAV lavatory main 30',1' faces south\n",
        );
        for n in 0..showers {
            let _ = writeln!(
                body,
                "fixture S{n} shower main {}',3' faces south",
                6 + 4 * n
            );
        }
        let _ = writeln!(
            body,
            "waste d\nstart 0',0' main floor -3'\nsize 3\"\neast to abreast WC.drain\ncatch WC\nsize {size}"
        );
        for n in 0..showers {
            let _ = writeln!(body, "east to abreast S{n}.drain\ncatch S{n}");
        }
        body.push_str(
            "east to abreast LAV.tee\nend LAV\nvent v\nstart LAV.tee\nsize 2\"\nup through roof\n",
        );
        body
    }

    /// IPC Table 912.3: 2 in, 4 dfu. One shower makes 3, two make 5; 2-1/2 in takes 6.
    #[test]
    fn two_inch() {
        silent(&bath(1, "2\""), "vent-wet-load");
        let found = one(&bath(2, "2\""), "vent-wet-load");
        assert!(
            found
                .message
                .contains("carries 5 dfu; a 2\" wet vent may carry 4"),
            "{}",
            found.message
        );
        silent(&bath(2, "2-1/2\""), "vent-wet-load");
    }

    /// 1-1/2 in, 1 dfu: the lavatory alone is the limit itself.
    #[test]
    fn one_and_a_half_inch() {
        silent(&bath(0, "1-1/2\""), "vent-wet-load");
        one(&bath(1, "1-1/2\""), "vent-wet-load");
    }
}
