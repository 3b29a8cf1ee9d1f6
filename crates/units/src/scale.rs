//! Drawing scales: how many units of the building one unit of paper stands for.

/// A drawing scale, as the building's length over the paper's (1/4 in = 1 ft is 48).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Scale(pub u32);

impl Scale {
    /// Paper millimetres for so many millimetres of the building.
    pub fn paper(self, mm: f64) -> f64 {
        mm / f64::from(self.0)
    }
}
