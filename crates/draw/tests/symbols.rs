//! Symbols at the nodes of small jobs: their size, plane, and what they cut out of their pipes.

use glam::DVec3;
use kurbo::{ParamCurve, Point, Rect, Shape, Vec2};
use wyeline_draw::ink::Stroke;
use wyeline_draw::iso::{IsoOptions, iso};
use wyeline_draw::picture::{Picture, Symbol, SymbolKind};
use wyeline_draw::symbol::{all_kinds, sample, sample_along};
use wyeline_draw::{Corner, Part};
use wyeline_job::model::DeviceKind;
use wyeline_network::Network;
use wyeline_units::Scale;

fn network(text: &str) -> Network {
    let reading = wyeline_job::read(text);
    wyeline_network::build(&reading.job, text).network
}

fn picture(network: &Network, scale: u32) -> Picture {
    iso(
        network,
        &IsoOptions {
            corner: Corner::Sw,
            scale: Scale(scale),
            true_fall: false,
            part: Part::default(),
            labels_along: false,
            grid: false,
        },
    )
}

fn find(picture: &Picture, kind: SymbolKind) -> &Symbol {
    picture
        .symbols
        .iter()
        .find(|s| s.kind == kind)
        .unwrap_or_else(|| panic!("no {kind:?} in the picture"))
}

fn points(stroke: &Stroke) -> impl Iterator<Item = Point> {
    stroke
        .path
        .segments()
        .flat_map(|s| (0..=8).map(move |i| s.eval(f64::from(i) / 8.0)))
}

fn extent(symbol: &Symbol) -> Rect {
    symbol
        .strokes
        .iter()
        .map(|s| s.path.bounding_box())
        .reduce(|a, b| a.union(b))
        .expect("it has strokes")
}

/// Paper unit vectors from the south-west corner, y down: east up at 30 degrees, north at 150.
const EAST: Vec2 = Vec2::new(0.866_025_403_784_438_6, -0.5);
const NORTH: Vec2 = Vec2::new(-0.866_025_403_784_438_6, -0.5);

/// The parts of `v` along two paper vectors.
fn parts(v: Vec2, a: Vec2, b: Vec2) -> (f64, f64) {
    let d = a.cross(b);
    (v.cross(b) / d, a.cross(v) / d)
}

const VALVE: &str = "
units ft-in
level main floor 0'
cold c
  start 0',0' main floor +1'
  size 3/4\"
  east 8'
  gate-valve
  east 8'
  cap
";

const LAVATORY: &str = "
units ft-in
level main floor 0'
level cellar floor -8'
wall main 0',0' 10',0' 10',8' 0',8' 0',0' thick 6\"
fixture LAV1 lavatory main 5',8' faces south
waste w
  start 0',8' main floor -1'
  size 2\"
  east to abreast LAV1.tee
  end LAV1
";

#[test]
fn every_kind_has_a_sample_that_can_be_drawn_on_each_axis() {
    for kind in all_kinds() {
        for way in [DVec3::X, DVec3::Y, DVec3::Z] {
            let symbol = sample_along(kind, way);
            assert_eq!(symbol.kind, kind);
            assert!(!symbol.strokes.is_empty(), "{kind:?} draws nothing");
            for stroke in &symbol.strokes {
                assert!(
                    stroke.pen.is_some() || stroke.fill.is_some(),
                    "{kind:?} has an unseen stroke"
                );
                assert!(
                    !points(stroke).any(|p| !p.is_finite()),
                    "{kind:?} has a point nowhere"
                );
            }
        }
    }
}

#[test]
fn a_sample_fits_a_row_of_the_legend() {
    // The largest, the reducing station, is 22 mm long and has leads of 2.5 mm: 27 mm along 30 degrees
    // is 23.4 mm across. Nothing else reaches further.
    for kind in all_kinds() {
        let e = extent(&sample(kind));
        assert!(e.width() <= 24.0 && e.height() <= 20.0, "{kind:?}: {e:?}");
    }
}

#[test]
fn the_boxes_of_a_symbol_cover_its_strokes() {
    for kind in all_kinds() {
        for way in [DVec3::X, DVec3::Y, DVec3::Z] {
            let symbol = sample_along(kind, way);
            for p in symbol.strokes.iter().flat_map(points) {
                let covered = symbol
                    .boxes
                    .iter()
                    .any(|b| b.inflate(0.06, 0.06).contains(p));
                assert!(covered, "{kind:?} along {way}: {p:?} is in no box");
            }
        }
    }
}

#[test]
fn a_valve_cuts_its_line_by_its_own_length() {
    // A drain, for no letters are set into its line. 16 ft of 1:48 are 101.6 mm of line; the valve is 6.4 mm long.
    let text = "
units ft-in
level main floor 0'
waste w
  start 0',0' main floor -1'
  size 4\"
  east 8'
  backwater-valve
  east 8'
  cap
";
    let network = network(text);
    let picture = picture(&network, 48);
    let drawn: f64 = picture
        .pipes
        .iter()
        .flat_map(|m| &m.pieces)
        .map(|(a, b)| a.distance(*b))
        .sum();
    assert!((drawn - (101.6 - 6.4)).abs() < 0.01, "{drawn}");
}

