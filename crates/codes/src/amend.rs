//! Local amendments: values that a job puts in place of the code's, each with its own citation.

use std::sync::Arc;

use wyeline_job::{Diagnostic, Span, did_you_mean};

use crate::cells::read_text;
use crate::cite::{Cite, Cited, How};
use crate::pack::{Amended, AmendedBeside, Pack};
use crate::rules::RULES;
use crate::spec::{SPECS, TableId};
use crate::table::Value;
use crate::unit::{Dim, Unit};

/// A value that holds locally in place of the code's.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Amendment {
    /// The table's name (`branches-and-stacks`), or `rules` for a single value.
    pub table: String,
    /// The row's keys and the column (`3" branch`), or the name of a single value.
    pub key: String,
    /// The value as written: a number, a size, a slope, `yes`, `no`, `no limit`, `-`, a word.
    pub value: String,
    /// Its unit as in data files; empty for the unit of the code's own value.
    pub unit: String,
    /// Its citation: ordinance and section.
    pub by: String,
    /// Its place in the job.
    pub span: Span,
}

/// A table of figures that a later stage holds beside the code's own, so that a job may amend them like those.
#[derive(Debug)]
pub struct Beside {
    /// Its name in amendments.
    pub table: &'static str,
    /// Its figures.
    pub held: Vec<HeldBeside>,
}

/// A figure of such a table.
#[derive(Debug)]
pub struct HeldBeside {
    /// Its name.
    pub key: &'static str,
    /// The unit it is written in.
    pub unit: &'static Unit,
    /// What it is by the code in force, in the unit of answers; nothing where the code has no such rule.
    pub value: Option<Cited<f64>>,
}

/// Keys are compared without capitals, with single spaces, and with inches and slopes written
/// out: `3 in 1/8 in per ft`.
fn plain(key: &str) -> String {
    let key = key.to_lowercase().replace(['"', '″', '”', '“'], " in ");
    let key = key.replace("/ft", " per ft");
    key.split_whitespace().collect::<Vec<_>>().join(" ")
}

impl Pack {
    /// The code with a job's amendments of its own values, and what could not be understood of them.
    pub fn amended(&self, amendments: &[Amendment]) -> (Self, Vec<Diagnostic>) {
        self.amended_with(amendments, &[])
    }

    /// The same where tables of later stages may be amended too.
    pub fn amended_with(
        &self,
        amendments: &[Amendment],
        beside: &[Beside],
    ) -> (Self, Vec<Diagnostic>) {
        let mut pack = self.clone();
        let mut said = Vec::new();
        for amendment in amendments {
            if let Err(diagnostic) = pack.amend(amendment, beside) {
                said.push(*diagnostic);
            }
        }
        pack.index();
        (pack, said)
    }

    fn amend(&mut self, amendment: &Amendment, beside: &[Beside]) -> Result<(), Box<Diagnostic>> {
        let span = amendment.span;
        if amendment.by.trim().is_empty() {
            return Err(Box::new(
                Diagnostic::mistake(
                    "amendment-without-source",
                    span,
                    "this amendment names no source",
                )
                .help("say which ordinance and section it stands in"),
            ));
        }
        if amendment.table == "rules" {
            return self.amend_rule(amendment);
        }
        if let Some(table) = beside.iter().find(|one| one.table == amendment.table) {
            return self.amend_beside(amendment, table);
        }
        let Some(id) = TableId::named(&amendment.table) else {
            let beside = beside.iter().map(|one| one.table);
            let names = SPECS.iter().map(|spec| spec.name);
            let names = names.chain(["rules"]).chain(beside);
            let help = did_you_mean(&amendment.table, names)
                .unwrap_or_else(|| "tables are listed with the code".to_owned());
            let message = format!("no code has a table `{}`", amendment.table);
            return Err(Box::new(
                Diagnostic::mistake("unknown-code-table", span, message).help(help),
            ));
        };
        let family = self.family;
        let Some(table) = self.tables[id as usize].as_mut() else {
            let message = format!("{} holds no table `{}`", self.document, amendment.table);
            return Err(Box::new(
                Diagnostic::mistake("unknown-code-table", span, message)
                    .help("only values that are held can be amended"),
            ));
        };
        let wanted = plain(&amendment.key);
        let keys = id.spec().keys();
        let held = |column: &usize| table.columns[*column].held;
        let columns: Vec<_> = (keys..table.columns.len()).filter(held).collect();
        let cells =
            (0..table.rows.len()).flat_map(|row| columns.iter().map(move |&column| (row, column)));
        let named: Vec<_> = cells
            .map(|(row, column)| (plain(&table.key(row, column)), row, column))
            .collect();
        let Some(&(_, row, column)) = named.iter().find(|(name, ..)| *name == wanted) else {
            return Err(Box::new(unknown_key(
                amendment,
                named.iter().map(|(name, ..)| name.as_str()),
            )));
        };
        let unit = table.columns[column].unit;
        let value = read_amended(amendment, unit, unit.dim, family)?;
        let cell = &mut table.rows[row].cells[column];
        let was = shown(&cell.value, unit);
        let here = local(amendment, &cell.cite);
        let instead_of = std::mem::replace(&mut cell.cite, here);
        cell.value = value;
        let now = shown(&cell.value, unit);
        self.note(amendment, was, now, instead_of);
        Ok(())
    }

