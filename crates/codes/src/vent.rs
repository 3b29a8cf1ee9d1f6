//! What a code says of traps and vents: arms, sizes by length and load, wet and common vents, fittings.

use std::fmt;

use wyeline_units::{Size, Slope};

use crate::cite::{Cited, NoValue};
use crate::pack::{Family, Pack};
use crate::pipes::Fit;
use crate::spec::TableId;
use crate::table::Value;

/// How long a trap arm may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TrapArm {
    /// Longest from the trap's weir to the vent, mm.
    pub longest_mm: f64,
    /// Shortest, mm, where the table says it.
    pub shortest_mm: Option<f64>,
    /// The slope that goes with it.
    pub slope: Slope,
}

/// How far a fixture's outlet may be from its trap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutletToTrap {
    /// Most height of the outlet above the weir, mm.
    pub height_mm: f64,
    /// Most level distance, mm.
    pub distance_mm: f64,
}

/// A change of direction of the flow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Change {
    /// From a level run down into a vertical one.
    HorizontalToVertical,
    /// From a vertical run into a level one.
    VerticalToHorizontal,
    /// From a level run into another.
    HorizontalToHorizontal,
}

impl fmt::Display for Change {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::HorizontalToVertical => "horizontal to vertical",
            Self::VerticalToHorizontal => "vertical to horizontal",
            Self::HorizontalToHorizontal => "horizontal to horizontal",
        })
    }
}

/// Whether a fitting may make a change of direction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Allowed {
    /// It may.
    Yes,
    /// It may not.
    No,
    /// On fixture drains up to a size, or on any drain from a size up where one is told.
    FixtureDrains {
        /// Largest fixture drain.
        up_to: Size,
        /// Least size of other drains.
        or_from: Option<Size>,
    },
}

impl Allowed {
    pub(crate) fn read(text: &str) -> Option<Self> {
        match text {
            "yes" => return Some(Self::Yes),
            "no" => return Some(Self::No),
            _ => {}
        }
        let text = text.strip_prefix("fixture drains to ")?;
        let (up_to, or_from) = match text.split_once(" or from ") {
            Some((up_to, from)) => (up_to, Some(from.parse().ok()?)),
            None => (text, None),
        };
        Some(Self::FixtureDrains {
            up_to: up_to.parse().ok()?,
            or_from,
        })
    }
}

