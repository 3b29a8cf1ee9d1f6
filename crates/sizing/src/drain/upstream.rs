//! What drains through each pipe, as far as the ways of venting ask: how many fixtures, of which kinds, of which storeys.
//!
//! In: the tree of drains and `data/airing.toml`, which names the kinds that may be on a drain that vents others.

use std::sync::LazyLock;

use serde::Deserialize;
use wyeline_codes::{Cite, How};
use wyeline_network::Network;
use wyeline_network::model::{LevelIx, NodeKind};

use super::tree::Tree;
use crate::model::Airs;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Listed {
    kinds: Vec<String>,
    document: String,
    place: String,
    how: How,
}

impl Listed {
    fn has(&self, kind: &str) -> bool {
        self.kinds.iter().any(|known| known == kind)
    }
    fn cite(&self) -> Cite {
        Cite {
            document: self.document.as_str().into(),
            place: self.place.as_str().into(),
            how: self.how,
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct File {
    bathroom: Listed,
    combination: Listed,
    not_on_waste_stack: Listed,
}

static KINDS: LazyLock<File> = LazyLock::new(|| {
    toml::from_str(include_str!("../../data/airing.toml"))
        .expect("the kinds are part of the program")
});

/// Whether a kind of fixture may be on a wet vent.
pub(crate) fn of_bathroom(kind: &str) -> bool {
    KINDS.bathroom.has(kind)
}

/// Where the code says which fixtures may be on a drain that gives air in that way, where it names them.
pub(crate) fn kinds_cite(airs: Airs) -> Option<Cite> {
    match airs {
        Airs::Combination => Some(KINDS.combination.cite()),
        Airs::WasteStack => Some(KINDS.not_on_waste_stack.cite()),
        _ => None,
    }
}

/// What drains through a pipe.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Upstream {
    /// How many fixtures.
    pub fixtures: u32,
    /// The level that all of them stand on, where it is one.
    pub level: Option<LevelIx>,
    /// All may be on a combination drain and vent, and are told one by one.
    pub combination: bool,
    /// All may be on a waste stack that vents itself, and are told one by one.
    pub waste_stack: bool,
}

impl Upstream {
    const NONE: Self = Self {
        fixtures: 0,
        level: None,
        combination: true,
        waste_stack: true,
    };

    fn add(&mut self, other: Self) {
        self.level = match (self.fixtures, other.fixtures) {
            (_, 0) => self.level,
            (0, _) => other.level,
            _ => self.level.filter(|_| self.level == other.level),
        };
        self.fixtures += other.fixtures;
        self.combination &= other.combination;
        self.waste_stack &= other.waste_stack;
    }
}

/// For each pipe what drains through it. The cost grows with the pipes.
pub(crate) fn upstream(network: &Network, tree: &Tree) -> Vec<Upstream> {
    let mut above = vec![Upstream::NONE; network.nodes.len()];
    let mut all = vec![Upstream::NONE; network.pipes.len()];
    for &ix in &tree.order {
        let pipe = network.pipe(ix);
        let from = pipe.from.0 as usize;
        if tree.inlets[from] == 0 {
            let node = network.node(pipe.from);
            if let Some(fixture) = node.fixture {
                let fixture = &network.fixtures[fixture.0 as usize];
                above[from] = Upstream {
                    fixtures: 1,
                    level: Some(fixture.level),
                    combination: KINDS.combination.has(&fixture.kind),
                    waste_stack: !KINDS.not_on_waste_stack.has(&fixture.kind),
                };
            } else if matches!(node.kind, NodeKind::Continues { .. }) {
                above[from].combination = false;
                above[from].waste_stack = false;
            }
        }
        all[ix.0 as usize] = above[from];
        above[pipe.to.0 as usize].add(all[ix.0 as usize]);
    }
    all
}
