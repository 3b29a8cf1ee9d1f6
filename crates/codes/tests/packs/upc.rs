//! The tables of the UPC against rows as they are printed; nothing here was read from our own data.

use crate::common::{all_spotted, check_spots, pack};
use wyeline_codes::{Flush, How, Use, Way};
use wyeline_units::{Size, Slope};

const DRAINS: &str = "UPC 2021 Table 703.2";

const SPOTS: &[(&str, &str, &str, &str)] = &[
    ("drains-and-vents", "1-1/2\" vertical", "2", DRAINS),
    ("drains-and-vents", "2\" horizontal", "8", DRAINS),
    ("drains-and-vents", "3\" horizontal", "35", DRAINS),
    ("drains-and-vents", "2\" vent-length", "120", DRAINS),
    ("drains-and-vents", "4\" vent", "256", DRAINS),
    (
        "drains-and-vents",
        "6\" vertical",
        "1380",
        "UPC 2021 Table 703.2 (from memory)",
    ),
    (
        "closet-limits",
        "3\" vertical",
        "4",
        "UPC 2021 Table 703.2, notes 3 and 4",
    ),
    (
        "closet-limits",
        "3\" horizontal",
        "3",
        "UPC 2021 Table 703.2, notes 3 and 4",
    ),
    (
        "sewers",
        "8\" 1/4 in/ft most",
        "3900",
        "UPC 2021 Table 717.1 (from memory)",
    ),
    (
        "sewers",
        "12\" 1/16 in/ft least",
        "1700",
        "UPC 2021 Table 717.1 (from memory)",
    ),
    (
        "drain-fixtures",
        "clothes-washer private",
        "3",
        "UPC 2021 Table 702.1",
    ),
    (
        "drain-fixtures",
        "water-closet assembly",
        "6",
        "UPC 2021 Table 702.1 (from memory)",
    ),
    (
        "drain-fixtures",
        "bar-sink trap",
        "1-1/2\"",
        "UPC 2021 Table 702.1",
    ),
    (
        "drain-by-trap",
        "1-1/2\" units",
        "3",
        "UPC 2021 Table 702.2(1)",
    ),
    (
        "drain-by-trap",
        "4\" units",
        "8",
        "UPC 2021 Table 702.2(1) (from memory)",
    ),
    (
        "drain-by-flow",
        "15 units",
        "2",
        "UPC 2021 Table 702.2(2) (from memory)",
    ),
    (
        "drain-by-flow",
        "50 units",
        "6",
        "UPC 2021 Table 702.2(2) (from memory)",
    ),
    (
        "slopes",
        "1-1/4\" slope",
        "1/4 in/ft",
        "UPC 2021 Section 708.1",
    ),
    (
        "trap-arms",
        "1-1/2\" longest",
        "42",
        "UPC 2021 Table 1002.2",
    ),
    ("trap-arms", "4\" shortest", "8", "UPC 2021 Table 1002.2"),
    (
        "wet-vents",
        "2\" units",
        "4",
        "UPC 2021 Section 908.2 (from memory)",
    ),
    (
        "wet-vents",
        "3\" units",
        "no limit",
        "UPC 2021 Section 908.2 (from memory)",
    ),
    (
        "fittings",
        "sanitary-tee horizontal-to-vertical",
        "yes",
        "UPC 2021 Section 706",
    ),
    (
        "fittings",
        "wye vertical-to-horizontal",
        "yes",
        "UPC 2021 Section 706",
    ),
    (
        "water-loads",
        "bathtub private total",
        "4",
        "UPC 2021 Table 610.3",
    ),
    (
        "water-loads",
        "water-closet assembly total",
        "3.5",
        "UPC 2021 Table 610.3 (from memory)",
    ),
    (
        "water-loads",
        "shower private cold",
        "1.5",
        "UPC 2021 Table 610.3 (computed)",
    ),
    (
        "supply-sizes",
        "lavatory size",
        "1/2\"",
        "UPC 2021 Table 610.3",
    ),
    (
        "supply-sizes",
        "bathtub-3/4 size",
        "3/4\"",
        "UPC 2021 Table 610.3 (from memory)",
    ),
    (
        "flush-valves",
        "3 water-closet",
        "90",
        "UPC 2021 Table 610.10",
    ),
    ("flush-valves", "2 urinal", "35", "UPC 2021 Table 610.10"),
    (
        "demand",
        "60 tank",
        "32",
        "UPC 2021 Charts A 103.1(1) and (2) (from memory)",
    ),
    (
        "demand",
        "1000 flushometer",
        "208",
        "UPC 2021 Charts A 103.1(1) and (2) (from memory)",
    ),
    (
        "velocities",
        "copper cold",
        "8",
        "UPC 2021 Section 610.12 (from memory)",
    ),
    (
        "velocities",
        "copper hot",
        "5",
        "UPC 2021 Section 610.12 (from memory)",
    ),
    (
        "service-sizes",
        "30 45 1\" 3/4\" 100 ft",
        "21",
        "UPC 2021 Table 610.4",
    ),
    (
        "service-sizes",
        "46 60 2\" 2\" 1000 ft",
        "94",
        "UPC 2021 Table 610.4 (from memory)",
    ),
    (
        "threaded-fittings",
        "tee-branch 3/4\"",
        "4",
        "UPC 2021 Table A 104.4(1) (from memory)",
    ),
    (
        "threaded-fittings",
        "gate-valve 2\"",
        "1.3",
        "UPC 2021 Table A 104.4(1) (from memory)",
    ),
    (
        "meters",
        "5/8\" flow",
        "20",
        "AWWA C700 safe maximum operating capacity (from memory)",
    ),
    (
        "meters",
        "1\" loss",
        "15",
        "AWWA C700 safe maximum operating capacity (from memory)",
    ),
    (
        "fixtures",
        "three-compartment-sink - drain",
        "commercial-sink",
        "UPC 2021 which line of its tables stands for a kind (common practice)",
    ),
    (
        "fixtures",
        "water-closet flushometer water",
        "-",
        "UPC 2021 which line of its tables stands for a kind (common practice)",
    ),
    (
        "gas-half-inch",
        "10 1\"",
        "678",
        "UPC 2021 Table 1215.2(1) (from memory)",
    ),
    (
        "gas-half-inch",
        "100 2\"",
        "1160",
        "UPC 2021 Table 1215.2(1) (from memory)",
    ),
    (
        "gas-fittings",
        "elbow-45 1\"",
        "1.22",
        "IFGC 2018 Table A.2.2",
    ),
    (
        "gas-fittings",
        "return 1/2\"",
        "3.47",
        "IFGC 2018 Table A.2.2",
    ),
    (
        "gas-inputs",
        "gas-dryer - input",
        "35000",
        "NFPA 54 Table A.5.4.2.1",
    ),
    (
        "gas-inputs",
        "gas-range top-unit input",
        "40000",
        "NFPA 54 Table A.5.4.2.1 (from memory)",
    ),
];

