//! The top of a stack, where the drain goes on as its vent, in every order it may be told.

mod support;

use support::{built, codes, lies, near, network, pipe};
use wyeline_network::model::{Network, NodeKind};
use wyeline_network::{report, to_json};

const HOUSE: &str = "level main floor 0' ceiling 8'\nroof 12'\n";
/// A stack from -3 ft, with a branch at -9 in, that ends at 2 ft.
const STACK: &str = "waste s\nstart 0',0' datum -3'\nsize 3\"\nup to main floor -9\"\npoint P\nup to main floor +2'\n";
const BRANCH: &str = "waste b\nstart P\nsize 3\"\neast 4'\ncap\n";

/// From 2 ft to 6 above the roof of 12 ft the pipe is a vent that leads up; below, a drain that leads down.
#[track_caller]
fn waste_goes_on_as_vent(text: &str) {
    let n = network(text);
    let top = n
        .nodes
        .iter()
        .find(|node| (node.at.z / 25.4 - 24.0).abs() < 1e-9)
        .unwrap();
    assert_eq!(top.kind, NodeKind::Inline, "neither capped nor loose");
    assert_eq!(top.pipes.len(), 2);
    let of = |system: &str| {
        let found = top.pipes.iter().map(|&pipe| n.pipe(pipe));
        let found: Vec<_> = found.filter(|pipe| pipe.system.word() == system).collect();
        assert_eq!(found.len(), 1, "one {system}");
        found[0]
    };
    let (drain, vent) = (of("waste"), of("vent"));
    // From the top both lead away: water down, air up.
    assert_eq!(n.node(drain.from).id, top.id);
    near(n.node(drain.to).at.z / 25.4, -9.0, 1e-9);
    assert_eq!(n.node(vent.from).id, top.id);
    near(n.node(vent.to).at.z / 25.4, 150.0, 1e-9);
    near(vent.fall_mm / 25.4, 24.0 - 150.0, 1e-9);
    assert_eq!(n.node(vent.to).kind, NodeKind::RoofEnd);
    near(n.runs[vent.run.0 as usize].rise_mm / 25.4, 126.0, 1e-9);
    assert!(report(&n).contains("waste goes on as vent"));
    let json = to_json(&n);
    let node = json["nodes"]
        .as_array()
        .unwrap()
        .iter()
        .find(|node| node["id"] == top.id)
        .unwrap();
    assert_eq!(node["systems"], serde_json::json!(["waste", "vent"]));
}

#[test]
fn a_stack_that_goes_on_as_its_vent() {
    for (drain, vent) in [
        // The drain stops at a named point, from where the vent starts.
        (
            format!("{STACK}point TOP\n"),
            "vent v\nstart TOP\nup through roof\n",
        ),
        // It says that it is capped there, which it is not.
        (
            format!("{STACK}point TOP\ncap\n"),
            "vent v\nstart TOP\nup through roof\n",
        ),
        // The vent is told in space, and the drain joins it.
        (
            format!("{STACK}join TOP\n"),
            "vent v\nstart 0',0' main floor +2'\npoint TOP\nup through roof\n",
        ),
        // The vent is told from the roof down, and joins the drain,
        (
            format!("{STACK}point TOP\n"),
            "vent v\nstart 0',0' roof +6\"\ndown to main floor +2'\njoin TOP\n",
        ),
        // or the drain joins it.
        (
            format!("{STACK}join TOP\n"),
            "vent v\nstart 0',0' roof +6\"\ndown to main floor +2'\npoint TOP\n",
        ),
        (
            format!("{STACK}join TOP\n"),
            "vent v\nstart 0',0' roof +6\"\ndown to main floor +2'\npoint TOP\ncap\n",
        ),
    ] {
        waste_goes_on_as_vent(&format!("{HOUSE}{drain}{BRANCH}{vent}"));
        waste_goes_on_as_vent(&format!("{HOUSE}{vent}{BRANCH}{drain}"));
    }
}

/// Straight from the highest branch: the point is a junction, and the vent goes through it.
#[test]
fn a_vent_from_the_highest_branch() {
    let text = "waste s\nstart 0',0' datum -3'\nsize 3\"\nup to main floor -9\"\npoint P\n";
    let n = network(&format!(
        "{HOUSE}{text}{BRANCH}vent v\nstart P\nup through roof\n"
    ));
    let top = n
        .nodes
        .iter()
        .find(|node| node.name.as_deref() == Some("P"))
        .unwrap();
    assert_eq!((&top.kind, top.pipes.len()), (&NodeKind::Junction, 3));
    near(pipe(&n, "b/1").fall_mm / 25.4, 1.0, 1e-9);
}

fn sloped(vent: &str) -> Network {
    network(&format!("{HOUSE}{STACK}point TOP\ncap\n{vent}"))
}

/// A vent rises from its drain: 4 ft at 1/4 in per ft. Told from the drain it comes to 7 ft + 1 in;
/// told down from there, it meets the drain again.
#[test]
fn a_sloped_vent_told_either_way_rises_from_its_drain() {
    let up = sloped("vent v\nstart TOP\nslope 1/4 in per ft\nup 5'\neast 4'\nup through roof\n");
    lies(&up, "v:2", 48.0, 0.0, 85.0);
    let down = sloped(
        "vent v\nstart 4',0' roof +6\"\nslope 1/4 in per ft\ndown to datum +85\"\nwest 4'\njoin TOP\n",
    );
    lies(&down, "v:2", 0.0, 0.0, 84.0);
    for n in [&up, &down] {
        near(pipe(n, "v/2").fall_mm / 25.4, -1.0, 1e-9);
        let higher = n.node(pipe(n, "v/2").to).at.x;
        near(higher / 25.4, 48.0, 1e-9);
    }
}

/// A vent told from a header down to a tee takes its air up to the header.
#[test]
fn a_vent_told_from_its_header() {
    let n = network(
        "level main floor 0' ceiling 8'\nroof 12'\nfixture L lavatory main 5',3' faces south\n\
         waste d\nstart 0',0' datum -2'\neast to abreast L.tee\nend L\n\
         vent header\nstart 0',3' datum +7'\npoint H\nup through roof\nvent l\nstart H\neast to abreast L.tee\njoin L.tee\n",
    );
    let (first, last) = (pipe(&n, "l/1"), pipe(&n, "l/L/1"));
    assert_eq!(n.node(first.to).name.as_deref(), Some("H"));
    assert_eq!(n.node(last.from).id, "L.tee");
    assert_eq!(last.to, first.from);
}

/// A drain does not run into the middle of a vent.
#[test]
fn a_drain_does_not_join_a_vent_on_its_way() {
    let vent = "vent v\nstart 0',0' datum\nup 2'\npoint TOP\nup through roof\n";
    let drain = "waste s\nstart 4',0' datum -3'\nup to main floor +2'\njoin TOP\n";
    for text in [
        format!("{HOUSE}{drain}{vent}"),
        format!("{HOUSE}{vent}{drain}"),
    ] {
        assert_eq!(codes(&built(&text)), ["systems-do-not-meet"]);
    }
}

/// A run may stop at a point only where another goes on from it.
#[test]
fn a_stack_that_stops_where_nothing_goes_on() {
    let found = built(&format!("{HOUSE}{STACK}point TOP\n"));
    assert_eq!(codes(&found), ["run-not-finished"]);
    assert_eq!(
        found.diagnostics[0].message,
        "the run `s` just stops at `TOP`, where no other goes on"
    );
    assert_eq!(
        found.diagnostics[0].help.as_deref(),
        Some("let another run begin with `start TOP`, or finish this one with `cap`")
    );
}
