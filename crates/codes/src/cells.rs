//! Reads the cells of a data file: numbers, sizes, slopes, words, and what a row says of itself.

use serde::Deserialize;

use crate::cite::{Cite, How};
use crate::common;
use crate::table::{Cell, Column, Row, Value};
use crate::unit::Dim;

/// The last entry of a row: what holds for it alone.
#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RowNotes {
    pub document: Option<String>,
    pub place: Option<String>,
    pub how: Option<How>,
    /// Columns read in the document named.
    #[serde(default)]
    pub seen: Vec<String>,
    /// Columns from memory.
    #[serde(default)]
    pub memory: Vec<String>,
    /// Columns worked out from others.
    #[serde(default)]
    pub computed: Vec<String>,
    pub remark: Option<String>,
}

/// A row of the file as cells in the order of the specification.
pub(crate) fn read_row(
    cells: &[toml::Value],
    columns: &[Column],
    order: &[usize],
    cite: &Cite,
) -> Result<Row, String> {
    let (cells, notes) = split_notes(cells)?;
    if cells.len() != order.len() {
        return Err(format!(
            "{} columns are named, {} cells stand here",
            order.len(),
            cells.len()
        ));
    }
    let cite = Cite {
        document: notes
            .document
            .map_or_else(|| cite.document.clone(), Into::into),
        place: notes.place.map_or_else(|| cite.place.clone(), Into::into),
        how: notes.how.unwrap_or(cite.how),
    };
    if let Some(name) = notes
        .seen
        .iter()
        .chain(&notes.memory)
        .chain(&notes.computed)
        .find(|name| !columns.iter().any(|column| *column.name == ***name))
    {
        return Err(format!(
            "a remark is about column `{name}`, which is not there"
        ));
    }
    let how_of = |column: &Column| {
        let names = |list: &[String]| list.iter().any(|name| **name == *column.name);
        if names(&notes.memory) {
            How::Memory
        } else if names(&notes.seen) {
            How::Seen
        } else if names(&notes.computed) {
            How::Computed
        } else {
            cite.how
        }
    };
    let mut row: Vec<Cell> = columns
        .iter()
        .map(|column| Cell {
            value: Value::Dash,
            cite: Cite {
                how: how_of(column),
                ..cite.clone()
            },
        })
        .collect();
    for (cell, &at) in cells.iter().zip(order) {
        row[at].value = read_value(cell, columns[at].unit.dim)
            .map_err(|expected| format!("column `{}`: {expected}", columns[at].name))?;
    }
    Ok(Row {
        cells: row.into(),
        remark: notes.remark.map(Into::into),
    })
}

pub(crate) fn split_notes(cells: &[toml::Value]) -> Result<(&[toml::Value], RowNotes), String> {
    match cells.split_last() {
        Some((notes @ toml::Value::Table(_), cells)) => {
            let notes = RowNotes::deserialize(notes.clone()).map_err(|error| error.to_string())?;
            Ok((cells, notes))
        }
        _ => Ok((cells, RowNotes::default())),
    }
}

/// A cell of the file as a value.
pub(crate) fn read_value(cell: &toml::Value, dim: Dim) -> Result<Value, String> {
    match cell {
        toml::Value::Integer(number) => read_number(*number as f64, dim),
        toml::Value::Float(number) => read_number(*number, dim),
        toml::Value::Boolean(flag) if dim == Dim::Flag => Ok(Value::Flag(*flag)),
        toml::Value::String(text) => read_text(text, dim),
        other => Err(format!("`{other}` cannot stand here")),
    }
}

fn read_number(number: f64, dim: Dim) -> Result<Value, String> {
    match dim {
        Dim::Size | Dim::Slope | Dim::Flag | Dim::Text | Dim::Kind => {
            Err(format!("`{number}` is a plain number; a {dim:?} is wanted"))
        }
        _ if number.is_finite() && number >= 0.0 => Ok(Value::Number(number)),
        _ => Err(format!("`{number}` is not a number from 0 up")),
    }
}

/// A written value, of an amendment or a cell in quotes.
pub(crate) fn read_text(text: &str, dim: Dim) -> Result<Value, String> {
    match (text, dim) {
        ("-", _) => Ok(Value::Dash),
        ("no limit", _) => Ok(Value::NoLimit),
        (text, Dim::Size) => text
            .parse()
            .map(Value::Size)
            .map_err(|error| format!("`{text}`: {error}")),
        (text, Dim::Slope) => text
            .parse()
            .map(Value::Slope)
            .map_err(|error| format!("`{text}`: {error}")),
        ("yes", Dim::Flag) => Ok(Value::Flag(true)),
        ("no", Dim::Flag) => Ok(Value::Flag(false)),
        (text, Dim::Flag) => Err(format!("`{text}` is neither yes nor no")),
        (text, Dim::Kind) if !common::is_kind(text) => {
            let near = wyeline_job::did_you_mean(text, common::KINDS.iter().map(String::as_str));
            let near = near.map(|near| format!("; {near}")).unwrap_or_default();
            Err(format!("there is no kind of fixture `{text}`{near}"))
        }
        (text, Dim::Text | Dim::Kind) => Ok(Value::Text(text.into())),
        (text, dim) => match text.parse::<f64>() {
            Ok(number) => read_number(number, dim),
            Err(_) => Err(format!("`{text}` is not a number")),
        },
    }
}