    fn amend_beside(
        &mut self,
        amendment: &Amendment,
        table: &Beside,
    ) -> Result<(), Box<Diagnostic>> {
        let Some(held) = table.held.iter().find(|one| one.key == amendment.key) else {
            let keys = table.held.iter().map(|one| one.key);
            return Err(Box::new(unknown_key(amendment, keys)));
        };
        let read = read_amended(amendment, held.unit, held.unit.dim, self.family)?;
        let Value::Number(number) = read else {
            let message = format!("`{}` is no figure", amendment.value);
            return Err(Box::new(
                Diagnostic::mistake("amendment-value", amendment.span, message)
                    .expected("expected a number and its unit"),
            ));
        };
        let is = |one: &AmendedBeside| one.table == table.table && one.key == held.key;
        let before = self.beside.iter().position(is);
        let before = before.map(|at| self.beside.swap_remove(at).value);
        // A figure that the code does not state can be stated locally.
        let (was, instead_of) = before.as_ref().or(held.value.as_ref()).map_or_else(
            || ("nothing".to_owned(), self.nowhere()),
            |value| {
                let number = (held.unit.written(value.value) * 1e9).round() / 1e9;
                let was = shown(&Value::Number(number), held.unit);
                (was, value.cite.clone())
            },
        );
        let now = shown(&Value::Number(number), held.unit);
        self.beside.push(AmendedBeside {
            table: table.table,
            key: held.key,
            value: Cited {
                value: held.unit.canonical(number),
                cite: local(amendment, &instead_of),
            },
        });
        self.note(amendment, was, now, instead_of);
        Ok(())
    }

    /// Where a value stands that the code does not state.
    fn nowhere(&self) -> Cite {
        Cite {
            document: self.document.clone(),
            place: "as held here".into(),
            how: How::Seen,
        }
    }

    fn amend_rule(&mut self, amendment: &Amendment) -> Result<(), Box<Diagnostic>> {
        let Ok(slot) = RULES.binary_search_by(|spec| spec.key.cmp(&amendment.key)) else {
            let keys = RULES.iter().map(|spec| spec.key);
            return Err(Box::new(unknown_key(amendment, keys)));
        };
        let dim = RULES[slot].dim;
        let held = self.rules[slot].take();
        // A value that the code does not state can be stated locally.
        let unit = held
            .as_ref()
            .map(|rule| rule.unit)
            .or_else(|| Unit::named(dim.unit(self.family)))
            .ok_or_else(|| Box::new(unknown_key(amendment, [])))?;
        let read = read_amended(amendment, unit, dim, self.family);
        let (was, cite, remark) = held.as_ref().map_or_else(
            || ("nothing".to_owned(), self.nowhere(), None),
            |rule| {
                (
                    shown(&rule.value, unit),
                    rule.cite.clone(),
                    rule.remark.clone(),
                )
            },
        );
        let value = match read {
            Ok(value) => value,
            Err(diagnostic) => {
                self.rules[slot] = held;
                return Err(diagnostic);
            }
        };
        let now = shown(&value, unit);
        self.rules[slot] = Some(crate::pack::Rule {
            value,
            unit,
            cite: local(amendment, &cite),
            remark,
        });
        self.note(amendment, was, now, cite);
        Ok(())
    }

    fn note(&mut self, amendment: &Amendment, was: String, now: String, instead_of: Cite) {
        self.amended.push(Amended {
            table: amendment.table.as_str().into(),
            key: amendment.key.clone(),
            was,
            now,
            instead_of,
            by: amendment.by.as_str().into(),
            span: amendment.span,
        });
    }
}

/// The citation of an amended value: the amendment's own, and what it replaces.
fn local(amendment: &Amendment, instead_of: &Cite) -> Cite {
    Cite {
        document: amendment.by.as_str().into(),
        place: Arc::from(format!(
            "in place of {} {}",
            instead_of.document, instead_of.place
        )),
        how: How::Local,
    }
}

fn shown(value: &Value, unit: &Unit) -> String {
    match value {
        Value::Number(number) if unit.dim != Dim::Number => format!("{number} {}", unit.name),
        value => value.to_string(),
    }
}

fn unknown_key<'a>(amendment: &Amendment, keys: impl IntoIterator<Item = &'a str>) -> Diagnostic {
    let message = format!(
        "table `{}` has no value `{}`",
        amendment.table, amendment.key
    );
    let help = did_you_mean(&plain(&amendment.key), keys).unwrap_or_else(|| {
        "a value is named by the keys of its row and its column, as `3 in branch`".to_owned()
    });
    Diagnostic::mistake("unknown-code-value", amendment.span, message).help(help)
}

/// The amendment's value in the unit of the code's own.
fn read_amended(
    amendment: &Amendment,
    own: &'static Unit,
    dim: Dim,
    family: crate::Family,
) -> Result<Value, Box<Diagnostic>> {
    let wrong = |message: String| {
        Box::new(Diagnostic::mistake(
            "amendment-value",
            amendment.span,
            message,
        ))
    };
    if dim == Dim::Size && !amendment.unit.is_empty() {
        // A size may come parted into its number and `in` or `mm`.
        let size = format!("{} {}", amendment.value, amendment.unit);
        return read_text(&size, dim).map_err(wrong);
    }
    let written = match amendment.unit.as_str() {
        "" => own,
        // Loads of other codes are other things, whatever they measure.
        name => Unit::named(name)
            .filter(|unit| {
                if matches!(dim, Dim::Drain | Dim::Supply) {
                    dim.takes(unit, family) || unit.name == own.name
                } else {
                    unit.dim == own.dim
                }
            })
            .ok_or_else(|| {
                wrong(format!(
                    "`{name}` is a wrong unit here; the code's own is {}",
                    own.name
                ))
            })?,
    };
    let value = read_text(&amendment.value, dim).map_err(wrong)?;
    Ok(match value {
        Value::Number(number) if written.name != own.name => {
            // Two conversions leave a last digit that nobody wrote.
            let number = own.written(written.canonical(number));
            Value::Number((number * 1e9).round() / 1e9)
        }
        value => value,
    })
}
