//! Figures and sections that the codes hold beside their sizing tables, from `data/limits.toml`.
//!
//! In: the pack in force and a rule's key. Out: the figure in mm (or Pa, s, a plain share) with where it stands;
//! nothing where that code has no such rule. A job's local amendment of the same key (`amend limits KEY …`) goes first.

use std::collections::HashMap;
use std::sync::LazyLock;

use serde::Deserialize;
use wyeline_codes::unit::Unit;
use wyeline_codes::{Beside, Cite, Cited, HeldBeside, How, Pack};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    limit: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    key: String,
    what: String,
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
    what: String,
    unit: &'static Unit,
    /// It has a figure; otherwise only where it stands is held.
    figure: bool,
    pack: Option<String>,
    by: Vec<(String, Cited<f64>)>,
}

type Table = HashMap<String, Found>;

/// The name of the table in amendments.
const NAME: &str = "limits";

fn read(text: &str) -> Result<Table, String> {
    let file: File = toml::from_str(text).map_err(|error| error.to_string())?;
    let mut table = Table::new();
    for row in file.limit {
        let unit = match &*row.unit {
            "1" => Unit::named("number"),
            "C" => Unit::named("°C"),
            unit => Unit::named(unit).filter(|_| ["in", "ft", "mm", "psi", "s"].contains(&unit)),
        };
        let unit =
            unit.ok_or_else(|| format!("{}: {} is no unit of this table", row.key, row.unit))?;
        let figure = row.unit != "1" || row.by.iter().any(|by| by.value > 0.0);
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
            let value = unit.canonical(by.value);
            found.push((by.code, Cited { value, cite }));
        }
        let found = Found {
            what: row.what,
            unit,
            figure,
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
    if let Some(amended) = pack.amended_beside(NAME, key) {
        return Some(amended.clone());
    }
    held(row, pack)
}

/// The figure of a row by the code alone.
fn held(row: &Found, pack: &Pack) -> Option<Cited<f64>> {
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

/// The figures that a job may amend, for the code in force.
pub fn beside(pack: &Pack) -> Beside {
    let mut held: Vec<HeldBeside> = figures()
        .map(|(key, row)| HeldBeside {
            key,
            unit: row.unit,
            value: self::held(row, pack),
        })
        .collect();
    held.sort_by_key(|one| one.key);
    Beside { table: NAME, held }
}

/// What those figures are: key, what it is, and the unit it is written in; in the order of the keys.
pub fn listed() -> Vec<(&'static str, &'static str, &'static str)> {
    let all = figures().map(|(key, row)| (key, row.what.as_str(), row.unit.name));
    let mut all: Vec<_> = all.collect();
    all.sort_unstable();
    all
}

fn figures() -> impl Iterator<Item = (&'static str, &'static Found)> {
    let all = table().iter().filter(|(_, row)| row.figure);
    all.map(|(key, row)| (key.as_str(), row))
}

#[cfg(test)]
mod tests {
    use wyeline_codes::Amendment;
    use wyeline_job::{Diagnostic, Span};

    use super::*;

    fn amended(key: &str, value: &str, unit: &str) -> (Pack, Vec<Diagnostic>) {
        let pack = Pack::named("ipc-2021").unwrap();
        let amendment = Amendment {
            table: NAME.to_owned(),
            key: key.to_owned(),
            value: value.to_owned(),
            unit: unit.to_owned(),
            by: "Ordinance 12".to_owned(),
            span: Span { start: 0, end: 0 },
        };
        pack.amended_with(&[amendment], &[beside(pack)])
    }

    /// 24 in in the place of 21 in, in any unit of length: 2 ft.
    #[test]
    fn a_figure_may_be_amended() {
        for (value, unit) in [("24", "in"), ("24", ""), ("2", "ft")] {
            let (pack, said) = amended("fixture-front", value, unit);
            assert_eq!(said, []);
            let found = limit(&pack, "fixture-front").unwrap();
            assert!((found.value / 25.4 - 24.0).abs() < 1e-9);
            assert_eq!(found.cite.how, How::Local);
            let one = &pack.amendments()[0];
            assert_eq!((&*one.was, &*one.now), ("21 in", "24 in"));
        }
    }

    /// A share may be told in percent: a quarter.
    #[test]
    fn a_share_may_be_amended() {
        let (pack, said) = amended("joist-hole", "25", "%");
        assert_eq!(said, []);
        assert!((limit(&pack, "joist-hole").unwrap().value - 0.25).abs() < 1e-9);
    }

    /// A figure that the code leaves to the place can be told by it.
    #[test]
    fn what_the_code_does_not_have_may_be_told() {
        let (pack, said) = amended("hot-wait", "20", "s");
        assert_eq!(said, []);
        assert_eq!(limit(&pack, "hot-wait").unwrap().value, 20.0);
        assert_eq!(pack.amendments()[0].was, "nothing");
    }

    /// A wrong name, a wrong unit, a rule without a figure, and what is no figure.
    #[test]
    fn slips_are_told() {
        let refused = |key, value, unit| {
            let (pack, mut said) = amended(key, value, unit);
            assert!(pack.amendments().is_empty());
            said.remove(0)
        };
        let near = refused("fixture-fornt", "24", "in");
        assert_eq!(near.code, "unknown-code-value");
        assert_eq!(near.help.as_deref(), Some("did you mean `fixture-front`?"));
        assert_eq!(
            refused("fixture-front", "24", "psi").code,
            "amendment-value"
        );
        assert_eq!(
            refused("fixture-front", "no limit", "").code,
            "amendment-value"
        );
        assert_eq!(refused("service-valve", "1", "").code, "unknown-code-value");
    }

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
