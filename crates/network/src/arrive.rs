//! Heights that a point has to arrive at: whether the slopes lead there, and which would.
//!
//! Nothing is moved: what misses is told with its miss and with the slope there is room for.

use wyeline_job::Diagnostic;
use wyeline_job::model::{Bound, Height};

use crate::builder::Builder;
use crate::lay::show_ratio;
use crate::model::{Fit, Limit};
use crate::remarks::NOTHING;
use crate::walk::{Here, Stop, Walk};

impl<'a> Builder<'a> {
    /// Compares the present point with the height it has to arrive at.
    pub fn arrives(
        &mut self,
        walk: &mut Walk<'a>,
        here: Here,
        bound: Bound,
        height: &Height,
    ) -> Result<(), Stop<'a>> {
        let wanted = self.height(walk, height, here.plan(), walk.pen.diameters)?;
        let (fixed, run, told) = here.fixed;
        let sign = if walk.from_air { -1.0 } else { 1.0 };
        let available = if run > NOTHING {
            sign * (wanted - fixed - told) / run
        } else {
            0.0
        };
        let fit = Fit {
            node: self.alive(here.node),
            wanted_mm: wanted,
            got_mm: here.at.z,
            bound,
            run_mm: run,
            available,
            limit: match (bound, walk.from_air) {
                (Bound::Exactly, _) => None,
                (Bound::AtOrBelow, false) | (Bound::AtOrAbove, true) => Some(Limit::Steepest),
                (Bound::AtOrAbove, false) | (Bound::AtOrBelow, true) => Some(Limit::Flattest),
            },
            span: height.span,
        };
        self.tell_miss(walk, &fit);
        self.runs[walk.run].fits.push(fit);
        Ok(())
    }

    /// Says by how much a point misses its height, and what would meet it.
    fn tell_miss(&mut self, walk: &Walk<'a>, fit: &Fit) {
        // Half of what is printed: 1/16 in, 1 mm.
        let least = if self.remarks.units.is_metric() {
            0.5
        } else {
            25.4 / 32.0
        };
        if fit.spare_mm() > -least {
            return;
        }
        let miss = fit.got_mm - fit.wanted_mm;
        let side = if miss > 0.0 { "too high" } else { "too low" };
        let text = format!(
            "misses by {}: arrives {side}",
            self.remarks.show(miss.abs())
        );
        let warning = Diagnostic::warning("misses-height", fit.span, &text);
        self.remarks.push(if fit.run_mm <= NOTHING {
            warning.help("no level run leads to it whose slope could be changed")
        } else if fit.available > 0.0 {
            let or = match fit.limit {
                None => "",
                Some(Limit::Steepest) => ", or a flatter one,",
                Some(Limit::Flattest) => ", or a steeper one,",
            };
            warning.help(format!(
                "a slope of {} over {}{or} would meet it",
                show_ratio(fit.available, self.remarks.units),
                self.remarks.show(fit.run_mm)
            ))
        } else if walk.system.drains() {
            Diagnostic::mistake("drain-uphill", fit.span, text).help(
                "the drain would have to run uphill: begin lower, or ask for a greater height",
            )
        } else {
            warning
        });
    }
}
