//! What a code says of fuel gas: capacities by length, fittings, usual inputs of appliances.

use wyeline_units::Size;

use crate::cite::{Cited, NoValue};
use crate::pack::Pack;
use crate::pipes::Fit;
use crate::spec::TableId;
use crate::supply::{fit_along, size_column};
use crate::table::Table;

/// Inlet pressure and pressure drop for which a table of capacities holds; schedule 40 pipe, natural gas of
/// specific gravity 0.60.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum GasDrop {
    /// 0.5 in w.c., inlet below 2 psi.
    HalfInch,
    /// 3 in w.c., inlet 8 in w.c. or more.
    ThreeInch,
    /// 6 in w.c., inlet 11 in w.c. or more.
    SixInch,
    /// 1 psi, inlet 2 psi.
    OnePsi,
    /// 2 psi, inlet 3 psi.
    TwoPsi,
}

impl GasDrop {
    fn table(self) -> TableId {
        match self {
            Self::HalfInch => TableId::GasHalfInch,
            Self::ThreeInch => TableId::GasThreeInch,
            Self::SixInch => TableId::GasSixInch,
            Self::OnePsi => TableId::GasOnePsi,
            Self::TwoPsi => TableId::GasTwoPsi,
        }
    }
}

impl Pack {
    /// The table of capacities for a pressure drop.
    ///
    /// # Errors
    /// Where the pack does not hold it.
    pub fn gas_table(&self, drop: GasDrop) -> Result<&Table, NoValue> {
        self.table(drop.table(), || "fuel gas".to_owned())
    }

    /// The least gas pipe for a demand in cubic feet an hour, read at the next length up.
    ///
    /// # Errors
    /// Where the length or the demand is above the table.
    pub fn least_gas_pipe(
        &self,
        drop: GasDrop,
        length_mm: f64,
        cfh: f64,
    ) -> Result<Cited<Fit>, NoValue> {
        let asked = || format!("{cfh:.0} cfh of gas over {:.1} m", length_mm / 1000.0);
        let table = self.table(drop.table(), asked)?;
        table
            .first_holding(0, length_mm - 1e-6)
            .and_then(|(row, _)| fit_along(table, row, cfh))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Most gas in pipe of a size, cubic feet an hour, read at the next length up.
    ///
    /// # Errors
    /// Where the size or the length is not in the table.
    pub fn gas_allows(
        &self,
        drop: GasDrop,
        size: Size,
        length_mm: f64,
    ) -> Result<Cited<f64>, NoValue> {
        let asked = || format!("{size} gas pipe over {:.1} m", length_mm / 1000.0);
        let table = self.table(drop.table(), asked)?;
        let row = table.first_holding(0, length_mm - 1e-6).map(|(row, _)| row);
        let column = size_column(table, size)
            .filter(|column| table.columns[*column].head == Some(crate::Value::Size(size)));
        row.zip(column)
            .and_then(|(row, column)| Some(table.cited(row, column, table.number(row, column)?)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Length of pipe, mm, that loses as much as a screwed fitting (`elbow-90`, `elbow-45`, `tee-branch`).
    ///
    /// # Errors
    /// Where the table does not list it.
    pub fn gas_fitting(&self, fitting: &str, size: Size) -> Result<Cited<f64>, NoValue> {
        let asked = || format!("a {size} {fitting} in a gas pipe");
        let table = self.table(TableId::GasFittings, asked)?;
        let row = table.row_named(fitting);
        row.zip(size_column(table, size))
            .and_then(|(row, column)| Some(table.cited(row, column, table.number(row, column)?)))
            .ok_or_else(|| Self::says_nothing(table, asked()))
    }

    /// Usual input of an appliance, W; its rating plate goes first. An empty variant is the usual one.
    ///
    /// # Errors
    /// Where the table does not list it.
    pub fn gas_input(&self, kind: &str, variant: &str) -> Result<Cited<f64>, NoValue> {
        let asked = || format!("the gas input of a {kind}");
        let table = self.table(TableId::GasInputs, asked)?;
        let is = |row: &usize| {
            table.text(*row, 0).is_some_and(|held| &**held == kind)
                && table.text(*row, 1).map_or("", |held| held) == variant
        };
        (0..table.rows.len())
            .find(is)
            .and_then(|row| Some(table.cited(row, 2, table.number(row, 2)?)))
            .ok_or_else(|| {
                let mut missing = Self::says_nothing(table, asked());
                "state its input from the rating plate".clone_into(&mut missing.help);
                missing
            })
    }
}
