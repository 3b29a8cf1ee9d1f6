//! The single values that a code may state: their names, and what each measures.

use crate::unit::Dim;

/// A single value by its name, what it measures, and what it is.
#[derive(Debug)]
pub struct RuleSpec {
    /// Its name.
    pub key: &'static str,
    /// What it measures.
    pub dim: Dim,
    /// What it is.
    pub about: &'static str,
}

/// Writes the list a line for each.
macro_rules! rules {
    ($($key:literal $dim:ident $about:literal;)*) => {
        /// All of them, in the order of their names.
        pub const RULES: &[RuleSpec] = &[
            $(RuleSpec { key: $key, dim: Dim::$dim, about: $about },)*
        ];
    };
}

rules! {
    "base.branch-distance-diameters" Number "least distance of a branch downstream of the base of a stack, or of the upper stack at a horizontal offset, in diameters";
    "circuit.branch-slope-most" Slope "steepest slope of a circuit-vented branch";
    "circuit.fixtures-most" Number "most fixtures on a circuit-vented branch";
    "circuit.relief-closets-from" Number "closets on a circuit from which a relief vent is needed where the stack takes discharge from above";
    "circuit.relief-units-most" Drain "units that the relief vent may carry";
    "cleanout.aggregate-turn" Angle "together, changes of direction above this need a cleanout";
    "cleanout.base-of-stack" Flag "a cleanout stands at the base of each stack";
    "cleanout.clearance-large" Length "clear room before the cleanout of a large drain";
    "cleanout.clearance-large-above" Size "drains above this size need the larger clearance";
    "cleanout.clearance-small" Length "clear room before the cleanout of a small drain";
    "cleanout.exempt-run" Length "shorter runs need no cleanout at their end";
    "cleanout.junction-distance" Length "a cleanout stands within this of the junction of building drain and sewer";
    "cleanout.one-per-run" Length "one cleanout is enough for all changes of direction within this run";
    "cleanout.size-most" Size "a cleanout is as large as its drain, up to this";
    "cleanout.spacing" Length "most distance between cleanouts of a horizontal drain";
    "cleanout.spacing-manholes" Length "most distance between manholes of a large sewer";
    "cleanout.spacing-sewer" Length "most distance between cleanouts of a building sewer";
    "cleanout.turn" Angle "a single change of direction above this needs a cleanout";
    "combination.slope-most" Slope "steepest slope of a combination drain and vent";
    "combination.vertical-most" Length "longest vertical part of a fixture drain to a combination drain and vent";
    "common.same-floor" Flag "the fixtures of a common vent stand on one floor";
    "common.traps-most" Number "most traps on a common vent";
    "common.upper-may-be-closet" Flag "the upper fixture of a common vent may be a water closet";
    "double-tee.barrel-sizes-larger" Number "a double sanitary tee's barrel is this many sizes above its inlets";
    "double-tee.closet-run-least" Length "developed length before a double sanitary tee with which closets back to back may join it";
    "double-tee.closets" Flag "closets back to back may join a double sanitary tee";
    "drain.clear-water-units" Drain "units of a receptor of clear water only";
    "drain.closet-4x3-is-reduction" Flag "a 4 x 3 in closet bend counts as a reduction";
    "drain.closet-branch-least" Size "least horizontal drain with a water closet";
    "drain.closet-building-drain-least" Size "least building drain with a water closet";
    "drain.closet-stack-least" Size "least stack with a water closet";
    "drain.continuous-units" DrainPerFlow "units for a continuous or pumped flow";
    "drain.eighth-slope-factor" Number "what horizontal loads from 4 in up are multiplied by at 1/8 in per ft";
    "drain.reduced-slope" Slope "flattest slope where the usual one is impractical and the authority approves";
    "drain.reduced-slope-from" Size "least size at which the flatter slope may be approved";
    "drain.reduction-allowed" Flag "a drain may become smaller in the direction of flow";
    "drain.stack-top-fraction" Number "a stack may shrink going up to this part of its largest required size";
    "drain.underground-least" Size "least drain under the ground";
    "drain.washer-branch-least" Size "least branch or stack that a clothes washer's drain joins";
    "en.filling-branch-i" Number "filling of branches in system I";
    "en.filling-branch-ii" Number "filling of branches in system II";
    "en.system" Number "the system followed: 1 to 4 for I to IV";
    "gas.altitude-above" Length "height above the sea from which capacities are corrected";
    "gas.fittings-counted-from" Number "fittings in a section from which their equivalent length is added";
    "gas.heating-value-btu" Number "heating value of natural gas usually taken, Btu per cubic foot";
    "gas.regulator-drop-most" Pressure "most pressure lost over a line regulator";
    "hot.length-most" Length "longest developed length from the source of hot water to a fixture";
    "hot.loop-temperature-least" Temperature "least temperature at the far end of a loop";
    "hot.tempered-most" Temperature "hottest tempered water";
    "hot.volume-from-heater" Volume "most water held between a heater and a fixture";
    "hot.volume-from-loop" Volume "most water held between a circulation loop and a fixture";
    "hot.volume-public-lavatory" Volume "most water held before a public lavatory";
    "island.rise-above-fixture" Length "height above the flood rim of the highest island fixture at which its vent may join the outside vent";
    "offset.branch-exclusion" Length "no branch joins within this above or below a vertical offset that is not vented";
    "offset.counts-intervals-above" Number "offsets matter with more branch intervals than this above them";
    "relief.every-intervals" Number "relief vents stand at every so many intervals, from the top";
    "relief.floor-height" Length "height above the floor at which a relief vent joins the vent stack";
    "relief.intervals-above" Number "stacks of more branch intervals need relief vents";
    "standpipe.rise-least" Length "least height of a standpipe above its trap's weir";
    "standpipe.rise-most" Length "most height of a standpipe above its trap's weir";
    "standpipe.trap-height-least" Length "least height above the floor of a clothes washer's trap";
    "standpipe.trap-height-most" Length "most height above the floor of a clothes washer's trap";
    "terminal.above-opening" Length "a vent terminal nearer to an opening than allowed stands this much above it";
    "terminal.above-roof" Length "least height of a vent above the roof";
    "terminal.above-used-roof" Length "least height of a vent above a roof that is used";
    "terminal.from-lot-line" Length "least distance of a vent terminal from the lot line";
    "terminal.from-opening" Length "least level distance of a vent terminal from an opening";
    "terminal.from-wall" Length "least distance of a vent terminal from a wall beside it";
    "terminal.frost-above-roof" Length "least height above the roof where it freezes";
    "terminal.frost-change-below-roof" Length "the larger size for frost begins this far below the roof";
    "terminal.frost-size" Size "least vent through the roof where it freezes";
    "terminal.frost-temperature" Temperature "design temperature at and below which frost rules hold";
    "terminal.wall-above-grade" Length "least height above the ground of a terminal through a wall";
    "trap.arm-turn-most" Angle "most change of direction of a trap arm without a cleanout";
    "trap.arm-turn-most-large" Angle "the same for arms of 3 in and larger";
    "trap.closet-arm-limited" Flag "the length of a water closet's drain to its vent is limited";
    "trap.closet-arm-most" Length "longest drain of a water closet to its vent";
    "trap.crown-diameters" Number "least distance of a vent from the trap's weir, in diameters";
    "trap.fall-most-diameters" Number "most fall of a trap arm from the weir to the vent, in diameters";
    "trap.outlet-to-trap-most" Length "most level distance from a fixture's outlet to its trap";
    "trap.outlet-to-weir-most" Length "most height of a fixture's outlet above its trap's weir";
    "trap.seal-least" Length "least depth of a trap's seal";
    "trap.seal-most" Length "most depth of a trap's seal";
    "valve.admittance-above-drain" Length "least height of an air admittance valve above the drain it vents";
    "valve.admittance-above-insulation" Length "least height of an air admittance valve above insulation";
    "valve.admittance-above-rim" Length "least height of a stack-type air admittance valve above the highest flood rim";
    "valve.admittance-intervals-most" Number "most branch intervals of a stack vented by an air admittance valve";
    "vent.area-as-sewer" Flag "all vents through the roof together have the area of the building sewer required";
    "vent.building-drain-vents-least" Number "least number of vents to the open air for a building drain";
    "vent.closet-least" Size "least vent of a water closet";
    "vent.fraction-of-building-drain" Number "the vent to the open air is at least this part of the building drain required";
    "vent.fraction-of-drain" Number "a vent is at least this part of the drain it serves, as required";
    "vent.graded-to-drain" Flag "vents are graded back to the drain";
    "vent.horizontal-fraction" Number "most part of a vent's length that may be horizontal";
    "vent.least" Size "least vent";
    "vent.long-above" Length "a vent above this developed length is one size larger throughout";
    "vent.parallel-storeys-from" Number "stacks of so many storeys or more need a vent stack beside them";
    "vent.rise-above-flood-rim" Length "least height above the flood rim at which a vent may run level or join another";
    "vent.stack-intervals-from" Number "stacks of so many branch intervals or more need a vent stack";
    "vent.takeoff-above-centreline" Flag "a dry vent leaves a horizontal drain above its centre line";
    "vent.yoke-every-storeys" Number "yoke vents stand at every so many storeys";
    "vent.yoke-floor-height" Length "height above the floor at which a yoke vent joins the vent stack";
    "wash.stack-vent-full-size" Flag "the vent of a waste stack is as large as the stack";
    "water.cold-or-hot-fraction" Number "cold or hot alone, as part of the total, where the table gives totals only";
    "water.continuous-added-as-flow" Flag "flows that run on are added as flow, after the units";
    "water.demand-interpolated" Flag "demand may be read between the rows of its table";
    "water.dynamic-pressure-blowout" Pressure "pressure kept at the highest blow-out fixture";
    "water.dynamic-pressure-flush-tank" Pressure "pressure kept at the highest fixture with flush tanks";
    "water.dynamic-pressure-flush-valve" Pressure "pressure kept at the highest fixture with flush valves";
    "water.elevation-pressure-per-metre" Pressure "pressure lost for each metre of rise, as the code rounds it";
    "water.manifold-smaller-length" Length "longest line from a manifold that may be one size smaller";
    "water.manifold-smaller-pressure" Pressure "least pressure at the meter for that";
    "water.peak-building" Number "row of the table of peak flow that holds for the building";
    "water.peak-from" Flow "least sum of design flows for which the formula of peak flow holds";
    "water.peak-to" Flow "largest sum of design flows for which it holds";
    "water.service-least" Size "least service pipe";
    "water.static-pressure-most" Pressure "static pressure above which a reducing valve is needed";
    "water.supply-end-from-fixture" Length "most distance of a supply pipe's end from its fixture";
    "water.velocity-header" Velocity "most velocity in headers, risers and floor pipes";
    "water.velocity-single" Velocity "most velocity in pipes that feed one outlet";
    "wet.dry-vent-upstream-most" Number "most wet-vented drains upstream of the dry-vented one, horizontal";
    "wet.groups-most" Number "most bathroom groups on one floor on a wet vent";
    "wet.only-bathroom-group" Flag "only fixtures of bathroom groups may be on a wet vent";
    "wet.vertical-fixture-units-most" Drain "most units of each fixture on a vertical wet vent";
    "wet.vertical-fixtures-most" Number "most fixtures on a vertical wet vent";
    "wet.vertical-least" Size "least vertical wet vent";
    "wet.vertical-sizes-larger" Number "a vertical wet vent is this many sizes above what its load needs";
}

impl RuleSpec {
    /// The single value of that name.
    pub fn named(key: &str) -> Option<&'static Self> {
        RULES
            .binary_search_by(|spec| spec.key.cmp(key))
            .ok()
            .map(|found| &RULES[found])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_stand_in_order_so_that_they_are_found() {
        assert!(RULES.is_sorted_by(|a, b| a.key < b.key));
    }
}
