//! Hot water: heat lost by pipes, the flow that makes up for it, what stands in a pipe and how long it takes to run off.
//!
//! Heat through a cylinder of insulation and from its surface to still air, by the usual formulas of conduction.

use std::f64::consts::PI;

use crate::water::{density, specific_heat};

/// Heat given to still indoor air by a surface, W/(m2 K), radiation included. From memory: 8 to 12 for warm pipe; common practice.
pub const SURFACE: f64 = 10.0;
/// Heat conducted by pipe insulation (foam or glass fibre), W/(m K). From memory: 0.035 to 0.045.
pub const INSULATION: f64 = 0.040;

/// Heat lost by a metre of pipe, W/(m K): 2 pi / (ln(r2/r1)/k + 1/(h r2)).
///
/// * `outside`: outside diameter of the pipe, m
/// * `thickness`: of the insulation, m; 0 for bare pipe
/// * `conducts`: W/(m K), see [`INSULATION`]
/// * `surface`: W/(m2 K), see [`SURFACE`]
///
/// The wall of the pipe itself is left out: metal conducts far better, plastic makes the loss somewhat smaller.
///
/// # Source
/// Conduction through a hollow cylinder with a film outside, any textbook of heat transfer.
pub fn loss_per_metre(outside: f64, thickness: f64, conducts: f64, surface: f64) -> f64 {
    if !(outside > 0.0 && surface > 0.0) {
        return 0.0;
    }
    let inner = outside / 2.0;
    let outer = inner + thickness.max(0.0);
    let through = if outer > inner && conducts > 0.0 {
        (outer / inner).ln() / conducts
    } else {
        0.0
    };
    2.0 * PI / (through + 1.0 / (surface * outer))
}

/// Flow (m3/s) that loses a heat (W) while cooling by so many kelvin.
///
/// * `celsius`: temperature of the water
///
/// # Source
/// Heat = rho c Q dT; US Army Corps of Engineers ETL 1110-3-489 (1998), eq. 3-4, rounds rho c to 4.1679 kJ/(l K).
pub fn recirculation(heat: f64, drop: f64, celsius: f64) -> f64 {
    if drop > 0.0 {
        heat.max(0.0) / (density(celsius) * specific_heat(celsius) * drop)
    } else {
        0.0
    }
}

/// What stands in a length (m) of a bore (m), m3.
pub fn volume(length: f64, bore: f64) -> f64 {
    PI / 4.0 * bore * bore * length
}

/// Seconds until a volume (m3) has run off at a flow (m3/s); nothing where nothing flows.
///
/// The heat that the pipe itself takes up is left out: it makes the wait longer, by up to half in metal pipe.
pub fn wait(volume: f64, flow: f64) -> Option<f64> {
    (flow > 0.0).then(|| volume / flow)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::unit::{BTU_PER_HOUR, FOOT, INCH};

    /// Bare pipe gives off pi D h: 22 mm at 10 W/(m2 K) is 0.691 W/(m K).
    #[test]
    fn bare_pipe_loses_by_its_surface() {
        let found = loss_per_metre(0.022, 0.0, INSULATION, 10.0);
        assert!((found - PI * 0.022 * 10.0).abs() < 1e-12);
    }

    /// A sheet of a US design guideline (2011, insulated to the energy code) allows 0.17 Btu/(h ft F) for 3/4 in tube; half an inch of
    /// insulation comes within a fifth of it: 2 pi/(ln(0.9375/0.4375)/0.04 + 1/(10 x 0.02381)) = 0.27 W/(m K) = 0.157.
    #[test]
    fn insulated_pipe_is_near_published_figures() {
        let found = loss_per_metre(0.875 * INCH, 0.5 * INCH, INSULATION, SURFACE);
        let btu = found / (BTU_PER_HOUR / FOOT * 1.8);
        assert!((btu - 0.157).abs() < 0.001, "{btu}");
        assert!((btu / 0.17 - 1.0).abs() < 0.2);
    }

    #[test]
    fn nothing_flows_and_nobody_waits() {
        assert_eq!(wait(1.0, 0.0), None);
        assert_eq!(recirculation(100.0, 0.0, 60.0), 0.0);
        assert_eq!(loss_per_metre(0.0, 0.01, 0.04, 10.0), 0.0);
    }

    proptest! {
        /// Beyond the critical radius k/h = 4 mm, thicker insulation always loses less.
        #[test]
        fn thicker_insulation_loses_less(outside in 0.008..0.2_f64, thin in 0.0..0.05_f64, more in 0.0001..0.05_f64) {
            let loss = |thickness| loss_per_metre(outside, thickness, INSULATION, SURFACE);
            prop_assert!(loss(thin + more) < loss(thin));
        }
    }
}
