//! A table as it is printed: columns with units, rows of cells, each cell with where it comes from.

use std::fmt;
use std::sync::Arc;

use wyeline_units::{Size, Slope};

use crate::cite::{Cite, Cited};
use crate::spec::{Spec, TableId};
use crate::unit::Unit;

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A dash: not permitted, or not printed.
    Dash,
    /// No limit.
    NoLimit,
    /// A number in the column's unit.
    Number(f64),
    /// A nominal size.
    Size(Size),
    /// A slope.
    Slope(Slope),
    /// Yes or no.
    Flag(bool),
    /// Words.
    Text(Arc<str>),
}

impl fmt::Display for Value {
    /// As it is written in a data file.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Dash => f.write_str("-"),
            Self::NoLimit => f.write_str("no limit"),
            Self::Number(number) => write!(f, "{number}"),
            Self::Size(size) => write!(f, "{size}"),
            Self::Slope(slope) => f.write_str(&shown(*slope)),
            Self::Flag(flag) => f.write_str(if *flag { "yes" } else { "no" }),
            Self::Text(text) => f.write_str(text),
        }
    }
}

/// A slope as sixteenths of an inch per foot where it is a whole number of them, else as a ratio.
pub(crate) fn shown(slope: Slope) -> String {
    let (fall, run) = slope.terms();
    if u64::from(fall) * 192 % u64::from(run).max(1) == 0 {
        slope.show(wyeline_units::UnitSystem::FeetInches)
    } else {
        slope.to_string()
    }
}

/// A value with its unit and where it comes from.
#[derive(Clone, Debug)]
pub struct Cell {
    /// What stands there.
    pub value: Value,
    /// Where it comes from.
    pub cite: Cite,
}

/// A column.
#[derive(Clone, Debug)]
pub struct Column {
    /// Its name.
    pub name: Arc<str>,
    /// Its unit as written.
    pub unit: &'static Unit,
    /// What the name stands for in a column whose head is a value: a slope, a size, a length.
    pub head: Option<Value>,
    /// The same as a number in the unit of answers, where it is one.
    pub head_number: f64,
    /// The data file has it; a column that a table of this sort may have, but this one has not, holds dashes.
    pub held: bool,
}

/// A row.
#[derive(Clone, Debug)]
pub struct Row {
    /// One for each column.
    pub cells: Box<[Cell]>,
    /// What the row's source leaves in doubt.
    pub remark: Option<Arc<str>>,
}

/// A table of a code.
#[derive(Clone, Debug)]
pub struct Table {
    /// What it is.
    pub id: TableId,
    /// Its title, in our words.
    pub title: Arc<str>,
    /// Where it stands, and how most of it was come by.
    pub cite: Cite,
    /// What is doubtful about it, and where its sources disagree.
    pub remarks: Vec<Arc<str>>,
    /// Its columns: first those that name a row.
    pub columns: Vec<Column>,
    /// Its rows.
    pub rows: Vec<Row>,
}

impl Table {
    /// What a table of this sort holds.
    pub fn spec(&self) -> &'static Spec {
        self.id.spec()
    }
    /// Its name (`vents-by-length`).
    pub fn name(&self) -> &'static str {
        self.spec().name
    }
    /// How a cell is addressed by an amendment: the row's keys and the column's name (`3" branch`).
    pub fn key(&self, row: usize, column: usize) -> String {
        let mut key = self.row_name(row);
        key.push(' ');
        key.push_str(&self.columns[column].name);
        key
    }
    /// The keys of a row, with spaces between.
    pub fn row_name(&self, row: usize) -> String {
        let mut name = String::new();
        for cell in &self.rows[row].cells[..self.spec().keys()] {
            if !name.is_empty() {
                name.push(' ');
            }
            name.push_str(&cell.value.to_string());
        }
        name
    }

    /// A cell's number in the unit of answers; infinite for `no limit`, nothing for a dash.
    pub(crate) fn number(&self, row: usize, column: usize) -> Option<f64> {
        match self.rows[row].cells[column].value {
            Value::Number(number) => Some(self.columns[column].unit.canonical(number)),
            Value::NoLimit => Some(f64::INFINITY),
            _ => None,
        }
    }
    /// A cell's size.
    pub(crate) fn size(&self, row: usize, column: usize) -> Option<Size> {
        match self.rows[row].cells[column].value {
            Value::Size(size) => Some(size),
            _ => None,
        }
    }
    /// A cell's slope.
    pub(crate) fn slope(&self, row: usize, column: usize) -> Option<Slope> {
        match self.rows[row].cells[column].value {
            Value::Slope(slope) => Some(slope),
            _ => None,
        }
    }
    /// A cell's words.
    pub(crate) fn text(&self, row: usize, column: usize) -> Option<&Arc<str>> {
        match &self.rows[row].cells[column].value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }
    /// A value with where the cell that gave it comes from.
    pub(crate) fn cited<T>(&self, row: usize, column: usize, value: T) -> Cited<T> {
        Cited {
            value,
            cite: self.rows[row].cells[column].cite.clone(),
        }
    }
    /// The row whose first key is that size.
    pub(crate) fn row_of(&self, size: Size) -> Option<usize> {
        (0..self.rows.len()).find(|&row| self.size(row, 0) == Some(size))
    }
    /// The row whose first key is that word.
    pub(crate) fn row_named(&self, word: &str) -> Option<usize> {
        (0..self.rows.len()).find(|&row| self.text(row, 0).is_some_and(|text| &**text == word))
    }
    /// The first row whose number in a column is not less than `load`, with that number.
    pub(crate) fn first_holding(&self, column: usize, load: f64) -> Option<(usize, f64)> {
        (0..self.rows.len()).find_map(|row| {
            self.number(row, column)
                .filter(|&holds| holds >= load)
                .map(|holds| (row, holds))
        })
    }
}
