//! Tables that size water pipe in one step, losses of devices and fittings, hot water and scalding.

use wyeline_units::Size;

use crate::cite::{Cited, NoValue};
use crate::pack::{Pack, Use};
use crate::pipes::Fit;
use crate::spec::TableId;
use crate::table::{Table, Value};

/// A line of a table that sizes meter and pipe in one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ServiceSize {
    /// The meter.
    pub meter: Size,
    /// The pipe.
    pub pipe: Size,
    /// What the line allows, units.
    pub allows: f64,
}

/// How long a hot pipe may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HotPipe {
    /// Water it holds, l/m.
    pub litres_per_metre: f64,
    /// Longest to a public lavatory, mm.
    pub public_lavatory_mm: f64,
    /// Longest to other outlets, mm.
    pub other_mm: f64,
}

/// How hot water may be at an outlet.
#[derive(Clone, Debug, PartialEq)]
pub struct ScaldLimit {
    /// Hottest, °C.
    pub hottest_c: f64,
    /// What holds it there.
    pub device: std::sync::Arc<str>,
}

/// A pipe that holds the loading units asked.
#[derive(Clone, Debug, PartialEq)]
pub struct PipeLoad {
    /// The pipe as its standard names it (`22x1.0`).
    pub pipe: std::sync::Arc<str>,
    /// Inside diameter, mm.
    pub bore_mm: f64,
    /// Most loading units.
    pub allows: f64,
}

