//! What a code says of water: loads, demand, what an outlet wants, least sizes, hot water.

use wyeline_units::Size;

use crate::cite::{Cite, Cited, How, NoValue};
use crate::pack::{Pack, Use};
use crate::spec::TableId;
use crate::table::Value;

/// Supply units of a fixture. Cold and hot together are more than the total: a pipe that carries both
/// carries the total.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct WaterLoad {
    /// On the cold pipe.
    pub cold: f64,
    /// On the hot pipe.
    pub hot: f64,
    /// On a pipe that feeds both.
    pub total: f64,
}

/// Which fixtures a pipe feeds, for the demand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Flush {
    /// Mostly flush tanks, or none that flush.
    Tank,
    /// Flushometer valves among them.
    Flushometer,
}

/// What an outlet wants.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutletNeed {
    /// Flow, l/s.
    pub flow_lps: f64,
    /// Pressure while it flows, Pa; nothing where the code does not say.
    pub pressure_pa: Option<f64>,
}

impl Pack {
    /// Supply units of a fixture in its usual form.
    ///
    /// # Errors
    /// Where the code does not list it for that use.
    pub fn water_load(&self, kind: &str, by: Use) -> Result<Cited<WaterLoad>, NoValue> {
        self.water_load_of(kind, "", by)
    }

    /// Supply units of a fixture in one of the code's [variants](Pack::variants).
    ///
    /// # Errors
    /// Where the code does not list it for that use.
    pub fn water_load_of(
        &self,
        kind: &str,
        variant: &str,
        by: Use,
    ) -> Result<Cited<WaterLoad>, NoValue> {
        let line = self.line(kind, variant)?;
        let asked = || format!("the water of a {kind} for {by} use");
        let table = self.table(TableId::WaterLoads, asked)?;
        let row = line.water[by as usize].ok_or_else(|| Self::says_nothing(table, asked()))?;
        let at = |column| table.number(row, column).unwrap_or(0.0);
        let load = WaterLoad {
            cold: at(3),
            hot: at(4),
            total: at(5),
        };
        Ok(table.cited(row, 5, load))
    }

