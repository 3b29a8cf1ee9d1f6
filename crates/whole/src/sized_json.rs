//! Sizes as JSON: figures in SI, sizes as the trade names them, each with the reason that decided it.

use serde_json::{Value, json};
use wyeline_codes::Cite;
use wyeline_job::model::System;
use wyeline_network::model::PipeIx;
use wyeline_sizing::falls::{FitFall, falls};
use wyeline_sizing::{Governs, PipeResult, Step};
use wyeline_units::Size;

use crate::built::Built;
use crate::judge::Judged;
use crate::{mark, words};

/// All results.
pub fn all(built: &Built, judged: &Judged) -> Value {
    let (network, sized) = (&built.network, &judged.sized);
    let pipes: Vec<Value> = (0..network.pipes.len())
        .map(|at| result(built, judged, PipeIx(at as u32)))
        .collect();
    let fixtures: Vec<Value> = network
        .fixtures
        .iter()
        .zip(&sized.fixtures)
        .map(|(fixture, result)| {
            json!({
                "tag": fixture.tag,
                "kind": fixture.kind,
                "drain": result.drain,
                "trap": result.trap.map(show),
                "water": result.water,
                "residual_pa": result.residual_pa,
                "needs_pa": result.needs_pa,
                "standing_pa": result.standing_pa,
                "hot_length_mm": result.hot_length_mm,
                "hot_volume_l": result.hot_volume_l,
                "hot_wait_s": result.hot_wait.map(|(seconds, _)| seconds),
                "hot_wasted_l": result.hot_wait.map(|(_, litres)| litres),
            })
        })
        .collect();
    let mut marked = network.clone();
    mark::sizes(&mut marked, judged);
    let falls = falls(&marked, &judged.pack, sized);
    let drains: Vec<Value> = falls
        .drains
        .iter()
        .map(|drain| {
            json!({
                "pipe": network.pipe(drain.pipe).id,
                "slope": drain.slope,
                "assumed": drain.assumed,
                "size_worked_out": marked.pipe(drain.pipe).worked_out,
                "least": drain.least.as_ref().map(|least| least.value.ratio()),
                "cite": drain.least.as_ref().map(|least| &least.cite),
                "invert_mm": drain.invert_mm,
                "above_outlet_mm": drain.above_outlet_mm,
                "left_mm": drain.left_mm,
                "cover_mm": drain.cover_mm,
            })
        })
        .collect();
    let fits: Vec<Value> = falls.fits.iter().map(|fit| fitted(built, fit)).collect();
    let gaps: Vec<Value> = sized
        .gaps
        .iter()
        .map(|gap| {
            json!({ "at": words::gap_place(network, gap.at), "why": gap.why, "help": gap.help })
        })
        .collect();
    let budget = sized
        .water
        .as_ref()
        .and_then(|water| water.governing.as_ref());
    let budget = budget.map(|budget| {
        let rows = budget.rows.iter().map(|row| {
            json!({
                "pipe": network.pipe(row.pipe).id,
                "reduced_pa": row.reduced_pa,
                "height_pa": row.height_pa,
                "devices_pa": row.devices_pa,
                "friction_pa": row.friction_pa,
                "fittings_mm": row.fittings_mm,
                "left_pa": row.left_pa,
            })
        });
        json!({
            "fixture": network.fixtures[budget.fixture.0 as usize].tag,
            "hot": budget.hot,
            "supply_pa": budget.supply_pa,
            "rows": rows.collect::<Vec<Value>>(),
            "residual_pa": budget.residual_pa,
            "needs_pa": budget.needs_pa,
        })
    });
    let assumed = sized
        .water
        .iter()
        .flat_map(|water| &water.conditions.assumed);
    let assumed: Vec<Value> = assumed
        .map(|one| json!({ "what": one.what, "source": one.source }))
        .collect();
    json!({
        "code": judged.pack.id(),
        "name": judged.pack.name(),
        "amendments": words::amendments(&judged.pack).lines().collect::<Vec<_>>(),
        "pipes": pipes,
        "fixtures": fixtures,
        "falls": drains,
        "arrives": fits,
        "pressure_budget": budget,
        "assumed": assumed,
        "not_sized": gaps,
        "caution": words::closing(&judged.pack),
        "gas_caution": words::GAS,
    })
}

/// One pipe with its whole derivation.
pub fn pipe(built: &Built, judged: &Judged, ix: PipeIx) -> Value {
    let steps = wyeline_sizing::why(&built.job, &built.network, &judged.pack, &judged.sized, ix);
    let steps: Vec<Value> = steps.iter().map(step).collect();
    let mut value = result(built, judged, ix);
    value["code"] = json!(judged.pack.id());
    value["steps"] = json!(steps);
    value["caution"] = json!(words::closing(&judged.pack));
    if built.network.pipe(ix).system == System::Gas {
        value["gas_caution"] = json!(words::GAS);
    }
    value
}

fn step(step: &Step) -> Value {
    json!({ "text": step.text, "cite": step.cite, "governs": step.governs })
}

fn show(size: Size) -> String {
    size.to_string()
}

fn result(built: &Built, judged: &Judged, ix: PipeIx) -> Value {
    let network = &built.network;
    let pipe = network.pipe(ix);
    let result: &PipeResult = &judged.sized.pipes[ix.0 as usize];
    let load = &result.load;
    json!({
        "id": pipe.id,
        "system": pipe.system.word(),
        "line": pipe.line,
        "role": words::role(result.role),
        "drain": load.drain,
        "closets": load.closets,
        "water": load.water,
        "continuous_lps": load.continuous_lps,
        "flow_lps": result.water.map(|water| water.flow_lps).or(load.flow_lps),
        "gas_w": load.gas_w,
        "developed_mm": result.developed_mm,
        "least": result.needed.map(show),
        "size": result.size.map(show),
        "stated": result.stated,
        "existing": pipe.existing,
        "unverified": pipe.unverified,
        "rests_on": rests_on(judged, ix),
        "flow_by": result.flow_by,
        "velocity": result.water.map(|water| water.velocity),
        "loss_pa": result.water.map(|water| water.loss_pa),
        "pressure_pa": result.water.and_then(|water| water.pressure_pa),
        "governs": governs(built, &result.governs),
    })
}

/// What the results of a pipe rest on and nobody has verified.
fn rests_on(judged: &Judged, ix: PipeIx) -> Vec<&str> {
    judged.sized.pipe_rests_on(ix).collect()
}

fn governs(built: &Built, governs: &Governs) -> Value {
    let network = &built.network;
    let by: &str = match governs {
        Governs::Nothing => "nothing",
        Governs::Table { .. } => "table",
        Governs::Least { .. } => "least",
        Governs::Upstream { .. } => "upstream",
        Governs::Velocity { .. } => "velocity",
        Governs::Pressure { .. } => "pressure",
        Governs::Stated => "stated",
    };
    let cite: Option<&Cite> = words::cite(governs);
    json!({ "by": by, "words": words::governs(governs, network, network.units), "cite": cite })
}

fn fitted(built: &Built, fit: &FitFall) -> Value {
    let network = &built.network;
    let offers: Vec<String> = fit
        .offers
        .iter()
        .map(|offer| offer.words(network.units))
        .collect();
    json!({
        "run": network.runs.get(fit.run.0 as usize).map(|run| &run.name),
        "miss_mm": fit.miss_mm,
        "too_high": fit.too_high,
        "run_mm": fit.run_mm,
        "flattest": fit.flattest,
        "steepest": fit.steepest,
        "offers": offers,
    })
}
