//! Legs of a combination, taken as a wye with an eighth bend in its branch.
//!
//! The branch is drawn square to the run, so the node lies where its centre line crosses the run's: upstream of the wye's
//! own centre by L = (w + b) cos 45, with w the wye's leg to its branch and b the bend's leg. From the node the run's
//! outlet is at L + o, its inlet at w' - L (which may be negative), and the branch ends at (w + b) sin 45 + b.
//! Source: geometry. Combinations in one piece are shorter.

use std::f64::consts::FRAC_1_SQRT_2;

use wyeline_units::Len;

use super::ask::Asked;
use super::table::Held;
use super::{Body, LegKind, Missing, Shelf, add};
use crate::model::{Family, Shape, Trust};

/// What of the run's or branch's length a slanted part takes up: sine and cosine of 45 degrees.
const SLANT: f64 = FRAC_1_SQRT_2;

/// A part times a factor.
fn times(part: &Held, factor: f64) -> Held {
    Held {
        mm: part.mm * factor,
        error_mm: part.error_mm.map(|error| error * factor.abs()),
        ..part.clone()
    }
}

pub(super) fn leg(shelf: &Shelf, asked: &Asked) -> Result<Body, Missing> {
    let family = asked.family;
    let wye = |leg| {
        let wye = Asked::new(family, Shape::Wye, &asked.sizes, leg);
        shelf.body(&wye).map(|body| body.held)
    };
    let into = Asked::new(family, Shape::Wye, &asked.sizes, LegKind::Branch);
    let branch = into.end();
    let wye_branch = shelf.body(&into)?.held;
    let bend = Asked::new(family, Shape::EighthBend, &[branch], LegKind::Each);
    let bend = shelf.body(&bend)?.held;
    let gap = match family {
        Family::NoHub => Some(shelf.gasket(branch)?),
        _ => None,
    };

    let show = |held: &Held| Len::from_mm(held.mm).show(shelf.units, 32);
    let mut slanted = times(&wye_branch, SLANT);
    slanted.source = format!("wye: {}", wye_branch.source);
    add(&mut slanted, &times(&bend, SLANT), 1.0, "1/8 bend");
    let mut words = format!("{} + {}", show(&wye_branch), show(&bend));
    if let Some(gap) = &gap {
        add(&mut slanted, &times(gap, SLANT), 1.0, "gasket's stop");
        words = format!("{} + {} + {}", show(&wye_branch), show(gap), show(&bend));
    }

    let (mut held, words) = match asked.leg {
        LegKind::RunOutlet => {
            let outlet = wye(LegKind::RunOutlet)?;
            add(&mut slanted, &outlet, 1.0, "wye's outlet");
            (slanted, format!("({words}) cos 45 + {}", show(&outlet)))
        }
        LegKind::RunInlet => {
            let mut inlet = wye(LegKind::RunInlet)?;
            let words = format!("{} - ({words}) cos 45", show(&inlet));
            add(&mut inlet, &slanted, -1.0, "less");
            (inlet, words)
        }
        LegKind::Branch => {
            add(&mut slanted, &bend, 1.0, "1/8 bend");
            (slanted, format!("({words}) sin 45 + {}", show(&bend)))
        }
        LegKind::Each | LegKind::Total => {
            return Err(asked.missing(shelf.units, shelf.join(family)));
        }
    };
    held.trust = Trust::Low;
    Ok(Body {
        held,
        measured: false,
        by: Some(format!("taken as a wye and a 1/8 bend, {words}")),
    })
}
