//! Pressure lost in pipes running full, in fittings, and to height.
//!
//! Darcy and Weisbach for any water, Hazen and Williams for cold water in eddies; both in SI,
//! the second also in the form of the trade, with its own rounded exponents.

use crate::friction::{Friction, friction, reynolds, velocity};
use crate::unit::GRAVITY;
use crate::water::Water;

/// A straight pipe running full.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bore {
    /// Inside diameter, m.
    pub diameter: f64,
    /// Roughness of the wall, m.
    pub roughness: f64,
}

/// Velocity and friction of a flow in a pipe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Flowing {
    /// Mean velocity, m/s.
    pub velocity: f64,
    /// Reynolds number.
    pub reynolds: f64,
    /// Darcy's factor, and the kind of flow.
    pub friction: Friction,
    /// Pressure of the velocity, rho v^2/2, Pa.
    pub dynamic: f64,
}

/// How a flow (m3/s) runs in a pipe.
pub fn flowing(flow: f64, bore: Bore, water: Water) -> Flowing {
    let velocity = velocity(flow, bore.diameter);
    let reynolds = reynolds(velocity, bore.diameter, water);
    let relative = if bore.diameter > 0.0 {
        bore.roughness / bore.diameter
    } else {
        0.0
    };
    Flowing {
        velocity,
        reynolds,
        friction: friction(reynolds, relative),
        dynamic: water.density * velocity * velocity / 2.0,
    }
}

impl Flowing {
    /// Loss in a length (m) of the pipe of that bore (m), Pa: f (L/D) rho v^2/2.
    ///
    /// # Source
    /// Darcy and Weisbach.
    pub fn pipe_loss(&self, length: f64, bore: f64) -> f64 {
        if bore > 0.0 {
            self.friction.factor * length / bore * self.dynamic
        } else {
            0.0
        }
    }
    /// Loss in fittings whose K add up to `k`, Pa: K rho v^2/2.
    pub fn fitting_loss(&self, k: f64) -> f64 {
        k * self.dynamic
    }
}

/// Loss of a flow (m3/s) in a length (m) of pipe, Pa, by Darcy and Weisbach.
pub fn darcy_weisbach(flow: f64, length: f64, bore: Bore, water: Water) -> f64 {
    flowing(flow, bore, water).pipe_loss(length, bore.diameter)
}

/// 4.727 (feet, cubic feet a second) in metres and m3/s: 4.727 x 0.3048^4.871 / 0.028316846592^1.852.
const HAZEN_WILLIAMS: f64 = 10.666_829_488_930_054;
/// Loss of a flow (m3/s) in a length (m) of a bore (m) by Hazen and Williams, m of water.
///
/// * `c`: the pipe's coefficient, see [`crate::material`]
///
/// Meant for cold water in eddies: for hot water and slow returns use [`darcy_weisbach`].
///
/// # Source
/// G. S. Williams, A. Hazen, Hydraulic Tables (1905), with the constant and exponents of the EPANET 2 manual: h = 4.727 C^-1.852
/// d^-4.871 L q^1.852 in feet and cubic feet a second.
pub fn hazen_williams(flow: f64, length: f64, bore: f64, c: f64) -> f64 {
    if bore > 0.0 && c > 0.0 && flow != 0.0 {
        // As one power of e: three powers would take most of a tree's time.
        let power = 1.852 * (flow.abs() / c).ln() - 4.871 * bore.ln();
        HAZEN_WILLIAMS * length * power.exp()
    } else {
        0.0
    }
}

/// Loss of a flow (gpm) in a foot of a bore (in) by Hazen and Williams, psi: 4.52 q^1.85 / (C^1.85 d^4.87).
///
/// # Source
/// The form of the fire sprinkler standards and of the charts of the trade; 2.5 % above [`hazen_williams`] in small tube.
pub fn hazen_williams_psi_per_foot(gpm: f64, bore_inches: f64, c: f64) -> f64 {
    if bore_inches > 0.0 && c > 0.0 {
        4.52 * gpm.abs().powf(1.85) / (c.powf(1.85) * bore_inches.powf(4.87))
    } else {
        0.0
    }
}

/// Pressure of a height (m) of water, Pa.
pub fn height(metres: f64, water: Water) -> f64 {
    water.density * GRAVITY * metres
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unit::{FOOT, PSI};

    /// The constant in metres follows from 4.727 in feet by the definition of the foot.
    #[test]
    fn the_constant_is_that_of_feet() {
        let metric = 4.727 * FOOT.powf(4.871) / (FOOT * FOOT * FOOT).powf(1.852);
        assert!((metric / HAZEN_WILLIAMS - 1.0).abs() < 1e-12);
    }

    /// Twice the flow loses 2^1.852 = 3.61 times as much.
    #[test]
    fn hazen_williams_grows_with_the_flow() {
        let once = hazen_williams(0.001, 10.0, 0.02, 140.0);
        assert!((hazen_williams(0.002, 10.0, 0.02, 140.0) / once - 3.61).abs() < 0.001);
    }

    /// A foot of water at 60 F weighs 0.433 psi (IPC Appendix E).
    #[test]
    fn a_foot_of_water() {
        assert!((height(FOOT, Water::at(15.56)) / PSI - 0.433).abs() < 0.0005);
    }

    /// Laminar: Hagen and Poiseuille's 128 mu L Q / (pi D^4), here 0.02 l/s in 30 mm.
    #[test]
    fn laminar_loss_is_poiseuilles() {
        let water = Water::at(20.0);
        let bore = Bore {
            diameter: 0.03,
            roughness: 1e-5,
        };
        let expected =
            128.0 * water.viscosity * 5.0 * 2e-5 / (std::f64::consts::PI * 0.03_f64.powi(4));
        let found = darcy_weisbach(2e-5, 5.0, bore, water);
        assert!((found / expected - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_pipe_without_bore_loses_nothing_rather_than_everything() {
        let bore = Bore {
            diameter: 0.0,
            roughness: 0.0,
        };
        assert_eq!(darcy_weisbach(1.0, 1.0, bore, Water::at(10.0)), 0.0);
        assert_eq!(hazen_williams(1.0, 1.0, 0.0, 140.0), 0.0);
        assert_eq!(hazen_williams_psi_per_foot(1.0, 0.0, 140.0), 0.0);
    }
}
