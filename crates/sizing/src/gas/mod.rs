//! Fuel gas: loads of appliances, lengths, and sizes by the tables of the fuel gas code.
//!
//! In: gas runs from where the gas comes in to the appliances, their inputs, what the job says of the supply. Out:
//! for each pipe the heat it carries and the least size, by the longest-length or the branch-length method (IFGC
//! 2018 402.4.1 and 402.4.2), fittings added where there are many. It is computed from the table, for a licensed fitter to verify.

mod fittings;
mod route;

use wyeline_codes::{Cited, Fit, GasDrop, NoValue, Pack};
use wyeline_job::Job;
use wyeline_job::model::{GasKind, GasMethod};
use wyeline_network::Network;
use wyeline_units::{Len, Pressure};

use crate::drain::wants::settle;
use crate::job_span;
use crate::model::{Gap, GapAt, Governs, Role, Sized};
use crate::ranks::stated;
use fittings::Fittings;
use route::{Lengths, Route};

/// J in a Btu (International Table).
const BTU_J: f64 = 1_055.055_852_62;
/// W in a Btu an hour.
pub(crate) const BTU_H: f64 = BTU_J / 3_600.0;
/// J/m3 in a Btu per cubic foot.
const BTU_FT3: f64 = BTU_J / 0.028_316_846_592;
/// The specific gravity for which the tables hold (IFGC 2018 Table 402.4(2), heading).
const TABLE_GRAVITY: f64 = 0.60;

/// Sizes all gas pipe.
pub(crate) fn size(job: &Job, network: &Network, pack: &Pack, sized: &mut Sized) {
    let route = Route::of(network);
    if route.order.is_empty() {
        return;
    }
    let mut said = Vec::new();
    route.load(network, pack, sized);
    let supply = job.design.gas.as_ref();
    let span = supply.map_or_else(|| job_span(job), |supply| supply.span);
    let mut gap = |why: String, help: &str| {
        said.push(Gap {
            at: GapAt::Job,
            why,
            help: help.to_owned(),
            span,
        });
    };
    gap(
        "gas sizes are computed from the table for a licensed fitter to verify: appliances, venting, combustion air \
         and the test of the piping are not looked at"
            .to_owned(),
        "have the piping designed, tested and put to use by those licensed for it",
    );
    if let Ok(above) = pack.scalar("gas.altitude-above") {
        let above = Len::from_mm(above.value).show(network.units, 1);
        gap(
            format!(
                "the tables hold up to {above} above the sea; what appliances take in higher up is not corrected here"
            ),
            "higher up, ask the maker of each appliance and the code in force for its input there, and say that as `input`",
        );
    }
    let drop = match supply.map(|supply| (supply.kind, table_for(supply.pressure, supply.drop))) {
        None => {
            gap(
                "nothing is said of the gas supply: natural gas below 2 psi and a drop of 0.5 in w.c. are assumed"
                    .to_owned(),
                "say it as `supply gas natural pressure 7 in-wc drop 0.5 in-wc`",
            );
            Some(GasDrop::HalfInch)
        }
        Some((GasKind::Propane, _)) => {
            gap(
                "no table for propane is held: pipe for propane is not sized, and tables for natural gas are not used for it"
                    .to_owned(),
                "size it by the printed code's table for undiluted propane, and state the sizes",
            );
            None
        }
        Some((GasKind::Natural, None)) => {
            gap(
                "no table is held for that pressure and drop".to_owned(),
                "size it by the printed code, or by a drop of 0.5 in-wc below 2 psi",
            );
            None
        }
        Some((GasKind::Natural, Some(drop))) => match pack.gas_table(drop) {
            Ok(_) => Some(drop),
            Err(none) => {
                gap(
                    format!(
                        "{} holds here no table for that pressure and drop",
                        none.cite.document
                    ),
                    "size it by the printed code, or by a drop of 0.5 in-wc below 2 psi",
                );
                None
            }
        },
    };
    if let Some(gravity) = supply.and_then(|supply| supply.gravity)
        && gravity > TABLE_GRAVITY
    {
        gap(
            format!("the tables hold for a specific gravity of 0.60, the gas has {gravity}"),
            "multiply the capacities by the code's factor for the gravity",
        );
    }
    let heat = supply
        .and_then(|supply| supply.heating_value)
        .map(|value| value.j_per_m3 / BTU_FT3)
        .or_else(|| {
            let usual = pack.scalar("gas.heating-value-btu").ok()?;
            gap(
                format!(
                    "the heating value is not stated: {} Btu per cubic foot is assumed",
                    usual.value
                ),
                "ask the supplier, and say it as `heating-value 1,000 btu/ft3`",
            );
            Some(usual.value)
        });
    let Some(heat) = heat else {
        gap(
            "the heating value of the gas is not known".to_owned(),
            "say it in the supply",
        );
        sized.gaps.append(&mut said);
        return;
    };
    sized.gaps.append(&mut said);
    let by_branch = job.design.methods.gas == Some(GasMethod::BranchLength);
    let demand: Vec<f64> = route
        .order
        .iter()
        .map(|ix| sized.pipes[ix.0 as usize].load.gas_w / BTU_H / heat)
        .collect();
    let least = |at: usize, length: f64| match drop {
        Some(drop) if demand[at] > 0.0 => Some(pack.least_gas_pipe(drop, length, demand[at])),
        _ => None,
    };
    let lengths = settled(network, pack, &route, by_branch, &least);
    for (at, &ix) in route.order.iter().enumerate() {
        let length = counts(&lengths, at, by_branch);
        let result = &mut sized.pipes[ix.0 as usize];
        result.role = Role::Gas;
        result.developed_mm = Some(length);
        let found = match least(at, length) {
            Some(Ok(fit)) => Some(fit),
            Some(Err(NoValue { cite, asked, help })) => {
                sized.gaps.push(Gap {
                    at: GapAt::Pipe(ix),
                    why: format!("{cite} says nothing of {asked}"),
                    help,
                    span: network.pipe(ix).span,
                });
                None
            }
            None => None,
        };
        let want = found.map(|fit| {
            let governs = Governs::Table {
                cite: fit.cite,
                allows: fit.value.allows,
                carries: demand[at],
                unit: "cfh",
            };
            (fit.value.size, governs)
        });
        settle(network, sized, ix, want);
    }
}

