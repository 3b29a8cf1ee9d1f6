//! Neutral tables: columns, rows under headings, totals and notes, for people, machines and spreadsheets alike.
//!
//! In: nothing; `lists` fills them. Out: a [`List`], whose cells keep the figure beside the words it is printed in.

use wyeline_units::{Len, UnitSystem};

/// A table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct List {
    /// Its name for programs (`pieces`).
    pub id: &'static str,
    /// Its name for people.
    pub title: String,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows, under headings.
    pub groups: Vec<Group>,
    /// What is said of it.
    pub notes: Vec<String>,
}

/// A column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    /// Its name for programs (`centre_to_centre`).
    pub key: &'static str,
    /// Its heading for people.
    pub head: &'static str,
    /// What stands in it.
    pub kind: Kind,
}

/// What stands in a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Words.
    Text,
    /// Whole numbers.
    Count,
    /// Lengths.
    Length,
    /// Amounts, each of its own unit.
    Amount,
}

/// Rows under one heading.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Group {
    /// The heading; empty where there is none.
    pub name: String,
    /// The rows, as wide as the columns.
    pub rows: Vec<Vec<Cell>>,
    /// Sums of the rows, as wide as the columns.
    pub totals: Vec<Vec<Cell>>,
}

/// What stands in a row and column.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Cell {
    /// Nothing.
    #[default]
    Nothing,
    /// Words.
    Text(String),
    /// A whole number.
    Count(u64),
    /// A length.
    Length {
        /// Millimetres, not rounded.
        mm: f64,
        /// As printed, to 1/16 in or 1 mm.
        shown: String,
    },
    /// An amount.
    Amount {
        /// How much, not rounded.
        value: f64,
        /// Of what (`mm`, `l`, `kg`, `count`).
        unit: &'static str,
        /// As printed.
        shown: String,
    },
}

impl List {
    /// An empty list.
    pub fn new(id: &'static str, title: impl Into<String>, columns: &[Column]) -> Self {
        Self {
            id,
            title: title.into(),
            columns: columns.to_vec(),
            groups: Vec::new(),
            notes: Vec::new(),
        }
    }

    /// All rows with the heading they stand under, totals left out.
    pub fn rows(&self) -> impl Iterator<Item = (&str, &[Cell])> {
        let groups = self.groups.iter();
        groups.flat_map(|group| {
            let rows = group.rows.iter();
            rows.map(|row| (group.name.as_str(), row.as_slice()))
        })
    }

    /// Whether it has no rows.
    pub fn is_empty(&self) -> bool {
        self.rows().next().is_none()
    }

    /// Adds a row under a heading, which is put last where there is none of that name yet.
    pub fn push(&mut self, heading: &str, row: Vec<Cell>) {
        debug_assert_eq!(row.len(), self.columns.len());
        self.group(heading).rows.push(row);
    }

    /// Adds a sum under a heading.
    pub fn total(&mut self, heading: &str, row: Vec<Cell>) {
        debug_assert_eq!(row.len(), self.columns.len());
        self.group(heading).totals.push(row);
    }

    fn group(&mut self, heading: &str) -> &mut Group {
        // What is added next mostly belongs to the heading just written.
        let known = self.groups.iter().rposition(|group| group.name == heading);
        let at = known.unwrap_or_else(|| {
            self.groups.push(Group {
                name: heading.to_owned(),
                ..Group::default()
            });
            self.groups.len() - 1
        });
        &mut self.groups[at]
    }

    /// Whether its rows stand under headings.
    pub fn has_headings(&self) -> bool {
        self.groups.iter().any(|group| !group.name.is_empty())
    }
}

/// A column of words, counts, lengths or amounts.
pub const fn column(key: &'static str, head: &'static str, kind: Kind) -> Column {
    Column { key, head, kind }
}

impl Column {
    /// Whether what stands in it is set to the right, as figures are.
    pub fn right(&self) -> bool {
        self.kind != Kind::Text
    }
}

impl Cell {
    /// Words; nothing where there are none.
    pub fn text(words: impl Into<String>) -> Self {
        let words = words.into();
        if words.is_empty() {
            Self::Nothing
        } else {
            Self::Text(words)
        }
    }

    /// A length, printed to 1/16 in or 1 mm.
    pub fn length(mm: f64, units: UnitSystem) -> Self {
        Self::Length {
            mm,
            shown: shown(mm, units),
        }
    }

    /// The same with the sign that marks an estimate where it is one.
    pub fn estimate(mm: f64, units: UnitSystem, estimated: bool) -> Self {
        let about = if estimated { "~ " } else { "" };
        Self::Length {
            mm,
            shown: format!("{about}{}", shown(mm, units)),
        }
    }

    /// As it is printed.
    pub fn shown(&self) -> String {
        match self {
            Self::Nothing => String::new(),
            Self::Text(words) => words.clone(),
            Self::Count(count) => count.to_string(),
            Self::Length { shown, .. } | Self::Amount { shown, .. } => shown.clone(),
        }
    }
}

/// A length as it is printed, to 1/16 in or 1 mm.
pub fn shown(mm: f64, units: UnitSystem) -> String {
    Len::from_mm(mm).show(units, 16)
}

/// A length as it goes to the saw: the nearest 1/16 in or 1 mm, halves away from nothing, exactly what [`shown`] prints.
pub fn to_saw(mm: f64, units: UnitSystem) -> Len {
    let step = if units.is_metric() {
        Len::millimetres(1)
    } else {
        Len::sixty_fourths(4)
    };
    let step = step.units();
    let length = Len::from_mm(mm).units();
    let steps = (length.abs() + step / 2) / step;
    Len::from_units(length.signum() * steps * step)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1/16 in is 1.5875 mm: 100 mm is 62.99 of them, so 63, which is 3-15/16 in or 100.0125 mm.
    #[test]
    fn a_length_for_the_saw_is_what_is_printed() {
        let saw = to_saw(100.0, UnitSystem::FeetInches);
        assert_eq!(saw, Len::sixty_fourths(63 * 4));
        assert_eq!(saw.show(UnitSystem::FeetInches, 64), "3 15/16\"");
        assert_eq!(shown(100.0, UnitSystem::FeetInches), "3 15/16\"");
    }

    /// Half a step goes away from nothing, as it is printed: 0.5 mm to 1, -0.5 to -1.
    #[test]
    fn halves_go_away_from_nothing() {
        let metric = UnitSystem::Millimetres;
        for (mm, steps) in [(0.5, 1), (-0.5, -1), (0.49, 0), (2.5, 3)] {
            assert_eq!(to_saw(mm, metric), Len::millimetres(steps), "{mm}");
            assert_eq!(shown(mm, metric), steps.to_string(), "{mm}");
        }
    }

    #[test]
    fn rows_of_a_heading_stay_together() {
        let mut list = List::new("x", "X", &[column("a", "a", Kind::Text)]);
        for (heading, word) in [("one", "a"), ("two", "b"), ("one", "c")] {
            list.push(heading, vec![Cell::text(word)]);
        }
        let rows: Vec<_> = list
            .rows()
            .map(|(name, row)| (name, row[0].shown()))
            .collect();
        let expected = [("one", "a"), ("one", "c"), ("two", "b")];
        assert_eq!(rows, expected.map(|(name, word)| (name, word.to_owned())));
    }
}
