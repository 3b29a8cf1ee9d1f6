//! What EN 12056-2 asks that other codes do not: systems, frequency, flow, branches with and without vents.

use wyeline_units::{Size, Slope};

use crate::cite::{Cited, NoValue};
use crate::drain::DrainLoad;
use crate::pack::Pack;
use crate::pipes::Fit;
use crate::spec::TableId;
use crate::table::{Table, Value};

/// A system of EN 12056-2, by the filling of its branches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum System {
    /// Half full.
    I,
    /// 70 %.
    II,
    /// Full bore.
    III,
    /// Black and grey water apart.
    IV,
}

/// How a branch enters a stack.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Entry {
    /// Square: the lower capacity.
    Square,
    /// Swept.
    Swept,
}

/// How full a drain may run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Filling {
    /// Half.
    Half,
    /// 70 %.
    Seventy,
}

impl Filling {
    fn table(self) -> TableId {
        match self {
            Self::Half => TableId::HalfFull,
            Self::Seventy => TableId::SeventyFull,
        }
    }
}

/// The row of the steepest slope that is not steeper.
fn flatter_row(table: &Table, slope: Slope) -> Option<usize> {
    let held = |row: &usize| {
        table
            .slope(*row, 0)
            .is_some_and(|held| held.ratio() <= slope.ratio())
    };
    (0..table.rows.len()).rev().find(held)
}

/// A ventilated branch and its vent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VentedBranch {
    /// The branch.
    pub size: Size,
    /// Its vent.
    pub vent: Size,
    /// Most flow, l/s.
    pub allows: f64,
}

/// What a branch may be, by its system.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BranchLimits {
    /// Longest, mm; infinite where there is no limit.
    pub length_mm: f64,
    /// Most bends of 90°, the one at the appliance not counted; nothing where not limited.
    pub bends: Option<u32>,
    /// Most drop, mm.
    pub drop_mm: f64,
    /// Flattest slope.
    pub slope: Slope,
}

impl Pack {
    /// The system followed: I unless the job amends `en.system`.
    ///
    /// # Errors
    /// Where the code has no systems.
    pub fn system(&self) -> Result<Cited<System>, NoValue> {
        let number = self.scalar("en.system")?;
        let system = match number.value as u32 {
            2 => System::II,
            3 => System::III,
            4 => System::IV,
            _ => System::I,
        };
        Ok(Cited {
            value: system,
            cite: number.cite,
        })
    }

