//! What the water of a job rests on: what the job says of it, and what is taken where it says nothing.
//!
//! In: the job's statements. Out: [`Conditions`], in SI, with each assumed value listed. A supply pressure is
//! never assumed: without it there are sizes by velocity and no pressures.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;
use wyeline_job::Job;
use wyeline_job::model::{DemandReading, Friction, Use, WaterMethod, WaterSource};
use wyeline_network::Network;
use wyeline_units::Temperature;

/// A value that nobody stated.
#[derive(Clone, Debug, PartialEq)]
pub struct Assumed {
    /// What it is, with its figure: `cold water of 10 C`.
    pub what: String,
    /// Where it comes from.
    pub source: &'static str,
}

/// What the water of a job rests on.
#[derive(Clone, Debug, PartialEq)]
pub struct Conditions {
    /// Least pressure of the supply while water is drawn, Pa.
    pub flowing_pa: Option<f64>,
    /// Most pressure of the supply while none is drawn, Pa.
    pub standing_pa: Option<f64>,
    /// Height at which the flowing pressure was measured, mm; the start of the service where it is not said.
    pub flowing_at_mm: Option<f64>,
    /// Height at which the standing pressure was measured, mm.
    pub standing_at_mm: Option<f64>,
    /// Where the water comes from.
    pub source: WaterSource,
    /// Temperature of cold water, degrees Celsius.
    pub cold_c: f64,
    /// Temperature of hot water, degrees Celsius.
    pub hot_c: f64,
    /// Temperature of the air round the pipes, degrees Celsius.
    pub room_c: f64,
    /// Who uses fixtures that say nothing of it.
    pub usage: Use,
    /// The formula of friction.
    pub friction: Friction,
    /// How pipes are sized.
    pub method: WaterMethod,
    /// How demand is read between rows, where the job says it.
    pub demand: Option<DemandReading>,
    /// What was taken because nobody stated it.
    pub assumed: Vec<Assumed>,
}

/// A figure with its source.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Figure {
    /// The figure.
    pub is: f64,
    /// Where it comes from.
    pub source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Named {
    /// The name.
    pub is: String,
    /// Where it comes from.
    pub source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    sizes: Sizes,
    defaults: Defaults,
    losses: Losses,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Sizes {
    inches: Vec<String>,
    #[serde(rename = "source")]
    _source: String,
}

/// Values taken where nobody says anything.
#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(crate) struct Defaults {
    pub material: Named,
    pub cold_celsius: Figure,
    pub heater_celsius: Figure,
    pub room_celsius: Figure,
    pub return_drop_kelvin: Figure,
    pub return_velocity: Figure,
    pub insulation_mm: Figure,
    pub heater_litres: Figure,
    pub relief_kpa: Figure,
    pub needs_kpa: Figure,
}

#[derive(Deserialize)]
struct Losses {
    #[serde(rename = "source")]
    _source: String,
    #[serde(flatten)]
    of: BTreeMap<String, Figure>,
}

/// The table of what is assumed.
pub(crate) struct Table {
    /// Sizes that are tried, eighths of an inch, rising.
    pub eighths: Vec<u16>,
    /// Single values.
    pub defaults: Defaults,
    losses: BTreeMap<String, Figure>,
}

impl Table {
    /// What a device loses whose line does not say it.
    pub fn loss(&self, device: &str) -> Option<&Figure> {
        self.losses.get(device)
    }
}

/// The table of what is assumed, from `data/water.toml`.
pub(crate) fn table() -> &'static Table {
    static TABLE: LazyLock<Table> = LazyLock::new(|| {
        let file: File = toml::from_str(include_str!("../data/water.toml"))
            .expect("the table of what is assumed for water is well formed");
        let eighths = |text: &String| match format!("{text}\"").parse() {
            Ok(wyeline_units::Size::Inch { eighths }) => eighths,
            _ => panic!("{text} in the table of water is no nominal size"),
        };
        let eighths: Vec<u16> = file.sizes.inches.iter().map(eighths).collect();
        assert!(
            eighths.is_sorted() && !eighths.is_empty(),
            "sizes in the table of water rise"
        );
        Table {
            eighths,
            defaults: file.defaults,
            losses: file.losses.of,
        }
    });
    &TABLE
}

impl Default for Conditions {
    /// What is taken where a job says nothing: no pressure, the temperatures of `data/water.toml`, private use.
    fn default() -> Self {
        let defaults = &table().defaults;
        Self {
            flowing_pa: None,
            standing_pa: None,
            flowing_at_mm: None,
            standing_at_mm: None,
            source: WaterSource::Street,
            cold_c: defaults.cold_celsius.is,
            hot_c: defaults.heater_celsius.is,
            room_c: defaults.room_celsius.is,
            usage: Use::Private,
            friction: Friction::DarcyWeisbach,
            method: WaterMethod::Segmented,
            demand: None,
            assumed: Vec::new(),
        }
    }
}

impl Conditions {
    /// What a job says, and the defaults for the rest.
    pub fn of(job: &Job, network: &Network) -> Self {
        let defaults = &table().defaults;
        let mut found = Self::default();
        let design = &job.design;
        for (supply, at) in design.supplies.iter().zip(
            network
                .supplies_mm
                .iter()
                .copied()
                .chain(std::iter::repeat(None)),
        ) {
            found.source = supply.from;
            if supply.standing {
                (found.standing_pa, found.standing_at_mm) = (Some(supply.pressure.pa), at);
            } else {
                (found.flowing_pa, found.flowing_at_mm) = (Some(supply.pressure.pa), at);
            }
        }
        found.demand = design.methods.demand;
        let shown = |celsius| Temperature { celsius }.show(network.units);
        found.assume(
            &format!("cold water of {}", shown(found.cold_c)),
            &defaults.cold_celsius.source,
        );
        match &design.heater {
            Some((temperature, _)) => found.hot_c = temperature.celsius,
            None => found.assume(
                &format!("hot water of {}", shown(found.hot_c)),
                &defaults.heater_celsius.source,
            ),
        }
        match design.usage {
            Some((usage, _)) => found.usage = usage,
            None => found.assume(
                "private use",
                "nothing is said of who uses the fixtures: `use private`",
            ),
        }
        match design.methods.friction {
            Some(friction) => found.friction = friction,
            None => found.assume(
                "friction by Darcy and Weisbach",
                "holds at any temperature: `method friction`",
            ),
        }
        match design.methods.water {
            Some(method) => found.method = method,
            None => found.assume(
                "sizes by the pressure lost piece by piece",
                "holds for any layout: `method water`",
            ),
        }
        found
    }

    /// Lists a value that was taken because nobody stated it.
    pub(crate) fn assume(&mut self, what: &str, source: &'static str) {
        self.assumed.push(Assumed {
            what: what.to_owned(),
            source,
        });
    }
}
