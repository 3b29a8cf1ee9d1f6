//! Whether a table that could be read can be right: order, gaps, rows twice, columns that run the wrong way.

use wyeline_units::Size;

use crate::load::{BadData, Faults};
use crate::pack::Pack;
use crate::spec::{Course, TableId};
use crate::table::{Table, Value};
use crate::vent::Allowed;

/// Judges one table on its own.
pub(crate) fn table(table: &Table, sizes: &[Size], faults: &mut Faults) {
    let keys = table.spec().keys();
    for row in 0..table.rows.len() {
        if let Some(key) = (0..keys).find(|&key| table.rows[row].cells[key].value == Value::Dash)
            && table.columns[key].unit.dim != crate::unit::Dim::Text
        {
            faults.at(
                Some(row),
                format!(
                    "`{}` names the row and is not there",
                    table.columns[key].name
                ),
            );
        }
        if let Some(first) = (0..row).find(|&first| same(table, first, row, keys)) {
            faults.at(
                Some(row),
                format!(
                    "`{}` stands twice, first in row {}",
                    table.row_name(row),
                    first + 1
                ),
            );
        }
    }
    if table.spec().unbroken {
        unbroken(table, sizes, faults);
    }
    for column in 0..table.columns.len() {
        down(table, column, faults);
    }
    if table.id == TableId::Fittings {
        for (row, column) in (0..table.rows.len())
            .flat_map(|row| (keys..table.columns.len()).map(move |column| (row, column)))
        {
            if let Some(text) = table.text(row, column)
                && Allowed::read(text).is_none()
            {
                faults.at(
                    Some(row),
                    format!("`{text}` is none of yes, no, fixture drains to SIZE"),
                );
            }
        }
    }
    across(table, faults);
}

/// Two rows have the same first `keys` cells.
fn same(table: &Table, a: usize, b: usize, keys: usize) -> bool {
    (0..keys).all(|key| table.rows[a].cells[key].value == table.rows[b].cells[key].value)
}

/// What can be compared: a number, a size, a slope.
fn number(table: &Table, row: usize, column: usize) -> Option<f64> {
    match table.rows[row].cells[column].value {
        Value::Size(size) => Some(crate::common::nominal_mm(size)),
        Value::Slope(slope) => Some(slope.ratio()),
        _ => table.number(row, column),
    }
}

fn unbroken(table: &Table, sizes: &[Size], faults: &mut Faults) {
    let place = |row: usize| {
        let size = table.size(row, 0)?;
        sizes.iter().position(|known| *known == size)
    };
    for row in 0..table.rows.len() {
        match (row.checked_sub(1).and_then(place), place(row)) {
            (_, None) => faults.at(
                Some(row),
                format!("`{}` is not a size of this code", table.row_name(row)),
            ),
            (Some(before), Some(here)) if here > before + 1 => faults.at(
                Some(row),
                format!(
                    "the row for {} is missing before this one",
                    sizes[before + 1]
                ),
            ),
            _ => {}
        }
    }
}

/// Numbers must not run against the course of their column, within rows that share all keys but the last.
fn down(table: &Table, column: usize, faults: &mut Faults) {
    let spec = table.spec();
    let course = match (spec.columns.get(column), spec.open) {
        // Only the last key runs: the others group the rows.
        (Some(col), _) if col.key && column + 1 < spec.keys() => Course::Free,
        (Some(col), _) => col.down,
        (None, Some(open)) => open.down,
        (None, None) => Course::Free,
    };
    let group = spec.keys() - 1;
    let mut last: Option<(usize, f64)> = None;
    for row in 0..table.rows.len() {
        let Some(here) = number(table, row, column) else {
            continue;
        };
        if let Some((before, there)) = last
            && same(table, before, row, group)
            && against(course, there, here)
        {
            faults.at(
                Some(row),
                format!(
                    "column `{}` {} from {} to {}",
                    table.columns[column].name,
                    if course == Course::Rises {
                        "falls"
                    } else {
                        "rises"
                    },
                    table.rows[before].cells[column].value,
                    table.rows[row].cells[column].value
                ),
            );
        }
        last = Some((row, here));
    }
}

fn against(course: Course, before: f64, here: f64) -> bool {
    match course {
        Course::Free => false,
        Course::Rises => here < before,
        Course::Falls => here > before,
    }
}

fn across(table: &Table, faults: &mut Faults) {
    let Some(open) = table.spec().open else {
        return;
    };
    let first = table.spec().columns.len();
    for column in first + 1..table.columns.len() {
        if table.columns[column].head_number <= table.columns[column - 1].head_number {
            faults.at(
                None,
                format!(
                    "column `{}` is not above the one before",
                    table.columns[column].name
                ),
            );
        }
    }
    for row in 0..table.rows.len() {
        let mut last: Option<(usize, f64)> = None;
        for column in first..table.columns.len() {
            let Some(here) = number(table, row, column) else {
                continue;
            };
            if let Some((before, there)) = last
                && against(open.across, there, here)
            {
                let cells = &table.rows[row].cells;
                faults.at(
                    Some(row),
                    format!(
                        "along the row, `{}` has {} and `{}` has {}",
                        table.columns[before].name,
                        cells[before].value,
                        table.columns[column].name,
                        cells[column].value
                    ),
                );
            }
            last = Some((column, here));
        }
    }
}

/// Lines named by the table of fixtures must stand in the tables they point at.
pub(crate) fn references(pack: &Pack) -> Vec<BadData> {
    let Some(fixtures) = pack.held(TableId::Fixtures) else {
        return Vec::new();
    };
    let mut faults = Faults {
        file: "fixtures.toml",
        found: Vec::new(),
    };
    let drains = if pack.held(TableId::DischargeUnits).is_some() {
        TableId::DischargeUnits
    } else {
        TableId::DrainFixtures
    };
    let targets = [
        drains,
        TableId::WaterLoads,
        TableId::Outlets,
        TableId::SupplySizes,
    ];
    for (column, target) in (2..).zip(targets) {
        for row in 0..fixtures.rows.len() {
            let Some(line) = fixtures.text(row, column) else {
                continue;
            };
            if pack
                .held(target)
                .is_none_or(|table| table.row_named(line).is_none())
            {
                faults.at(
                    Some(row),
                    format!("line `{line}` is missing in table `{}`", target.spec().name),
                );
            }
        }
    }
    faults.found
}
