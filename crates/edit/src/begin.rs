//! A run begun: at a port, at a point, in the middle of a pipe, or in space.

use wyeline_job::is_name;
use wyeline_job::model::{Name, Start, StepKind, Surface, System};
use wyeline_units::{Len, UnitSystem};

use crate::along::{Put, Spot, part};
use crate::draft::Draft;
use crate::fixtures::{no_tag, whole};
use crate::order::put;
use crate::plan::{Place, Plan, is_equipment};
use crate::runs::{SENSELESS, on_the};
use crate::seek::{self, PortNear};
use crate::words::{place, signed};
use crate::{Refusal, Snap, Work};

/// The height at which a system is begun where the hand says none: from the level's floor. It is
/// written as unverified, so that it is asked for; our own choice, no code's and no maker's.
fn usual_height(system: System, units: UnitSystem) -> Len {
    let (inches, mm) = match system {
        System::Waste | System::Storm | System::HotReturn => (-9, -230),
        System::Vent => (42, 1070),
        System::Cold => (-5, -130),
        System::Hot | System::Gas => (-7, -180),
    };
    if units.is_metric() {
        Len::millimetres(mm)
    } else {
        Len::inches(inches)
    }
}

/// How far under its floor pipe still counts to a level, and over it where no floor is told above, mm.
const UNDER: f64 = 1500.0;
const OVER: f64 = 4500.0;

/// A run that is begun.
pub struct Begin<'p, 'a, 'w> {
    /// Where it is begun.
    pub plan: &'p Plan<'a>,
    /// Its system.
    pub system: System,
    /// The level's name.
    pub level: &'w str,
    /// The pointer.
    pub at: [f64; 2],
    /// Tolerance, mm.
    pub within: f64,
}

