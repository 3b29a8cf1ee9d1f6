//! The plan of a storey: which way fixtures look, what belongs to it, risers, crossings, walls.

use kurbo::{ParamCurve, Point, Rect, Shape};
use wyeline_draw::Part;
use wyeline_draw::picture::{OutlineKind, Picture, SymbolKind};
use wyeline_draw::plan::{PlanOptions, Zone, plan};
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::LevelIx;
use wyeline_units::Scale;

fn network(text: &str) -> Network {
    let reading = wyeline_job::read(text);
    wyeline_network::build(&reading.job, text).network
}

/// At full scale, so that paper millimetres are building millimetres: x east, y south.
fn full(network: &Network, level: u32) -> Picture {
    let options = PlanOptions {
        level: LevelIx(level),
        scale: Scale(1),
        part: Part::default(),
        labels_along: false,
    };
    plan(network, &options)
}

/// The boxes of each stroke of a fixture's outline.
fn outline(network: &Network, picture: &Picture, tag: &str) -> Vec<Rect> {
    let ix = network
        .fixtures
        .iter()
        .position(|f| f.tag == tag)
        .expect("the fixture is in the job");
    let symbol = picture
        .symbols
        .iter()
        .find(|s| s.kind == SymbolKind::Fixture && s.fixture.is_some_and(|f| f.0 as usize == ix))
        .expect("the fixture is on the plan");
    symbol
        .strokes
        .iter()
        .map(|s| s.path.bounding_box())
        .collect()
}

const FOOT: f64 = 304.8;

#[test]
fn a_lavatory_that_faces_north_has_its_bowl_north_of_its_wall() {
    let network =
        network("units ft-in\nlevel main floor 0'\nfixture L lavatory main 5',2' faces north\n");
    let picture = full(&network, 0);
    let strokes = outline(&network, &picture, "L");
    // 20 x 18 in: from the wall at 2 ft northwards by 18 in, y on paper being -north.
    let slab = strokes[0];
    assert!((slab.y1 + 2.0 * FOOT).abs() < 0.1, "{slab:?}");
    assert!((slab.y0 + 3.5 * FOOT).abs() < 0.1, "{slab:?}");
    assert!((slab.width() - 20.0 * 25.4).abs() < 0.1);
    // The bowl sits towards the user.
    assert!(strokes[1].center().y < slab.center().y);
}

#[test]
fn a_closet_that_faces_east_has_its_tank_to_the_west() {
    let network =
        network("units ft-in\nlevel main floor 0'\nfixture W water-closet main 0',3' faces east\n");
    let strokes = outline(&network, &full(&network, 0), "W");
    assert!(strokes[0].center().x < strokes[1].center().x);
    assert!(
        strokes[0].x0.abs() < 0.1,
        "the tank stands against the wall"
    );
}

#[test]
fn a_mirrored_bath_has_its_drain_at_the_other_end() {
    let text = "
units ft-in
level main floor 0'
group bath
  fixture T bathtub here 0',0' faces north drain left
end-group
place bath as A at 5',0' on main
place bath as B at 20',0' on main mirrored east-west
";
    let network = network(text);
    let picture = full(&network, 0);
    let drain = |tag: &str, anchor: f64| {
        let strokes = outline(&network, &picture, tag);
        strokes.last().expect("a bath has a drain").center().x - anchor
    };
    let (a, b) = (drain("A/T", 5.0 * FOOT), drain("B/T", 20.0 * FOOT));
    assert!(a.abs() > 100.0, "the drain is off the middle: {a}");
    assert!((a + b).abs() < 0.1, "{a} and {b} are not mirror images");
}

#[test]
fn a_riser_that_goes_up_has_a_dot_and_one_that_drops_has_none() {
    let text = "
units ft-in
level main floor 0'
cold up
  start 0',0' main floor +1'
  size 3/4\"
  east 5'
  up 4'
  cap
cold down
  start 0',5' main floor +7'
  size 3/4\"
  east 5'
  down 4'
  cap
";
    let network = network(text);
    let picture = full(&network, 0);
    let at = |kind| {
        let s = picture
            .symbols
            .iter()
            .find(|s| s.kind == kind)
            .unwrap_or_else(|| panic!("no {kind:?}"));
        (s.strokes[0].path.bounding_box().center().y, s.strokes.len())
    };
    let (up, down) = (at(SymbolKind::RiserUp), at(SymbolKind::RiserDown));
    assert!(
        up.0.abs() < 0.1 && up.1 == 2,
        "circle and dot at 0,0: {up:?}"
    );
    assert!(
        (down.0 + 5.0 * FOOT).abs() < 0.1 && down.1 == 1,
        "circle alone, 5 ft north: {down:?}"
    );
}

#[test]
fn a_stack_that_only_passes_a_storey_goes_up_there() {
    let text = "
units ft-in
level cellar floor -8'
level main floor 0'
level upper floor 9'
vent v
  start 3',4' cellar floor +1'
  up 25'
  cap
";
    let network = network(text);
    let picture = full(&network, 1);
    let kinds: Vec<SymbolKind> = picture.symbols.iter().map(|s| s.kind).collect();
    assert_eq!(kinds, [SymbolKind::RiserUp]);
}

#[test]
fn a_riser_between_two_pipes_of_one_plan_is_told_from_the_lower() {
    let text = "
units ft-in
level main floor 0'
vent v
  start 0',0' main floor +1'
  east 5'
  up 6'
  east 5'
  cap
";
    let network = network(text);
    let picture = full(&network, 0);
    let risers: Vec<SymbolKind> = picture
        .symbols
        .iter()
        .map(|s| s.kind)
        .filter(|k| matches!(k, SymbolKind::RiserUp | SymbolKind::RiserDown))
        .collect();
    assert_eq!(risers, [SymbolKind::RiserUp]);
}

