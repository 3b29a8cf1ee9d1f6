//! The tables that the take-off rests on: `data/phases.toml`, `penetrations.toml` and `allowances.toml`, lengths turned
//! into millimetres as they are asked for.

use std::sync::LazyLock;

use serde::de::Error;
use serde::{Deserialize, Deserializer};
use wyeline_network::kinds::Trap;
use wyeline_units::Size;

use super::What;
use crate::model::Family;

/// Millimetres of an inch.
pub(super) const INCH: f64 = 25.4;

#[derive(Deserialize)]
pub(super) struct Phases {
    pub underground: Underground,
    pub finish: Finish,
}

#[derive(Deserialize)]
pub(super) struct Underground {
    within: f64,
}

impl Underground {
    /// What ends so near a floor counts as at it, mm.
    pub fn within(&self) -> f64 {
        self.within * INCH
    }
}

#[derive(Deserialize)]
pub(super) struct Finish {
    pub items: Vec<What>,
    pub traps: Vec<Trap>,
}

#[derive(Deserialize)]
pub(super) struct Penetrations {
    hole: Vec<Hole>,
    pub sleeve: Sleeve,
    pub firestop: Sourced,
    floors: Floors,
    pub stud: Stud,
    pub plate: Plate,
}

#[derive(Deserialize)]
struct Hole {
    most: Option<f64>,
    more: f64,
    source: String,
}

#[derive(Deserialize)]
pub(super) struct Sleeve {
    larger: usize,
    pub material: String,
    inch: Vec<String>,
    metric: Vec<u16>,
    pub source: String,
}

#[derive(Deserialize)]
pub(super) struct Sourced {
    pub source: String,
}

#[derive(Deserialize)]
struct Floors {
    apart: f64,
}

#[derive(Deserialize)]
pub(super) struct Stud {
    spacing: f64,
    pub source: String,
}

#[derive(Deserialize)]
pub(super) struct Plate {
    clear: f64,
    pub exempt: Vec<Family>,
    pub source: String,
}

impl Penetrations {
    /// The hole in wood for a pipe of so much outside diameter, mm, and where it stands.
    pub fn hole(&self, outside: f64) -> (f64, &str) {
        let fits = |row: &&Hole| row.most.is_none_or(|most| outside <= most * INCH);
        let row = self.hole.iter().find(fits);
        row.map_or((outside, ""), |row| {
            (outside + row.more * INCH, &row.source)
        })
    }

    /// Floors less far apart than this do not lie over one another, mm.
    pub fn apart(&self) -> f64 {
        self.floors.apart * INCH
    }
}

impl Sleeve {
    /// The sleeve for a pipe, where the table goes so far.
    pub fn of(&self, size: Size) -> Option<Size> {
        let sizes: Vec<Size> = match size {
            Size::Inch { .. } => self.inch.iter().filter_map(|text| inches(text)).collect(),
            Size::Dn(_) => self.metric.iter().map(|&mm| Size::Dn(mm)).collect(),
        };
        let at = sizes.iter().position(|&one| one == size)?;
        sizes.get(at + self.larger).copied()
    }
}

impl Stud {
    /// Between the centres of two studs, mm.
    pub fn spacing(&self) -> f64 {
        self.spacing * INCH
    }
}

impl Plate {
    /// A hole nearer to the edge than this is covered, mm.
    pub fn clear(&self) -> f64 {
        self.clear * INCH
    }
}

#[derive(Deserialize)]
pub(super) struct Allowances {
    pub joint: Vec<PerJoint>,
    pub thread: Thread,
    pub stops: Stops,
    support: Support,
}

