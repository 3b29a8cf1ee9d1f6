//! Demand against the published tables, every row: what stands in `demand_rows.toml` is copied from the prints, not from
//! the packs.

use std::sync::LazyLock;

use serde::Deserialize;
use wyeline_codes::{Flush, Pack};

use crate::common::pack;

/// l/s in a US gallon a minute: 231 cubic inches of 25.4 mm in 60 s.
const GPM: f64 = 231.0 * 25.4 * 25.4 * 25.4 / 1e6 / 60.0;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Printed {
    ipc: Columns,
    illinois: Columns,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Columns {
    source: String,
    how: String,
    /// Units and gpm.
    tank: Vec<(f64, f64)>,
    #[serde(default)]
    flushometer: Vec<(f64, f64)>,
}

static PRINTED: LazyLock<Printed> = LazyLock::new(|| {
    let printed: Printed =
        toml::from_str(include_str!("demand_rows.toml")).expect("the printed rows are well formed");
    for columns in [&printed.ipc, &printed.illinois] {
        assert!(!columns.source.is_empty() && !columns.how.is_empty());
    }
    printed
});

fn gpm(pack: &Pack, units: f64, flush: Flush) -> f64 {
    pack.demand(units, flush).expect("within the table").value / GPM
}

fn columns(printed: &Columns) -> [(Flush, &[(f64, f64)]); 2] {
    [
        (Flush::Tank, &printed.tank),
        (Flush::Flushometer, &printed.flushometer),
    ]
}

/// E103.3(3) prints 52 rows for tanks, from 1 to 5000 units, and 48 for flushometers, from 5 on. The UPC prints charts of
/// the same curve; the points held of it are those.
#[test]
fn every_printed_row_is_held_as_it_is_printed() {
    let printed = &PRINTED.ipc;
    assert_eq!((printed.tank.len(), printed.flushometer.len()), (52, 48));
    for code in ["ipc-2021", "upc-2021"] {
        for (flush, rows) in columns(printed) {
            for &(units, flow) in rows {
                let found = gpm(pack(code), units, flush);
                assert!(
                    (found - flow).abs() < 1e-6,
                    "{code}, {flush:?} at {units}: {found} gpm, printed {flow}"
                );
            }
        }
    }
}

/// The IPC steps up to the next printed row, as its example does (288 units: 108.0 gpm, the row of 300): midway between
/// two rows the upper holds, and above the last row there is nothing.
#[test]
fn between_the_rows_the_ipc_takes_the_next() {
    for (flush, rows) in columns(&PRINTED.ipc) {
        for pair in rows.windows(2) {
            let middle = f64::midpoint(pair[0].0, pair[1].0);
            let found = gpm(pack("ipc-2021"), middle, flush);
            assert!((found - pair[1].1).abs() < 1e-6, "{flush:?} at {middle}");
        }
        let last = rows.last().expect("rows").0;
        assert!(pack("ipc-2021").demand(last + 1.0, flush).is_err());
    }
}

/// A chart is read between its lines: midway between two points of the UPC's curve the flow is midway too.
#[test]
fn between_the_points_the_chart_of_the_upc_is_read() {
    for (flush, rows) in columns(&PRINTED.ipc) {
        for pair in rows.windows(2) {
            let middle = f64::midpoint(pair[0].0, pair[1].0);
            let found = gpm(pack("upc-2021"), middle, flush);
            let expected = f64::midpoint(pair[0].1, pair[1].1);
            assert!(
                (found - expected).abs() < 1e-6,
                "{flush:?} at {middle}: {found}, expected {expected}"
            );
        }
    }
}

/// More load never asks for less, in steps of half a unit over the whole table; a valve never for less than a tank, and both columns are one from 1000 units up.
#[test]
fn demand_rises_with_the_load() {
    for code in ["ipc-2021", "upc-2021"] {
        let mut before = [0.0; 2];
        for half in 10..=10_000_u32 {
            let units = f64::from(half) / 2.0;
            let now = [Flush::Tank, Flush::Flushometer].map(|flush| gpm(pack(code), units, flush));
            assert!(
                now[0] >= before[0] && now[1] >= before[1],
                "{code} at {units}"
            );
            assert!(now[1] >= now[0] - 1e-9, "{code} at {units}: {now:?}");
            if units >= 1000.0 {
                assert_eq!(now[0], now[1], "{code} at {units}");
            }
            before = now;
        }
    }
}

/// A state's print of the same curve, seen in full: from 60 units up the tank column agrees to the figure at every row that both have,
/// but for 500 (125 there) and for 1250 to 2000, which it has up to 5 gpm apart.
#[test]
fn another_print_of_the_curve_agrees_from_60_units_up() {
    let mut agree = 0;
    for &(units, flow) in PRINTED.illinois.tank.iter().filter(|row| row.0 >= 60.0) {
        let own = PRINTED.ipc.tank.iter().any(|row| row.0 == units);
        if !own {
            continue;
        }
        let found = gpm(pack("ipc-2021"), units, Flush::Tank);
        let apart = match units {
            500.0 => 1.0,
            1250.0.. => 5.0,
            _ => 0.0,
        };
        assert!(
            (found - flow).abs() <= apart + 1e-6,
            "{units}: {found} gpm, {flow} there"
        );
        agree += u32::from(apart == 0.0);
    }
    // 60, 70, 80, 90, 100, 120, 140, 160, 180, 200, 225, 250, 275, 300, 400, 750, 1000.
    assert_eq!(agree, 17);
}
