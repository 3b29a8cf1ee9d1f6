//! Roughness of pipe by material, from `data/materials.toml`.
//!
//! In: a material's name as the job language has it. Out: what Colebrook, Hazen-Williams and Manning need.
//! A material that has no row is not known; nothing is guessed.

use std::sync::LazyLock;

use serde::Deserialize;

/// How rough a pipe is inside.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Material {
    /// Names in the job language.
    pub names: Vec<String>,
    /// Roughness of the wall, mm.
    pub roughness_mm: f64,
    /// Coefficient of Hazen and Williams.
    pub c: f64,
    /// Manning's n, s/m^(1/3).
    pub n: f64,
    /// How the values were come by.
    pub how: String,
    /// Where they stand.
    pub source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    material: Vec<Material>,
}

/// All rows of the table.
pub fn materials() -> &'static [Material] {
    static TABLE: LazyLock<Vec<Material>> = LazyLock::new(|| {
        let file: File = toml::from_str(include_str!("../data/materials.toml"))
            .expect("the table of materials is well formed");
        file.material
    });
    &TABLE
}

/// The row of a material.
pub fn material(name: &str) -> Option<&'static Material> {
    materials()
        .iter()
        .find(|row| row.names.iter().any(|known| known == name))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_has_its_source_and_no_name_stands_twice() {
        let mut names: Vec<&str> = Vec::new();
        for row in materials() {
            assert!(!row.source.is_empty() && !row.how.is_empty());
            assert!(row.roughness_mm > 0.0 && row.c > 0.0 && row.n > 0.0);
            names.extend(row.names.iter().map(String::as_str));
        }
        let all = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), all);
    }

    /// Rougher pipe has the lower C: galvanized 120, copper 140, PVC 150 (textbook tables).
    #[test]
    fn values_of_the_textbooks() {
        let c = |name| material(name).unwrap().c;
        assert_eq!(
            (c("galvanized"), c("copper"), c("pvc")),
            (120.0, 140.0, 150.0)
        );
        assert_eq!(material("marble"), None);
    }
}
