//! For every fixture with a trap: the pipe it drains by, and where its vent is.

mod support;

use support::{network, node};
use wyeline_network::model::Network;
use wyeline_network::to_json;

/// An arm by the ids of what belongs to it.
#[derive(Debug, PartialEq)]
struct Told {
    tag: String,
    trap: String,
    pipes: Vec<String>,
    joins: String,
    /// At, from and pipe.
    vent: Option<[String; 3]>,
}

fn told(n: &Network) -> Vec<Told> {
    let id = |ix| n.node(ix).id.clone();
    let arms = n.trap_arms();
    arms.iter()
        .map(|arm| Told {
            tag: n.fixtures[arm.fixture.0 as usize].tag.clone(),
            trap: id(arm.trap),
            pipes: arm
                .pipes
                .iter()
                .map(|&pipe| n.pipe(pipe).id.clone())
                .collect(),
            joins: id(arm.joins),
            vent: arm
                .vent
                .map(|vent| [id(vent.at), id(vent.from), n.pipe(vent.pipe).id.clone()]),
        })
        .collect()
}

/// A wet-vented group: the lavatory has its vent at its tee; shower and closet take their air where they run into
/// the drain of the lavatory. The water heater has no trap.
const GROUP: &str = "level main floor 0' ceiling 8'\nroof 12'\nfixture LAV lavatory main 9',5' faces south\n\
    fixture SHR shower main 5',5' faces south\nfixture WC water-closet main 2',2' faces south\nfixture WH water-heater main 9',-9' faces south\n\
    waste d\nstart 0',0' datum -2'\neast to abreast WC.drain\npoint A\ncatch WC\neast to abreast SHR.drain\npoint B\ncatch SHR\n\
    east to abreast LAV.tee\nend LAV\nvent v\nstart LAV.tee\nup through roof\n";

#[test]
fn a_wet_vented_group() {
    let n = network(GROUP);
    let row = |tag: &str, trap: &str, pipes: &[&str], joins: &str| Told {
        tag: tag.to_owned(),
        trap: trap.to_owned(),
        pipes: pipes.iter().map(|&id| id.to_owned()).collect(),
        joins: joins.to_owned(),
        vent: Some([joins, "LAV.tee", "v/1"].map(str::to_owned)),
    };
    assert_eq!(
        told(&n),
        [
            row("LAV", "LAV.trap", &["LAV/arm/1"], "LAV.tee"),
            // The trap is below the outlet, at the height of the branch.
            row("SHR", "d:SHR/1", &["d/SHR/1"], "d:2"),
            // The closet's trap is its own: all of its drain counts, from the flange.
            row("WC", "WC.drain", &["d/WC/2", "d/WC/1"], "d:1"),
        ]
    );
}

/// The head of a stack above its highest branch leads air down to the branch.
#[test]
fn a_stack_vent() {
    let n = network(
        "level main floor 0' ceiling 8'\nroof 12'\nfixture WC water-closet main 2',1' faces south\n\
         waste s\nstart 0',0' datum -3'\nup to main floor -9\"\ncatch WC\nup to main floor +2'\npoint TOP\nvent v\nstart TOP\nup through roof\n",
    );
    let arms = told(&n);
    assert_eq!(arms[0].joins, "s:1");
    assert_eq!(arms[0].vent, Some(["s:1", "s:2", "v/1"].map(str::to_owned)));
}

/// Of two vents the nearer, by length of pipe, is meant: the one 1 ft up the side branch, not the one 4 ft up the stack.
#[test]
fn the_nearer_vent() {
    let n = network(
        "level main floor 0'\nfixture WC water-closet main 2',1' faces south\n\
         waste s\nstart 0',0' datum -3'\nup to main floor -9\"\npoint P\ncatch WC\nup 4'\npoint TOP\n\
         waste b\nstart P\nwest 1'\npoint SIDE\nvent t\nstart TOP\nup 1'\ncap\nvent u\nstart SIDE\nup 1'\ncap\n",
    );
    assert_eq!(
        told(&n)[0].vent,
        Some(["s:1", "b:1", "u/1"].map(str::to_owned))
    );
}

/// Without a vent the arm is told all the same; without a drain there is none.
#[test]
fn no_vent_and_no_drain() {
    let n = network(
        "level main floor 0'\nfixture FD floor-drain main 5',0' faces south\nfixture LAV lavatory main 9',5' faces south\n\
         waste d\nstart 0',0' datum -2'\neast 2'\nend FD\n",
    );
    let arms = told(&n);
    assert_eq!(arms.len(), 1);
    assert_eq!((arms[0].joins.as_str(), &arms[0].vent), ("d:0", &None));
    assert_eq!(arms[0].pipes, ["d/FD/1", "d/1"]);
}

/// The same in JSON, with the fixture.
#[test]
fn arms_in_json() {
    let n = network(GROUP);
    let json = to_json(&n);
    let fixture = |tag: &str| {
        let all = json["fixtures"].as_array().unwrap();
        all.iter().find(|fixture| fixture["tag"] == tag).unwrap()
    };
    let closet = fixture("WC");
    assert_eq!(closet["trap"], "WC.drain");
    assert_eq!(closet["arm"], serde_json::json!(["d/WC/2", "d/WC/1"]));
    assert_eq!(closet["joins"], node(&n, "d:1").id.as_str());
    assert_eq!(
        closet["vent"],
        serde_json::json!({ "at": "d:1", "from": "LAV.tee", "pipe": "v/1" })
    );
    assert!(fixture("WH").get("trap").is_none());
}
