//! Names of fittings, sizes and families for people, and the words by which the job language calls fittings.
//! From `data/names.toml`: trade terms of the United States, British ones for metric pipe.

use std::collections::HashMap;
use std::sync::LazyLock;

use serde::Deserialize;
use wyeline_job::words::DEVICES;
use wyeline_units::{Size, UnitSystem};

use crate::model::{Family, Fitting, Shape};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    family: HashMap<Family, String>,
    shape: Vec<Row>,
}

/// One shape as the data file names it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct Row {
    word: Shape,
    one: String,
    many: Option<String>,
    metric: Option<String>,
    many_metric: Option<String>,
}

/// Singular and plural.
struct Called {
    one: String,
    many: String,
}

impl Called {
    fn of(one: String, many: Option<String>) -> Self {
        Self {
            many: many.unwrap_or_else(|| format!("{one}s")),
            one,
        }
    }
}

struct Names {
    family: HashMap<Family, String>,
    plain: HashMap<Shape, Called>,
    metric: HashMap<Shape, Called>,
    /// Words of the job language, in the order of the file, devices last.
    words: Vec<(String, Shape)>,
}

static NAMES: LazyLock<Names> = LazyLock::new(|| {
    let file: File =
        toml::from_str(include_str!("../data/names.toml")).expect("the names are well formed");
    let mut names = Names {
        family: file.family,
        plain: HashMap::new(),
        metric: HashMap::new(),
        words: Vec::new(),
    };
    for row in file.shape {
        let word = toml::Value::try_from(row.word).expect("a shape without a device is a word");
        let word = word.as_str().unwrap_or_default().to_owned();
        names.words.push((word, row.word));
        names.plain.insert(row.word, Called::of(row.one, row.many));
        if let Some(metric) = row.metric {
            names
                .metric
                .insert(row.word, Called::of(metric, row.many_metric));
        }
    }
    for (word, kind) in DEVICES {
        let shape = Shape::Device(kind);
        names.words.push((word.to_owned(), shape));
        names
            .plain
            .insert(shape, Called::of(word.replace('-', " "), None));
    }
    names
});

/// Returns what a family is called: `PVC DWV`, `no-hub cast iron`.
pub fn family(family: Family) -> &'static str {
    NAMES.family.get(&family).map_or("", String::as_str)
}

/// Whether pipe of the family is called by its metric outside diameter.
fn metric(family: Family) -> bool {
    matches!(family, Family::PvcU | Family::Pp)
}

fn called(shape: Shape, of: Option<Family>) -> Option<&'static Called> {
    let names = &*NAMES;
    let metric = of.filter(|&of| metric(of));
    metric
        .and_then(|_| names.metric.get(&shape))
        .or_else(|| names.plain.get(&shape))
}

/// Returns what a shape is called by itself: `sanitary tee`.
pub fn shape(shape: Shape) -> &'static str {
    called(shape, None).map_or("", |called| &called.one)
}

/// Returns what several of a shape are called: `sanitary tees`.
pub fn shapes(shape: Shape) -> &'static str {
    called(shape, None).map_or("", |called| &called.many)
}

/// Returns the word of the job language for a shape: `sanitary-tee`.
pub fn word(shape: Shape) -> &'static str {
    let found = NAMES.words.iter().find(|(_, known)| *known == shape);
    found.map_or("", |(word, _)| word)
}

/// Returns the shape or device that a word of the job language means, where it means one.
pub fn shape_of(word: &str) -> Option<Shape> {
    Shape::named(word).or_else(|| {
        let device = DEVICES.iter().find(|(known, _)| *known == word);
        device.map(|&(_, kind)| Shape::Device(kind))
    })
}

/// Returns every word by which the job language calls fittings, devices last.
pub fn words() -> impl Iterator<Item = &'static str> {
    NAMES.words.iter().map(|(word, _)| word.as_str())
}

/// Returns a nominal size as it is said: `1-1/2"`; `110 mm` in metric jobs, `DN110` in others.
pub fn size(size: Size, units: UnitSystem) -> String {
    match size {
        Size::Dn(mm) if units.is_metric() => format!("{mm} mm"),
        size => size.to_string(),
    }
}

/// Returns a fitting's sizes as they are said: `3" x 3" x 2"`; nothing where it has none.
pub fn sizes(sizes: &[Size], units: UnitSystem) -> String {
    let said: Vec<String> = sizes.iter().map(|&one| size(one, units)).collect();
    said.join(" x ")
}

/// Returns a shape with its sizes, as its family calls it: `3" x 3" x 2" sanitary tee`.
pub fn sized(of: Family, shape: Shape, ends: &[Size], units: UnitSystem) -> String {
    let name = called(shape, Some(of)).map_or("", |called| called.one.as_str());
    with_sizes(name, ends, units)
}

fn with_sizes(name: &str, ends: &[Size], units: UnitSystem) -> String {
    if ends.is_empty() {
        name.to_owned()
    } else {
        format!("{} {name}", sizes(ends, units))
    }
}

