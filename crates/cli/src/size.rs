//! `wyeline size`: what each pipe is to the code in force, what it carries, its size, and the line that decided it.

use std::fmt::Write;

use wyeline_codes::Cite;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::PipeIx;
use wyeline_sizing::falls::falls;
use wyeline_whole::{Built, Judged, mark, sized_json, words};

use crate::args::Size;
use crate::input::Source;
use crate::progress::Progress;
use crate::table::Table;
use crate::{FINE, Failure, MISTAKES, falls as fall_words, mistakes, output, pressures};

/// Sizes the job and prints the results, or the derivation of one pipe.
pub fn size(args: &Size) -> Result<u8, Failure> {
    let mut progress = Progress::new();
    let source = Source::read(&args.job)?;
    let mut built = source.build(&mut progress);
    progress.stage("sizing");
    let judged = Judged::of(&mut built, args.code.as_deref());
    progress.clear();
    mistakes::show(&source.name, &source.text, &built.diagnostics);
    let judged = judged.map_err(|mistake| {
        let help = mistake.help.unwrap_or_default();
        format!("nothing sized: {}\nhelp: {help}", mistake.message)
    })?;
    let words = match &args.pipe {
        Some(id) => {
            let pipe = words::pipe_named(&built.network, id).ok_or_else(|| no_pipe(&built, id))?;
            if args.json {
                format!("{:#}\n", sized_json::pipe(&built, &judged, pipe))
            } else {
                derivation(&built, &judged, pipe)
            }
        }
        None if args.json => format!("{:#}\n", sized_json::all(&built, &judged)),
        None => report(&source.name, &built, &judged),
    };
    output::print(words.as_bytes())?;
    Ok(if built.has_mistakes() { MISTAKES } else { FINE })
}

fn no_pipe(built: &Built, id: &str) -> String {
    let ids = built.network.pipes.iter().map(|pipe| pipe.id.as_str());
    let help = wyeline_job::did_you_mean(id, ids.take(2_000))
        .unwrap_or_else(|| "`wyeline size` lists them".to_owned());
    format!("there is no pipe {id}; {help}")
}

/// All results: pipes by run, falls, pressures, what could not be sized, what the values rest on.
fn report(name: &str, built: &Built, judged: &Judged) -> String {
    let (network, pack) = (&built.network, &judged.pack);
    let mut text = format!("{name}: sized by {}\n", pack.name());
    text.push_str(&words::amendments(pack));
    for run in &network.runs {
        let mut table = Table::new(&[
            "pipe",
            "what it is",
            "carries>",
            "peak>",
            "length>",
            "least>",
            "size>",
            "",
            "decided by",
        ]);
        for &ix in &run.pipes {
            table.row(row(network, judged, ix));
        }
        if !table.is_empty() {
            let _ = writeln!(text, "\n{} {}", run.system.word(), run.name);
            table.write("  ", &mut text);
        }
    }
    let peaks = judged.sized.pipes.iter().any(|pipe| pipe.flow_by.is_some());
    if let Some(cite) = pack.peak_cite().filter(|_| peaks) {
        let _ = writeln!(
            text,
            "\n  * peak by the formula of {cite}: compare it with the rule in force"
        );
    }
    let mut marked = network.clone();
    mark::sizes(&mut marked, judged);
    let falls = falls(&marked, pack, &judged.sized);
    text.push_str(&fall_words::report(&marked, &judged.sized, &falls));
    text.push_str(&pressures::report(network, judged));
    if words::has_gas(network) {
        let _ = writeln!(text, "\n{}", words::GAS);
    }
    text.push_str(&gaps(network, judged));
    let trust = words::trust(cites(judged));
    text.push('\n');
    if !trust.is_empty() {
        let _ = writeln!(text, "{trust}.");
    }
    text.push_str(&unverified(network));
    text.push_str(&words::closing(pack));
    text
}

