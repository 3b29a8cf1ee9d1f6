//! Pressures, speeds and areas in words, in the units of the job.

use wyeline_units::UnitSystem;

use crate::context::Context;

/// Pascals in a pound per square inch.
pub const PSI: f64 = 6894.757;
const FOOT: f64 = 0.3048;

impl Context<'_> {
    /// Whether figures are shown in metric units.
    pub fn metric(&self) -> bool {
        UnitSystem::is_metric(self.network.units)
    }
    /// A pressure: `62.4 psi`, `430 kPa`.
    pub fn pressure(&self, pa: f64) -> String {
        if self.metric() {
            format!("{:.0} kPa", pa / 1000.0)
        } else {
            format!("{:.1} psi", pa / PSI)
        }
    }
    /// A speed: `8.3 ft/s`, `2.53 m/s`.
    pub fn speed(&self, metres_per_second: f64) -> String {
        if self.metric() {
            format!("{metres_per_second:.2} m/s")
        } else {
            format!("{:.1} ft/s", metres_per_second / FOOT)
        }
    }
}
