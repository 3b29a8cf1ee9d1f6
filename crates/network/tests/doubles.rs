//! Double fittings: several branches at one point of a pipe, and what no fitting takes.

mod support;

use std::collections::BTreeSet;

use support::{built, codes, inches, lies, near, network, node, pipe};
use wyeline_network::junction::Openings;
use wyeline_network::model::{Network, NodeIx, NodeKind, PipeIx};
use wyeline_network::{report, to_json};

/// Two lavatories back to back at a 6 in wall: both tees in its core, at (123, 60), 18 up.
const BACK_TO_BACK: &str = "level main floor 0' ceiling 8'\nroof 12'\nwall main 10',0' 10',10' thick 6\"\n\
    fixture A lavatory main 10',5' faces west\nfixture B lavatory main 10'6\",5' faces east\n";

/// Two closets whose flanges lie 2 ft west and east of a stack at the origin; 12 from the wall at y = 12.
const CLOSETS: &str = "level main floor 0'\nfixture WA water-closet main -2',1' faces south\n\
    fixture WB water-closet main 2',1' faces south\n";

fn index(network: &Network, id: &str) -> NodeIx {
    NodeIx(network.nodes.iter().position(|node| node.id == id).unwrap() as u32)
}

/// What is built at the point of both tees: the drain from below, an arm from each side, the vent above.
#[track_caller]
fn one_double_tee(text: &str) {
    let n = network(text);
    let there: Vec<_> = n
        .nodes
        .iter()
        .filter(|node| (node.at / 25.4).distance(glam::DVec3::new(123.0, 60.0, 18.0)) < 1e-9)
        .collect();
    assert_eq!(there.len(), 1, "one point, one node");
    let ix = index(&n, &there[0].id);
    let meeting = n.meeting(ix).unwrap();
    assert_eq!(meeting.openings(), Openings::Double);
    let of = |pipe: &PipeIx| n.pipe(*pipe).id.as_str();
    let branches: BTreeSet<_> = meeting.branches.iter().map(of).collect();
    assert_eq!(branches, BTreeSet::from(["A/arm/1", "B/arm/1"]));
    // Water comes in by both arms and leaves by the trunk, downwards.
    for &arm in &meeting.branches {
        assert_eq!(n.pipe(arm).to, ix);
        // 9 to the outlet and 3 to the core, at 1/4 in per ft.
        near(n.pipe(arm).fall_mm / 25.4, 12.0 / 48.0, 1e-9);
    }
    let trunk = n.pipe(meeting.trunk);
    assert_eq!(trunk.from, ix);
    assert!(n.node(trunk.to).at.z < there[0].at.z);
    let through = n.pipe(meeting.through.unwrap());
    assert_eq!(through.system.word(), "vent");
    for fixture in &n.fixtures {
        let tee = fixture
            .ports
            .iter()
            .find(|port| port.name == "tee")
            .unwrap();
        assert_eq!(tee.node, Some(ix), "{} drains there", fixture.tag);
    }
}

/// However it is told: from below in one run, from the tee in two, from a named point, by one tag or the other.
#[test]
fn two_tees_on_one_spot_are_one_double_tee() {
    let vent = |at: &str| format!("vent v\nstart {at}\nup 3'\ncap\n");
    let below = "waste d\nstart 10'3\",3' datum -1'\nnorth to abreast A.tee\n";
    for (drain, from) in [
        (format!("{below}catch A\nend B\n"), "A.tee"),
        (
            format!("{below}end A\nwaste e\nstart A.tee\nend B\n"),
            "B.tee",
        ),
        (
            format!("{below}end B\nwaste e\nstart A.tee\nend A\n"),
            "A.tee",
        ),
        (
            format!("{below}point Q\nend A\nwaste e\nstart Q\nend B\n"),
            "B.tee",
        ),
        (
            format!("{below}up to main floor +18\"\ncatch A\nend B\n"),
            "A.tee",
        ),
        (
            format!(
                "{below}up to main floor +18\"\npoint P\nwaste a\nstart P\nend A\nwaste b\nstart P\nend B\n"
            ),
            "P",
        ),
    ] {
        one_double_tee(&format!("{BACK_TO_BACK}{drain}{}", vent(from)));
        // A vent told before the drain makes no difference.
        one_double_tee(&format!("{BACK_TO_BACK}{}{drain}", vent(from)));
    }
}

