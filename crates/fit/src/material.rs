//! What each pipe is made of: as told, else by the rule of its system, from `data/materials.toml`;
//! and to which family of fittings a material belongs.

use std::collections::HashMap;
use std::sync::LazyLock;

use serde::Deserialize;
use wyeline_job::Job;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::bores::{Diameters, bores};
use wyeline_network::model::Pipe;
use wyeline_units::{Len, Size};

use crate::model::{Family, Stuff};

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct File {
    rule: Rule,
    metric_rule: Rule,
    material: HashMap<String, Uses>,
}

/// The material of each system.
#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct Rule {
    waste: String,
    vent: String,
    storm: String,
    cold: String,
    hot: String,
    hot_return: String,
    gas: String,
}

/// The family of a material by what it is used for.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Uses {
    drains: Option<Family>,
    pressure: Option<Family>,
}

static FILE: LazyLock<File> = LazyLock::new(|| {
    toml::from_str(include_str!("../data/materials.toml")).expect("the materials are well formed")
});

impl Rule {
    fn of(&self, system: System) -> &str {
        match system {
            System::Waste => &self.waste,
            System::Vent => &self.vent,
            System::Storm => &self.storm,
            System::Cold => &self.cold,
            System::Hot => &self.hot,
            System::HotReturn => &self.hot_return,
            System::Gas => &self.gas,
        }
    }
}

/// Returns what each pipe of the network is made of, in the order of its pipes.
///
/// Where nobody said it, by the rule of its system: the one for metric pipe where a metric job has told sizes
/// that only metric pipe has.
pub fn stuff(job: &Job, network: &Network) -> Vec<Stuff> {
    let mut told = network.pipes.iter().filter(|pipe| !pipe.worked_out);
    let metric = job.units.is_metric()
        && told.any(|pipe| pipe.size.is_some_and(|size| bores().only_metric(size)));
    let rule = if metric {
        &FILE.metric_rule
    } else {
        &FILE.rule
    };
    let pipes = network.pipes.iter();
    pipes
        .map(|pipe| {
            let material = pipe.material.as_deref();
            let material = material.unwrap_or_else(|| rule.of(pipe.system));
            Stuff {
                family: family(material, pipe.system),
                material: material.to_owned(),
                size: pipe.size,
                by_rule: pipe.material.is_none(),
            }
        })
        .collect()
}

/// Returns the family whose fittings a material takes in a system; `Other` where none are held.
///
/// * `material`: its name in the job language (`copper-l`)
pub fn family(material: &str, system: System) -> Family {
    let drains = matches!(system, System::Waste | System::Vent | System::Storm);
    let uses = FILE.material.get(material);
    let found = uses.and_then(|uses| if drains { uses.drains } else { uses.pressure });
    found.unwrap_or(Family::Other)
}

/// Returns every family whose fittings a material may take, each once; none where none are held.
pub fn families(material: &str) -> Vec<Family> {
    let uses = FILE.material.get(material);
    let mut found: Vec<Family> = uses
        .into_iter()
        .flat_map(|uses| [uses.drains, uses.pressure])
        .flatten()
        .collect();
    found.dedup();
    found
}

/// Returns the material that stands for a family where the job names none of it; nothing for `Other`.
pub fn of_family(family: Family) -> Option<&'static str> {
    Some(match family {
        Family::PvcDwv | Family::PvcPressure => "pvc",
        Family::AbsDwv => "abs",
        Family::PvcU => "pvc-u",
        Family::Pp => "pp",
        Family::NoHub => "cast-iron",
        Family::Copper => "copper",
        Family::CopperDwv => "copper-dwv",
        Family::Cpvc => "cpvc",
        Family::Pex => "pex",
        Family::Steel => "steel",
        Family::Other => return None,
    })
}

/// Returns inside and outside diameter of pipe of a material, mm, where the pipe table has the size.
///
/// * `material`: its name in the job language
pub fn diameters(material: &str, size: Size) -> Option<Diameters> {
    bores().of(bores().material(material)?, size)
}

/// Returns the outside of a pipe with what is told of its insulation, mm, where its diameter is known.
pub(crate) fn outside(pipe: &Pipe, stuff: &Stuff) -> Option<f64> {
    let table = || Some(diameters(&stuff.material, stuff.size?)?.outside);
    let bare = pipe.outside_mm.or_else(table)?;
    let round = pipe.insulation.and_then(|insulation| insulation.thick);
    Some(bare + 2.0 * round.map_or(0.0, Len::mm))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn made(text: &str) -> Vec<Stuff> {
        let reading = wyeline_job::read(text);
        let built = wyeline_network::build(&reading.job, text);
        assert!(built.diagnostics.is_empty(), "{:?}", built.diagnostics);
        stuff(&reading.job, &built.network)
    }

    /// The same name means drainage fittings in drains and pressure fittings in water.
    #[test]
    fn pvc_is_told_apart_by_its_use() {
        assert_eq!(family("pvc", System::Vent), Family::PvcDwv);
        assert_eq!(family("pvc", System::Cold), Family::PvcPressure);
        assert_eq!(families("pvc"), [Family::PvcDwv, Family::PvcPressure]);
    }

    /// Only drainage tube has drainage fittings; water tube in a drain keeps its own.
    #[test]
    fn copper_in_drains() {
        assert_eq!(family("copper-dwv", System::Waste), Family::CopperDwv);
        assert_eq!(family("copper-m", System::Waste), Family::Copper);
    }

    /// Every material of the job language has a family or is told to have none; every one named here can be told.
    #[test]
    fn materials_are_those_of_the_job_language() {
        for name in FILE.material.keys() {
            assert!(bores().material(name).is_some(), "{name}");
        }
        assert_eq!(family("hdpe", System::Waste), Family::Other);
        assert_eq!(family("pex", System::Waste), Family::Other);
    }

    /// The rules give materials that have a family in their system.
    #[test]
    fn rules_lead_to_a_family() {
        for rule in [&FILE.rule, &FILE.metric_rule] {
            for system in System::ALL {
                let material = rule.of(system);
                assert_ne!(family(material, system), Family::Other, "{material}");
            }
        }
    }

    /// A told material holds; a system without one has that of its rule, and says so.
    #[test]
    fn told_or_by_rule() {
        let text = "units ft-in\nlevel main floor 0\n\
            waste W\n  start 0,0 main floor -2'\n  size 3\"\n  slope 1/4 in per ft\n  material abs\n  north 6'\n  cap\n\
            cold C\n  start 2',0 main floor -2'\n  size 3/4\"\n  north 6'\n  cap\n";
        let stuff = made(text);
        let told: Vec<_> = stuff
            .iter()
            .map(|one| (one.family, one.material.as_str(), one.by_rule))
            .collect();
        assert_eq!(
            told,
            [
                (Family::AbsDwv, "abs", false),
                (Family::Copper, "copper-l", true)
            ]
        );
    }

    /// A metric job with pipe of 110 mm, a size that no inch pipe is called by, is of metric pipe.
    #[test]
    fn metric_pipe_by_rule() {
        let text = "units mm\nlevel main floor 0\n\
            waste W\n  start 0,0 main floor -600\n  size DN110\n  slope 1%\n  north 2000\n  cap\n";
        let stuff = made(text);
        assert_eq!(stuff[0].material, "pvc-u");
        assert_eq!(stuff[0].family, Family::PvcU);
    }
}
