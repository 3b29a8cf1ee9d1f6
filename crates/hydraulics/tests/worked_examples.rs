//! Worked examples from outside: what is given, what is expected, how near, and where it stands, one file each in `cases`.
//!
//! An expectation with a `miss` is known not to agree, with the reason; it has to stay so, or the reason goes.

use std::fs;
use std::path::Path;

use serde::Deserialize;
use wyeline_hydraulics::channel::{Drain, Part};
use wyeline_hydraulics::loss::{
    Bore, Flowing, flowing, hazen_williams, hazen_williams_psi_per_foot, height,
};
use wyeline_hydraulics::tree::{Branch as TreePipe, Law, SOURCE, gather, pressures};
use wyeline_hydraulics::unit::{FOOT, GALLON, GPM, GRAVITY, INCH, LITRE, PSI};
use wyeline_hydraulics::{Water, fitting, friction, hot, stack};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    title: String,
    source: String,
    how: String,
    pipe: Option<Pipe>,
    drain: Option<DrainGiven>,
    stack: Option<StackGiven>,
    #[serde(rename = "return")]
    back: Option<Return>,
    source_head: Option<SourceHead>,
    #[serde(default)]
    stretch: Vec<Stretch>,
    #[serde(default)]
    branch: Vec<Branch>,
    #[serde(default)]
    expect: Vec<Expect>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Pipe {
    bore: String,
    roughness: Option<String>,
    length: String,
    rise: Option<String>,
    flow: String,
    density: Option<String>,
    viscosity: Option<String>,
    #[serde(default)]
    fittings: Vec<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct DrainGiven {
    bore: String,
    slope: f64,
    n: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct StackGiven {
    bore: String,
    share: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Return {
    heat: String,
    drop: String,
    temperature: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SourceHead {
    head: String,
    c: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Stretch {
    length: String,
    bore: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Branch {
    name: String,
    from: String,
    to: String,
    length: String,
    bore: String,
    z: String,
    draws: String,
    flow: String,
    velocity: String,
    head: String,
    psi: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Expect {
    what: String,
    c: Option<f64>,
    flow: Option<String>,
    value: String,
    within: String,
    #[serde(rename = "why")]
    _why: Option<String>,
    miss: Option<String>,
}

/// `8 gpm` in SI.
fn si(text: &str) -> f64 {
    let (number, unit) = text.split_once(' ').unwrap_or((text, ""));
    let factor = match unit {
        "" | "m" | "Pa" | "K" | "C" | "s" | "m/s" | "kg/m3" | "m3/s" => 1.0,
        "mm" | "mPa.s" => 0.001,
        "in" => INCH,
        "ft" | "ft/s" => FOOT,
        "ft3/s" => FOOT * FOOT * FOOT,
        "gpm" => GPM,
        "gal" => GALLON,
        "l/s" => LITRE,
        "psi" => PSI,
        "kW" => 1_000.0,
        _ => panic!("`{unit}` is no unit of a worked example"),
    };
    number.parse::<f64>().unwrap_or_else(|_| panic!("`{text}`")) * factor
}

fn cases() -> Vec<(String, Case)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases");
    let mut found: Vec<(String, Case)> = fs::read_dir(folder)
        .unwrap()
        .map(|file| {
            let path = file.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            let text = fs::read_to_string(&path).unwrap();
            let case = toml::from_str(&text).unwrap_or_else(|fault| panic!("{name}: {fault}"));
            (name, case)
        })
        .collect();
    found.sort_by(|a, b| a.0.cmp(&b.0));
    found
}

fn of_pipe(given: &Pipe, expect: &Expect) -> Option<f64> {
    let bore = si(&given.bore);
    let length = si(&given.length);
    let flow = si(&given.flow);
    let water = Water {
        density: given.density.as_deref().map_or(1_000.0, si),
        viscosity: given.viscosity.as_deref().map_or(1e-3, si),
    };
    let roughness = given.roughness.as_deref().map_or(0.0, si);
    let runs: Flowing = flowing(
        flow,
        Bore {
            diameter: bore,
            roughness,
        },
        water,
    );
    let k: f64 = given
        .fittings
        .iter()
        .map(|name| {
            let fitting = fitting::Fitting::ALL
                .iter()
                .find(|fitting| fitting.word() == name);
            fitting::k(*fitting.unwrap()).unwrap()
        })
        .sum();
    let rise = given.rise.as_deref().map_or(0.0, si);
    Some(match expect.what.as_str() {
        "velocity" => runs.velocity,
        "reynolds" => runs.reynolds,
        "friction-factor" => runs.friction.factor,
        "swamee-jain" => friction::swamee_jain(runs.reynolds, roughness / bore),
        "pipe-loss" => runs.pipe_loss(length, bore),
        "trade-hazen-williams" => {
            hazen_williams_psi_per_foot(flow / GPM, bore / INCH, expect.c?) * length / FOOT * PSI
        }
        "hazen-williams" => hazen_williams(flow, length, bore, expect.c?),
        "k" => k,
        "fitting-loss" => runs.fitting_loss(k),
        "fittings-as-length" => runs.fitting_loss(k) / runs.pipe_loss(1.0, bore),
        "height" => height(rise, water),
        "total-loss" => runs.pipe_loss(length, bore) + runs.fitting_loss(k) + height(rise, water),
        _ => return None,
    })
}

fn of_drain(given: &DrainGiven, what: &str) -> Option<f64> {
    let drain = Drain {
        bore: si(&given.bore),
        slope: given.slope,
        n: given.n,
    };
    Some(match what {
        "radius" => Part::of(drain.bore, 1.0).radius(),
        "full" => drain.full(),
        "half" => drain.flow(0.5),
        "full-velocity" => drain.velocity(1.0),
        _ => return None,
    })
}

fn of_stack(given: &StackGiven, what: &str) -> Option<f64> {
    let bore = si(&given.bore);
    let flow = stack::capacity(bore, given.share);
    let velocity = stack::terminal_velocity(flow, bore);
    Some(match what {
        "capacity" => flow,
        "terminal-velocity" => velocity,
        "terminal-length" => stack::terminal_length(velocity),
        _ => return None,
    })
}

fn of_hot(case: &Case, expect: &Expect) -> Option<f64> {
    let volume = || {
        case.stretch
            .iter()
            .map(|one| hot::volume(si(&one.length), si(&one.bore)))
            .sum()
    };
    match expect.what.as_str() {
        "volume" => Some(volume()),
        "wait" => hot::wait(volume(), si(expect.flow.as_deref()?)),
        "recirculation" => {
            let back = case.back.as_ref()?;
            Some(hot::recirculation(
                si(&back.heat),
                si(&back.drop),
                si(&back.temperature),
            ))
        }
        _ => None,
    }
}

fn found(case: &Case, expect: &Expect) -> Option<f64> {
    let pipe = case.pipe.as_ref().and_then(|pipe| of_pipe(pipe, expect));
    let drain = || {
        case.drain
            .as_ref()
            .and_then(|drain| of_drain(drain, &expect.what))
    };
    let stack = || {
        case.stack
            .as_ref()
            .and_then(|stack| of_stack(stack, &expect.what))
    };
    pipe.or_else(drain)
        .or_else(stack)
        .or_else(|| of_hot(case, expect))
}

#[test]
fn worked_examples_come_out_as_published() {
    let mut checked = 0;
    for (file, case) in cases() {
        assert!(
            !case.title.is_empty() && !case.source.is_empty() && !case.how.is_empty(),
            "{file}"
        );
        for expect in &case.expect {
            let what = &expect.what;
            let found =
                found(&case, expect).unwrap_or_else(|| panic!("{file}: {what} is not worked out"));
            let value = si(&expect.value);
            let within = match expect.within.strip_suffix(" %") {
                Some(percent) => value * si(percent) / 100.0,
                None => si(&expect.within),
            };
            let agrees = (found - value).abs() <= within;
            match &expect.miss {
                None => assert!(
                    agrees,
                    "{file}: {what} is {} where {} was expected",
                    found / value * si_number(&expect.value),
                    expect.value
                ),
                Some(reason) => assert!(!agrees, "{file}: {what} agrees now, although: {reason}"),
            }
            checked += 1;
        }
    }
    assert!(checked >= 50, "{checked} expectations");
}

/// The number alone.
fn si_number(text: &str) -> f64 {
    text.split(' ').next().unwrap().parse().unwrap()
}

/// Flows, velocities and pressures of a whole branched network, to the last digit that the solver printed.
#[test]
fn a_branched_network_agrees_with_a_general_solver() {
    let (_, case) = cases()
        .into_iter()
        .find(|(file, _)| file == "s3-network.toml")
        .unwrap();
    let source = case.source_head.unwrap();
    let parents: Vec<u32> = case
        .branch
        .iter()
        .map(|pipe| {
            case.branch
                .iter()
                .position(|other| other.name == pipe.from)
                .map_or(SOURCE, |at| at as u32)
        })
        .collect();
    let mut flows: Vec<f64> = case.branch.iter().map(|pipe| si(&pipe.draws)).collect();
    gather(&parents, &mut flows).unwrap();
    let z = |at: u32| {
        if at == SOURCE {
            0.0
        } else {
            si(&case.branch[at as usize].z)
        }
    };
    let pipes: Vec<TreePipe> = case
        .branch
        .iter()
        .zip(&parents)
        .map(|(pipe, &parent)| TreePipe {
            bore: si(&pipe.bore),
            length: si(&pipe.length),
            c: source.c,
            rise: si(&pipe.z) - z(parent),
            ..TreePipe::default()
        })
        .collect();
    let water = Water::at(10.0);
    let weight = water.density * GRAVITY;
    let found = pressures(
        &parents,
        &pipes,
        &flows,
        si(&source.head) * weight,
        water,
        Law::HazenWilliams,
    )
    .unwrap();
    for (n, pipe) in case.branch.iter().enumerate() {
        assert!((flows[n] - si(&pipe.flow)).abs() < 1e-12, "{}", pipe.name);
        let velocity = friction::velocity(flows[n], pipes[n].bore) / FOOT;
        assert!(
            (velocity - si_number(&pipe.velocity)).abs() < 0.0006,
            "{}: {velocity}",
            pipe.name
        );
        let metres = found.pressure[n] / weight;
        assert!(
            (metres - si(&pipe.head)).abs() < 0.0003,
            "{}: {metres} m",
            pipe.to
        );
        assert!(
            (metres / FOOT * 0.4333 - pipe.psi).abs() < 0.001,
            "{}: {metres} m",
            pipe.to
        );
    }
}
