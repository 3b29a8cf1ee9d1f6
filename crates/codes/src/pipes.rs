//! Least sizes of drains by their load: branches, stacks, building drains, sewers, and their slopes.
//!
//! A table is read at the first row that holds the load, and at the flatter of two slopes: never between.

use wyeline_units::{Size, Slope};

use crate::cite::{Cited, NoValue};
use crate::discharge::Filling;
use crate::pack::{Family, Pack};
use crate::spec::TableId;
use crate::table::{Table, Value, shown};

/// The least size that holds what was asked, and how much it holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// The size.
    pub size: Size,
    /// What the line of the table allows, in the unit of what was asked.
    pub allows: f64,
}

/// What a stack may carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StackLimit {
    /// Units altogether.
    pub total: f64,
    /// Units that may enter in one branch interval; infinite where the code does not say.
    pub in_one_interval: f64,
}

/// Which way a drain runs, for limits that tell them apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Way {
    /// A stack.
    Vertical,
    /// A branch or a building drain.
    Horizontal,
}

/// Columns of IPC Table 710.1(2).
const BRANCH: usize = 1;
const INTERVAL: usize = 2;
const LOW: usize = 3;
const TALL: usize = 4;
/// Columns of UPC Table 703.2; the first is also the square entry of EN 12056-2 Table 11.
const VERTICAL: usize = 1;
const HORIZONTAL: usize = 2;
/// Stacks of so many branch intervals or fewer take the column for low stacks (IPC Table 710.1(2)).
const LOW_STACK_INTERVALS: u32 = 3;
/// 1/8 and 1/4 inch per foot, between which the UPC lowers the loads of large horizontal drains.
const EIGHTH: f64 = 1.0 / 96.0;
const QUARTER: f64 = 1.0 / 48.0;

impl Pack {
    /// Most units on a horizontal branch of that size. Where the code grades it by slope, no slope means the
    /// least that the code asks.
    ///
    /// # Errors
    /// Where the table has no such size.
    pub fn branch_allows(&self, size: Size, slope: Option<Slope>) -> Result<Cited<f64>, NoValue> {
        let asked = || format!("a {size} branch");
        let (table, column) = self.branch_table(asked)?;
        let own = self.own_size(size);
        if self.family == Family::En {
            // Rows are flows there: the largest flow for which the size is enough.
            return (0..table.rows.len())
                .rev()
                .find(|row| own.is_some() && table.size(*row, column) == own)
                .and_then(|row| Some(table.cited(row, column, table.number(row, 0)?)))
                .ok_or_else(|| Self::says_nothing(table, asked()));
        }
        let row = own.and_then(|size| table.row_of(size));
        let found = row.and_then(|row| Some((row, table.number(row, column)?)));
        let (row, units) = found.ok_or_else(|| Self::says_nothing(table, asked()))?;
        let factor = self.slope_factor(table, row, slope)?;
        Ok(table.cited(row, column, units * factor))
    }

    /// The least horizontal branch for a load; `slope` as for [`Pack::branch_allows`].
    ///
    /// # Errors
    /// Where no row holds the load.
    pub fn least_branch(&self, units: f64, slope: Option<Slope>) -> Result<Cited<Fit>, NoValue> {
        if self.family == Family::En {
            return self.unventilated_branch(units);
        }
        let asked = || format!("a branch of {units} {}", self.drain_unit());
        let (table, column) = self.branch_table(asked)?;
        for row in 0..table.rows.len() {
            let (Some(size), Some(allows)) = (table.size(row, 0), table.number(row, column)) else {
                continue;
            };
            if allows < units {
                continue;
            }
            // A size that may not lie so flat is passed over: a larger one may.
            let Ok(factor) = self.slope_factor(table, row, slope) else {
                continue;
            };
            let allows = allows * factor;
            if allows >= units {
                return Ok(table.cited(row, column, Fit { size, allows }));
            }
        }
        Err(Self::says_nothing(table, asked()))
    }

    fn branch_table(&self, asked: impl FnOnce() -> String) -> Result<(&Table, usize), NoValue> {
        match self.family {
            Family::DfuUpc => Ok((self.table(TableId::DrainsAndVents, asked)?, HORIZONTAL)),
            Family::En => {
                let asked = asked();
                let table = self.table(TableId::Unventilated, || asked.clone())?;
                let column = self.unventilated_column()?;
                let column = column.ok_or_else(|| Self::says_nothing(table, asked))?;
                Ok((table, column))
            }
            Family::DfuIpc => Ok((self.table(TableId::BranchesAndStacks, asked)?, BRANCH)),
        }
    }

