//! Tables of words in columns, as wide as what stands in them.

/// Rows under one heading.
pub struct Table {
    heads: Vec<String>,
    /// Columns whose words stand at the right, as figures do.
    right: Vec<bool>,
    rows: Vec<Line>,
}

/// A line of a table.
enum Line {
    Cells(Vec<String>),
    /// Stands over the rows after it, as wide as it is.
    Heading(String),
}

/// Space between columns.
const BETWEEN: &str = "  ";

impl Table {
    /// A table with these columns; a heading that ends with `>` stands at the right, with what is under it.
    pub fn new(heads: &[&str]) -> Self {
        Self {
            heads: heads
                .iter()
                .map(|head| head.trim_end_matches('>').to_owned())
                .collect(),
            right: heads.iter().map(|head| head.ends_with('>')).collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row.
    pub fn row(&mut self, cells: Vec<String>) {
        debug_assert_eq!(cells.len(), self.heads.len());
        self.rows.push(Line::Cells(cells));
    }

    /// Adds a heading over the rows that follow, with an empty line above it.
    pub fn heading(&mut self, words: String) {
        self.rows.push(Line::Heading(words));
    }

    /// Whether it has no rows.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The table as lines, indented; columns in which nothing stands are left out.
    pub fn write(&self, indent: &str, into: &mut String) {
        let letters = |text: &str| text.chars().count();
        let rows = || {
            self.rows.iter().filter_map(|line| match line {
                Line::Cells(cells) => Some(cells),
                Line::Heading(_) => None,
            })
        };
        let used: Vec<bool> = (0..self.heads.len())
            .map(|at| rows().any(|row| !row[at].is_empty()))
            .collect();
        let widths: Vec<usize> = (0..self.heads.len())
            .map(|at| {
                let cells = rows().map(|row| letters(&row[at]));
                cells.max().unwrap_or(0).max(letters(&self.heads[at]))
            })
            .collect();
        let line = |cells: &mut dyn Iterator<Item = &str>, into: &mut String| {
            let mut text = indent.to_owned();
            let columns = cells.enumerate().filter(|(at, _)| used[*at]);
            for (shown, (at, cell)) in columns.enumerate() {
                if shown > 0 {
                    text.push_str(BETWEEN);
                }
                let pad = " ".repeat(widths[at] - letters(cell));
                if self.right[at] {
                    text.push_str(&pad);
                    text.push_str(cell);
                } else {
                    text.push_str(cell);
                    text.push_str(&pad);
                }
            }
            into.push_str(text.trim_end());
            into.push('\n');
        };
        line(&mut self.heads.iter().map(String::as_str), into);
        for row in &self.rows {
            match row {
                Line::Cells(cells) => line(&mut cells.iter().map(String::as_str), into),
                Line::Heading(words) => {
                    into.push('\n');
                    into.push_str(indent);
                    into.push_str(words);
                    into.push('\n');
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_as_wide_as_their_widest_cell_and_empty_ones_are_left_out() {
        let mut table = Table::new(&["pipe", "load>", "none"]);
        table.row(vec!["a".to_owned(), "12".to_owned(), String::new()]);
        table.row(vec!["longer".to_owned(), "3 dfu".to_owned(), String::new()]);
        let mut text = String::new();
        table.write("  ", &mut text);
        // `longer` has 6 letters, `3 dfu` 5.
        assert_eq!(text, "  pipe     load\n  a          12\n  longer  3 dfu\n");
    }

    #[test]
    fn headings_do_not_widen_columns() {
        let mut table = Table::new(&["a", "b"]);
        table.heading("a long heading".to_owned());
        table.row(vec!["1".to_owned(), "2".to_owned()]);
        let mut text = String::new();
        table.write("", &mut text);
        assert_eq!(text, "a  b\n\na long heading\n1  2\n");
    }
}
