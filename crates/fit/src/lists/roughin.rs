//! The rough-in sheet as lists: stub-outs and flanges, holes in floors and roof, sleeves in walls, bores in joists,
//! each from two finished walls and the finished floor.

use wyeline_network::model::LevelIx;

use super::{Given, words};
use crate::list::{Cell, Column, Kind, List, column, shown};
use crate::name;
use crate::roughin::{Bore, Face, FromWall, Pass, Place, RoughIn, StubKind};
use crate::takeoff::Through;

const WHERE: [Column; 5] = [
    column("wall_1", "from", Kind::Text),
    column("distance_1", "", Kind::Length),
    column("wall_2", "and from", Kind::Text),
    column("distance_2", "", Kind::Length),
    column("above_floor", "above floor", Kind::Length),
];

const STUBS: [Column; 3] = [
    column("fixture", "for", Kind::Text),
    column("what", "", Kind::Text),
    column("size", "size", Kind::Text),
];
const INVERT: Column = column("invert", "invert", Kind::Length);

const PASSES: [Column; 5] = [
    column("pieces", "piece", Kind::Text),
    column("what", "", Kind::Text),
    column("size", "size", Kind::Text),
    column("hole", "hole", Kind::Length),
    column("sleeve", "sleeve", Kind::Text),
];
const DOUBT: Column = column("doubt", "not certain", Kind::Text);

const BORES: [Column; 8] = [
    column("joist", "joist", Kind::Text),
    column("from_first", "from the first", Kind::Length),
    column("pieces", "piece", Kind::Text),
    column("up", "centre up", Kind::Length),
    column("depth", "of", Kind::Length),
    column("hole", "hole, least", Kind::Length),
    column("left_above", "left above", Kind::Length),
    column("left_below", "below", Kind::Length),
];
const LIMIT: Column = column("limit", "limit", Kind::Text);

/// The lists `stubs`, `floors`, `sleeves` and `bores`.
pub fn roughin(given: &Given, rough: &RoughIn) -> [List; 4] {
    let mut lists = [
        stubs(given, rough),
        passes(given, "floors", "Holes in floors and roof", &rough.floors),
        passes(
            given,
            "sleeves",
            "Holes and sleeves in walls",
            &rough.sleeves,
        ),
        bores(given, rough),
    ];
    for (pipe, level) in &rough.untold {
        let level = level_name(given, Some(*level));
        lists[3].notes.push(format!(
            "{} lies among the joists of {level}, whose place the job does not tell: what to bore is not known.",
            given.marks.pieces(*pipe)
        ));
    }
    let mut cut = lists[1..].iter_mut().filter(|list| !list.is_empty());
    if let Some(list) = cut.next() {
        let cautions = rough.cautions.iter();
        list.notes.extend(cautions.map(|caution| {
            let by = words::stands(&caution.document, caution.how);
            format!("{} ({by})", caution.text)
        }));
    }
    lists
}

fn level_name(given: &Given, level: Option<LevelIx>) -> String {
    let level = level.and_then(|ix| given.network.levels.get(ix.0 as usize));
    level.map_or_else(String::new, |level| format!("Level {}", level.name))
}

/// From the two walls and the floor.
fn place(given: &Given, place: &Place) -> Vec<Cell> {
    let units = given.network.units;
    let mut cells: Vec<Cell> = Vec::with_capacity(WHERE.len());
    for nth in 0..2 {
        match place.walls.get(nth) {
            Some(wall) => cells.extend([Cell::text(wall_name(wall)), Cell::length(wall.mm, units)]),
            None => cells.extend([Cell::Nothing, Cell::Nothing]),
        }
    }
    cells.push(Cell::length(place.above_mm, units));
    cells
}

fn wall_name(wall: &FromWall) -> String {
    let face = match wall.face {
        Face::Room => "",
        Face::Far => ", far face",
    };
    format!("{} wall{face}", wall.side.word())
}

fn invert(given: &Given, mm: Option<f64>) -> Cell {
    mm.map_or(Cell::Nothing, |mm| words::height(given.network, mm))
}

fn size(given: &Given, size: Option<wyeline_units::Size>) -> Cell {
    size.map_or(Cell::Nothing, |size| {
        Cell::text(name::size(size, given.network.units))
    })
}

