//! Worked examples of water sizing from outside, one file each in `water_cases`: the job, what is expected, how near,
//! and where it stands.
//!
//! An expectation with a `miss` is known not to agree, with the reason; it has to stay so, or the reason goes.

mod water_support;

use std::fs;
use std::path::Path;

use serde::Deserialize;
use water_support::{Done, FOOT, GPM, PSI, size};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Case {
    title: String,
    source: String,
    how: String,
    code: String,
    job: String,
    expect: Vec<Expect>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Expect {
    pipe: String,
    what: String,
    value: toml::Value,
    #[serde(default)]
    within: f64,
    #[serde(rename = "why")]
    _why: Option<String>,
    miss: Option<String>,
}

/// What was found for a pipe, as a number.
fn found(done: &Done, expect: &Expect) -> f64 {
    let pipe = done.pipe(&expect.pipe);
    let water = pipe.water.expect("flow and pressure");
    match expect.what.as_str() {
        "units" => pipe.load.water[2],
        "gpm" => water.flow_lps / GPM,
        "psi left" => water.pressure_pa.expect("a pressure") / PSI,
        "psi per 100 ft" => {
            let ix = done.pipe_ix(&expect.pipe);
            let feet = done.network.length_mm(done.network.pipe(ix)) / FOOT;
            water.loss_pa / PSI / feet * 100.0
        }
        other => panic!("`{other}` is not worked out"),
    }
}

#[test]
fn worked_examples_come_out_as_published() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/water_cases");
    let mut checked = 0;
    for file in fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        let name = path.file_name().unwrap().display();
        let case: Case = toml::from_str(&fs::read_to_string(&path).unwrap())
            .unwrap_or_else(|fault| panic!("{name}: {fault}"));
        assert!(
            !case.title.is_empty() && !case.source.is_empty() && !case.how.is_empty(),
            "{name}"
        );
        let done = size(&case.code, case.job.trim_start());
        for expect in &case.expect {
            let (agrees, found) = if expect.what == "size" {
                let found = done.needed(&expect.pipe);
                (Some(found.as_str()) == expect.value.as_str(), found)
            } else {
                let value = expect
                    .value
                    .as_float()
                    .or(expect.value.as_integer().map(|value| value as f64))
                    .unwrap();
                let found = found(&done, expect);
                ((found - value).abs() <= expect.within, found.to_string())
            };
            let (what, pipe, value) = (&expect.what, &expect.pipe, &expect.value);
            match &expect.miss {
                None => assert!(
                    agrees,
                    "{name}: {what} of {pipe} is {found} where {value} was expected"
                ),
                Some(reason) => assert!(
                    !agrees,
                    "{name}: {what} of {pipe} agrees now, although: {reason}"
                ),
            }
            checked += 1;
        }
    }
    assert!(checked >= 15, "{checked} expectations");
}