impl<'p, 'a> Begin<'p, 'a, '_> {
    /// Writes the run: its first line, its start, its size.
    pub fn write(
        &self,
        name: Option<&str>,
        height: Option<&str>,
        size: Option<&str>,
    ) -> Result<Work<'p, 'a>, Refusal> {
        let plan = self.plan;
        let word = self.system.word();
        let name = match name {
            Some(name) if is_name(name) => name.to_owned(),
            Some(name) => return Err(no_tag(name)),
            None => self.free_name(),
        };
        let mut draft = Draft::new(&plan.page);
        let (start, snap, still) = self.find(&mut draft, height)?;
        let mut steps = vec![format!("start {start}")];
        if let Some(size) = size {
            steps.push(format!("size {}", size.trim()));
        }
        let mut lines = vec![format!("{word} {name}")];
        // First words stand in a column, as in tidied text.
        let aligned = |step: &String| {
            let (first, rest) = step.split_once(' ').unwrap_or((step, ""));
            format!("  {first:5} {rest}")
        };
        lines.extend(steps.iter().map(aligned));
        put(plan, &mut draft, word, &lines, true);
        let mut work = Work::new(draft);
        work.run = Some(name);
        work.snap = Some(snap);
        work.still = still;
        work.refuses = SENSELESS;
        Ok(work)
    }

    fn free_name(&self) -> String {
        let word = self.system.word();
        let taken = |name: &String| {
            let mut runs = self.plan.job.runs.iter();
            runs.any(|run| run.name.text == *name)
        };
        let mut names = (1..).map(|number: u32| format!("{word}-{number}"));
        names.find(|name| !taken(name)).unwrap_or_default()
    }

    /// Heights at which pipe counts to the level: the usual one, the lowest, the highest.
    fn heights(&self) -> Result<(f64, f64, f64), Refusal> {
        let plan = self.plan;
        let (_, level) = plan.level(self.level)?;
        let floors = plan.network.levels.iter().map(|level| level.floor);
        let next = floors.filter(|floor| *floor > level.floor).reduce(f64::min);
        let usual = level.floor + usual_height(self.system, plan.units()).mm();
        let top = next.unwrap_or(level.floor + OVER);
        Ok((usual, level.floor - UNDER, top))
    }

    /// What the run starts at, what that snapped to, and whether a pipe was parted for it.
    fn find(
        &self,
        draft: &mut Draft<'_, '_>,
        height: Option<&str>,
    ) -> Result<(String, Snap, bool), Refusal> {
        let plan = self.plan;
        let heights = self.heights()?;
        let (level, _) = plan.level(self.level)?;
        let here = |near: &PortNear<'_>| near.fixture.level.0 as usize == level;
        // Water and gas come from equipment; vents and returns may begin at any fixture.
        let from = |near: &PortNear<'_>| match self.system {
            System::Vent | System::HotReturn => true,
            System::Cold | System::Hot => is_equipment(near.kind),
            System::Waste | System::Storm | System::Gas => false,
        };
        let ports = || seek::ports(plan, self.system).filter(here);
        let sources = ports().filter(from);
        if let Some(port) = seek::port(sources, self.at, self.within, heights.0) {
            let snap = Snap {
                at: port.port.at.into(),
                why: format!("at {}", port.full()),
            };
            return Ok((port.full(), snap, false));
        }
        if let Some((point, place)) =
            seek::point(plan, self.system, self.at, self.within, heights, |_| false)
        {
            let snap = Snap {
                at: place,
                why: format!("at {point}"),
            };
            return Ok((point.to_owned(), snap, false));
        }
        if let Some(pipe) = seek::pipe(plan, self.system, (self.at, self.within), heights, None) {
            let spot = Spot {
                at: self.at,
                z: Some(
                    height
                        .and_then(|height| self.z(height))
                        .unwrap_or(heights.0),
                ),
                near: self.within,
                height,
            };
            let parted = part(plan, draft, pipe, spot, Put::Point(None))?;
            let snap = Snap {
                at: parted.at,
                why: on_the(&plan.job.runs[pipe.run]),
            };
            return Ok((parted.name, snap, true));
        }
        if let Some(port) = seek::port(ports(), self.at, self.within, heights.0) {
            return Err(wrong_end(self.system, &port));
        }
        Ok(self.in_space(height, heights.0))
    }

    /// How high the words of a height lie, mm; whatever part of the pipe they are of.
    fn z(&self, words: &str) -> Option<f64> {
        let network = self.plan.network;
        let levels = network.levels.iter();
        let told: Vec<String> = levels
            .map(|one| format!("level {} floor 0", one.name))
            .collect();
        let units = self.plan.units().word();
        let text = format!(
            "units {units}\n{}\ncold c\nstart 0,0 {words}\ncap",
            told.join("\n")
        );
        let job = wyeline_job::read(&text).job;
        let StepKind::Start(Start::At { height, .. }) = &job.runs.first()?.steps.first()?.kind
        else {
            return None;
        };
        let level = |name: &Name| network.levels.iter().find(|one| one.name == name.text);
        let surface = match &height.from {
            Surface::Floor(name) => level(name).map(|one| one.floor),
            Surface::Ceiling(name) => level(name).and_then(|one| one.ceiling),
            Surface::Joists(name) => level(name).and_then(|one| one.underside),
            Surface::Roof => network.building.roof_at(self.at[0], self.at[1]),
            Surface::Datum => Some(0.0),
        };
        surface.map(|surface| surface + height.offset.mm())
    }

    fn in_space(&self, height: Option<&str>, z: f64) -> (String, Snap, bool) {
        let plan = self.plan;
        let at = whole(plan, self.at);
        let z = height.and_then(|height| self.z(height)).unwrap_or(z);
        let height = height.map_or_else(
            || {
                let usual = usual_height(self.system, plan.units());
                format!(
                    "{} floor{} unverified",
                    self.level,
                    signed(usual, plan.units())
                )
            },
            |height| height.trim().to_owned(),
        );
        let start = format!("{} {height}", place(at, plan.units()));
        let why = place(at, plan.units());
        let at: Place = [at[0].mm(), at[1].mm(), z];
        (start, Snap { at, why }, false)
    }
}

/// The refusal of a run begun at the fixture it leads to.
fn wrong_end(system: System, port: &PortNear<'_>) -> Refusal {
    let word = system.word();
    let begin = if system.drains() {
        ("downstream end", "the drain")
    } else {
        ("source", "its source")
    };
    Refusal::new(
        format!(
            "a {word} run is told from its {}, and {} lies at the other",
            begin.0,
            port.full()
        ),
        format!(
            "begin at {} and end the run at {}",
            begin.1, port.fixture.tag
        ),
    )
}
