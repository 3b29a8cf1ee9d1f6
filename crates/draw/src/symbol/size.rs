//! Sizes of symbols on paper, from `data/symbols.toml`, where each names its source.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

/// One row of the table.
#[derive(Debug, Deserialize)]
struct Row {
    mm: f64,
}

/// Sizes, all in millimetres.
#[derive(Clone, Copy, Debug)]
pub struct Sizes {
    /// Diameter of a joint's dot.
    pub joint_dot: f64,
    /// Diameter of the dot on a drain.
    pub drain_dot: f64,
    /// Legs of the throat of a wye between level drains.
    pub throat_level: f64,
    /// Legs of the throat of a tee in an upright drain.
    pub throat_upright: f64,
    /// How far from its corner a bend is rounded.
    pub bend: f64,
    /// Half the length of a valve.
    pub valve_half_length: f64,
    /// Half the width of a valve.
    pub valve_half_width: f64,
    /// Radius of a trap's U.
    pub trap_radius: f64,
    /// Height of capitals of letters in symbols.
    pub letters: f64,
    /// Pen of symbols.
    pub pen: f64,
    /// Pen of fixtures.
    pub fixture_pen: f64,
    /// Pen of equipment drawn to scale.
    pub equipment_pen: f64,
    /// Equipment longer than this (building millimetres) is drawn to scale.
    pub to_scale_from: f64,
}

/// The table.
pub static SIZES: LazyLock<Sizes> = LazyLock::new(|| {
    #[derive(Deserialize)]
    struct Table {
        #[serde(flatten)]
        rows: BTreeMap<String, toml::Value>,
    }
    let table: Table =
        toml::from_str(include_str!("../../data/symbols.toml")).expect("symbols.toml is ours");
    let mm = |key: &str| {
        let row = table
            .rows
            .get(key)
            .cloned()
            .unwrap_or_else(|| panic!("symbols.toml lacks {key}"));
        row.try_into::<Row>()
            .unwrap_or_else(|e| panic!("symbols.toml, {key}: {e}"))
            .mm
    };
    Sizes {
        joint_dot: mm("joint_dot"),
        drain_dot: mm("drain_dot"),
        throat_level: mm("throat_level"),
        throat_upright: mm("throat_upright"),
        bend: mm("bend"),
        valve_half_length: mm("valve_half_length"),
        valve_half_width: mm("valve_half_width"),
        trap_radius: mm("trap_radius"),
        letters: mm("letters"),
        pen: mm("pen"),
        fixture_pen: mm("fixture_pen"),
        equipment_pen: mm("equipment_pen"),
        to_scale_from: mm("to_scale_from"),
    }
});
