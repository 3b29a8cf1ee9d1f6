//! Which corner to look from: all four scored by what would mislead or slow a reader.
//!
//! Weights and limits are in `data/corners.toml`, our own choice. The same geometry that draws the
//! picture counts the faults, before anything is pulled apart.

use std::fmt::Write as _;
use std::sync::LazyLock;

use kurbo::{Point, Vec2};
use serde::Deserialize;
use wyeline_network::model::{Lie, Network, NodeIx};
use wyeline_units::Scale;

use crate::crossing::{self, Crossing};
use crate::grid::Grid;
use crate::lines::{self, PipeLine};
use crate::overlap;
use crate::project::Projection;
use crate::view::{Corner, Part};

/// What one corner shows badly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Score {
    /// The corner.
    pub corner: Corner,
    /// Length of paper along which pipes coincide, mm.
    pub coinciding_mm: f64,
    /// Junctions that fall on another junction or on a foreign pipe.
    pub hidden_junctions: u32,
    /// Skew travels that read as lying along an axis.
    pub false_axes: u32,
    /// Travels drawn much too short.
    pub short_travels: u32,
    /// Crossings.
    pub crossings: u32,
    /// Label lengths of pipe too much in one place.
    pub crowding: f64,
    /// The weighted sum: the less the better.
    pub points: f64,
}

/// The corner chosen.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// The corner.
    pub corner: Corner,
    /// All four, in the order south-east, south-west, north-east, north-west.
    pub scores: [Score; 4],
    /// Why, in plain words.
    pub reason: String,
}

#[derive(Deserialize)]
struct Weights {
    points: Points,
    limits: Limits,
    sample: Sample,
}

#[derive(Deserialize)]
struct Sample {
    beyond: usize,
    pipes: usize,
}

#[derive(Deserialize)]
struct Points {
    coinciding_mm: f64,
    hidden_junction: f64,
    false_axis: f64,
    short_travel: f64,
    crossing: f64,
    crowding: f64,
}

#[derive(Deserialize)]
struct Limits {
    short: f64,
    axis_degrees: f64,
    junction_mm: f64,
    place_mm: f64,
    place_holds: f64,
}

static WEIGHTS: LazyLock<Weights> = LazyLock::new(|| {
    toml::from_str(include_str!("../data/corners.toml"))
        .expect("data/corners.toml is part of the program and read by its tests")
});

/// The corners in the order in which they are preferred where nothing tells them apart: north to the
/// upper right first, as is the custom of piping isometrics.
const PREFERRED: [Corner; 4] = [Corner::Se, Corner::Sw, Corner::Ne, Corner::Nw];

/// Returns the corner from which a part is best seen at a scale, and why.
///
/// Of a part of more than 4,000 pipes only a slice of 2,000 round its fullest storey is judged, as
/// the reason then says (our own choice, `data/corners.toml`); the scores are those of the slice.
pub fn best(network: &Network, part: &Part, scale: Scale) -> Choice {
    let slice = slice(network, part);
    let part = slice.as_ref().map_or(part, |s| &s.part);
    let scores = PREFERRED.map(|corner| score(network, part, Projection::new(corner, scale)));
    let mut chosen = scores[0];
    for s in &scores[1..] {
        // A difference below a hundredth of a point is rounding, and leaves the preferred one.
        if s.points < chosen.points - 0.01 {
            chosen = *s;
        }
    }
    let mut reason = reason(&chosen, &scores);
    if let Some(Slice { judged, all, .. }) = slice {
        let _ = write!(reason, "; judged on {judged} of {all} pipes");
    }
    Choice {
        corner: chosen.corner,
        scores,
        reason,
    }
}

/// A part small enough to be judged.
struct Slice {
    part: Part,
    /// Pipes in it.
    judged: usize,
    /// Pipes in the part it is cut from.
    all: usize,
}

