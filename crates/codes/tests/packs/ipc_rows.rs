//! The tables of the IPC and IFGC against rows as they are printed; nothing here was read from our own data.

use crate::common::{all_spotted, check_spots, pack};

const BRANCHES: &str = "IPC 2021 Table 710.1(2)";
const DRAINS: &str = "IPC 2021 Table 710.1(1)";
const VENTS: &str = "IPC 2021 Table 906.1";
const FIXTURES: &str = "IPC 2021 Table 709.1 (from memory)";

const SPOTS: &[(&str, &str, &str, &str)] = &[
    ("branches-and-stacks", "3\" branch", "20", BRANCHES),
    ("branches-and-stacks", "4\" interval", "90", BRANCHES),
    ("branches-and-stacks", "4\" low-stack", "240", BRANCHES),
    ("branches-and-stacks", "4\" tall-stack", "500", BRANCHES),
    ("branches-and-stacks", "12\" branch", "3900", BRANCHES),
    ("branches-and-stacks", "15\" interval", "-", BRANCHES),
    ("building-drains", "3\" 1/8 in per ft", "36", DRAINS),
    ("building-drains", "3\" 1/4 in per ft", "42", DRAINS),
    ("building-drains", "3\" 1/2 in per ft", "50", DRAINS),
    ("building-drains", "4\" 1/16 in per ft", "-", DRAINS),
    ("building-drains", "8\" 1/16 in per ft", "1400", DRAINS),
    ("vents-by-length", "3\" 10 1-1/2\"", "42", VENTS),
    ("vents-by-length", "4\" 540 3\"", "150", VENTS),
    ("vents-by-length", "4\" 540 2-1/2\"", "50", VENTS),
    (
        "vents-by-length",
        "5\" 1400 3\"",
        "49",
        "IPC 2021 Table 906.1 (from memory)",
    ),
    (
        "vents-by-length",
        "15\" 50000 12\"",
        "180",
        "IPC 2021 Table 906.1 (from memory)",
    ),
    (
        "drain-fixtures",
        "water-closet private",
        "3",
        "IPC 2021 Table 709.1",
    ),
    ("drain-fixtures", "water-closet public", "4", FIXTURES),
    ("drain-fixtures", "lavatory trap", "1-1/4\"", FIXTURES),
    ("drain-fixtures", "floor-sink private", "-", FIXTURES),
    (
        "drain-fixtures",
        "drinking-fountain public",
        "0.5",
        FIXTURES,
    ),
    ("drain-groups", "bathroom-group units", "5", FIXTURES),
    (
        "drain-groups",
        "bathroom-group-over-1.6-gpf units",
        "6",
        FIXTURES,
    ),
    (
        "drain-by-trap",
        "2\" units",
        "3",
        "IPC 2021 Table 709.2 (from memory)",
    ),
    (
        "drain-by-trap",
        "4\" units",
        "6",
        "IPC 2021 Table 709.2 (from memory)",
    ),
    ("drain-showers", "12.3 units", "3", FIXTURES),
    ("drain-showers", "55.6 trap", "4\"", FIXTURES),
    (
        "slopes",
        "1-1/4\" slope",
        "1/4 in/ft",
        "IPC 2021 Table 704.1",
    ),
    ("slopes", "3\" slope", "1/8 in/ft", "IPC 2021 Table 704.1"),
    ("trap-arms", "1-1/2\" longest", "6", "IPC 2021 Table 909.1"),
    ("trap-arms", "4\" longest", "16", "IPC 2021 Table 909.1"),
    (
        "trap-arms",
        "3\" slope",
        "1/8 in/ft",
        "IPC 2021 Table 909.1 (from memory)",
    ),
    (
        "wet-vents",
        "2\" units",
        "4",
        "IPC 2021 Table 912.3 (from memory)",
    ),
    (
        "wet-vents",
        "3\" units",
        "12",
        "IPC 2021 Table 912.3 (from memory)",
    ),
    (
        "common-vents",
        "1-1/2\" upper",
        "1",
        "IPC 2021 Table 911.3 (from memory)",
    ),
    (
        "common-vents",
        "3\" upper",
        "6",
        "IPC 2021 Table 911.3 (from memory)",
    ),
    (
        "waste-stacks",
        "2\" total",
        "4",
        "IPC 2021 Table 913.4 (from memory)",
    ),
    (
        "waste-stacks",
        "3\" interval",
        "no limit",
        "IPC 2021 Table 913.4 (from memory)",
    ),
    (
        "combination-drains",
        "2\" to-branch",
        "3",
        "IPC 2021 Table 915.3 (from memory)",
    ),
    (
        "combination-drains",
        "4\" to-building-drain",
        "50",
        "IPC 2021 Table 915.3 (from memory)",
    ),
    (
        "fittings",
        "sanitary-tee horizontal-to-vertical",
        "yes",
        "IPC 2021 Table 706.3",
    ),
    (
        "fittings",
        "quarter-bend vertical-to-horizontal",
        "fixture drains to 2\"",
        "IPC 2021 Table 706.3",
    ),
    (
        "water-loads",
        "lavatory private total",
        "0.7",
        "IPC 2021 Table E103.3(2)",
    ),
    (
        "water-loads",
        "bathtub public cold",
        "3",
        "IPC 2021 Table E103.3(2)",
    ),
    (
        "water-loads",
        "water-closet-tank private total",
        "2.2",
        "IPC 2021 Table E103.3(2) (from memory)",
    ),
    ("demand", "50 tank", "29.1", "IPC 2021 Table E103.3(3)"),
    (
        "demand",
        "300 flushometer",
        "108",
        "IPC 2021 Table E103.3(3) (from memory)",
    ),
    (
        "demand",
        "4 flushometer",
        "-",
        "IPC 2021 Table E103.3(3) (from memory)",
    ),
    (
        "outlets",
        "lavatory private flow",
        "0.8",
        "IPC 2021 Table 604.3",
    ),
    (
        "outlets",
        "water-closet-flushometer any pressure",
        "35",
        "IPC 2021 Table 604.3",
    ),
    (
        "supply-sizes",
        "water-closet-flushometer size",
        "1\"",
        "IPC 2021 Table 604.5 (from memory)",
    ),
    (
        "supply-sizes",
        "lavatory size",
        "3/8\"",
        "IPC 2021 Table 604.5 (from memory)",
    ),
    (
        "velocities",
        "copper cold",
        "8",
        "Copper tube handbook velocities (common practice)",
    ),
    (
        "velocities",
        "copper hot",
        "5",
        "Copper tube handbook velocities (common practice)",
    ),
    (
        "service-sizes",
        "40 49 1\" 3/4\" 100 ft",
        "26",
        "IPC 2021 Table E201.1 (from memory)",
    ),
    (
        "service-sizes",
        "60 no limit 2\" 2\" 500 ft",
        "273",
        "IPC 2021 Table E201.1 (from memory)",
    ),
    (
        "manifolds",
        "3/4\" slow",
        "6",
        "IPC 2021 Table 604.10.1 (from memory)",
    ),
    (
        "manifolds",
        "1-1/2\" fast",
        "44",
        "IPC 2021 Table 604.10.1 (from memory)",
    ),
    (
        "taps",
        "120 2\"",
        "1.61",
        "IPC 2021 Table E103.3(4) (from memory)",
    ),
    (
        "taps",
        "40 5/8\"",
        "-",
        "IPC 2021 Table E103.3(4) (from memory)",
    ),
    (
        "meters",
        "3/4\" flow",
        "30",
        "AWWA C700 safe maximum operating capacity (from memory)",
    ),
    (
        "meters",
        "2\" loss",
        "20",
        "AWWA C700 safe maximum operating capacity (from memory)",
    ),
    (
        "threaded-fittings",
        "elbow-90 1\"",
        "3",
        "IPC 2021 Table E103.3(5) (from memory)",
    ),
    (
        "threaded-fittings",
        "globe-valve 3\"",
        "80",
        "IPC 2021 Table E103.3(5) (from memory)",
    ),
    (
        "copper-fittings",
        "elbow-90 3/4\"",
        "2",
        "IPC 2021 Table E103.3(6) (from memory)",
    ),
    (
        "copper-fittings",
        "tee-run 1\"",
        "-",
        "IPC 2021 Table E103.3(6) (from memory)",
    ),
    (
        "hot-volumes",
        "1/2\" volume",
        "1.5",
        "IECC 2018 Table C404.5.1 (from memory)",
    ),
    (
        "hot-volumes",
        "3/4\" other",
        "21",
        "IECC 2018 Table C404.5.1 (from memory)",
    ),
    (
        "scald",
        "bathtub any hottest",
        "120",
        "IPC 2021 Section 412.5",
    ),
    (
        "scald",
        "lavatory public hottest",
        "110",
        "IPC 2021 Section 419.5",
    ),
    (
        "fixtures",
        "urinal - supply",
        "urinal-flushometer",
        "IPC 2021 which line of its tables stands for a kind (common practice)",
    ),
    (
        "fixtures",
        "hose-bibb - drain",
        "-",
        "IPC 2021 which line of its tables stands for a kind (common practice)",
    ),
    (
        "gas-half-inch",
        "60 3/4\"",
        "137",
        "IFGC 2018 Table 402.4(2)",
    ),
    (
        "gas-half-inch",
        "250 1\"",
        "119",
        "IFGC 2018 Table 402.4(2) (from memory)",
    ),
    (
        "gas-three-inch",
        "40 1\"",
        "844",
        "IFGC 2018 Table 402.4(3)",
    ),
    (
        "gas-three-inch",
        "80 4\"",
        "19800",
        "IFGC 2018 Table 402.4(3)",
    ),
    (
        "gas-six-inch",
        "10 1/2\"",
        "660",
        "IFGC 2018 Table 402.4(4)",
    ),
    ("gas-six-inch", "50 2\"", "6450", "IFGC 2018 Table 402.4(4)"),
    (
        "gas-one-psi",
        "10 1/2\"",
        "1510",
        "IFGC 2018 Table 402.4(5)",
    ),
    ("gas-one-psi", "90 4\"", "63100", "IFGC 2018 Table 402.4(5)"),
    (
        "gas-two-psi",
        "10 1/2\"",
        "2350",
        "IFGC 2018 Table 402.4(6)",
    ),
    ("gas-two-psi", "90 2\"", "16700", "IFGC 2018 Table 402.4(6)"),
    (
        "gas-fittings",
        "elbow-90 3/4\"",
        "2.06",
        "IFGC 2018 Table A.2.2",
    ),
    (
        "gas-fittings",
        "tee-branch 2\"",
        "10.3",
        "IFGC 2018 Table A.2.2",
    ),
    (
        "gas-inputs",
        "gas-range - input",
        "65000",
        "NFPA 54 Table A.5.4.2.1",
    ),
    (
        "gas-inputs",
        "water-heater instantaneous-4-gpm input",
        "285000",
        "NFPA 54 Table A.5.4.2.1 (from memory)",
    ),
];

#[test]
fn rows_are_as_printed() {
    check_spots(pack("ipc-2021"), SPOTS);
}

#[test]
fn every_table_is_looked_at() {
    all_spotted(pack("ipc-2021"), SPOTS);
}
