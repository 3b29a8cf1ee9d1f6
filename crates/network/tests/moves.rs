//! Moves: where they lead, by published exercises, trigonometry and plain sums.

mod support;

use support::{INCH, inches, lies, near, network, node, pipe};
use wyeline_network::model::{Lie, NodeKind};

/// A cold run from the origin at height 0, so that no fall comes in.
fn cold(steps: &str) -> wyeline_network::Network {
    network(&format!(
        "level main floor 0' ceiling 8'\nroof 12'\ncold c\nstart 0',0' datum\n{steps}"
    ))
}

/// Exercise: rise 8, roll 12 (true offset 14.42), legs of 42 and 61 in less one run each.
/// With 45s: run 14.42, legs 27.58 and 46.58, travel 20.40.
#[test]
fn rolling_offset_exercise_with_45s() {
    let n = cold("east 27.58\"\noffset up 8\" north 12\" at 45\neast 46.58\"\ncap\n");
    near(n.length_mm(pipe(&n, "c/2")) / INCH, 20.40, 0.005);
    near(
        (node(&n, "c:2").at.x - node(&n, "c:1").at.x) / INCH,
        14.42,
        0.005,
    );
    // 27.58 + 14.42 + 46.58 = 88.58 east; 12 north; 8 up.
    let end = inches(&n, "c:3");
    near(end.x, 88.58, 0.005);
    near(end.y, 12.0, 1e-9);
    near(end.z, 8.0, 1e-9);
    assert_eq!(pipe(&n, "c/2").lie, Lie::Rolling);
}

/// The same with 22-1/2s: run 34.82, legs 7.18 and 26.18, travel 37.69.
#[test]
fn rolling_offset_exercise_with_22s() {
    let n = cold("east 7.18\"\noffset up 8\" north 12\" at 22.5\neast 26.18\"\ncap\n");
    near(n.length_mm(pipe(&n, "c/2")) / INCH, 37.69, 0.005);
    near(
        (node(&n, "c:2").at.x - node(&n, "c:1").at.x) / INCH,
        34.82,
        0.005,
    );
}

/// Exercise: P0 (0,0), 4 ft east, a 45 to the northeast with 3 ft legs to (7,3), 4 ft north to (7,7);
/// the 45 is 4.243 ft long, 12.243 ft in all.
#[test]
fn level_45_exercise() {
    let n = cold("east 4'\nnortheast legs 3'\nnorth 4'\ncap\n");
    lies(&n, "c:1", 48.0, 0.0, 0.0);
    lies(&n, "c:2", 84.0, 36.0, 0.0);
    lies(&n, "c:3", 84.0, 84.0, 0.0);
    near(n.length_mm(pipe(&n, "c/2")) / INCH / 12.0, 4.243, 0.0005);
    near(n.runs[0].developed_mm / INCH / 12.0, 12.243, 0.0005);
    assert_eq!(pipe(&n, "c/2").lie, Lie::LevelSkew);
}

/// Travel is true offset / sin A and run is true offset / tan A, whichever way the heading goes.
#[test]
fn rolling_offset_constants() {
    // Constants as printed in the trade: travel and run per unit of true offset.
    for (angle, travel, run) in [
        ("11.25", 5.126, 5.027),
        ("22.5", 2.613, 2.414),
        ("30", 2.000, 1.732),
        ("45", 1.414, 1.000),
        ("60", 1.155, 0.577),
        ("72", 1.051, 0.325),
    ] {
        // 3 and 4 make a true offset of 5.
        for (offset, heading) in [
            (
                format!("offset up 3\" south 4\" at {angle} going west"),
                glam::DVec3::NEG_X,
            ),
            (
                format!("offset east 3\" north 4\" at {angle} going up"),
                glam::DVec3::Z,
            ),
        ] {
            let n = cold(&format!("{offset}\ncap\n"));
            let way = (node(&n, "c:1").at - node(&n, "c:0").at) / INCH;
            near(way.length() / 5.0, travel, 0.0006);
            near(way.dot(heading) / 5.0, run, 0.0006);
        }
    }
}

/// A 45 told by its travel: 2 ft along, 2 / sqrt 2 each way.
#[test]
fn a_45_told_by_its_travel() {
    let n = cold("southwest 2'\ncap\n");
    let leg = -24.0 * std::f64::consts::FRAC_1_SQRT_2;
    lies(&n, "c:1", leg, leg, 0.0);
}