    /// Discharge units of a fixture, l/s, in the system followed.
    pub(crate) fn discharge_units(
        &self,
        kind: &str,
        variant: &str,
    ) -> Result<Cited<DrainLoad>, NoValue> {
        let line = self.line(kind, variant)?;
        let asked = || format!("a {kind} in this system");
        let table = self.table(TableId::DischargeUnits, asked)?;
        let column = 2 + self.system()?.value as usize;
        let found = line
            .drain
            .and_then(|row| Some((row, table.number(row, column)?)));
        found
            .map(|(row, units)| table.cited(row, column, DrainLoad { units, trap: None }))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// The frequency factor K of a use: `intermittent`, `frequent`, `congested`, `special`.
    ///
    /// # Errors
    /// Where the code has none of that name.
    pub fn frequency(&self, by: &str) -> Result<Cited<f64>, NoValue> {
        let asked = || format!("the frequency of {by} use");
        let table = self.table(TableId::Frequency, asked)?;
        table
            .row_named(by)
            .and_then(|row| Some(table.cited(row, 1, table.number(row, 1)?)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// The least unventilated branch for a flow, in the system followed.
    ///
    /// # Errors
    /// Where no row holds it, or the system has no such table.
    pub fn unventilated_branch(&self, flow_lps: f64) -> Result<Cited<Fit>, NoValue> {
        let asked = || format!("an unventilated branch of {flow_lps} l/s");
        let table = self.table(TableId::Unventilated, asked)?;
        let column = self.unventilated_column()?;
        let fit = |row: usize, column: usize| {
            let allows = table
                .number(row, 0)
                .filter(|holds| *holds >= flow_lps - 1e-9)?;
            let size = table.size(row, column)?;
            Some(table.cited(row, column, Fit { size, allows }))
        };
        column
            .and_then(|column| (0..table.rows.len()).find_map(|row| fit(row, column)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// The column of Table 4 for the system followed; system III has none.
    pub(crate) fn unventilated_column(&self) -> Result<Option<usize>, NoValue> {
        Ok(match self.system()?.value {
            System::I => Some(1),
            System::II => Some(2),
            System::III => None,
            System::IV => Some(3),
        })
    }

    /// The least ventilated branch for a flow, with its vent, in the system followed.
    ///
    /// # Errors
    /// Where no row holds it, or the system has no such table.
    pub fn ventilated_branch(&self, flow_lps: f64) -> Result<Cited<VentedBranch>, NoValue> {
        let asked = || format!("a ventilated branch of {flow_lps} l/s");
        let table = self.table(TableId::Ventilated, asked)?;
        let column = match self.system()?.value {
            System::I => Some(1),
            System::II => Some(3),
            System::III => None,
            System::IV => Some(5),
        };
        let fit = |row: usize, column: usize| {
            let allows = table
                .number(row, 0)
                .filter(|holds| *holds >= flow_lps - 1e-9)?;
            let (size, vent) = (table.size(row, column)?, table.size(row, column + 1)?);
            Some(table.cited(row, column, VentedBranch { size, vent, allows }))
        };
        column
            .and_then(|column| (0..table.rows.len()).find_map(|row| fit(row, column)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// How long, how bent and how steep a branch may be, in the system followed.
    ///
    /// # Errors
    /// Where the system has no such limits.
    pub fn branch_limits(&self, ventilated: bool) -> Result<Cited<BranchLimits>, NoValue> {
        let asked = || "the length of a branch in this system".to_owned();
        let id = if ventilated {
            TableId::VentilatedLimits
        } else {
            TableId::UnventilatedLimits
        };
        let table = self.table(id, asked)?;
        let name = match self.system()?.value {
            System::I => "I",
            System::II => "II",
            System::III => "III",
            System::IV => "IV",
        };
        let drop = if ventilated { 2 } else { 3 };
        table
            .row_named(name)
            .and_then(|row| {
                let limits = BranchLimits {
                    length_mm: table.number(row, 1)?,
                    bends: if ventilated {
                        None
                    } else {
                        table.number(row, 2).map(|bends| bends as u32)
                    },
                    drop_mm: table.number(row, drop)?,
                    slope: table.slope(row, drop + 1)?,
                };
                // One answer of several cells is no surer than the last of them.
                Some(table.cited(row, drop, limits))
            })
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// The least stack for a flow, by how branches enter it; with a vent pipe beside it or without.
    ///
    /// # Errors
    /// Where no row holds it.
    pub fn discharge_stack(
        &self,
        flow_lps: f64,
        entry: Entry,
        vent_pipe: bool,
    ) -> Result<Cited<Fit>, NoValue> {
        let asked = || format!("a stack of {flow_lps} l/s");
        let (id, first) = if vent_pipe {
            (TableId::SecondaryStacks, 2)
        } else {
            (TableId::PrimaryStacks, 1)
        };
        let table = self.table(id, asked)?;
        let column = first + entry as usize;
        table
            .first_holding(column, flow_lps)
            .and_then(|(row, allows)| {
                Some(table.cited(
                    row,
                    column,
                    Fit {
                        size: table.size(row, 0)?,
                        allows,
                    },
                ))
            })
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// The vent pipe beside a stack of that size.
    ///
    /// # Errors
    /// Where the table has no such size.
    pub fn stack_vent_pipe(&self, stack: Size) -> Result<Cited<Size>, NoValue> {
        let asked = || format!("the vent pipe beside a {stack} stack");
        let table = self.table(TableId::SecondaryStacks, asked)?;
        let row = self.own_size(stack).and_then(|stack| table.row_of(stack));
        row.and_then(|row| Some(table.cited(row, 1, table.size(row, 1)?)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Most flow, l/s, in a drain of a size at a slope and filling. A slope between two rows is read at the flatter one.
    ///
    /// # Errors
    /// Where the slope is flatter than the table, or it has no such size.
    pub fn discharge_drain_allows(
        &self,
        size: Size,
        slope: Slope,
        filling: Filling,
    ) -> Result<Cited<f64>, NoValue> {
        let asked = || format!("a {size} drain at {}", crate::table::shown(slope));
        let table = self.table(filling.table(), asked)?;
        let own = self.own_size(size);
        let head = |column: &usize| matches!(table.columns[*column].head, Some(Value::Size(head)) if Some(head) == own);
        flatter_row(table, slope)
            .zip((1..table.columns.len()).find(head))
            .and_then(|(row, column)| Some(table.cited(row, column, table.number(row, column)?)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// The least drain for a flow at a slope and filling. A slope between two rows is read at the flatter one.
    ///
    /// # Errors
    /// Where the slope is flatter than the table, or no size holds the flow.
    pub fn discharge_drain(
        &self,
        flow_lps: f64,
        slope: Slope,
        filling: Filling,
    ) -> Result<Cited<Fit>, NoValue> {
        let asked = || {
            format!(
                "a drain of {flow_lps} l/s at {}",
                crate::table::shown(slope)
            )
        };
        let table = self.table(filling.table(), asked)?;
        flatter_row(table, slope)
            .and_then(|row| crate::supply::fit_along(table, row, flow_lps))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// The least inside diameter of a nominal size, mm.
    ///
    /// # Errors
    /// Where the table has no such size.
    pub fn least_bore(&self, size: Size) -> Result<Cited<f64>, NoValue> {
        let asked = || format!("the bore of {size}");
        let table = self.table(TableId::Bores, asked)?;
        let row = self.own_size(size).and_then(|size| table.row_of(size));
        row.and_then(|row| Some(table.cited(row, 1, table.number(row, 1)?)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }
}