    /// What the load of a horizontal drain is multiplied by for its slope (UPC Table 703.2).
    fn slope_factor(
        &self,
        table: &Table,
        row: usize,
        slope: Option<Slope>,
    ) -> Result<f64, NoValue> {
        const GRADED_FROM: Size = Size::Inch { eighths: 32 };
        let Some(slope) = slope else { return Ok(1.0) };
        if table.id != TableId::DrainsAndVents || slope.ratio() >= QUARTER {
            return Ok(1.0);
        }
        let large = table.size(row, 0).is_some_and(|size| size >= GRADED_FROM);
        if large && slope.ratio() >= EIGHTH {
            return self
                .scalar("drain.eighth-slope-factor")
                .map(|found| found.value);
        }
        Err(Self::says_nothing(
            table,
            format!("a horizontal drain at {}", shown(slope)),
        ))
    }

    /// What a stack of that size may carry.
    ///
    /// # Errors
    /// Where the table has no such size.
    pub fn stack_allows(&self, size: Size, intervals: u32) -> Result<Cited<StackLimit>, NoValue> {
        let asked = || format!("a {size} stack of {intervals} branch intervals");
        let table = self.stack_table(asked)?;
        let row = self.own_size(size).and_then(|size| table.row_of(size));
        row.and_then(|row| self.stack_row(table, row, intervals))
            .map(|(row, column, limit)| table.cited(row, column, limit))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// The least stack for a load, its number of branch intervals and the most that enters in one of them.
    /// `allows` is the total.
    ///
    /// # Errors
    /// Where no row holds it.
    pub fn least_stack(
        &self,
        units: f64,
        intervals: u32,
        most_in_one: f64,
    ) -> Result<Cited<Fit>, NoValue> {
        let asked = || {
            format!(
                "a stack of {units} {}, {most_in_one} in one of its {intervals} branch intervals",
                self.drain_unit()
            )
        };
        let table = self.stack_table(asked)?;
        (0..table.rows.len())
            .filter_map(|row| self.stack_row(table, row, intervals))
            .find(|(_, _, limit)| limit.total >= units && limit.in_one_interval >= most_in_one)
            .and_then(|(row, column, limit)| {
                let size = table.size(row, 0)?;
                Some(table.cited(
                    row,
                    column,
                    Fit {
                        size,
                        allows: limit.total,
                    },
                ))
            })
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    fn stack_table(&self, asked: impl FnOnce() -> String) -> Result<&Table, NoValue> {
        self.table(
            match self.family {
                Family::DfuUpc => TableId::DrainsAndVents,
                Family::DfuIpc => TableId::BranchesAndStacks,
                Family::En => TableId::PrimaryStacks,
            },
            asked,
        )
    }

    fn stack_row(
        &self,
        table: &Table,
        row: usize,
        intervals: u32,
    ) -> Option<(usize, usize, StackLimit)> {
        let column = match self.family {
            Family::DfuIpc if intervals <= LOW_STACK_INTERVALS => LOW,
            Family::DfuIpc => TALL,
            // EN 12056-2 Table 11: the square entry, which holds less, is the safe reading.
            Family::DfuUpc | Family::En => VERTICAL,
        };
        let total = table.number(row, column)?;
        let in_one_interval = match self.family {
            Family::DfuIpc => table.number(row, INTERVAL)?,
            _ => f64::INFINITY,
        };
        Some((
            row,
            column,
            StackLimit {
                total,
                in_one_interval,
            },
        ))
    }

    /// Most units on a building drain, a branch of it, or a sewer, at that slope. A slope between two columns is
    /// read at the flatter one. Under EN 12056-2 the drain is half full.
    ///
    /// # Errors
    /// Where the slope is flatter than the table or the size not permitted at it.
    pub fn building_drain_allows(&self, size: Size, slope: Slope) -> Result<Cited<f64>, NoValue> {
        let asked = || format!("a {size} building drain at {}", shown(slope));
        match self.family {
            Family::DfuUpc => return self.branch_allows(size, Some(slope)),
            Family::En => return self.discharge_drain_allows(size, slope, Filling::Half),
            Family::DfuIpc => {}
        }
        let table = self.table(TableId::BuildingDrains, asked)?;
        let row = self.own_size(size).and_then(|size| table.row_of(size));
        let found = row.and_then(|row| {
            let column = slope_column(table, slope)?;
            Some(table.cited(row, column, table.number(row, column)?))
        });
        found.ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// The least building drain or sewer for a load at a slope; without a slope there is no answer.
    ///
    /// # Errors
    /// Where no slope is told, it is flatter than the table, or no row holds the load.
    pub fn least_building_drain(
        &self,
        units: f64,
        slope: Option<Slope>,
    ) -> Result<Cited<Fit>, NoValue> {
        let unit = self.drain_unit();
        let Some(slope) = slope else {
            let id = match self.family {
                Family::DfuUpc => TableId::DrainsAndVents,
                Family::DfuIpc => TableId::BuildingDrains,
                Family::En => TableId::HalfFull,
            };
            let mut missing = self.no_table(
                id,
                format!("a building drain of {units} {unit} at a slope nobody told"),
            );
            if let Some(table) = self.held(id) {
                missing.cite = table.cite.clone();
                "state its slope".clone_into(&mut missing.help);
            }
            return Err(missing);
        };
        match self.family {
            Family::DfuUpc => return self.least_branch(units, Some(slope)),
            Family::En => return self.discharge_drain(units, slope, Filling::Half),
            Family::DfuIpc => {}
        }
        let asked = || format!("a building drain of {units} {unit} at {}", shown(slope));
        let table = self.table(TableId::BuildingDrains, asked)?;
        slope_column(table, slope)
            .and_then(|column| {
                let (row, allows) = table.first_holding(column, units)?;
                let size = table.size(row, 0)?;
                Some(table.cited(row, column, Fit { size, allows }))
            })
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Most and least units on a building sewer, where the code has a table of its own for it.
    ///
    /// # Errors
    /// Where it has none, or not that size and slope: then it is sized as a building drain.
    pub fn sewer_allows(&self, size: Size, slope: Slope) -> Result<Cited<(f64, f64)>, NoValue> {
        let asked = || format!("a {size} building sewer at {}", shown(slope));
        let table = self.table(TableId::Sewers, asked)?;
        let size = self.own_size(size);
        (0..table.rows.len())
            .rev()
            .filter(|row| table.size(*row, 0) == size)
            .find(|row| {
                table
                    .slope(*row, 1)
                    .is_some_and(|held| held.ratio() <= slope.ratio())
            })
            .and_then(|row| {
                Some(table.cited(row, 2, (table.number(row, 2)?, table.number(row, 3)?)))
            })
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Most water closets on a drain, whatever its load.
    ///
    /// # Errors
    /// Where the code sets no such limit for that size.
    pub fn closet_limit(&self, size: Size, way: Way) -> Result<Cited<u32>, NoValue> {
        let asked = || format!("the number of water closets on a {size} drain");
        let table = self.table(TableId::ClosetLimits, asked)?;
        let column = match way {
            Way::Vertical => VERTICAL,
            Way::Horizontal => HORIZONTAL,
        };
        let row = self.own_size(size).and_then(|size| table.row_of(size));
        row.and_then(|row| Some(table.cited(row, column, table.number(row, column)? as u32)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// The least drain with a water closet upstream.
    ///
    /// # Errors
    /// Where the code does not say.
    pub fn least_closet_drain(&self) -> Result<Cited<Size>, NoValue> {
        self.size_rule("drain.closet-building-drain-least")
    }

    /// The flattest slope of a horizontal drain.
    ///
    /// # Errors
    /// Where the table has no such size.
    pub fn least_slope(&self, size: Size) -> Result<Cited<Slope>, NoValue> {
        let asked = || format!("the slope of a {size} drain");
        let table = self.table(TableId::Slopes, asked)?;
        let size = self.own_size(size);
        (0..table.rows.len())
            .rev()
            .find(|row| size.is_some() && table.size(*row, 0) <= size)
            .and_then(|row| Some(table.cited(row, 1, table.slope(row, 1)?)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// The rows of the table for horizontal branches: size and most units.
    ///
    /// # Errors
    /// Where the pack does not hold it.
    pub fn branch_sizes(&self) -> Result<Vec<Cited<Fit>>, NoValue> {
        let (table, column) = self.branch_table(|| "branches".to_owned())?;
        Ok(fits(table, column))
    }
    /// The rows of the table for stacks with so many branch intervals: size and most units altogether.
    ///
    /// # Errors
    /// Where the pack does not hold it.
    pub fn stack_sizes(&self, intervals: u32) -> Result<Vec<Cited<Fit>>, NoValue> {
        let table = self.stack_table(|| "stacks".to_owned())?;
        let column = match self.family {
            Family::DfuIpc if intervals <= LOW_STACK_INTERVALS => LOW,
            Family::DfuIpc => TALL,
            Family::DfuUpc | Family::En => VERTICAL,
        };
        Ok(fits(table, column))
    }
    /// The rows of the table for building drains at a slope: size and most units.
    ///
    /// # Errors
    /// Where the pack does not hold it, or the slope is flatter than it.
    pub fn building_drain_sizes(&self, slope: Slope) -> Result<Vec<Cited<Fit>>, NoValue> {
        let asked = || format!("building drains at {}", shown(slope));
        let table = self.table(TableId::BuildingDrains, asked)?;
        let column = slope_column(table, slope);
        let column = column.ok_or_else(|| Self::says_nothing(table, asked()))?;
        Ok(fits(table, column))
    }
}

/// The column of the steepest slope that is not steeper.
pub(crate) fn slope_column(table: &Table, slope: Slope) -> Option<usize> {
    let first = table.spec().columns.len();
    (first..table.columns.len())
        .rev()
        .find(|column| matches!(table.columns[*column].head, Some(Value::Slope(head)) if head.ratio() <= slope.ratio()))
}

fn fits(table: &Table, column: usize) -> Vec<Cited<Fit>> {
    let fit = |row| {
        let (size, allows) = (table.size(row, 0)?, table.number(row, column)?);
        Some(table.cited(row, column, Fit { size, allows }))
    };
    (0..table.rows.len()).filter_map(fit).collect()
}
