//! No branch joins near the foot of a stack.
//!
//! IPC 704.3, EN 12056-2, Canada 2.4.2.1.

use wyeline_network::model::{NodeIx, PipeIx};

use crate::context::{ALIKE, Context, is_level, nominal_mm};
use crate::finding::At;
use crate::keys;
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "drain-stack-base",
    title: "No branch joins the drain within ten diameters downstream of a stack's base, or of a stack's level offset.",
    page: "Where falling water turns level it piles up: the hydraulic jump fills the pipe and blows back into whatever joins there.\n\n\
        From the base of each stack, and from the top of each level offset of one, the drain is followed downstream. Measured is the distance along the \
        pipe from the turn to each branch, by centre lines, against the diameters of the level pipe that the code names.\n\n\
        A cleanout, a vent and a drain that no fixture uses are no branches.",
    cite: |pack| keys::cite(pack, "base.branch-distance-diameters"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(diameters) = keys::number(context.pack, "base.branch-distance-diameters") else {
        return;
    };
    for stack in &context.index.stacks {
        let Some(first) = context
            .down(stack.base)
            .filter(|&pipe| is_level(context.pipe(pipe)))
        else {
            continue;
        };
        let Some(size) = context.size(first) else {
            said.unknown(
                At::Pipe(first),
                "the size of the drain at the base of this stack is not known",
            );
            continue;
        };
        said.looked();
        let least = diameters * nominal_mm(size);
        if let Some(branch) =
            branch_into(context, stack.base, *stack.pipes.last().unwrap_or(&first))
        {
            tell(context, said, branch, stack.base, 0.0, least);
        }
        let mut gone = 0.0;
        let mut before = first;
        for pipe in context.downstream(stack.base) {
            if pipe != first {
                let node = context.pipe(pipe).from;
                if gone >= least - ALIKE {
                    break;
                }
                if let Some(branch) = branch_into(context, node, before) {
                    tell(context, said, branch, node, gone, least);
                }
            }
            if !is_level(context.pipe(pipe)) {
                break;
            }
            gone += context.length(pipe);
            before = pipe;
        }
    }
}

/// A drain in use that comes in at a node besides the one that leads there.
fn branch_into(context: &Context, node: NodeIx, main: PipeIx) -> Option<PipeIx> {
    let mut into = context.drains_into(node);
    into.find(|&pipe| pipe != main && context.index.upstream[pipe.0 as usize].fixtures > 0)
}

fn tell(context: &Context, said: &mut Said, branch: PipeIx, node: NodeIx, gone: f64, least: f64) {
    let message = format!(
        "{} joins {} downstream of the foot of a stack; {} is the least",
        context.run(branch),
        context.show(gone),
        context.show(least)
    );
    let help = format!("join it {} farther downstream", context.show(least - gone));
    said.breaks(context, At::Node(node), message, help)
        .note(context.span(At::Pipe(branch)), "the branch");
}

#[cfg(test)]
mod tests {
    use crate::testing::{fires, one, silent};

    /// A stack of two closets on a 4 in building drain; a floor drain joins that drain so far from its foot.
    fn stack(from_foot: &str) -> String {
        format!(
            "fixture A water-closet upper 0',3' faces north\nfixture B water-closet main 0',3' faces north\nfixture FD floor-drain main -8',5' faces north\n\
             waste d\nstart -20',0' main floor -5'\nsize 4\"\neast to abreast -{from_foot},0'\npoint J\neast to abreast 0',0'\nup to main floor -1'\npoint P\nup to upper floor -1'\npoint Q\nup 3'\npoint TOP\n\
             waste b\nstart P\nsize 3\"\nnorth to abreast B.drain\nend B\n\
             waste a\nstart Q\nsize 3\"\nnorth to abreast A.drain\nend A\n\
             waste f\nstart J\nsize 2\"\nnorth to abreast FD.drain\nwest to abreast FD.drain\nend FD\n\
             vent t\nstart TOP\nsize 3\"\nup through roof\n"
        )
    }

    /// Ten times 4 in are 40 in.
    #[test]
    fn ten_diameters() {
        let found = one(&stack("39\""), "drain-stack-base");
        assert!(
            found.message.contains("3'-3\" downstream"),
            "{}",
            found.message
        );
        silent(&stack("40\""), "drain-stack-base");
        silent(&stack("41\""), "drain-stack-base");
    }

    /// A capped end there is no branch.
    #[test]
    fn a_capped_end() {
        let body = stack("39\"");
        let body = &body[..body.find("waste f").unwrap()];
        let body = format!("{body}waste f\nstart J\nsize 2\"\nnorth 1'\ncleanout CO\ncap\nvent t\nstart TOP\nsize 3\"\nup through roof\n")
            .replace("fixture FD floor-drain main -8',5' faces north\n", "");
        assert!(fires(&body, "drain-stack-base").is_empty());
    }
}
