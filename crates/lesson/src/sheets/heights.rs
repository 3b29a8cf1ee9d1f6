//! The heights that a plan does not show: of each level pipe, each upright one and each slanting one, with the marks that point at them on the plan.
//!
//! Heights are those of the drawing: pipe centres, falls left out. Level pipes and slanting ones are lettered, places where pipe stands upright are numbered, and what
//! belongs to a fixture goes by its tag.

use std::collections::BTreeMap;

use wyeline_draw::label::{height, length};
use wyeline_network::Network;
use wyeline_network::model::{Lie, NodeIx, NodeKind, Pipe, PipeIx};

/// Letters of marks: without I and O, which are read as figures.
const LETTERS: &[u8] = b"ABCDEFGHJKLMNPQRSTUVWXYZ";
/// An upright shorter than this, mm, is none.
const LEAST: f64 = 1.0;

/// A line of the table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Row {
    /// The mark on the plan: a letter, a number, or the tag of a fixture.
    pub mark: String,
    /// What it is and how high.
    pub words: String,
}

/// The table, and what its marks stand at.
#[derive(Clone, Debug, Default)]
pub(super) struct Heights {
    pub rows: Vec<Row>,
    /// Pipes of a letter.
    pub pipes: Vec<(Vec<PipeIx>, String)>,
    /// Nodes, one above the other, of a number.
    pub places: Vec<(Vec<NodeIx>, String)>,
}

/// Parts that hang together: the root of each.
struct Sets(Vec<u32>);

impl Sets {
    fn root(&mut self, mut i: u32) -> u32 {
        while self.0[i as usize] != i {
            self.0[i as usize] = self.0[self.0[i as usize] as usize];
            i = self.0[i as usize];
        }
        i
    }

    /// Groups of pipes that pass `of` and share nodes with one another, those of different `keys` apart; by their first pipe.
    fn groups<K: Ord>(
        network: &Network,
        of: impl Fn(&Pipe) -> bool,
        key: impl Fn(&Pipe) -> K,
    ) -> Vec<Vec<PipeIx>> {
        let pipes = &network.pipes;
        let mut sets = Self((0..pipes.len() as u32).collect());
        for node in &network.nodes {
            let here: Vec<PipeIx> = node
                .pipes
                .iter()
                .copied()
                .filter(|p| of(network.pipe(*p)))
                .collect();
            for (i, a) in here.iter().enumerate() {
                for b in &here[i + 1..] {
                    if key(network.pipe(*a)) == key(network.pipe(*b)) {
                        let (a, b) = (sets.root(a.0), sets.root(b.0));
                        sets.0[a.max(b) as usize] = a.min(b);
                    }
                }
            }
        }
        let mut groups: BTreeMap<u32, Vec<PipeIx>> = BTreeMap::new();
        for (i, pipe) in (0..).zip(pipes) {
            if of(pipe) {
                groups.entry(sets.root(i)).or_default().push(PipeIx(i));
            }
        }
        groups.into_values().collect()
    }
}

/// The letters of the n-th mark: A to Z, then AA.
fn letters(n: usize) -> String {
    let letter = char::from(LETTERS[n % LETTERS.len()]);
    match n / LETTERS.len() {
        0 => letter.to_string(),
        round => letters(round - 1) + &letter.to_string(),
    }
}

/// Height of a node, in words.
fn said(network: &Network, node: NodeIx) -> String {
    height(network.node(node).z_drawn, network.units)
}

fn run<'a>(network: &'a Network, pipe: &Pipe) -> &'a str {
    network
        .runs
        .get(pipe.run.0 as usize)
        .map_or("", |run| run.name.as_str())
}

/// Tag and port of the fixture that a group of pipes belongs to alone.
fn fixture(network: &Network, group: &[PipeIx]) -> Option<(String, String)> {
    let nodes = group
        .iter()
        .flat_map(|p| [network.pipe(*p).from, network.pipe(*p).to]);
    let mut own = nodes.filter(|n| {
        matches!(
            network.node(*n).kind,
            NodeKind::Outlet | NodeKind::Trap | NodeKind::Stub | NodeKind::Port
        )
    });
    let node = own.next()?;
    let fixture = network
        .fixtures
        .get(network.node(node).fixture?.0 as usize)?;
    let port = fixture.ports.iter().find(|port| port.node == Some(node));
    let tag = if fixture.tag.is_empty() {
        &fixture.letters
    } else {
        &fixture.tag
    };
    Some((
        tag.clone(),
        port.map_or("drain", |port| port.name.as_str()).to_owned(),
    ))
}

