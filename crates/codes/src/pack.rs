//! A code in force: its tables and single values, and what a job has amended of them.

use std::fmt;
use std::sync::{Arc, LazyLock, OnceLock};

use serde::Deserialize;
use wyeline_units::{Size, Slope};

use crate::cite::{Cite, Cited, NoValue};
use crate::common;
use crate::load::unknown_rule;
use crate::rules::{RULES, RuleSpec};
use crate::spec::TableId;
use crate::table::{Table, Value};
use crate::unit::Unit;

/// Codes that count loads and size pipes the same way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Family {
    /// Drainage fixture units; tables for branches, stacks and building drains (IPC, NPC).
    DfuIpc,
    /// Drainage fixture units; one table for vertical and horizontal drains and vents (UPC).
    DfuUpc,
    /// Discharge units in l/s and the square root of their sum (EN 12056-2).
    En,
}

/// How a fixture is used: it decides its load.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Use {
    /// In a dwelling.
    #[default]
    Private,
    /// By anyone.
    Public,
    /// Where many come at once: theatres, stadiums. Codes without such a column count it as public.
    Assembly,
}

impl Use {
    /// Its word in data files.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Private => "private",
            Self::Public => "public",
            Self::Assembly => "assembly",
        }
    }
}

impl fmt::Display for Use {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// A single value.
#[derive(Clone, Debug)]
pub struct Rule {
    /// What it is, in the unit it is written in.
    pub value: Value,
    /// That unit.
    pub unit: &'static Unit,
    /// Where it comes from.
    pub cite: Cite,
    /// What is doubtful about it.
    pub remark: Option<Arc<str>>,
}

/// A table that the code has and the pack does not hold.
#[derive(Clone, Debug)]
pub struct Absent {
    /// Which.
    pub table: TableId,
    /// Where it stands in the code.
    pub place: Arc<str>,
    /// What to do.
    pub help: Arc<str>,
}

/// Rows of the code's tables that stand for a kind of fixture.
#[derive(Clone, Debug)]
pub(crate) struct Line {
    pub kind: Arc<str>,
    pub variant: Arc<str>,
    pub drain: Option<usize>,
    /// Private, public, assembly.
    pub water: [Option<usize>; 3],
    pub outlet: [Option<usize>; 3],
    pub supply: Option<usize>,
}

/// What an amendment did.
#[derive(Clone, Debug, PartialEq)]
pub struct Amended {
    /// The table, or `rules`.
    pub table: Arc<str>,
    /// The value in it.
    pub key: String,
    /// What the code says, with its unit.
    pub was: String,
    /// What holds now, with its unit.
    pub now: String,
    /// Where the code says it.
    pub instead_of: Cite,
    /// The amendment's own citation.
    pub by: Arc<str>,
    /// Its place in the job.
    pub span: wyeline_job::Span,
}

/// A figure that a later stage holds beside the code's tables, as the job has amended it.
#[derive(Clone, Debug)]
pub(crate) struct AmendedBeside {
    pub table: &'static str,
    pub key: &'static str,
    pub value: Cited<f64>,
}

/// A code: tables and single values, each with where it comes from.
#[derive(Clone, Debug)]
pub struct Pack {
    pub(crate) id: Arc<str>,
    pub(crate) name: Arc<str>,
    pub(crate) family: Family,
    pub(crate) document: Arc<str>,
    pub(crate) sizes: Vec<Size>,
    pub(crate) remarks: Vec<Arc<str>>,
    pub(crate) tables: Vec<Option<Table>>,
    pub(crate) rules: Vec<Option<Rule>>,
    pub(crate) absent: Vec<Absent>,
    pub(crate) amended: Vec<Amended>,
    pub(crate) beside: Vec<AmendedBeside>,
    pub(crate) lines: Vec<Line>,
}

/// The names and texts of the data files of each code, as the build found them.
const FILES: &[(&str, &[(&str, &str)])] = include!(concat!(env!("OUT_DIR"), "/packs.rs"));

/// Each code is read when it is first asked for: a job needs one of them.
static PACKS: [OnceLock<Pack>; FILES.len()] = [const { OnceLock::new() }; FILES.len()];

/// The code of a folder. Folders bear the names of their codes, and what they hold is tested.
fn held(at: usize) -> &'static Pack {
    PACKS[at].get_or_init(|| {
        let (folder, files) = FILES[at];
        Pack::read(files).unwrap_or_else(|faults| panic!("{folder}: {}", faults[0]))
    })
}

