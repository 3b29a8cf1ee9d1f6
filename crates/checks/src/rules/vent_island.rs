//! Island vents: for sinks and lavatories only, high enough before they turn down and where they join.
//!
//! IPC 916, UPC 909.

use wyeline_job::model::System;
use wyeline_network::model::PipeIx;

use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-island",
    title: "An island vent serves sinks and lavatories only, rises above their outlet before it turns down, and high above their rim where it joins.",
    page: "Where there is no wall behind a sink its vent rises inside the cabinet, turns down under the floor and rises elsewhere. What gets into \
        it must be able to drain, and waste must not stand in it.\n\n\
        A vent that goes down again is taken for one where all that it serves are sinks and lavatories. Measured is how high it stands above the \
        outlet of the fixture where it turns down, and how high above the flood rim where it joins another vent.\n\n\
        A vent that goes down and serves anything else is a finding here. Not checked: that the low point drains through a fitting of its \
        own and that cleanouts stand on both risers.",
    cite: |pack| keys::cite(pack, "island.rise-above-fixture"),
    look,
};

/// Whether a vent pipe that goes down is part of an island vent: all that takes its air by it are sinks.
pub fn is_island(context: &Context, pipe: PipeIx) -> bool {
    let (served, other) = (&context.index.served, &context.index.served_no_sink);
    served[pipe.0 as usize] > 0 && other[pipe.0 as usize].is_none()
}

fn look(context: &Context, said: &mut Said) {
    let Some(least) = keys::number(context.pack, "island.rise-above-fixture") else {
        return;
    };
    for (ix, pipe) in context.pipes_of(System::Vent) {
        if context.rise(ix) > -0.5 || context.index.served[ix.0 as usize] == 0 {
            continue;
        }
        let top = context.node(pipe.from);
        // Only where it turns down, not at each piece of the way down.
        if context
            .vents_into(pipe.from)
            .any(|into| context.rise(into) < -0.5)
        {
            continue;
        }
        said.looked();
        if let Some(other) = context.index.served_no_sink[ix.0 as usize] {
            let message = format!(
                "vent {} turns down and serves {}; only sinks and lavatories may be vented so",
                context.run(ix),
                context.tag(other)
            );
            said.breaks(
                context,
                At::Pipe(ix),
                message,
                "carry the vent up without turning down, in a wall",
            );
            continue;
        }
        let Some(fixture) = context.index.highest_served[ix.0 as usize] else {
            continue;
        };
        let tag = context.tag(fixture);
        let outlet = context
            .fixture(fixture)
            .ports
            .iter()
            .find(|port| port.name == "drain");
        if let Some(outlet) = outlet.filter(|port| top.at.z <= port.at.z + ALIKE) {
            let message = format!(
                "island vent {} turns down {} below the outlet of {tag}; it has to rise above it first",
                context.run(ix),
                context.show(outlet.at.z - top.at.z)
            );
            said.breaks(
                context,
                At::Pipe(ix),
                message,
                "carry it up as high under the counter as it goes",
            );
        }
        let mut after = context.to_the_air(ix).skip(1);
        let joins = after.find(|&on| {
            context
                .vents_into(context.pipe(on).to)
                .any(|other| other != on)
        });
        let Some(joins) = joins else {
            continue;
        };
        let height = context.node(context.pipe(joins).to).at.z - context.rim(fixture);
        if height < least - ALIKE {
            let message = format!(
                "island vent {} joins another vent {} above the flood rim of {tag}; it has to be {} above it",
                context.run(ix),
                context.show(height),
                context.show(least)
            );
            let help = format!("join {} higher", context.show(least - height));
            said.breaks(context, At::Node(context.pipe(joins).to), message, help);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{one, silent};

    /// A fixture whose vent rises to such a height, turns down below the floor, goes aside and rises to join the vent of a lavatory at
    /// another height. A kitchen sink: outlet 28 in, rim 36 in above the floor.
    fn island(kind: &str, top: &str, joins: &str) -> String {
        format!(
            "fixture KS {kind} main 5',5' faces south\nfixture LAV lavatory main 12',5' faces south\n\
             waste d\nstart 0',0' main floor -1'\nsize 2\"\neast to abreast KS.tee\npoint A\nnorth to abreast KS.tee\nend KS\n\
             waste e\nstart A\nsize 2\"\neast to abreast LAV.tee\nnorth to abreast LAV.tee\nend LAV\n\
             vent l\nstart LAV.tee\nsize 1-1/2\"\nup to main floor +{joins}\"\npoint J\nup through roof\n\
             vent v\nstart KS.tee\nsize 1-1/2\"\nup to main floor +{top}\"\neast 1'\ndown to main floor -6\"\nnorth 6\"\neast to abreast J\nup to main floor +{joins}\"\nsouth to abreast J\njoin J\n"
        )
    }

    /// 36 + 6 = 42 in where it joins; above 28 in where it turns down.
    #[test]
    fn a_sink() {
        silent(&island("kitchen-sink", "32", "42"), "vent-island");
        let found = one(&island("kitchen-sink", "32", "41"), "vent-island");
        assert!(
            found.message.contains("5\" above the flood rim"),
            "{}",
            found.message
        );
        let found = one(&island("kitchen-sink", "27", "42"), "vent-island");
        assert!(
            found.message.contains("1\" below the outlet"),
            "{}",
            found.message
        );
    }

    #[test]
    fn only_sinks() {
        let found = one(&island("drinking-fountain", "32", "42"), "vent-island");
        assert!(found.message.contains("only sinks"), "{}", found.message);
    }
}
