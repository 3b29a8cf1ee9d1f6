//! How high an air admittance valve stands above the drain it vents.
//!
//! IPC 918.4.

use wyeline_job::model::System;

use super::vent_closed::has_admittance_valve;
use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::index::is_end;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "vent-admittance-valve",
    title: "An air admittance valve stands high enough above the drain it vents.",
    page: "The valve opens when the drain sucks and falls shut otherwise. Waste that backs up must not reach its seat.\n\n\
        A capped vent with a note of a valve (`AAV`, `admittance`) is looked at. Measured is its height above the centre of the drain where its \
        vent leaves.\n\n\
        Not checked: that the valve is listed for its load, can be reached, stands in a space where air gets to it, above insulation, and that \
        the authority accepts valves. At least one vent has to go to the open air in any case: see `vent-outdoors`.",
    cite: |pack| keys::cite(pack, "valve.admittance-above-drain"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(least) = keys::number(context.pack, "valve.admittance-above-drain") else {
        return;
    };
    for (start, pipe) in context.pipes_of(System::Vent) {
        if context.down(pipe.from).is_none() {
            continue;
        }
        let Some(last) = context.to_the_air(start).last() else {
            continue;
        };
        let end = context.pipe(last).to;
        if !is_end(&context.node(end).kind) || !has_admittance_valve(context, end) {
            continue;
        }
        said.looked();
        let height = context.node(end).at.z - context.node(pipe.from).at.z;
        if height < least - ALIKE {
            let message = format!(
                "the air admittance valve of vent {} is {} above the drain; it has to be {} above",
                context.run(start),
                context.show(height),
                context.show(least)
            );
            let help = format!("raise it by {}", context.show(least - height));
            said.breaks(context, At::Node(end), message, help);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, one, silent};

    fn valve(inches: &str, note: &str) -> String {
        format!(
            "fixture LAV lavatory main 5',5' faces south\n\
             waste d\nstart 5',0' main floor -1'\nsize 2\"\nnorth to abreast LAV.tee\nend LAV\n\
             vent v\nstart LAV.tee\nsize 1-1/2\"\nup {inches}\"\nnote \"{note}\"\ncap\n"
        )
    }

    /// IPC 918.4: 4 in.
    #[test]
    fn four_inches() {
        let found = one(&valve("3-1/2", "AAV"), "vent-admittance-valve");
        assert!(
            found.message.contains("3-1/2\" above") || found.message.contains("3 1/2\" above"),
            "{}",
            found.message
        );
        silent(&valve("4", "AAV"), "vent-admittance-valve");
        silent(&valve("12", "AAV"), "vent-admittance-valve");
    }

    #[test]
    fn no_valve_there() {
        assert!(fires(&valve("3", "future"), "vent-admittance-valve").is_empty());
    }
}
