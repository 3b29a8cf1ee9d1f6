//! What the job says stands at a node (`fitting long-sweep`), in place of what would be chosen.

use super::build::Build;
use crate::model::Shape;

/// The shapes told at this node, where any is told and all are known; words that are not known are mistakes of the
/// shelf's reading and have been told.
pub(crate) fn shapes(build: &Build) -> Option<Vec<Shape>> {
    let told = &build.here().fitting;
    if told.is_empty() {
        return None;
    }
    told.iter().map(|word| Shape::named(word)).collect()
}