/// Two branches from one point of a stack, as catches or as runs of their own: each falls 2 ft at 1/4 in per ft
/// from its flange to the stack, -9 + 24 / 48 = -8-1/2 under the flange.
#[test]
fn two_branches_into_a_stack_at_one_height() {
    let stack = "waste s\nstart 0',0' datum -3'\nsize 3\"\nup to main floor -9\"\npoint P\n";
    let runs = "waste a\nstart P\nwest to abreast WA.drain\nend WA\nwaste b\nstart P\neast to abreast WB.drain\nend WB\n";
    for (text, west, east) in [
        (
            format!("{CLOSETS}{stack}catch WA\ncatch WB\nup 2'\ncap\n"),
            "s/WA/1",
            "s/WB/1",
        ),
        (format!("{CLOSETS}{stack}up 2'\ncap\n{runs}"), "a/1", "b/1"),
        // One of each, at a point that is a junction already.
        (
            format!(
                "{CLOSETS}{stack}catch WA\nup 2'\ncap\nwaste b\nstart P\neast to abreast WB.drain\nend WB\n"
            ),
            "s/WA/1",
            "b/1",
        ),
    ] {
        let n = network(&text);
        let at = index(&n, "s:1");
        for (id, x) in [(west, -24.0), (east, 24.0)] {
            let branch = pipe(&n, id);
            assert_eq!(branch.to, at);
            near(branch.fall_mm / 25.4, 0.5, 1e-9);
            let far = n.node(branch.from).at / 25.4;
            assert!(far.distance(glam::DVec3::new(x, 0.0, -8.5)) < 1e-7, "{far}");
        }
        assert_eq!(n.node(at).kind, NodeKind::Junction);
        let meeting = n.meeting(at).unwrap();
        assert_eq!(meeting.openings(), Openings::Double);
        assert_eq!(n.pipe(meeting.trunk).id, "s/1");
        assert_eq!(meeting.through.map(|p| n.pipe(p).id.as_str()), Some("s/2"));
        let text = report(&n);
        assert!(
            text.contains(&format!("  P  double  {west}, {east}\n")),
            "{text}"
        );
        let json = to_json(&n);
        let node = json["nodes"]
            .as_array()
            .unwrap()
            .iter()
            .find(|n| n["name"] == "P")
            .unwrap();
        assert_eq!(node["junction"], "double");
        assert_eq!(node["branches"], serde_json::json!([west, east]));
    }
}

/// A double wye in a level drain: branches at 45 from both sides, 90 degrees between them.
#[test]
fn a_double_wye() {
    let n = network(
        "level main floor 0'\nfixture FN floor-drain main 8',3' faces south\nfixture FS floor-drain main 8',-3' faces south\n\
         waste d\nstart 0',0' datum -3'\neast 4'\ncatch FN at 45\ncatch FS at 45\neast 8'\ncap\n",
    );
    let meeting = n.meeting(index(&n, "d:1")).unwrap();
    assert_eq!(
        (meeting.branches.len(), meeting.openings()),
        (2, Openings::Double)
    );
    // 4 ft of run, then 3 ft of 45 and 1 ft on: the trap 4 + 4.243 + 1 ft from the start, at 1/4 in per ft.
    let fall = (4.0 + 3.0 * 2.0_f64.sqrt() + 1.0) / 4.0;
    for id in ["d:FN/2", "d:FS/2"] {
        near(inches(&n, id).z, -36.0 + fall, 1e-9);
    }
}

/// Vents and water cross alike.
#[test]
fn crosses_of_vents_and_water() {
    for system in ["vent", "cold"] {
        let n = network(&format!(
            "level main floor 0'\n{system} m\nstart 0',0' datum +3'\nup 2'\npoint X\nup 2'\ncap\n\
             {system} e\nstart X\neast 2'\ncap\n{system} w\nstart X\nwest 2'\ncap\n"
        ));
        let at = index(&n, "m:1");
        assert_eq!(
            n.meeting(at).unwrap().openings(),
            Openings::Double,
            "{system}"
        );
        lies(&n, "e:1", 24.0, 0.0, 60.0);
        lies(&n, "w:1", -24.0, 0.0, 60.0);
        for id in ["e/1", "w/1"] {
            assert_eq!(pipe(&n, id).from, at);
        }
    }
}

