//! Losses of fittings and valves as K and as equivalent length, from `data/fittings.toml`.
//!
//! In: the fitting, its joint, its nominal size. Out: what the table prints; nothing between its columns.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use crate::unit::FOOT;

/// A fitting or valve whose loss is tabulated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[repr(u8)]
pub enum Fitting {
    /// A quarter bend.
    Elbow90,
    /// An eighth bend.
    Elbow45,
    /// Straight through a tee.
    TeeRun,
    /// Into or out of the side of a tee.
    TeeBranch,
    /// Gate valve, open.
    GateValve,
    /// Ball valve, open, full bore.
    BallValve,
    /// Globe valve, open.
    GlobeValve,
    /// Angle valve, open.
    AngleValve,
    /// Swing check valve.
    CheckValve,
    /// Balancing valve, open.
    BalancingValve,
}

impl Fitting {
    /// All of them.
    pub const ALL: [Self; 10] = [
        Self::Elbow90,
        Self::Elbow45,
        Self::TeeRun,
        Self::TeeBranch,
        Self::GateValve,
        Self::BallValve,
        Self::GlobeValve,
        Self::AngleValve,
        Self::CheckValve,
        Self::BalancingValve,
    ];
    /// Its name in the tables.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Elbow90 => "elbow-90",
            Self::Elbow45 => "elbow-45",
            Self::TeeRun => "tee-run",
            Self::TeeBranch => "tee-branch",
            Self::GateValve => "gate-valve",
            Self::BallValve => "ball-valve",
            Self::GlobeValve => "globe-valve",
            Self::AngleValve => "angle-valve",
            Self::CheckValve => "check-valve",
            Self::BalancingValve => "balancing-valve",
        }
    }
}

/// How fittings are joined to their pipe.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Joint {
    /// Soldered copper.
    Copper,
    /// Threaded; taken for every other pipe as well.
    Threaded,
}

#[derive(Deserialize)]
struct File {
    k: Sourced<f64>,
    threaded: Columns,
    copper: Columns,
}

#[derive(Deserialize)]
struct Sourced<T> {
    source: String,
    how: String,
    #[serde(flatten)]
    rows: BTreeMap<String, T>,
}

#[derive(Deserialize)]
struct Columns {
    source: String,
    how: String,
    sizes: Vec<String>,
    #[serde(rename = "note")]
    _note: String,
    #[serde(flatten)]
    rows: BTreeMap<String, Vec<f64>>,
}

/// A table of equivalent lengths, by eighths of an inch; metres.
struct Lengths {
    eighths: Vec<u16>,
    rows: [Option<Vec<f64>>; Fitting::ALL.len()],
    source: String,
    how: String,
}

struct Tables {
    k: [Option<f64>; Fitting::ALL.len()],
    k_source: (String, String),
    threaded: Lengths,
    copper: Lengths,
}

/// `1-1/4` as eighths of an inch.
fn eighths(nominal: &str) -> u16 {
    let part = |text: &str| match text.split_once('/') {
        Some((over, under)) => {
            let (over, under): (u16, u16) = (number(over), number(under));
            over * 8 / under
        }
        None => number(text) * 8,
    };
    nominal.split('-').map(part).sum()
}

fn number(text: &str) -> u16 {
    text.parse()
        .unwrap_or_else(|_| panic!("{text} in the table of fittings is no whole number"))
}

fn lengths(columns: Columns) -> Lengths {
    let eighths: Vec<u16> = columns.sizes.iter().map(|size| eighths(size)).collect();
    assert!(eighths.is_sorted(), "sizes of the table of fittings rise");
    for (name, row) in &columns.rows {
        assert!(
            row.len() == eighths.len() && Fitting::ALL.iter().any(|fitting| fitting.word() == name),
            "`{name}` in the table of fittings has a value for each size"
        );
    }
    let rows = Fitting::ALL.map(|fitting| {
        let row = columns.rows.get(fitting.word())?;
        Some(row.iter().map(|feet| feet.max(0.0) * FOOT).collect())
    });
    Lengths {
        eighths,
        rows,
        source: columns.source,
        how: columns.how,
    }
}

