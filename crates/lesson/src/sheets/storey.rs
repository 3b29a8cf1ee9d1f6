//! The plans of storeys: what each shows, the marks it carries, where the drawing begins on it.

use std::collections::BTreeSet;

use kurbo::{Point, Rect, Shape, Size};
use wyeline_draw::ink::Weight;
use wyeline_draw::label::{height, length};
use wyeline_draw::picture::{About, SymbolKind};
use wyeline_draw::plan::{PlanOptions, plan};
use wyeline_draw::{Part, Picture};
use wyeline_network::Network;
use wyeline_network::model::{LevelIx, Lie, Node, NodeIx, PipeIx};
use wyeline_sheet::{NOTE, wrapped};
use wyeline_units::Scale;

use super::brief::ROW;
use super::heights::{Heights, Row};
use super::lay::Lay;
use super::page::PAD;

/// Height of what stands under a plan: its name, scale and bar, mm.
pub(super) const UNDER: f64 = 19.0;
/// Left free round a plan for the eye that looks at it, mm.
const EYE: f64 = 8.0;
/// The scale at which a plan is drawn to see what is on it: any will do.
const ANY: u32 = 48;
/// What stands under a plan has at least this width, mm: north arrow, scale bar and the words at its end.
const NARROWEST: f64 = 90.0;

/// A storey's plan at a scale.
fn drawn(network: &Network, level: LevelIx, scale: Scale) -> Picture {
    let options = PlanOptions {
        level,
        scale,
        part: Part::default(),
        labels_along: false,
    };
    plan(network, &options)
}

/// The node at which the drawing begins.
fn beginning(told: &Network, lay: &Lay) -> Option<NodeIx> {
    let near = |(_, node): &(u32, &Node)| node.drawn().distance(lay.anchor) < 1.0;
    (0..).zip(&told.nodes).find(near).map(|(i, _)| NodeIx(i))
}

/// What the table says of it.
pub(super) fn start_row(told: &Network, lay: &Lay) -> Option<Row> {
    let node = told.node(beginning(told, lay)?);
    let run = node
        .pipes
        .first()
        .and_then(|pipe| told.runs.get(told.pipe(*pipe).run.0 as usize));
    Some(Row {
        mark: "START".to_owned(),
        words: format!(
            "{}, {}: at {}",
            run.map_or("", |run| run.name.as_str()),
            node.system.word(),
            height(node.z_drawn, told.units)
        ),
    })
}

/// A node on this plan above or below the one at which the drawing begins, or that one itself.
fn beginning_on(
    told: &Network,
    heights: &Heights,
    lay: &Lay,
    shown: impl Fn(NodeIx) -> bool,
) -> Option<NodeIx> {
    let begin = beginning(told, lay)?;
    let place = heights
        .places
        .iter()
        .find(|(nodes, _)| nodes.contains(&begin));
    let others = place.map_or(&[][..], |(nodes, _)| nodes);
    std::iter::once(begin)
        .chain(others.iter().copied())
        .find(|node| shown(*node))
}

/// A storey that has something to show.
pub(super) struct Plan {
    level: LevelIx,
    /// The network with the marks that its plan carries.
    network: Network,
    /// Width and height of pipes and building at full scale, mm.
    bare: Size,
}

impl Plan {
    /// Whether it has no room at a scale, whatever its words need.
    pub fn is_larger(&self, room: Rect, scale: Scale) -> bool {
        scale.paper(self.bare.width) > room.width() || scale.paper(self.bare.height) > room.height()
    }
}

/// The storeys that have something to show, the lowest first.
pub(super) fn plans(told: &Network, heights: &Heights, lay: &Lay) -> Vec<Plan> {
    let mut levels: Vec<LevelIx> = (0..told.levels.len() as u32).map(LevelIx).collect();
    let floor = |level: &LevelIx| told.levels[level.0 as usize].floor;
    levels.sort_by(|a, b| floor(a).total_cmp(&floor(b)));
    let plan = |level: LevelIx| {
        let picture = drawn(told, level, Scale(ANY));
        let mut fixtures = picture.symbols.iter().map(|symbol| symbol.kind);
        if picture.pipes.is_empty() && !fixtures.any(|kind| kind == SymbolKind::Fixture) {
            return None;
        }
        let strokes = picture.outlines.iter().flat_map(|outline| &outline.strokes);
        let pieces = picture.pipes.iter().flat_map(|mark| &mark.pieces);
        let boxes = strokes.map(|stroke| stroke.path.bounding_box());
        let all = boxes.chain(pieces.map(|(a, b)| Rect::from_points(*a, *b)));
        let bare = all.reduce(|a, b| a.union(b)).unwrap_or(Rect::ZERO).size() * f64::from(ANY);
        let network = marked(told, &picture, heights, lay);
        Some(Plan {
            level,
            network,
            bare,
        })
    };
    levels.into_iter().filter_map(plan).collect()
}

