//! The Picture: marks in paper millimetres, x right and y down, by layer, labels placed.
//!
//! Paper point (0, 0) is where the job's origin (0, 0, 0) falls.

use kurbo::{Point, Rect, Vec2};
use wyeline_job::model::{BodyKind, DeviceKind, System};
use wyeline_network::model::{FixtureIx, Node, NodeIx, PipeIx};
use wyeline_units::Scale;

use crate::ink::{Lettering, Pen, Stroke};
use crate::project::Projection;
use crate::view::View;

/// One drawn view.
#[derive(Clone, Debug)]
pub struct Picture {
    /// From where.
    pub view: View,
    /// Words for its title.
    pub title: String,
    /// At which scale.
    pub scale: Scale,
    /// Everything drawn lies within, mm.
    pub bounds: Rect,
    /// Building outlines, lightly behind.
    pub outlines: Vec<Outline>,
    /// Pipes.
    pub pipes: Vec<PipeMark>,
    /// Symbols of fixtures, fittings, devices and ends.
    pub symbols: Vec<Symbol>,
    /// Construction squares and boxes of skew pipes.
    pub frames: Vec<Frame>,
    /// Labels, placed.
    pub labels: Vec<Label>,
    /// Lines pulled apart.
    pub shifts: Vec<ShiftNote>,
    /// Nodes that stand aside from their projected place because a line through them was pulled
    /// aside, and by how much on paper, mm; ascending. Symbols and labels at a node go along.
    pub moved: Vec<(NodeIx, Vec2)>,
    /// Ends of pipes that the part's box cuts off, as pipe and the node out of the picture; ascending.
    pub beyond: Vec<(PipeIx, NodeIx)>,
    /// Labels that found no room and were set in the table instead, as tag and words.
    pub overflow: Vec<(String, String)>,
}

impl Picture {
    /// Nothing drawn yet.
    pub fn new(view: View, title: String, scale: Scale) -> Self {
        Self {
            view,
            title,
            scale,
            bounds: Rect::ZERO,
            outlines: Vec::new(),
            pipes: Vec::new(),
            symbols: Vec::new(),
            frames: Vec::new(),
            labels: Vec::new(),
            shifts: Vec::new(),
            moved: Vec::new(),
            beyond: Vec::new(),
            overflow: Vec::new(),
        }
    }

    /// By how much a node stands aside from its projected place, mm (0 for most).
    pub fn moved(&self, node: NodeIx) -> Vec2 {
        self.moved
            .binary_search_by_key(&node, |m| m.0)
            .map_or(Vec2::ZERO, |i| self.moved[i].1)
    }

    /// Whether a pipe's line reaches this end of it, rather than being cut off before.
    pub fn reaches(&self, pipe: PipeIx, node: NodeIx) -> bool {
        self.beyond.binary_search(&(pipe, node)).is_err()
    }

    /// Where a node is drawn on an isometric picture, mm.
    pub fn node_point(
        &self,
        projection: Projection,
        node: NodeIx,
        n: &Node,
        true_fall: bool,
    ) -> Point {
        projection.point(if true_fall { n.at } else { n.drawn() }) + self.moved(node)
    }
}

/// A light reference outline.
#[derive(Clone, Debug)]
pub struct Outline {
    /// What it is of.
    pub of: OutlineKind,
    /// Its marks.
    pub strokes: Vec<Stroke>,
}

/// What an outline is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum OutlineKind {
    /// Floor edges.
    Floor,
    /// Ceiling edges.
    Ceiling,
    /// Walls.
    Wall,
    /// Roof.
    Roof,
    /// Doors and windows.
    Opening,
    /// Joists (plan only).
    Joists,
    /// A body.
    Body(BodyKind),
    /// A fixture's outline (plan), or its footprint on the floor.
    Fixture,
    /// Isometric grid.
    Grid,
}

