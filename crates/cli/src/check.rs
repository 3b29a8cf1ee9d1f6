//! `wyeline check`: what is wrong with a job, and what of it breaks a rule of the code in force.

use std::fmt::Write;

use serde_json::{Value, json};
use wyeline_job::line_index;
use wyeline_whole::{Built, Judged, places, words};

use crate::args::Check;
use crate::input::Source;
use crate::progress::Progress;
use crate::{FINE, Failure, MISTAKES, findings, mistakes, output};

/// Reads the job, checks it, and prints mistakes, findings and what was not checked.
pub fn check(args: &Check) -> Result<u8, Failure> {
    let mut progress = Progress::new();
    let source = Source::read(&args.job)?;
    let mut built = source.build(&mut progress);
    progress.stage("sizing");
    let judged = match Judged::of(&mut built, args.code.as_deref()) {
        Ok(judged) => Some(judged),
        Err(mistake) => {
            built.add(vec![*mistake]);
            None
        }
    };
    progress.stage("checking");
    let checked = judged.as_ref().map(|judged| judged.check(&built));
    progress.clear();
    let clean = !built.has_mistakes()
        && checked
            .as_ref()
            .is_some_and(|checked| checked.findings.is_empty());
    if args.json {
        let mut all = checked.as_ref().zip(judged.as_ref()).map_or_else(
            || json!({}),
            |(checked, judged)| {
                wyeline_whole::findings::to_json(
                    &source.text,
                    &built.network,
                    &judged.sized,
                    checked,
                )
            },
        );
        let index = line_index(&source.text);
        all["mistakes"] = json!(places::list(&index, &built.diagnostics));
        all["code"] = judged
            .as_ref()
            .map_or(Value::Null, |one| json!(one.pack.id()));
        if let Some(judged) = &judged {
            all["amendments"] = json!(words::amendments(&judged.pack).lines().collect::<Vec<_>>());
            all["caution"] = json!(words::closing(&judged.pack));
            if words::has_gas(&built.network) {
                all["gas_caution"] = json!(words::GAS);
            }
        }
        output::print(format!("{all:#}\n").as_bytes())?;
    } else {
        mistakes::show(&source.name, &source.text, &built.diagnostics);
        let mut out = String::new();
        if let (Some(judged), Some(checked)) = (&judged, &checked) {
            out.push_str(&findings::show(
                &source.name,
                &source.text,
                &built.network,
                checked,
            ));
            let cites = checked.findings.iter().map(|finding| &finding.cite);
            let trust = words::trust(cites);
            if !trust.is_empty() {
                let _ = writeln!(out, "{trust}");
            }
            out.push_str(&words::amendments(&judged.pack));
            let (network, pack) = (&built.network, &judged.pack);
            out.push_str(&findings::not_checked(
                network,
                pack,
                &judged.sized,
                checked,
            ));
            if words::has_gas(network) {
                let _ = writeln!(out, "{}", words::GAS);
            }
            out.push_str(&words::closing(pack));
            let _ = writeln!(
                out,
                "{}: {}; {}",
                source.name,
                wyeline_whole::findings::summary(checked),
                wyeline_whole::findings::looked_at(checked)
            );
        } else {
            out.push_str("Not checked: any rule of a code, for none is in force.\n");
        }
        if nothing_yet(&built) {
            let _ = writeln!(out, "{}: nothing to draw yet", source.name);
        }
        output::print_coloured(&out)?;
    }
    Ok(if clean { FINE } else { MISTAKES })
}

/// Whether the job tells of nothing that could be drawn.
fn nothing_yet(built: &Built) -> bool {
    let network = &built.network;
    network.pipes.is_empty() && network.fixtures.is_empty() && network.building.walls.is_empty()
}
