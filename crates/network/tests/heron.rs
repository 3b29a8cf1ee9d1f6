//! The washroom of Heron Cottage, node by node, with every value derived by hand.
//!
//! Inches. The west wall's core is at x = -6-1/2 / 2 = -3-1/4, the north wall's at
//! y = 78 + 3-1/4 = 81-1/4. Slope 1/4 in per ft is 1 in 48.

mod support;

use support::{inches, lies, near, network, node, pipe};
use wyeline_network::model::{Lie, Network, NodeKind};

const HERON: &str = "\
job    Heron Cottage, washroom
units  ft-in
code   ipc-2021
datum  main floor is 0
level  cellar  floor -7'6\"
level  main    floor 0'   ceiling 8'4\"   joists 9-1/4\" run east-west
roof   12'
wall   main  0',0'  10',0'  10',6'6\"  0',6'6\"  0',0'   thick 6-1/2\"
fixture  WC1   water-closet   main  0'0\",3'3\"   faces east
fixture  SHR1  shower         main  5'0\",6'6\"   faces south   drain centre
fixture  LAV1  lavatory       main  8'6\",6'6\"   faces south
waste  house-drain
  start  west-wall,3'3\"  cellar floor -9\"
  size   3\"
  material pvc
  cleanout CO1
  up     to main floor -9\"
  east   to abreast WC1.drain
  catch  WC1
  size   2\"
  east   to abreast SHR1.drain
  catch  SHR1
  east   to abreast LAV1.tee
  end    LAV1
vent  washroom-vent
  start  LAV1.tee
  size   2\"
  up     through roof
cold  c1
  start  west-wall,2'6\"  main floor -5\"
  size   3/4\"
  east   to abreast WC1.cold
  catch  WC1
  size   1/2\"
  east   to abreast SHR1.cold
  catch  SHR1
  east   to abreast LAV1.cold
  end    LAV1
";

fn heron() -> Network {
    network(HERON)
}

/// The floor of the cellar is -90: 9 below is -99, and 9 below the main floor is -9.
#[test]
fn the_stack_stands_in_the_west_wall() {
    let n = heron();
    lies(&n, "house-drain:0", -3.25, 39.0, -99.0);
    lies(&n, "house-drain:1", -3.25, 39.0, -9.0);
    assert_eq!(node(&n, "house-drain:0").kind, NodeKind::Start);
    assert_eq!(node(&n, "house-drain:1").kind, NodeKind::Turn);
    assert_eq!(pipe(&n, "house-drain/1").lie, Lie::Vertical);
}

/// The closet's flange is 12 from the wall it stands at, facing east: x = 12, on the floor.
/// 15-1/4 of level pipe from the stack rises 15.25 / 48 = 0.317708.
#[test]
fn the_closet_hangs_on_the_drain() {
    let n = heron();
    lies(&n, "house-drain:2", 12.0, 39.0, -9.0 + 15.25 / 48.0);
    lies(&n, "WC1.drain", 12.0, 39.0, 0.0);
    assert_eq!(node(&n, "house-drain:2").kind, NodeKind::Junction);
    assert_eq!(node(&n, "WC1.drain").kind, NodeKind::Outlet);
    // The flange is right above the run: only the vertical is built.
    assert_eq!(pipe(&n, "house-drain/WC1/1").lie, Lie::Vertical);
}

/// The shower faces south from y = 78 with its drain 18 out: y = 60. The branch leaves
/// the run 48 further east, goes 21 north, and has its trap there, under the outlet.
#[test]
fn the_showers_trap_is_under_its_outlet() {
    let n = heron();
    let run = -9.0 + (15.25 + 48.0) / 48.0;
    lies(&n, "house-drain:3", 60.0, 39.0, run);
    lies(&n, "house-drain:SHR1/1", 60.0, 60.0, run + 21.0 / 48.0);
    lies(&n, "SHR1.drain", 60.0, 60.0, 0.0);
    assert_eq!(node(&n, "house-drain:SHR1/1").kind, NodeKind::Trap);
    assert!(pipe(&n, "house-drain/SHR1/2").arm);
}

/// The lavatory's tee is in the core of the north wall, 18 up. Its outlet is 9 out and 25 up; the
/// arm from tee to trap is 9 + 3-1/4 = 12-1/4 long and rises 12.25 / 48.
#[test]
fn the_lavatory_has_trap_and_arm() {
    let n = heron();
    let run = -9.0 + (15.25 + 48.0 + 42.0) / 48.0;
    lies(&n, "house-drain:4", 102.0, 39.0, run);
    lies(&n, "house-drain:LAV1/1", 102.0, 81.25, run + 42.25 / 48.0);
    lies(&n, "LAV1.tee", 102.0, 81.25, 18.0);
    lies(&n, "LAV1.trap", 102.0, 69.0, 18.0 + 12.25 / 48.0);
    lies(&n, "LAV1.drain", 102.0, 69.0, 25.0);
    assert_eq!(node(&n, "LAV1.tee").kind, NodeKind::ArmEnd);
    assert_eq!(node(&n, "LAV1.trap").kind, NodeKind::Trap);
}

