//! The rules, one file each.

use crate::rule::Rule;

mod cleanout_distance;
mod cleanout_ends;
mod cleanout_junction;
mod cleanout_size;
mod cleanout_stack_base;
mod cleanout_turns;
mod drain_backwater;
mod drain_closet_count;
mod drain_closet_least;
mod drain_dead_end;
mod drain_into_existing;
mod drain_receptor;
mod drain_reduced;
mod drain_shallow;
mod drain_stack_base;
mod drain_stack_offset;
mod drain_too_flat;
pub(crate) mod drain_undersized;
mod drain_washer;
mod fitting_against_flow;
mod fitting_double_barrel;
mod fitting_double_closets;
mod fitting_turn;
mod fixture_apart;
mod fixture_closet_rough_in;
mod fixture_floor_drain_seal;
mod fixture_front;
mod fixture_height;
mod fixture_side;
mod gas_cock_missing;
mod gas_drip_missing;
mod gas_under_building;
mod gas_undersized;
mod gas_union_misplaced;
mod hot_closed_system;
mod hot_heater_valve_missing;
mod hot_pipe_long;
mod hot_relief_blocked;
mod hot_return_backwards;
mod hot_return_unbalanced;
mod hot_scald_bathtub;
mod hot_scald_lavatory;
mod hot_scald_shower;
mod hot_volume;
mod hot_wait;
mod storm_in_sanitary;
mod structure_in_slab;
mod structure_joist_cut;
mod structure_joist_hole;
mod structure_pipes_meet;
mod structure_stud_hole;
mod structure_through_beam;
mod structure_through_footing;
mod structure_wall_thin;
mod trap_arm_drop;
mod trap_arm_fall;
mod trap_arm_length;
mod trap_arm_short;
mod trap_arm_turns;
mod trap_double;
mod trap_missing;
mod trap_outlet_drop;
mod trap_standpipe;
mod trap_too_small;
mod vent_admittance_valve;
mod vent_area;
mod vent_by_stack;
mod vent_circuit;
mod vent_closed;
mod vent_combination;
mod vent_common;
mod vent_grade;
mod vent_horizontal_share;
mod vent_island;
mod vent_missing;
mod vent_outdoors;
mod vent_relief;
mod vent_rise;
mod vent_stack_needed;
mod vent_stack_offset;
mod vent_takeoff;
mod vent_terminal_frost;
mod vent_terminal_height;
mod vent_terminal_openings;
mod vent_undersized;
mod vent_unventilated_branch;
mod vent_wet_fixtures;
mod vent_wet_load;
mod vent_wet_upstream;
mod vent_wet_vertical;
mod water_beside_sewer;
mod water_boiler_unprotected;
mod water_crossed;
mod water_dead_end;
mod water_equipment_valve_missing;
mod water_hammer;
mod water_hose_unprotected;
mod water_pipe_undersized;
mod water_pressure_high;
mod water_pressure_low;
mod water_service_valve_missing;
mod water_shallow;
mod water_supply_undersized;
mod water_too_fast;

/// All rules, in the order in which they are explained.
pub const ALL: &[&Rule] = &[
    &drain_too_flat::RULE,
    &drain_undersized::RULE,
    &drain_reduced::RULE,
    &drain_closet_least::RULE,
    &drain_closet_count::RULE,
    &drain_stack_base::RULE,
    &drain_stack_offset::RULE,
    &drain_washer::RULE,
    &drain_into_existing::RULE,
    &drain_receptor::RULE,
    &drain_dead_end::RULE,
    &drain_backwater::RULE,
    &drain_shallow::RULE,
    &fitting_against_flow::RULE,
    &fitting_turn::RULE,
    &fitting_double_closets::RULE,
    &fitting_double_barrel::RULE,
    &cleanout_stack_base::RULE,
    &cleanout_ends::RULE,
    &cleanout_distance::RULE,
    &cleanout_turns::RULE,
    &cleanout_junction::RULE,
    &cleanout_size::RULE,
    &trap_missing::RULE,
    &trap_double::RULE,
    &trap_too_small::RULE,
    &trap_arm_length::RULE,
    &trap_arm_fall::RULE,
    &trap_arm_short::RULE,
    &trap_arm_drop::RULE,
    &trap_arm_turns::RULE,
    &trap_outlet_drop::RULE,
    &trap_standpipe::RULE,
    &vent_missing::RULE,
    &vent_by_stack::RULE,
    &vent_takeoff::RULE,
    &vent_rise::RULE,
    &vent_grade::RULE,
    &vent_island::RULE,
    &vent_closed::RULE,
    &vent_admittance_valve::RULE,
    &vent_outdoors::RULE,
    &vent_area::RULE,
    &vent_terminal_height::RULE,
    &vent_terminal_frost::RULE,
    &vent_terminal_openings::RULE,
    &vent_undersized::RULE,
    &vent_stack_needed::RULE,
    &vent_relief::RULE,
    &vent_stack_offset::RULE,
    &vent_wet_load::RULE,
    &vent_wet_fixtures::RULE,
    &vent_wet_upstream::RULE,
    &vent_wet_vertical::RULE,
    &vent_common::RULE,
    &vent_circuit::RULE,
    &vent_combination::RULE,
    &vent_horizontal_share::RULE,
    &vent_unventilated_branch::RULE,
    &water_service_valve_missing::RULE,
    &water_equipment_valve_missing::RULE,
    &water_pipe_undersized::RULE,
    &water_supply_undersized::RULE,
    &water_too_fast::RULE,
    &water_pressure_low::RULE,
    &water_pressure_high::RULE,
    &water_hose_unprotected::RULE,
    &water_boiler_unprotected::RULE,
    &water_crossed::RULE,
    &water_dead_end::RULE,
    &water_hammer::RULE,
    &water_beside_sewer::RULE,
    &water_shallow::RULE,
    &hot_heater_valve_missing::RULE,
    &hot_closed_system::RULE,
    &hot_relief_blocked::RULE,
    &hot_scald_shower::RULE,
    &hot_scald_bathtub::RULE,
    &hot_scald_lavatory::RULE,
    &hot_pipe_long::RULE,
    &hot_volume::RULE,
    &hot_wait::RULE,
    &hot_return_unbalanced::RULE,
    &hot_return_backwards::RULE,
    &gas_undersized::RULE,
    &gas_cock_missing::RULE,
    &gas_drip_missing::RULE,
    &gas_union_misplaced::RULE,
    &gas_under_building::RULE,
    &structure_joist_hole::RULE,
    &structure_joist_cut::RULE,
    &structure_stud_hole::RULE,
    &structure_wall_thin::RULE,
    &structure_through_beam::RULE,
    &structure_through_footing::RULE,
    &structure_in_slab::RULE,
    &structure_pipes_meet::RULE,
    &fixture_side::RULE,
    &fixture_apart::RULE,
    &fixture_front::RULE,
    &fixture_height::RULE,
    &fixture_closet_rough_in::RULE,
    &fixture_floor_drain_seal::RULE,
    &storm_in_sanitary::RULE,
];