impl Pack {
    /// The least pipe, and with it the least meter, for a load by the code's own table.
    ///
    /// * `pressure_pa`: at the meter, after what the height takes (`water.elevation-pressure-per-metre`)
    /// * `length_mm`: developed length to the farthest outlet
    /// * `meter`: the meter there is, if it is settled
    ///
    /// # Errors
    /// Where no line holds it.
    pub fn size_by_table(
        &self,
        pressure_pa: f64,
        length_mm: f64,
        units: f64,
        meter: Option<Size>,
    ) -> Result<Cited<ServiceSize>, NoValue> {
        let asked = || {
            let (kpa, m) = (pressure_pa / 1000.0, length_mm / 1000.0);
            format!("{units} wsfu at {kpa:.0} kPa and {m:.0} m")
        };
        let table = self.table(TableId::ServiceSizes, asked)?;
        let first = table.spec().columns.len();
        let column = (first..table.columns.len())
            .find(|column| table.columns[*column].head_number >= length_mm - 1e-6);
        let band = pressure_band(table, pressure_pa);
        band.zip(column)
            .and_then(|(from, column)| {
                (0..table.rows.len())
                    .filter(|row| table.number(*row, 0) == Some(from))
                    .filter(|row| meter.is_none() || table.size(*row, 3) == meter)
                    .find_map(|row| {
                        let allows = table.number(row, column).filter(|holds| *holds >= units)?;
                        let (pipe, meter) = (table.size(row, 2)?, table.size(row, 3)?);
                        Some(table.cited(
                            row,
                            column,
                            ServiceSize {
                                meter,
                                pipe,
                                allows,
                            },
                        ))
                    })
            })
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Pressure lost in a tap of the main, Pa, read at the next flow up.
    ///
    /// # Errors
    /// Where the table does not hold it.
    pub fn tap_loss(&self, size: Size, flow_lps: f64) -> Result<Cited<f64>, NoValue> {
        let asked = || format!("a {size} tap at {flow_lps:.2} l/s");
        let table = self.table(TableId::Taps, asked)?;
        let row = table.first_holding(0, flow_lps - 1e-9).map(|(row, _)| row);
        let column = size_column(table, size);
        row.zip(column)
            .and_then(|(row, column)| Some(table.cited(row, column, table.number(row, column)?)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Most flow of a displacement meter in l/s, and the pressure that it then costs, Pa.
    ///
    /// # Errors
    /// Where the table has no such size.
    pub fn meter(&self, size: Size) -> Result<Cited<(f64, f64)>, NoValue> {
        let asked = || format!("a {size} meter");
        let table = self.table(TableId::Meters, asked)?;
        table
            .row_of(size)
            .and_then(|row| {
                Some(table.cited(row, 1, (table.number(row, 1)?, table.number(row, 2)?)))
            })
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Length of pipe, mm, that loses as much as a fitting or valve (`elbow-90`, `elbow-45`, `tee-run`, `tee-branch`,
    /// `gate-valve`, `ball-valve`, `check-valve`, `globe-valve`, `angle-valve` …); copper by its own table. A size that is not
    /// printed is read at the next size up.
    ///
    /// # Errors
    /// Where the code does not list it.
    pub fn equivalent_length(
        &self,
        fitting: &str,
        size: Size,
        copper: bool,
    ) -> Result<Cited<f64>, NoValue> {
        let asked = || format!("a {size} {fitting}");
        let id = if copper {
            TableId::Soldered
        } else {
            TableId::Threaded
        };
        let table = self.table(id, asked)?;
        let row = table.row_named(fitting);
        row.zip(size_column(table, size))
            .and_then(|(row, column)| Some(table.cited(row, column, table.number(row, column)?)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Most flow of a manifold, l/s, at the slower and the faster of the two velocities of its table.
    ///
    /// # Errors
    /// Where the table has no such size.
    pub fn manifold(&self, size: Size) -> Result<Cited<(f64, f64)>, NoValue> {
        let asked = || format!("a {size} manifold");
        let table = self.table(TableId::Manifolds, asked)?;
        table
            .row_of(size)
            .and_then(|row| {
                Some(table.cited(row, 1, (table.number(row, 1)?, table.number(row, 2)?)))
            })
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// What hot pipe of a size holds, and the longest it may be.
    ///
    /// # Errors
    /// Where the table has no such size.
    pub fn hot_pipe(&self, size: Size) -> Result<Cited<HotPipe>, NoValue> {
        let asked = || format!("a {size} hot pipe");
        let table = self.table(TableId::HotVolumes, asked)?;
        table
            .row_of(size)
            .and_then(|row| {
                let pipe = HotPipe {
                    litres_per_metre: table.number(row, 1)?,
                    public_lavatory_mm: table.number(row, 2)?,
                    other_mm: table.number(row, 3)?,
                };
                Some(table.cited(row, 3, pipe))
            })
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// How hot water may be at a fixture.
    ///
    /// # Errors
    /// Where the code sets no limit.
    pub fn scald_limit(&self, kind: &str, by: Use) -> Result<Cited<ScaldLimit>, NoValue> {
        let asked = || format!("the heat of water at a {kind} for {by} use");
        let table = self.table(TableId::Scald, asked)?;
        let by = if by == Use::Assembly { Use::Public } else { by };
        let is = |row: &usize| {
            table.text(*row, 0).is_some_and(|held| &**held == kind)
                && table
                    .text(*row, 1)
                    .is_some_and(|held| &**held == by.word() || &**held == "any")
        };
        (0..table.rows.len())
            .find(is)
            .and_then(|row| {
                let limit = ScaldLimit {
                    hottest_c: table.number(row, 2)?,
                    device: table.text(row, 3)?.clone(),
                };
                Some(table.cited(row, 2, limit))
            })
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// The least pipe of a material for a load, where simultaneous use is inside the table (EN 806-3).
    ///
    /// * `material`: `copper`, `galvanised`, `pp`, `pb`, `pvc-c`, `multilayer`
    /// * `length_mm`: length of the run, for the small sizes that limit it
    ///
    /// # Errors
    /// Where no row holds it.
    pub fn pipe_by_loading_units(
        &self,
        material: &str,
        units: f64,
        length_mm: f64,
    ) -> Result<Cited<PipeLoad>, NoValue> {
        let asked = || {
            format!(
                "{material} pipe for {units} LU over {:.0} m",
                length_mm / 1000.0
            )
        };
        let table = self.table(TableId::PipeLoads, asked)?;
        (0..table.rows.len())
            .filter(|row| table.text(*row, 0).is_some_and(|held| &**held == material))
            .find_map(|row| {
                let allows = table.number(row, 2).filter(|holds| *holds >= units)?;
                let longest = table.number(row, 4).unwrap_or(f64::INFINITY);
                let load = PipeLoad {
                    pipe: table.text(row, 1)?.clone(),
                    bore_mm: table.number(row, 3)?,
                    allows,
                };
                (longest >= length_mm).then(|| table.cited(row, 2, load))
            })
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }
}

/// The lower end of the pressure band that a pressure lies in; between two bands it is the lower one.
fn pressure_band(table: &Table, pressure: f64) -> Option<f64> {
    let mut band: Option<(f64, f64)> = None;
    for row in 0..table.rows.len() {
        let (from, to) = (table.number(row, 0)?, table.number(row, 1)?);
        if pressure >= from && band.is_none_or(|(_, end)| pressure > end) {
            band = Some((from, to));
        }
    }
    band.map(|(from, _)| from)
}

/// The column of the least size that is not under the one asked.
pub(crate) fn size_column(table: &Table, size: Size) -> Option<usize> {
    let first = table.spec().columns.len();
    (first..table.columns.len()).find(
        |column| matches!(table.columns[*column].head, Some(Value::Size(head)) if head >= size),
    )
}

/// Fits of a table with rising lengths: used by gas as well.
pub(crate) fn fit_along(table: &Table, row: usize, load: f64) -> Option<Cited<Fit>> {
    let first = table.spec().columns.len();
    (first..table.columns.len()).find_map(|column| {
        let allows = table.number(row, column).filter(|holds| *holds >= load)?;
        let Some(Value::Size(size)) = table.columns[column].head else {
            return None;
        };
        Some(table.cited(row, column, Fit { size, allows }))
    })
}
