//! Lists as tables of words for sheets of their own.

use wyeline_fit::list::{Cell, List};
use wyeline_sheet::{Rows, Schedule};

/// The lists that have rows, as tables.
pub fn all(lists: &[List]) -> Vec<Schedule> {
    let lists = lists.iter().filter(|list| !list.is_empty());
    lists.map(one).collect()
}

fn one(list: &List) -> Schedule {
    let words = |rows: &[Vec<Cell>]| -> Vec<Vec<String>> {
        let rows = rows.iter();
        rows.map(|row| row.iter().map(Cell::shown).collect())
            .collect()
    };
    let columns = list.columns.iter();
    let groups = list.groups.iter();
    Schedule {
        title: list.title.clone(),
        columns: columns
            .map(|column| (column.head.to_owned(), column.right()))
            .collect(),
        groups: groups
            .map(|group| Rows {
                name: group.name.clone(),
                rows: words(&group.rows),
                totals: words(&group.totals),
            })
            .collect(),
        notes: list.notes.clone(),
    }
}
