//! Reads the data files of a code and refuses what cannot be right, with the file and the row.
//!
//! In: the texts of a folder. Out: a [`Pack`], or everything that is wrong with them.

use std::fmt;

use serde::Deserialize;
use wyeline_units::Size;

use crate::cells::{read_row, read_value, split_notes};
use crate::cite::{Cite, How};
use crate::common;
use crate::judge;
use crate::pack::{Absent, Family, Pack, Rule};
use crate::rules::{RULES, RuleSpec};
use crate::spec::{SPECS, TableId};
use crate::table::{Column, Table, Value};
use crate::unit::{Dim, Unit};

/// What is wrong with a data file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BadData {
    /// The file.
    pub file: String,
    /// The row, counted from 1, where it is one row's fault.
    pub row: Option<usize>,
    /// What is wrong.
    pub message: String,
}

impl fmt::Display for BadData {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.row {
            Some(row) => write!(f, "{}, row {row}: {}", self.file, self.message),
            None => write!(f, "{}: {}", self.file, self.message),
        }
    }
}

impl std::error::Error for BadData {}

/// The file that says which code the folder holds.
const HEAD: &str = "pack.toml";

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct HeadFile {
    id: String,
    name: String,
    family: Family,
    document: String,
    sizes: Vec<String>,
    #[serde(default)]
    remarks: Vec<String>,
    #[serde(default)]
    absent: Vec<AbsentFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AbsentFile {
    table: String,
    place: String,
    help: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct TableFile {
    table: String,
    #[serde(default)]
    title: String,
    #[serde(default)]
    document: String,
    #[serde(default)]
    place: String,
    how: Option<How>,
    count: usize,
    #[serde(default)]
    remarks: Vec<String>,
    #[serde(default)]
    columns: Vec<ColumnFile>,
    rows: Vec<Vec<toml::Value>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ColumnFile {
    name: String,
    unit: String,
}

/// Gathers what is wrong with one file.
pub(crate) struct Faults<'a> {
    pub file: &'a str,
    pub found: Vec<BadData>,
}

impl Faults<'_> {
    pub(crate) fn at(&mut self, row: Option<usize>, message: impl Into<String>) {
        self.found.push(BadData {
            file: self.file.to_owned(),
            row: row.map(|row| row + 1),
            message: message.into(),
        });
    }
}

impl Pack {
    /// Reads a code from the names and texts of its files: `pack.toml`, and one file for each table.
    ///
    /// # Errors
    /// Everything that is wrong: a row missing or twice, a column that falls where it must rise, a wrong unit,
    /// an unknown kind of fixture, a citation missing, and what cannot be read at all.
    pub fn read(files: &[(&str, &str)]) -> Result<Self, Vec<BadData>> {
        let head = files.iter().find(|(name, _)| *name == HEAD);
        let Some((_, text)) = head else {
            return Err(vec![BadData {
                file: HEAD.to_owned(),
                row: None,
                message: "the folder has no such file".to_owned(),
            }]);
        };
        let mut pack = read_head(text)?;
        let mut faults = Vec::new();
        for (name, text) in files.iter().filter(|(name, _)| *name != HEAD) {
            let mut here = Faults {
                file: name,
                found: Vec::new(),
            };
            read_file(&mut pack, text, &mut here);
            faults.append(&mut here.found);
        }
        if faults.is_empty() {
            faults = judge::references(&pack);
        }
        if faults.is_empty() {
            pack.index();
            Ok(pack)
        } else {
            Err(faults)
        }
    }
}

fn read_head(text: &str) -> Result<Pack, Vec<BadData>> {
    let mut faults = Faults {
        file: HEAD,
        found: Vec::new(),
    };
    let head: HeadFile = match toml::from_str(text) {
        Ok(head) => head,
        Err(error) => {
            faults.at(None, error.to_string());
            return Err(faults.found);
        }
    };
    if head.document.trim().is_empty() {
        faults.at(None, "no citation: `document` is empty");
    }
    let mut sizes: Vec<Size> = Vec::new();
    for (row, text) in head.sizes.iter().enumerate() {
        match text.parse() {
            Ok(size) if sizes.last().is_none_or(|last| *last < size) => sizes.push(size),
            Ok(_) => faults.at(
                Some(row),
                format!("size {text} is not above the one before"),
            ),
            Err(error) => faults.at(Some(row), format!("`{text}`: {error}")),
        }
    }
    let mut absent = Vec::new();
    for (row, said) in head.absent.iter().enumerate() {
        match TableId::named(&said.table) {
            Some(table) => absent.push(Absent {
                table,
                place: said.place.as_str().into(),
                help: said.help.as_str().into(),
            }),
            None => faults.at(Some(row), unknown_table(&said.table)),
        }
    }
    if !faults.found.is_empty() {
        return Err(faults.found);
    }
    Ok(Pack {
        id: head.id.into(),
        name: head.name.into(),
        family: head.family,
        document: head.document.into(),
        sizes,
        remarks: head.remarks.into_iter().map(Into::into).collect(),
        tables: SPECS.iter().map(|_| None).collect(),
        rules: RULES.iter().map(|_| None).collect(),
        absent,
        amended: Vec::new(),
        beside: Vec::new(),
        lines: Vec::new(),
    })
}

pub(crate) fn unknown_table(name: &str) -> String {
    let near = wyeline_job::did_you_mean(name, SPECS.iter().map(|spec| spec.name));
    let near = near.map(|near| format!("; {near}")).unwrap_or_default();
    format!("there is no table `{name}`{near}")
}

fn read_file(pack: &mut Pack, text: &str, faults: &mut Faults) {
    let file: TableFile = match toml::from_str(text) {
        Ok(file) => file,
        Err(error) => return faults.at(None, error.to_string()),
    };
    if file.count != file.rows.len() {
        faults.at(
            Some(file.rows.len().min(file.count)),
            format!(
                "a row is missing or too many: `count` says {}, {} stand here",
                file.count,
                file.rows.len()
            ),
        );
    }
    if file.document.trim().is_empty() {
        faults.at(None, "no citation: `document` is missing");
    }
    if file.table == "rules" {
        return read_rules(pack, &file, faults);
    }
    if file.place.trim().is_empty() {
        faults.at(None, "no citation: `place` (table or section) is missing");
    }
    let Some(how) = file.how else {
        return faults.at(None, "no citation: `how` (seen, memory …) is missing");
    };
    let Some(id) = TableId::named(&file.table) else {
        return faults.at(None, unknown_table(&file.table));
    };
    if pack.tables[id as usize].is_some() {
        return faults.at(None, format!("table `{}` stands in two files", file.table));
    }
    let cite = Cite {
        document: file.document.as_str().into(),
        place: file.place.as_str().into(),
        how,
    };
    let Some((columns, order)) = read_columns(id, &file.columns, pack.family, faults) else {
        return;
    };
    let mut rows = Vec::with_capacity(file.rows.len());
    for (at, cells) in file.rows.iter().enumerate() {
        match read_row(cells, &columns, &order, &cite) {
            Ok(row) => rows.push(row),
            Err(message) => faults.at(Some(at), message),
        }
    }
    let table = Table {
        id,
        title: file.title.into(),
        cite,
        remarks: file.remarks.into_iter().map(Into::into).collect(),
        columns,
        rows,
    };
    judge::table(&table, &pack.sizes, faults);
    pack.tables[id as usize] = Some(table);
}

/// The columns in the order of the specification, and for each column of the file where it goes.
fn read_columns(
    id: TableId,
    written: &[ColumnFile],
    family: Family,
    faults: &mut Faults,
) -> Option<(Vec<Column>, Vec<usize>)> {
    let spec = id.spec();
    let before = faults.found.len();
    let mut columns: Vec<Column> = Vec::with_capacity(written.len());
    for wanted in spec.columns {
        let held = written.iter().find(|column| column.name == wanted.name);
        if held.is_none() && !wanted.optional {
            faults.at(None, format!("column `{}` is missing", wanted.name));
        }
        let unit = held.map_or(wanted.dim.unit(family), |column| &column.unit);
        columns.push(Column {
            name: wanted.name.into(),
            unit: column_unit(unit, wanted.name, wanted.dim, family, faults)?,
            head: None,
            head_number: 0.0,
            held: held.is_some(),
        });
    }
    let mut order = Vec::with_capacity(written.len());
    for column in written {
        if let Some(at) = spec
            .columns
            .iter()
            .position(|spec| spec.name == column.name)
        {
            order.push(at);
            continue;
        }
        let Some(open) = spec.open else {
            faults.at(None, format!("column `{}` is not known", column.name));
            continue;
        };
        let Some((head, head_number)) = read_head_of(&column.name, open.head) else {
            faults.at(
                None,
                format!("column `{}` is not a {:?}", column.name, open.head),
            );
            continue;
        };
        order.push(columns.len());
        columns.push(Column {
            name: column.name.as_str().into(),
            unit: column_unit(&column.unit, &column.name, open.dim, family, faults)?,
            head: Some(head),
            head_number,
            held: true,
        });
    }
    (faults.found.len() == before).then_some((columns, order))
}

fn column_unit(
    unit: &str,
    column: &str,
    dim: Dim,
    family: Family,
    faults: &mut Faults,
) -> Option<&'static Unit> {
    let found = Unit::named(unit).filter(|unit| dim.takes(unit, family));
    if found.is_none() {
        faults.at(
            None,
            format!(
                "column `{column}` is in `{unit}`: a wrong unit, it should be {} or its like",
                dim.unit(family)
            ),
        );
    }
    found
}

