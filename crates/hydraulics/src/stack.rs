//! What a drainage stack carries, and how fast water falls in it.
//!
//! Water clings to the wall as a sheet round a core of air; the share of the cross-section it may take
//! is the code's choice, 7/24 as a rule in North America. Formulas of the US National Bureau of Standards.

use crate::unit::{FOOT, GPM, INCH};

/// Share of the cross-section that North American stack tables rest on. From memory; between 1/4 and 1/3.
pub const USUAL_SHARE: f64 = 7.0 / 24.0;

/// Flow (m3/s) of a stack of a bore (m) with water in a share of its cross-section.
///
/// # Source
/// R. S. Wyly and H. N. Eaton, NBS Report BMS 132 (1952) and NBS Monograph 31 (1961): Q = 27.8 r^(5/3) D^(8/3), gpm and
/// inches (from memory).
pub fn capacity(bore: f64, share: f64) -> f64 {
    27.8 * share.max(0.0).powf(5.0 / 3.0) * (bore.max(0.0) / INCH).powf(8.0 / 3.0) * GPM
}

/// Velocity at which the sheet of a flow (m3/s) falls in a bore (m) once drag balances its weight, m/s.
///
/// # Source
/// The same: V = 3.0 (Q/D)^(2/5), ft/s, gpm, inches (from memory).
pub fn terminal_velocity(flow: f64, bore: f64) -> f64 {
    if bore > 0.0 && flow > 0.0 {
        3.0 * (flow / GPM / (bore / INCH)).powf(0.4) * FOOT
    } else {
        0.0
    }
}

/// Height below the entry at which that velocity is reached, m.
///
/// # Source
/// The same: L = 0.052 V^2, ft and ft/s (from memory).
pub fn terminal_length(velocity: f64) -> f64 {
    let feet_a_second = velocity / FOOT;
    0.052 * feet_a_second * feet_a_second * FOOT
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand for 4 in at 7/24: (7/24)^(5/3) = 0.12829, 4^(8/3) = 40.317, 27.8 x 0.12829 x 40.317 = 143.8 gpm;
    /// V = 3 (143.8/4)^0.4 = 12.58 ft/s, L = 0.052 x 12.58^2 = 8.2 ft.
    #[test]
    fn a_four_inch_stack() {
        let flow = capacity(4.0 * INCH, USUAL_SHARE);
        assert!((flow / GPM - 143.8).abs() < 0.1, "{}", flow / GPM);
        let velocity = terminal_velocity(flow, 4.0 * INCH);
        assert!((velocity / FOOT - 12.58).abs() < 0.01);
        assert!((terminal_length(velocity) / FOOT - 8.2).abs() < 0.05);
    }

    #[test]
    fn nothing_falls_in_no_stack() {
        assert_eq!(capacity(-1.0, USUAL_SHARE), 0.0);
        assert_eq!(terminal_velocity(1.0, 0.0), 0.0);
    }
}