/// Roof at 144, and 6 above it: 150. The vent begins at the node the drain ends at.
#[test]
fn the_vent_rises_from_the_tee() {
    let n = heron();
    lies(&n, "washroom-vent:1", 102.0, 81.25, 150.0);
    assert_eq!(node(&n, "washroom-vent:1").kind, NodeKind::RoofEnd);
    let vent = pipe(&n, "washroom-vent/1");
    assert_eq!(n.node(vent.from).id, "LAV1.tee");
    assert_eq!(node(&n, "LAV1.tee").pipes.len(), 3, "drain, arm and vent");
}

/// The closet's supply is 6 to the left as seen facing it; its user looks west, so left is
/// south: y = 33, in the wall's core, 8-1/4 up. Being abreast already, the run does not move.
#[test]
fn cold_water_reaches_the_ports() {
    let n = heron();
    lies(&n, "c1:0", -3.25, 30.0, -5.0);
    lies(&n, "c1:WC1/1", -3.25, 33.0, -5.0);
    lies(&n, "WC1.cold", -3.25, 33.0, 8.25);
    // Cold is on the user's right: east of the shower's and the lavatory's centre lines.
    lies(&n, "c1:1", 64.0, 30.0, -5.0);
    lies(&n, "SHR1.cold", 64.0, 81.25, 48.0);
    lies(&n, "c1:2", 106.0, 30.0, -5.0);
    lies(&n, "LAV1.cold", 106.0, 81.25, 21.0);
    assert_eq!(
        n.pipes
            .iter()
            .filter(|p| p.run == pipe(&n, "c1/1").run)
            .count(),
        8
    );
}

/// Level pipe of a drain is drawn at the height of its downstream end; the risers take up the rest.
#[test]
fn sloped_runs_are_drawn_level() {
    let n = heron();
    for id in [
        "house-drain:2",
        "house-drain:3",
        "house-drain:SHR1/1",
        "house-drain:4",
        "house-drain:LAV1/1",
    ] {
        near(node(&n, id).z_drawn / 25.4, -9.0, 1e-9);
    }
    near(node(&n, "LAV1.trap").z_drawn / 25.4, 18.0, 1e-9);
    for id in [
        "WC1.drain",
        "SHR1.drain",
        "LAV1.drain",
        "LAV1.tee",
        "house-drain:1",
    ] {
        near(node(&n, id).z_drawn, node(&n, id).at.z, 1e-9);
    }
}

/// Waste flows toward its start, the vent from drain to air, cold away from its start.
#[test]
fn everything_flows_the_right_way() {
    let n = heron();
    let ends = |id: &str| {
        let pipe = pipe(&n, id);
        (n.node(pipe.from).id.as_str(), n.node(pipe.to).id.as_str())
    };
    assert_eq!(ends("house-drain/1"), ("house-drain:1", "house-drain:0"));
    assert_eq!(ends("house-drain/WC1/1"), ("WC1.drain", "house-drain:2"));
    assert_eq!(ends("LAV1/arm/1"), ("LAV1.trap", "LAV1.tee"));
    assert_eq!(ends("c1/1"), ("c1:0", "c1:1"));
}

/// 3 in Schedule 40 is 3.500 - 2 x 0.216 = 3.068 inside: the invert is 1.534 below the centre.
/// Where 3 in becomes 2 in (2.067 inside) the centres meet.
#[test]
fn inverts_are_half_a_bore_below_the_centre() {
    let n = heron();
    let stack = inches(&n, "house-drain:1").z;
    near(
        pipe(&n, "house-drain/2").invert_to.unwrap() / 25.4,
        stack - 1.534,
        1e-9,
    );
    let change = inches(&n, "house-drain:2").z;
    near(
        pipe(&n, "house-drain/2").invert_from.unwrap() / 25.4,
        change - 1.534,
        1e-9,
    );
    near(
        pipe(&n, "house-drain/3").invert_to.unwrap() / 25.4,
        change - 2.067 / 2.0,
        1e-9,
    );
}

/// Nobody stated the slope, so it is marked; the cold run states no slope and has none.
#[test]
fn the_slope_is_assumed() {
    let n = heron();
    let slope = pipe(&n, "house-drain/2").slope.unwrap();
    assert!(slope.assumed);
    assert_eq!(slope.slope.terms(), (1, 48));
    assert_eq!(pipe(&n, "c1/1").slope, None);
    assert!(
        n.doubts
            .iter()
            .any(|d| d.text == "house-drain: slope 1/4 in/ft")
    );
}