/// A column's name as the value it stands for, and as a number in the unit of answers.
fn read_head_of(name: &str, dim: Dim) -> Option<(Value, f64)> {
    match dim {
        Dim::Slope => {
            let slope: wyeline_units::Slope = name.parse().ok()?;
            Some((Value::Slope(slope), slope.ratio()))
        }
        Dim::Size => {
            let size: Size = name.parse().ok()?;
            Some((Value::Size(size), common::nominal_mm(size)))
        }
        _ => {
            let (number, unit) = name.split_once(' ')?;
            let number: f64 = number.parse().ok()?;
            let unit = Unit::named(unit).filter(|unit| unit.dim == dim)?;
            Some((Value::Number(number), unit.canonical(number)))
        }
    }
}

/// Rows of single values: key, value, unit, section, how it was come by.
fn read_rules(pack: &mut Pack, file: &TableFile, faults: &mut Faults) {
    for (at, cells) in file.rows.iter().enumerate() {
        match read_rule(cells, &file.document, pack.family) {
            Ok((slot, _)) if pack.rules[slot].is_some() => {
                faults.at(Some(at), format!("`{}` stands twice", RULES[slot].key));
            }
            Ok((slot, rule)) => pack.rules[slot] = Some(rule),
            Err(message) => faults.at(Some(at), message),
        }
    }
}

