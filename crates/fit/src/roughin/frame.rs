//! What codes allow to be bored in joists, which joists are sawn, and what to mind, from `data/framing.toml`.

use std::sync::LazyLock;

use serde::Deserialize;
use wyeline_codes::How;

use super::{Caution, Limit};

const INCH: f64 = 25.4;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    limit: Vec<Row>,
    sawn: Sawn,
    caution: Vec<Caution>,
}

/// What a code allows; inches.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    codes: Vec<String>,
    over: u32,
    edge: f64,
    document: String,
    how: How,
}

/// Depths of sawn joists; inches. Where they stand, the file says for its readers.
#[derive(Deserialize)]
struct Sawn {
    depths: Vec<f64>,
    within: f64,
}

const TEXT: &str = include_str!("../../data/framing.toml");

static FILE: LazyLock<File> =
    LazyLock::new(|| toml::from_str(TEXT).expect("the table of framing is well formed"));

/// What a code allows in a sawn joist so deep (mm), where that is held.
pub(crate) fn limit(code: Option<&str>, depth_mm: f64) -> Option<Limit> {
    let code = code?;
    let held = |row: &&Row| row.codes.iter().any(|one| one == code);
    FILE.limit.iter().find(held).map(|row| Limit {
        hole_mm: depth_mm / f64::from(row.over),
        edge_mm: row.edge * INCH,
        source: &row.document,
        how: row.how,
    })
}

/// Whether a joist so deep (mm) is sawn lumber.
pub(crate) fn sawn(depth_mm: f64) -> bool {
    let sawn = &FILE.sawn;
    let near = |depth: &f64| (depth_mm / INCH - depth).abs() <= sawn.within + 1e-6;
    sawn.depths.iter().any(near)
}

/// What to mind before structure is cut.
pub(crate) fn cautions() -> Vec<&'static Caution> {
    FILE.caution.iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every row names its document and how it was come by.
    #[test]
    fn every_row_has_its_source() {
        let table: toml::Table = toml::from_str(TEXT).unwrap();
        let rows = table.values().flat_map(|rows| match rows {
            toml::Value::Array(rows) => rows.as_slice(),
            row => std::slice::from_ref(row),
        });
        for row in rows {
            let says = |key: &str| row.get(key).and_then(toml::Value::as_str);
            let known = ["seen", "memory", "common-practice"];
            assert!(says("how").is_some_and(|how| known.contains(&how)), "{row}");
            assert!(
                says("document").is_some_and(|text| !text.is_empty()),
                "{row}"
            );
        }
    }

    /// Each code's name is one that is held.
    #[test]
    fn codes_are_held() {
        for code in FILE.limit.iter().flat_map(|row| &row.codes) {
            assert!(wyeline_codes::Pack::named(code).is_some(), "{code}");
        }
    }
}