/// The length that counts for a pipe of the route, mm: the longest run, or, by branches, that of its own pipes alone.
fn counts(lengths: &Lengths, at: usize, by_branch: bool) -> f64 {
    if by_branch {
        lengths.through[at]
    } else {
        lengths.longest
    }
}

/// Lengths with what fittings add at the sizes that those lengths ask for; stated pipe has fittings of its own size.
///
/// Fittings of larger pipe are longer, and longer pipe is larger: what fittings add is never taken back, so that this ends.
fn settled(
    network: &Network,
    pack: &Pack,
    route: &Route,
    by_branch: bool,
    least: &impl Fn(usize, f64) -> Option<Result<Cited<Fit>, NoValue>>,
) -> Lengths {
    let fittings = Fittings::of(network, route, pack);
    let mut added = vec![0.0; route.order.len()];
    loop {
        let lengths = route.lengths(network, &added);
        if !fittings.any() {
            return lengths;
        }
        let mut grew = false;
        for (at, &ix) in route.order.iter().enumerate() {
            let found = || {
                let fit = least(at, counts(&lengths, at, by_branch))?.ok()?;
                Some(fit.value.size)
            };
            let size = stated(network.pipe(ix)).or_else(found);
            let length = fittings.length(pack, at, size);
            if length > added[at] {
                added[at] = length;
                grew = true;
            }
        }
        if !grew {
            return lengths;
        }
    }
}

/// The table for a pressure and the drop allowed; nothing where none is held.
fn table_for(pressure: Pressure, drop: Option<Pressure>) -> Option<GasDrop> {
    let close = |a: f64, b: f64| (a - b).abs() <= b * 0.02;
    let psi = Pressure::psi(1.0).pa;
    let inch = INCH_WC;
    let (inlet, drop) = (pressure.pa, drop.map_or(0.5 * inch, |drop| drop.pa));
    if close(drop, 0.5 * inch) && inlet < 2.0 * psi {
        Some(GasDrop::HalfInch)
    } else if close(drop, 3.0 * inch) && inlet >= 8.0 * inch * 0.98 && inlet < 2.0 * psi {
        Some(GasDrop::ThreeInch)
    } else if close(drop, 6.0 * inch) && inlet >= 11.0 * inch * 0.98 && inlet < 2.0 * psi {
        Some(GasDrop::SixInch)
    } else if close(drop, psi) && close(inlet, 2.0 * psi) {
        Some(GasDrop::OnePsi)
    } else if close(drop, 2.0 * psi) && close(inlet, 3.0 * psi) {
        Some(GasDrop::TwoPsi)
    } else {
        None
    }
}

/// Pa in an inch of water at 4 °C (NIST SP 811, from memory).
const INCH_WC: f64 = 249.088_91;

#[cfg(test)]
mod tests {
    use super::*;

    fn inches(inches: f64) -> Pressure {
        Pressure {
            pa: inches * INCH_WC,
        }
    }

    #[test]
    fn usual_gas_in_a_house_takes_the_half_inch_table() {
        assert_eq!(table_for(inches(7.0), None), Some(GasDrop::HalfInch));
        assert_eq!(
            table_for(inches(7.0), Some(inches(0.5))),
            Some(GasDrop::HalfInch)
        );
    }

    #[test]
    fn two_pounds_with_one_pound_of_drop_has_a_table_of_its_own() {
        assert_eq!(
            table_for(Pressure::psi(2.0), Some(Pressure::psi(1.0))),
            Some(GasDrop::OnePsi)
        );
    }

    #[test]
    fn a_drop_that_no_table_is_for_is_not_guessed() {
        assert_eq!(table_for(inches(7.0), Some(inches(0.3))), None);
        assert_eq!(table_for(Pressure::psi(2.0), Some(inches(0.5))), None);
    }
}
