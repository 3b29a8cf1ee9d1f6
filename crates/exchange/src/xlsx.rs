//! Writes [`List`]s as a workbook: a sheet each, figures as figures, totals in bold under the rows, notes under them.
//!
//! The same lists give the same bytes: no clock is asked.

use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, FormatAlign, FormatBorder, Workbook, Worksheet, XlsxError,
};
use wyeline_fit::list::List;

use crate::flat::{self, Flat};

/// Widest column, letters: longer words are broken into lines.
const WIDEST: usize = 48;
/// Longest name of a sheet, and letters that it may not have (Office Open XML as spreadsheets read it).
const LONGEST_NAME: usize = 31;
const NOT_IN_NAMES: &[char] = &['[', ']', ':', '*', '?', '/', '\\'];

/// Returns lists as a workbook.
///
/// * `title`: what the workbook is about, for its properties
///
/// # Errors
/// Words that no cell holds (more than 32,767 letters), more rows than a sheet has.
pub fn xlsx(title: &str, lists: &[List]) -> Result<Vec<u8>, XlsxError> {
    let mut workbook = Workbook::new();
    let then = ExcelDateTime::from_ymd(2000, 1, 1)?;
    let properties = DocProperties::new()
        .set_title(title)
        .set_creation_datetime(&then);
    workbook.set_properties(&properties);
    for list in lists {
        fill(workbook.add_worksheet(), list)?;
    }
    workbook.save_to_buffer()
}

fn fill(sheet: &mut Worksheet, list: &List) -> Result<(), XlsxError> {
    let name: String = list.title.replace(NOT_IN_NAMES, " ");
    sheet.set_name(name.chars().take(LONGEST_NAME).collect::<String>())?;
    let top = Format::new().set_align(FormatAlign::Top);
    let plain = top.clone().set_text_wrap();
    let bold = plain.clone().set_bold();
    let head = bold.clone().set_border_bottom(FormatBorder::Thin);
    let heads = flat::heads(list);
    let mut widths: Vec<usize> = heads.iter().map(|head| head.chars().count()).collect();
    for (column, text) in (0..).zip(&heads) {
        sheet.write_string_with_format(0, column, text.replace('_', " "), &head)?;
    }
    let mut line = 0;
    let mut write = |sheet: &mut Worksheet, cells: Vec<Flat>, format: &Format| {
        line += 1;
        for ((column, cell), width) in (0..).zip(cells).zip(&mut widths) {
            match cell {
                Flat::Nothing => {}
                Flat::Words(words) => {
                    *width = (*width).max(words.chars().count());
                    sheet.write_string_with_format(line, column, words, format)?;
                }
                Flat::Number(number) => {
                    *width = (*width).max(number.to_string().len());
                    sheet.write_number_with_format(line, column, number, format)?;
                }
            }
        }
        Ok::<u32, XlsxError>(line)
    };
    let mut last = 0;
    for (heading, row) in list.rows() {
        last = write(sheet, flat::row(list, heading, row), &plain)?;
    }
    if last > 0 {
        sheet.autofilter(0, 0, last, heads.len().saturating_sub(1) as u16)?;
    }
    for group in &list.groups {
        for total in &group.totals {
            last = write(sheet, flat::row(list, &group.name, total), &bold)?;
        }
    }
    for (at, note) in (last + 2..).zip(&list.notes) {
        sheet.write_string_with_format(at, 0, note, &top)?;
    }
    for (column, width) in (0..).zip(widths) {
        sheet.set_column_width(column, width.min(WIDEST) as f64 + 2.0)?;
    }
    sheet.set_freeze_panes(1, 0)?;
    sheet.set_landscape();
    sheet.set_print_fit_to_pages(1, 0);
    sheet.set_repeat_rows(0, 0)?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use std::io::Cursor;

    use calamine::{Data, Reader, Xlsx};
    use wyeline_fit::list::{Cell, Kind, column};
    use wyeline_units::UnitSystem;

    use super::*;

    fn sample() -> List {
        let columns = [
            column("what", "", Kind::Text),
            column("cut", "", Kind::Length),
        ];
        let mut list = List::new("x", "Pieces: [all]", &columns);
        let foot = || Cell::length(304.8, UnitSystem::FeetInches);
        list.push("pvc", vec![Cell::text("=1+1"), foot()]);
        list.total("pvc", vec![Cell::text("sum"), foot()]);
        list.notes.push("a note".to_owned());
        list
    }

    /// Another reader finds what was written: words that look like a formula stay words, millimetres are a number.
    #[test]
    fn another_reader_finds_the_rows() {
        let bytes = xlsx("X", &[sample()]).unwrap();
        let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).unwrap();
        assert_eq!(book.sheet_names(), ["Pieces   all "]);
        let sheet = book.worksheet_range("Pieces   all ").unwrap();
        let text = |text: &str| Data::String(text.to_owned());
        let rows: Vec<&[Data]> = sheet.rows().collect();
        let expected = [
            ["group", "what", "cut", "cut mm"].map(text),
            [
                text("pvc"),
                text("=1+1"),
                text("1'-0\""),
                Data::Float(304.8),
            ],
            [text("pvc"), text("sum"), text("1'-0\""), Data::Float(304.8)],
        ];
        assert_eq!(rows[..3], expected.each_ref().map(<[Data; 4]>::as_slice));
        assert_eq!(rows[4][0], text("a note"));
    }

    #[test]
    fn the_same_lists_give_the_same_bytes() {
        let one = xlsx("X", &[sample()]).unwrap();
        // Times in workbooks are in whole seconds.
        std::thread::sleep(std::time::Duration::from_millis(1_100));
        assert_eq!(one, xlsx("X", &[sample()]).unwrap());
    }
}