impl Pack {
    /// The slope of a trap arm of that size, cited by itself.
    ///
    /// # Errors
    /// Where the table has no such size.
    pub fn trap_arm_slope(&self, size: Size) -> Result<Cited<Slope>, NoValue> {
        let asked = || format!("the slope of a {size} trap arm");
        let table = self.table(TableId::TrapArms, asked)?;
        let row = self.own_size(size).and_then(|size| table.row_of(size));
        row.and_then(|row| Some(table.cited(row, 1, table.slope(row, 1)?)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// How long a trap arm of that size may be; the citation is that of its length.
    ///
    /// # Errors
    /// Where the table has no such size.
    pub fn trap_arm(&self, size: Size) -> Result<Cited<TrapArm>, NoValue> {
        let asked = || format!("a {size} trap arm");
        let table = self.table(TableId::TrapArms, asked)?;
        let row = self.own_size(size).and_then(|size| table.row_of(size));
        row.and_then(|row| {
            let arm = TrapArm {
                slope: table.slope(row, 1)?,
                longest_mm: table.number(row, 2)?,
                shortest_mm: table.number(row, 3),
            };
            Some(table.cited(row, 2, arm))
        })
        .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// How far a fixture's outlet may be from its trap.
    ///
    /// # Errors
    /// Where the code does not say.
    pub fn fixture_outlet_to_weir(&self) -> Result<Cited<OutletToTrap>, NoValue> {
        let height = self.scalar("trap.outlet-to-weir-most")?;
        let distance = self.scalar("trap.outlet-to-trap-most")?;
        Ok(Cited {
            value: OutletToTrap {
                height_mm: height.value,
                distance_mm: distance.value,
            },
            cite: height.cite,
        })
    }

    /// The least stack vent or vent stack, by the stack it serves, its load and the vent's developed length.
    /// `allows` is the length in mm that the line allows.
    ///
    /// # Errors
    /// Where no row or column holds it.
    pub fn vent_by_length(
        &self,
        stack: Size,
        units: f64,
        developed_mm: f64,
    ) -> Result<Cited<Fit>, NoValue> {
        let asked = || {
            let unit = self.drain_unit();
            format!(
                "the vent of a {stack} stack of {units} {unit}, {:.1} m long",
                developed_mm / 1000.0
            )
        };
        if self.family == Family::DfuUpc {
            return self.vent_by_load(stack, units, developed_mm);
        }
        let table = self.table(TableId::VentsByLength, asked)?;
        let own = self.own_size(stack);
        let first = table.spec().columns.len();
        let least = self.least_vent(stack)?;
        (0..table.rows.len())
            .filter(|&row| own.is_some() && table.size(row, 0) == own)
            .find(|&row| table.number(row, 1).is_some_and(|holds| holds >= units))
            .and_then(|row| {
                (first..table.columns.len()).find_map(|column| {
                    let Some(Value::Size(size)) = table.columns[column].head else {
                        return None;
                    };
                    let allows = table.number(row, column)?;
                    (allows >= developed_mm && size >= least)
                        .then(|| table.cited(row, column, Fit { size, allows }))
                })
            })
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// The least vent that is not an extension of a stack nor beside it: individual, branch, circuit, relief.
    ///
    /// * `drain`: the drain served, as large as its load requires
    /// * `units`: its load, where the code sizes vents by load
    /// * `developed_mm`: the vent's developed length; `allows` is the length the line allows
    ///
    /// # Errors
    /// Where the code does not say.
    pub fn other_vent(
        &self,
        drain: Size,
        units: f64,
        developed_mm: f64,
    ) -> Result<Cited<Fit>, NoValue> {
        match self.family {
            Family::DfuUpc => self.vent_by_load(drain, units, developed_mm),
            Family::En => Err(self.no_table(
                TableId::Ventilated,
                format!("the vent of a {drain} drain without its system"),
            )),
            Family::DfuIpc if self.held(TableId::VentsByTrap).is_some() => self.vent_by_trap(drain),
            Family::DfuIpc => {
                let fraction = self.scalar("vent.fraction-of-drain")?;
                let long = self.scalar("vent.long-above")?;
                let least = self.least_vent(drain)?;
                let (size, allows) = if developed_mm > long.value {
                    (self.next_size(least), f64::INFINITY)
                } else {
                    (Some(least), long.value)
                };
                let cite = if developed_mm > long.value {
                    long.cite
                } else {
                    fraction.cite
                };
                size.map(|size| Cited {
                    value: Fit { size, allows },
                    cite,
                })
                .ok_or_else(|| {
                    self.no_table(
                        TableId::VentsByLength,
                        format!("the vent of a {drain} drain"),
                    )
                })
            }
        }
    }

    /// Half the drain, and the least vent there is.
    fn least_vent(&self, drain: Size) -> Result<Size, NoValue> {
        let fraction = self.scalar("vent.fraction-of-drain")?.value;
        let least = self.size_rule("vent.least")?.value;
        let part = self
            .own_size(drain)
            .and_then(|drain| self.at_least_fraction(drain, fraction));
        let asked = || format!("the vent of a {drain} drain");
        part.map(|part| part.max(least))
            .ok_or_else(|| self.no_table(TableId::VentsByLength, asked()))
    }

    /// UPC Table 703.2: a vent by its load and length, one size larger where it is longer than its length allows.
    fn vent_by_load(
        &self,
        drain: Size,
        units: f64,
        developed_mm: f64,
    ) -> Result<Cited<Fit>, NoValue> {
        const VENT: usize = 4;
        const LENGTH: usize = 5;
        let asked = || {
            let unit = self.drain_unit();
            format!(
                "a vent of {units} {unit}, {:.1} m long",
                developed_mm / 1000.0
            )
        };
        let table = self.table(TableId::DrainsAndVents, asked)?;
        let least = self.least_vent(drain)?;
        let by_load = (0..table.rows.len()).find(|&row| {
            table.size(row, 0).is_some_and(|size| size >= least)
                && table.number(row, VENT).is_some_and(|holds| holds >= units)
        });
        let fit = |row: usize, allows: f64| {
            Some(table.cited(
                row,
                LENGTH,
                Fit {
                    size: table.size(row, 0)?,
                    allows,
                },
            ))
        };
        by_load
            .and_then(|row| match table.number(row, LENGTH) {
                Some(allows) if allows >= developed_mm => fit(row, allows),
                // Footnote: the lengths do not limit a vent that is one size larger throughout.
                Some(_) if row + 1 < table.rows.len() => fit(row + 1, f64::INFINITY),
                _ => None,
            })
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// The least vent of a trap, where the code sizes vents so.
    ///
    /// # Errors
    /// Where it does not, or has no such size.
    pub fn vent_by_trap(&self, trap: Size) -> Result<Cited<Fit>, NoValue> {
        let asked = || format!("the vent of a {trap} trap");
        let table = self.table(TableId::VentsByTrap, asked)?;
        let row = self.own_size(trap).and_then(|trap| table.row_of(trap));
        row.and_then(|row| {
            let size = table.size(row, 1)?;
            Some(table.cited(
                row,
                1,
                Fit {
                    size,
                    allows: f64::INFINITY,
                },
            ))
        })
        .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Most units on a wet vent of that size.
    ///
    /// # Errors
    /// Where the table has no such size.
    pub fn wet_vent_row(&self, size: Size) -> Result<Cited<f64>, NoValue> {
        self.units_at(TableId::WetVents, size, 1, "wet vent")
    }
    /// The least wet vent for a load.
    ///
    /// # Errors
    /// Where no row holds it.
    pub fn least_wet_vent(&self, units: f64) -> Result<Cited<Fit>, NoValue> {
        let asked = || format!("a wet vent of {units} {}", self.drain_unit());
        let table = self.table(TableId::WetVents, asked)?;
        table
            .first_holding(1, units)
            .and_then(|(row, allows)| {
                Some(table.cited(
                    row,
                    1,
                    Fit {
                        size: table.size(row, 0)?,
                        allows,
                    },
                ))
            })
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }
    /// Most units of the upper of two fixtures at different heights on a common vent of that size.
    ///
    /// # Errors
    /// Where the table has no such size.
    pub fn common_vent_row(&self, size: Size) -> Result<Cited<f64>, NoValue> {
        self.units_at(TableId::CommonVents, size, 1, "common vent")
    }
    /// The least waste stack that vents itself, by its load and the most that enters in one branch interval; `allows`
    /// is the total.
    ///
    /// # Errors
    /// Where no row holds both.
    pub fn least_waste_stack(&self, units: f64, most_in_one: f64) -> Result<Cited<Fit>, NoValue> {
        let asked = || {
            format!(
                "a waste stack vent of {units} {unit}, {most_in_one} in one branch interval",
                unit = self.drain_unit()
            )
        };
        let table = self.table(TableId::WasteStacks, asked)?;
        (0..table.rows.len())
            .find_map(|row| {
                let (size, one, total) = (
                    table.size(row, 0)?,
                    table.number(row, 1)?,
                    table.number(row, 2)?,
                );
                let allows = total;
                (one >= most_in_one && total >= units)
                    .then(|| table.cited(row, 2, Fit { size, allows }))
            })
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// The least combination drain and vent for a load.
    ///
    /// * `to_building_drain`: it runs into a building drain, not into a branch or a stack
    ///
    /// # Errors
    /// Where no row holds it.
    pub fn least_combination(
        &self,
        units: f64,
        to_building_drain: bool,
    ) -> Result<Cited<Fit>, NoValue> {
        let asked = || {
            format!(
                "a combination drain and vent of {units} {}",
                self.drain_unit()
            )
        };
        let table = self.table(TableId::CombinationDrains, asked)?;
        let column = 1 + usize::from(to_building_drain);
        table
            .first_holding(column, units)
            .and_then(|(row, allows)| {
                let size = table.size(row, 0)?;
                Some(table.cited(row, column, Fit { size, allows }))
            })
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    fn units_at(
        &self,
        id: TableId,
        size: Size,
        column: usize,
        what: &str,
    ) -> Result<Cited<f64>, NoValue> {
        let asked = || format!("a {size} {what}");
        let table = self.table(id, asked)?;
        let row = self.own_size(size).and_then(|size| table.row_of(size));
        row.and_then(|row| Some(table.cited(row, column, table.number(row, column)?)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Whether a fitting may make a change of direction; fittings are named as in the pack's table
    /// (`sanitary-tee`, `wye`, `quarter-bend`, `eighth-bend`, `long-sweep`, `combination` …).
    ///
    /// # Errors
    /// Where the code does not list it.
    pub fn fitting_allowed(
        &self,
        fitting: &str,
        change: Change,
    ) -> Result<Cited<Allowed>, NoValue> {
        let asked = || format!("a {fitting} from {change}");
        let table = self.table(TableId::Fittings, asked)?;
        let column = 1 + change as usize;
        let allowed = |row: usize| Allowed::read(table.text(row, column)?);
        table
            .row_named(fitting)
            .and_then(|row| Some(table.cited(row, column, allowed(row)?)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }
}
