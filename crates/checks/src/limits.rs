//! Figures and sections that the codes hold beside their sizing tables, from `data/limits.toml`.
//!
//! In: the pack in force and a rule's key. Out: the figure in mm (or Pa, s, a plain share) with where it stands;
//! nothing where that code has no such rule. A job's local amendment of the same key goes first.

use std::collections::HashMap;
use std::sync::LazyLock;

use serde::Deserialize;
use wyeline_codes::{Cite, Cited, How, Pack};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    limit: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    key: String,
    /// For whoever reads the table.
    #[serde(rename = "what")]
    _what: String,
    unit: String,
    /// The pack's own key of this value, which goes first where the pack holds it.
    pack: Option<String>,
    by: Vec<By>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct By {
    code: String,
    value: f64,
    document: String,
    place: String,
    how: How,
}

struct Found {
    pack: Option<String>,
    by: Vec<(String, Cited<f64>)>,
}

type Table = HashMap<String, Found>;

fn read(text: &str) -> Result<Table, String> {
    let file: File = toml::from_str(text).map_err(|error| error.to_string())?;
    let mut table = Table::new();
    for row in file.limit {
        let scale = match &*row.unit {
            "in" => 25.4,
            "ft" => 304.8,
            "psi" => 6894.757,
            // Temperatures are held in degrees Celsius.
            "mm" | "s" | "C" | "1" => 1.0,
            unit => return Err(format!("{}: {unit} is no unit of this table", row.key)),
        };
        let mut found: Vec<(String, Cited<f64>)> = Vec::new();
        for by in row.by {
            if by.document.is_empty() || by.place.is_empty() || by.value < 0.0 {
                return Err(format!("{}: {} lacks its source", row.key, by.code));
            }
            if found.iter().any(|(code, _)| *code == by.code) {
                return Err(format!("{}: {} stands twice", row.key, by.code));
            }
            let cite = Cite {
                document: by.document.into(),
                place: by.place.into(),
                how: by.how,
            };
            let value = by.value * scale;
            found.push((by.code, Cited { value, cite }));
        }
        let found = Found {
            pack: row.pack,
            by: found,
        };
        if table.insert(row.key.clone(), found).is_some() {
            return Err(format!("{} stands twice", row.key));
        }
    }
    Ok(table)
}

fn table() -> &'static Table {
    static TABLE: LazyLock<Table> = LazyLock::new(|| {
        read(include_str!("../data/limits.toml")).expect("the table of limits is well formed")
    });
    &TABLE
}

/// The figure of that key, mm, Pa, s or a plain number; nothing where the code has no such rule.
pub fn limit(pack: &Pack, key: &str) -> Option<Cited<f64>> {
    let row = table().get(key)?;
    if let Some(own) = &row.pack
        && let Ok(value) = pack.scalar(own)
    {
        return Some(value);
    }
    let mut by = row.by.iter();
    let (_, found) = by.find(|(code, _)| code == pack.id())?;
    Some(found.clone())
}

/// Where the code says it; nothing where it has no such rule.
pub fn cite(pack: &Pack, key: &str) -> Option<Cite> {
    limit(pack, key).map(|limit| limit.cite)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(code: &str, key: &str) -> Option<Cited<f64>> {
        limit(Pack::named(code).unwrap(), key)
    }

    /// Every code named in the table is one that there is.
    #[test]
    fn every_code_is_known() {
        for (key, found) in table() {
            assert!(!found.by.is_empty(), "{key}");
            for (code, _) in &found.by {
                assert!(Pack::named(code).is_some(), "{key}: {code}");
            }
        }
    }

    /// IPC 2021 405.3.1 and UPC 2021 402.5: 15 in to the side, 30 in apart; in front 21 in and 24 in.
    #[test]
    fn clearances_of_two_codes() {
        for (code, front) in [("ipc-2021", 21.0), ("upc-2021", 24.0)] {
            let inches = |key| of(code, key).unwrap().value / 25.4;
            assert!((inches("fixture-side") - 15.0).abs() < 1e-9);
            assert!((inches("fixture-apart") - 30.0).abs() < 1e-9);
            assert!((inches("fixture-front") - front).abs() < 1e-9);
        }
    }

    /// 550 kPa in Canada, 500 kPa in Europe, 80 psi (552 kPa) in the United States.
    #[test]
    fn static_pressures() {
        for (code, kpa) in [
            ("npc-2020", 550.0),
            ("en-12056", 500.0),
            ("ipc-2021", 551.58),
        ] {
            let found = of(code, "static-pressure").unwrap().value / 1000.0;
            assert!((found - kpa).abs() < 0.05, "{code}: {found}");
        }
    }

    /// Europe's codes say nothing of the room in front of a fixture.
    #[test]
    fn a_code_without_the_rule() {
        assert_eq!(of("en-12056", "fixture-front"), None);
    }

    /// A table that holds a key twice, a code twice, an unknown unit or no source is refused with what is wrong.
    #[test]
    fn a_bad_table_is_refused() {
        let row = |key: &str, unit: &str, by: &str| {
            format!("[[limit]]\nkey = \"{key}\"\nwhat = \"w\"\nunit = \"{unit}\"\nby = [{by}]\n")
        };
        let by = "{ code = \"a\", value = 1, document = \"D\", place = \"1\", how = \"seen\" }";
        assert!(read(&row("k", "in", by)).is_ok());
        for (text, says) in [
            (row("k", "in", by) + &row("k", "in", by), "k stands twice"),
            (row("k", "in", &format!("{by}, {by}")), "a stands twice"),
            (row("k", "furlong", by), "furlong is no unit"),
            (row("k", "in", &by.replace('D', "")), "lacks its source"),
        ] {
            assert!(
                read(&text).is_err_and(|error| error.contains(says)),
                "{says}"
            );
        }
    }
}
