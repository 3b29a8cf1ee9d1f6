//! What the job adds for waste (`spare 5 % for pvc`), apart from what is counted.

use wyeline_job::Job;
use wyeline_job::model::SpareOf;

use super::{Amount, Line, What};
use crate::material;
use crate::model::Shape;
use crate::name;

/// Adds the job's spare to lengths and counts of pipe, fittings, supports and plates. A material's goes before a
/// system's, a system's before that of all. Valves and devices, and what is one for each place, have none.
pub(super) fn add(job: &Job, lines: &mut [Line], notes: &mut Vec<String>) {
    if job.fitting.spare.is_empty() {
        notes.push(
            "Nothing is added for waste: the job tells no spare (`spare 5 %` adds it, apart from what is counted)."
                .to_owned(),
        );
    }
    for line in lines {
        line.spare_percent = percent(job, line).filter(|percent| *percent > 0.0);
        let share = |percent: f64| line.amount.of(line.amount.value() * percent / 100.0);
        line.spare = line.spare_percent.map(share);
    }
}

fn percent(job: &Job, line: &Line) -> Option<f64> {
    let wastes = match line.what {
        What::Fitting(Shape::Device(_)) => false,
        What::Pipe | What::Fitting(_) | What::Joint | What::Hanger | What::Guide | What::Plate => {
            true
        }
        _ => false,
    };
    if !wastes || !matches!(line.amount, Amount::Count(_) | Amount::Length(_)) {
        return None;
    }
    let of_material = |word: &str| {
        let mut families = material::families(word).into_iter();
        word == line.material || families.any(|family| name::family(family) == line.material)
    };
    let rank = |of: &SpareOf| match of {
        SpareOf::Material(word) if of_material(&word.text) => Some(0),
        SpareOf::System(system) if *system == line.system => Some(1),
        SpareOf::All => Some(2),
        _ => None,
    };
    let spare = job.fitting.spare.iter();
    let held = spare.filter_map(|spare| Some((rank(&spare.of)?, spare.percent)));
    held.min_by_key(|(rank, _)| *rank)
        .map(|(_, percent)| percent)
}
