//! Questions to the code, as the passes over drains put them.
//!
//! In: loads and sizes. Out: the line of a table that answers, with what it allows beside what was asked of it.

use wyeline_codes::{Cite, Cited, Family, Fit, NoValue, Pack, Use, Way};
use wyeline_units::{Size, Slope};

use super::group::{GroupLoads, Part};
use super::load::Known;
use super::wants::Wants;
use crate::definitions::definitions;
use crate::model::measure;
use crate::ranks::rank;

/// A line of a table that holds what was asked.
#[derive(Clone, Debug)]
pub(crate) struct Picked {
    /// The size.
    pub size: Size,
    /// What the line allows.
    pub allows: f64,
    /// What was asked of it.
    pub carries: f64,
    /// Unit of both.
    pub unit: &'static str,
    /// Where it stands.
    pub cite: Cite,
}

fn picked(fit: Cited<Fit>, carries: f64, unit: &'static str) -> Picked {
    Picked {
        size: fit.value.size,
        allows: fit.value.allows,
        carries,
        unit,
        cite: fit.cite,
    }
}

/// Nominal sizes of the code's drains, rising.
pub(crate) fn sizes(pack: &Pack) -> &[Size] {
    pack.sizes()
}

/// The variant of a closet that flushes with more than 1.6 gallons.
const OLD_FLUSH: &str = "over-1.6-gpf";

/// What the code says of a fixture's drain.
pub(crate) fn fixture(
    pack: &Pack,
    kind: &str,
    usage: Use,
    old_flush: bool,
) -> Result<Known, NoValue> {
    let variants = pack.variants(kind);
    let variant = if old_flush && variants.contains(&OLD_FLUSH) {
        OLD_FLUSH
    } else {
        ""
    };
    let load = pack.drain_load_of(kind, variant, usage)?;
    let part = Part::of(kind);
    // Groups count for private use alone, and with the flush that the group's line names.
    let grouped = usage == Use::Private && variant.is_empty();
    Ok(Known {
        units: load.value.units,
        trap: load.value.trap,
        cite: Some(load.cite),
        part: part.filter(|_| grouped),
        closet: part == Some(Part::Closet),
        continuous_lps: 0.0,
        washer: kind == "clothes-washer",
    })
}

/// What is not listed, by the size of its trap.
pub(crate) fn by_trap(pack: &Pack, trap: Size) -> Option<Known> {
    let found = pack.by_trap(trap).ok()?;
    Some(Known {
        units: found.value,
        trap: Some(trap),
        cite: Some(found.cite),
        ..Known::default()
    })
}

/// Loads of the parts of a bathroom group and of the whole.
pub(crate) fn groups(pack: &Pack) -> GroupLoads {
    let part = |kind| {
        let load = pack.drain_load(kind, Use::Private);
        load.map_or(0.0, |load| load.value.units)
    };
    GroupLoads {
        parts: [
            part("water-closet"),
            part("lavatory"),
            part("bathtub"),
            part("shower"),
            part("bidet"),
        ],
        whole: pack.group_load("").ok().map(|load| load.value),
    }
}

/// The least branch of a stack.
pub(crate) fn branch(pack: &Pack, units: f64, slope: Option<Slope>) -> Result<Picked, NoValue> {
    let fit = pack.least_branch(units, slope)?;
    Ok(picked(fit, units, pack.drain_unit()))
}

/// The least stack: by its load, its branch intervals and the heaviest of them.
pub(crate) fn stack(
    pack: &Pack,
    units: f64,
    intervals: u32,
    heaviest: f64,
) -> Result<Picked, NoValue> {
    let fit = pack.least_stack(units, intervals, heaviest)?;
    // One interval may decide: then its limit is the line's, and the total would mislead.
    let limit = pack.stack_allows(fit.value.size, intervals)?;
    let below = sizes(pack)
        .iter()
        .rev()
        .find(|size| **size < fit.value.size)
        .and_then(|size| pack.stack_allows(*size, intervals).ok());
    let by_interval = below.is_some_and(|below| below.value.total >= units);
    if by_interval && limit.value.in_one_interval.is_finite() {
        return Ok(Picked {
            size: fit.value.size,
            allows: limit.value.in_one_interval,
            carries: heaviest,
            unit: "dfu in one branch interval",
            cite: fit.cite,
        });
    }
    Ok(picked(fit, units, pack.drain_unit()))
}

/// The least building drain, branch of it, offset or sewer, at its slope.
pub(crate) fn building_drain(pack: &Pack, units: f64, slope: Slope) -> Result<Picked, NoValue> {
    let fit = pack.least_building_drain(units, Some(slope))?;
    Ok(picked(fit, units, pack.drain_unit()))
}