fn read_rule(
    cells: &[toml::Value],
    document: &str,
    family: Family,
) -> Result<(usize, Rule), String> {
    let (cells, notes) = split_notes(cells)?;
    let [key, value, unit, place, how] = cells else {
        return Err("a row is key, value, unit, section, how".to_owned());
    };
    let text = |value: &toml::Value, what: &str| {
        value
            .as_str()
            .filter(|text| !text.trim().is_empty())
            .map(ToOwned::to_owned)
            .ok_or_else(|| format!("no {what}"))
    };
    let key = text(key, "key")?;
    let slot = RULES
        .binary_search_by(|spec| spec.key.cmp(&key))
        .map_err(|_| unknown_rule(&key))?;
    let dim = RULES[slot].dim;
    let written = text(unit, "unit")?;
    let unit = Unit::named(&written)
        .filter(|unit| dim.takes(unit, family))
        .ok_or_else(|| {
            format!(
                "`{key}` is in `{written}`: a wrong unit, it should be {} or its like",
                dim.unit(family)
            )
        })?;
    let rule = Rule {
        value: read_value(value, dim)?,
        unit,
        cite: Cite {
            document: notes.document.as_deref().unwrap_or(document).into(),
            place: text(place, "citation: the section is missing")?.into(),
            how: How::deserialize(how.clone()).map_err(|error| format!("no citation: {error}"))?,
        },
        remark: notes.remark.map(Into::into),
    };
    Ok((slot, rule))
}

pub(crate) fn unknown_rule(key: &str) -> String {
    let near = wyeline_job::did_you_mean(key, RULES.iter().map(|spec: &RuleSpec| spec.key));
    let near = near.map(|near| format!("; {near}")).unwrap_or_default();
    format!("there is no single value `{key}`{near}")
}
