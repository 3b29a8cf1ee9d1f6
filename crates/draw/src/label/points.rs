//! What is said at points: inverts and heights, fixture tags, devices, notes, ends.

use kurbo::{Point, Rect, Shape};
use wyeline_job::model::{DeviceKind, System};
use wyeline_network::Network;
use wyeline_network::model::{FixtureIx, Lie, Node, NodeIx, NodeKind, Pipe};

use super::block::{Item, Layout};
use super::paper::Paper;
use super::want::{Spot, Want};
use super::words;
use crate::picture::{About, LabelClass, Picture, SymbolKind};
use crate::style;

/// A vertical at least so long, mm of the building, has heights at its ends. Own choice: 6 in,
/// less than any storey or drop and more than a fitting's own rise.
const LEAST_RISE: f64 = 152.4;

/// The nodes shown, with the numbers of the marks that meet at each.
pub(super) struct Shown {
    /// Node and mark, ascending.
    ends: Vec<(NodeIx, u32)>,
}

impl Shown {
    pub fn of(net: &Network, picture: &Picture) -> Self {
        let mut ends = Vec::with_capacity(picture.pipes.len() * 2);
        for (i, mark) in picture.pipes.iter().enumerate() {
            let pipe = net.pipe(mark.pipe);
            for node in [pipe.from, pipe.to] {
                if picture.reaches(mark.pipe, node) {
                    ends.push((node, i as u32));
                }
            }
        }
        ends.sort_unstable();
        Self { ends }
    }

    /// Whether a node is shown.
    pub fn has(&self, node: NodeIx) -> bool {
        let first = self.ends.partition_point(|end| end.0 < node);
        self.ends.get(first).is_some_and(|end| end.0 == node)
    }

    /// Each node with its marks.
    fn nodes(&self) -> impl Iterator<Item = (NodeIx, &[(NodeIx, u32)])> {
        self.ends
            .chunk_by(|a, b| a.0 == b.0)
            .map(|chunk| (chunk[0].0, chunk))
    }
}

/// Symbols' boxes by node, ascending, and whether letters stand in them.
struct Boxes(Vec<(NodeIx, Rect, bool)>);

impl Boxes {
    fn of(picture: &Picture) -> Self {
        let mut all = Vec::with_capacity(picture.symbols.len());
        for symbol in &picture.symbols {
            if let (Some(node), Some(first)) = (symbol.node, symbol.boxes.first()) {
                let rect = symbol.boxes.iter().fold(*first, |r, b| r.union(*b));
                all.push((node, rect, !symbol.letters.is_empty()));
            }
        }
        all.sort_by_key(|e| e.0);
        Self(all)
    }

    fn at(&self, node: NodeIx) -> Option<(Rect, bool)> {
        let first = self.0.partition_point(|e| e.0 < node);
        let here = self.0[first..]
            .iter()
            .take_while(|e| e.0 == node)
            .map(|e| (e.1, e.2));
        here.reduce(|a, b| (a.0.union(b.0), a.1 || b.1))
    }
}

/// Everything said at nodes and fixtures.
pub(super) fn points(net: &Network, picture: &Picture, shown: &Shown, into: &mut Vec<Want>) {
    let paper = Paper::of(picture);
    let boxes = Boxes::of(picture);
    let mut heights = Heights::new(net, shown);
    for (ix, marks) in shown.nodes() {
        let node = net.node(ix);
        let at = paper.node(node) + picture.moved(ix);
        let symbol = boxes.at(ix);
        let spot = match symbol {
            Some((rect, _)) if rect.inflate(1.0, 1.0).contains(at) => Spot::Box(rect),
            _ => Spot::At { at, reach: 0.4 },
        };
        let pipes: Vec<&Pipe> = marks
            .iter()
            .map(|&(_, m)| net.pipe(picture.pipes[m as usize].pipe))
            .collect();
        if let Some(words) = heights.said(net, ix, node, &pipes) {
            let item = Item::words(words, style::sizes().lettering);
            into.push(Want::new(
                About::Node(ix),
                LabelClass::Height,
                vec![item],
                spot,
            ));
        }
        notes(net, ix, spot, symbol.is_some_and(|s| s.1), into);
    }
    tags(net, picture, shown, paper, into);
}

/// Which heights are said, each once along a level stretch.
struct Heights {
    /// Root of the stretch of level or falling pipe each shown node belongs to.
    stretch: Vec<u32>,
    said: std::collections::HashSet<(u32, String)>,
}