/// The least drain by the one table of the UPC, vertical or horizontal.
pub(crate) fn upc(
    pack: &Pack,
    units: f64,
    vertical: bool,
    slope: Option<Slope>,
) -> Result<Picked, NoValue> {
    if vertical {
        stack(pack, units, 1, 0.0)
    } else {
        branch(pack, units, slope)
    }
}

/// The least wet vent.
pub(crate) fn wet_vent(pack: &Pack, units: f64) -> Result<Picked, NoValue> {
    let fit = pack.least_wet_vent(units)?;
    Ok(picked(fit, units, measure::WET_VENT))
}

/// The least waste stack that vents itself, by its load and the heaviest in one branch interval.
pub(crate) fn waste_stack(pack: &Pack, units: f64, heaviest: f64) -> Result<Picked, NoValue> {
    let fit = pack.least_waste_stack(units, heaviest)?;
    Ok(picked(fit, units, "dfu on a waste stack vent"))
}

/// The least combination drain and vent.
pub(crate) fn combination(
    pack: &Pack,
    units: f64,
    to_building_drain: bool,
) -> Result<Picked, NoValue> {
    let fit = pack.least_combination(units, to_building_drain)?;
    Ok(picked(fit, units, "dfu on a combination drain and vent"))
}

/// The least pipe between two fixtures at different heights that share a vent, by the upper one.
pub(crate) fn common_vent(pack: &Pack, units: f64) -> Result<Picked, NoValue> {
    let mut last = None;
    for &size in sizes(pack) {
        match pack.common_vent_row(size) {
            Ok(row) if row.value >= units => {
                return Ok(Picked {
                    size,
                    allows: row.value,
                    carries: units,
                    unit: "dfu of the upper fixture on a common vent",
                    cite: row.cite,
                });
            }
            Ok(_) => {}
            Err(none) => last = Some(none),
        }
    }
    // No row holds it, or there is no such table: a wet vent holds at least as much.
    wet_vent(pack, units).map_err(|none| last.unwrap_or(none))
}

/// The least size of the code that is not below a part of another.
pub(crate) fn at_least_part(pack: &Pack, of: Size, part: f64) -> Option<Size> {
    let least = rank(of).mm() * part;
    let sizes = sizes(pack).iter().copied();
    sizes
        .filter(|size| rank(*size).mm() >= least - 1e-6)
        .min_by_key(|size| rank(*size))
}

/// Raises what is asked until so many closets may drain through it.
pub(crate) fn closets(pack: &Pack, closets: u32, vertical: bool, wants: &mut Wants) {
    let way = if vertical {
        Way::Vertical
    } else {
        Way::Horizontal
    };
    while let Some(size) = wants.size() {
        let Ok(limit) = pack.closet_limit(size, way) else {
            return;
        };
        if limit.value >= closets {
            return;
        }
        let Some(next) = pack.next_size(size) else {
            return;
        };
        wants.table(Picked {
            size: next,
            allows: f64::from(limit.value),
            carries: f64::from(closets),
            unit: measure::CLOSETS,
            cite: limit.cite,
        });
    }
}

/// Least sizes and rules that hold for the whole network, asked once.
pub(crate) struct Rules {
    pub closet_branch: Option<(Size, Cite)>,
    pub closet_stack: Option<(Size, Cite)>,
    pub closet_building: Option<(Size, Cite)>,
    pub washer: Option<(Size, Cite)>,
    /// Part of its largest size to which a stack may shrink going up.
    pub stack_top: Option<Cited<f64>>,
    /// The rule against reducing; nothing where the code allows it.
    pub reduction: Option<Cite>,
}

impl Rules {
    pub fn of(pack: &Pack) -> Self {
        let least = |key| {
            let rule = pack.size_rule(key).ok()?;
            Some((rule.value, rule.cite))
        };
        let reduction = pack.flag("drain.reduction-allowed").ok();
        Self {
            closet_branch: least("drain.closet-branch-least"),
            closet_stack: least("drain.closet-stack-least"),
            closet_building: least("drain.closet-building-drain-least"),
            washer: least("drain.washer-branch-least"),
            stack_top: (pack.family() == Family::DfuIpc)
                .then(|| pack.scalar("drain.stack-top-fraction").ok())
                .flatten(),
            reduction: match reduction {
                Some(allowed) => (!allowed.value).then_some(allowed.cite),
                None => Some(definitions().no_reduction.cite.clone()),
            },
        }
    }
}