/// The network with the marks that the plan of a storey carries, by its picture without them.
fn marked(told: &Network, picture: &Picture, heights: &Heights, lay: &Lay) -> Network {
    let mut marked = told.clone();
    let shown: BTreeSet<PipeIx> = picture.pipes.iter().map(|mark| mark.pipe).collect();
    let touched = |node: NodeIx| {
        told.node(node)
            .pipes
            .iter()
            .any(|pipe| shown.contains(pipe))
    };
    for (pipes, mark) in &heights.pipes {
        let here = pipes.iter().filter(|pipe| shown.contains(pipe));
        let longest = here.max_by(|a, b| {
            told.length_mm(told.pipe(**a))
                .total_cmp(&told.length_mm(told.pipe(**b)))
        });
        if let Some(pipe) = longest {
            marked.pipes[pipe.0 as usize].mark = Some(mark.clone());
        }
    }
    for (nodes, mark) in &heights.places {
        if let Some(node) = nodes.iter().find(|node| touched(**node)) {
            marked.nodes[node.0 as usize].mark = Some(mark.clone());
        }
    }
    if let Some(node) = beginning_on(told, heights, lay, touched) {
        let mark = &mut marked.nodes[node.0 as usize].mark;
        *mark = Some(
            mark.take()
                .map_or_else(|| "START".to_owned(), |mark| format!("START {mark}")),
        );
    }
    marked
}

/// The lengths of slanting pipes are taken away: a learner builds these from the measures along the axes that the table gives.
fn without_slants(network: &Network, picture: &mut Picture) {
    for label in &mut picture.labels {
        if let About::Pipe(pipe) = label.about {
            let pipe = network.pipe(pipe);
            if matches!(pipe.lie, Lie::LevelSkew | Lie::Tilted | Lie::Rolling) {
                let slant = length(network.length_mm(pipe), network.units);
                label.lines.retain(|line| line.text != slant);
            }
        }
    }
}

/// One storey on the page.
pub(super) struct Storey {
    pub name: String,
    pub network: Network,
    pub picture: Picture,
    /// Labels that are only numbers on the plan, as lines.
    pub numbered: Vec<String>,
    /// Where the drawing begins, if it is here, mm from the job's origin.
    pub start: Option<Point>,
}

impl Storey {
    /// Width and height with what stands round and under it, mm.
    pub fn size(&self) -> (f64, f64) {
        let all = self.all();
        (
            all.width().max(NARROWEST),
            all.height() + under(&self.numbered),
        )
    }

    pub fn all(&self) -> Rect {
        self.picture.bounds.inflate(EYE, EYE)
    }
}

/// Height of what stands under a plan, with so many lines of numbered labels, mm.
pub(super) fn under(numbered: &[String]) -> f64 {
    let lines = ROW * numbered.len() as f64;
    UNDER
        + if numbered.is_empty() {
            0.0
        } else {
            lines + NOTE
        }
}

/// Every storey at a scale; what is numbered on it in lines `wide` mm long at most.
pub(super) fn storeys(
    told: &Network,
    plans: &[Plan],
    heights: &Heights,
    lay: &Lay,
    scale: Scale,
    wide: f64,
) -> Vec<Storey> {
    let storey = |plan: &Plan| {
        let mut picture = drawn(&plan.network, plan.level, scale);
        without_slants(&plan.network, &mut picture);
        let shown = |node: NodeIx| {
            let mut pipes = picture.pipes.iter().map(|mark| told.pipe(mark.pipe));
            pipes.any(|pipe| pipe.from == node || pipe.to == node)
        };
        let begins = beginning_on(told, heights, lay, shown).is_some();
        let lines = picture.overflow.iter().flat_map(|(number, words)| {
            let words = format!("in a ring {number}: {words}");
            wrapped(&words, wide - 2.0 * PAD, NOTE, Weight::Regular)
        });
        Storey {
            name: told.levels[plan.level.0 as usize].name.clone(),
            numbered: lines.collect(),
            start: begins
                .then(|| Point::new(scale.paper(lay.anchor.x), -scale.paper(lay.anchor.y))),
            network: plan.network.clone(),
            picture,
        }
    };
    plans.iter().map(storey).collect()
}
