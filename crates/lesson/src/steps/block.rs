//! The key of a block as steps: its base, its uprights, its tops, then the edges that are hidden.

use glam::DVec3;
use kurbo::{BezPath, Point, Rect};
use wyeline_draw::ink::{Pattern, Pen};
use wyeline_sheet::{Group, Item, Sheet};
use wyeline_units::UnitSystem;

use super::style::style;
use super::words::{self, Measure};
use super::{Draft, New, Step, View, paper, show};

/// An edge of a block, or as much of one as is either seen or hidden from the corner looked from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge {
    /// One end, mm, x east, y north, z up.
    pub from: DVec3,
    /// The other end, mm.
    pub to: DVec3,
    /// The block itself is in the way.
    pub hidden: bool,
}

impl Edge {
    fn upright(&self) -> bool {
        (self.to - self.from).truncate().length() < words::NO_EXTENT
    }
    /// Height of a level edge, or of the middle of any other.
    fn height(&self) -> f64 {
        f64::midpoint(self.from.z, self.to.z)
    }
}

/// Returns the key of a block as steps. Each edge appears in one of them; edges with no length are left out.
///
/// * `view`: at its scale and pitch one square of the grid stands for `pitch * scale` mm of the block
pub fn of_block(edges: &[Edge], view: &View) -> Vec<Step> {
    let measure = view.measure(UnitSystem::Millimetres);
    let real = |edge: &Edge| edge.from.is_finite() && edge.to.is_finite();
    let long = |edge: &Edge| edge.from.distance(edge.to) > words::NO_EXTENT;
    let drawn: Vec<usize> = (0..edges.len())
        .filter(|&at| real(&edges[at]) && long(&edges[at]))
        .collect();
    let low = drawn
        .iter()
        .map(|&at| edges[at].from.z.min(edges[at].to.z))
        .fold(f64::INFINITY, f64::min);
    let of = |which: &dyn Fn(&Edge) -> bool| -> Vec<usize> {
        drawn
            .iter()
            .copied()
            .filter(|&at| which(&edges[at]))
            .collect()
    };
    let base =
        of(&|edge| !edge.hidden && !edge.upright() && edge.height() - low < words::NO_EXTENT);
    let uprights = of(&|edge| !edge.hidden && edge.upright());
    let mut tops =
        of(&|edge| !edge.hidden && !edge.upright() && edge.height() - low >= words::NO_EXTENT);
    tops.sort_by(|&a, &b| edges[b].height().total_cmp(&edges[a].height()));
    let hidden = of(&|edge| edge.hidden);
    let mut drafts = vec![Draft {
        title: "Axes and grid".to_owned(),
        sentence: format!(
            "North goes {}, east {}, and height straight up. Every edge of the block lies along one of these three.",
            measure.paper(DVec3::Y),
            measure.paper(DVec3::X)
        ),
        new: New {
            axes: true,
            ..New::default()
        },
        ring: None,
    }];
    let groups: [(&str, &str, &[usize]); 4] = [
        (
            "The base",
            "Begin on the ground, with the edges that are seen",
            &base,
        ),
        (
            "The uprights",
            "Every corner that is seen goes straight up",
            &uprights,
        ),
        (
            "The tops",
            "Join the uprights at their tops, the highest first",
            &tops,
        ),
        (
            "What is hidden",
            "Dash the edges that the block itself hides",
            &hidden,
        ),
    ];
    for (title, how, group) in groups {
        split(title, how, group, edges, &measure, &mut drafts);
    }
    drafts.push(Draft {
        title: "Look it over".to_owned(),
        sentence: format!(
            "{} edges are seen and {} hidden. Where a line ends, at least one other has to meet it.",
            drawn.len() - hidden.len(),
            hidden.len()
        ),
        new: New::default(),
        ring: None,
    });
    draw(edges, view, &measure, drafts)
}

