//! `wyeline best`: from which corner the isometric reads best, and why.

use std::fmt::Write;

use wyeline_draw::Part;
use wyeline_draw::best::Choice;
use wyeline_units::{Scale, UnitSystem};

use crate::args::Best;
use crate::input::Source;
use crate::progress::Progress;
use crate::{FINE, Failure, MISTAKES, mistakes, output};

/// Prints the corner, the reason, and what counted against each corner.
pub fn best(args: &Best) -> Result<u8, Failure> {
    let mut progress = Progress::new();
    let source = Source::read(&args.job)?;
    let built = source.build(&mut progress);
    progress.stage("looking from four corners");
    let part = Part {
        systems: args.system.clone(),
        ..Part::default()
    };
    let scale = args.scale.unwrap_or(usual(built.network.units));
    let choice = wyeline_draw::best::best(&built.network, &part, scale);
    progress.clear();
    mistakes::show(&source.name, &source.text, &built.diagnostics);
    output::print(table(&choice).as_bytes())?;
    Ok(if built.has_mistakes() { MISTAKES } else { FINE })
}

/// The reason, and what counted against each corner, best first.
fn table(choice: &Choice) -> String {
    let mut words = format!("{}\n\n", choice.reason);
    let _ = writeln!(
        words,
        "{:<12}{:>8}{:>13}{:>18}{:>12}{:>15}{:>11}{:>11}",
        "seen from",
        "points",
        "coinciding",
        "hidden junctions",
        "false axes",
        "short travels",
        "crossings",
        "crowding"
    );
    let mut scores = choice.scores;
    scores.sort_by(|a, b| a.points.total_cmp(&b.points));
    for score in scores {
        let _ = writeln!(
            words,
            "{:<12}{:>8.0}{:>10.0} mm{:>18}{:>12}{:>15}{:>11}{:>11.0}",
            score.corner.name(),
            score.points,
            score.coinciding_mm,
            score.hidden_junctions,
            score.false_axes,
            score.short_travels,
            score.crossings,
            score.crowding
        );
    }
    words
}

/// The scale for a house: 1/4 in = 1 ft, 1:50 in metric jobs. Common practice.
fn usual(units: UnitSystem) -> Scale {
    Scale(if units.is_metric() { 50 } else { 48 })
}
