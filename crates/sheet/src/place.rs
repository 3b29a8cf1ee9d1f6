//! A picture put on a page: its marks moved to where it stands and grouped by what they show.

use kurbo::{Affine, BezPath, PathSeg, Point, Rect, Shape, Vec2};
use wyeline_draw::ink::{Lettering, Stroke};
use wyeline_draw::picture::{About, Label, LabelClass, OutlineKind, PipeMark, Symbol, SymbolKind};
use wyeline_draw::{Picture, View, style};
use wyeline_job::model::{BodyKind, DeviceKind};
use wyeline_network::Network;

use crate::page::{Datum, Group, Item, Mark, Text, line, moved};

/// Returns the picture as a group, with the job's origin at `origin` on the page, mm.
pub fn view(network: &Network, picture: Picture, origin: Point) -> Group {
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
    // Fixtures are outlines like the building's: no pipe lies under one of their lines.
    let (fixtures, symbols): (Vec<Symbol>, Vec<Symbol>) = picture
        .symbols
        .into_iter()
        .partition(|s| s.kind == SymbolKind::Fixture);
    let add = |s| Item::Group(symbol(network, s, by));
    group.items.extend(fixtures.into_iter().map(add));
    group.items.extend(
        picture
            .pipes
            .into_iter()
            .map(|mark| Item::Group(pipe(network, &mark, by))),
    );
    group.items.extend(symbols.into_iter().map(add));
    for label in picture.labels {
        self::label(network, label, by, &mut group);
    }
    group
}

