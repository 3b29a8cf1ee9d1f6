//! Kinds of fixtures: their size, trap and ports, read from `data/rough-in.toml`.
//!
//! The table is part of the program; each of its values names its source.

use std::collections::HashMap;
use std::sync::LazyLock;

use serde::Deserialize;

/// Millimetres in an inch.
const INCH: f64 = 25.4;

/// How a fixture is trapped.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Trap {
    /// In the fixture itself.
    Integral,
    /// Under the outlet, its arm leading back to the tee.
    Arm,
    /// Right below the outlet, at the height of its branch.
    Below,
    /// None.
    None,
}

/// The side a port is on where a hand is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum DefaultHand {
    /// On the left, as seen facing the fixture.
    Left,
    /// On the right.
    Right,
}

/// Where a port of a kind lies; lengths in inches as in the table.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PortRow {
    /// Its name (`drain`).
    pub name: String,
    /// Out from the finished wall face, or from the centre.
    #[serde(default)]
    pub out: f64,
    /// To the right as seen facing the fixture.
    #[serde(default)]
    pub right: f64,
    /// Above the finished floor (or the roof).
    #[serde(default)]
    pub up: f64,
    /// At the centre of the wall's core where there is a wall.
    #[serde(default)]
    pub wall: bool,
    /// Above the roof's surface instead of the floor.
    #[serde(default)]
    pub roof: bool,
    /// How far to a side where a hand is said.
    pub hand: Option<f64>,
    /// The hand where none is said.
    pub default: Option<DefaultHand>,
    /// Takes the side of that port.
    pub follows: Option<String>,
    /// On the wall at that end of the fixture.
    #[serde(default)]
    pub end: bool,
    /// From the middle of that end, to the user's right when facing it.
    #[serde(default)]
    pub along: f64,
    /// How the value was come by.
    pub how: String,
    /// Where it stands.
    pub source: String,
}

/// A kind of fixture; lengths in inches as in the table.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Kind {
    /// Its name in the job language.
    pub name: String,
    /// Letters drawn beside it.
    pub letters: String,
    /// Other names.
    #[serde(default)]
    pub alias: Vec<String>,
    /// Width across, depth out.
    pub plan: (f64, f64),
    /// Rim or top above the floor.
    pub rim: Option<f64>,
    /// How it is trapped.
    pub trap: Trap,
    /// The anchor is its centre.
    #[serde(default)]
    pub centred: bool,
    /// Systems without which it cannot be used, by their words.
    pub needs: Vec<String>,
    /// How size and rim were come by.
    pub how: String,
    /// Where they stand.
    pub source: String,
    /// Its ports.
    pub port: Vec<PortRow>,
}

impl Kind {
    /// The port of that name.
    pub fn port(&self, name: &str) -> Option<&PortRow> {
        self.port.iter().find(|port| port.name == name)
    }
    /// Width and depth, mm.
    pub fn plan_mm(&self) -> (f64, f64) {
        (self.plan.0 * INCH, self.plan.1 * INCH)
    }
    /// Rim above the floor, mm.
    pub fn rim_mm(&self) -> Option<f64> {
        self.rim.map(|rim| rim * INCH)
    }
}

/// The rough-in table, with its kinds found by name.
pub struct Kinds {
    rows: Vec<Kind>,
    by_name: HashMap<String, usize>,
}

impl Kinds {
    /// Every kind, in the order of the table.
    pub fn rows(&self) -> &[Kind] {
        &self.rows
    }
    /// The kind of that name or alias.
    pub fn get(&self, name: &str) -> Option<&Kind> {
        self.by_name.get(name).map(|&row| &self.rows[row])
    }
    /// All names, aliases too.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.rows
            .iter()
            .flat_map(|kind| std::iter::once(&kind.name).chain(&kind.alias))
            .map(String::as_str)
    }
}

/// The rough-in table.
pub fn kinds() -> &'static Kinds {
    static KINDS: LazyLock<Kinds> = LazyLock::new(|| {
        #[derive(Deserialize)]
        struct File {
            kind: Vec<Kind>,
        }
        let file: File = toml::from_str(include_str!("../data/rough-in.toml"))
            .expect("the rough-in table is well formed");
        let mut by_name = HashMap::new();
        for (row, kind) in file.kind.iter().enumerate() {
            for name in std::iter::once(&kind.name).chain(&kind.alias) {
                by_name.insert(name.clone(), row);
            }
        }
        Kinds {
            rows: file.kind,
            by_name,
        }
    });
    &KINDS
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every row says how it was come by and where it stands; names are used once.
    #[test]
    fn every_value_has_its_source() {
        let table = kinds();
        let mut names: Vec<_> = table.names().collect();
        let all = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), all, "a name stands twice");
        for kind in table.rows() {
            assert!(
                !kind.how.is_empty() && !kind.source.is_empty(),
                "{}",
                kind.name
            );
            assert!(!kind.port.is_empty(), "{}", kind.name);
            for port in &kind.port {
                assert!(
                    port.how.starts_with("seen") || port.how.starts_with("memory"),
                    "{}.{}",
                    kind.name,
                    port.name
                );
                assert!(!port.source.is_empty(), "{}.{}", kind.name, port.name);
                if let Some(leader) = &port.follows {
                    assert!(
                        kind.port(leader).is_some_and(|p| p.hand.is_some()) || port.hand.is_none(),
                        "{}.{}",
                        kind.name,
                        port.name
                    );
                }
            }
        }
    }

    /// A fixture with a trap arm needs the tee its arm leads to; every other has none.
    #[test]
    fn an_arm_has_a_tee() {
        for kind in kinds().rows() {
            assert_eq!(
                kind.port("tee").is_some(),
                kind.trap == Trap::Arm,
                "{}",
                kind.name
            );
        }
    }

    /// Rough-in figures of the general summaries: closet 12 out, supply 8-1/4 up;
    /// lavatory drain 18, supplies 21 up and 8 apart; kitchen drain 16, supplies 20.
    #[test]
    fn figures_of_the_rough_in_summaries() {
        let at = |kind: &str, port: &str| {
            let row = kinds().get(kind).and_then(|k| k.port(port)).unwrap();
            (row.out, row.right, row.up)
        };
        assert_eq!(at("water-closet", "drain"), (12.0, 0.0, 0.0));
        assert_eq!(at("water-closet", "cold"), (0.0, -6.0, 8.25));
        assert_eq!(at("lavatory", "tee"), (0.0, 0.0, 18.0));
        assert_eq!(at("lavatory", "cold").1 - at("lavatory", "hot").1, 8.0);
        assert_eq!(at("kitchen-sink", "tee").2, 16.0);
        assert_eq!(at("kitchen-sink", "hot").2, 20.0);
    }
}