/// 3 ft of rise at 60 degrees from level leans 36 / tan 60 = 20.785 in.
#[test]
fn a_tilted_move() {
    let n = cold("up 3' at 60 north\ncap\n");
    near(inches(&n, "c:1").y, 20.785, 0.0005);
    near(inches(&n, "c:1").z, 36.0, 1e-9);
    assert_eq!(pipe(&n, "c/1").lie, Lie::Tilted);
}

/// Abreast of a point along a 45: the way to it, laid along the 45. From (0,0) going northeast to be
/// abreast of (6', 0): 6 / sqrt 2 along, at (3', 3').
#[test]
fn abreast_along_a_45() {
    let n = cold("northeast to abreast 6',0'\ncap\n");
    lies(&n, "c:1", 36.0, 36.0, 0.0);
}

/// The core of a wall 6 thick with its face at 10 ft is 3 behind it.
#[test]
fn into_the_next_wall() {
    let n = network(
        "level main floor 0' ceiling 8'\nwall main 10',0' 10',10' thick 6\"\nwall main 20',0' 20',10' thick 6\"\n\
         cold c\nstart 2',5' main floor +1'\neast into wall\neast into wall\ncap\n",
    );
    // Walked north, the thickness lies on the right: east.
    lies(&n, "c:1", 123.0, 60.0, 12.0);
    lies(&n, "c:2", 243.0, 60.0, 12.0);
}

/// Walls named by their side: the core of the outermost one at that place, here 3 outside the faces at
/// x = 0 (4 further west north of y = 10) and y = 20.
#[test]
fn coordinates_by_walls() {
    let told = |at: &str| {
        network(&format!(
            "level main floor 0'\nwall main 0',0' 10',0' 10',20' -4',20' -4',10' 0',10' 0',0' thick 6\"\n\
             cold c\nstart {at} main floor\nup 1'\ncap\n"
        ))
    };
    lies(&told("west-wall,5'"), "c:0", -3.0, 60.0, 0.0);
    lies(&told("west-wall,15'"), "c:0", -51.0, 180.0, 0.0);
    lies(&told("5',north-wall"), "c:0", 60.0, 243.0, 0.0);
    lies(&told("east-wall,south-wall"), "c:0", 123.0, -3.0, 0.0);
}

/// Under the floor the walls meant are those above; between ceiling and floor as well.
#[test]
fn walls_of_the_storey_above() {
    let n = network(
        "level cellar floor -8' ceiling 7'\nlevel main floor 0'\nwall main 10',0' 10',10' thick 6\"\nwall cellar 20',0' 20',10' thick 6\"\n\
         cold c\nstart 2',5' main floor -6\"\neast into wall\ndown to cellar floor +3'\neast into wall\ncap\n",
    );
    near(inches(&n, "c:1").x, 123.0, 1e-9);
    near(inches(&n, "c:3").x, 243.0, 1e-9);
}

/// A roof with its eave at 10 ft along x = 0 rising east 6 in 12: at x = 8 ft it is 14 ft high. The pipe ends
/// 6 above it unless said.
#[test]
fn through_a_pitched_roof() {
    let n = network(
        "level main floor 0'\nroof 10' at 0',0' rising east 6 in 12\nvent v\nstart 8',3' main floor\nup through roof\n\
         vent w\nstart 4',3' main floor\nup through roof above 1'\n",
    );
    near(inches(&n, "v:1").z, 14.0 * 12.0 + 6.0, 1e-9);
    near(inches(&n, "w:1").z, 12.0 * 12.0 + 12.0, 1e-9);
    assert_eq!(node(&n, "v:1").kind, NodeKind::RoofEnd);
}

/// Underside of the joists: finished floor less finish and depth. 9'-0 less 1-1/2 less 9-1/4 is 97-1/4.
#[test]
fn heights_from_every_surface() {
    let n = network(
        "level main floor 0' ceiling 8'\nlevel upper floor 9' joists 9-1/4\" run east-west finish 1-1/2\"\nroof 20'\n\
         cold c\nstart 0',0' main ceiling -2\"\nup to upper joists -1\"\nup to upper floor +1'\nup to roof -3'\nup to datum +18'\ncap\n",
    );
    let z: Vec<f64> = (0..5).map(|k| inches(&n, &format!("c:{k}")).z).collect();
    for (got, expected) in z.into_iter().zip([94.0, 96.25, 120.0, 204.0, 216.0]) {
        near(got, expected, 1e-9);
    }
}

/// A height may be of the invert or the top: 3 in Schedule 40 is 3.068 inside and 3.500 outside,
/// although the size is told after the start.
#[test]
fn heights_of_invert_and_top() {
    let told = |part: &str| {
        network(&format!(
            "level main floor 0'\nwaste d\nstart 0',0' {part} datum\nsize 3\"\nmaterial pvc\neast 1'\ncap\n"
        ))
    };
    near(inches(&told("invert"), "d:0").z, 1.534, 1e-9);
    near(inches(&told("top"), "d:0").z, -1.75, 1e-9);
}