fn row(network: &Network, judged: &Judged, ix: PipeIx) -> Vec<String> {
    let pipe = network.pipe(ix);
    let result = &judged.sized.pipes[ix.0 as usize];
    let size = |size: Option<wyeline_units::Size>| size.map_or_else(String::new, |s| s.to_string());
    let mark = match (result.stated, result.size, result.needed) {
        (true, Some(has), Some(needed)) if needed > has => "TOO SMALL",
        (true, ..) => "stated",
        _ => "",
    };
    let mark = if pipe.existing {
        format!("existing {mark}").trim_end().to_owned()
    } else {
        mark.to_owned()
    };
    let rests: Vec<&str> = judged.sized.pipe_rests_on(ix).collect();
    let rests = words::rests(&rests);
    let flow = words::flow(result, network.units);
    let formula = judged.pack.peak_cite().is_some() && result.flow_by.is_some();
    let developed = result
        .developed_mm
        .map_or_else(String::new, |mm| words::length(mm, network.units));
    vec![
        pipe.id.clone(),
        words::role(result.role).to_owned(),
        words::load(pipe, result, judged.pack.family(), network.units),
        format!("{flow}{}", if formula { "*" } else { "" }),
        developed,
        size(result.needed),
        size(result.size),
        mark,
        format!(
            "{}{rests}",
            words::governs(&result.governs, network, network.units)
        ),
    ]
}

/// Where the reasons of all results stand.
fn cites(judged: &Judged) -> impl Iterator<Item = &Cite> {
    let results = judged.sized.pipes.iter();
    results.filter_map(|result| words::cite(&result.governs))
}

/// What could not be sized, the same reasons together.
fn gaps(network: &Network, judged: &Judged) -> String {
    let mut known: Vec<(&str, &str, Vec<&str>)> = Vec::new();
    for gap in &judged.sized.gaps {
        let place = words::gap_place(network, gap.at);
        match known.iter_mut().find(|(why, ..)| *why == gap.why) {
            Some((.., places)) => places.push(place),
            None => known.push((&gap.why, &gap.help, vec![place])),
        }
    }
    if known.is_empty() {
        return String::new();
    }
    let mut text = String::from("\nNot sized\n");
    for (why, help, places) in known {
        let _ = writeln!(text, "  {}: {why}", words::places(places.into_iter()));
        if !help.is_empty() {
            let _ = writeln!(text, "    {help}");
        }
    }
    text
}

/// What the results rest on and nobody has verified.
fn unverified(network: &Network) -> String {
    let pipes = network.pipes.iter().filter(|pipe| pipe.unverified);
    let fixtures = network.fixtures.iter().filter(|fixture| fixture.unverified);
    let names = pipes.map(|pipe| pipe.id.as_str());
    let names: Vec<&str> = names
        .chain(fixtures.map(|fixture| fixture.tag.as_str()))
        .collect();
    if names.is_empty() {
        return String::new();
    }
    format!(
        "Not verified, and what follows from it: {}.\n",
        words::places(names.into_iter())
    )
}

/// The whole derivation of one pipe.
fn derivation(built: &Built, judged: &Judged, ix: PipeIx) -> String {
    let (network, pack) = (&built.network, &judged.pack);
    let result = &judged.sized.pipes[ix.0 as usize];
    let mut text = format!(
        "{}: {} by {}\n\n",
        network.pipe(ix).id,
        words::role(result.role),
        pack.name()
    );
    let steps = wyeline_sizing::why(&built.job, network, pack, &judged.sized, ix);
    for (at, step) in steps.iter().enumerate() {
        let _ = writeln!(text, "{:>3}. {}", at + 1, step.text);
        if let Some(cite) = &step.cite {
            let _ = writeln!(text, "       {cite}");
        }
        if step.governs {
            text.push_str("       this decided the size\n");
        }
    }
    for what in judged.sized.pipe_rests_on(ix) {
        let _ = writeln!(text, "rests on {what}, which nobody has verified");
    }
    text.push('\n');
    if network.pipe(ix).system == System::Gas {
        let _ = writeln!(text, "{}\n", words::GAS);
    }
    let trust = words::trust(steps.iter().filter_map(|step| step.cite.as_ref()));
    if !trust.is_empty() {
        let _ = writeln!(text, "{trust}.");
    }
    text.push_str(&words::amendments(pack));
    text.push_str(&words::closing(pack));
    text
}
