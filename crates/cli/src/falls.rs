//! Falls of drains in words: inverts, slopes, what is left above the outlet, room overhead, heights missed.

use std::fmt::Write;

use wyeline_network::Network;
use wyeline_sizing::Sized;
use wyeline_sizing::falls::{DrainFall, Falls, FitFall, Overhead, Under};
use wyeline_whole::words;

use crate::table::Table;

/// The falls of all level drains as a table, then the heights that they have to arrive at.
pub fn report(network: &Network, sized: &Sized, falls: &Falls) -> String {
    let mut text = String::new();
    if !falls.drains.is_empty() {
        let mut table = Table::new(&[
            "pipe",
            "size>",
            "slope>",
            "at least>",
            "invert from>",
            "to>",
            "above outlet>",
            "to spare>",
            "cover from>",
            "to>",
            "room above>",
            "below",
            "",
        ]);
        for drain in &falls.drains {
            table.row(row(network, sized, drain));
        }
        text.push_str("\nFalls (from the upstream end)\n");
        table.write("  ", &mut text);
        if falls.drains.iter().any(|drain| drain.assumed) {
            text.push_str("  * slope assumed: nobody stated it\n");
        }
        let mut pipes = falls.drains.iter().map(|drain| network.pipe(drain.pipe));
        if pipes.any(|pipe| pipe.worked_out) {
            text.push_str("  \u{2020} by a size that was worked out: nobody stated it\n");
        }
        if falls.no_grade {
            text.push_str(
                "  Cover outside the walls is not known: the job does not tell how high the ground lies there (`grade`)\n",
            );
        }
    }
    if !falls.fits.is_empty() {
        text.push_str("\nHeights that drains have to arrive at\n");
        for fit in &falls.fits {
            text.push_str(&fitted(network, fit));
        }
    }
    text
}

fn row(network: &Network, sized: &Sized, drain: &DrainFall) -> Vec<String> {
    let pipe = network.pipe(drain.pipe);
    let units = network.units;
    let some = |mm: Option<f64>| mm.map_or_else(String::new, |mm| words::length(mm, units));
    let dagger = if pipe.worked_out { "\u{2020}" } else { "" };
    let invert = |mm: Option<f64>| {
        mm.map_or_else(String::new, |mm| {
            format!("{}{dagger}", words::height(mm, network))
        })
    };
    let slope = pipe.slope.map_or_else(
        || words::ratio(drain.slope, units),
        |slope| slope.slope.show(units),
    );
    let (room, below) = nearest(drain).map_or_else(Default::default, |under| {
        let body = match under.what {
            Overhead::Floor(level) => network
                .levels
                .get(level.0 as usize)
                .map_or_else(String::new, |level| format!("{} floor", level.name)),
            Overhead::Body(body) => network
                .building
                .bodies
                .get(body as usize)
                .map_or_else(String::new, |body| body.tag.clone()),
        };
        (words::length(under.clear_mm, units), body)
    });
    vec![
        pipe.id.clone(),
        pipe.size
            .map_or_else(String::new, |size| format!("{size}{dagger}")),
        format!("{slope}{}", if drain.assumed { "*" } else { "" }),
        drain
            .least
            .as_ref()
            .map_or_else(String::new, |least| least.value.show(units)),
        invert(drain.invert_mm[0]),
        invert(drain.invert_mm[1]),
        words::length(drain.above_outlet_mm[0], units),
        some(drain.left_mm),
        some(drain.cover_mm[0]),
        some(drain.cover_mm[1]),
        room,
        below,
        words::rests(&sized.fall_rests_on(drain.pipe).collect::<Vec<_>>())
            .trim_start_matches("; ")
            .to_owned(),
    ]
}

/// What leaves the least room above a drain.
fn nearest(drain: &DrainFall) -> Option<&Under> {
    let all = drain.under.iter().flatten().chain(&drain.body);
    all.min_by(|a, b| a.clear_mm.total_cmp(&b.clear_mm))
}

/// A height that has to be met: whether it is, and if not by how much, and what would mend it.
fn fitted(network: &Network, fit: &FitFall) -> String {
    let units = network.units;
    let run = network.runs.get(fit.run.0 as usize);
    let name = run.map_or("", |run| run.name.as_str());
    let mut text = String::new();
    let range = match (fit.flattest, fit.steepest) {
        (Some(flattest), Some(steepest)) if (steepest - flattest).abs() < 1e-9 => {
            format!("only {} works", words::ratio(flattest, units))
        }
        (Some(flattest), Some(steepest)) => format!(
            "slopes from {} to {} work",
            words::ratio(flattest, units),
            words::ratio(steepest, units)
        ),
        (Some(flattest), None) => format!("{} or steeper works", words::ratio(flattest, units)),
        (None, _) => "no slope that the code allows works".to_owned(),
    };
    let met = if fit.miss_mm > 0.0 {
        let way = if fit.too_high { "high" } else { "low" };
        format!("misses: {} too {way}", words::length(fit.miss_mm, units))
    } else {
        "fits".to_owned()
    };
    let _ = writeln!(
        text,
        "  {name}: {met} over {} level; {range}",
        words::length(fit.run_mm, units)
    );
    if let Some((slope, cite)) = &fit.least {
        let _ = writeln!(text, "    at least {} by {cite}", slope.show(units));
    }
    for offer in &fit.offers {
        let _ = writeln!(text, "    would mend it: {}", offer.words(units));
    }
    text
}
