//! Writes a [`List`] as CSV: one line of column names, then its rows, without totals and notes, which a spreadsheet
//! would count among them. Commas, quotes and line ends as RFC 4180 has them, in UTF-8.

use std::io;

use wyeline_fit::list::List;

use crate::flat::{self, Flat};

/// Returns a list as CSV.
///
/// # Errors
/// None in practice: what is written goes into memory.
pub fn csv(list: &List) -> io::Result<Vec<u8>> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    writer.write_record(flat::heads(list))?;
    for (heading, row) in list.rows() {
        let cells = flat::row(list, heading, row).into_iter();
        writer.write_record(cells.map(|cell| match cell {
            Flat::Nothing => String::new(),
            Flat::Words(words) => words.to_owned(),
            Flat::Number(number) => number.to_string(),
        }))?;
    }
    writer.into_inner().map_err(csv::IntoInnerError::into_error)
}

#[cfg(test)]
mod tests {
    use super::*;
    use wyeline_fit::list::{Cell, Kind, column};
    use wyeline_units::UnitSystem;

    /// RFC 4180, 2.5 to 2.7: fields with quotes or commas stand in quotes, quotes in them are doubled; lines end with CRLF.
    #[test]
    fn inch_marks_are_doubled_and_lines_end_as_rfc_4180_has_it() {
        let columns = [
            column("what", "", Kind::Text),
            column("cut", "", Kind::Length),
        ];
        let mut list = List::new("x", "X", &columns);
        let inch = Cell::length(25.4, UnitSystem::FeetInches);
        list.push("", vec![Cell::text("2\" tee, street"), inch]);
        let text = String::from_utf8(csv(&list).unwrap()).unwrap();
        assert_eq!(
            text,
            "what,cut,cut_mm\r\n\"2\"\" tee, street\",\"1\"\"\",25.4\r\n"
        );
    }
}
