//! The Darcy friction factor of a round pipe running full.
//!
//! Laminar by Poiseuille, turbulent by Colebrook and White, solved until it moves no more; between the
//! two no formula is reliable, and the larger (Colebrook's) is taken and said to be so.

use crate::water::Water;

/// Reynolds number up to which flow is laminar. Common practice: 2000 to 2300.
pub const LAMINAR: f64 = 2_300.0;
/// Reynolds number from which flow is turbulent. Common practice.
pub const TURBULENT: f64 = 4_000.0;

/// How water flows in a pipe.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Regime {
    /// In layers: the roughness does not matter.
    Laminar,
    /// Between 2300 and 4000: it may be either, the loss is an upper estimate.
    Transition,
    /// In eddies.
    Turbulent,
}

/// A friction factor and the kind of flow it is for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Friction {
    /// Darcy's factor (four times Fanning's).
    pub factor: f64,
    /// Kind of flow.
    pub regime: Regime,
}

/// Mean velocity of a flow (m3/s) in a full round bore (m), m/s.
pub fn velocity(flow: f64, bore: f64) -> f64 {
    if bore > 0.0 {
        flow / (std::f64::consts::FRAC_PI_4 * bore * bore)
    } else {
        0.0
    }
}

/// Reynolds number of a velocity (m/s) in a round bore (m).
pub fn reynolds(velocity: f64, bore: f64, water: Water) -> f64 {
    water.density * velocity.abs() * bore / water.viscosity
}

/// Friction factor for a Reynolds number and a relative roughness (roughness over bore).
///
/// The factor is 0 where nothing flows.
pub fn friction(reynolds: f64, relative_roughness: f64) -> Friction {
    let regime = match reynolds {
        r if r < LAMINAR => Regime::Laminar,
        r if r < TURBULENT => Regime::Transition,
        _ => Regime::Turbulent,
    };
    let factor = match regime {
        Regime::Laminar if reynolds > 0.0 => 64.0 / reynolds,
        Regime::Laminar => 0.0,
        Regime::Transition | Regime::Turbulent => colebrook(reynolds, relative_roughness),
    };
    Friction { factor, regime }
}

/// Colebrook and White: 1/sqrt(f) = -2 log10(e/3.7 + 2.51/(Re sqrt(f))), to the last bits of a double.
///
/// # Source
/// C. F. Colebrook, J. Inst. Civil Eng. 11 (1939) 133; solved by Newton's method in 1/sqrt(f).
pub fn colebrook(reynolds: f64, relative_roughness: f64) -> f64 {
    // -2 log10(x) = -SLOPE ln(x)
    const SLOPE: f64 = 2.0 * std::f64::consts::LOG10_E;
    let rough = relative_roughness.max(0.0) / 3.7;
    let smooth = 2.51 / reynolds;
    // 1/sqrt(f) lies between 3 and 13 in all pipe; the first guess is one step of the formula from 7.
    let mut x = -SLOPE * (rough + smooth * 7.0).ln();
    for _ in 0..20 {
        let inside = rough + smooth * x;
        let step = (x + SLOPE * inside.ln()) / (1.0 + SLOPE * smooth / inside);
        x -= step;
        // Newton's error after a step is about the square of the step, a fiftieth of it at most.
        if step.abs() < 1e-7 {
            break;
        }
    }
    1.0 / (x * x)
}

/// Swamee and Jain: f = 0.25 / log10(e/3.7 + 5.74/Re^0.9)^2, for a quick look; about 0.5 % off in smooth tube.
///
/// # Source
/// P. K. Swamee, A. K. Jain, J. Hydraulics Div. ASCE 102 (1976) 657.
pub fn swamee_jain(reynolds: f64, relative_roughness: f64) -> f64 {
    let log = (relative_roughness / 3.7 + 5.74 / reynolds.powf(0.9)).log10();
    0.25 / (log * log)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Poiseuille: at Re = 1000 the factor is 64/1000, whatever the roughness.
    #[test]
    fn laminar_flow_knows_no_roughness() {
        for rough in [0.0, 0.01] {
            let found = friction(1_000.0, rough);
            assert_eq!(found.regime, Regime::Laminar);
            assert!((found.factor - 0.064).abs() < 1e-15);
        }
    }

    #[test]
    fn between_laminar_and_turbulent_it_is_said_so() {
        assert_eq!(friction(2_299.9, 0.0).regime, Regime::Laminar);
        assert_eq!(friction(2_300.0, 0.0).regime, Regime::Transition);
        assert_eq!(friction(3_999.9, 0.0).regime, Regime::Transition);
        assert_eq!(friction(4_000.0, 0.0).regime, Regime::Turbulent);
    }

    /// Fully rough flow (Re without end): 1/sqrt(f) = -2 log10(0.01/3.7) = 5.1364, f = 0.037904.
    #[test]
    fn fully_rough_flow_is_von_karmans() {
        let x = -2.0 * (0.01_f64 / 3.7).log10();
        assert!((colebrook(1e12, 0.01) - 1.0 / (x * x)).abs() < 1e-9);
    }

    #[test]
    fn nothing_flows_without_loss() {
        assert_eq!(friction(0.0, 1e-4).factor, 0.0);
        assert_eq!(velocity(1.0, 0.0), 0.0);
    }

    proptest! {
        /// The factor found satisfies the formula itself.
        #[test]
        fn colebrook_is_solved(re in 2_300.0..1e8_f64, rough in 0.0..0.05_f64) {
            let x = 1.0 / colebrook(re, rough).sqrt();
            let right = -2.0 * (rough / 3.7 + 2.51 * x / re).log10();
            prop_assert!((x - right).abs() < 1e-11 * x, "{x} {right}");
        }

        /// Where Swamee and Jain give their range (5000 to 1e8, 1e-6 to 1e-2) they are within 3 %.
        #[test]
        fn swamee_jain_is_near(re in 5e3..1e8_f64, rough in 1e-6..1e-2_f64) {
            let off = swamee_jain(re, rough) / colebrook(re, rough) - 1.0;
            prop_assert!(off.abs() < 0.03, "{off}");
        }

        /// Loss grows with the square of the velocity times the factor: f Re^2 never falls as flow grows,
        /// not even where laminar flow gives way.
        #[test]
        fn more_flow_never_loses_less(re in 1.0..1e6_f64, by in 1.0..2.0_f64, rough in 0.0..0.05_f64) {
            let head = |re: f64| friction(re, rough).factor * re * re;
            prop_assert!(head(re * by) >= head(re) * (1.0 - 1e-12));
        }
    }
}
