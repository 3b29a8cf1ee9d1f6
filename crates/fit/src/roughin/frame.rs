//! What codes allow to be bored in joists, as the checks hold it, and what to mind, from `data/framing.toml`.

use std::sync::LazyLock;

use serde::Deserialize;
use wyeline_checks::limits;
use wyeline_checks::practice::practice;
use wyeline_codes::Pack;

use super::{Caution, Limit};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    caution: Vec<Caution>,
}

const TEXT: &str = include_str!("../../data/framing.toml");

static FILE: LazyLock<File> =
    LazyLock::new(|| toml::from_str(TEXT).expect("the table of framing is well formed"));

/// What a code allows in a sawn joist so deep (mm), with the job's amendments, where that is held.
pub(crate) fn limit(pack: &Pack, depth_mm: f64) -> Option<Limit> {
    let hole = limits::limit(pack, "joist-hole")?;
    let edge = limits::limit(pack, "joist-edge")?;
    Some(Limit {
        hole_mm: depth_mm * hole.value,
        edge_mm: edge.value,
        cite: hole.cite,
    })
}

/// Whether a joist so deep (mm) is sawn lumber.
pub(crate) fn sawn(depth_mm: f64) -> bool {
    practice().joists.sawn(depth_mm)
}

/// What to mind before structure is cut.
pub(crate) fn cautions() -> Vec<&'static Caution> {
    FILE.caution.iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every caution names its document and how it was come by (`how` is read by type).
    #[test]
    fn every_caution_has_its_source() {
        assert!(!FILE.caution.is_empty());
        for caution in &FILE.caution {
            assert!(!caution.document.is_empty(), "{}", caution.text);
        }
    }
}