#[test]
fn a_valve_keeps_its_paper_size_at_any_scale() {
    let network = network(VALVE);
    let kind = SymbolKind::Device(DeviceKind::GateValve);
    let at = |scale| extent(find(&picture(&network, scale), kind)).size();
    let (fine, coarse) = (at(24), at(96));
    assert!((fine.width - coarse.width).abs() < 1e-6 && (fine.height - coarse.height).abs() < 1e-6);
    // 2.5 mm each way along 30 degrees: 5 cos 30 wide.
    assert!((fine.width - 5.0 * EAST.x).abs() < 1e-6, "{fine:?}");
}

#[test]
fn equipment_is_drawn_to_scale() {
    let text = "
units ft-in
level main floor 0'
fixture WH1 water-heater main 5',5' faces south
cold c
  start 0',5' main floor +7'
  size 3/4\"
  east to abreast WH1.cold
  end WH1.cold
";
    let network = network(text);
    let at = |scale| {
        let p = picture(&network, scale);
        extent(
            p.symbols
                .iter()
                .find(|s| s.kind == SymbolKind::Fixture)
                .expect("the heater is drawn"),
        )
        .size()
    };
    let (large, small) = (at(24), at(48));
    assert!((large.width - 2.0 * small.width).abs() < 1e-6);
    // A 22 in cylinder: its ellipse is 1.2247 of 558.8 mm across, at 1:48.
    let wide = 22.0 * 25.4 * 1.5_f64.sqrt() / 48.0;
    assert!(
        (small.width - wide).abs() < 0.01,
        "{} instead of {wide}",
        small.width
    );
}

#[test]
fn a_trap_lies_in_the_plane_of_its_arm() {
    // The lavatory hangs on the north wall: its arm runs north, so the U lies between north and up and
    // nowhere on the other side of its inlet.
    let network = network(LAVATORY);
    let picture = picture(&network, 24);
    let trap = find(&picture, SymbolKind::Trap);
    let node = network.node(trap.node.expect("a trap is at a node"));
    let projection = wyeline_draw::Projection::new(Corner::Sw, Scale(24));
    let at = projection.point(node.drawn());
    let u: Vec<(f64, f64)> = points(&trap.strokes[0])
        .map(|p| parts(p - at, NORTH, Vec2::new(0.0, -1.0)))
        .collect();
    let far = u.iter().map(|p| p.0).fold(0.0, f64::max);
    let low = u.iter().map(|p| p.1).fold(0.0, f64::min);
    assert!(
        u.iter().all(|p| p.0 > -0.01),
        "it lies to the south of its inlet"
    );
    // U of radius 1.6: its foot is 1.1 r of straight leg and r of curve below the weir, its end 2.75 r along the arm.
    assert!((low + 2.1 * 1.6).abs() < 0.02, "{low}");
    assert!((far - 2.75 * 1.6).abs() < 0.02, "{far}");
}

#[test]
fn the_way_of_flow_shows_in_the_throat_of_a_wye() {
    // The branch comes from the north into a main that flows west: the throat lies between north and west.
    let text = "
units ft-in
level main floor 0'
waste w
  start 0',0' main floor -1'
  size 3\"
  east 10'
  point P
  east 10'
  cap
waste b
  start P
  size 2\"
  north 10'
  cap
";
    let network = network(text);
    let picture = picture(&network, 48);
    let joint = find(&picture, SymbolKind::Junction);
    let node = network.node(joint.node.expect("a joint is at a node"));
    let at = wyeline_draw::Projection::new(Corner::Sw, Scale(48)).point(node.drawn());
    for p in points(&joint.strokes[0]) {
        let (north, west) = parts(p - at, NORTH, -EAST);
        assert!(
            north > -1e-6 && west > -1e-6 && north + west < 2.6 + 1e-6,
            "{north} {west}"
        );
    }
}

#[test]
fn labels_need_not_keep_clear_of_fixtures() {
    let network = network(LAVATORY);
    let picture = picture(&network, 24);
    let fixture = find(&picture, SymbolKind::Fixture);
    assert!(fixture.boxes.is_empty());
    assert!(fixture.fixture.is_some());
}

#[test]
fn fixtures_come_first_so_that_they_lie_behind() {
    let network = network(LAVATORY);
    let picture = picture(&network, 24);
    let first_other = picture
        .symbols
        .iter()
        .position(|s| s.kind != SymbolKind::Fixture)
        .expect("there are fittings");
    assert!(
        picture.symbols[first_other..]
            .iter()
            .all(|s| s.kind != SymbolKind::Fixture)
    );
}

#[test]
fn a_bend_is_rounded_with_its_pipes_own_pen() {
    let network = network(LAVATORY);
    let picture = picture(&network, 24);
    let bend = find(&picture, SymbolKind::Bend);
    assert_eq!(bend.strokes[0].pen.map(|p| p.width), Some(0.7));
}

#[test]
fn a_loose_end_is_marked_in_red_with_a_question() {
    let text = "
units ft-in
level main floor 0'
cold c
  start 0',0' main floor +1'
  size 3/4\"
  east 8'
";
    let network = network(text);
    let picture = picture(&network, 48);
    let loose = find(&picture, SymbolKind::Loose);
    assert_eq!(loose.letters[0].text, "?");
    let red = loose.strokes[0].pen.expect("it is outlined").colour;
    assert!(red.0 > 150 && red.1 < 50 && red.2 < 50);
}
