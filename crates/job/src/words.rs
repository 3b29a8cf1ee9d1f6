//! The words of the language and what they stand for.

use crate::model::{BodyKind, Bound, Compass, DeviceKind, Leg, System};

/// First words of statements.
pub const STATEMENTS: [&str; 48] = [
    "job",
    "address",
    "drawn-by",
    "licence",
    "date",
    "issue",
    "units",
    "code",
    "datum",
    "grade",
    "frost-depth",
    "slope",
    "note",
    "use",
    "amend",
    "supply",
    "heater",
    "winter",
    "method",
    "material",
    "measured",
    "stock",
    "offcut",
    "kerf",
    "spare",
    "level",
    "roof",
    "wall",
    "room",
    "door",
    "window",
    "beam",
    "girder",
    "duct",
    "footing",
    "slab",
    "column",
    "fixture",
    "group",
    "end-group",
    "place",
    "waste",
    "vent",
    "cold",
    "hot",
    "hot-return",
    "storm",
    "gas",
];

/// First words of steps that are neither compass words nor devices.
pub const STEPS: [&str; 23] = [
    "start",
    "up",
    "down",
    "offset",
    "to",
    "point",
    "catch",
    "end",
    "join",
    "cap",
    "continues",
    "size",
    "slope",
    "material",
    "existing",
    "new",
    "unverified",
    "verified",
    "insulated",
    "bare",
    "arrives",
    "fitting",
    "note",
];

/// Compass words, counter-clockwise from east, an eighth of a turn apart.
pub const COMPASS: [(&str, Compass); 8] = [
    ("east", Compass::East),
    ("northeast", Compass::Northeast),
    ("north", Compass::North),
    ("northwest", Compass::Northwest),
    ("west", Compass::West),
    ("southwest", Compass::Southwest),
    ("south", Compass::South),
    ("southeast", Compass::Southeast),
];

/// Coordinates told by a wall.
pub const WALL_SIDES: [(&str, Compass); 4] = [
    ("west-wall", Compass::West),
    ("east-wall", Compass::East),
    ("south-wall", Compass::South),
    ("north-wall", Compass::North),
];

/// How a point has to lie to the height it `arrives` at, where not exactly there.
pub const BOUNDS: [(&str, Bound); 2] = [
    ("at-or-below", Bound::AtOrBelow),
    ("at-or-above", Bound::AtOrAbove),
];

/// Where on a fitting a length is measured.
pub const LEGS: [(&str, Leg); 6] = [
    ("each", Leg::Each),
    ("run-inlet", Leg::RunInlet),
    ("run-outlet", Leg::RunOutlet),
    ("branch", Leg::Branch),
    ("total", Leg::Total),
    ("depth", Leg::Depth),
];

/// Names of ports.
pub const PORTS: [&str; 8] = [
    "drain", "tee", "cold", "hot", "vent", "gas", "return", "relief",
];

/// Kinds of bodies.
pub const BODIES: [(&str, BodyKind); 6] = [
    ("beam", BodyKind::Beam),
    ("girder", BodyKind::Girder),
    ("duct", BodyKind::Duct),
    ("footing", BodyKind::Footing),
    ("slab", BodyKind::Slab),
    ("column", BodyKind::Column),
];

/// What sits in a pipe.
pub const DEVICES: [(&str, DeviceKind); 19] = [
    ("cleanout", DeviceKind::Cleanout),
    ("gate-valve", DeviceKind::GateValve),
    ("ball-valve", DeviceKind::BallValve),
    ("globe-valve", DeviceKind::GlobeValve),
    ("check-valve", DeviceKind::CheckValve),
    ("balancing-valve", DeviceKind::BalancingValve),
    ("mixing-valve", DeviceKind::MixingValve),
    ("gas-cock", DeviceKind::GasCock),
    ("meter", DeviceKind::Meter),
    ("pressure-reducing-valve", DeviceKind::PressureReducingValve),
    (
        "pressure-reducing-station",
        DeviceKind::PressureReducingStation,
    ),
    ("backflow-preventer", DeviceKind::BackflowPreventer),
    ("backwater-valve", DeviceKind::BackwaterValve),
    ("strainer", DeviceKind::Strainer),
    ("union", DeviceKind::Union),
    ("hammer-arrestor", DeviceKind::HammerArrestor),
    ("expansion-tank", DeviceKind::ExpansionTank),
    ("pump", DeviceKind::Pump),
    ("softener", DeviceKind::Softener),
];

/// What a word stands for in one of the tables above.
pub fn look_up<T: Copy>(table: &[(&str, T)], word: &str) -> Option<T> {
    table
        .iter()
        .find(|(name, _)| *name == word)
        .map(|(_, value)| *value)
}

/// The system a run's first word names.
pub fn system(word: &str) -> Option<System> {
    System::ALL.into_iter().find(|system| system.word() == word)
}

/// Whether a line that begins with this word belongs to the run that is open; `note`, `slope` and `material`
/// begin statements elsewhere.
pub fn continues_run(first: &str) -> bool {
    STEPS.contains(&first) || !STATEMENTS.contains(&first)
}

/// All words that can begin a step.
pub fn step_words() -> impl Iterator<Item = &'static str> {
    let compass = COMPASS.iter().map(|(word, _)| *word);
    let devices = DEVICES.iter().map(|(word, _)| *word);
    STEPS.into_iter().chain(compass).chain(devices)
}

impl Compass {
    /// The word the job language uses.
    pub fn word(self) -> &'static str {
        COMPASS[self.eighth()].0
    }
    /// Eighths of a turn counter-clockwise from east.
    pub const fn eighth(self) -> usize {
        match self {
            Self::East => 0,
            Self::Northeast => 1,
            Self::North => 2,
            Self::Northwest => 3,
            Self::West => 4,
            Self::Southwest => 5,
            Self::South => 6,
            Self::Southeast => 7,
        }
    }
    /// The direction so many eighths of a turn counter-clockwise from east.
    pub const fn from_eighth(eighth: usize) -> Self {
        COMPASS[eighth % 8].1
    }
}

impl DeviceKind {
    /// The word the job language uses.
    pub fn word(self) -> &'static str {
        DEVICES
            .iter()
            .find(|(_, kind)| *kind == self)
            .map_or("", |(word, _)| *word)
    }
}

impl Leg {
    /// The word the job language uses.
    pub fn word(self) -> &'static str {
        LEGS.iter()
            .find(|(_, leg)| *leg == self)
            .map_or("", |(word, _)| *word)
    }
}

impl BodyKind {
    /// The word the job language uses.
    pub fn word(self) -> &'static str {
        BODIES
            .iter()
            .find(|(_, kind)| *kind == self)
            .map_or("", |(word, _)| *word)
    }
}
