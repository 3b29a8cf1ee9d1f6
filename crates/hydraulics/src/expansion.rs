//! The expansion tank of a closed hot-water system: how much the water swells, and the tank that takes it.
//!
//! A diaphragm tank is charged with air to the pressure of the cold water; the air shrinks by Boyle's
//! law as the water swells, up to the greatest pressure allowed.

use crate::unit::ATMOSPHERE;
use crate::water::density;

/// An expansion tank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tank {
    /// Water it has to take in, m3.
    pub acceptance: f64,
    /// Least volume of the whole tank, m3.
    pub volume: f64,
}

/// Why there is no tank.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoTank {
    /// The greatest pressure is not above the cold pressure: no room for the water to swell at any size.
    NoRoom,
    /// A figure has no meaning.
    Figures,
}

/// The tank for a volume of water (m3) heated from one temperature to another (degrees Celsius).
///
/// * `charge`: gauge pressure of the cold system, to which the tank is charged, Pa
/// * `most`: greatest gauge pressure allowed, Pa: below that of the relief valve
///
/// # Errors
/// Where `most` is not above `charge`, or a volume or pressure is negative or no number.
///
/// # Source
/// ASHRAE Handbook, HVAC Systems and Equipment, hydronic heating: V = Vs (v2/v1 - 1) / (1 - P1/P2), absolute pressures,
/// diaphragm tank; the swelling of the pipe itself, which helps, is left out (from memory).
pub fn tank(water: f64, cold: f64, hot: f64, charge: f64, most: f64) -> Result<Tank, NoTank> {
    if !(water >= 0.0 && charge >= 0.0 && most.is_finite() && cold.is_finite() && hot.is_finite()) {
        return Err(NoTank::Figures);
    }
    if most <= charge {
        return Err(NoTank::NoRoom);
    }
    let swells = (density(cold) / density(hot) - 1.0).max(0.0);
    let acceptance = water * swells;
    let factor = 1.0 - (charge + ATMOSPHERE) / (most + ATMOSPHERE);
    Ok(Tank {
        acceptance,
        volume: acceptance / factor,
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::unit::{GALLON, PSI, celsius};

    /// 50 gal from 40 F (1.0000 of the volume) to 140 F (1.0171): 0.0168 to 0.0171 x 50, about 0.85 gal; at 60 psi charged and
    /// 150 psi most the air keeps 74.7/164.7, so the tank is 0.85 / (1 - 0.4535) = 1.56 gal.
    #[test]
    fn a_fifty_gallon_heater() {
        let (cold, hot) = (celsius(40.0), celsius(140.0));
        let found = tank(50.0 * GALLON, cold, hot, 60.0 * PSI, 150.0 * PSI).unwrap();
        assert!((found.acceptance / GALLON - 0.85).abs() < 0.01, "{found:?}");
        assert!((found.volume / GALLON - 1.56).abs() < 0.02, "{found:?}");
    }

    #[test]
    fn no_room_between_the_pressures_is_said() {
        assert_eq!(tank(0.2, 10.0, 60.0, 5e5, 5e5), Err(NoTank::NoRoom));
        assert_eq!(tank(f64::NAN, 10.0, 60.0, 1e5, 5e5), Err(NoTank::Figures));
    }

    /// Water that is not heated asks for no tank.
    #[test]
    fn cold_water_does_not_swell() {
        assert_eq!(tank(0.2, 20.0, 20.0, 1e5, 5e5).unwrap().volume, 0.0);
    }

    proptest! {
        /// Hotter water, or more of it, never asks for a smaller tank; more room never for a larger one.
        #[test]
        fn tanks_grow_with_heat(water in 0.01..10.0_f64, hot in 20.0..90.0_f64, by in 0.0..10.0_f64, most in 5.1e5..1e6_f64) {
            let of = |water, hot, most| tank(water, 10.0, hot, 5e5, most).unwrap().volume;
            prop_assert!(of(water, hot + by, most) >= of(water, hot, most));
            prop_assert!(of(water * 2.0, hot, most) >= of(water, hot, most));
            prop_assert!(of(water, hot, most * 1.1) <= of(water, hot, most));
        }
    }
}
