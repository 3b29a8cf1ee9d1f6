//! A run while it is walked: where it has come to, and what holds from there on.

use glam::{DVec2, DVec3};
use rustc_hash::FxHashMap;
use wyeline_job::Span;
use wyeline_job::model::{Insulation, Job, Meet, Run, Step, StepKind, System};
use wyeline_units::{Size, Slope};

use crate::bores::{Diameters, Material, bores};
use crate::materials::Told;
use crate::model::{Device, FallSlope, NodeIx};

/// Why a step could not be taken.
#[derive(Debug)]
pub(crate) enum Stop<'a> {
    /// It has to wait for a point of that name.
    Wait(&'a str),
    /// It is mistaken, and that is reported.
    Mistake,
}

/// What holds for pipe from the present point on.
#[derive(Clone, Copy)]
pub(crate) struct Pen<'a> {
    pub size: Option<Size>,
    pub material: Option<(&'a str, Material)>,
    /// Of level pipe.
    pub slope: Option<FallSlope>,
    pub existing: bool,
    pub unverified: bool,
    pub insulation: Option<Insulation>,
    pub diameters: Option<Diameters>,
    /// Taken for drains and vents for which neither run nor job names a material.
    pub assumed: Material,
}

impl<'a> Pen<'a> {
    /// Sets the size, and the diameters that follow from it.
    pub fn set_size(&mut self, size: Size, system: System) {
        self.size = Some(size);
        self.measure(system);
    }
    /// Sets the material, and the diameters that follow from it.
    pub fn set_material(&mut self, name: &'a str, material: Material, system: System) {
        self.material = Some((name, material));
        self.measure(system);
    }
    /// Drains and vents that name no material get the diameters of the usual one.
    fn measure(&mut self, system: System) {
        let drainage = system.drains() || system == System::Vent;
        let material = self
            .material
            .map(|(_, material)| material)
            .or_else(|| drainage.then_some(self.assumed));
        self.diameters = self
            .size
            .zip(material)
            .and_then(|(size, material)| bores().of(material, size));
    }
    /// Fall per level run, 0 for level pipe.
    pub fn ratio(&self) -> f64 {
        self.slope.map_or(0.0, |fall| fall.slope.ratio())
    }
}

/// The present point of a run.
#[derive(Clone, Copy)]
pub(crate) struct Here {
    pub node: NodeIx,
    /// Centre of the pipe that goes on from here; above or below the node's where crowns or inverts meet.
    pub at: DVec3,
    pub z_drawn: f64,
    /// The way of the last move.
    pub heading: Option<DVec3>,
    /// Rise by slope since the start, mm.
    pub climbed: f64,
    /// The last height that was told, the level length since, and the rise told since, mm.
    pub fixed: (f64, f64, f64),
}

impl Here {
    pub fn plan(&self) -> DVec2 {
        self.at.truncate()
    }
    /// The level heading, where there is one.
    pub fn level_heading(&self) -> Option<DVec2> {
        self.heading
            .map(DVec3::truncate)
            .filter(|way| way.length() > 0.5)
            .map(DVec2::normalize)
    }
    /// The same point as one whose height is told.
    pub fn fix(&mut self) {
        self.fixed = (self.at.z, 0.0, 0.0);
    }
}

/// A device told at a point that has one already: it sits so far ahead.
pub(crate) struct Ahead {
    pub device: Device,
    pub offset: f64,
    pub span: Span,
}

/// Where things were first met that will be listed among the doubts.
#[derive(Default)]
pub(crate) struct Met {
    pub assumed_slope: Option<(Span, Slope)>,
    pub assumed_bore: Option<Span>,
    pub no_size: Option<Span>,
    pub no_bore: Option<Span>,
    pub unverified: Option<Span>,
}

/// A run while it is walked.
pub(crate) struct Walk<'a> {
    pub run: usize,
    pub system: System,
    /// The step to be taken next.
    pub step: usize,
    pub pen: Pen<'a>,
    pub here: Option<Here>,
    pub start: Option<NodeIx>,
    /// A vent told from the open air down to its drain.
    pub from_air: bool,
    /// Ended by one of its steps.
    pub closed: bool,
    /// Something went wrong before: what follows from it is not reported again.
    pub shaky: bool,
    /// Moves so far, for their ids.
    pub moves: u32,
    /// How often each branch was named, for their ids.
    pub labels: FxHashMap<&'a str, u32>,
    pub ahead: Vec<Ahead>,
    /// Greatest rise by slope above the start, mm.
    pub highest: f64,
    pub met: Met,
}

