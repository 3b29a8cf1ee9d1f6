//! Reads `data/dimensions.toml` and `data/joints.toml` into tables by family, shape, leg and size, in millimetres.

use std::collections::{HashMap, HashSet};
use std::sync::LazyLock;

use serde::Deserialize;
use wyeline_codes::How;
use wyeline_job::model::DeviceKind;
use wyeline_job::words::DEVICES;
use wyeline_units::Size;

use super::LegKind;
use crate::model::{Family, Shape, Trust};

pub(super) const INCH: f64 = 25.4;

/// A number of the tables, or one that stands in its place, with what is known of it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Held {
    pub mm: f64,
    pub trust: Trust,
    pub error_mm: Option<f64>,
    pub source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Dimensions {
    made: Vec<Made>,
    like: Vec<LikeRow>,
    dim: Vec<Dim>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Joints {
    depth: Vec<Depth>,
    dim: Vec<Dim>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Made {
    families: Vec<Family>,
    shapes: Vec<Shape>,
    devices: Vec<String>,
    #[serde(rename = "how")]
    _how: How,
    #[serde(rename = "source")]
    _source: String,
    #[serde(rename = "remark")]
    _remark: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct LikeRow {
    families: Vec<Family>,
    shape: Shape,
    #[serde(rename = "as")]
    of: Shape,
    trust: Trust,
    error: Option<f64>,
    how: How,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Dim {
    families: Vec<Family>,
    shapes: Vec<Shape>,
    legs: Vec<LegKind>,
    #[serde(default)]
    sizes: Vec<String>,
    inches: Vec<f64>,
    trust: Trust,
    error: Option<f64>,
    how: How,
    source: String,
    remark: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Depth {
    families: Vec<Family>,
    kind: String,
    #[serde(default)]
    sizes: Vec<String>,
    inches: Vec<f64>,
    trust: Trust,
    error: Option<f64>,
    how: How,
    source: String,
}

/// A shape that has the legs of another.
#[derive(Clone, Debug)]
pub(super) struct Like {
    pub of: Shape,
    pub trust: Trust,
    pub error_mm: Option<f64>,
    pub source: String,
}

/// What the data files hold.
pub(super) struct Table {
    /// No sizes: any.
    dims: HashMap<(Family, Shape, LegKind, Vec<Size>), Held>,
    /// With what the depth is called. No size: any.
    depths: HashMap<(Family, Option<Size>), (String, Held)>,
    likes: HashMap<(Family, Shape), Like>,
    made: HashSet<(Family, Shape)>,
}

fn cited(how: How, source: &str, remark: Option<&str>) -> String {
    let text = match how {
        How::Seen => source.to_owned(),
        how => format!("{source} ({how})"),
    };
    match remark {
        Some(remark) => format!("{text}; {remark}"),
        None => text,
    }
}

/// `3 x 2` of the data files as sizes.
fn sizes_of(text: &str) -> Vec<Size> {
    let one = |part: &str| {
        let read = format!("{}\"", part.trim()).parse();
        read.unwrap_or_else(|_| panic!("`{text}` is no size in inches"))
    };
    text.split(" x ").map(one).collect()
}

/// The sizes of a row with their numbers, mm; no sizes for a number that holds for any.
fn numbers(sizes: &[String], inches: &[f64]) -> Vec<(Vec<Size>, f64)> {
    let any = [String::new()];
    let sizes = if sizes.is_empty() { &any } else { sizes };
    assert_eq!(sizes.len(), inches.len(), "{sizes:?}: a number for each");
    let pairs = sizes.iter().zip(inches);
    pairs
        .map(|(size, inches)| {
            let size = if size.is_empty() {
                Vec::new()
            } else {
                sizes_of(size)
            };
            (size, inches * INCH)
        })
        .collect()
}

fn device(word: &str) -> DeviceKind {
    let found = DEVICES.iter().find(|(known, _)| *known == word);
    found.map_or_else(|| panic!("`{word}` is no device"), |(_, kind)| *kind)
}

/// The data files, read.
pub(super) fn table() -> &'static Table {
    static TABLE: LazyLock<Table> = LazyLock::new(|| {
        let dimensions = toml::from_str(include_str!("../../data/dimensions.toml"))
            .expect("the dimensions are well formed");
        let joints = toml::from_str(include_str!("../../data/joints.toml"))
            .expect("the joints are well formed");
        gather(&dimensions, &joints)
    });
    &TABLE
}

fn gather(dimensions: &Dimensions, joints: &Joints) -> Table {
    let mut table = Table {
        dims: HashMap::new(),
        depths: HashMap::new(),
        likes: HashMap::new(),
        made: HashSet::new(),
    };
    for row in &dimensions.made {
        let devices = row.devices.iter().map(|word| Shape::Device(device(word)));
        let shapes: Vec<Shape> = row.shapes.iter().copied().chain(devices).collect();
        for &family in &row.families {
            table
                .made
                .extend(shapes.iter().map(|&shape| (family, shape)));
        }
    }
    for row in &dimensions.like {
        for &family in &row.families {
            let like = Like {
                of: row.of,
                trust: row.trust,
                error_mm: row.error.map(|inches| inches * INCH),
                source: cited(row.how, &row.source, None),
            };
            table.likes.insert((family, row.shape), like);
        }
    }
    for row in dimensions.dim.iter().chain(&joints.dim) {
        row.shelve(&mut table);
    }
    for row in &joints.depth {
        row.shelve(&mut table);
    }
    table
}

impl Dim {
    fn shelve(&self, table: &mut Table) {
        for (sizes, mm) in numbers(&self.sizes, &self.inches) {
            let held = Held {
                mm,
                trust: self.trust,
                error_mm: self.error.map(|inches| inches * INCH),
                source: cited(self.how, &self.source, self.remark.as_deref()),
            };
            for &family in &self.families {
                for &shape in &self.shapes {
                    for &leg in &self.legs {
                        let key = (family, shape, leg, sizes.clone());
                        let twice = table.dims.insert(key, held.clone());
                        assert_eq!(twice, None, "{family:?} {shape:?} {leg:?}: held twice");
                    }
                }
            }
        }
    }
}

impl Depth {
    fn shelve(&self, table: &mut Table) {
        for (sizes, mm) in numbers(&self.sizes, &self.inches) {
            let held = Held {
                mm,
                trust: self.trust,
                error_mm: self.error.map(|inches| inches * INCH),
                source: cited(self.how, &self.source, None),
            };
            for &family in &self.families {
                let key = (family, sizes.first().copied());
                let twice = table.depths.insert(key, (self.kind.clone(), held.clone()));
                assert_eq!(twice, None, "{family:?} {sizes:?}: held twice");
            }
        }
    }
}

impl Table {
    /// The row of exactly these sizes, else the one for any.
    pub fn dim(&self, family: Family, shape: Shape, leg: LegKind, sizes: &[Size]) -> Option<&Held> {
        let exact = self.dims.get(&(family, shape, leg, sizes.to_vec()));
        exact.or_else(|| self.dims.get(&(family, shape, leg, Vec::new())))
    }
    /// How deep pipe stands in a fitting, with what that is called.
    pub fn depth(&self, family: Family, size: Size) -> Option<(&str, &Held)> {
        let exact = self.depths.get(&(family, Some(size)));
        let found = exact.or_else(|| self.depths.get(&(family, None)));
        found.map(|(kind, held)| (kind.as_str(), held))
    }
    /// The shape whose legs it has.
    pub fn like(&self, family: Family, shape: Shape) -> Option<&Like> {
        self.likes.get(&(family, shape))
    }
    /// Whether it is made at all.
    pub fn made(&self, family: Family, shape: Shape) -> bool {
        self.made.contains(&(family, shape))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whatever has a dimension is made, and larger sizes of a row are never shorter.
    #[test]
    fn what_has_a_dimension_is_made() {
        let table = table();
        for (family, shape, leg, sizes) in table.dims.keys() {
            assert!(table.made(*family, *shape), "{family:?} {shape:?}");
            assert!(sizes.len() < 2 || *leg == LegKind::Total);
        }
        for (&(family, shape), like) in &table.likes {
            assert!(table.made(family, shape) && table.made(family, like.of));
        }
    }

    /// In a pattern a larger size never has a shorter leg.
    #[test]
    fn legs_grow_with_the_size() {
        let table = table();
        for ((family, shape, leg, sizes), held) in &table.dims {
            let [size] = sizes[..] else { continue };
            for ((other, its_shape, its_leg, its_sizes), larger) in &table.dims {
                let same = (family, shape, leg) == (other, its_shape, its_leg);
                if same && its_sizes.len() == 1 && its_sizes[0] > size {
                    assert!(larger.mm >= held.mm, "{family:?} {shape:?} {leg:?} {size}");
                }
            }
        }
    }

    /// A working estimate says how far it may be off, except where nothing can be off (a flush bushing).
    #[test]
    fn estimates_have_an_error() {
        for ((family, shape, _, _), held) in &table().dims {
            let estimate = held.trust == Trust::Low && *shape != Shape::Bushing;
            assert!(!estimate || held.error_mm.is_some(), "{family:?} {shape:?}");
            assert!(!held.source.is_empty());
        }
    }
}
