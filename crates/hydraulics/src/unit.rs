//! Factors from the trade's units to SI: multiply a figure in the unit by its factor.
//!
//! All follow from definitions: the inch of 25.4 mm, the gallon of 231 cubic inches, the pound of
//! 0.453 592 37 kg, standard gravity.

/// Standard gravity, m/s2. General Conference on Weights and Measures, 1901.
pub const GRAVITY: f64 = 9.806_65;
/// An inch, m.
pub const INCH: f64 = 0.025_4;
/// A foot, m.
pub const FOOT: f64 = 0.304_8;
/// A millimetre, m.
pub const MILLIMETRE: f64 = 0.001;
/// A US gallon of 231 cubic inches, m3.
pub const GALLON: f64 = 231.0 * INCH * INCH * INCH;
/// A US gallon a minute, m3/s.
pub const GPM: f64 = GALLON / 60.0;
/// A litre, m3.
pub const LITRE: f64 = 0.001;
/// A pound of force on a square inch, Pa.
pub const PSI: f64 = 0.453_592_37 * GRAVITY / (INCH * INCH);
/// A standard atmosphere, Pa.
pub const ATMOSPHERE: f64 = 101_325.0;
/// A British thermal unit (International Table), J.
pub const BTU: f64 = 1_055.055_852_62;
/// A Btu an hour, W.
pub const BTU_PER_HOUR: f64 = BTU / 3_600.0;

/// Degrees Celsius of degrees Fahrenheit.
pub fn celsius(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1 psi = 6894.757 Pa; 1 gpm = 6.30902e-5 m3/s; a gallon is 3.785 411 784 litres (NIST SP 811, from memory).
    #[test]
    fn factors_agree_with_published_ones() {
        assert!((PSI - 6_894.757).abs() < 5e-4);
        assert!((GPM - 6.309_02e-5).abs() < 5e-11);
        assert!((GALLON / LITRE - 3.785_411_784).abs() < 1e-12);
        assert!((celsius(140.0) - 60.0).abs() < 1e-12);
    }
}
