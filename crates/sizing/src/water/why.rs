//! The derivation of a water pipe in words: load, demand, least size, velocity, pressure.

use wyeline_codes::{Cite, PeakFormula};
use wyeline_hydraulics::unit::LITRE;
use wyeline_network::model::PipeIx;
use wyeline_units::{Flow, Pressure};

use super::Worked;
use super::load::{Carries, codes_use, usage, variant};
use super::pick::Limits;
use super::tree::NONE;
use crate::model::{Governs, Sized, Step};

/// How many fixtures are named before the rest is counted.
const NAMED: usize = 8;

impl Worked<'_> {
    /// How a pipe came by its size and pressure.
    pub(super) fn why(&self, sized: &Sized, pipe: PipeIx) -> Vec<Step> {
        let mut steps = Vec::new();
        let Some(place) = self
            .tree
            .place
            .get(pipe.0 as usize)
            .copied()
            .filter(|&place| place != NONE)
        else {
            return steps;
        };
        let place = place as usize;
        self.load_steps(place, &mut steps);
        self.flow_steps(place, sized, pipe, &mut steps);
        let result = &sized.pipes[pipe.0 as usize];
        self.size_steps(place, &result.governs, &mut steps);
        self.pressure_steps(place, sized, pipe, &mut steps);
        steps
    }

    fn say(steps: &mut Vec<Step>, text: String, cite: Option<Cite>, governs: bool) {
        steps.push(Step {
            text,
            cite,
            governs,
        });
    }

    fn flow(&self, lps: f64) -> String {
        Flow { lps }.show(self.network.units)
    }

    fn pressure(&self, pa: f64) -> String {
        Pressure { pa }.show(self.network.units)
    }

    fn velocity(&self, speed: f64) -> String {
        if self.network.units.is_metric() {
            format!("{speed:.2} m/s")
        } else {
            format!("{:.1} ft/s", speed / wyeline_hydraulics::unit::FOOT)
        }
    }

    /// The taps it feeds, and their units.
    fn load_steps(&self, place: usize, steps: &mut Vec<Step>) {
        let fed = |mut at: u32| {
            // A pipe stands after the one that feeds it.
            while at != NONE && at as usize > place {
                at = self.tree.parent[at as usize];
            }
            at as usize == place
        };
        let mut fixtures: Vec<(u32, [bool; 2])> = Vec::new();
        for tap in self.loads.taps.iter().filter(|tap| fed(tap.place)) {
            match fixtures.last_mut().filter(|last| last.0 == tap.fixture.0) {
                Some(last) => last.1[usize::from(tap.hot)] = true,
                None => fixtures.push((tap.fixture.0, [!tap.hot, tap.hot])),
            }
        }
        let unit = if self.pack.family() == wyeline_codes::Family::En {
            "LU"
        } else {
            "wsfu"
        };
        let mut cite = None;
        let mut words = Vec::new();
        for &(ix, sides) in fixtures.iter().take(NAMED) {
            let fixture = &self.network.fixtures[ix as usize];
            let outlet = &self.loads.outlets[ix as usize];
            let by = usage(fixture, &self.conditions);
            if let Ok(load) =
                self.pack
                    .water_load_of(&fixture.kind, variant(fixture, self.pack), by)
            {
                cite.get_or_insert(load.cite);
            }
            words.push(match (outlet.units, outlet.continuous, sides) {
                (_, Some(runs), _) => format!("{} {} running on", fixture.tag, self.flow(runs)),
                (Some(units), _, [true, true]) => {
                    format!("{} {} {unit}", fixture.tag, trim(units[2]))
                }
                (Some(units), _, [true, false]) => {
                    format!("{} cold {} {unit}", fixture.tag, trim(units[0]))
                }
                (Some(units), _, _) => format!("{} hot {} {unit}", fixture.tag, trim(units[1])),
                (None, ..) if outlet.flush => format!("{} with a flushometer", fixture.tag),
                (None, ..) => format!("{} not known", fixture.tag),
            });
        }
        if fixtures.len() > NAMED {
            words.push(format!("and {} more", fixtures.len() - NAMED));
        }
        let carries = &self.loads.carries[place];
        let text = if fixtures.is_empty() {
            format!("feeds {} {unit} beyond the drawing", trim(carries.counts))
        } else {
            let many = if fixtures.len() == 1 {
                "fixture"
            } else {
                "fixtures"
            };
            format!(
                "feeds {} {many}: {}; together {} {unit}",
                fixtures.len(),
                words.join(", "),
                trim(carries.counts)
            )
        };
        Self::say(steps, text, cite, false);
        if carries.valves != [0, 0]
            && let Ok(units) = self.pack.flush_valves(carries.valves[0], carries.valves[1])
        {
            let [closets, urinals] = carries.valves;
            let text = format!(
                "{closets} closets and {urinals} urinals with flushometers: {} {unit}",
                trim(units.value)
            );
            Self::say(steps, text, Some(units.cite), false);
        }
    }

    /// Its peak flow.
    fn flow_steps(&self, place: usize, sized: &Sized, pipe: PipeIx, steps: &mut Vec<Step>) {
        let carries = &self.loads.carries[place];
        let Some(flow) = self.picked.flow[place] else {
            return;
        };
        let mut text = if carries.taps == 1 && carries.continuous == 0.0 {
            format!("one tap: {}", self.flow(flow))
        } else {
            format!(
                "likely peak {}: {}",
                self.peak_words(carries),
                self.flow(flow - carries.continuous)
            )
        };
        if carries.continuous > 0.0 {
            text = format!(
                "{text}; and {} that runs on: {}",
                self.flow(carries.continuous),
                self.flow(flow)
            );
        }
        let cite = if carries.taps == 1 {
            self.picked.only[place].and_then(|fixture| {
                let fixture = &self.network.fixtures[fixture.0 as usize];
                let by = usage(fixture, &self.conditions);
                let told = fixture.facts.flow.is_some() || fixture.facts.draws.is_some();
                let asked = self
                    .pack
                    .outlet_of(&fixture.kind, variant(fixture, self.pack), by);
                asked.ok().filter(|_| !told).map(|found| found.cite)
            })
        } else {
            sized.pipes[pipe.0 as usize].flow_by.clone()
        };
        Self::say(steps, text, cite, false);
    }

    /// By what the peak of what a pipe carries was found.
    fn peak_words(&self, carries: &Carries) -> String {
        if let Ok(formula) = self.pack.peak_formula(codes_use(self.conditions.usage)) {
            let PeakFormula {
                building, a, b, c, ..
            } = &formula.value;
            return format!(
                "in a {building}, {a} x sum^{b} - {c} of {} of design flows, or the largest single one",
                self.flow(carries.design)
            );
        }
        let column = if carries.flush {
            "the flushometer column"
        } else {
            "the flush tank column"
        };
        let reading = match self.conditions.demand {
            Some(wyeline_job::model::DemandReading::Interpolated) => "between the rows",
            _ => "as the code reads it",
        };
        format!("by {column}, {reading}")
    }

    /// What decided its size.
    fn size_steps(&self, place: usize, governs: &Governs, steps: &mut Vec<Step>) {
        let make = &self.makes.of[place];
        let material = &self.makes.materials[make.material as usize].name;
        let needed = self.picked.needed[place].map(|size| self.makes.sizes[size as usize]);
        let Some(needed) = needed else { return };
        let limits = Limits::new(self.pack, &self.makes);
        let flow = self.picked.flow[place].unwrap_or(0.0);
        if let Some(limit) = limits.velocity(make, self.picked.only[place].is_some())
            && let Some(bore) = self
                .makes
                .bore(make, self.picked.needed[place].unwrap_or(0) as usize)
        {
            let speed = wyeline_hydraulics::friction::velocity(flow * LITRE, bore);
            let text = format!(
                "{} runs at {} in {needed} {material}; the limit is {}",
                self.flow(flow),
                self.velocity(speed),
                self.velocity(limit.value)
            );
            let this = matches!(governs, Governs::Velocity { .. });
            Self::say(steps, text, Some(limit.cite.clone()), this);
        }
        let (text, cite) = match governs {
            Governs::Least { cite, why } => {
                (format!("at least {needed}: {why}"), Some(cite.clone()))
            }
            Governs::Upstream { pipe, cite } => {
                let other = &self.network.pipe(*pipe).id;
                (
                    format!("{needed}: as large as {other}, which it feeds"),
                    Some(cite.clone()),
                )
            }
            Governs::Table {
                cite,
                allows,
                carries,
                unit,
            } => (
                format!(
                    "{needed} holds {} {unit}; it carries {}",
                    trim(*allows),
                    trim(*carries)
                ),
                Some(cite.clone()),
            ),
            Governs::Pressure { fixture } => {
                let tag = &self.network.fixtures[fixture.0 as usize].tag;
                (
                    format!(
                        "{needed}: a smaller pipe would lose more than the share of it that {tag} leaves"
                    ),
                    None,
                )
            }
            _ => return,
        };
        Self::say(steps, text, cite, true);
    }

    /// What is lost in it and left behind it.
    fn pressure_steps(&self, place: usize, sized: &Sized, pipe: PipeIx, steps: &mut Vec<Step>) {
        let make = &self.makes.of[place];
        let (Some(water), Some(size)) = (
            sized.pipes[pipe.0 as usize].water,
            self.picked.size(place, make),
        ) else {
            return;
        };
        let fittings = self.makes.fittings(make, size as usize);
        let devices = self.physics.devices(make, Some(size), water.flow_lps);
        let metric = self.network.units.is_metric();
        let length = |metres: f64| {
            if metric {
                format!("{metres:.2} m")
            } else {
                format!("{:.1} ft", metres / wyeline_hydraulics::unit::FOOT)
            }
        };
        let law = match self.conditions.friction {
            wyeline_job::model::Friction::HazenWilliams => "Hazen and Williams",
            wyeline_job::model::Friction::DarcyWeisbach => "Darcy and Weisbach",
        };
        let mut text = format!(
            "{} of pipe and {} for fittings lose {} by {law}",
            length(make.length),
            length(fittings),
            self.pressure(water.loss_pa - devices)
        );
        if devices > 0.0 {
            text = format!("{text}; devices {}", self.pressure(devices));
        }
        if let Some(left) = water.pressure_pa {
            text = format!("{text}; {} is left at its end", self.pressure(left));
        }
        Self::say(steps, text, None, false);
    }
}

/// A figure without idle zeros, two decimals at most.
fn trim(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