fn tables() -> &'static Tables {
    static TABLES: LazyLock<Tables> = LazyLock::new(|| {
        let file: File = toml::from_str(include_str!("../data/fittings.toml"))
            .expect("the table of fittings is well formed");
        Tables {
            k: Fitting::ALL.map(|fitting| file.k.rows.get(fitting.word()).copied()),
            k_source: (file.k.source, file.k.how),
            threaded: lengths(file.threaded),
            copper: lengths(file.copper),
        }
    });
    &TABLES
}

/// K of a threaded fitting.
pub fn k(fitting: Fitting) -> Option<f64> {
    tables().k[fitting as usize]
}

/// Where the K stand, and how they were come by.
pub fn k_source() -> (&'static str, &'static str) {
    let (source, how) = &tables().k_source;
    (source, how)
}

/// Where the equivalent lengths of a joint stand, and how they were come by.
pub fn length_source(joint: Joint) -> (&'static str, &'static str) {
    let table = of(joint);
    (&table.source, &table.how)
}

fn of(joint: Joint) -> &'static Lengths {
    match joint {
        Joint::Copper => &tables().copper,
        Joint::Threaded => &tables().threaded,
    }
}

/// Equivalent length of a fitting, m; 0 where the table prints a dash.
///
/// * `eighths`: nominal size in eighths of an inch
///
/// Nothing where the table has no such size. A size between two columns is none.
pub fn equivalent_length(joint: Joint, fitting: Fitting, eighths: u16) -> Option<f64> {
    let table = of(joint);
    match &table.rows[fitting as usize] {
        Some(row) => table
            .eighths
            .binary_search(&eighths)
            .ok()
            .map(|column| row[column]),
        None if joint == Joint::Copper => equivalent_length(Joint::Threaded, fitting, eighths),
        None => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nominal_sizes_are_read() {
        assert_eq!(["3/8", "1", "1-1/4", "2-1/2"].map(eighths), [3, 8, 10, 20]);
    }

    /// IPC Table E103.3(6): a 90 of 3/4 in copper counts 2 ft, the branch of a tee 3 ft; a tee's run prints a dash.
    /// IPC Table E103.3(5): a threaded 90 of 1 in counts 3 ft.
    #[test]
    fn lengths_of_the_tables() {
        let feet =
            |joint, fitting, eighths| equivalent_length(joint, fitting, eighths).map(|m| m / FOOT);
        let near = |a: Option<f64>, b: f64| (a.unwrap() - b).abs() < 1e-12;
        assert!(near(feet(Joint::Copper, Fitting::Elbow90, 6), 2.0));
        assert!(near(feet(Joint::Copper, Fitting::TeeBranch, 6), 3.0));
        assert!(near(feet(Joint::Copper, Fitting::TeeRun, 6), 0.0));
        assert!(near(feet(Joint::Threaded, Fitting::Elbow90, 8), 3.0));
    }

    /// What the copper table leaves out is looked up among threaded fittings; what neither has is not known.
    #[test]
    fn gaps_of_the_tables() {
        assert_eq!(
            equivalent_length(Joint::Copper, Fitting::GlobeValve, 4),
            equivalent_length(Joint::Threaded, Fitting::GlobeValve, 4)
        );
        assert_eq!(
            equivalent_length(Joint::Threaded, Fitting::Elbow90, 3),
            None
        );
        assert_eq!(equivalent_length(Joint::Copper, Fitting::Elbow90, 7), None);
    }

    /// Larger fittings of a kind never count less, apart from 3-1/2 in copper, printed below 3 in.
    #[test]
    fn lengths_grow_with_the_size() {
        for joint in [Joint::Copper, Joint::Threaded] {
            for fitting in Fitting::ALL {
                if fitting == Fitting::BallValve && joint == Joint::Copper {
                    continue;
                }
                let row: Vec<f64> = of(joint)
                    .eighths
                    .iter()
                    .filter(|&&eighths| eighths != 28)
                    .filter_map(|&eighths| equivalent_length(joint, fitting, eighths))
                    .collect();
                assert!(row.is_sorted(), "{joint:?} {fitting:?}");
            }
        }
    }

    #[test]
    fn k_of_the_textbook() {
        assert_eq!(k(Fitting::Elbow90), Some(1.5));
        assert_eq!(k(Fitting::TeeBranch), Some(2.0));
        assert_eq!(k(Fitting::BalancingValve), None);
        assert!(!k_source().0.is_empty() && !length_source(Joint::Copper).0.is_empty());
    }
}
