//! The formula of peak flow that goes with EN 806-3: DIN 1988-300, a (sum)^b - c in l/s, constants from memory.

use wyeline_codes::{Amendment, How, Pack, Use};

use crate::common::pack;

/// The pack for the building of a row of DIN 1988-300 Table 3, as a job says it.
fn building(row: &str) -> Pack {
    let amendment = Amendment {
        table: "rules".to_owned(),
        key: "water.peak-building".to_owned(),
        value: row.to_owned(),
        unit: String::new(),
        by: "the kind of building".to_owned(),
        span: wyeline_job::Span::default(),
    };
    let (pack, said) = pack("en-12056").amended(&[amendment]);
    assert_eq!(said, []);
    pack
}

fn peak(pack: &Pack, sum: f64) -> f64 {
    let formula = pack.peak_formula(Use::Private).expect("a formula").value;
    formula.flow(sum).expect("within the formula")
}

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 5e-5, "{found}, not {expected}");
}

/// 1.48 sum^0.19 - 0.94 where the powers are known: 1^0.19 = 1; 32^0.19 = 2^0.95 = 1.9319; 10^0.19 = 1.54882, which gives 2.29225 - 0.94.
#[test]
fn a_dwelling_by_hand() {
    let en = pack("en-12056");
    near(peak(en, 1.0), 1.48 - 0.94);
    near(peak(en, 10.0), 1.3522);
    near(peak(en, 32.0), 1.9192);
}

/// At a sum of 1 l/s each building gives a - c: the six rows of Table 3 in their order.
#[test]
fn every_building_at_one_litre() {
    let rows = [
        (1.48, 0.94),
        (0.75, 0.18),
        (0.7, 0.13),
        (0.91, 0.38),
        (0.91, 0.38),
        (1.4, 0.92),
    ];
    for (at, (a, c)) in rows.into_iter().enumerate() {
        near(peak(&building(&(at + 1).to_string()), 1.0), a - c);
    }
    assert!(building("7").peak_formula(Use::Private).is_err());
}

/// Below 0.2 l/s the peak is the sum; at 0.2 the formula falls to 0.15 (1.48 x 0.7366 - 0.94), which is not followed: the
/// peak stays at 0.2 until the formula gives more. Above 500 l/s nothing is said.
#[test]
fn where_the_formula_begins_and_ends() {
    let en = pack("en-12056");
    near(peak(en, 0.15), 0.15);
    near(peak(en, 0.2), 0.2);
    near(peak(en, 0.22), 0.2);
    // 0.3^0.19 = exp(0.19 ln 0.3) = exp(-0.22875) = 0.79553.
    near(peak(en, 0.3), 1.48 * 0.795_53 - 0.94);
    let formula = en.peak_formula(Use::Private).expect("a formula").value;
    assert!(formula.flow(500.0).is_some());
    assert_eq!(formula.flow(500.1), None);
}

/// More outlets never make the peak smaller, and it is never more than all of them together.
#[test]
fn the_peak_rises_with_the_sum() {
    for row in 1..=6 {
        let pack = building(&row.to_string());
        let mut before = 0.0;
        for hundredth in 1..=50_000_u32 {
            let sum = f64::from(hundredth) / 100.0;
            let now = peak(&pack, sum);
            assert!(now >= before && now <= sum + 1e-12, "row {row} at {sum}");
            before = now;
        }
    }
}

/// A building that is not a dwelling has to be named; the constants are said to be from memory.
#[test]
fn another_building_is_not_guessed() {
    let none = pack("en-12056")
        .peak_formula(Use::Public)
        .expect_err("not said");
    assert!(none.help.contains("water.peak-building"), "{}", none.help);
    let hotel = building("3").peak_formula(Use::Public).expect("said");
    assert_eq!(
        (&*hotel.value.building, hotel.cite.how),
        ("hotel", How::Memory)
    );
    // Codes with tables of demand have no formula.
    assert!(pack("ipc-2021").peak_formula(Use::Private).is_err());
}

/// DIN 1988-300 Table 2: basin and kitchen sink 0.07, cistern 0.13, shower and bath 0.15 l/s; a flush valve 1.0 l/s at 1.2 bar.
#[test]
fn outlets_by_their_kind() {
    let of = |kind, variant| {
        let need = pack("en-12056").design_flow_of(kind, variant, Use::Private);
        let need = need.expect("listed").value;
        (need.flow_lps, need.pressure_pa.expect("printed"))
    };
    assert_eq!(of("lavatory", ""), (0.07, 100_000.0));
    assert_eq!(of("kitchen-sink", ""), (0.07, 100_000.0));
    assert_eq!(of("water-closet", ""), (0.13, 50_000.0));
    assert_eq!(of("shower", ""), (0.15, 100_000.0));
    assert_eq!(of("bathtub", ""), (0.15, 100_000.0));
    assert_eq!(of("water-closet", "flushometer"), (1.0, 120_000.0));
}

/// EN 806-3 4.4: 2 m/s, in a connection of a single outlet 4 m/s. Other codes know no such difference.
#[test]
fn a_single_connection_may_be_faster() {
    let of = |code: &str, single| {
        let limit = pack(code).velocity_limit("copper", false, single);
        limit.expect("a limit").value
    };
    assert_eq!((of("en-12056", false), of("en-12056", true)), (2.0, 4.0));
    assert_eq!(of("upc-2021", false), of("upc-2021", true));
}