    /// Supply units of all flushometer valves on a pipe, where the code counts them by their number.
    ///
    /// # Errors
    /// Where it does not.
    pub fn flush_valves(&self, closets: u32, urinals: u32) -> Result<Cited<f64>, NoValue> {
        let asked = || format!("{closets} closets and {urinals} urinals with flushometers");
        let table = self.table(TableId::FlushValves, asked)?;
        let of = |count: u32, column: usize| -> Option<f64> {
            let last = table.rows.len().checked_sub(1)?;
            let rows = table.rows.len() as u32;
            if count <= rows {
                return (count.checked_sub(1))
                    .map_or(Some(0.0), |row| table.number(row as usize, column));
            }
            // Each further valve counts as the last step of the table.
            let (top, below) = (
                table.number(last, column)?,
                table.number(last.checked_sub(1)?, column)?,
            );
            Some(top + f64::from(count - rows) * (top - below))
        };
        let units = of(closets, 1).and_then(|some| Some(some + of(urinals, 2)?));
        let row = table.rows.len().saturating_sub(1);
        units
            .map(|units| table.cited(row, 1, units))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Likely peak flow, l/s. Read at the next row up; between the rows only where the code lets its curve be
    /// read so (`water.demand-interpolated`), which is then marked as computed.
    ///
    /// # Errors
    /// Where the code has no such table, or the load is above it.
    pub fn demand(&self, units: f64, flush: Flush) -> Result<Cited<f64>, NoValue> {
        let asked = || {
            format!(
                "the demand of {units} {}",
                crate::unit::Dim::Supply.unit(self.family)
            )
        };
        let table = self.table(TableId::Demand, asked)?;
        let column = match flush {
            Flush::Tank => 1,
            Flush::Flushometer => 2,
        };
        if units <= 0.0 {
            return Ok(Cited {
                value: 0.0,
                cite: table.cite.clone(),
            });
        }
        // Rows rise, so the first that holds the load is found by halving.
        let above = table.rows.partition_point(
            |row| matches!(row.cells[0].value, Value::Number(held) if held < units),
        );
        let row = (above..table.rows.len()).find(|row| table.number(*row, column).is_some());
        let found =
            row.and_then(|row| Some((row, table.number(row, 0)?, table.number(row, column)?)));
        let (row, at, flow) = found.ok_or_else(|| Self::says_nothing(table, asked()))?;
        let may = self
            .flag("water.demand-interpolated")
            .is_ok_and(|may| may.value);
        let below = row
            .checked_sub(1)
            .and_then(|row| Some((table.number(row, 0)?, table.number(row, column)?)));
        match below {
            Some((before, less)) if may && at > units => {
                let share = (units - before) / (at - before);
                let cite = &table.rows[row].cells[column].cite;
                Ok(Cited {
                    value: less + share * (flow - less),
                    cite: Cite {
                        how: How::Computed,
                        ..cite.clone()
                    },
                })
            }
            _ => Ok(table.cited(row, column, flow)),
        }
    }

    /// What a fixture's outlet wants in its usual form.
    ///
    /// # Errors
    /// Where the code does not list it for that use.
    pub fn fixture_flow_pressure(&self, kind: &str, by: Use) -> Result<Cited<OutletNeed>, NoValue> {
        self.outlet_of(kind, "", by)
    }

    /// What a fixture's outlet wants in one of the code's [variants](Pack::variants).
    ///
    /// # Errors
    /// Where the code does not list it for that use.
    pub fn outlet_of(
        &self,
        kind: &str,
        variant: &str,
        by: Use,
    ) -> Result<Cited<OutletNeed>, NoValue> {
        let line = self.line(kind, variant)?;
        let asked = || format!("the outlet of a {kind} for {by} use");
        let table = self.table(TableId::Outlets, asked)?;
        let row = line.outlet[by as usize];
        row.and_then(|row| {
            let need = OutletNeed {
                flow_lps: table.number(row, 3)?,
                pressure_pa: table.number(row, 4),
            };
            Some(table.cited(row, 3, need))
        })
        .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// The least pipe that feeds a fixture in its usual form.
    ///
    /// # Errors
    /// Where the code does not list it.
    pub fn least_supply(&self, kind: &str) -> Result<Cited<Size>, NoValue> {
        self.least_supply_of(kind, "")
    }

    /// The least pipe that feeds a fixture in one of the code's [variants](Pack::variants).
    ///
    /// # Errors
    /// Where the code does not list it.
    pub fn least_supply_of(&self, kind: &str, variant: &str) -> Result<Cited<Size>, NoValue> {
        let line = self.line(kind, variant)?;
        let asked = || format!("the supply pipe of a {kind}");
        let table = self.table(TableId::SupplySizes, asked)?;
        let row = line.supply;
        row.and_then(|row| Some(table.cited(row, 2, table.size(row, 2)?)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Most velocity, m/s, in pipe of that material (`copper`, `pex`, `cpvc`, `galvanised` …), else in any.
    ///
    /// * `single`: it feeds one outlet, for which some codes allow more
    ///
    /// # Errors
    /// Where the code does not say.
    pub fn velocity_limit(
        &self,
        material: &str,
        hot: bool,
        single: bool,
    ) -> Result<Cited<f64>, NoValue> {
        if single && let Ok(more) = self.scalar("water.velocity-single") {
            return Ok(more);
        }
        // Jobs tell the type of copper, and spell galvanized so.
        let material = match material {
            name if name.starts_with("copper") => "copper",
            "galvanized" => "galvanised",
            name => name,
        };
        let asked = || format!("the velocity in {material} pipe");
        let table = self.table(TableId::Velocities, asked)?;
        let column = if hot { 2 } else { 1 };
        let row = table.row_named(material).or_else(|| table.row_named("any"));
        row.and_then(|row| Some(table.cited(row, column, table.number(row, column)?)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Static pressure above which a reducing valve is needed, Pa.
    ///
    /// # Errors
    /// Where the code does not say.
    pub fn most_static_pressure(&self) -> Result<Cited<f64>, NoValue> {
        self.scalar("water.static-pressure-most")
    }
}
