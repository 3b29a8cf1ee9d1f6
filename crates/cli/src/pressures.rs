//! Pressures and hot water in words: what is left at each fixture against what it needs, how the pressure is spent on
//! the way to the one with the least to spare, and what was assumed.

use std::fmt::Write;

use wyeline_network::Network;
use wyeline_network::model::{Fixture, FixtureIx, NodeIx};
use wyeline_sizing::{Budget, FixtureResult, HeaterResult, WaterSummary};
use wyeline_units::{Flow, Power, Pressure, UnitSystem, Volume};
use wyeline_whole::{Judged, words};

use crate::table::Table;

fn show(pa: f64, units: UnitSystem) -> String {
    Pressure { pa }.show(units)
}

/// Pressures of the fixtures, the budget of the one that governs, heaters, and what was assumed.
pub fn report(network: &Network, judged: &Judged) -> String {
    let units = network.units;
    let mut table = Table::new(&[
        "fixture",
        "cold>",
        "hot>",
        "needs>",
        "to spare>",
        "standing>",
        "hot pipe>",
        "holds>",
        "hot after>",
        "",
    ]);
    for (ix, (fixture, result)) in network
        .fixtures
        .iter()
        .zip(&judged.sized.fixtures)
        .enumerate()
    {
        let known = result.residual_pa.iter().any(Option::is_some);
        if known || result.hot_length_mm.is_some() {
            let ix = FixtureIx(ix as u32);
            let rests: Vec<&str> = judged.sized.fixture_rests_on(ix).collect();
            let mut cells = row(fixture, result, units);
            cells.push(words::rests(&rests).trim_start_matches("; ").to_owned());
            table.row(cells);
        }
    }
    let mut text = String::new();
    if !table.is_empty() {
        text.push_str("\nWater at the fixtures\n");
        table.write("  ", &mut text);
    }
    let Some(water) = &judged.sized.water else {
        return text;
    };
    if let Some(budget) = &water.governing {
        text.push_str(&spent(network, judged, budget));
    }
    text.push_str(&beyond(network, water));
    for heater in &water.heaters {
        text.push_str(&heated(network, heater));
    }
    if !water.conditions.assumed.is_empty() {
        text.push_str("\nAssumed for the water, because nobody stated it\n");
        for one in &water.conditions.assumed {
            let _ = writeln!(text, "  {} ({})", one.what, one.source);
        }
    }
    text
}

fn row(fixture: &Fixture, result: &FixtureResult, units: UnitSystem) -> Vec<String> {
    let some = |pa: Option<f64>| pa.map_or_else(String::new, |pa| show(pa, units));
    let least = |sides: [Option<f64>; 2]| sides.into_iter().flatten().reduce(f64::min);
    let most = |sides: [Option<f64>; 2]| sides.into_iter().flatten().reduce(f64::max);
    let spare = least(result.residual_pa).zip(result.needs_pa);
    let spare = spare.map(|(has, needs)| has - needs);
    let length = result
        .hot_length_mm
        .map_or_else(String::new, |mm| words::length(mm, units));
    let from = if result.hot_from_loop {
        " from loop"
    } else {
        ""
    };
    let holds = result.hot_volume_l;
    let holds = holds.map_or_else(String::new, |litres| Volume { litres }.show(units));
    let after = result
        .hot_wait
        .map_or_else(String::new, |(seconds, _)| format!("{seconds:.0} s"));
    vec![
        fixture.tag.clone(),
        some(result.residual_pa[0]),
        some(result.residual_pa[1]),
        some(result.needs_pa),
        some(spare),
        some(most(result.standing_pa)),
        format!("{length}{from}"),
        holds,
        after,
    ]
}

/// How the pressure is spent on the way to a tap.
fn spent(network: &Network, judged: &Judged, budget: &Budget) -> String {
    let units = network.units;
    let mut table = Table::new(&[
        "pipe",
        "size>",
        "flow>",
        "reduced>",
        "height>",
        "devices>",
        "friction>",
        "left>",
        "velocity>",
    ]);
    // What is nothing is left out, so that the eye finds what is something.
    let lost = |pa: f64| {
        if pa.abs() < 0.5 {
            String::new()
        } else {
            show(pa, units)
        }
    };
    for row in &budget.rows {
        let result = &judged.sized.pipes[row.pipe.0 as usize];
        let velocity = result.water.map(|water| water.velocity);
        table.row(vec![
            network.pipe(row.pipe).id.clone(),
            result
                .size
                .map_or_else(String::new, |size| size.to_string()),
            words::flow(result, units),
            lost(row.reduced_pa),
            lost(row.height_pa),
            lost(row.devices_pa),
            lost(row.friction_pa),
            show(row.left_pa, units),
            velocity.map_or_else(String::new, |velocity| words::velocity(velocity, units)),
        ]);
    }
    let tag = &network.fixtures[budget.fixture.0 as usize].tag;
    let side = if budget.hot { "hot" } else { "cold" };
    let spare = budget.spare_pa();
    let end = if spare < 0.0 {
        format!("{} short", show(-spare, units))
    } else {
        format!("{} to spare", show(spare, units))
    };
    let mut text = format!(
        "\nHow the pressure is spent on the way to {tag} ({side}), which has the least to spare\n  supply {}\n",
        show(budget.supply_pa, units)
    );
    table.write("  ", &mut text);
    let _ = writeln!(
        text,
        "  left {}, needed {}: {end}",
        show(budget.residual_pa, units),
        show(budget.needs_pa, units)
    );
    text
}

/// What is left where pipe goes on beyond the drawing.
fn beyond(network: &Network, water: &WaterSummary) -> String {
    let units = network.units;
    let mut text = String::new();
    for (node, has, needs) in &water.beyond {
        let name = |ix: &NodeIx| {
            let node = network.node(*ix);
            node.name.clone().unwrap_or_else(|| node.id.clone())
        };
        let has = has.map_or_else(|| "not known".to_owned(), |pa| show(pa, units));
        let needs = needs.map_or_else(String::new, |pa| format!(", needed {}", show(pa, units)));
        let _ = writeln!(text, "  left beyond {}: {has}{needs}", name(node));
    }
    text
}

/// A heater: what its circulation asks for, and whether swelling water can go back.
fn heated(network: &Network, heater: &HeaterResult) -> String {
    let units = network.units;
    let mut text = String::new();
    let tag = &network.fixtures[heater.fixture.0 as usize].tag;
    if heater.circulation_lps > 0.0 {
        let watts = heater.circulation_heat_w;
        let flow = Flow {
            lps: heater.circulation_lps,
        };
        let _ = writeln!(
            text,
            "\n{tag}: the circulation loses {}, which takes {} against {}",
            Power { watts }.show(units),
            flow.show(units),
            show(heater.circulation_head_pa, units)
        );
    }
    if let (Some(node), Some(tank)) = (heater.closed_by, &heater.tank) {
        let node = network.node(node);
        let what = node.device.as_ref().map_or("a device", |device| {
            device.tag.as_deref().unwrap_or(device.kind.word())
        });
        let there = if heater.tank_there {
            "a tank is told"
        } else {
            "no tank is told"
        };
        let litres = |litres| Volume { litres }.show(units);
        let _ = writeln!(
            text,
            "\n{tag}: {what} keeps swelling water from going back; for a heater of {} (assumed) a tank of at least {} charged to {}; {there}",
            litres(tank.heater_l),
            litres(tank.volume_l),
            show(tank.charge_pa, units)
        );
    }
    text
}