const TWO_STOREYS: &str = "
units ft-in
level cellar floor -8'
level main floor 0' joists 9-1/4\" run east-west finish 3/4\"
waste hung
  start 0',0' main floor -2'
  size 3\"
  east 5'
  cap
waste buried
  start 0',5' cellar floor -1'
  size 4\"
  east 5'
  cap
cold hung-cold
  start 0',10' main floor -2'
  size 3/4\"
  east 5'
  cap
cold in-joists
  start 0',15' main floor -5\"
  size 3/4\"
  east 5'
  cap
";

#[test]
fn a_drain_hung_under_a_floor_is_on_that_floors_plan_and_water_on_the_plan_below() {
    let network = network(TWO_STOREYS);
    let runs = |level| -> Vec<String> {
        let picture = full(&network, level);
        picture
            .pipes
            .iter()
            .map(|m| {
                network.runs[network.pipe(m.pipe).run.0 as usize]
                    .name
                    .clone()
            })
            .collect()
    };
    // Half way between the floors is -4 ft: the drain at -2 ft hangs in the upper half.
    assert_eq!(runs(1), ["hung", "in-joists"]);
    assert_eq!(runs(0), ["buried", "hung-cold"]);
}

#[test]
fn every_height_belongs_to_one_storey() {
    let network = network(TWO_STOREYS);
    let zones = [0, 1].map(|i| Zone::of(&network, LevelIx(i)).expect("there are two levels"));
    for system in System::ALL {
        for z in (-5000..5000).step_by(37) {
            let count = zones
                .iter()
                .filter(|zone| zone.has(system, f64::from(z)))
                .count();
            assert_eq!(count, 1, "{system:?} at {z}");
        }
    }
}

#[test]
fn the_lower_of_two_crossing_pipes_is_broken() {
    // Vents, for no letters are set into their lines.
    let text = "
units ft-in
level main floor 0'
vent low
  start 0',5' main floor +1'
  size 3/4\"
  east 10'
  cap
vent high
  start 5',0' main floor +2'
  size 3/4\"
  north 10'
  cap
";
    let network = network(text);
    let options = PlanOptions {
        level: LevelIx(0),
        scale: Scale(48),
        part: Part::default(),
        labels_along: false,
    };
    let picture = plan(&network, &options);
    let pieces = |name: &str| {
        let of = |m: &&wyeline_draw::picture::PipeMark| {
            network.runs[network.pipe(m.pipe).run.0 as usize].name == name
        };
        picture
            .pipes
            .iter()
            .find(of)
            .expect("the run is drawn")
            .pieces
            .len()
    };
    assert_eq!((pieces("low"), pieces("high")), (2, 1));
}

#[test]
fn the_outer_faces_of_a_closed_room_meet_at_its_corners() {
    let network = network(
        "units ft-in\nlevel main floor 0'\nwall main 0',0' 10',0' 10',8' 0',8' 0',0' thick 6\"\n",
    );
    let picture = full(&network, 0);
    let walls = picture
        .outlines
        .iter()
        .filter(|o| o.of == OutlineKind::Wall);
    let ends: Vec<Point> = walls
        .flat_map(|o| &o.strokes)
        .flat_map(|s| s.path.segments())
        .flat_map(|s| [s.start(), s.end()])
        .collect();
    // Outer corner in the south-west: 6 in west and south of the room's corner.
    let corner = Point::new(-0.5 * FOOT, 0.5 * FOOT);
    let meet = ends.iter().filter(|p| p.distance(corner) < 0.01).count();
    assert_eq!(meet, 2, "both outer faces end in the mitre");
    let all = ends
        .iter()
        .fold(Rect::from_points(corner, corner), |r, p| r.union_pt(*p));
    assert!(
        (all.width() - 11.0 * FOOT).abs() < 0.01 && (all.height() - 9.0 * FOOT).abs() < 0.01,
        "{all:?}"
    );
}

#[test]
fn a_door_leaves_a_gap_of_its_width_and_a_leaf_as_long() {
    let text = "
units ft-in
level main floor 0'
wall main 0',0' 10',0' 10',8' 0',8' 0',0' thick 6\"
door main 5',0' wide 3'
";
    let network = network(text);
    let picture = full(&network, 0);
    let south = picture
        .outlines
        .iter()
        .filter(|o| o.of == OutlineKind::Wall)
        .flat_map(|o| &o.strokes);
    let face: f64 = south
        .flat_map(|s| s.path.segments())
        .map(|s| (s.start(), s.end()))
        .filter(|(a, b)| a.y.abs() < 0.01 && b.y.abs() < 0.01)
        .map(|(a, b)| a.distance(b))
        .sum();
    assert!((face - 7.0 * FOOT).abs() < 0.1, "{face}");
    let door = picture
        .outlines
        .iter()
        .find(|o| o.of == OutlineKind::Opening)
        .expect("the door is drawn");
    let leaf = door.strokes[0]
        .path
        .segments()
        .next()
        .expect("it has a leaf");
    assert!((leaf.start().distance(leaf.end()) - 3.0 * FOOT).abs() < 0.1);
    assert!(leaf.end().y < 0.0, "it opens into the room, to the north");
}

#[test]
fn a_level_that_is_not_there_gives_an_empty_plan() {
    let network = network("units ft-in\nlevel main floor 0'\n");
    assert!(full(&network, 7).pipes.is_empty());
}
