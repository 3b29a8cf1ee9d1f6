//! What a printed listing of a code can rest on.

use wyeline_codes::{How, Pack, Use};

#[test]
fn four_codes_are_held_by_their_names() {
    let ids: Vec<_> = Pack::all().iter().map(Pack::id).collect();
    assert_eq!(ids, ["en-12056", "ipc-2021", "npc-2020", "upc-2021"]);
    assert!(Pack::named("ipc-1999").is_none());
    for id in ids {
        assert_eq!(Pack::named(id).map(Pack::id), Some(id));
    }
}

#[test]
fn every_cell_and_single_value_is_cited() {
    for pack in Pack::all() {
        for table in pack.tables() {
            for cell in table.rows.iter().flat_map(|row| row.cells.iter()) {
                assert!(
                    !cell.cite.document.is_empty() && !cell.cite.place.is_empty(),
                    "{}",
                    table.name()
                );
            }
            assert!(!table.title.is_empty(), "{}", table.name());
        }
        for (spec, rule) in pack.rules() {
            assert!(
                !rule.cite.document.is_empty() && !rule.cite.place.is_empty(),
                "{}",
                spec.key
            );
        }
    }
}

#[test]
fn nothing_is_local_before_a_job_amends_it() {
    let cites = Pack::all()
        .iter()
        .flat_map(Pack::tables)
        .flat_map(|table| &table.rows);
    assert!(
        cites
            .flat_map(|row| row.cells.iter())
            .all(|cell| cell.cite.how != How::Local)
    );
}

#[test]
fn a_cell_is_found_by_one_key_only() {
    for pack in Pack::all() {
        for table in pack.tables() {
            let mut keys: Vec<_> = (0..table.rows.len())
                .flat_map(|row| (0..table.columns.len()).map(move |column| (row, column)))
                .map(|(row, column)| table.key(row, column))
                .collect();
            let all = keys.len();
            keys.sort();
            keys.dedup();
            assert_eq!(keys.len(), all, "{} {}", pack.id(), table.name());
        }
    }
}

#[test]
fn absent_tables_are_not_held_and_say_what_to_do() {
    for pack in Pack::all() {
        for absent in pack.absent() {
            assert!(
                pack.tables().all(|table| table.id != absent.table),
                "{} {:?}",
                pack.id(),
                absent.table
            );
            assert!(!absent.help.is_empty());
        }
    }
}

#[test]
fn single_values_come_in_the_unit_of_answers() {
    // 6 in are 152.4 mm, 80 psi are 551.58 kPa, 110 °F are 43.33 °C, 64 fl oz are 1.893 l.
    let ipc = Pack::named("ipc-2021").expect("held");
    for (key, expected) in [
        ("vent.rise-above-flood-rim", 152.4),
        ("water.static-pressure-most", 551_580.6),
        ("hot.tempered-most", 43.333),
        ("hot.volume-from-heater", 1.8927),
    ] {
        let found = ipc.scalar(key).expect("stated").value;
        assert!((found / expected - 1.0).abs() < 1e-4, "{key}: {found}");
    }
}

#[test]
fn a_single_value_that_is_misspelt_is_answered_with_the_nearest() {
    let missing = Pack::named("ipc-2021")
        .expect("held")
        .scalar("vent.leest")
        .expect_err("no such value");
    assert!(
        missing.asked.contains("did you mean `vent.least`?"),
        "{}",
        missing.asked
    );
}

#[test]
fn every_kind_with_a_trap_has_a_drain_line_in_the_full_codes() {
    let trapped = [
        "water-closet",
        "bidet",
        "lavatory",
        "bathtub",
        "shower",
        "kitchen-sink",
        "bar-sink",
        "service-sink",
        "laundry-tray",
        "clothes-washer",
        "urinal",
        "three-compartment-sink",
        "floor-drain",
        "floor-sink",
    ];
    for pack in ["ipc-2021", "upc-2021", "en-12056"].map(|id| Pack::named(id).expect("held")) {
        for kind in trapped {
            // The UPC lists bidets for private use only.
            let by = if kind == "bidet" {
                Use::Private
            } else {
                Use::Public
            };
            let found = pack.drain_load(kind, by);
            assert!(found.is_ok(), "{} {kind}: {found:?}", pack.id());
        }
    }
}