/// The slice of a large part; nothing where the part is judged whole.
fn slice(network: &Network, part: &Part) -> Option<Slice> {
    let limits = &WEIGHTS.sample;
    if lines::shown(network, part).len() <= limits.beyond {
        return None;
    }
    // Which pipes the part's box leaves does not hang on the corner looked from.
    let any = Projection::new(Corner::Se, Scale(1));
    let lines = lines::pipe_lines(network, any, part, false);
    if lines.len() <= limits.beyond {
        return None;
    }
    let mut floors: Vec<f64> = network.levels.iter().map(|l| l.floor).collect();
    floors.sort_by(f64::total_cmp);
    let middle = |line: &PipeLine| line.space[0].midpoint(line.space[1]);
    let mut by_storey = vec![Vec::new(); floors.len().max(1)];
    for (i, line) in lines.iter().enumerate() {
        // The lowest storey has everything below it as well.
        let above = floors.partition_point(|f| *f <= middle(line).z);
        by_storey[above.saturating_sub(1)].push(i);
    }
    let fullest = (0..by_storey.len())
        .rev()
        .max_by_key(|s| by_storey[*s].len())?;
    let mut chosen: Vec<usize> = Vec::with_capacity(limits.pipes);
    // The fullest storey, then those over and under it in turn.
    let away = (1..by_storey.len()).flat_map(|d| [fullest.checked_add(d), fullest.checked_sub(d)]);
    for storey in std::iter::once(Some(fullest)).chain(away).flatten() {
        let Some(here) = by_storey.get_mut(storey) else {
            continue;
        };
        here.sort_by(|a, b| {
            let (a, b) = (middle(&lines[*a]), middle(&lines[*b]));
            a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y))
        });
        chosen.extend(here.iter().take(limits.pipes - chosen.len()));
        if chosen.len() == limits.pipes {
            break;
        }
    }
    chosen.sort_unstable();
    Some(Slice {
        judged: chosen.len(),
        all: lines.len(),
        part: Part {
            pipes: Some(chosen.iter().map(|i| lines[*i].pipe).collect()),
            ..part.clone()
        },
    })
}

fn score(network: &Network, part: &Part, projection: Projection) -> Score {
    let lines = lines::pipe_lines(network, projection, part, false);
    let paper: Vec<[Point; 2]> = lines.iter().map(|l| l.paper).collect();
    let crossings = crossing::crossings(&lines, &paper);
    let (false_axes, short_travels) = skews(network, projection, &lines);
    let mut score = Score {
        corner: projection.corner(),
        coinciding_mm: overlap::coinciding(&lines)
            .iter()
            .fold(0.0, |sum, b| sum + b.length),
        hidden_junctions: hidden_junctions(&lines, &crossings),
        false_axes,
        short_travels,
        crossings: crossings.len() as u32,
        crowding: crowding(&paper),
        points: 0.0,
    };
    let w = &WEIGHTS.points;
    score.points = score.coinciding_mm * w.coinciding_mm
        + f64::from(score.hidden_junctions) * w.hidden_junction
        + f64::from(score.false_axes) * w.false_axis
        + f64::from(score.short_travels) * w.short_travel
        + f64::from(score.crossings) * w.crossing
        + score.crowding * w.crowding;
    score
}

/// Skew travels that read as lying along an axis, and travels drawn short.
fn skews(network: &Network, projection: Projection, lines: &[PipeLine]) -> (u32, u32) {
    let limits = &WEIGHTS.limits;
    let axes = [glam::DVec3::X, glam::DVec3::Y, glam::DVec3::Z].map(|a| projection.vector(a));
    let reads_as_axis = |d: Vec2| {
        let sine = limits.axis_degrees.to_radians().sin();
        axes.iter()
            .any(|a| (a.cross(d) / (a.hypot() * d.hypot())).abs() < sine)
    };
    let stretch = overlap::stretches(lines);
    let (mut false_axes, mut short) = (0, 0);
    for (i, line) in lines.iter().enumerate() {
        let lie = network.pipe(line.pipe).lie;
        if stretch[i] != i || !matches!(lie, Lie::LevelSkew | Lie::Tilted | Lie::Rolling) {
            continue;
        }
        let d = line.paper[1] - line.paper[0];
        let true_length = line.space[0].distance(line.space[1]) * projection.factor();
        if d.hypot() < limits.short * true_length {
            short += 1;
        } else if reads_as_axis(d) {
            false_axes += 1;
        }
    }
    (false_axes, short)
}

/// Junctions on or right beside another junction (both count), or under or over a foreign pipe.
fn hidden_junctions(lines: &[PipeLine], crossings: &[Crossing]) -> u32 {
    let near = WEIGHTS.limits.junction_mm;
    let mut ends: Vec<(NodeIx, Point)> = lines
        .iter()
        .flat_map(|l| {
            [0, 1]
                .into_iter()
                .filter_map(|e| Some((l.nodes[e]?, l.paper[e])))
        })
        .collect();
    ends.sort_by_key(|e| e.0);
    let junctions: Vec<(NodeIx, Point)> = ends
        .chunk_by(|a, b| a.0 == b.0)
        .filter(|c| c.len() >= 3)
        .map(|c| c[0])
        .collect();
    let mut hidden: Vec<NodeIx> = Vec::new();
    let grid = Grid::new(junctions.iter().map(|j| (j.1, j.1)), near / 2.0);
    for (_, together) in grid.crowded() {
        for (k, &(_, i)) in together.iter().enumerate() {
            let (node, at) = junctions[i as usize];
            let others = together[k + 1..].iter().map(|e| junctions[e.1 as usize]);
            let hides = others.clone().any(|o| o.1.distance(at) < near);
            hidden.extend(hides.then_some(node));
            hidden.extend(others.filter(|o| o.1.distance(at) < near).map(|o| o.0));
        }
    }
    let is_junction = |n: &NodeIx| junctions.binary_search_by_key(n, |j| j.0).is_ok();
    for c in crossings {
        let (behind, front) = (&lines[c.behind], &lines[c.front]);
        let at = behind.paper[0].lerp(behind.paper[1], c.along / behind.length().max(1e-9));
        for line in [behind, front] {
            let here = (0..2).filter(|&e| line.paper[e].distance(at) < near);
            hidden.extend(
                here.filter_map(|e| line.nodes[e])
                    .filter(|n| is_junction(n)),
            );
        }
    }
    hidden.sort_unstable();
    hidden.dedup();
    hidden.len() as u32
}

