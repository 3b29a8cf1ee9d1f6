//! Works out the points of a reference file again by our functions: `grid FILE`, JSON to standard output.
//!
//! The file is the one that `checks/fluids.py` makes; what it holds beyond the given values is not looked at.

use serde::{Deserialize, Serialize};
use wyeline_hydraulics::channel::Drain;
use wyeline_hydraulics::friction::swamee_jain;
use wyeline_hydraulics::loss::{Bore, flowing};
use wyeline_hydraulics::water::Water;

#[derive(Deserialize)]
struct Points {
    pipes: Vec<Pipe>,
    drains: Vec<Full>,
}

#[derive(Serialize)]
struct Found {
    pipes: Vec<PipeFound>,
    drains: Vec<FullFound>,
}

#[derive(Clone, Copy, Deserialize, Serialize)]
struct Pipe {
    bore: f64,
    roughness: f64,
    density: f64,
    viscosity: f64,
    flow: f64,
    length: f64,
}

#[derive(Serialize)]
struct PipeFound {
    #[serde(flatten)]
    given: Pipe,
    velocity: f64,
    reynolds: f64,
    factor: f64,
    swamee_jain: f64,
    loss: f64,
}

#[derive(Clone, Copy, Deserialize, Serialize)]
struct Full {
    bore: f64,
    slope: f64,
    n: f64,
}

#[derive(Serialize)]
struct FullFound {
    #[serde(flatten)]
    given: Full,
    velocity: f64,
}

fn pipe(given: Pipe) -> PipeFound {
    let bore = Bore {
        diameter: given.bore,
        roughness: given.roughness,
    };
    let water = Water {
        density: given.density,
        viscosity: given.viscosity,
    };
    let runs = flowing(given.flow, bore, water);
    PipeFound {
        given,
        velocity: runs.velocity,
        reynolds: runs.reynolds,
        factor: runs.friction.factor,
        swamee_jain: swamee_jain(runs.reynolds, given.roughness / given.bore),
        loss: runs.pipe_loss(given.length, given.bore),
    }
}

fn full(given: Full) -> FullFound {
    let Full { bore, slope, n } = given;
    FullFound {
        given,
        velocity: Drain { bore, slope, n }.velocity(1.0),
    }
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let file = std::env::args()
        .nth(1)
        .ok_or("a reference file is wanted")?;
    let points: Points = serde_json::from_str(&std::fs::read_to_string(file)?)?;
    let found = Found {
        pipes: points.pipes.into_iter().map(pipe).collect(),
        drains: points.drains.into_iter().map(full).collect(),
    };
    println!("{}", serde_json::to_string(&found)?);
    Ok(())
}
