//! Drains running full or partly full, by Manning's formula.
//!
//! In: bore, slope, roughness and depth. Out: velocity, flow, the depth at which a flow runs. Steady flow in a
//! long pipe: what surges at the foot of a stack is not in it.

use std::f64::consts::PI;

/// Depth at which a round drain carries most: 0.938 of its bore (from 1 to there it carries more than full).
pub const FULLEST: f64 = 0.938_2;

/// The water in a round bore at a depth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Part {
    /// Cross-section of the water, m2.
    pub area: f64,
    /// Wetted length of the wall, m.
    pub perimeter: f64,
    /// Width of the surface, m.
    pub width: f64,
}

impl Part {
    /// The water in a bore (m) filled to a share of it (0 to 1).
    pub fn of(bore: f64, depth: f64) -> Self {
        let depth = if depth.is_nan() {
            0.0
        } else {
            depth.clamp(0.0, 1.0)
        };
        // Half the angle under which the surface is seen from the centre.
        let half = (1.0 - 2.0 * depth).acos();
        Self {
            area: bore * bore / 4.0 * (half - half.sin() * half.cos()),
            perimeter: bore * half,
            width: bore * half.sin(),
        }
    }
    /// Hydraulic radius: area over wetted length, m.
    pub fn radius(&self) -> f64 {
        if self.perimeter > 0.0 {
            self.area / self.perimeter
        } else {
            0.0
        }
    }
}

/// A round drain.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drain {
    /// Inside diameter, m.
    pub bore: f64,
    /// Fall over run.
    pub slope: f64,
    /// Manning's n, s/m^(1/3): see [`crate::material`].
    pub n: f64,
}

impl Drain {
    /// Velocity at a depth (share of the bore), m/s: R^(2/3) S^(1/2) / n.
    ///
    /// # Source
    /// R. Manning, Trans. Inst. Civil Eng. Ireland 20 (1891) 161.
    pub fn velocity(&self, depth: f64) -> f64 {
        if self.n > 0.0 && self.slope > 0.0 {
            Part::of(self.bore, depth).radius().powf(2.0 / 3.0) * self.slope.sqrt() / self.n
        } else {
            0.0
        }
    }
    /// Flow at a depth (share of the bore), m3/s.
    pub fn flow(&self, depth: f64) -> f64 {
        Part::of(self.bore, depth).area * self.velocity(depth)
    }
    /// Flow running just full, m3/s.
    pub fn full(&self) -> f64 {
        self.flow(1.0)
    }
    /// The depth (share of the bore) at which a flow (m3/s) runs; nothing where the drain cannot carry it.
    pub fn depth(&self, flow: f64) -> Option<f64> {
        if flow <= 0.0 {
            return Some(0.0);
        }
        if flow.is_nan() || flow > self.flow(FULLEST) {
            return None;
        }
        // Flow grows with depth up to the fullest, so halving finds it.
        let (mut low, mut high) = (0.0, FULLEST);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if self.flow(middle) < flow {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some(high)
    }
    /// Shear of the water on the wall at a depth, Pa: rho g R S.
    pub fn shear(&self, depth: f64, density: f64) -> f64 {
        density * crate::unit::GRAVITY * Part::of(self.bore, depth).radius() * self.slope
    }
}

/// Area of a full bore, m2.
pub fn area(bore: f64) -> f64 {
    PI / 4.0 * bore * bore
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const DRAIN: Drain = Drain {
        bore: 0.1,
        slope: 0.02,
        n: 0.013,
    };

    /// Full and half full have the radius D/4, so the same velocity; half full carries half.
    #[test]
    fn half_full_carries_half() {
        assert!((DRAIN.velocity(0.5) / DRAIN.velocity(1.0) - 1.0).abs() < 1e-12);
        assert!((DRAIN.flow(0.5) * 2.0 / DRAIN.full() - 1.0).abs() < 1e-12);
        assert!((Part::of(0.1, 1.0).area - area(0.1)).abs() < 1e-15);
        assert!((Part::of(0.1, 0.5).radius() - 0.025).abs() < 1e-15);
    }

    /// The well-known bulge: at 0.938 of the depth a round pipe carries 1.076 times its full flow.
    #[test]
    fn most_is_carried_just_below_full() {
        assert!((DRAIN.flow(FULLEST) / DRAIN.full() - 1.0757).abs() < 0.0002);
        assert!(
            DRAIN.flow(FULLEST) >= DRAIN.flow(0.93) && DRAIN.flow(FULLEST) >= DRAIN.flow(0.947)
        );
    }

    #[test]
    fn more_than_a_drain_carries_has_no_depth() {
        assert_eq!(DRAIN.depth(DRAIN.full() * 1.08), None);
        assert_eq!(DRAIN.depth(f64::NAN), None);
        assert_eq!(DRAIN.depth(0.0), Some(0.0));
        let level = Drain {
            slope: 0.0,
            ..DRAIN
        };
        assert_eq!(level.depth(1e-6), None);
    }

    proptest! {
        /// A depth gives a flow, and the flow gives the depth again.
        #[test]
        fn depth_and_flow_agree(depth in 0.01..0.93_f64) {
            let found = DRAIN.depth(DRAIN.flow(depth)).unwrap();
            prop_assert!((found - depth).abs() < 1e-9);
        }
    }
}
