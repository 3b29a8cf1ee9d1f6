//! The standard scales and how they are written, from `data/scales.toml`.

use std::sync::OnceLock;

use serde::Deserialize;
use wyeline_units::{Scale, UnitSystem};

#[derive(Deserialize)]
struct Table {
    enough: u32,
    enough_metric: u32,
    scale: Vec<Row>,
}

#[derive(Deserialize)]
struct Row {
    ratio: u32,
    words: String,
    metric: bool,
}

fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| {
        toml::from_str(include_str!("../data/scales.toml"))
            .expect("a test reads the table of scales")
    })
}

/// The scale at which a drawing is large enough to be read on site.
pub(crate) fn enough(units: UnitSystem) -> Scale {
    Scale(if units.is_metric() {
        table().enough_metric
    } else {
        table().enough
    })
}

/// The scales a job in these units may be drawn at, the largest first.
pub(crate) fn standard(units: UnitSystem) -> impl Iterator<Item = Scale> {
    table()
        .scale
        .iter()
        .filter(move |row| row.metric == units.is_metric())
        .map(|row| Scale(row.ratio))
}

/// A scale in words: `1/4 in = 1 ft`, `1:50`.
pub fn scale_words(scale: Scale) -> String {
    table()
        .scale
        .iter()
        .find(|row| row.ratio == scale.0)
        .map_or_else(|| format!("1:{}", scale.0), |row| row.words.clone())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn imperial_scales_say_how_many_inches_stand_for_a_foot() {
        // 1/4 in for 12 in is 1 : 48, 3/16 in is 1 : 64.
        assert_eq!(scale_words(Scale(48)), "1/4 in = 1 ft");
        assert_eq!(scale_words(Scale(64)), "3/16 in = 1 ft");
    }

    #[test]
    fn metric_scales_are_written_as_ratios() {
        assert_eq!(scale_words(Scale(50)), "1:50");
        assert_eq!(scale_words(Scale(75)), "1:75");
    }

    #[test]
    fn each_list_goes_from_large_to_small() {
        for units in [UnitSystem::FeetInches, UnitSystem::Metres] {
            let scales: Vec<Scale> = standard(units).collect();
            assert!(
                scales.len() >= 4 && scales.is_sorted_by(|a, b| a < b),
                "{scales:?}"
            );
        }
    }
}
