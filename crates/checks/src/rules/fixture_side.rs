//! Room beside a closet, bidet, lavatory and urinal.
//!
//! IPC 405.3.1, UPC 402.5: 15 in from the centre to whatever stands beside it (a urinal by the UPC 12 in).

use glam::DVec2;
use wyeline_codes::{Cited, Pack};
use wyeline_network::model::FixtureIx;

use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::kind::Kind;
use crate::limits;
use crate::place::{Own, bounds, corners, fixture_grid, footprint, in_strip, wall_grid};
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "fixture-side",
    title: "Beside the centre line of a fixture there is as much room as its code asks.",
    page: "Whoever sits down needs room for the elbows.\n\n\
        Measured is, square to the fixture's centre line, the distance from that line to the nearest wall beside the fixture, and for closets and bidets also \
        to a bath, a shower or a counter. The IPC asks it of closets, urinals, lavatories and bidets, the UPC not of lavatories.\n\n\
        Exactly the limit is allowed. Walls count by their finished faces as told. Baths and showers count by the size of their kind, and a finding that rests \
        on that says so. A fixture of the same sort beside it has a rule of its own (`fixture-apart`).",
    cite: |pack| limits::cite(pack, "fixture-side"),
    look,
};

/// The most a fixture of that kind needs to its side; nothing for other kinds.
fn needs(pack: &Pack, kind: Kind) -> Option<Cited<f64>> {
    match kind {
        Kind::Closet | Kind::Bidet => limits::limit(pack, "fixture-side"),
        Kind::Urinal => limits::limit(pack, "fixture-side-urinal"),
        Kind::Lavatory => limits::limit(pack, "fixture-side-lavatory"),
        _ => None,
    }
}

fn look(context: &Context, said: &mut Said) {
    let network = context.network;
    let (walls, fixtures) = (wall_grid(network), fixture_grid(network));
    let mut found = Vec::new();
    let needed = [Kind::Closet, Kind::Bidet, Kind::Urinal, Kind::Lavatory]
        .map(|kind| (kind, needs(context.pack, kind)));
    for (ix, fixture) in network.fixtures.iter().enumerate() {
        let ix = FixtureIx(ix as u32);
        let kind = context.kind(ix);
        let Some((_, Some(needs))) = needed.iter().find(|(known, _)| *known == kind) else {
            continue;
        };
        said.looked();
        let own = Own::of(fixture);
        let depth = fixture.size.1;
        let reach = needs.value;
        let at = |x: f64, y: f64| own.place(DVec2::new(x, y));
        let (low, high) = bounds(&[
            at(-reach, 0.0),
            at(reach, 0.0),
            at(reach, depth),
            at(-reach, depth),
        ]);
        let z = fixture.anchor.z;
        let mut nearest: Option<(f64, f64, String, bool)> = None;
        let mut consider = |shape: [DVec2; 4], what: &dyn Fn() -> String, assumed: bool| {
            let shape = shape.map(|corner| own.measure(corner));
            let Some((left, right)) = in_strip(&shape, 1, ALIKE, depth - ALIKE) else {
                return;
            };
            let side = if left >= 0.0 {
                left
            } else if right <= 0.0 {
                right
            } else {
                0.0
            };
            if nearest
                .as_ref()
                .is_none_or(|(known, ..)| side.abs() < *known)
            {
                nearest = Some((side.abs(), side, what(), assumed));
            }
        };
        walls.around(low.extend(z + 1.0), high.extend(z + 1.0), &mut found);
        for &wall in &found {
            let wall = &network.building.walls[wall as usize];
            if wall.level == fixture.level {
                consider(corners(wall), &|| "a wall".to_owned(), false);
            }
        }
        if matches!(kind, Kind::Closet | Kind::Bidet) {
            fixtures.around(low.extend(z), high.extend(z), &mut found);
            for &other in &found {
                let other = FixtureIx(other);
                let body = context.fixture(other);
                let obstructs = matches!(
                    context.kind(other),
                    Kind::Bathtub | Kind::Shower | Kind::KitchenSink
                );
                if obstructs && body.level == fixture.level {
                    consider(footprint(body), &|| body.tag.clone(), true);
                }
            }
        }
        let Some((distance, _, what, assumed)) = nearest else {
            continue;
        };
        if distance >= needs.value - ALIKE {
            continue;
        }
        let tag = &fixture.tag;
        let message = format!(
            "the centre of {tag} is {} from {what} beside it; it has to be {}",
            context.show(distance),
            context.show(needs.value)
        );
        let help = format!(
            "move {tag} {} away from it",
            context.show(needs.value - distance)
        );
        let finding = said.breaks(context, At::Fixture(ix), message, help);
        finding.by(&needs.cite);
        if assumed {
            finding.rests_on(format!("the size of {what}, which is its kind's"));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::{HEAD, Tell};

    /// A room from 0,0 to 10,10; the closet stands at its south wall and faces north.
    fn told(code: &str, kind: &str, x: &str, more: &str) -> Tell {
        let text = format!(
            "{HEAD}wall main 0',0' 10',0' 10',10' 0',10' 0',0' thick 4-1/2\"\n\
             fixture F {kind} main {x},0' faces north\n{more}"
        );
        Tell::whole(code, &text, "fixture-side", |_, _| ())
    }

    /// 15 in is the limit itself; an inch less is too near, on either side.
    #[test]
    fn fifteen_inches() {
        let near = told("ipc-2021", "water-closet", "1'2\"", "");
        assert_eq!(
            near.one().message,
            "the centre of F is 1'-2\" from a wall beside it; it has to be 1'-3\""
        );
        told("ipc-2021", "water-closet", "1'3\"", "").silent();
        told("ipc-2021", "water-closet", "8'9\"", "").silent();
        told("ipc-2021", "water-closet", "8'10\"", "").one();
        told("ipc-2021", "water-closet", "5'", "").silent();
    }

    /// By the UPC a urinal needs 12 in, a lavatory nothing.
    #[test]
    fn the_upc() {
        told("upc-2021", "urinal", "1'", "").silent();
        told("upc-2021", "urinal", "11\"", "").one();
        told("upc-2021", "lavatory", "10\"", "").nowhere();
        told("ipc-2021", "lavatory", "10\"", "").one();
    }

    /// A bath of 60 x 30 in at the west wall, facing east, ends 30 in from it: the closet's centre has to be at 45 in.
    #[test]
    fn beside_a_bath() {
        let bath = "fixture B bathtub main 0',2'6\" faces east drain left\n";
        told("ipc-2021", "water-closet", "3'9\"", bath).silent();
        let near = told("ipc-2021", "water-closet", "3'8\"", bath);
        assert!(
            near.one().message.contains("is 1'-2\" from B beside it"),
            "{}",
            near.one().message
        );
        assert!(!near.one().unverified.is_empty());
    }

    /// A wall of another level, or one that stands in front, is not beside it.
    #[test]
    fn walls_elsewhere() {
        told(
            "ipc-2021",
            "water-closet",
            "5'",
            "wall upper 5'6\",0' 5'6\",3' thick 4-1/2\"\nwall main 4',6' 6',6' thick 4-1/2\"\n",
        )
        .silent();
    }
}