/// Adds the steps of a group of edges.
fn split(
    title: &str,
    how: &str,
    group: &[usize],
    edges: &[Edge],
    measure: &Measure,
    drafts: &mut Vec<Draft>,
) {
    if group.is_empty() {
        return;
    }
    let most = style().lines + style().lines / 2;
    let steps = group.len().div_ceil(most);
    for (n, some) in group.chunks(group.len().div_ceil(steps)).enumerate() {
        let told: Vec<String> = some
            .iter()
            .map(|&at| {
                let way = edges[at].to - edges[at].from;
                // Uprights are told upward, level edges away from the viewer.
                let away = measure.projection.vector(way).y < 0.0;
                let way = if away { way } else { -way };
                format!("{} {}", measure.squares(way.length()), words::compass(way))
            })
            .collect();
        drafts.push(Draft {
            title: if steps == 1 {
                title.to_owned()
            } else {
                format!("{title}, {} of {steps}", n + 1)
            },
            sentence: format!("{how}: {}.", words::listed(&told)),
            new: New {
                edges: some.to_vec(),
                ..New::default()
            },
            ring: None,
        });
    }
}

/// Draws the steps.
fn draw(edges: &[Edge], view: &View, measure: &Measure, drafts: Vec<Draft>) -> Vec<Step> {
    let on_paper = |p: DVec3| measure.projection.point(p);
    let real = edges
        .iter()
        .filter(|edge| edge.from.is_finite() && edge.to.is_finite());
    let points: Vec<Point> = real
        .flat_map(|edge| [on_paper(edge.from), on_paper(edge.to)])
        .collect();
    let first = points.first().copied().unwrap_or(Point::ORIGIN);
    let marks = points
        .iter()
        .fold(Rect::from_points(first, first), |all, p| all.union_pt(*p));
    let room = paper::room(view.pitch_mm);
    let mut bounds = marks.inflate(style().margin, style().margin);
    // The axes stand to the left of the block.
    bounds.x0 -= 2.0 * room;
    bounds.y0 = bounds.y0.min(bounds.y1 - 2.5 * room);
    let by = -bounds.origin().to_vec2();
    let axes = Point::new(bounds.x0 + room, bounds.y1 - room);
    let mut there: Vec<(usize, bool)> = Vec::new();
    let mut steps = Vec::new();
    for draft in drafts {
        let last = draft.new == New::default();
        let mut items = vec![
            Item::Group(paper::grid(
                Rect::from_origin_size(Point::ORIGIN, bounds.size()),
                view.pitch_mm,
                first + by,
            )),
            Item::Group(paper::axes(
                measure.projection,
                axes + by,
                view.pitch_mm,
                draft.new.axes,
            )),
        ];
        for old in &mut there {
            old.1 = false;
        }
        there.extend(draft.new.edges.iter().map(|&at| (at, true)));
        let mut group = Group::new("block");
        for &(at, new) in &there {
            let edge = &edges[at];
            let mut path = BezPath::new();
            path.move_to(on_paper(edge.from) + by);
            path.line_to(on_paper(edge.to) + by);
            group.stroke("edge", path, pen(edge.hidden, new, last));
        }
        items.push(Item::Group(group));
        steps.push(Step {
            sheet: Sheet {
                size_mm: (bounds.width(), bounds.height()),
                number: 1,
                count: 1,
                title: draft.title.clone(),
                description: draft.sentence.clone(),
                items,
            },
            title: draft.title,
            sentence: draft.sentence,
            new: draft.new,
        });
    }
    show::numbered(&mut steps);
    steps
}

/// The pen of an edge.
fn pen(hidden: bool, new: bool, last: bool) -> Pen {
    let pens = &style().pen;
    Pen {
        width: match (last, new) {
            (true, _) => pens.edge,
            (false, true) => pens.new_pipe,
            (false, false) => pens.old_pipe,
        },
        pattern: if hidden {
            Pattern::Dashed
        } else {
            Pattern::Solid
        },
        ..paper::pen(0.0)
    }
}
