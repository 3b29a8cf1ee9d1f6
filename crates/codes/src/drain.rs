//! What a code says of drains: loads of fixtures, least sizes by load, slopes, limits.
//!
//! Loads are drainage fixture units; under EN 12056-2 they are discharge units (l/s) for fixtures, and for pipes the
//! flow in l/s worked out from their sum. A table is read at the first row that holds the load: never between rows.

use wyeline_units::Size;

use crate::cite::{Cited, NoValue};
use crate::pack::{Pack, Use};
use crate::spec::TableId;
use crate::table::Table;

/// What a fixture puts on a drain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DrainLoad {
    /// Units.
    pub units: f64,
    /// Least trap; nothing where it follows the fixture's outlet.
    pub trap: Option<Size>,
}

/// Columns of the table of fixtures, as specified.
const DRAIN_PRIVATE: usize = 2;
const DRAIN_PUBLIC: usize = 3;
const DRAIN_ASSEMBLY: usize = 4;
const DRAIN_TRAP: usize = 5;

impl Pack {
    /// Units and trap of a fixture in its usual form.
    ///
    /// # Errors
    /// Where the code does not list it for that use.
    pub fn drain_load(&self, kind: &str, by: Use) -> Result<Cited<DrainLoad>, NoValue> {
        self.drain_load_of(kind, "", by)
    }

    /// Units and trap of a fixture in one of the code's [variants](Pack::variants).
    ///
    /// # Errors
    /// Where the code does not list it for that use.
    pub fn drain_load_of(
        &self,
        kind: &str,
        variant: &str,
        by: Use,
    ) -> Result<Cited<DrainLoad>, NoValue> {
        if self.drain_lines() == TableId::DischargeUnits {
            return self.discharge_units(kind, variant);
        }
        let missing = |help: &str| {
            let mut missing =
                self.no_table(TableId::DrainFixtures, format!("a {kind} for {by} use"));
            if let Some(table) = self.held(TableId::DrainFixtures) {
                missing.cite = table.cite.clone();
                help.clone_into(&mut missing.help);
            }
            missing
        };
        let line = self.line(kind, variant)?;
        let table = self.table(TableId::DrainFixtures, || format!("a {kind}"))?;
        let row = line.drain.ok_or_else(|| {
            missing("it drains into nothing by itself: state its load in the job if it does")
        })?;
        let column = match by {
            Use::Private => DRAIN_PRIVATE,
            // A code without a column for assembly counts it as public.
            Use::Assembly if table.columns[DRAIN_ASSEMBLY].held => DRAIN_ASSEMBLY,
            Use::Public | Use::Assembly => DRAIN_PUBLIC,
        };
        let trap = table.size(row, DRAIN_TRAP);
        if let Some(units) = table.number(row, column) {
            return Ok(table.cited(row, column, DrainLoad { units, trap }));
        }
        // A receptor carries what drains into it, and not less than its outlet: the row names a trap alone.
        let listed = |column| table.number(row, column).is_some();
        match trap {
            Some(trap) if !listed(DRAIN_PRIVATE) && !listed(DRAIN_PUBLIC) => {
                self.by_trap(trap).map(|found| Cited {
                    value: DrainLoad {
                        units: found.value,
                        trap: Some(trap),
                    },
                    cite: found.cite,
                })
            }
            _ => Err(missing(
                "the code lists it for another use: say which, or state its load in the job",
            )),
        }
    }

    /// The least trap of a fixture, cited by itself; an empty variant is the usual form.
    ///
    /// # Errors
    /// Where the code prints none: the trap follows the fixture's outlet.
    pub fn least_trap(&self, kind: &str, variant: &str) -> Result<Cited<Size>, NoValue> {
        let asked = || format!("the trap of a {kind}");
        let table = self.table(TableId::DrainFixtures, asked)?;
        let row = self.line(kind, variant)?.drain;
        row.and_then(|row| Some(table.cited(row, DRAIN_TRAP, table.size(row, DRAIN_TRAP)?)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Units that a bathroom group counts in place of the sum of its fixtures.
    ///
    /// * `variant`: empty, or `over-1.6-gpf` for its water closet
    ///
    /// # Errors
    /// Where the code has no such group: its fixtures are then added up.
    pub fn group_load(&self, variant: &str) -> Result<Cited<f64>, NoValue> {
        let asked = || "a bathroom group".to_owned();
        let table = self.table(TableId::DrainGroups, asked)?;
        let name = if variant.is_empty() {
            "bathroom-group"
        } else {
            "bathroom-group-over-1.6-gpf"
        };
        let row = table.row_named(name);
        row.and_then(|row| Some(table.cited(row, 2, table.number(row, 2)?)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Units of a fixture that is not listed, by the size of its trap or outlet.
    ///
    /// # Errors
    /// Where the table has no such size.
    pub fn by_trap(&self, trap: Size) -> Result<Cited<f64>, NoValue> {
        let asked = || format!("a {trap} trap");
        let table = self.table(TableId::DrainByTrap, asked)?;
        let row = self.own_size(trap).and_then(|trap| table.row_of(trap));
        row.and_then(|row| Some(table.cited(row, 1, table.number(row, 1)?)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Units of an intermittent discharge (a pump, a condensate receiver), by its flow in l/s.
    ///
    /// # Errors
    /// Where the code has no such table, or the flow is above it.
    pub fn by_flow(&self, flow_lps: f64) -> Result<Cited<f64>, NoValue> {
        let asked = || format!("a discharge of {flow_lps:.2} l/s");
        let table = self.table(TableId::DrainByFlow, asked)?;
        let row = table.first_holding(0, flow_lps).map(|(row, _)| row);
        row.and_then(|row| Some(table.cited(row, 1, table.number(row, 1)?)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Units and trap of a shower or a row of showers, by the flow of all its heads in l/s.
    ///
    /// # Errors
    /// Where the code has no such table, or the flow is above it.
    pub fn shower_load(&self, flow_lps: f64) -> Result<Cited<DrainLoad>, NoValue> {
        let asked = || format!("a shower of {flow_lps:.2} l/s");
        let table = self.table(TableId::DrainShowers, asked)?;
        let row = table.first_holding(0, flow_lps).map(|(row, _)| row);
        row.and_then(|row| {
            let load = DrainLoad {
                units: table.number(row, 1)?,
                trap: table.size(row, 2),
            };
            Some(table.cited(row, 1, load))
        })
        .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Units for each l/s of a continuous or pumped flow.
    ///
    /// # Errors
    /// Where the code does not count such flows in units.
    pub fn continuous_factor(&self) -> Result<Cited<f64>, NoValue> {
        self.scalar("drain.continuous-units")
    }

    /// The unit of loads on drains.
    pub fn drain_unit(&self) -> &'static str {
        crate::unit::Dim::Drain.unit(self.family)
    }

    /// A table that is held does not hold what was asked.
    pub(crate) fn says_nothing(table: &Table, asked: String) -> NoValue {
        NoValue {
            cite: table.cite.clone(),
            asked,
            help: format!(
                "state it in the job, or amend `{}` with a citation",
                table.name()
            ),
        }
    }
}
