//! A picture put on a page: its marks moved to where it stands and grouped by what they show.

use kurbo::{BezPath, Point, Rect, Shape, Vec2};
use wyeline_draw::ink::{Lettering, Stroke};
use wyeline_draw::picture::{About, Label, LabelClass, OutlineKind, PipeMark, Symbol, SymbolKind};
use wyeline_draw::{Picture, View, style};
use wyeline_job::model::{BodyKind, DeviceKind};
use wyeline_network::Network;

use crate::page::{Datum, Group, Item, Mark, Text, line, moved};

/// Returns the picture as a group, with the job's origin at `origin` on the page, mm.
pub(crate) fn view(network: &Network, picture: Picture, origin: Point) -> Group {
    let by = origin.to_vec2();
    let mut group = match picture.view {
        View::Iso { corner, .. } => {
            Group::new("view iso").with("corner", Datum::Word(corner.word()))
        }
        View::Plan { level } => {
            let name = network
                .levels
                .get(level.0 as usize)
                .map_or_else(String::new, |l| l.name.clone());
            Group::new("view plan").with("level", Datum::Text(name))
        }
    };
    group = group
        .with("scale", Datum::Count(picture.scale.0))
        .with("origin", Datum::Pair(origin.x, origin.y));
    group.title = Some(picture.title);
    for outline in picture.outlines {
        let mut inner = Group::new("outline").with("of", Datum::Word(outline_word(outline.of)));
        strokes(&mut inner, "", outline.strokes, by);
        group.items.push(Item::Group(inner));
    }
    for frame in picture.frames {
        let pipe = network.pipe(frame.pipe);
        let mut inner = Group::new("frame").with("pipe", Datum::Text(pipe.id.clone()));
        strokes(&mut inner, "", frame.strokes, by);
        group.items.push(Item::Group(inner));
    }
    group.items.extend(
        picture
            .pipes
            .into_iter()
            .map(|mark| Item::Group(pipe(network, &mark, by))),
    );
    group.items.extend(
        picture
            .symbols
            .into_iter()
            .map(|s| Item::Group(symbol(network, s, by))),
    );
    for label in picture.labels {
        self::label(network, label, by, &mut group);
    }
    group
}

/// Adds strokes moved by `by`.
fn strokes(group: &mut Group, class: &'static str, strokes: Vec<Stroke>, by: Vec2) {
    group.items.extend(strokes.into_iter().map(|s| {
        Item::Stroke(Mark {
            class,
            stroke: moved(s, by),
        })
    }));
}

/// A pipe: the pieces of its centre line, then its flow arrows.
fn pipe(network: &Network, mark: &PipeMark, by: Vec2) -> Group {
    let pipe = network.pipe(mark.pipe);
    let mut group = Group::new("pipe")
        .with("pipe", Datum::Text(pipe.id.clone()))
        .with("system", Datum::Word(mark.system.word()))
        .with("line", Datum::Count(pipe.line));
    if mark.shift != Vec2::ZERO {
        group = group.with("shift", Datum::Pair(mark.shift.x, mark.shift.y));
    }
    if pipe.existing {
        group = group.with("existing", Datum::Word("yes"));
    }
    let run = network
        .runs
        .get(pipe.run.0 as usize)
        .map_or("", |r| r.name.as_str());
    group.title = Some(format!("{} {run}, {}", mark.system.word(), pipe.id));
    for (a, b) in &mark.pieces {
        group.stroke("line", line(*a + by, *b + by), mark.pen);
    }
    for (tip, way) in &mark.arrows {
        group.items.push(Item::Stroke(Mark {
            class: "flow",
            stroke: Stroke {
                path: arrow(*tip + by, *way),
                pen: None,
                fill: Some(mark.pen.colour),
            },
        }));
    }
    group
}

/// A flow arrow's head.
fn arrow(tip: Point, way: Vec2) -> BezPath {
    let sizes = style::sizes();
    let back = tip - way * sizes.arrow_length;
    let side = Vec2::new(-way.y, way.x) * (sizes.arrow_width / 2.0);
    let mut path = BezPath::with_capacity(4);
    path.move_to(tip);
    path.line_to(back + side);
    path.line_to(back - side);
    path.close_path();
    path
}

/// A symbol with its letters.
fn symbol(network: &Network, symbol: Symbol, by: Vec2) -> Group {
    let mut group = Group::new("symbol").with("kind", Datum::Word(symbol_word(symbol.kind)));
    if let Some(node) = symbol.node {
        group = group.with("node", Datum::Text(network.node(node).id.clone()));
    }
    if let Some(fixture) = symbol.fixture
        && let Some(fixture) = network.fixtures.get(fixture.0 as usize)
    {
        group = group.with("fixture", Datum::Text(fixture.tag.clone()));
    }
    strokes(&mut group, "", symbol.strokes, by);
    for mut letters in symbol.letters {
        letters.at += by;
        group.text("letters", letters);
    }
    group
}

