//! What is taken where a job says nothing, from `data/practice.toml`.

use std::sync::LazyLock;

use serde::Deserialize;

const INCH: f64 = 25.4;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    wall_thick: f64,
    wall_height: f64,
    roof_terminal: f64,
    riser_trap_drop: f64,
    angles: Vec<u32>,
}

/// Defaults of common practice, mm.
pub struct Practice {
    /// Thickness of a wall that says none.
    pub wall_thick: f64,
    /// Height of a wall where no ceiling and no floor above is told.
    pub wall_height: f64,
    /// How far a pipe through the roof ends above it.
    pub roof_terminal: f64,
    /// Trap below the outlet of a floor fixture where the run lies right under it.
    pub riser_trap_drop: f64,
    /// Angles that fittings come in, hundredths of a degree.
    pub angles: Vec<u32>,
}

/// The defaults.
pub fn practice() -> &'static Practice {
    static PRACTICE: LazyLock<Practice> = LazyLock::new(|| {
        let file: File = toml::from_str(include_str!("../data/practice.toml"))
            .expect("the table of defaults is well formed");
        Practice {
            wall_thick: file.wall_thick * INCH,
            wall_height: file.wall_height * INCH,
            roof_terminal: file.roof_terminal * INCH,
            riser_trap_drop: file.riser_trap_drop * INCH,
            angles: file.angles,
        }
    });
    &PRACTICE
}