impl Heights {
    fn new(net: &Network, shown: &Shown) -> Self {
        let mut stretch: Vec<u32> = (0..net.nodes.len() as u32).collect();
        for &(node, _) in &shown.ends {
            for &p in &net.node(node).pipes {
                let pipe = net.pipe(p);
                if matches!(pipe.lie, Lie::Axis | Lie::LevelSkew) {
                    let (a, b) = (
                        root(&mut stretch, pipe.from.0),
                        root(&mut stretch, pipe.to.0),
                    );
                    stretch[a.max(b) as usize] = a.min(b);
                }
            }
        }
        Self {
            stretch,
            said: std::collections::HashSet::new(),
        }
    }

    /// `INV -1'-9 1/2"` or `CL +1'-6"` where a height has to be read at this node.
    fn said(&mut self, net: &Network, ix: NodeIx, node: &Node, pipes: &[&Pipe]) -> Option<String> {
        let length = |p: &Pipe| net.length_mm(p);
        let upright = pipes
            .iter()
            .any(|p| p.lie == Lie::Vertical && length(p) >= LEAST_RISE);
        let leaning = pipes
            .iter()
            .any(|p| matches!(p.lie, Lie::Tilted | Lie::Rolling));
        let level = pipes
            .iter()
            .any(|p| matches!(p.lie, Lie::Axis | Lie::LevelSkew));
        let wanted = match node.kind {
            NodeKind::Start | NodeKind::Cap | NodeKind::Continues { .. } | NodeKind::Loose => true,
            NodeKind::Stub | NodeKind::Port => upright || leaning,
            NodeKind::RoofEnd => node.system != System::Vent,
            NodeKind::Outlet | NodeKind::Trap => false,
            NodeKind::Turn | NodeKind::Junction | NodeKind::Inline | NodeKind::ArmEnd => {
                level && upright || leaning
            }
        };
        if !wanted {
            return None;
        }
        let (text, unverified) = height_of(net, ix, node, pipes);
        let key = (root(&mut self.stretch, ix.0), text);
        if !self.said.insert(key.clone()) {
            return None;
        }
        Some(if unverified {
            key.1 + " (verify)"
        } else {
            key.1
        })
    }
}

fn root(of: &mut [u32], mut i: u32) -> u32 {
    while of[i as usize] != i {
        of[i as usize] = of[of[i as usize] as usize];
        i = of[i as usize];
    }
    i
}

/// The invert of the drained pipe that leaves (or else reaches) this node, or its centre's height.
fn height_of(net: &Network, ix: NodeIx, node: &Node, pipes: &[&Pipe]) -> (String, bool) {
    let datum = net.datum_mm.unwrap_or(0.0);
    let lies = pipes.iter().filter(|p| p.lie != Lie::Vertical);
    let leaving = lies
        .clone()
        .find_map(|p| p.invert_from.filter(|_| p.from == ix).map(|i| (i, p)));
    let invert = leaving.or_else(|| {
        lies.clone()
            .find_map(|p| p.invert_to.filter(|_| p.to == ix).map(|i| (i, p)))
    });
    match invert {
        Some((mm, pipe)) => {
            // An invert is as good as the size that it rests on.
            let dagger = if pipe.worked_out { "\u{2020}" } else { "" };
            let height = words::height(mm + datum, net.units);
            (format!("INV {height}{dagger}"), pipe.unverified)
        }
        None => (
            format!("CL {}", words::height(node.at.z + datum, net.units)),
            !pipes.is_empty() && pipes.iter().all(|p| p.unverified),
        ),
    }
}

/// Words told at the point, devices, vents through the roof, and what goes on beyond.
///
/// * `lettered`: the symbol there has letters inside, which need no second saying
fn notes(net: &Network, ix: NodeIx, spot: Spot, lettered: bool, into: &mut Vec<Want>) {
    let node = net.node(ix);
    let small = style::sizes().lettering_notes;
    let mut say = |class, items: Vec<Item>, breaks: &[usize]| {
        let mut want = Want::new(About::Node(ix), class, items, spot);
        if !breaks.is_empty() {
            want.layouts
                .insert(0, Layout::new(&want.items, breaks, false));
        }
        into.push(want);
    };
    match &node.kind {
        NodeKind::Continues { to, load, .. } => {
            let mut items = vec![Item::words(to.as_str(), small)];
            items.extend(load.as_ref().map(|load| Item::words(load.as_str(), small)));
            let breaks: &[usize] = if items.len() > 1 { &[1] } else { &[] };
            say(LabelClass::Note, items, breaks);
        }
        NodeKind::RoofEnd if node.system == System::Vent => {
            let top = words::height(node.at.z + net.datum_mm.unwrap_or(0.0), net.units);
            let items = vec![Item::words("VTR", small), Item::words(top, small)];
            say(LabelClass::Note, items, &[]);
        }
        _ => {}
    }
    if let Some(device) = &node.device {
        let mut items = Vec::new();
        if !lettered {
            items.extend(letters(device.kind).map(|l| Item::words(l, small)));
        }
        items.extend(
            device
                .tag
                .as_ref()
                .map(|t| Item::tag(t.as_str(), style::sizes().lettering)),
        );
        if !items.is_empty() {
            say(LabelClass::Tag, items, &[]);
        }
    }
    if let Some(mark) = &node.mark {
        let items = vec![Item::words(mark.as_str(), small)];
        say(LabelClass::Note, items, &[]);
    }
    if let Some(note) = &node.note {
        let words: Vec<&str> = note.split_whitespace().collect();
        // A long note is broken in the middle.
        let half = words.iter().scan(0, |sum, w| {
            *sum += w.len() + 1;
            Some(*sum)
        });
        let cut = half.take_while(|&sum| sum * 2 <= note.len()).count().max(1);
        if note.len() > 24 && cut < words.len() {
            let items = vec![
                Item::words(words[..cut].join(" "), small),
                Item::words(words[cut..].join(" "), small),
            ];
            let mut want = Want::new(About::Node(ix), LabelClass::Note, items, spot);
            want.layouts = vec![Layout::new(&want.items, &[1], false)];
            into.push(want);
        } else {
            say(
                LabelClass::Note,
                vec![Item::words(words.join(" "), small)],
                &[],
            );
        }
    }
}