fn size(text: &str) -> Size {
    text.parse().expect("a size")
}
fn slope(text: &str) -> Slope {
    text.parse().expect("a slope")
}

#[test]
fn rows_are_as_printed() {
    check_spots(pack("upc-2021"), SPOTS);
}

#[test]
fn every_table_is_looked_at() {
    all_spotted(pack("upc-2021"), SPOTS);
}

#[test]
fn large_horizontal_drains_hold_less_at_an_eighth() {
    // 4 in: 216 at 1/4 in per ft, 0.8 x 216 = 172.8 at 1/8 (Table 703.2, note 5).
    let upc = pack("upc-2021");
    let of = |slope| upc.branch_allows(size("4\""), slope).expect("a row").value;
    assert_eq!(of(None), 216.0);
    assert_eq!(of(Some(slope("1/4 in per ft"))), 216.0);
    assert!((of(Some(slope("1/8 in per ft"))) - 172.8).abs() < 1e-9);
    // Smaller drains may not lie so flat; 10 units need the 4 in drain then.
    assert!(
        upc.branch_allows(size("3\""), Some(slope("1/8 in per ft")))
            .is_err()
    );
    let least = upc
        .least_branch(10.0, Some(slope("1/8 in per ft")))
        .expect("a size")
        .value;
    assert_eq!(least.size, size("4\""));
}