/// Round a stack there is room for four branches, square to each other.
#[test]
fn three_and_four_branches_square_to_each_other() {
    let stack = "level main floor 0'\nwaste s\nstart 0',0' datum -3'\nup 2'\npoint P\nup 2'\ncap\n";
    let branch = |way: &str| format!("waste {way}\nstart P\n{way} 2'\ncap\n");
    let three = stack.to_owned() + &branch("east") + &branch("north") + &branch("west");
    let n = network(&three);
    assert_eq!(
        n.meeting(index(&n, "s:1")).unwrap().openings(),
        Openings::Triple
    );
    let n = network(&(three + &branch("south")));
    assert_eq!(
        n.meeting(index(&n, "s:1")).unwrap().openings(),
        Openings::Quadruple
    );
}

/// A third branch between two others has no place; nor have two from one side.
#[test]
fn branches_that_no_fitting_takes() {
    let stack = "level main floor 0'\nwaste s\nstart 0',0' datum -3'\nup 2'\npoint P\nup 2'\ncap\n";
    let branch = |way: &str| format!("waste {way}\nstart P\n{way} 2'\ncap\n");
    for (ways, count) in [
        (&["east", "northeast"][..], "2"),
        (&["east", "west", "northeast"][..], "3"),
    ] {
        let branches: String = ways.iter().map(|way| branch(way)).collect();
        let text = format!("{stack}{branches}");
        let found = built(&text);
        assert_eq!(codes(&found), ["branches-too-close"]);
        let told = &found.diagnostics[0];
        assert_eq!(
            told.message,
            format!(
                "{count} branches meet at one point, two of them 45 degrees apart: no fitting takes them"
            )
        );
        // At the last of them, with a note at the one it is too near to.
        assert_eq!(
            &text[told.span.start as usize..told.span.end as usize],
            "northeast 2'"
        );
        let (other, _) = told.notes[0];
        assert_eq!(&text[other.start as usize..other.end as usize], "east 2'");
    }
}

/// A port right above a plumb run that itself goes on up: one pipe would lie in the other.
#[test]
fn one_pipe_in_another() {
    let told = "waste d\nstart 10'3\",5' datum -1'\nup 1'\ncatch A\nup to main floor +4'\ncap\n";
    let found = built(&format!("{BACK_TO_BACK}{told}"));
    assert_eq!(codes(&found), ["unreached-fixture", "pipe-in-pipe"]);
    assert_eq!(
        found.diagnostics[1].message,
        "two pipes leave one point the same way, up: one would lie in the other"
    );
}

/// A branch that two fixtures share has one size.
#[test]
fn a_shared_branch_has_one_size() {
    let told = "waste d\nstart 10'3\",3' datum -1'\nnorth to abreast A.tee\ncatch A size 1-1/2\"\nend B size 2\"\n";
    let found = built(&format!("{BACK_TO_BACK}{told}"));
    assert_eq!(codes(&found), ["two-sizes"]);
    assert_eq!(
        found.diagnostics[0].message,
        "this pipe is told as 1-1/2\" already, and here as 2\""
    );
}

/// Told from its own outlet into the middle of another drain, a run would give that a second way out.
#[test]
fn a_drain_with_two_ways_out() {
    let text = "level main floor 0'\nwaste a\nstart 0',0' datum -3'\neast 5'\npoint P\neast 5'\ncap\n\
        waste b\nstart 0',9' datum -5'\neast 5'\njoin P\n";
    let found = built(text);
    assert_eq!(codes(&found), ["two-ways-out"]);
    // Into a run's start it may: that run has no way out of its own yet.
    let text = "level main floor 0'\nwaste a\nstart 5',0' datum -3'\npoint P\neast 5'\ncap\n\
        waste b\nstart 0',0' datum -5'\neast 5'\njoin P\n";
    assert_eq!(codes(&built(text)), [""; 0]);
    assert_eq!(node(&built(text).network, "a:0").name.as_deref(), Some("P"));
}
