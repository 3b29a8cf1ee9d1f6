//! The cautions a sheet carries, chosen from `data/cautions.toml` by what is drawn on it.

use std::sync::OnceLock;

use serde::Deserialize;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::Pipe;

use crate::block::paragraph;
use crate::drawer::Shown;
use crate::section::Section;

#[derive(Deserialize)]
struct Table {
    most: usize,
    trench_mm: f64,
    bedding_mm: f64,
    plastic: Vec<String>,
    caution: Vec<Caution>,
}

/// One caution of the table.
#[derive(Debug, Deserialize)]
pub(crate) struct Caution {
    when: When,
    /// DANGER, CAUTION or NOTE.
    pub word: String,
    /// The risk and the action.
    pub text: String,
    /// Where it rests; kept so that a row without one cannot be read.
    #[expect(dead_code, reason = "read so that a row without a source is refused")]
    source: String,
}

#[derive(Clone, Copy, Debug, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
enum When {
    Trench,
    Gas,
    Plastic,
    Scald,
    Existing,
    Buried,
    Always,
}

fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| {
        toml::from_str(include_str!("../data/cautions.toml")).expect("a test reads the cautions")
    })
}

/// The cautions that what is drawn calls for, the weightiest first, the deference line last.
///
/// * `lowest`: the lowest floor of the job, mm; infinite where there is none
pub(crate) fn applying<'a>(
    lowest: f64,
    pipes: impl Iterator<Item = (&'a Network, &'a Pipe)>,
) -> Vec<&'static Caution> {
    let table = table();
    let (mut gas, mut plastic, mut hot, mut existing, mut deepest) =
        (false, false, false, false, 0.0_f64);
    for (network, pipe) in pipes {
        gas |= pipe.system == System::Gas;
        hot |= matches!(pipe.system, System::Hot | System::HotReturn);
        existing |= pipe.existing;
        plastic |= pipe.material.as_deref().is_some_and(is_plastic);
        if pipe.system.drains() && lowest.is_finite() {
            let centre = network.node(pipe.to).at.z;
            deepest = deepest.max(lowest - pipe.invert_to.unwrap_or(centre));
        }
    }
    let applies = |when: When| match when {
        When::Trench => deepest + table.bedding_mm >= table.trench_mm,
        When::Gas => gas,
        When::Plastic => plastic,
        When::Scald => hot,
        When::Existing => existing,
        When::Buried => deepest > 0.0,
        When::Always => false,
    };
    let chosen = table
        .caution
        .iter()
        .filter(|c| applies(c.when))
        .take(table.most - 1);
    chosen
        .chain(table.caution.iter().filter(|c| c.when == When::Always))
        .take(table.most)
        .collect()
}

/// The lowest floor, mm.
fn lowest(network: &Network) -> f64 {
    network
        .levels
        .iter()
        .map(|l| l.floor)
        .fold(f64::INFINITY, f64::min)
}

/// Whether a material's name, as written, has a plastic's word in it.
fn is_plastic(material: &str) -> bool {
    material
        .split(|c: char| !c.is_ascii_alphabetic())
        .any(|word| {
            table()
                .plastic
                .iter()
                .any(|plastic| plastic.eq_ignore_ascii_case(word))
        })
}

/// The cautions of a sheet in a column `room` mm wide.
pub(crate) fn section(job: &Network, pictures: &[Shown], room: f64) -> Section {
    let pipes = pictures
        .iter()
        .flat_map(|(network, p)| p.pipes.iter().map(|m| (*network, network.pipe(m.pipe))));
    let chosen = applying(lowest(job), pipes);
    let blocks = chosen
        .iter()
        .flat_map(|c| paragraph("caution", &c.word, &c.text, room));
    Section::new("Cautions", blocks.collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{network, pipe};

    fn words(network: &Network) -> Vec<&'static str> {
        applying(lowest(network), network.pipes.iter().map(|p| (network, p)))
            .iter()
            .map(|c| c.text.as_str())
            .collect()
    }

    #[test]
    fn a_job_that_calls_for_nothing_carries_the_deference_line_alone() {
        let network = network(&[pipe(System::Vent, [0.0, 0.0, 0.0], [0.0, 0.0, 1000.0])]);
        let words = words(&network);
        assert_eq!(words.len(), 1);
        assert!(words[0].contains("Not an engineer's design"));
    }

    #[test]
    fn a_gas_pipe_brings_the_gas_caution_and_a_plastic_one_the_water_test() {
        let mut network = network(&[
            pipe(System::Gas, [0.0, 0.0, 0.0], [1000.0, 0.0, 0.0]),
            pipe(System::Vent, [0.0, 0.0, 0.0], [0.0, 0.0, 1000.0]),
        ]);
        network.pipes[1].material = Some("pvc-40".to_owned());
        let words = words(&network);
        assert!(
            words[0].contains("Gas is not designed here")
                && words[1].contains("Test plastic pipe with water")
        );
    }

    #[test]
    fn a_drain_four_feet_below_the_lowest_floor_needs_a_protected_trench_and_a_shallower_one_does_not()
     {
        // Lowest floor at 0; with 4 in of bedding an invert 3 ft 8 in down makes a trench of just 4 ft (1219.2 mm).
        let at = |z: f64| {
            let network = network(&[pipe(System::Waste, [3000.0, 0.0, z + 50.0], [0.0, 0.0, z])]);
            words(&network).iter().any(|w| w.contains("Trench"))
        };
        assert!(at(-3.0 * 304.8 - 8.0 * 25.4));
        assert!(!at(-3.0 * 304.8 - 7.0 * 25.4));
    }

    #[test]
    fn no_sheet_carries_more_than_five_lines_and_the_last_one_defers() {
        let mut network = network(&[
            pipe(System::Gas, [0.0; 3], [1000.0, 0.0, 0.0]),
            pipe(System::Hot, [0.0; 3], [1000.0, 0.0, 0.0]),
            pipe(System::Waste, [1000.0, 0.0, -2000.0], [0.0, 0.0, -2020.0]),
        ]);
        network.pipes[2].material = Some("abs".to_owned());
        network.pipes[2].existing = true;
        let words = words(&network);
        assert_eq!(words.len(), 5);
        assert!(words[4].contains("Not an engineer's design"));
    }

    #[test]
    fn a_plastic_is_known_by_a_word_of_its_name_not_by_letters_within_one() {
        assert!(is_plastic("PVC schedule 40") && is_plastic("pe-x") && is_plastic("abs"));
        assert!(!is_plastic("copper-l") && !is_plastic("cast-iron"));
    }
}