#[test]
fn closets_are_counted_on_three_inch_drains() {
    let upc = pack("upc-2021");
    assert_eq!(
        upc.closet_limit(size("3\""), Way::Vertical)
            .expect("a limit")
            .value,
        4
    );
    assert_eq!(
        upc.closet_limit(size("3\""), Way::Horizontal)
            .expect("a limit")
            .value,
        3
    );
    assert!(upc.closet_limit(size("4\""), Way::Horizontal).is_err());
}

#[test]
fn vents_are_sized_by_load_and_length() {
    // A known exercise: 1-1/2 in vents with 7 and 5 units join; 12 units are within the 24 of a 2 in vent.
    let upc = pack("upc-2021");
    let of = |drain, units, feet: f64| {
        upc.other_vent(size(drain), units, feet * 304.8)
            .expect("a vent")
            .value
            .size
    };
    assert_eq!(of("2\"", 7.0, 20.0), size("1-1/2\""));
    assert_eq!(of("2\"", 12.0, 20.0), size("2\""));
    // 1-1/2 in is limited to 60 ft; beyond, one size larger throughout is not limited.
    assert_eq!(of("2\"", 7.0, 61.0), size("2\""));
    // Half of a 4 in drain is 2 in, however small the load.
    assert_eq!(of("4\"", 3.0, 5.0), size("2\""));
}

#[test]
fn flushometers_count_by_their_number() {
    // Table 610.10: closets 40, 70, 90, 105, then 10 each; urinals 20, 35, 45, 53, then 5 each.
    let upc = pack("upc-2021");
    let of = |closets, urinals| upc.flush_valves(closets, urinals).expect("a load").value;
    assert_eq!(of(0, 0), 0.0);
    assert_eq!(of(1, 0), 40.0);
    assert_eq!(of(4, 2), 140.0);
    assert_eq!(of(7, 0), 135.0);
    assert_eq!(of(0, 6), 63.0);
}

#[test]
fn the_chart_of_demand_is_read_between_its_points_and_marked() {
    // A worked case: 68.5 wsfu, about 35 gpm by the chart. Between 60 (32.0) and 70 (35.0): 32 + 0.85 x 3 = 34.55.
    let found = pack("upc-2021").demand(68.5, Flush::Tank).expect("a flow");
    assert!((found.value / 0.063_090_2 - 34.55).abs() < 1e-3);
    assert_eq!(found.cite.how, How::Computed);
    // On a printed point nothing is computed.
    assert_eq!(
        pack("upc-2021")
            .demand(60.0, Flush::Tank)
            .expect("a flow")
            .cite
            .how,
        How::Memory
    );
}

#[test]
fn loads_follow_the_column_of_the_use() {
    let upc = pack("upc-2021");
    let of = |kind, by| upc.drain_load(kind, by).map(|load| load.value.units);
    assert_eq!(of("water-closet", Use::Private).ok(), Some(3.0));
    assert_eq!(of("water-closet", Use::Assembly).ok(), Some(6.0));
    // The table leaves the assembly column blank for the bathtub.
    assert!(of("bathtub", Use::Assembly).is_err());
    assert!(upc.water_load("bathtub", Use::Assembly).is_err());
    // A mop basin is listed for public use only.
    assert!(of("service-sink", Use::Private).is_err());
}

#[test]
fn sewers_have_a_least_load_too() {
    // Table 717.1: 8 in at 1/8 in per ft, most 2800, least 625; 3/16 is read at 1/8.
    let found = pack("upc-2021").sewer_allows(size("8\""), slope("3/16 in per ft"));
    assert_eq!(found.expect("a row").value, (2800.0, 625.0));
    assert!(
        pack("upc-2021")
            .sewer_allows(size("6\""), slope("1/4 in per ft"))
            .is_err()
    );
}