/// What one joint uses up, by size.
#[derive(Deserialize)]
pub(super) struct PerJoint {
    pub what: What,
    pub name: String,
    pub families: Vec<Family>,
    pub unit: Unit,
    #[serde(deserialize_with = "in_inches")]
    sizes: Vec<Size>,
    joints: Option<Vec<f64>>,
    hundred: Option<Vec<f64>>,
    pub source: String,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Unit {
    /// 0.946352946 l, by definition (a quarter of 231 cubic inches).
    Quart,
    /// 0.45359237 kg, by definition.
    Pound,
}

#[derive(Deserialize)]
pub(super) struct Thread {
    pub turns: f64,
    pub name: String,
    pub source: String,
}

#[derive(Deserialize)]
pub(super) struct Stops {
    pub kinds: Vec<String>,
    pub source: String,
}

#[derive(Deserialize)]
struct Support {
    least: f64,
}

impl PerJoint {
    /// Sizes of the table with what one joint of each takes, units.
    pub fn rows(&self) -> impl Iterator<Item = (Size, f64)> + '_ {
        let sizes = self.sizes.iter().enumerate();
        sizes.filter_map(|(at, &size)| {
            let by_unit = self.joints.as_ref().and_then(|all| all.get(at));
            let by_hundred = self.hundred.as_ref().and_then(|all| all.get(at));
            let each = by_unit.map(|joints| 1.0 / joints);
            let each = each.or_else(|| by_hundred.map(|units| units / 100.0));
            Some((size, each?))
        })
    }
}

impl Allowances {
    /// Plumb pipe that stands in a storey for less than this is held in the next one, mm.
    pub fn least(&self) -> f64 {
        self.support.least * INCH
    }
}

/// Sizes read once, not for each joint that is counted.
fn in_inches<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<Size>, D::Error> {
    let texts = Vec::<String>::deserialize(from)?.into_iter();
    let sizes =
        texts.map(|text| inches(&text).ok_or_else(|| D::Error::custom(format!("no size: {text}"))));
    sizes.collect()
}

fn inches(text: &str) -> Option<Size> {
    format!("{text}\"").parse().ok()
}

pub(super) static PHASES: LazyLock<Phases> = LazyLock::new(|| {
    toml::from_str(include_str!("../../data/phases.toml")).expect("the phases are well formed")
});
pub(super) static PENETRATIONS: LazyLock<Penetrations> = LazyLock::new(|| {
    toml::from_str(include_str!("../../data/penetrations.toml"))
        .expect("the penetrations are well formed")
});
pub(super) static ALLOWANCES: LazyLock<Allowances> = LazyLock::new(|| {
    toml::from_str(include_str!("../../data/allowances.toml"))
        .expect("the allowances are well formed")
});

#[cfg(test)]
mod tests {
    use super::*;

    fn size(text: &str) -> Size {
        text.parse().unwrap()
    }

    /// Each size of a table has a figure, and larger joints take more.
    #[test]
    fn allowances_grow_with_the_size() {
        for table in &ALLOWANCES.joint {
            let each: Vec<f64> = table.rows().map(|(_, each)| each).collect();
            assert_eq!(each.len(), table.sizes.len(), "{}", table.name);
            assert!(each.is_sorted(), "{}: {each:?}", table.name);
        }
    }

    /// Two sizes larger than 3 in: 4 in, 5 in. A size beyond the table has none.
    #[test]
    fn sleeves_are_two_sizes_larger() {
        let sleeve = &PENETRATIONS.sleeve;
        assert_eq!(sleeve.of(size("3\"")), Some(size("5\"")));
        assert_eq!(sleeve.of(Size::Dn(110)), Some(Size::Dn(160)));
        assert_eq!(sleeve.of(size("12\"")), None);
    }

    /// 1/2 in copper is 5/8 in outside: 7/8 in bit; 2 in plastic is 2-3/8 in: 2-7/8 in.
    #[test]
    fn holes() {
        for (outside, hole) in [(0.625, 0.875), (2.375, 2.875)] {
            let (mm, _) = PENETRATIONS.hole(outside * INCH);
            assert!((mm - hole * INCH).abs() < 1e-9, "{mm}");
        }
    }
}