/// A slanting pipe's measures along the axes, in words.
fn legs(network: &Network, pipe: &Pipe) -> String {
    let (a, b) = network.drawn(pipe);
    let way = b - a;
    let along = |mm: f64, words: [&str; 2]| {
        let word = words[usize::from(mm < 0.0)];
        (mm.abs() > LEAST).then(|| format!("{} {word}", length(mm.abs(), network.units)))
    };
    let parts = [
        along(way.x, ["east", "west"]),
        along(way.y, ["north", "south"]),
        along(way.z, ["up", "down"]),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// The table of a network.
pub(super) fn heights(network: &Network) -> Heights {
    let mut table = Heights::default();
    for level in &network.levels {
        let ceiling = level.ceiling.map_or_else(String::new, |z| {
            format!(", ceiling {}", height(z, network.units))
        });
        table.rows.push(Row {
            mark: String::new(),
            words: format!(
                "{}: floor {}{ceiling}",
                level.name,
                height(level.floor, network.units)
            ),
        });
    }
    level_pipes(network, &mut table);
    uprights(network, &mut table);
    table
}

/// Level pipes, those of a run that lie at one height together; then slanting ones.
fn level_pipes(network: &Network, table: &mut Heights) {
    let level = |p: &Pipe| matches!(p.lie, Lie::Axis | Lie::LevelSkew);
    let mut count = 0;
    for group in Sets::groups(network, level, |p| (p.run, p.arm)) {
        let first = network.pipe(group[0]);
        let z = said(network, first.to);
        let own = if first.arm {
            fixture(network, &group)
        } else {
            None
        };
        let (mark, what) = if let Some((tag, _)) = own {
            (tag, format!("arm, {}", first.system.word()))
        } else {
            let mark = letters(count);
            count += 1;
            table.pipes.push((group.clone(), mark.clone()));
            (
                mark,
                format!("{}, {}", run(network, first), first.system.word()),
            )
        };
        let mut words = format!("{what}: level at {z}");
        let skew = group.iter().map(|p| network.pipe(*p));
        for pipe in skew.filter(|p| p.lie == Lie::LevelSkew) {
            words += if is_45(network, pipe) {
                "; its 45: "
            } else {
                "; slanting: "
            };
            words += &legs(network, pipe);
        }
        table.rows.push(Row { mark, words });
    }
    for (i, pipe) in (0..).zip(&network.pipes) {
        if matches!(pipe.lie, Lie::Tilted | Lie::Rolling) {
            let mark = letters(count);
            count += 1;
            table.pipes.push((vec![PipeIx(i)], mark.clone()));
            table.rows.push(Row {
                mark,
                words: format!(
                    "{}, {}, slanting: from {} to {}: {}",
                    run(network, pipe),
                    pipe.system.word(),
                    said(network, pipe.from),
                    said(network, pipe.to),
                    legs(network, pipe)
                ),
            });
        }
    }
}

/// Whether a level pipe goes as far along one axis as along the other.
fn is_45(network: &Network, pipe: &Pipe) -> bool {
    let (a, b) = network.drawn(pipe);
    ((b.x - a.x).abs() - (b.y - a.y).abs()).abs() < LEAST
}

/// Pipes that stand upright, those one above the other together.
fn uprights(network: &Network, table: &mut Heights) {
    let upright = |p: &Pipe| p.lie == Lie::Vertical;
    let mut count = 0;
    for mut group in Sets::groups(network, upright, |_| ()) {
        let low = |p: &PipeIx| {
            let (a, b) = network.drawn(network.pipe(*p));
            a.z.min(b.z)
        };
        group.sort_by(|a, b| low(a).total_cmp(&low(b)));
        group.retain(|p| {
            let (a, b) = network.drawn(network.pipe(*p));
            (a.z - b.z).abs() >= LEAST
        });
        let Some(lowest) = group.first() else {
            continue;
        };
        let mut said_parts = Vec::new();
        let mut parts = group.iter().map(|p| network.pipe(*p)).peekable();
        let mut from = height(low(lowest), network.units);
        while let Some(pipe) = parts.next() {
            if parts.peek().is_some_and(|next| next.system == pipe.system) {
                continue;
            }
            let top = if network.node(pipe.from).z_drawn > network.node(pipe.to).z_drawn {
                pipe.from
            } else {
                pipe.to
            };
            let end = if network.node(top).kind == NodeKind::RoofEnd {
                ", through the roof"
            } else {
                ""
            };
            let to = said(network, top);
            said_parts.push(format!("{} {from} to {to}{end}", pipe.system.word()));
            from = to;
        }
        let mut words = said_parts.join("; ");
        let mark = if let Some((tag, port)) = fixture(network, &group) {
            words = format!("{port}, upright: {words}");
            tag
        } else {
            count += 1;
            let mut nodes: Vec<NodeIx> = group
                .iter()
                .flat_map(|p| [network.pipe(*p).from, network.pipe(*p).to])
                .collect();
            nodes.sort_unstable();
            nodes.dedup();
            table.places.push((nodes, count.to_string()));
            words = format!("upright: {words}");
            count.to_string()
        };
        table.rows.push(Row { mark, words });
    }
}
