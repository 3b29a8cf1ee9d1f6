//! A network as the plain data that `wyeline network --json` prints, and a few walks over it.

use std::collections::{BTreeSet, VecDeque};

use glam::DVec3;
use serde_json::Value;
use wyeline_whole::Built;

/// The network's JSON.
pub struct Plain(Value);

impl Plain {
    pub fn of(built: &Built) -> Self {
        Self(wyeline_network::to_json(&built.network))
    }

    fn list(&self, name: &str) -> &[Value] {
        self.0[name].as_array().expect("a list")
    }

    pub fn pipe(&self, ix: usize) -> &Value {
        &self.list("pipes")[ix]
    }

    pub fn node_id(&self, ix: usize) -> String {
        self.list("nodes")[ix]["id"]
            .as_str()
            .expect("an id")
            .to_owned()
    }

    pub fn level(&self, name: &str) -> &Value {
        let mut levels = self.list("levels").iter();
        levels
            .find(|level| level["name"] == name)
            .unwrap_or_else(|| panic!("no level {name}"))
    }

    fn node(&self, id: &Value) -> Value {
        let mut nodes = self.list("nodes").iter();
        nodes
            .find(|node| node["id"] == *id)
            .expect("a node")
            .clone()
    }

    /// Both end nodes of a pipe, upstream first.
    pub fn ends(&self, ix: usize) -> [Value; 2] {
        let pipe = self.pipe(ix);
        [self.node(&pipe["from"]), self.node(&pipe["to"])]
    }

    /// The pipes that meet at a node.
    pub fn at(&self, node: usize) -> Vec<usize> {
        let id = self.node_id(node);
        let pipes = self.list("pipes").iter().enumerate();
        pipes
            .filter(|(_, pipe)| pipe["from"] == *id || pipe["to"] == *id)
            .map(|(ix, _)| ix)
            .collect()
    }

    /// The way a pipe leaves a node, as drawn; of length 1.
    pub fn leaves(&self, ix: usize, node: usize) -> DVec3 {
        let id = self.node_id(node);
        let [a, b] = self.ends(ix);
        let (here, there) = if a["id"] == *id { (a, b) } else { (b, a) };
        let at = |node: &Value| {
            let of = |name: &str| node[name].as_f64().expect("a number");
            DVec3::new(of("x"), of("y"), of("z_drawn"))
        };
        (at(&there) - at(&here)).normalize_or_zero()
    }

    /// The length of the way with the fewest pipes from one node to another in one system.
    pub fn way(&self, from: &str, to: &str) -> Option<f64> {
        let pipes = self.list("pipes");
        let systems: BTreeSet<&str> = pipes
            .iter()
            .filter_map(|pipe| pipe["system"].as_str())
            .collect();
        let lengths = systems.into_iter().filter_map(|system| {
            let mut seen = BTreeSet::from([from.to_owned()]);
            let mut open = VecDeque::from([(from.to_owned(), 0.0)]);
            while let Some((here, long)) = open.pop_front() {
                if here == to {
                    return Some(long);
                }
                for pipe in pipes.iter().filter(|pipe| pipe["system"] == system) {
                    let (a, b) = (pipe["from"].as_str()?, pipe["to"].as_str()?);
                    let next = if a == here {
                        b
                    } else if b == here {
                        a
                    } else {
                        continue;
                    };
                    if seen.insert(next.to_owned()) {
                        open.push_back((next.to_owned(), long + pipe["length"].as_f64()?));
                    }
                }
            }
            None
        });
        lengths.reduce(f64::min)
    }

    /// Tags of the fixtures that drain through a pipe, or are fed by it: those whose nodes lie beyond it.
    pub fn fixtures_beyond(&self, ix: usize) -> BTreeSet<String> {
        let first = self.pipe(ix);
        let drains = matches!(first["system"].as_str(), Some("waste" | "storm"));
        let (near, far) = if drains {
            ("to", "from")
        } else {
            ("from", "to")
        };
        let mut found = BTreeSet::new();
        let mut seen = BTreeSet::new();
        let mut open = vec![first[far].clone()];
        while let Some(id) = open.pop() {
            if !seen.insert(id.to_string()) {
                continue;
            }
            let node = self.node(&id);
            found.extend(node["fixture"].as_str().map(str::to_owned));
            let pipes = self.list("pipes").iter();
            let beyond = pipes.filter(|pipe| pipe["system"] == first["system"] && pipe[near] == id);
            open.extend(beyond.map(|pipe| pipe[far].clone()));
        }
        found
    }
}