/// How much more pipe there is than places for its labels, in label lengths.
fn crowding(paper: &[[Point; 2]]) -> f64 {
    const STEP: f64 = 5.0;
    let limits = &WEIGHTS.limits;
    let mut places: Vec<(i64, i64)> = Vec::new();
    for [p, q] in paper {
        // Longer than any sheet: its far end crowds nothing.
        let steps = (p.distance(*q) / STEP).ceil().min(400.0) as u32;
        places.extend((0..steps).map(|k| {
            let at = p
                .lerp(*q, (f64::from(k) + 0.5) / f64::from(steps))
                .to_vec2();
            let place = at / limits.place_mm;
            (place.x.floor() as i64, place.y.floor() as i64)
        }));
    }
    places.sort_unstable();
    places
        .chunk_by(|a, b| a == b)
        .map(|c| (c.len() as f64 * STEP / limits.place_mm - limits.place_holds).max(0.0))
        .fold(0.0, |sum, c| sum + c)
}

/// A fault: how much of it a corner has, and the words for none, one, many.
type Fault = (fn(&Score) -> f64, [&'static str; 3]);

/// Why this corner: the faults it has least of, then what it has in spite.
fn reason(chosen: &Score, scores: &[Score; 4]) -> String {
    let faults: [Fault; 6] = [
        (
            |s| s.coinciding_mm.round(),
            [
                "no pipe falls on another",
                "mm of pipe falls on another",
                "mm of pipe fall on another",
            ],
        ),
        (
            |s| f64::from(s.hidden_junctions),
            [
                "no junction is hidden",
                "junction hidden by another line",
                "junctions hidden by other lines",
            ],
        ),
        (
            |s| f64::from(s.false_axes),
            [
                "no offset reads as a riser or as level pipe",
                "offset reads as a riser or as level pipe",
                "offsets read as risers or as level pipe",
            ],
        ),
        (
            |s| f64::from(s.short_travels),
            [
                "no offset is drawn much too short",
                "offset is drawn much too short",
                "offsets are drawn much too short",
            ],
        ),
        (
            |s| f64::from(s.crossings),
            ["no crossings", "crossing", "crossings"],
        ),
        (
            |s| s.crowding.round(),
            ["no crowded place", "crowded place", "crowded places"],
        ),
    ];
    let mut good = Vec::new();
    let mut bad = Vec::new();
    for (value, [none, one, many]) in faults {
        let own = value(chosen);
        let others: Vec<f64> = scores
            .iter()
            .filter(|s| s.corner != chosen.corner)
            .map(value)
            .collect();
        let least = others.iter().copied().fold(f64::INFINITY, f64::min);
        let most = others.iter().copied().fold(0.0, f64::max);
        let range = if least == most {
            format!("{least}")
        } else {
            format!("{least} to {most}")
        };
        let words = if own == 0.0 {
            none.to_owned()
        } else {
            format!("{own} {}", if own == 1.0 { one } else { many })
        };
        if own > least {
            bad.push(format!("{words} against {range}"));
        } else if most > own {
            good.push(format!("{words} against {range} from the other corners"));
        }
    }
    let mut text = format!("{}: ", chosen.corner.name());
    if good.is_empty() && bad.is_empty() {
        text.push_str("all four corners show it equally well");
    } else if good.is_empty() {
        text.push_str("no corner is better on the whole");
    }
    text.push_str(&good.join("; "));
    if !bad.is_empty() {
        let _ = write!(text, ", though {}", bad.join("; "));
    }
    if chosen.corner == Corner::Se && scores[1..].iter().any(|s| s.points <= chosen.points + 0.01) {
        text.push_str("; north runs up to the right");
    }
    text
}
