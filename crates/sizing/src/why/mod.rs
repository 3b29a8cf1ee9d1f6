//! Why a pipe has its size: the whole derivation, step by step, in words, each with where it stands.
//!
//! In: one pipe of a sized network. Out: steps that a plumber can follow with the code in hand. Nothing of this is
//! built for pipes that nobody asks about: the passes are run again for the one that somebody does.

mod drain;
mod gas;
mod vent;

use wyeline_codes::Pack;
use wyeline_job::Job;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::PipeIx;
use wyeline_units::{Len, UnitSystem};

use crate::drain::Drains;
use crate::model::{FixtureResult, Governs, PipeResult, Sized, Step};
use crate::ranks::at_least;

/// The derivation of a pipe's size.
pub(crate) fn steps(
    job: &Job,
    network: &Network,
    pack: &Pack,
    sized: &Sized,
    ix: PipeIx,
) -> Vec<Step> {
    let mut steps = match network.pipe(ix).system {
        System::Waste => drain::steps(job, network, pack, sized, ix),
        System::Vent => vent::steps(job, network, pack, sized, ix),
        System::Gas => gas::steps(job, network, sized, ix),
        System::Storm => vec![plain("rain is not sized here: say the size".to_owned())],
        System::Cold | System::Hot | System::HotReturn => {
            return crate::water::why(job, network, pack, sized, ix);
        }
    };
    steps.push(outcome(network, sized, ix));
    steps
}

/// The drains' pass once more, with what it works out on the way.
fn drains_again(job: &Job, network: &Network, pack: &Pack) -> (Drains, Sized) {
    let mut sized = Sized {
        pipes: vec![PipeResult::default(); network.pipes.len()],
        fixtures: vec![FixtureResult::default(); network.fixtures.len()],
        ..Sized::default()
    };
    let drains = crate::drain::size(job, network, pack, &mut sized);
    (drains, sized)
}

/// A step that stands nowhere in a code.
fn plain(text: String) -> Step {
    Step {
        text,
        cite: None,
        governs: false,
    }
}

/// What was asked of a pipe, and whether that decided.
fn asked(network: &Network, want: &(wyeline_units::Size, Governs), decided: bool) -> Step {
    let (size, governs) = want;
    let (words, cite) = governs_words(network, governs);
    Step {
        text: format!("{size}: {words}"),
        cite,
        governs: decided,
    }
}

/// A reason in words, with where it stands.
fn governs_words(network: &Network, governs: &Governs) -> (String, Option<wyeline_codes::Cite>) {
    let units = network.units;
    match governs {
        Governs::Nothing => ("nothing is known that would size it".to_owned(), None),
        Governs::Table {
            cite,
            allows,
            carries,
            unit,
        } => {
            let words = if let Some(rest) = unit.strip_prefix("mm") {
                let allows = if allows.is_finite() {
                    length(*allows, units)
                } else {
                    "any length".to_owned()
                };
                format!("allows {allows}{rest}; it is {}", length(*carries, units))
            } else {
                let (amount, name) = unit.split_once(' ').map_or((*unit, ""), |split| split);
                let name = if name.is_empty() {
                    String::new()
                } else {
                    format!(" {name}")
                };
                format!(
                    "allows {} {amount}{name}; asked for {}",
                    figure(*allows),
                    figure(*carries)
                )
            };
            (words, Some(cite.clone()))
        }
        Governs::Least { cite, why } => (format!("the least, since {why}"), Some(cite.clone())),
        Governs::Upstream { pipe, cite } => (
            format!(
                "{} flows into it, and a drain does not become smaller on its way",
                network.pipe(*pipe).id
            ),
            Some(cite.clone()),
        ),
        Governs::Velocity { limit, cite } => {
            (format!("no faster than {limit} m/s"), Some(cite.clone()))
        }
        Governs::Pressure { fixture } => (
            format!(
                "what pressure is left for {}",
                network.fixtures[fixture.0 as usize].tag
            ),
            None,
        ),
        Governs::Stated => ("stated in the job".to_owned(), None),
    }
}

/// The last step: what is needed, and what there is.
fn outcome(network: &Network, sized: &Sized, ix: PipeIx) -> Step {
    let pipe = network.pipe(ix);
    let result = &sized.pipes[ix.0 as usize];
    let was = if pipe.existing { "there" } else { "stated" };
    let text = match (result.needed, result.size.filter(|_| result.stated)) {
        (Some(needed), None) => format!("so it is {needed}"),
        (Some(needed), Some(size)) if at_least(size, needed) => {
            format!("so {needed} is needed; {size} is {was}, which is enough")
        }
        (Some(needed), Some(size)) => {
            format!("so {needed} is needed; {size} is {was}, which is too small")
        }
        (None, Some(size)) => format!("{size} is {was}; what is needed is not known"),
        (None, None) => "its size is not known".to_owned(),
    };
    plain(text)
}

/// A length in the job's units, to 1/16 in or 1 mm.
fn length(mm: f64, units: UnitSystem) -> String {
    Len::from_mm(mm).show(units, 16)
}

/// A figure without idle decimals.
fn figure(value: f64) -> String {
    if !value.is_finite() {
        return "any".to_owned();
    }
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