impl Pack {
    /// The code of that name: `ipc-2021`, `upc-2021`, `en-12056`, `npc-2020`.
    pub fn named(id: &str) -> Option<&'static Self> {
        let at = FILES.iter().position(|(folder, _)| *folder == id)?;
        Some(held(at))
    }
    /// All codes held, by their names.
    pub fn all() -> &'static [Self] {
        static ALL: LazyLock<Vec<Pack>> =
            LazyLock::new(|| (0..FILES.len()).map(|at| held(at).clone()).collect());
        &ALL
    }
    /// Its name in jobs (`ipc-2021`).
    pub fn id(&self) -> &str {
        &self.id
    }
    /// Its name in words.
    pub fn name(&self) -> &str {
        &self.name
    }
    /// How it counts loads.
    pub fn family(&self) -> Family {
        self.family
    }
    /// The document and edition, as cited.
    pub fn document(&self) -> &str {
        &self.document
    }
    /// What holds for all of it.
    pub fn remarks(&self) -> &[Arc<str>] {
        &self.remarks
    }
    /// The nominal sizes of its drains, rising.
    pub fn sizes(&self) -> &[Size] {
        &self.sizes
    }
    /// The tables it holds, for a listing.
    pub fn tables(&self) -> impl Iterator<Item = &Table> {
        self.tables.iter().flatten()
    }
    /// The single values it holds, for a listing.
    pub fn rules(&self) -> impl Iterator<Item = (&'static RuleSpec, &Rule)> {
        RULES
            .iter()
            .zip(&self.rules)
            .filter_map(|(spec, rule)| Some((spec, rule.as_ref()?)))
    }
    /// Tables of the code that the pack does not hold.
    pub fn absent(&self) -> &[Absent] {
        &self.absent
    }
    /// What the job has amended.
    pub fn amendments(&self) -> &[Amended] {
        &self.amended
    }

    /// A figure of a table that a later stage holds beside the code's own, in the unit of answers; only where the
    /// job has amended it.
    pub fn amended_beside(&self, table: &str, key: &str) -> Option<&Cited<f64>> {
        let mut all = self.beside.iter();
        let found = all.find(|one| one.table == table && one.key == key)?;
        Some(&found.value)
    }

    /// A size as this code names it: 4 in for DN100 and the other way round.
    /// Nothing where neither system has a name for it.
    pub fn own_size(&self, size: Size) -> Option<Size> {
        let same = |known: &Size| matches!(known, Size::Dn(_)) == matches!(size, Size::Dn(_));
        if self.sizes.first().is_none_or(same) {
            Some(size)
        } else {
            common::other_system(size)
        }
    }
    /// The next larger size of this code.
    pub fn next_size(&self, size: Size) -> Option<Size> {
        let size = self.own_size(size)?;
        self.sizes.iter().copied().find(|next| *next > size)
    }
    /// The least size of this code that is not under a part of another.
    pub(crate) fn at_least_fraction(&self, size: Size, fraction: f64) -> Option<Size> {
        let least = common::nominal_mm(size) * fraction;
        self.sizes
            .iter()
            .copied()
            .find(|size| common::nominal_mm(*size) >= least - 1e-9)
    }

    /// A table that it may hold.
    pub(crate) fn held(&self, id: TableId) -> Option<&Table> {
        self.tables[id as usize].as_ref()
    }
    /// A table, or why there is none; `asked` in words.
    pub(crate) fn table(
        &self,
        id: TableId,
        asked: impl FnOnce() -> String,
    ) -> Result<&Table, NoValue> {
        self.held(id).ok_or_else(|| self.no_table(id, asked()))
    }
    /// Says that a table is not held.
    pub(crate) fn no_table(&self, id: TableId, asked: String) -> NoValue {
        let absent = self.absent.iter().find(|absent| absent.table == id);
        NoValue {
            cite: Cite {
                document: self.document.clone(),
                place: absent.map_or_else(|| "as held here".into(), |absent| absent.place.clone()),
                how: crate::How::Seen,
            },
            asked,
            help: absent.map_or_else(
                || {
                    "state it in the job, or amend the code with what the printed document says"
                        .to_owned()
                },
                |absent| absent.help.to_string(),
            ),
        }
    }

    /// A single value by its key.
    ///
    /// # Errors
    /// Where there is no such key, or the code does not state it.
    pub fn rule(&self, key: &str) -> Result<&Rule, NoValue> {
        let slot = RULES.binary_search_by(|spec| spec.key.cmp(key));
        let found = slot.ok().and_then(|slot| self.rules[slot].as_ref());
        found.ok_or_else(|| NoValue {
            cite: Cite {
                document: self.document.clone(),
                place: "as held here".into(),
                how: crate::How::Seen,
            },
            asked: RuleSpec::named(key)
                .map_or_else(|| unknown_rule(key), |spec| spec.about.to_owned()),
            help: format!("amend `rules {key}` with what the printed document says"),
        })
    }
    fn rule_as<T>(
        &self,
        key: &str,
        take: impl Fn(&Rule) -> Option<T>,
    ) -> Result<Cited<T>, NoValue> {
        let rule = self.rule(key)?;
        let value = take(rule).ok_or_else(|| NoValue {
            cite: rule.cite.clone(),
            asked: format!("`{key}` in that form"),
            help: format!("amend `rules {key}`"),
        })?;
        Ok(Cited {
            value,
            cite: rule.cite.clone(),
        })
    }
    /// A single number by its key, in the unit of answers: mm, Pa, l/s, m/s, °C, l, W, degrees, or plain.
    /// No limit is infinity.
    ///
    /// # Errors
    /// Where there is no such number.
    pub fn scalar(&self, key: &str) -> Result<Cited<f64>, NoValue> {
        self.rule_as(key, |rule| match rule.value {
            Value::Number(number) => Some(rule.unit.canonical(number)),
            Value::NoLimit => Some(f64::INFINITY),
            _ => None,
        })
    }
    /// A single yes or no by its key.
    ///
    /// # Errors
    /// Where there is none.
    pub fn flag(&self, key: &str) -> Result<Cited<bool>, NoValue> {
        self.rule_as(key, |rule| match rule.value {
            Value::Flag(flag) => Some(flag),
            _ => None,
        })
    }
    /// A single size by its key.
    ///
    /// # Errors
    /// Where there is none.
    pub fn size_rule(&self, key: &str) -> Result<Cited<Size>, NoValue> {
        self.rule_as(key, |rule| match rule.value {
            Value::Size(size) => Some(size),
            _ => None,
        })
    }
    /// A single slope by its key.
    ///
    /// # Errors
    /// Where there is none.
    pub fn slope_rule(&self, key: &str) -> Result<Cited<Slope>, NoValue> {
        self.rule_as(key, |rule| match rule.value {
            Value::Slope(slope) => Some(slope),
            _ => None,
        })
    }
}
