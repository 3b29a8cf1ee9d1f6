//! Room in front of a closet, bidet and lavatory.
//!
//! IPC 405.3.1: 21 in; UPC 402.5: 24 in.

use glam::DVec2;
use wyeline_network::model::FixtureIx;

use crate::context::{ALIKE, Context};
use crate::finding::At;
use crate::kind::Kind;
use crate::limits;
use crate::place::{Own, bounds, corners, fixture_grid, footprint, in_strip, wall_grid};
use crate::rule::{Rule, Said};

/// The rule.
pub static RULE: Rule = Rule {
    name: "fixture-front",
    title: "In front of a fixture there is as much clear room as its code asks.",
    page: "Whoever stands up from a closet, or bends over a lavatory, needs room before it.\n\n\
        Measured is the distance from the front of a closet, urinal, lavatory or bidet to the nearest wall or fixture before it, along a strip about its centre \
        line half as wide as the fixture: fronts are round, and what stands at their corner is passed.\n\n\
        Exactly the limit is allowed. The fixture's depth is that of its kind, and findings say so: measure the one chosen. Floor drains and hose bibbs are in nobody's way. \
        How a door swings the job does not say; it is not checked.",
    cite: |pack| limits::cite(pack, "fixture-front"),
    look,
};

fn look(context: &Context, said: &mut Said) {
    let Some(needs) = limits::limit(context.pack, "fixture-front") else {
        return;
    };
    let network = context.network;
    let (walls, fixtures) = (wall_grid(network), fixture_grid(network));
    let mut found = Vec::new();
    for (ix, fixture) in network.fixtures.iter().enumerate() {
        let ix = FixtureIx(ix as u32);
        if !matches!(
            context.kind(ix),
            Kind::Closet | Kind::Bidet | Kind::Lavatory | Kind::Urinal
        ) {
            continue;
        }
        said.looked();
        let own = Own::of(fixture);
        let (half, depth) = (fixture.size.0 / 4.0, fixture.size.1);
        let far = depth + needs.value;
        let at = |x: f64, y: f64| own.place(DVec2::new(x, y));
        let (low, high) = bounds(&[
            at(-half, depth),
            at(half, depth),
            at(half, far),
            at(-half, far),
        ]);
        let z = fixture.anchor.z;
        let mut nearest: Option<(f64, String)> = None;
        let mut consider = |shape: [DVec2; 4], what: &dyn Fn() -> String| {
            let shape = shape.map(|corner| own.measure(corner));
            let Some((near, to)) = in_strip(&shape, 0, -half + ALIKE, half - ALIKE) else {
                return;
            };
            // What begins behind the front stands beside or behind the fixture.
            if near >= depth - ALIKE
                && to > depth
                && nearest.as_ref().is_none_or(|(known, _)| near < *known)
            {
                nearest = Some((near, what()));
            }
        };
        walls.around(low.extend(z + 1.0), high.extend(z + 1.0), &mut found);
        for &wall in &found {
            let wall = &network.building.walls[wall as usize];
            if wall.level == fixture.level {
                consider(corners(wall), &|| "a wall".to_owned());
            }
        }
        fixtures.around(low.extend(z), high.extend(z), &mut found);
        for &other in &found {
            let other = FixtureIx(other);
            let body = context.fixture(other);
            let flat = matches!(context.kind(other), Kind::FloorDrain | Kind::FloorSink)
                || body.kind == "hose-bibb";
            if other != ix && !flat && body.level == fixture.level {
                consider(footprint(body), &|| body.tag.clone());
            }
        }
        let Some((near, what)) = nearest else {
            continue;
        };
        let clear = near - depth;
        if clear >= needs.value - ALIKE {
            continue;
        }
        let tag = &fixture.tag;
        let message = format!(
            "{} clear in front of {tag} to {what}; {} is needed",
            context.show(clear.max(0.0)),
            context.show(needs.value)
        );
        let help = format!(
            "win {} of room before {tag}",
            context.show(needs.value - clear)
        );
        said.breaks(context, At::Fixture(ix), message, help)
            .rests_on(format!(
                "the depth of {tag}, {} by its kind",
                context.show(depth)
            ));
    }
}

#[cfg(test)]
mod tests {
    use crate::tell::{HEAD, Tell};

    /// A closet is 28 in deep by its kind; the wall before it stands at `y`.
    fn told(code: &str, y: &str, more: &str) -> Tell {
        let text = format!(
            "{HEAD}fixture F water-closet main 5',0' faces north\nwall main 10',{y} 0',{y} thick 4-1/2\"\n{more}"
        );
        Tell::whole(code, &text, "fixture-front", |_, _| ())
    }

    /// 28 + 21 = 49 in is the limit itself by the IPC, 52 in by the UPC.
    #[test]
    fn twenty_one_inches() {
        told("ipc-2021", "4'1\"", "").silent();
        let near = told("ipc-2021", "4'", "");
        assert_eq!(
            near.one().message,
            "1'-8\" clear in front of F to a wall; 1'-9\" is needed"
        );
        assert!(
            near.one().unverified[0].contains("2'-4\" by its kind"),
            "{:?}",
            near.one().unverified
        );
        told("upc-2021", "4'4\"", "").silent();
        told("upc-2021", "4'3\"", "").one();
    }

    /// A bath across the way counts, a floor drain does not; nor does what stands beside the strip.
    #[test]
    fn what_stands_before_it() {
        told(
            "ipc-2021",
            "20'",
            "fixture B bathtub main 5',6' faces south\n",
        )
        .one();
        told(
            "ipc-2021",
            "20'",
            "fixture D floor-drain main 5',3' faces south\n",
        )
        .silent();
        told(
            "ipc-2021",
            "20'",
            "fixture B bathtub main 8'6\",6' faces south\n",
        )
        .silent();
    }
}
