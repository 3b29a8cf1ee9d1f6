//! Inside and outside diameters of pipe by nominal size and material, from `data/bores.toml`.
//!
//! The table is part of the program; each row names its standard and how it was come by.

use std::collections::HashMap;
use std::sync::LazyLock;

use serde::Deserialize;
use wyeline_units::Size;

const INCH: f64 = 25.4;

/// Diameters of a pipe, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Diameters {
    /// Inside.
    pub bore: f64,
    /// Outside.
    pub outside: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    materials: Vec<String>,
    #[serde(rename = "standard")]
    _standard: String,
    sizes: Vec<String>,
    outside: Vec<f64>,
    wall: Option<Vec<f64>>,
    bore: Option<Vec<f64>>,
    #[serde(rename = "how")]
    _how: String,
    #[serde(rename = "source")]
    _source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    assumed: String,
    pipe: Vec<Row>,
    unknown: Unknown,
    dn: HashMap<String, String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Unknown {
    materials: Vec<String>,
}

/// The pipe table.
pub struct Bores {
    assumed: String,
    /// Materials of every row, then those without a row.
    materials: Vec<String>,
    /// By material's index and eighths of an inch.
    by_size: HashMap<(usize, u16), Diameters>,
    dn: HashMap<u16, u16>,
}

/// A material of the pipe table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Material(usize);

fn eighths(size: &str) -> u16 {
    match format!("{size}\"").parse::<Size>() {
        Ok(Size::Inch { eighths }) => eighths,
        _ => panic!("{size} in the pipe table is not a nominal size in inches"),
    }
}

impl Bores {
    /// The material taken for drains and vents that name none.
    pub fn assumed(&self) -> Material {
        self.material(&self.assumed)
            .expect("the assumed material is in the pipe table")
    }
    /// Every material that may be named.
    pub fn materials(&self) -> impl Iterator<Item = &str> {
        self.materials.iter().map(String::as_str)
    }
    /// The material of that name.
    pub fn material(&self, name: &str) -> Option<Material> {
        self.materials
            .iter()
            .position(|known| known == name)
            .map(Material)
    }
    /// Diameters of a size in a material, where the table has them.
    pub fn of(&self, material: Material, size: Size) -> Option<Diameters> {
        let eighths = match size {
            Size::Inch { eighths } => eighths,
            Size::Dn(dn) => *self.dn.get(&dn)?,
        };
        self.by_size.get(&(material.0, eighths)).copied()
    }
}

/// The pipe table.
pub fn bores() -> &'static Bores {
    static BORES: LazyLock<Bores> = LazyLock::new(|| {
        let file: File = toml::from_str(include_str!("../data/bores.toml"))
            .expect("the pipe table is well formed");
        let mut materials: Vec<String> = Vec::new();
        let mut by_size = HashMap::new();
        for row in &file.pipe {
            for name in &row.materials {
                let ix = materials
                    .iter()
                    .position(|known| known == name)
                    .unwrap_or_else(|| {
                        materials.push(name.clone());
                        materials.len() - 1
                    });
                for (n, size) in row.sizes.iter().enumerate() {
                    let outside = row.outside[n];
                    let bore = match (&row.wall, &row.bore) {
                        (Some(wall), None) => outside - 2.0 * wall[n],
                        (None, Some(bore)) => bore[n],
                        _ => panic!("a row of the pipe table gives either walls or bores"),
                    };
                    // The first row that has a size is the one meant for the material.
                    by_size.entry((ix, eighths(size))).or_insert(Diameters {
                        bore: bore * INCH,
                        outside: outside * INCH,
                    });
                }
            }
        }
        materials.extend(file.unknown.materials);
        let dn = file
            .dn
            .iter()
            .map(|(dn, inch)| (dn.parse().expect("a DN is a whole number"), eighths(inch)))
            .collect();
        Bores {
            assumed: file.assumed,
            materials,
            by_size,
            dn,
        }
    });
    &BORES
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(material: &str, size: Size) -> Option<Diameters> {
        bores().of(bores().material(material).unwrap(), size)
    }
    fn inch(whole: u16) -> Size {
        Size::Inch { eighths: whole * 8 }
    }

    /// Schedule 40: 3 in is 3.500 outside with a wall of 0.216, 4 in 4.500 with 0.237.
    #[test]
    fn schedule_40_bores() {
        assert!((of("pvc", inch(3)).unwrap().bore / 25.4 - 3.068).abs() < 1e-9);
        assert!((of("pvc", inch(4)).unwrap().bore / 25.4 - 4.026).abs() < 1e-9);
    }

    /// Type L copper of 1/2 in: 0.0121 gallons a foot is 0.0121 x 231 / 12 = 0.2329 square inches,
    /// so 0.545 in inside, the 0.625 outside less twice 0.040.
    #[test]
    fn copper_holds_what_it_should() {
        let bore = of("copper", Size::Inch { eighths: 4 }).unwrap().bore / 25.4;
        let gallons = std::f64::consts::PI / 4.0 * bore * bore * 12.0 / 231.0;
        assert!((gallons - 0.0121).abs() < 0.00005);
    }

    /// The Canadian example: 75 mm pipe is 89 mm outside, 100 mm pipe 114 mm.
    #[test]
    fn metric_names_of_inch_sizes() {
        assert_eq!(of("abs", Size::Dn(75)).unwrap().outside.round(), 89.0);
        assert_eq!(of("abs", Size::Dn(100)).unwrap().outside.round(), 114.0);
    }

    /// What no row has stays unknown.
    #[test]
    fn nothing_is_interpolated() {
        assert_eq!(of("pex", inch(3)), None);
        assert_eq!(of("pp", inch(3)), None);
        assert_eq!(bores().material("marble"), None);
    }

    /// A bore is smaller than its pipe's outside, larger sizes are larger.
    #[test]
    fn diameters_grow_with_the_size() {
        let table = bores();
        for name in table.materials() {
            let material = table.material(name).unwrap();
            let rows: Vec<_> = (1..=80)
                .filter_map(|e| table.of(material, Size::Inch { eighths: e }))
                .collect();
            assert!(
                rows.iter().all(|d| d.bore < d.outside && d.bore > 0.0),
                "{name}"
            );
            assert!(
                rows.windows(2)
                    .all(|w| w[0].outside < w[1].outside && w[0].bore < w[1].bore),
                "{name}"
            );
        }
    }
}
