//! Lists for programs: rows as objects by column, figures in millimetres and the like beside the words they are printed in.

use serde_json::{Map, Value, json};
use wyeline_fit::list::{Cell, Column, List};

/// Lists as an array.
pub fn all(lists: &[List]) -> Value {
    lists.iter().map(one).collect()
}

fn one(list: &List) -> Value {
    let rows = list.rows();
    let rows: Vec<Value> = rows
        .map(|(heading, cells)| row(&list.columns, heading, cells))
        .collect();
    let totals = list.groups.iter().flat_map(|group| {
        let totals = group.totals.iter();
        totals.map(|cells| row(&list.columns, &group.name, cells))
    });
    json!({
        "id": list.id,
        "title": list.title,
        "rows": rows,
        "totals": totals.collect::<Vec<_>>(),
        "notes": list.notes,
    })
}

fn row(columns: &[Column], heading: &str, cells: &[Cell]) -> Value {
    let mut object = Map::new();
    if !heading.is_empty() {
        object.insert("group".to_owned(), json!(heading));
    }
    for (column, one) in columns.iter().zip(cells) {
        object.insert(column.key.to_owned(), cell(one));
    }
    Value::Object(object)
}

fn cell(cell: &Cell) -> Value {
    match cell {
        Cell::Nothing => Value::Null,
        Cell::Text(words) => json!(words),
        Cell::Count(count) => json!(count),
        Cell::Length { mm, shown } => json!({ "mm": mm, "shown": shown }),
        Cell::Amount { value, unit, shown } => {
            json!({ "value": value, "unit": unit, "shown": shown })
        }
    }
}
