//! What the codes' definitions measure by, read from `data/definitions.toml`; each value names its source.

use std::sync::LazyLock;

use serde::Deserialize;
use wyeline_codes::{Cite, Cited, How};

/// The definitions.
pub(crate) struct Definitions {
    /// Least length of a branch interval, mm.
    pub branch_interval: Cited<f64>,
    /// How far outside the walls a building drain ends, mm.
    pub building_sewer_from: Cited<f64>,
    /// Part of a storey's height that makes a vertical line a stack.
    pub share_of_storey: Cited<f64>,
    /// Height of a storey with nothing told above it, mm.
    pub top_storey: Cited<f64>,
    /// The most water of a modern flush, l.
    pub low_flush: Cited<f64>,
    /// A vent taken off a building drain within so many diameters of a stack's base is its vent stack.
    pub vent_stack_at_base: Cited<f64>,
    /// Why a drain does not become smaller on its way, where a code's data says nothing of it.
    pub no_reduction: Cited<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    value: f64,
    document: String,
    place: String,
    how: How,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct File {
    branch_interval: Row,
    building_sewer_from: Row,
    share_of_storey: Row,
    top_storey: Row,
    low_flush: Row,
    vent_stack_at_base: Row,
    no_reduction: Row,
}

impl From<Row> for Cited<f64> {
    fn from(row: Row) -> Self {
        Self {
            value: row.value,
            cite: Cite {
                document: row.document.into(),
                place: row.place.into(),
                how: row.how,
            },
        }
    }
}

static TABLE: LazyLock<Definitions> = LazyLock::new(|| {
    let file: File = toml::from_str(include_str!("../data/definitions.toml"))
        .expect("the definitions are part of the program");
    Definitions {
        branch_interval: file.branch_interval.into(),
        building_sewer_from: file.building_sewer_from.into(),
        share_of_storey: file.share_of_storey.into(),
        top_storey: file.top_storey.into(),
        low_flush: file.low_flush.into(),
        vent_stack_at_base: file.vent_stack_at_base.into(),
        no_reduction: file.no_reduction.into(),
    }
});

/// The definitions.
pub(crate) fn definitions() -> &'static Definitions {
    &TABLE
}