/// Crowns level: a 3 in pipe above a 4 in one has its centre (4.026 - 3.068) / 2 = 0.479 higher;
/// inverts level, as much lower. The node itself stays at the centre of the pipe downstream.
#[test]
fn what_meets_at_a_change_of_size() {
    for (word, shift) in [("", 0.0), (" crowns", 0.479), (" inverts", -0.479)] {
        let n = network(&format!(
            "level main floor 0'\nwaste d\nstart 0',0' datum\nsize 4\"\nmaterial pvc\neast 4'\nsize 3\"{word}\neast 4'\ncap\n"
        ));
        near(inches(&n, "d:1").z, 1.0, 1e-9);
        near(inches(&n, "d:2").z, 2.0 + shift, 1e-9);
        near(
            pipe(&n, "d/2").invert_to.unwrap() / INCH,
            1.0 + shift - 1.534,
            1e-9,
        );
        near(pipe(&n, "d/2").fall_mm / INCH, 1.0, 1e-9);
    }
}

/// From a stack the longer of the two level legs comes first, then the shorter, then up.
#[test]
fn a_catch_from_a_stack() {
    let n = network(
        "level main floor 0'\nfixture FD1 floor-drain main 5',2' faces south\nwaste d\nstart 0',0' datum -3'\nup 1'\ncatch FD1\nup 1'\ncap\n",
    );
    near(inches(&n, "d:FD1/1").x, 60.0, 1e-9);
    near(inches(&n, "d:FD1/1").y, 0.0, 1e-9);
    // Its trap is under it, 7 ft of pipe from the stack: 84 / 48 = 1.75 above -24.
    lies(&n, "d:FD1/2", 60.0, 24.0, -22.25);
    assert_eq!(node(&n, "d:FD1/2").kind, NodeKind::Trap);
}

/// At 45 the branch leans so that it enters with the flow: upstream, for a drain is told going
/// upstream. 3 ft aside and 5 ft on: 3 ft legs of a 45, then 2 ft on along the run.
#[test]
fn a_catch_at_45() {
    let n = network(
        "level main floor 0'\nfixture FD1 floor-drain main 5',3' faces south\nwaste d\nstart -1',0' datum -3'\neast 1'\ncatch FD1 at 45\neast 9'\ncap\n",
    );
    near(inches(&n, "d:FD1/1").x, 36.0, 1e-9);
    near(inches(&n, "d:FD1/1").y, 36.0, 1e-9);
    near(inches(&n, "d:FD1/2").x, 60.0, 1e-9);
}

/// Two lavatories back to back share the point where their tees meet.
#[test]
fn two_fixtures_at_one_tee() {
    let n = network(
        "level main floor 0'\nwall main 10',0' 10',10' thick 6\" \nfixture A lavatory main 10',5' faces west\n\
         fixture B lavatory main 10'6\",5' faces east\nwaste d\nstart 10'3\",5' datum -1'\nup to main floor +18\"\ncatch A\nend B\n\
         vent v\nstart A.tee\nup 3'\ncap\n",
    );
    let shared: Vec<_> = n
        .nodes
        .iter()
        .filter(|node| node.at.distance(glam::DVec3::new(123.0, 60.0, 18.0) * INCH) < 1e-6)
        .collect();
    assert_eq!(shared.len(), 1);
    // Drain below, an arm from each side, the vent above.
    assert_eq!(shared[0].pipes.len(), 4);
}

/// A second device at a point sits ahead of the first by that one's length.
#[test]
fn devices_in_a_row() {
    let n = cold("meter M1 length 8\"\nball-valve V1\neast 3'\ncap\n");
    lies(&n, "c:1.1", 8.0, 0.0, 0.0);
    assert_eq!(
        node(&n, "c:1.1").device.as_ref().unwrap().tag.as_deref(),
        Some("V1")
    );
    near(n.runs[0].developed_mm / INCH, 36.0, 1e-9);
}

/// A run may use a point that another run names further down.
#[test]
fn points_told_later() {
    let n = network(
        "level main floor 0'\ncold a\nstart P1\nnorth 1'\ncap\ncold b\nstart 0',0' datum\neast to abreast 3',9'\npoint P1\neast 1'\ncap\n",
    );
    lies(&n, "a:1", 36.0, 12.0, 0.0);
    assert_eq!(node(&n, "b:1").name.as_deref(), Some("P1"));
}
