//! Lists for people: tables under headings, totals under their rows, notes under all.

use std::fmt::Write;

use wyeline_fit::list::{Cell, List};

use crate::table::Table;

/// Words in a cell are broken into lines as long as this, letters.
const WIDEST: usize = 40;
/// The same for notes.
const WIDEST_NOTE: usize = 110;

/// A list with its title; nothing where it has neither rows nor notes.
pub fn write(list: &List, into: &mut String) {
    if list.is_empty() && list.notes.is_empty() {
        return;
    }
    let _ = writeln!(into, "\n{}", list.title);
    if !list.is_empty() {
        // `>` sets a column to the right.
        let heads: Vec<String> = list
            .columns
            .iter()
            .map(|column| format!("{}{}", column.head, if column.right() { ">" } else { "" }))
            .collect();
        let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
        let mut table = Table::new(&heads);
        for group in &list.groups {
            if !group.name.is_empty() {
                table.heading(group.name.clone());
            }
            for row in group.rows.iter().chain(&group.totals) {
                for cells in lines(row) {
                    table.row(cells);
                }
            }
        }
        table.write("  ", into);
    }
    for note in &list.notes {
        for (at, line) in broken(note, WIDEST_NOTE).iter().enumerate() {
            let indent = if at == 0 { "  " } else { "    " };
            let _ = writeln!(into, "{indent}{line}");
        }
    }
}

/// A row as one line, or several where words in it are broken.
fn lines(row: &[Cell]) -> Vec<Vec<String>> {
    let cells: Vec<Vec<String>> = row
        .iter()
        .map(|cell| broken(&cell.shown(), WIDEST))
        .collect();
    let deep = cells.iter().map(Vec::len).max().unwrap_or(0).max(1);
    (0..deep)
        .map(|line| {
            let cell = |cell: &Vec<String>| cell.get(line).cloned().unwrap_or_default();
            cells.iter().map(cell).collect()
        })
        .collect()
}

/// Words in lines of so many letters at most, broken after commas and before plus signs where that can be, so that
/// what belongs together stays together; a longer word stays whole.
fn broken(text: &str, widest: usize) -> Vec<String> {
    let letters = |text: &str| text.chars().count();
    let mut lines = vec![String::new()];
    for part in text.replace(", ", ",\n").replace(" + ", "\n+ ").split('\n') {
        let parts: Vec<&str> = if letters(part) > widest {
            part.split(' ').collect()
        } else {
            vec![part]
        };
        for part in parts {
            match lines.last_mut() {
                Some(line) if line.is_empty() => line.push_str(part),
                Some(line) if letters(line) + 1 + letters(part) <= widest => {
                    line.push(' ');
                    line.push_str(part);
                }
                _ => lines.push(part.to_owned()),
            }
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_broken_between_them() {
        // `one two` has 7 letters, `three` 5.
        assert_eq!(broken("one two three", 7), ["one two", "three"]);
        assert_eq!(broken("unbreakable", 5), ["unbreakable"]);
        assert_eq!(broken("", 5), [""]);
    }

    /// A mark and its length stay together: `P1 2` has 4 letters, with the comma 5.
    #[test]
    fn what_stands_between_commas_stays_together() {
        assert_eq!(broken("P1 2, P3 4, P5 6", 9), ["P1 2,", "P3 4,", "P5 6"]);
        assert_eq!(broken("a tee + a bend", 9), ["a tee", "+ a bend"]);
    }
}
