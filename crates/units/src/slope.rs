//! Slopes as exact ratios of fall to level run.

/// A slope: `fall` in `run`, both in the same unit, kept exactly.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Slope {
    fall: u32,
    run: u32,
}

impl Slope {
    /// 1/4 inch per foot: what is drawn, and marked assumed, where nothing is said.
    ///
    /// # Source
    /// Common practice; the usual least slope for pipe of 2-1/2 in and less in
    /// North American codes (each code's own table governs).
    pub const QUARTER_INCH_PER_FOOT: Self = Self { fall: 1, run: 48 };
    /// 1 in 50: the same in metric jobs. Common practice.
    pub const ONE_IN_FIFTY: Self = Self { fall: 1, run: 50 };

    /// `fall` in `run`, reduced; nothing where `run` is 0.
    pub fn new(fall: u32, run: u32) -> Option<Self> {
        if run == 0 {
            return None;
        }
        let (mut a, mut b) = (fall, run);
        while b != 0 {
            (a, b) = (b, a % b);
        }
        let a = a.max(1);
        Some(Self { fall: fall / a, run: run / a })
    }
    /// The fall per unit of level run (0.02 = 1 in 50).
    pub fn ratio(self) -> f64 {
        f64::from(self.fall) / f64::from(self.run)
    }
    /// The exact terms, fall and run.
    pub const fn terms(self) -> (u32, u32) {
        (self.fall, self.run)
    }
}
