//! How rules ask a code for its figures and sections.
//!
//! Figures come from the code's pack. Sections that forbid or ask without a figure stand in `data/sections.toml`.

use std::sync::{Arc, LazyLock};

use serde::Deserialize;
use wyeline_codes::{Cite, Cited, How, Pack};
use wyeline_units::Size;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    section: Vec<Section>,
}

/// A section of a code that a rule rests on.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Section {
    rule: String,
    code: String,
    document: Arc<str>,
    place: Arc<str>,
    how: How,
    says: String,
}

fn sections() -> &'static [Section] {
    static SECTIONS: LazyLock<Vec<Section>> = LazyLock::new(|| {
        let file: File = toml::from_str(include_str!("../data/sections.toml"))
            .expect("the table of sections is well formed");
        file.section
    });
    &SECTIONS
}

/// Where a code says what a rule rests on, for rules without a figure.
pub fn section(pack: &Pack, rule: &str) -> Option<Cite> {
    let mut all = sections().iter();
    let found = all.find(|section| section.rule == rule && section.code == pack.id())?;
    Some(Cite {
        document: found.document.clone(),
        place: found.place.clone(),
        how: found.how,
    })
}

/// What a code says on a rule without a figure, in our words.
pub fn says(pack: &Pack, rule: &str) -> Option<&'static str> {
    let mut all = sections().iter();
    let found = all.find(|section| section.rule == rule && section.code == pack.id())?;
    Some(&found.says)
}

/// A single number of the code: lengths in mm, angles in degrees, others plain.
pub fn value(pack: &Pack, key: &str) -> Option<Cited<f64>> {
    pack.scalar(key).ok()
}

/// The same without where it stands.
pub fn number(pack: &Pack, key: &str) -> Option<f64> {
    value(pack, key).map(|cited| cited.value)
}

/// Whether the code says yes to it; nothing where it says nothing.
pub fn flag(pack: &Pack, key: &str) -> Option<bool> {
    pack.flag(key).ok().map(|cited| cited.value)
}

/// A single size of the code.
pub fn size(pack: &Pack, key: &str) -> Option<Cited<Size>> {
    pack.size_rule(key).ok()
}

/// Where a single value stands.
pub fn cite(pack: &Pack, key: &str) -> Option<Cite> {
    pack.rule(key).ok().map(|rule| rule.cite.clone())
}

/// What a table says of each size, asked once for each: most pipes of a job have one of few sizes, and what a table
/// does not hold is told in words that cost more than looking.
pub struct BySize<T> {
    asked: Vec<(Size, Option<T>)>,
}

impl<T> Default for BySize<T> {
    fn default() -> Self {
        Self { asked: Vec::new() }
    }
}

impl<T> BySize<T> {
    /// What it says of a size, by asking the first time; nothing where it says nothing.
    pub fn get(&mut self, size: Size, ask: impl FnOnce(Size) -> Option<T>) -> Option<&T> {
        let known = self.asked.iter().position(|(one, _)| *one == size);
        let at = known.unwrap_or_else(|| {
            self.asked.push((size, ask(size)));
            self.asked.len() - 1
        });
        self.asked[at].1.as_ref()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every section belongs to a rule and a pack that there are, once, and says where and what.
    #[test]
    fn sections_belong_to_rules_and_codes() {
        let mut seen = Vec::new();
        for section in sections() {
            let key = (section.rule.as_str(), section.code.as_str());
            assert!(!seen.contains(&key), "{key:?} stands twice");
            seen.push(key);
            let known = crate::rules::ALL
                .iter()
                .any(|rule| rule.name == section.rule);
            assert!(known, "no rule {}", section.rule);
            assert!(Pack::named(&section.code).is_some(), "{}", section.code);
            assert!(
                section.place.len() > 1 && section.says.len() > 10,
                "{key:?}"
            );
        }
    }
}
