//! The likely peak flow of water by a formula over the design flows of outlets, where a code's rule is one.
//!
//! In: a sum of design flows, l/s. Out: the peak with its citation. DIN 1988-300 in the pack of EN 806-3, which itself
//! turns no loads into flow outside of a figure.

use crate::cite::{Cite, Cited, How, NoValue};
use crate::pack::{Pack, Use};
use crate::spec::TableId;
use crate::water::OutletNeed;

/// A formula of peak flow, `a sum^b - c`, with flows in l/s.
#[derive(Clone, Debug, PartialEq)]
pub struct PeakFormula {
    /// The building that it holds for (`dwelling`).
    pub building: std::sync::Arc<str>,
    /// Factor.
    pub a: f64,
    /// Exponent.
    pub b: f64,
    /// Taken off.
    pub c: f64,
    /// Least and largest sum for which it holds, l/s.
    pub holds: [f64; 2],
}

impl PeakFormula {
    /// Likely peak of a sum of design flows, both l/s; nothing above what the formula holds for.
    ///
    /// Never more than the sum. Where the formula begins it gives less than the sum just below: until it gives more the
    /// peak stays at that sum, so that a further tap never makes a peak smaller (our own choice).
    pub fn flow(&self, sum: f64) -> Option<f64> {
        let [from, to] = self.holds;
        if sum > to {
            return None;
        }
        let formula = self.a * sum.powf(self.b) - self.c;
        Some(formula.max(from).min(sum))
    }
}

impl Pack {
    /// The formula of peak flow for a building of that use, where the code's rule is a formula.
    ///
    /// # Errors
    /// Where it is none, or the use is not private and the job does not say which building it is (`water.peak-building`).
    pub fn peak_formula(&self, by: Use) -> Result<Cited<PeakFormula>, NoValue> {
        let asked = || format!("the peak flow of water in a building for {by} use");
        let table = self.table(TableId::PeakFlow, asked)?;
        let building = self.scalar("water.peak-building")?;
        let wanting = || {
            NoValue {
            help: "say which building it is by the row of the table of peak flow: `amend rules \"water.peak-building\" 3 by \"hotel\"`".to_owned(),
            ..Self::says_nothing(table, asked())
        }
        };
        if by != Use::Private && building.cite.how != How::Local {
            return Err(wanting());
        }
        let row = (building.value.round() as usize).checked_sub(1);
        let holds = [
            self.scalar("water.peak-from")?.value,
            self.scalar("water.peak-to")?.value,
        ];
        row.filter(|row| *row < table.rows.len())
            .and_then(|row| {
                let formula = PeakFormula {
                    building: table.text(row, 0)?.clone(),
                    a: table.number(row, 1)?,
                    b: table.number(row, 2)?,
                    c: table.number(row, 3)?,
                    holds,
                };
                Some(table.cited(row, 1, formula))
            })
            .ok_or_else(wanting)
    }

    /// Design flow and least pressure of a fixture's outlet for the formula of peak flow.
    ///
    /// # Errors
    /// Where the code lists none for that use.
    pub fn design_flow_of(
        &self,
        kind: &str,
        variant: &str,
        by: Use,
    ) -> Result<Cited<OutletNeed>, NoValue> {
        let asked = || format!("the design flow of a {kind} for {by} use");
        let table = self.table(TableId::DesignFlows, asked)?;
        let loads = self.table(TableId::WaterLoads, asked)?;
        let line = self.line(kind, variant)?.water[by as usize];
        line.and_then(|line| table.row_named(loads.text(line, 0)?))
            .and_then(|row| {
                let need = OutletNeed {
                    flow_lps: table.number(row, 2)?,
                    pressure_pa: table.number(row, 3),
                };
                Some(table.cited(row, 2, need))
            })
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Where the formula of peak flow stands, where the code's rule is one.
    pub fn peak_cite(&self) -> Option<&Cite> {
        let table = self.table(TableId::PeakFlow, String::new).ok()?;
        Some(&table.cite)
    }
}
