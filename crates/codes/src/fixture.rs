//! From a kind of fixture to the rows of the code's tables that stand for it.

use crate::cite::NoValue;
use crate::pack::{Line, Pack, Use};
use crate::spec::TableId;
use crate::table::Table;

/// Columns of the table of fixtures.
const KIND: usize = 0;
const VARIANT: usize = 1;
const DRAIN: usize = 2;
const WATER: usize = 3;
const OUTLET: usize = 4;
const SUPPLY: usize = 5;

/// The variant that holds where none is said.
pub(crate) const USUAL: &str = "-";

impl Pack {
    /// Finds the rows for every kind once, so that questions need not.
    pub(crate) fn index(&mut self) {
        let mut lines = Vec::new();
        if let Some(table) = self.held(TableId::Fixtures) {
            for row in 0..table.rows.len() {
                let Some(kind) = table.text(row, KIND) else {
                    continue;
                };
                let variant = table.text(row, VARIANT);
                lines.push(Line {
                    kind: kind.clone(),
                    variant: variant.map_or_else(|| USUAL.into(), Clone::clone),
                    drain: self.row_for(table, row, DRAIN, self.drain_lines()),
                    water: self.rows_by_use(table, row, WATER, TableId::WaterLoads),
                    outlet: self.rows_by_use(table, row, OUTLET, TableId::Outlets),
                    supply: self.row_for(table, row, SUPPLY, TableId::SupplySizes),
                });
            }
        }
        lines.sort_by(|a, b| (&a.kind, &a.variant).cmp(&(&b.kind, &b.variant)));
        self.lines = lines;
    }

    /// The table that drain lines stand in.
    pub(crate) fn drain_lines(&self) -> TableId {
        if self.held(TableId::DischargeUnits).is_some() {
            TableId::DischargeUnits
        } else {
            TableId::DrainFixtures
        }
    }

    fn row_for(&self, table: &Table, row: usize, column: usize, target: TableId) -> Option<usize> {
        self.held(target)?.row_named(table.text(row, column)?)
    }

    /// For each use the row of that use, else the row for any; a table without rows for assembly counts it as public.
    fn rows_by_use(
        &self,
        table: &Table,
        row: usize,
        column: usize,
        target: TableId,
    ) -> [Option<usize>; 3] {
        let (Some(line), Some(target)) = (table.text(row, column), self.held(target)) else {
            return [None; 3];
        };
        let is_for =
            |row: usize, word: &str| target.text(row, 1).is_some_and(|held| &**held == word);
        let of = |by: Use| {
            let row_for = |word: &str| {
                (0..target.rows.len())
                    .find(|&row| target.text(row, 0) == Some(line) && is_for(row, word))
            };
            row_for(by.word()).or_else(|| row_for("any"))
        };
        let public = of(Use::Public);
        let tells_assembly = (0..target.rows.len()).any(|row| is_for(row, Use::Assembly.word()));
        let assembly = of(Use::Assembly).or(if tells_assembly { None } else { public });
        [of(Use::Private), public, assembly]
    }

    /// The variants of a kind that the code tells apart (`flushometer`, `over-1.6-gpf`).
    pub fn variants(&self, kind: &str) -> Vec<&str> {
        let of_kind = self.lines.iter().filter(|line| &*line.kind == kind);
        of_kind
            .map(|line| &*line.variant)
            .filter(|variant| *variant != USUAL)
            .collect()
    }

    /// The rows for a kind in a variant; an empty variant is the usual one.
    pub(crate) fn line(&self, kind: &str, variant: &str) -> Result<&Line, NoValue> {
        let variant = if variant.is_empty() { USUAL } else { variant };
        self.lines
            .binary_search_by(|line| (&*line.kind, &*line.variant).cmp(&(kind, variant)))
            .map(|found| &self.lines[found])
            .map_err(|_| {
                let of = if variant == USUAL {
                    String::new()
                } else {
                    format!(" ({variant})")
                };
                let mut missing = self.no_table(TableId::Fixtures, format!("a {kind}{of}"));
                if self.held(TableId::Fixtures).is_some() {
                    missing.help = match self.variants(kind).as_slice() {
                        [] => "state its load in the job".to_owned(),
                        variants => format!("it knows: {}", variants.join(", ")),
                    };
                }
                missing
            })
    }
}
