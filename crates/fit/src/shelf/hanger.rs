//! Greatest spacing of supports by family and size, from `data/hangers.toml`.

use std::sync::LazyLock;

use serde::Deserialize;
use wyeline_codes::{Cite, How};
use wyeline_units::Size;

use super::table::INCH;
use crate::model::Family;

/// How far apart supports may be.
#[derive(Clone, Debug, PartialEq)]
pub struct Spacing {
    /// Greatest distance, mm.
    pub mm: f64,
    /// Plumb pipe has a guide half-way up each storey as well.
    pub mid_storey_guide: bool,
    /// Where it stands.
    pub cite: Cite,
    /// What else is said there.
    pub remark: Option<&'static str>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    hanger: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    families: Vec<Family>,
    least: Option<String>,
    most: Option<String>,
    level: f64,
    plumb: f64,
    #[serde(default)]
    mid_storey_guide: bool,
    how: How,
    document: String,
    place: String,
    remark: Option<String>,
}

fn inches(text: &str) -> Size {
    let read = format!("{text}\"").parse();
    read.unwrap_or_else(|_| panic!("`{text}` is no size in inches"))
}

static FILE: LazyLock<File> = LazyLock::new(|| {
    toml::from_str(include_str!("../../data/hangers.toml")).expect("the hangers are well formed")
});

/// The row for a family and a size in inches.
pub(super) fn spacing(family: Family, size: Size, plumb: bool) -> Option<Spacing> {
    let row = FILE.hanger.iter().find(|row| {
        row.families.contains(&family)
            && row
                .least
                .as_deref()
                .is_none_or(|least| inches(least) <= size)
            && row.most.as_deref().is_none_or(|most| size <= inches(most))
    })?;
    Some(Spacing {
        mm: INCH * if plumb { row.plumb } else { row.level },
        mid_storey_guide: plumb && row.mid_storey_guide,
        cite: Cite {
            document: row.document.as_str().into(),
            place: row.place.as_str().into(),
            how: row.how,
        },
        remark: row.remark.as_deref(),
    })
}
