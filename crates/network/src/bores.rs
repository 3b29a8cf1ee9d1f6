//! Inside and outside diameters of pipe by nominal size and material, from `data/bores.toml`.
//!
//! The table is part of the program; each row names its standard and how it was come by.

use std::collections::{HashMap, HashSet};
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
    assumed_words: String,
    pipe: Vec<Row>,
    metric: Metric,
    unknown: Unknown,
    dn: HashMap<String, String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Metric {
    assumed: String,
    assumed_words: String,
    pipe: Vec<MetricRow>,
}

/// Pipe named by its outside diameter, mm.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct MetricRow {
    materials: Vec<String>,
    #[serde(rename = "standard")]
    _standard: String,
    sizes: Vec<u16>,
    wall: Vec<f64>,
    #[serde(rename = "how")]
    _how: String,
    #[serde(rename = "source")]
    _source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Unknown {
    materials: Vec<String>,
}

/// The pipe table.
pub struct Bores {
    assumed: Material,
    assumed_metric: Material,
    /// What the two are called where they are told to be assumed.
    words: [(Material, String); 2],
    /// Materials of every row, then those without a row.
    materials: Vec<String>,
    by_size: HashMap<(usize, Size), Diameters>,
    dn: HashMap<u16, Size>,
    /// Nominal millimetres of metric pipe.
    metric: HashSet<u16>,
}

/// A material of the pipe table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Material(usize);

fn inches(size: &str) -> Size {
    match format!("{size}\"").parse::<Size>() {
        Ok(size @ Size::Inch { .. }) => size,
        _ => panic!("{size} in the pipe table is not a nominal size in inches"),
    }
}

/// The index of a material, which is added where it is new.
fn index(materials: &mut Vec<String>, name: &str) -> usize {
    let known = materials.iter().position(|known| known == name);
    known.unwrap_or_else(|| {
        materials.push(name.to_owned());
        materials.len() - 1
    })
}

impl Bores {
    /// The material taken for drains and vents that name none.
    pub fn assumed(&self) -> Material {
        self.assumed
    }
    /// The same for jobs of metric pipe.
    pub fn assumed_metric(&self) -> Material {
        self.assumed_metric
    }
    /// What is said of inverts that rest on an assumed material.
    pub fn assumed_inverts(&self, material: Material) -> String {
        let found = self.words.iter().find(|(known, _)| *known == material);
        let words = found.map_or("", |(_, words)| words);
        format!("no material is said: inverts are those of {words}")
    }
    /// Whether a size is one of metric pipe and no metric name of an inch size.
    pub fn only_metric(&self, size: Size) -> bool {
        matches!(size, Size::Dn(dn) if self.metric.contains(&dn) && !self.dn.contains_key(&dn))
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
        let by_size = |size| self.by_size.get(&(material.0, size)).copied();
        by_size(size).or_else(|| match size {
            Size::Dn(dn) => by_size(*self.dn.get(&dn)?),
            Size::Inch { .. } => None,
        })
    }
}

/// The pipe table.
pub fn bores() -> &'static Bores {
    static BORES: LazyLock<Bores> = LazyLock::new(|| {
        let file = toml::from_str(include_str!("../data/bores.toml"))
            .expect("the pipe table is well formed");
        gather(file)
    });
    &BORES
}

fn gather(file: File) -> Bores {
    let mut materials: Vec<String> = Vec::new();
    let mut by_size = HashMap::new();
    for row in &file.pipe {
        for name in &row.materials {
            let ix = index(&mut materials, name);
            for (n, size) in row.sizes.iter().enumerate() {
                let outside = row.outside[n];
                let bore = match (&row.wall, &row.bore) {
                    (Some(wall), None) => outside - 2.0 * wall[n],
                    (None, Some(bore)) => bore[n],
                    _ => panic!("a row of the pipe table gives either walls or bores"),
                };
                // The first row that has a size is the one meant for the material.
                by_size.entry((ix, inches(size))).or_insert(Diameters {
                    bore: bore * INCH,
                    outside: outside * INCH,
                });
            }
        }
    }
    let mut metric = HashSet::new();
    for row in &file.metric.pipe {
        for name in &row.materials {
            let ix = index(&mut materials, name);
            for (&dn, wall) in row.sizes.iter().zip(&row.wall) {
                let outside = f64::from(dn);
                let bore = outside - 2.0 * wall;
                by_size.insert((ix, Size::Dn(dn)), Diameters { bore, outside });
                metric.insert(dn);
            }
        }
    }
    let mut assumed = |name: &str| Material(index(&mut materials, name));
    let (inch_pipe, metric_pipe) = (assumed(&file.assumed), assumed(&file.metric.assumed));
    materials.extend(file.unknown.materials);
    let dn = file.dn.iter();
    Bores {
        assumed: inch_pipe,
        assumed_metric: metric_pipe,
        words: [
            (inch_pipe, file.assumed_words),
            (metric_pipe, file.metric.assumed_words),
        ],
        materials,
        by_size,
        dn: dn
            .map(|(dn, inch)| (dn.parse().expect("a DN is a whole number"), inches(inch)))
            .collect(),
        metric,
    }
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

    /// Metric pipe is called by its outside diameter: PVC-U of 110 with a wall of 3.2 is 103.6 inside,
    /// PP of 50 with 1.8 is 46.4. EN 12056-2 asks of DN 100 a bore of 96 and of DN 50 one of 44: both have more.
    #[test]
    fn metric_pipe() {
        for (material, dn, bore, least) in [
            ("pvc-u", 110, 103.6, 96.0),
            ("pp", 110, 104.6, 96.0),
            ("pvc-u", 50, 44.0, 44.0),
            ("pp", 50, 46.4, 44.0),
        ] {
            let found = of(material, Size::Dn(dn)).unwrap();
            assert_eq!(found.outside, f64::from(dn));
            assert!((found.bore - bore).abs() < 1e-9, "{material} {dn}");
            assert!(found.bore > least - 1e-9, "{material} {dn}");
        }
    }

    /// Sizes of 90, 110, 125 (as an inch size: 5) and 160 mm; only those that no inch pipe is called by tell of metric pipe.
    #[test]
    fn sizes_that_tell_of_metric_pipe() {
        let table = bores();
        let only: Vec<u16> = (1..=200)
            .filter(|&dn| table.only_metric(Size::Dn(dn)))
            .collect();
        assert_eq!(only, [90, 110, 160]);
        assert!(!table.only_metric(inch(4)));
    }

    /// What no row has stays unknown.
    #[test]
    fn nothing_is_interpolated() {
        assert_eq!(of("pex", inch(3)), None);
        assert_eq!(of("pp", inch(3)), None);
        assert_eq!(of("pvc-u", Size::Dn(100)), None);
        assert_eq!(bores().material("marble"), None);
    }

    /// A bore is smaller than its pipe's outside, larger sizes are larger.
    #[test]
    fn diameters_grow_with_the_size() {
        let table = bores();
        for name in table.materials() {
            let material = table.material(name).unwrap();
            let inches = (1..=80).map(|eighths| Size::Inch { eighths });
            let metric = [32, 40, 50, 75, 90, 110, 125, 160].map(Size::Dn);
            let mut rows: Vec<_> = inches.filter_map(|size| table.of(material, size)).collect();
            if rows.is_empty() {
                rows = metric
                    .iter()
                    .filter_map(|&size| table.of(material, size))
                    .collect();
            }
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
