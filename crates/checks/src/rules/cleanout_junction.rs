//! A cleanout near where the building drain becomes the sewer.
//!
//! IPC 708.1.3.

use wyeline_sizing::Role;

use super::cleanout_distance::next_cleanout_up;
use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::keys;
use crate::measure::has_cleanout;
use crate::outlets::outlets;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "cleanout-junction",
    title: "A cleanout stands near the junction of building drain and building sewer.",
    page: "Most stoppages are in the sewer; from here it is cleared without working through the house.\n\n\
        From the point where the building sewer begins (where the drawing shows it; otherwise from where the drain leaves the drawing) the drain is followed upstream \
        along its largest load. A cleanout has to stand within the distance that the code names, or on the sewer itself.\n\n\
        A drain that ends in existing pipe is reported apart: its cleanouts may not be drawn.",
    cite: |pack| keys::cite(pack, "cleanout.junction-distance"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(most) = keys::number(context.pack, "cleanout.junction-distance") else {
        return;
    };
    for outlet in outlets(context) {
        if context.pipe(outlet.pipe).existing {
            said.unknown(
                At::Pipe(outlet.pipe),
                "the drain ends in existing pipe, whose cleanouts may not be drawn",
            );
            continue;
        }
        said.looked();
        let mut node = context.pipe(outlet.pipe).to;
        let mut found = has_cleanout(context, node);
        let mut gone = 0.0;
        while !found {
            let heaviest = context
                .drains_into(node)
                .fold(None, |best, into| match best {
                    Some(best) if context.load(best) >= context.load(into) => Some(best),
                    _ => Some(into),
                });
            let Some(pipe) = heaviest else {
                break;
            };
            if context.role(pipe) != Role::BuildingSewer {
                gone += context.length(pipe);
            }
            if gone > most + ALIKE {
                break;
            }
            node = context.pipe(pipe).from;
            found = has_cleanout(context, node) || next_cleanout_up(context, node);
        }
        if found {
            continue;
        }
        let message = format!(
            "no cleanout stands within {} of where {} leaves the building",
            context.show(most),
            context.run(outlet.pipe)
        );
        said.breaks(
            context,
            At::Pipe(outlet.pipe),
            message,
            "set a cleanout there, brought up to where it can be reached",
        );
    }
}

#[cfg(test)]
mod tests {
    use crate::testing::{one, silent, unchecked};

    fn drain(feet: &str) -> String {
        format!(
            "fixture FD floor-drain main 30',2' faces south\n\
             waste d\nstart 0',0' main floor -3'\nsize 3\"\neast {feet}\ncleanout CO1\neast to abreast FD.drain\nend FD\n"
        )
    }

    /// IPC 708.1.3: 10 ft.
    #[test]
    fn ten_feet() {
        let found = one(&drain("10'1\""), "cleanout-junction");
        assert!(
            found.message.contains("within 10'-0\""),
            "{}",
            found.message
        );
        silent(&drain("10'"), "cleanout-junction");
        silent(&drain("3'"), "cleanout-junction");
    }

    /// Existing pipe may have one that is not drawn.
    #[test]
    fn existing_pipe() {
        let body = drain("20'").replace("size 3\"\n", "size 3\"\nexisting\n");
        assert_eq!(unchecked(&body, "cleanout-junction").len(), 1);
    }
}
