//! The likely peak flow of what a pipe carries: by the code's table of demand, or by its formula over design flows.
//!
//! In: sums of units and design flows. Out: l/s, with where the rule stands. Continuous draws are added as flow.

use wyeline_codes::{Cite, Cited, Flush, NoValue, Pack, PeakFormula, TableId, Value};
use wyeline_job::model::DemandReading;

use super::load::{Carries, codes_use};
use crate::conditions::Conditions;

/// A peak flow.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Peak {
    /// The flow, continuous draws included, l/s.
    pub lps: f64,
    /// Where the rule stands that gave it; nothing for a single tap, which draws what it draws.
    pub cite: Option<Cite>,
}

/// Turns units into flow.
pub(super) struct Demand<'a> {
    pack: &'a Pack,
    /// Units, tank and flushometer column (l/s) where it is read between the rows although the code does not.
    curve: Option<Vec<[f64; 3]>>,
    /// The formula over design flows, where that is the code's rule.
    formula: Option<Result<Cited<PeakFormula>, NoValue>>,
}

impl<'a> Demand<'a> {
    pub fn new(pack: &'a Pack, conditions: &Conditions) -> Self {
        let between = conditions.demand == Some(DemandReading::Interpolated);
        Self {
            pack,
            curve: between.then(|| curve(pack)).flatten(),
            formula: pack
                .peak_cite()
                .map(|_| pack.peak_formula(codes_use(conditions.usage))),
        }
    }

    /// Whether the code gives flows at all.
    pub fn known(&self) -> Result<(), NoValue> {
        match &self.formula {
            Some(formula) => formula.as_ref().map(|_| ()).map_err(Clone::clone),
            None => self.pack.demand(5.0, Flush::Tank).map(|_| ()),
        }
    }

    /// The formula by which flows are found, where it is one.
    pub fn formula(&self) -> Option<&Cited<PeakFormula>> {
        self.formula.as_ref()?.as_ref().ok()
    }

    /// Likely peak flow in a pipe.
    pub fn flow(&self, carries: &Carries) -> Result<Peak, NoValue> {
        let (peak, cite) = match self.formula() {
            Some(formula) => Self::by_formula(formula, carries)?,
            None => self.by_table(carries)?,
        };
        Ok(Peak {
            lps: peak + carries.continuous,
            cite,
        })
    }

    fn by_table(&self, carries: &Carries) -> Result<(f64, Option<Cite>), NoValue> {
        let valves = match carries.valves {
            [0, 0] => 0.0,
            [closets, urinals] => self.pack.flush_valves(closets, urinals)?.value,
        };
        let units = carries.counts + valves;
        if carries.taps == 1 && carries.largest > 0.0 {
            // One tap draws what it draws.
            return Ok((if units > 0.0 { carries.largest } else { 0.0 }, None));
        }
        if units <= 1e-9 {
            return Ok((0.0, None));
        }
        let flush = if carries.flush {
            Flush::Flushometer
        } else {
            Flush::Tank
        };
        let peak = self.of(units, flush)?;
        Ok((peak.value.max(carries.largest), Some(peak.cite)))
    }

    fn by_formula(
        formula: &Cited<PeakFormula>,
        carries: &Carries,
    ) -> Result<(f64, Option<Cite>), NoValue> {
        if carries.taps == 1 {
            return Ok((carries.largest, None));
        }
        let peak = formula.value.flow(carries.design).ok_or_else(|| NoValue {
            cite: formula.cite.clone(),
            asked: format!("the peak of {:.1} l/s of design flows", carries.design),
            help: "state the flow".to_owned(),
        })?;
        Ok((peak.max(carries.largest), Some(formula.cite.clone())))
    }

    fn of(&self, units: f64, flush: Flush) -> Result<Cited<f64>, NoValue> {
        // Sums of tenths leave a trace in the last bit, which must not step into the next row.
        let units = (units * 1e6).round() / 1e6;
        let mut found = self.pack.demand(units, flush);
        let column = if flush == Flush::Tank { 1 } else { 2 };
        if let (Some(curve), Ok(found)) = (&self.curve, &mut found) {
            let at = curve.partition_point(|row| row[0] < units);
            let usable = |row: &&[f64; 3]| row[column].is_finite();
            if let Some(above) = curve.get(at).filter(usable) {
                let below = at.checked_sub(1).map(|at| &curve[at]).filter(usable);
                found.value = below.map_or(above[column], |below| {
                    let part = (units - below[0]) / (above[0] - below[0]);
                    below[column] + part * (above[column] - below[column])
                });
            }
        }
        found
    }
}

/// The rows of the code's table of demand.
fn curve(pack: &Pack) -> Option<Vec<[f64; 3]>> {
    let table = pack.tables().find(|table| table.id == TableId::Demand)?;
    // A pack's flows are asked for through itself, so that amendments hold and units are its own.
    let rows = table
        .rows
        .iter()
        .filter_map(|row| match row.cells.first()?.value {
            Value::Number(units) => {
                let of = |column: usize, flush| match row.cells.get(column).map(|cell| &cell.value)
                {
                    Some(Value::Number(_)) => pack
                        .demand(units, flush)
                        .map_or(f64::NAN, |flow| flow.value),
                    _ => f64::NAN,
                };
                Some([units, of(1, Flush::Tank), of(2, Flush::Flushometer)])
            }
            _ => None,
        });
    Some(rows.collect())
}
