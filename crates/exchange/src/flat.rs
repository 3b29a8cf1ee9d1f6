//! Turns a list into plain columns of words and numbers, the same for every kind of spreadsheet.
//!
//! A length is two columns, as printed and in millimetres; an amount three, as printed, its value and its unit. Headings
//! of groups become the first column, so that rows can be sorted and filtered.

use wyeline_fit::list::{Cell, Kind, List};

/// What stands in one cell.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Flat<'a> {
    /// Nothing.
    Nothing,
    /// Words.
    Words(&'a str),
    /// A figure.
    Number(f64),
}

/// Figures are kept to this part of a millimetre or other unit: far below what is measured, above what sums of
/// binary fractions leave behind.
const FINEST: f64 = 1e6;

/// A figure without what binary fractions leave behind.
fn figure(value: f64) -> f64 {
    (value * FINEST).round() / FINEST
}

/// The names of the columns, as programs call them.
pub(crate) fn heads(list: &List) -> Vec<String> {
    let group = list.has_headings().then(|| "group".to_owned());
    let columns = list.columns.iter().flat_map(|column| {
        let key = column.key;
        match column.kind {
            Kind::Text | Kind::Count => vec![key.to_owned()],
            Kind::Length => vec![key.to_owned(), format!("{key}_mm")],
            Kind::Amount => vec![
                key.to_owned(),
                format!("{key}_value"),
                format!("{key}_unit"),
            ],
        }
    });
    group.into_iter().chain(columns).collect()
}

/// A row under its heading, as wide as [`heads`].
pub(crate) fn row<'a>(list: &List, heading: &'a str, row: &'a [Cell]) -> Vec<Flat<'a>> {
    let group = list.has_headings().then(|| words(heading));
    let cells = list.columns.iter().zip(row).flat_map(|(column, cell)| {
        let width = match column.kind {
            Kind::Text | Kind::Count => 1,
            Kind::Length => 2,
            Kind::Amount => 3,
        };
        let mut flat = match cell {
            Cell::Nothing => Vec::new(),
            Cell::Text(text) => vec![words(text)],
            Cell::Count(count) => vec![Flat::Number(*count as f64)],
            Cell::Length { mm, shown } => vec![words(shown), Flat::Number(figure(*mm))],
            Cell::Amount { value, unit, shown } => {
                vec![words(shown), Flat::Number(figure(*value)), words(unit)]
            }
        };
        flat.resize(width, Flat::Nothing);
        flat
    });
    group.into_iter().chain(cells).collect()
}

fn words(text: &str) -> Flat<'_> {
    if text.is_empty() {
        Flat::Nothing
    } else {
        Flat::Words(text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use wyeline_fit::list::column;

    /// A count stays one column, a length is printed and exact, an amount has its unit; what is missing stays empty.
    #[test]
    fn figures_stand_beside_what_is_printed() {
        let columns = [
            column("count", "", Kind::Count),
            column("cut", "", Kind::Length),
            column("amount", "", Kind::Amount),
        ];
        let mut list = List::new("x", "X", &columns);
        list.push(
            "pvc",
            vec![
                Cell::Count(2),
                Cell::text("?"),
                Cell::Amount {
                    value: 0.1 + 0.2,
                    unit: "l",
                    shown: "0.3 l".to_owned(),
                },
            ],
        );
        let expected = [
            "group",
            "count",
            "cut",
            "cut_mm",
            "amount",
            "amount_value",
            "amount_unit",
        ];
        assert_eq!(heads(&list), expected);
        let (heading, cells) = list.rows().next().unwrap();
        assert_eq!(
            row(&list, heading, cells),
            [
                Flat::Words("pvc"),
                Flat::Number(2.0),
                Flat::Words("?"),
                Flat::Nothing,
                Flat::Words("0.3 l"),
                Flat::Number(0.3),
                Flat::Words("l"),
            ]
        );
    }
}