/// A label: its leader and small marks, then its lines.
fn label(network: &Network, label: Label, by: Vec2, group: &mut Group) {
    if let Some((from, to)) = label.leader {
        group.stroke(
            "leader",
            line(from + by, to + by),
            style::line(style::Line::Frame),
        );
    }
    let marks: Vec<Rect> = label
        .strokes
        .iter()
        .map(|s| s.path.bounding_box())
        .collect();
    strokes(group, "label-mark", label.strokes, by);
    for mut lettering in label.lines {
        // A number in a ring has the ring's white round it; a rim of its own would cut the ring.
        let box_of = Rect::from_origin_size(
            lettering.at - Vec2::new(0.0, lettering.height),
            (lettering.width, lettering.height),
        );
        let halo = !marks.iter().any(|ring| ring.union(box_of) == *ring);
        lettering.at += by;
        let mut data = vec![("of", Datum::Word(label_word(label.class)))];
        match label.about {
            About::Pipe(pipe) => data.push(("pipe", Datum::Text(network.pipe(pipe).id.clone()))),
            About::Node(node) => data.push(("node", Datum::Text(network.node(node).id.clone()))),
            About::Fixture(fixture) => {
                if let Some(fixture) = network.fixtures.get(fixture.0 as usize) {
                    data.push(("fixture", Datum::Text(fixture.tag.clone())));
                }
            }
            About::Building => {}
        }
        group.items.push(Item::Text(Text {
            class: "label",
            data,
            lettering,
            halo,
        }));
    }
}

/// Whether any mark of the picture, moved by `by`, touches `rect` on the page.
pub(crate) fn touches(picture: &Picture, by: Vec2, rect: Rect) -> bool {
    if !overlaps(picture.bounds + by, rect) {
        return false;
    }
    let rect = rect - by;
    let path = |stroke: &Stroke| overlaps(stroke.path.bounding_box(), rect);
    let piece = |piece: &(Point, Point)| overlaps(Rect::from_points(piece.0, piece.1), rect);
    let letters = |l: &Lettering| {
        overlaps(
            Rect::new(l.at.x, l.at.y - l.height, l.at.x + l.width, l.at.y),
            rect,
        )
    };
    picture.pipes.iter().any(|p| p.pieces.iter().any(piece))
        || picture.labels.iter().any(|l| l.lines.iter().any(letters))
        || picture.symbols.iter().any(|s| s.strokes.iter().any(path))
        || picture.frames.iter().any(|f| f.strokes.iter().any(path))
        || picture
            .outlines
            .iter()
            .filter(|o| o.of != OutlineKind::Grid)
            .any(|o| o.strokes.iter().any(path))
}

/// Whether two boxes share more than an edge; a box without area counts as what it is, a line.
fn overlaps(a: Rect, b: Rect) -> bool {
    a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}

fn outline_word(of: OutlineKind) -> &'static str {
    match of {
        OutlineKind::Floor => "floor",
        OutlineKind::Ceiling => "ceiling",
        OutlineKind::Wall => "wall",
        OutlineKind::Roof => "roof",
        OutlineKind::Opening => "opening",
        OutlineKind::Joists => "joists",
        OutlineKind::Body(kind) => match kind {
            BodyKind::Beam => "beam",
            BodyKind::Girder => "girder",
            BodyKind::Duct => "duct",
            BodyKind::Footing => "footing",
            BodyKind::Slab => "slab",
            BodyKind::Column => "column",
        },
        OutlineKind::Fixture => "fixture",
        OutlineKind::Grid => "grid",
    }
}

fn label_word(class: LabelClass) -> &'static str {
    match class {
        LabelClass::Pipe => "pipe",
        LabelClass::Letters => "letters",
        LabelClass::Height => "height",
        LabelClass::Tag => "tag",
        LabelClass::Frame => "frame",
        LabelClass::Note => "note",
        LabelClass::Level => "level",
    }
}

/// What a symbol shows, as a name.
pub(crate) fn symbol_word(kind: SymbolKind) -> &'static str {
    match kind {
        SymbolKind::Bend => "bend",
        SymbolKind::Junction => "junction",
        SymbolKind::Reducer => "reducer",
        SymbolKind::Trap => "trap",
        SymbolKind::Cleanout | SymbolKind::Device(DeviceKind::Cleanout) => "cleanout",
        SymbolKind::ClosetFlange => "closet-flange",
        SymbolKind::FloorDrain => "floor-drain",
        SymbolKind::Outlet => "outlet",
        SymbolKind::Stub => "stub",
        SymbolKind::GasOutlet => "gas-outlet",
        SymbolKind::RoofEnd => "roof-end",
        SymbolKind::Cap => "cap",
        SymbolKind::Break => "break",
        SymbolKind::Match => "match",
        SymbolKind::Loose => "loose",
        SymbolKind::Start => "start",
        SymbolKind::Fixture => "fixture",
        SymbolKind::RiserUp => "riser-up",
        SymbolKind::RiserDown => "riser-down",
        SymbolKind::LevelMark => "level-mark",
        SymbolKind::Device(device) => match device {
            DeviceKind::GateValve => "gate-valve",
            DeviceKind::BallValve => "ball-valve",
            DeviceKind::GlobeValve => "globe-valve",
            DeviceKind::CheckValve => "check-valve",
            DeviceKind::BalancingValve => "balancing-valve",
            DeviceKind::MixingValve => "mixing-valve",
            DeviceKind::GasCock => "gas-cock",
            DeviceKind::Meter => "meter",
            DeviceKind::PressureReducingValve => "pressure-reducing-valve",
            DeviceKind::PressureReducingStation => "pressure-reducing-station",
            DeviceKind::BackflowPreventer => "backflow-preventer",
            DeviceKind::BackwaterValve => "backwater-valve",
            DeviceKind::Strainer => "strainer",
            DeviceKind::Union => "union",
            DeviceKind::HammerArrestor => "hammer-arrestor",
            DeviceKind::ExpansionTank => "expansion-tank",
            DeviceKind::Pump => "pump",
            DeviceKind::Softener => "softener",
            DeviceKind::Cleanout => "cleanout",
        },
    }
}