/// Adds strokes moved by `by`.
fn strokes(group: &mut Group, class: &'static str, strokes: Vec<Stroke>, by: Vec2) {
    group.items.reserve_exact(strokes.len());
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
    group.items = Vec::with_capacity(mark.pieces.len() + mark.arrows.len());
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
    group.items.reserve(label.strokes.len() + label.lines.len());
    strokes(group, "label-mark", label.strokes, by);
    for mut lettering in label.lines {
        // A number in a ring has the ring's white round it; a rim of its own would cut the ring.
        let box_of = Rect::from_origin_size(
            lettering.at - Vec2::new(0.0, lettering.height),
            (lettering.width, lettering.height),
        );
        let halo = !marks.iter().any(|ring| ring.union(box_of) == *ring);
        lettering.at += by;
        let mut data = Vec::with_capacity(2);
        data.push(("of", Datum::Word(label_word(label.class))));
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

/// Where a picture's marks are, as lines and boxes: what may stand beside it is measured by them.
pub(crate) struct Ink {
    lines: Vec<(Point, Point)>,
    boxes: Vec<Rect>,
}

impl Ink {
    /// All marks of a picture but its grid, which anything may stand on.
    pub fn of(picture: &Picture) -> Self {
        let pieces = picture.pipes.iter().flat_map(|p| &p.pieces);
        let leaders = picture.labels.iter().filter_map(|l| l.leader);
        let lettering = picture
            .labels
            .iter()
            .flat_map(|l| &l.lines)
            .chain(picture.symbols.iter().flat_map(|s| &s.letters));
        let letters = |l: &Lettering| {
            let turned = Affine::rotate_about(l.angle, l.at);
            let level = Rect::new(l.at.x, l.at.y - l.height, l.at.x + l.width, l.at.y);
            turned.transform_rect_bbox(level)
        };
        let mut ink = Self {
            lines: pieces.copied().chain(leaders).collect(),
            boxes: lettering.map(letters).collect(),
        };
        let outlines = picture.outlines.iter();
        let strokes = outlines
            .filter(|o| o.of != OutlineKind::Grid)
            .flat_map(|o| &o.strokes)
            .chain(picture.frames.iter().flat_map(|f| &f.strokes))
            .chain(picture.symbols.iter().flat_map(|s| &s.strokes))
            .chain(picture.labels.iter().flat_map(|l| &l.strokes));
        for stroke in strokes {
            for segment in stroke.path.segments() {
                match segment {
                    PathSeg::Line(line) => ink.lines.push((line.p0, line.p1)),
                    curve => ink.boxes.push(curve.bounding_box()),
                }
            }
        }
        ink
    }

    /// The heights, from and to, at which there are marks between two uprights; those that only touch these have none.
    fn spans(&self, x0: f64, x1: f64) -> impl Iterator<Item = (f64, f64)> {
        let lines = self.lines.iter().filter_map(move |(a, b)| {
            let (a, b) = if a.x <= b.x { (*a, *b) } else { (*b, *a) };
            if a.x >= x1 || b.x <= x0 {
                return None;
            }
            let at = |x: f64| {
                let share = if b.x > a.x {
                    (x - a.x) / (b.x - a.x)
                } else {
                    0.0
                };
                a.y + (b.y - a.y) * share.clamp(0.0, 1.0)
            };
            let (from, to) = if b.x > a.x {
                (at(x0), at(x1))
            } else {
                (a.y, b.y)
            };
            Some((from.min(to), from.max(to)))
        });
        let boxes = self
            .boxes
            .iter()
            .filter(move |r| r.x0 < x1 && r.x1 > x0)
            .map(|r| (r.y0, r.y1));
        lines.chain(boxes)
    }

    /// Whether any mark lies in a rectangle.
    pub fn touches(&self, rect: Rect) -> bool {
        self.spans(rect.x0, rect.x1)
            .any(|(from, to)| from < rect.y1 && to > rect.y0)
    }

    /// The highest piece of a rectangle over its whole width that is free of marks, these standing `clear` mm off.
    pub fn widest_gap(&self, rect: Rect, clear: f64) -> Option<Rect> {
        let mut spans: Vec<(f64, f64)> = self.spans(rect.x0, rect.x1).collect();
        spans.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (mut y, mut widest) = (rect.y0, (0.0, 0.0));
        for (from, to) in spans.into_iter().chain([(rect.y1 + clear, rect.y1)]) {
            let end = (from - clear).min(rect.y1);
            if end - y > widest.1 - widest.0 {
                widest = (y, end);
            }
            y = y.max(to + clear);
        }
        let (y0, y1) = widest;
        (y1 > y0).then_some(Rect { y0, y1, ..rect })
    }
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
        LabelClass::Flag => "flag",
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

#[cfg(test)]
mod tests {
    use super::*;

    fn ink(lines: &[[(f64, f64); 2]]) -> Ink {
        Ink {
            lines: lines
                .iter()
                .map(|[a, b]| ((*a).into(), (*b).into()))
                .collect(),
            boxes: Vec::new(),
        }
    }

    #[test]
    fn a_slanting_line_touches_what_it_crosses_and_not_all_that_lies_in_its_box() {
        // From (0, 100) to (100, 0): between x = 80 and 100 it lies between y = 20 and 0.
        let ink = ink(&[[(0.0, 100.0), (100.0, 0.0)]]);
        assert!(ink.touches(Rect::new(80.0, 10.0, 100.0, 30.0)));
        assert!(!ink.touches(Rect::new(80.0, 21.0, 100.0, 100.0)));
    }

    #[test]
    fn an_upright_line_on_an_edge_touches_nothing_and_one_inside_does() {
        let rect = Rect::new(10.0, 0.0, 20.0, 50.0);
        assert!(!ink(&[[(10.0, 0.0), (10.0, 50.0)]]).touches(rect));
        assert!(ink(&[[(11.0, 0.0), (11.0, 50.0)]]).touches(rect));
    }

    #[test]
    fn the_highest_free_piece_lies_between_marks_or_at_an_end() {
        // Level lines at 10 and 60 in a height of 100: 0 to 8, 12 to 58 and 62 to 100 are 2 mm clear of them; 46 is the most.
        let ink = ink(&[[(0.0, 10.0), (30.0, 10.0)], [(0.0, 60.0), (30.0, 60.0)]]);
        let gap = ink.widest_gap(Rect::new(5.0, 0.0, 25.0, 100.0), 2.0);
        assert_eq!(gap, Some(Rect::new(5.0, 12.0, 25.0, 58.0)));
        let gap = ink.widest_gap(Rect::new(40.0, 0.0, 60.0, 100.0), 2.0);
        assert_eq!(gap, Some(Rect::new(40.0, 0.0, 60.0, 100.0)));
    }
}
