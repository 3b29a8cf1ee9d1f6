//! Room between fixtures side by side.
//!
//! IPC 405.3.1, UPC 402.5: 30 in between their centres.

use glam::DVec2;
use wyeline_network::model::FixtureIx;

use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::kind::Kind;
use crate::limits;
use crate::place::{Own, bounds, fixture_grid};
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "fixture-apart",
    title: "The centres of fixtures side by side are as far apart as the code asks.",
    page: "Two closets, or a closet and a lavatory, that stand closer are in each other's way.\n\n\
        Measured is, square to the way they face, the distance between the centre lines of closets, bidets, lavatories and urinals that stand on one \
        level, face one way and stand less than a foot apart front to back. The IPC asks 30 in of all of them, the UPC of closets and bidets among \
        themselves, and 24 in of urinals.\n\n\
        Exactly the limit is allowed. Fixtures back to back, opposite each other or round a corner are not meant. One basin with two bowls is one fixture.",
    cite: |pack| limits::cite(pack, "fixture-apart"),
    look,
};

/// Fixtures farther apart than this front to back do not stand side by side, mm.
const ABREAST: f64 = 304.8;

fn look(context: &Context, said: &mut Said) {
    let network = context.network;
    let grid = fixture_grid(network);
    let all = limits::limit(context.pack, "fixture-apart");
    let urinals = limits::limit(context.pack, "fixture-apart-urinal");
    // The IPC has lavatories in the same sentence.
    let lavatories = limits::cite(context.pack, "fixture-side-lavatory").is_some();
    let of = |kind: Kind| match kind {
        Kind::Closet | Kind::Bidet => Some(0_usize),
        Kind::Lavatory if lavatories => Some(0),
        Kind::Urinal => Some(usize::from(!lavatories)),
        _ => None,
    };
    let mut found = Vec::new();
    for (ix, fixture) in network.fixtures.iter().enumerate() {
        let ix = FixtureIx(ix as u32);
        let Some(group) = of(context.kind(ix)) else {
            continue;
        };
        let Some(needs) = (if group == 0 { &all } else { &urinals }) else {
            continue;
        };
        said.looked();
        let own = Own::of(fixture);
        let reach = needs.value;
        let at = |x: f64, y: f64| own.place(DVec2::new(x, y));
        let (low, high) = bounds(&[
            at(-reach, -ABREAST),
            at(reach, -ABREAST),
            at(reach, ABREAST),
            at(-reach, ABREAST),
        ]);
        grid.around(
            low.extend(fixture.anchor.z),
            high.extend(fixture.anchor.z),
            &mut found,
        );
        for &other in found.iter().filter(|&&other| other > ix.0) {
            let other = FixtureIx(other);
            let beside = context.fixture(other);
            if of(context.kind(other)) != Some(group)
                || beside.level != fixture.level
                || beside.faces != fixture.faces
            {
                continue;
            }
            let off = own.measure(beside.anchor.truncate());
            if off.y.abs() > ABREAST || off.x.abs() >= needs.value - ALIKE {
                continue;
            }
            let message = format!(
                "the centres of {} and {} are {} apart; they have to be {}",
                fixture.tag,
                beside.tag,
                context.show(off.x.abs()),
                context.show(needs.value)
            );
            let help = format!(
                "move one of them {} along the wall",
                context.show(needs.value - off.x.abs())
            );
            let span = fixture.span;
            said.breaks(context, At::Fixture(other), message, help)
                .by(&needs.cite)
                .note(span, format!("{} is told here", fixture.tag));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::Tell;

    fn told(code: &str, first: &str, second: &str, x: &str) -> Tell {
        let body = format!(
            "fixture A {first} main 0',0' faces north\nfixture B {second} main {x},0' faces north\n"
        );
        Tell::by(code, &body, "fixture-apart")
    }

    /// 30 in is the limit itself.
    #[test]
    fn thirty_inches() {
        let near = told("ipc-2021", "water-closet", "lavatory", "2'5\"");
        assert_eq!(
            near.one().message,
            "the centres of A and B are 2'-5\" apart; they have to be 2'-6\""
        );
        told("ipc-2021", "water-closet", "lavatory", "2'6\"").silent();
        told("ipc-2021", "water-closet", "lavatory", "4'").silent();
    }

    /// By the UPC a lavatory may stand nearer to a closet, urinals 24 in apart.
    #[test]
    fn the_upc() {
        told("upc-2021", "water-closet", "lavatory", "2'").silent();
        told("upc-2021", "water-closet", "water-closet", "2'5\"").one();
        told("upc-2021", "urinal", "urinal", "2'").silent();
        told("upc-2021", "urinal", "urinal", "1'11\"").one();
    }

    /// Exceptions: back to back, and round a corner.
    #[test]
    fn not_side_by_side() {
        for second in ["1',-6\" faces south", "1',1' faces east"] {
            let body = format!(
                "fixture A water-closet main 0',0' faces north\nfixture B water-closet main {second}\n"
            );
            Tell::plain(&body, "fixture-apart").silent();
        }
    }
}
