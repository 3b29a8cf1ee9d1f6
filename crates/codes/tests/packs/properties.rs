//! What must hold of every code, whatever its numbers: more never asks for less.

use crate::common::pack;
use proptest::prelude::*;
use wyeline_codes::{Entry, Flush, GasDrop, Pack};
use wyeline_units::{Size, Slope};

/// The larger load has the larger size or none; where the smaller has none, so has the larger.
fn never_smaller(less: Option<Size>, more: Option<Size>) -> Result<(), TestCaseError> {
    match (less, more) {
        (None, Some(more)) => Err(TestCaseError::fail(format!(
            "nothing for less, {more} for more"
        ))),
        (Some(less), Some(more)) => {
            prop_assert!(more >= less, "{more} for more than {less}");
            Ok(())
        }
        (_, None) => Ok(()),
    }
}

fn codes() -> impl Strategy<Value = &'static Pack> {
    prop::sample::select(Pack::all().iter().collect::<Vec<_>>())
}
fn drain_slopes() -> impl Strategy<Value = Slope> {
    (1u32..=16).prop_map(|sixteenths| Slope::new(sixteenths, 192).expect("a slope"))
}
fn inch_sizes() -> impl Strategy<Value = Size> {
    prop::sample::select(pack("ipc-2021").sizes().to_vec())
}

proptest! {
    #[test]
    fn more_units_never_ask_for_a_smaller_branch(code in codes(), units in 0.0..6000.0, more in 0.0..500.0) {
        let of = |units| code.least_branch(units, None).ok().map(|fit| fit.value.size);
        never_smaller(of(units), of(units + more))?;
    }

    #[test]
    fn a_branch_holds_what_it_was_chosen_for(code in codes(), units in 0.0..6000.0) {
        if let Ok(fit) = code.least_branch(units, None) {
            prop_assert!(fit.value.allows >= units);
            prop_assert!(code.branch_allows(fit.value.size, None).expect("its row").value >= units);
        }
    }

    #[test]
    fn more_units_never_ask_for_a_smaller_stack(code in codes(), units in 0.0..6000.0, more in 0.0..500.0, intervals in 1u32..20, share in 0.0..1.0) {
        let of = |units: f64| code.least_stack(units, intervals, units * share).ok().map(|fit| fit.value.size);
        never_smaller(of(units), of(units + more))?;
    }

    #[test]
    fn more_units_never_ask_for_a_smaller_building_drain(code in codes(), units in 0.0..6000.0, more in 0.0..500.0, slope in drain_slopes()) {
        let of = |units| code.least_building_drain(units, Some(slope)).ok().map(|fit| fit.value.size);
        never_smaller(of(units), of(units + more))?;
    }

    #[test]
    fn a_steeper_building_drain_is_never_larger(code in codes(), units in 0.0..6000.0, slope in drain_slopes()) {
        let (fall, run) = slope.terms();
        let steeper = Slope::new(fall * 2, run).expect("a slope");
        let of = |slope| code.least_building_drain(units, Some(slope)).ok().map(|fit| fit.value.size);
        never_smaller(of(steeper), of(slope))?;
    }

    #[test]
    fn a_longer_vent_is_never_smaller(code in codes(), stack in inch_sizes(), units in 0.0..50_000.0, length in 0.0..300_000.0, more in 0.0..100_000.0) {
        let of = |length| code.vent_by_length(stack, units, length).ok().map(|fit| fit.value.size);
        never_smaller(of(length), of(length + more))?;
        let of = |length| code.other_vent(stack, units, length).ok().map(|fit| fit.value.size);
        never_smaller(of(length), of(length + more))?;
    }

    #[test]
    fn more_units_never_ask_for_a_smaller_vent(code in codes(), stack in inch_sizes(), units in 0.0..50_000.0, more in 0.0..1000.0, length in 0.0..300_000.0) {
        let of = |units| code.vent_by_length(stack, units, length).ok().map(|fit| fit.value.size);
        never_smaller(of(units), of(units + more))?;
    }

    #[test]
    fn a_vent_is_never_under_half_its_drain(drain in inch_sizes(), length in 0.0..300_000.0) {
        if let Ok(fit) = pack("ipc-2021").other_vent(drain, 1.0, length) {
            let eighths = |size| match size { Size::Inch { eighths } => eighths, Size::Dn(_) => 0 };
            prop_assert!(2 * eighths(fit.value.size) >= eighths(drain));
        }
    }

    #[test]
    fn demand_never_falls(code in codes(), units in 0.0..5000.0, more in 0.0..500.0) {
        for flush in [Flush::Tank, Flush::Flushometer] {
            if let (Ok(less), Ok(more)) = (code.demand(units, flush), code.demand(units + more, flush)) {
                prop_assert!(more.value >= less.value);
            }
        }
    }

    #[test]
    fn flushometers_never_want_less_than_tanks(units in 0.0..5000.0) {
        let of = |flush| pack("ipc-2021").demand(units, flush).expect("a flow").value;
        prop_assert!(of(Flush::Flushometer) >= of(Flush::Tank));
    }

    #[test]
    fn more_gas_or_length_never_asks_for_a_smaller_pipe(cfh in 0.0..20_000.0, more in 0.0..5000.0, length in 0.0..90_000.0, longer in 0.0..30_000.0) {
        let of = |length, cfh| pack("ipc-2021").least_gas_pipe(GasDrop::HalfInch, length, cfh).ok().map(|fit| fit.value.size);
        never_smaller(of(length, cfh), of(length, cfh + more))?;
        never_smaller(of(length, cfh), of(length + longer, cfh))?;
    }

    #[test]
    fn swept_entries_never_ask_for_a_larger_stack(flow in 0.0..25.0) {
        let of = |entry| pack("en-12056").discharge_stack(flow, entry, false).ok().map(|fit| fit.value.size);
        never_smaller(of(Entry::Swept), of(Entry::Square))?;
    }
}