/// Returns what a fitting is called at the counter, without its family: `2" long sweep 1/4 bend`,
/// `4" street 1/4 bend`, `2" adapter, PVC DWV to no-hub cast iron`, `110 mm 45 degree branch`.
///
/// * `units`: those of the job
pub fn fitting(f: &Fitting, units: UnitSystem) -> String {
    said(f, 1, units)
}

/// Returns the same for so many of them, without the number: `2" long sweep 1/4 bends`.
pub fn fittings(f: &Fitting, count: usize, units: UnitSystem) -> String {
    said(f, count, units)
}

fn said(f: &Fitting, count: usize, units: UnitSystem) -> String {
    let name = called(f.shape, Some(f.family)).map_or("", |called| {
        if count == 1 {
            &called.one
        } else {
            &called.many
        }
    });
    let street = if f.street { "street " } else { "" };
    let text = with_sizes(&format!("{street}{name}"), &f.sizes, units);
    match f.other {
        Some(other) => format!("{text}, {} to {}", family(f.family), family(other)),
        None => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use wyeline_job::Span;
    use wyeline_job::model::{DeviceKind, System};
    use wyeline_network::model::NodeIx;

    fn made(family: Family, shape: Shape, sizes: &[&str]) -> Fitting {
        Fitting {
            node: NodeIx(0),
            id: String::new(),
            family,
            other: None,
            shape,
            sizes: sizes.iter().map(|size| size.parse().unwrap()).collect(),
            system: System::Waste,
            street: false,
            existing: false,
            cite: None,
            span: Span::default(),
        }
    }

    /// As a counter calls them in the United States: run inlet x run outlet x branch, then the pattern.
    #[test]
    fn trade_names() {
        for (family, shape, sizes, name) in [
            (
                Family::PvcDwv,
                Shape::SanitaryTee,
                &["3\"", "3\"", "2\""][..],
                "3\" x 3\" x 2\" sanitary tee",
            ),
            (
                Family::NoHub,
                Shape::LongSweep,
                &["2\""],
                "2\" long sweep 1/4 bend",
            ),
            (
                Family::AbsDwv,
                Shape::Combination,
                &["3\""],
                "3\" wye with 1/8 bend",
            ),
            (
                Family::PvcDwv,
                Shape::ClosetBend,
                &["4\"", "3\""],
                "4\" x 3\" closet bend",
            ),
            (
                Family::Copper,
                Shape::Tee,
                &["3/4\"", "1/2\"", "1/2\""],
                "3/4\" x 1/2\" x 1/2\" tee",
            ),
            (
                Family::Copper,
                Shape::Device(DeviceKind::BallValve),
                &["3/4\""],
                "3/4\" ball valve",
            ),
        ] {
            let made = made(family, shape, sizes);
            assert_eq!(fitting(&made, UnitSystem::FeetInches), name);
        }
    }

    /// Metric pipe has its own words; inch pipe in a metric job keeps those of its trade.
    #[test]
    fn metric_names() {
        let units = UnitSystem::Millimetres;
        let bend = made(Family::PvcU, Shape::QuarterBend, &["DN110"]);
        assert_eq!(fitting(&bend, units), "110 mm 87.5 degree bend");
        let branch = made(Family::Pp, Shape::Wye, &["DN110", "DN110", "DN50"]);
        assert_eq!(
            fittings(&branch, 2, units),
            "110 mm x 110 mm x 50 mm 45 degree branches"
        );
        let canadian = made(Family::AbsDwv, Shape::QuarterBend, &["DN75"]);
        assert_eq!(fitting(&canadian, units), "75 mm 1/4 bend");
        assert_eq!(size(Size::Dn(110), UnitSystem::FeetInches), "DN110");
    }

    #[test]
    fn adapters_name_both_families_and_street_ends_are_said() {
        let mut adapter = made(Family::PvcDwv, Shape::Adapter, &["2\""]);
        adapter.other = Some(Family::NoHub);
        let name = fitting(&adapter, UnitSystem::FeetInches);
        assert_eq!(name, "2\" adapter, PVC DWV to no-hub cast iron");
        let mut bend = made(Family::PvcDwv, Shape::EighthBend, &["2\""]);
        bend.street = true;
        assert_eq!(
            fitting(&bend, UnitSystem::FeetInches),
            "2\" street 1/8 bend"
        );
    }

    /// A combination is a wye first: the plural is of the wye.
    #[test]
    fn plurals() {
        assert_eq!(shapes(Shape::Combination), "wyes with 1/8 bend");
        assert_eq!(shapes(Shape::Cross), "crosses");
        assert_eq!(shapes(Shape::SanitaryTee), "sanitary tees");
        assert_eq!(shapes(Shape::Device(DeviceKind::GateValve)), "gate valves");
    }

    /// Every word leads to a shape that leads back to the word; `union` is the fitting rather than the device.
    #[test]
    fn words_lead_there_and_back() {
        for known in words() {
            let shape = shape_of(known).unwrap();
            assert_eq!(word(shape), known);
            assert!(!super::shape(shape).is_empty(), "{known}");
        }
        assert_eq!(shape_of("union"), Some(Shape::Union));
        assert_eq!(shape_of("sanitary-tee"), Some(Shape::SanitaryTee));
        assert_eq!(shape_of("elbow"), None);
    }
}
