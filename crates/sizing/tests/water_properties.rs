//! What has to hold of the water of any job: more pressure never hurts, more fixtures never shrink a pipe, every tap
//! keeps its pressure where it can, nothing panics.

mod water_support;

use std::fmt::Write;

use proptest::prelude::*;
use water_support::{Done, HEAD, PSI, size, size_anyhow};

/// Kinds with a cold tap, and words that make them draw otherwise.
const KINDS: [(&str, &str); 8] = [
    ("lavatory", ""),
    ("water-closet", ""),
    ("water-closet", " flushometer"),
    ("bathtub", ""),
    ("urinal", ""),
    ("service-sink", ""),
    ("hose-bibb", ""),
    ("lavatory", " draws 2 gpm continuously"),
];

/// A branch: how far on it leaves the main, what hangs on it, and whether it is there or capped.
#[derive(Clone, Debug)]
struct Branch {
    after: u32,
    kind: usize,
    there: bool,
}

fn branches() -> impl Strategy<Value = Vec<Branch>> {
    let one = (1_u32..40, 0..KINDS.len(), any::<bool>()).prop_map(|(after, kind, there)| Branch {
        after,
        kind,
        there,
    });
    prop::collection::vec(one, 1..7)
}

/// A main with its branches; those that are not there have the same pipe, capped.
fn job(branches: &[Branch], supply: &str, material: &str, sizes: bool) -> String {
    let mut fixtures = String::new();
    let mut main = String::from("cold main\n  start 0',0' main floor +18\"\n");
    let mut runs = String::new();
    let _ = writeln!(main, "  material {material}");
    if sizes {
        main.push_str("  size 1\"\n");
    }
    let mut east = 0;
    for (n, branch) in branches.iter().enumerate() {
        east += branch.after;
        let _ = writeln!(main, "  east {}'\n  point P{n}", branch.after);
        let _ = writeln!(runs, "cold b{n}\n  start P{n}\n  material {material}");
        if sizes {
            runs.push_str("  size 3/4\"\n");
        }
        runs.push_str("  north 3'\n");
        if branch.there {
            let (kind, facts) = KINDS[branch.kind];
            let port = if kind == "hose-bibb" {
                ""
            } else {
                " cold left 0\" up 18\""
            };
            let _ = writeln!(
                fixtures,
                "fixture F{n} {kind} main {east}',6' faces north{port}{facts}"
            );
            let _ = writeln!(runs, "  end F{n}");
        } else {
            runs.push_str("  north 3'\n  cap\n");
        }
    }
    main.push_str("  east 1'\n  cap\n");
    format!("{HEAD}{supply}\n{fixtures}{main}{runs}")
}

fn supply(psi: f64) -> String {
    format!("supply pressure {psi:.1} psi")
}

fn needed(done: &Done) -> Vec<Option<wyeline_units::Size>> {
    done.sized.pipes.iter().map(|pipe| pipe.needed).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// With sizes held, a higher street pressure never lowers a residual.
    #[test]
    fn more_pressure_never_leaves_less(branches in branches(), psi in 10.0..100.0_f64, more in 0.0..40.0_f64) {
        for code in ["ipc-2021", "upc-2021"] {
            let left = |psi| {
                let done = size(code, &job(&branches, &supply(psi), "copper", true));
                done.sized.fixtures.iter().map(|fixture| fixture.residual_pa[0]).collect::<Vec<_>>()
            };
            for (less, more) in left(psi).into_iter().zip(left(psi + more)) {
                prop_assert!(more >= less, "{code}: {less:?} {more:?}");
            }
        }
    }

    /// A fixture where there was a cap never makes any pipe smaller, by velocity or by pressure.
    #[test]
    fn more_fixtures_never_shrink_a_pipe(branches in branches(), which in any::<prop::sample::Index>(), psi in 15.0..90.0_f64) {
        let mut fewer = branches.clone();
        let which = which.index(branches.len());
        fewer[which].there = false;
        let mut more = branches;
        more[which].there = true;
        for code in ["ipc-2021", "upc-2021"] {
            for supply in [String::new(), supply(psi)] {
                for material in ["copper", "pex"] {
                    let before = size(code, &job(&fewer, &supply, material, false));
                    let after = size(code, &job(&more, &supply, material, false));
                    prop_assert_eq!(before.sized.pipes.len(), after.sized.pipes.len());
                    for (ix, (less, more)) in needed(&before).into_iter().zip(needed(&after)).enumerate() {
                        prop_assert!(more >= less, "{} {}: {:?} {:?}", code, before.network.pipes[ix].id, less, more);
                    }
                }
            }
        }
    }

    /// Sizes worked out by pressure leave each tap what it needs, unless larger pipes would not help either:
    /// with everything of 6 in the same tap is short as well, or pipe stands at the two sizes of leeway.
    #[test]
    fn each_tap_keeps_its_pressure(branches in branches(), psi in 25.0..90.0_f64) {
        let text = job(&branches, &supply(psi), "copper", false);
        let done = size("ipc-2021", &text);
        let free = size("ipc-2021", &job(&branches, "", "copper", false));
        let two_up = needed(&done).iter().zip(needed(&free)).any(|(by_pressure, by_velocity)| {
            let place = |size: &Option<wyeline_units::Size>| {
                let inches = ["3/8", "1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "4", "6"];
                size.and_then(|size| inches.iter().position(|inch| size.to_string() == format!("{inch}\"")))
            };
            place(by_pressure) >= place(&by_velocity).map(|place| place + 2) && by_pressure.is_some()
        });
        let largest = size("ipc-2021", &text.replace("material copper", "material copper\n  size 6\""));
        for (ix, fixture) in done.sized.fixtures.iter().enumerate() {
            let (Some(left), Some(needs)) = (fixture.residual_pa[0], fixture.needs_pa) else { continue };
            let hopeless = largest.sized.fixtures[ix].residual_pa[0].is_some_and(|left| left < needs);
            prop_assert!(left >= needs - 1e-6 * PSI || two_up || hopeless, "{left} {needs}");
        }
    }

    /// Lines of a job left out or told twice: whatever becomes of it, it is sized or told, under every code.
    #[test]
    fn broken_jobs_never_panic(branches in branches(), drop in prop::collection::vec(any::<prop::sample::Index>(), 0..6), twice in any::<prop::sample::Index>()) {
        let text = job(&branches, &supply(40.0), "copper", false)
            + "fixture WH1 water-heater main 3',-5' faces north\nhot h\n  start WH1.hot\n  up 1'\n  point H\n  east 5'\n  join H2\n\
               hot h2\n  start H\n  north 4'\n  point H2\n  east 3'\n  join H\nhot-return r\n  start H2\n  down 1'\n  join H\n";
        let mut lines: Vec<&str> = text.lines().collect();
        for index in drop {
            if !lines.is_empty() {
                let at = index.index(lines.len());
                lines.remove(at);
            }
        }
        if !lines.is_empty() {
            let at = twice.index(lines.len());
            lines.insert(at, lines[at]);
        }
        for pack in wyeline_codes::Pack::all() {
            let done = size_anyhow(pack.id(), &(lines.join("\n") + "\n"));
            for pipe in 0..done.network.pipes.len() {
                let pipe = wyeline_network::model::PipeIx(pipe as u32);
                wyeline_sizing::water::why(&done.job, &done.network, pack, &done.sized, pipe);
            }
        }
    }
}
