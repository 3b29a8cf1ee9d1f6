//! Friction factors, losses and drain velocities against a general fluid-mechanics library, over a grid.
//!
//! The grid was worked out by `checks/fluids.py`, which names the library and its version in the file.

use serde::Deserialize;
use wyeline_hydraulics::Water;
use wyeline_hydraulics::channel::Drain;
use wyeline_hydraulics::friction::swamee_jain;
use wyeline_hydraulics::loss::{Bore, flowing};

#[derive(Deserialize)]
struct Reference {
    library: String,
    pipes: Vec<Pipe>,
    drains: Vec<Full>,
}

#[derive(Debug, Deserialize)]
struct Pipe {
    bore: f64,
    roughness: f64,
    density: f64,
    viscosity: f64,
    flow: f64,
    length: f64,
    velocity: f64,
    reynolds: f64,
    factor: f64,
    swamee_jain: Option<f64>,
    loss: f64,
}

#[derive(Debug, Deserialize)]
struct Full {
    bore: f64,
    slope: f64,
    n: f64,
    velocity: f64,
}

fn reference() -> Reference {
    serde_json::from_str(include_str!("reference/fluids.json"))
        .expect("the reference is well formed")
}

fn close(ours: f64, theirs: f64) -> bool {
    (ours / theirs - 1.0).abs() < 1e-9
}

/// Six bores, three roughnesses, five temperatures, eight flows from a drip to a main.
#[test]
fn pipes_agree_with_the_library() {
    let reference = reference();
    assert!(reference.library.starts_with("fluids "));
    assert!(reference.pipes.len() > 600, "the grid is whole");
    for pipe in &reference.pipes {
        let bore = Bore {
            diameter: pipe.bore,
            roughness: pipe.roughness,
        };
        let water = Water {
            density: pipe.density,
            viscosity: pipe.viscosity,
        };
        let runs = flowing(pipe.flow, bore, water);
        assert!(close(runs.velocity, pipe.velocity), "{pipe:?}");
        assert!(close(runs.reynolds, pipe.reynolds), "{pipe:?}");
        assert!(close(runs.friction.factor, pipe.factor), "{pipe:?}");
        assert!(
            close(runs.pipe_loss(pipe.length, pipe.bore), pipe.loss),
            "{pipe:?}"
        );
        if let Some(theirs) = pipe.swamee_jain {
            let quick = swamee_jain(pipe.reynolds, pipe.roughness / pipe.bore);
            // The library works with (6.97/Re)^0.9, which is 5.7417/Re^0.9; the paper prints 5.74.
            assert!((quick / theirs - 1.0).abs() < 1e-5, "{pipe:?}");
        }
    }
}

#[test]
fn drains_running_full_agree_with_the_library() {
    let reference = reference();
    assert_eq!(reference.drains.len(), 40);
    for drain in &reference.drains {
        let ours = Drain {
            bore: drain.bore,
            slope: drain.slope,
            n: drain.n,
        };
        assert!(close(ours.velocity(1.0), drain.velocity), "{drain:?}");
    }
}