/// One pipe as drawn.
#[derive(Clone, Debug)]
pub struct PipeMark {
    /// The pipe.
    pub pipe: PipeIx,
    /// Its system.
    pub system: System,
    /// Pen, pattern and colour.
    pub pen: Pen,
    /// Pieces along its centre line between the breaks, in the direction of flow, shift included.
    pub pieces: Vec<(Point, Point)>,
    /// By how much it was pulled aside on paper, mm (0 for most).
    pub shift: Vec2,
    /// Flow arrows: tip and unit direction on paper.
    pub arrows: Vec<(Point, Vec2)>,
}

/// A symbol.
#[derive(Clone, Debug)]
pub struct Symbol {
    /// What it shows; the legend is made from these.
    pub kind: SymbolKind,
    /// The node it stands at.
    pub node: Option<NodeIx>,
    /// The fixture it shows.
    pub fixture: Option<FixtureIx>,
    /// Its marks, in drawing order.
    pub strokes: Vec<Stroke>,
    /// Letters inside it.
    pub letters: Vec<Lettering>,
    /// Boxes other things must keep clear of.
    pub boxes: Vec<Rect>,
}

/// What a symbol shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum SymbolKind {
    /// Bend.
    Bend,
    /// Tee, wye or other junction.
    Junction,
    /// Change of size.
    Reducer,
    /// P-trap.
    Trap,
    /// Cleanout.
    Cleanout,
    /// Closet flange.
    ClosetFlange,
    /// Floor drain or floor sink.
    FloorDrain,
    /// Fixture outlet other than these.
    Outlet,
    /// Supply stub-out.
    Stub,
    /// Gas outlet.
    GasOutlet,
    /// Roof penetration and vent terminal.
    RoofEnd,
    /// Cap.
    Cap,
    /// Break mark: goes on beyond the drawing.
    Break,
    /// Match mark: goes on on another sheet.
    Match,
    /// Loose end (a mistake in the job).
    Loose,
    /// Start of a run: sewer connection, service entry.
    Start,
    /// Fixture or equipment outline.
    Fixture,
    /// Valve, meter, station.
    Device(DeviceKind),
    /// Riser going up (plan).
    RiserUp,
    /// Riser going down (plan).
    RiserDown,
    /// Level or roof mark.
    LevelMark,
}

/// The construction square (level or tilted pipe) or box (rolling offset) of a skew pipe.
#[derive(Clone, Debug)]
pub struct Frame {
    /// The pipe.
    pub pipe: PipeIx,
    /// Thin edges and hatching.
    pub strokes: Vec<Stroke>,
    /// Its edges to be dimensioned: ends on paper and true length, mm.
    pub edges: Vec<(Point, Point, f64)>,
}

/// A label, placed.
#[derive(Clone, Debug)]
pub struct Label {
    /// What it says it about.
    pub about: About,
    /// What kind of words.
    pub class: LabelClass,
    /// Its lines.
    pub lines: Vec<Lettering>,
    /// The box that must stay clear (glyphs plus 0.3 mm): corner points, in order.
    pub area: [Point; 4],
    /// Leader, where there was no room beside the line.
    pub leader: Option<(Point, Point)>,
    /// Small marks belonging to it (slope arrow).
    pub strokes: Vec<Stroke>,
}

/// What a label is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum About {
    /// A pipe.
    Pipe(PipeIx),
    /// A node.
    Node(NodeIx),
    /// A fixture.
    Fixture(FixtureIx),
    /// A level, the roof, a room: nothing that can be pointed at.
    Building,
}

/// What kind of words a label carries.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum LabelClass {
    /// Size, length, fall of a pipe.
    Pipe,
    /// Letters of the system set into the line.
    Letters,
    /// Invert or height at a point.
    Height,
    /// Fixture or equipment tag.
    Tag,
    /// Edge of a construction square or box.
    Frame,
    /// Device letters, break and match words, notes.
    Note,
    /// Level, ceiling and roof marks, room names.
    Level,
    /// Numbers of the rules broken at a place.
    Flag,
}

/// A line that was pulled aside because it fell on another.
#[derive(Clone, Debug, PartialEq)]
pub struct ShiftNote {
    /// The pipe moved.
    pub pipe: PipeIx,
    /// The pipe it fell on.
    pub from: PipeIx,
    /// By how much on paper, mm.
    pub by: Vec2,
}
