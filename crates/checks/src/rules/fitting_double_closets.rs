//! Closets back to back do not share a double sanitary tee.
//!
//! IPC 706.3, UPC 706.2.

use wyeline_network::model::{NodeIx, PipeIx};

use crate::context::{ALIKE, Context, is_level};
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "fitting-double-closets",
    title: "Two closets back to back do not share a double sanitary tee on a stack.",
    page: "A closet empties with such a rush that it shoots across a double sanitary tee into the other closet.\n\n\
        Looked at are points of a plumb drain where two level branches come in from opposite sides, each from a closet alone. \
        The length of each branch, from the closet to the stack, is compared with what the code lets through.\n\n\
        A double wye with eighth bends, or two tees one above the other, may be used instead; the drawing cannot tell a double tee from a double wye \
        drawn square, so `at 45` branches are let through.",
    cite: |pack| keys::cite(pack, "double-tee.closets"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    if keys::flag(context.pack, "double-tee.closets") != Some(false) {
        return;
    }
    let far = keys::number(context.pack, "double-tee.closet-run-least");
    for ix in 0..context.network.nodes.len() {
        let node = NodeIx(ix as u32);
        if context.node(node).pipes.len() < 4 {
            continue;
        }
        let plumb = context
            .down(node)
            .is_some_and(|down| !is_level(context.pipe(down)));
        let closet = |into: &PipeIx| {
            let up = context.index.upstream[into.0 as usize];
            up.fixtures == 1 && up.closets == 1 && is_level(context.pipe(*into))
        };
        let mut closets = context.drains_into(node).filter(closet);
        let (Some(a), Some(b), true) = (closets.next(), closets.next(), plumb) else {
            continue;
        };
        if crate::measure::turn(context, a, b) < 180.0 - 1.0 {
            continue;
        }
        said.looked();
        let lengths = [a, b].map(|pipe| run_of(context, pipe));
        let shortest = lengths[0].min(lengths[1]);
        if far.is_some_and(|far| shortest >= far - ALIKE) {
            continue;
        }
        let tag = |pipe: PipeIx| {
            context.index.upstream[pipe.0 as usize]
                .one
                .map_or("", |one| context.tag(one))
        };
        let message = format!(
            "{} and {} come into one double tee back to back, {} from it",
            tag(a),
            tag(b),
            context.show(shortest)
        );
        let help = match far {
            Some(far) => format!(
                "set one lower than the other, use a double wye with eighth bends, or give each {} of run",
                context.show(far)
            ),
            None => {
                "set one lower than the other, or use a double wye with eighth bends".to_owned()
            }
        };
        said.breaks(context, At::Node(node), message, help);
    }
}

/// Length of the drain from its fixture down to the end of that pipe.
fn run_of(context: &Context, last: PipeIx) -> f64 {
    let mut length = 0.0;
    let mut next = Some(last);
    let mut left = context.network.pipes.len();
    while let (Some(pipe), true) = (next, left > 0) {
        if is_level(context.pipe(pipe)) {
            length += context.length(pipe);
        }
        next = context.drains_into(context.pipe(pipe).from).next();
        left -= 1;
    }
    length
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, one, silent};

    /// Two closets on both sides of a stack, each so far from it; their drains leave 12 in from the wall.
    fn closets(kind: &str, away: &str) -> String {
        format!(
            "fixture A {kind} main {away},0' faces east drain out 12\"\nfixture B {kind} main -{away},0' faces west drain out 12\"\n\
             waste s\nstart 0',0' main floor -4'\nsize 4\"\nup to main floor -1'\npoint P\nup 3'\ncap\n\
             waste a\nstart P\nsize 3\"\neast to abreast A.drain\nend A\n\
             waste b\nstart P\nsize 3\"\nwest to abreast B.drain\nend B\n"
        )
    }

    /// 18 in of run each are let through: 6 in and the 12 in of the rough-in make just that.
    #[test]
    fn eighteen_inches() {
        let found = one(&closets("water-closet", "5\""), "fitting-double-closets");
        assert!(found.message.contains("1'-5\""), "{}", found.message);
        silent(&closets("water-closet", "6\""), "fitting-double-closets");
        silent(&closets("water-closet", "7\""), "fitting-double-closets");
    }

    #[test]
    fn other_fixtures() {
        assert!(fires(&closets("shower", "5\""), "fitting-double-closets").is_empty());
    }
}