/// Letters of devices whose symbols leave room for doubt. Common practice of the trade.
fn letters(kind: DeviceKind) -> Option<&'static str> {
    match kind {
        DeviceKind::Cleanout => Some("CO"),
        DeviceKind::Meter => Some("M"),
        DeviceKind::PressureReducingValve => Some("PRV"),
        DeviceKind::PressureReducingStation => Some("PRS"),
        DeviceKind::BackflowPreventer => Some("BFP"),
        DeviceKind::BackwaterValve => Some("BWV"),
        DeviceKind::MixingValve => Some("MV"),
        DeviceKind::BalancingValve => Some("BV"),
        DeviceKind::HammerArrestor => Some("HA"),
        DeviceKind::ExpansionTank => Some("ET"),
        DeviceKind::Softener => Some("WS"),
        DeviceKind::Pump => Some("P"),
        DeviceKind::GateValve
        | DeviceKind::BallValve
        | DeviceKind::GlobeValve
        | DeviceKind::CheckValve
        | DeviceKind::GasCock
        | DeviceKind::Strainer
        | DeviceKind::Union => None,
    }
}

/// Tags of the fixtures shown: those with a symbol, and those a shown pipe reaches.
fn tags(net: &Network, picture: &Picture, shown: &Shown, paper: Paper, into: &mut Vec<Want>) {
    // Fixture, how good a place, and the place; a fixture's own outline first, then its outlet.
    let mut found: Vec<(FixtureIx, u8, Spot)> = Vec::new();
    for symbol in &picture.symbols {
        let Some(fixture) = symbol.fixture else {
            continue;
        };
        if symbol.kind == SymbolKind::Fixture {
            let bounds = symbol.strokes.iter().map(|s| s.path.bounding_box());
            if let Some(rect) = bounds.reduce(|a, b| a.union(b)) {
                found.push((fixture, 0, Spot::Outline(rect)));
            }
        } else if let Some(first) = symbol.boxes.first() {
            let rect = symbol.boxes.iter().fold(*first, |r, b| r.union(*b));
            let rank = match symbol.kind {
                SymbolKind::FloorDrain | SymbolKind::ClosetFlange | SymbolKind::Outlet => 1,
                _ => 2,
            };
            found.push((fixture, rank, Spot::Box(rect)));
        }
    }
    for (ix, _) in shown.nodes() {
        let node = net.node(ix);
        if let Some(fixture) = node.fixture {
            let at: Point = paper.node(node) + picture.moved(ix);
            let rank = if node.kind == NodeKind::Outlet { 3 } else { 4 };
            found.push((fixture, rank, Spot::At { at, reach: 0.8 }));
        }
    }
    found.sort_by_key(|f| (f.0, f.1));
    found.dedup_by_key(|f| f.0);
    for (ix, _, spot) in found {
        let fixture = &net.fixtures[ix.0 as usize];
        let mut items = vec![Item::tag(fixture.tag.as_str(), style::sizes().lettering)];
        let mark = match (fixture.existing, fixture.unverified) {
            (true, true) => "(E) (verify)",
            (true, false) => "(E)",
            (false, true) => "(verify)",
            (false, false) => "",
        };
        if !mark.is_empty() {
            items.push(Item::words(mark, style::sizes().lettering_notes));
        }
        into.push(Want::new(About::Fixture(ix), LabelClass::Tag, items, spot));
    }
}