impl<'a> Walk<'a> {
    pub fn new(run: usize, job: &'a Job, materials: &Told<'a>, assumed: Material) -> Self {
        let system = job.runs[run].system;
        let slope = system.drains().then(|| match job.slope {
            Some((slope, _)) if slope.ratio() > 0.0 => FallSlope {
                slope,
                assumed: false,
            },
            _ if job.units.is_metric() => FallSlope {
                slope: Slope::ONE_IN_FIFTY,
                assumed: true,
            },
            _ => FallSlope {
                slope: Slope::QUARTER_INCH_PER_FOOT,
                assumed: true,
            },
        });
        let pen = Pen {
            size: None,
            material: materials.get(&system).copied(),
            slope,
            existing: false,
            unverified: false,
            insulation: None,
            diameters: None,
            assumed,
        };
        Self {
            run,
            system,
            step: 0,
            pen,
            here: None,
            start: None,
            from_air: false,
            closed: false,
            shaky: false,
            moves: 0,
            labels: FxHashMap::default(),
            ahead: Vec::new(),
            highest: 0.0,
            met: Met::default(),
        }
    }

    /// Rise per level run on the way as told: a vent told down from the open air loses what it
    /// would gain on its way up from the drain.
    pub fn climb(&self, pen: &Pen<'a>) -> f64 {
        if self.from_air {
            -pen.ratio()
        } else {
            pen.ratio()
        }
    }

    /// Leaves out the present step.
    pub fn skip(&mut self) {
        self.step += 1;
        self.shaky = true;
    }

    /// What will hold for the next pipe: sizes and materials told before the next move count.
    pub fn pen_ahead(&self, run: &'a Run) -> Pen<'a> {
        let mut pen = self.pen;
        for step in run
            .steps
            .iter()
            .skip(self.step + 1)
            .take_while(|step| !moves(step))
        {
            match &step.kind {
                StepKind::Size { size, .. } => pen.set_size(*size, self.system),
                StepKind::Material(name) => {
                    if let Some(material) = bores().material(&name.text) {
                        pen.set_material(&name.text, material, self.system);
                    }
                }
                _ => {}
            }
        }
        pen
    }

    /// Notes what is doubtful about pipe drawn with a pen, where that is met first.
    pub fn meet_doubts(&mut self, pen: &Pen<'a>, level: bool, span: Span) {
        let met = &mut self.met;
        if let Some(slope) = pen.slope.filter(|slope| level && slope.assumed) {
            met.assumed_slope.get_or_insert((span, slope.slope));
        }
        if pen.unverified {
            met.unverified.get_or_insert(span);
        }
        if self.system.drains() {
            match (pen.size, pen.diameters) {
                (None, _) => met.no_size.get_or_insert(span),
                (Some(_), None) => met.no_bore.get_or_insert(span),
                (Some(_), Some(_)) if pen.material.is_none() => {
                    met.assumed_bore.get_or_insert(span)
                }
                _ => return,
            };
        }
    }

    /// The id part of a branch: its target's name, numbered where the run reaches it again.
    pub fn branch(&mut self, label: &'a str) -> String {
        let count = self.labels.entry(label).or_default();
        *count += 1;
        if *count == 1 {
            label.to_owned()
        } else {
            format!("{label}.{count}")
        }
    }

    /// Raises or lowers the pipe that goes on where crowns or inverts meet at a change of size.
    pub fn meet(&mut self, before: Option<Diameters>, how: Meet) {
        let (Some(here), Some(before), Some(after)) = (&mut self.here, before, self.pen.diameters)
        else {
            return;
        };
        let step = (before.bore - after.bore) / 2.0;
        let shift = match how {
            Meet::Centres => 0.0,
            Meet::Crowns => step,
            Meet::Inverts => -step,
        };
        here.at.z += shift;
        here.fixed.2 += shift;
    }
}

/// Whether a step lays pipe or ends the run.
fn moves(step: &Step) -> bool {
    step.kind.leads_on() || matches!(step.kind, StepKind::Catch { .. })
}
