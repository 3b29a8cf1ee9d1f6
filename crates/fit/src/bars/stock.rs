//! Lengths that are sold and what a cut takes, by family, from `data/stock.toml`; a job's own stock before it.
//!
//! In: what a pipe is made of. Out: bars and coils to buy, the usual cutter. A family without a row has no bars.

use std::sync::LazyLock;

use serde::{Deserialize, Deserializer};
use wyeline_job::Job;
use wyeline_units::{Len, UnitSystem};

use crate::model::{Family, Stuff};

/// All rows of the table.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Stock {
    /// Lengths that are sold.
    #[serde(rename = "stock")]
    pub rows: Vec<Row>,
    /// What pipe is cut with.
    #[serde(rename = "cutter")]
    pub cutters: Vec<Cutter>,
}

/// Lengths in which pipe of some families is sold.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Row {
    /// The families.
    pub families: Vec<Family>,
    /// Straight lengths, shortest first.
    #[serde(deserialize_with = "lengths")]
    pub bars: Vec<Len>,
    /// Coils, shortest first.
    #[serde(default, deserialize_with = "lengths")]
    pub coils: Vec<Len>,
    /// Comes from the coil as a rule; else coils are soft tube, for those who ask.
    #[serde(default)]
    pub coiled: bool,
    /// As sold where pipe is metric.
    #[serde(default)]
    pub metric: bool,
    /// What it is usually cut with.
    pub cutter: String,
    /// How the lengths were come by.
    pub how: String,
    /// Where they stand.
    pub source: String,
}

/// What pipe is cut with.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cutter {
    /// Its name in the table.
    pub name: String,
    /// What it is, in words.
    pub words: String,
    /// What a cut takes.
    #[serde(deserialize_with = "length")]
    pub kerf: Len,
    /// What is cut off a bar's first end to make it square.
    #[serde(default, deserialize_with = "length")]
    pub trim: Len,
    /// How the values were come by.
    pub how: String,
    /// Where they stand.
    pub source: String,
}

/// The table.
pub fn stock() -> &'static Stock {
    static TABLE: LazyLock<Stock> = LazyLock::new(|| {
        toml::from_str(include_str!("../../data/stock.toml"))
            .expect("the table of stock is well formed")
    });
    &TABLE
}

impl Stock {
    /// The row of a family, as sold with metric pipe or with inch pipe; the other one where only that is held.
    pub fn row(&self, family: Family, metric: bool) -> Option<&Row> {
        let mut rows: Vec<&Row> = self
            .rows
            .iter()
            .filter(|row| row.families.contains(&family))
            .collect();
        rows.sort_by_key(|row| row.metric != metric);
        rows.first().copied()
    }

    /// The cutter of that name.
    pub fn cutter(&self, name: &str) -> Option<&Cutter> {
        self.cutters.iter().find(|cutter| cutter.name == name)
    }
}

impl Row {
    /// What is bought as a rule: bars, and coils where it comes from the coil.
    pub fn usual(&self) -> impl Iterator<Item = Len> {
        let coils = self.coils.iter().filter(|_| self.coiled);
        self.bars.iter().chain(coils).copied()
    }
}

/// The lengths that are bought of a material in a job: what the job says of that size, else of the material, else the table.
pub fn bought(job: &Job, stuff: &Stuff) -> Vec<Len> {
    let told = |sized: bool| -> Vec<Len> {
        let rows = job.fitting.stock.iter().filter(|row| {
            row.material.text == stuff.material
                && if sized {
                    row.size.is_some() && row.size == stuff.size
                } else {
                    row.size.is_none()
                }
        });
        rows.flat_map(|row| row.bars.iter().map(|bar| bar.length))
            .collect()
    };
    for lengths in [told(true), told(false)] {
        if !lengths.is_empty() {
            return lengths;
        }
    }
    let row = stock().row(stuff.family, job.units.is_metric());
    row.map(|row| row.usual().collect()).unwrap_or_default()
}

/// The longest bar or coil that is bought of a material in a job, mm; nothing where no lengths are known.
pub fn longest(job: &Job, stuff: &Stuff) -> Option<f64> {
    bought(job, stuff).into_iter().max().map(Len::mm)
}

fn length<'de, D: Deserializer<'de>>(from: D) -> Result<Len, D::Error> {
    read(&String::deserialize(from)?)
}

fn lengths<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<Len>, D::Error> {
    let texts = Vec::<String>::deserialize(from)?;
    texts.iter().map(|text| read(text)).collect()
}

fn read<E: serde::de::Error>(text: &str) -> Result<Len, E> {
    match Len::read(text, UnitSystem::FeetInches) {
        Ok(reading) if reading.bytes == text.len() => Ok(reading.len),
        _ => Err(E::custom(format!("not a length: {text}"))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_has_its_source_a_cutter_that_is_known_and_rising_lengths() {
        for row in &stock().rows {
            assert!(!row.how.is_empty() && !row.source.is_empty());
            assert!(stock().cutter(&row.cutter).is_some(), "{}", row.cutter);
            assert!(!row.bars.is_empty() && row.bars[0] > Len::ZERO);
            assert!(row.bars.is_sorted() && row.coils.is_sorted());
        }
        for cutter in &stock().cutters {
            assert!(!cutter.how.is_empty() && !cutter.source.is_empty());
            assert!(cutter.kerf >= Len::ZERO && cutter.trim >= Len::ZERO);
        }
    }

    #[test]
    fn no_family_stands_twice_for_one_market() {
        let mut seen = Vec::new();
        for row in &stock().rows {
            for family in &row.families {
                assert!(!seen.contains(&(*family, row.metric)), "{family:?}");
                seen.push((*family, row.metric));
            }
        }
    }

    #[test]
    fn hard_copper_is_bought_in_bars_and_pex_in_coils() {
        // Trade lengths: hard copper 10 and 20 ft; PEX 20 ft bars, coils to 500 ft.
        let longest = |family| stock().row(family, false).and_then(|row| row.usual().max());
        assert_eq!(longest(Family::Copper), Some(Len::feet(20)));
        assert_eq!(longest(Family::Pex), Some(Len::feet(500)));
        assert_eq!(longest(Family::Other), None);
    }

    #[test]
    fn metric_copper_is_another_row() {
        // 3 and 5 m against 10 and 20 ft; CPVC is held for inch pipe alone and stands for both.
        let longest = |family| stock().row(family, true).and_then(|row| row.usual().max());
        assert_eq!(longest(Family::Copper), Some(Len::millimetres(5_000)));
        assert_eq!(longest(Family::Cpvc), Some(Len::feet(20)));
    }
}
