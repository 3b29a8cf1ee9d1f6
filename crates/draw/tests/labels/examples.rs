//! Every example from every corner, and every level in plan: nothing touches anything.

use std::path::Path;

use wyeline_draw::label::check;
use wyeline_draw::plan::{PlanOptions, plan};
use wyeline_draw::{Corner, Part, iso};
use wyeline_network::Network;
use wyeline_network::model::LevelIx;
use wyeline_units::Scale;

/// The examples' names and networks.
fn examples() -> Vec<(String, Network)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).expect("the examples are there") {
        let path = entry.expect("readable").path();
        if path.extension().is_some_and(|e| e == "wye") {
            let text = std::fs::read_to_string(&path).expect("an example is UTF-8");
            let job = wyeline_job::read(&text).job;
            let network = wyeline_network::build(&job, &text).network;
            found.push((path.display().to_string(), network));
        }
    }
    assert!(found.len() >= 5, "examples to try: {}", found.len());
    found
}

#[test]
fn nothing_touches_on_any_isometric() {
    for (name, network) in examples() {
        for corner in Corner::ALL {
            for (scale, labels_along) in [(24, false), (48, false), (48, true)] {
                let made = iso::iso(
                    &network,
                    &iso::IsoOptions {
                        corner,
                        scale: Scale(scale),
                        true_fall: labels_along,
                        part: Part::default(),
                        labels_along,
                        grid: false,
                    },
                );
                let touches = check(&made);
                assert!(
                    touches.is_empty(),
                    "{name} {corner:?} 1:{scale}: {touches:?}"
                );
            }
        }
    }
}

#[test]
fn nothing_touches_on_any_plan() {
    for (name, network) in examples() {
        for level in 0..network.levels.len() as u32 {
            let options = PlanOptions {
                level: LevelIx(level),
                scale: Scale(48),
                part: Part::default(),
                labels_along: false,
            };
            let touches = check(&plan(&network, &options));
            assert!(touches.is_empty(), "{name} level {level}: {touches:?}");
        }
    }
}