fn stubs(given: &Given, rough: &RoughIn) -> List {
    let columns = [&STUBS[..], &WHERE, &[INVERT]].concat();
    let mut list = List::new("stubs", "Stub-outs and flanges", &columns);
    let tag = |ix: wyeline_network::model::FixtureIx| {
        let fixture = given.network.fixtures.get(ix.0 as usize);
        fixture.map_or("", |fixture| fixture.tag.as_str())
    };
    for flange in &rough.flanges {
        let mut at = flange.place.clone();
        // A closet is set out from the wall behind it first.
        let walls = [flange.behind, flange.aside].into_iter().flatten();
        let walls: Vec<FromWall> = walls.collect();
        if !walls.is_empty() {
            at.walls = walls;
        }
        let mut row = vec![
            Cell::text(flange.fixture.map_or("", tag)),
            Cell::text("closet flange, centre"),
            Cell::text(name::sizes(&flange.sizes, given.network.units)),
        ];
        row.extend(place(given, &at));
        row.push(Cell::Nothing);
        list.push(&level_name(given, flange.place.level), row);
    }
    for stub in &rough.stubs {
        let what = match stub.kind {
            StubKind::Supply => format!("{} stub-out", stub.port),
            StubKind::Drain => "drain at the wall".to_owned(),
            StubKind::Outlet => format!("{} in the floor", stub.port),
        };
        let mut row = vec![
            Cell::text(tag(stub.fixture)),
            Cell::text(what),
            size(given, stub.size),
        ];
        row.extend(place(given, &stub.place));
        row.push(invert(given, stub.invert_mm));
        list.push(&level_name(given, stub.place.level), row);
    }
    if !list.is_empty() {
        list.notes.push(
            "To centre lines, from finished faces and the finished floor; a minus lies inside the wall or below the floor. \
             Compare with the fixture maker's rough-in sheet before anything is fixed."
                .to_owned(),
        );
    }
    list
}

fn passes(given: &Given, id: &'static str, title: &str, all: &[Pass]) -> List {
    let columns = [&PASSES[..], &WHERE, &[INVERT, DOUBT]].concat();
    let mut list = List::new(id, title, &columns);
    let units = given.network.units;
    for pass in all {
        let crossing = &pass.crossing;
        let through = match crossing.through {
            Through::Floor(_) => "floor",
            Through::Wall(_) => "wall",
            Through::Roof => "roof",
        };
        let system = words::system(given.network.pipe(crossing.pipe).system);
        let lie = if pass.plumb { ", plumb" } else { "" };
        let mut row = vec![
            Cell::text(given.marks.pieces(crossing.pipe)),
            Cell::text(format!("{system} through {through}{lie}")),
            size(given, pass.size),
            crossing
                .hole_mm
                .map_or(Cell::Nothing, |mm| Cell::length(mm, units)),
            size(given, crossing.sleeve),
        ];
        row.extend(place(given, &pass.place));
        row.push(invert(given, pass.invert_mm));
        row.push(Cell::text(crossing.doubt.unwrap_or_default()));
        list.push(&level_name(given, pass.place.level), row);
    }
    list
}

fn bores(given: &Given, rough: &RoughIn) -> List {
    let columns = [&BORES[..], &WHERE[..4], &[LIMIT]].concat();
    let mut list = List::new("bores", "What to bore in which joist", &columns);
    for bore in &rough.bores {
        let heading = format!(
            "{}: joists counted from the {}",
            level_name(given, Some(bore.level)),
            bore.counted_from.word()
        );
        list.push(&heading, bore_row(given, bore));
    }
    if !list.is_empty() {
        list.notes.push(
            "Centre up: from the joist's bottom edge. `wyeline check` says which bores break a limit."
                .to_owned(),
        );
    }
    list
}

fn bore_row(given: &Given, bore: &Bore) -> Vec<Cell> {
    let units = given.network.units;
    let length = |mm: f64| Cell::length(mm, units);
    let some = |mm: Option<f64>| mm.map_or(Cell::Nothing, length);
    let limit = match (&bore.limit, bore.engineered) {
        (_, true) => "engineered: its maker says what may be bored".to_owned(),
        (Some(limit), _) => format!(
            "hole {} at most, {} left to each edge: {}",
            shown(limit.hole_mm, units),
            shown(limit.edge_mm, units),
            limit.cite
        ),
        (None, _) => String::new(),
    };
    let mut row = vec![
        Cell::text(format!("J{}", bore.number)),
        length(bore.from_first_mm),
        Cell::text(given.marks.pieces(bore.pipe)),
        length(bore.up_mm),
        length(bore.depth_mm),
        some(bore.least_mm),
        some(bore.left_mm.map(|[above, _]| above)),
        some(bore.left_mm.map(|[_, below]| below)),
    ];
    row.extend(place(given, &bore.place).into_iter().take(4));
    row.push(Cell::text(limit));
    row
}
