//! Finds what steps refer to - fixtures, ports, points - and whether systems may meet there.

use wyeline_job::model::{DeviceKind, Name, PointRef, PortRef, Run, Start, Step, StepKind, System};
use wyeline_job::{Diagnostic, Span};

use crate::builder::{Builder, Found};
use crate::kinds::{Kind, Trap};
use crate::model::NodeKind;
use crate::walk::Stop;

impl<'a> Builder<'a> {
    fn find_port(
        &mut self,
        tag: &Name,
        port: Option<&Name>,
        system: System,
    ) -> Result<Found, Stop<'a>> {
        let Some(&ix) = self.tags.get(tag.text.as_str()) else {
            // A fixture that could not be placed has its own mistake.
            if !self
                .job
                .fixtures
                .iter()
                .any(|told| told.tag.text == tag.text)
            {
                let known = self.job.fixtures.iter().map(|told| told.tag.text.as_str());
                let mistake =
                    self.remarks
                        .unknown("unknown-tag", tag.span, &tag.text, "fixture", known);
                self.remarks.push(mistake);
            }
            return Err(Stop::Mistake);
        };
        let one = &self.placed[ix as usize];
        let name = port.map_or_else(|| usual_port(one.kind, system), |port| port.text.as_str());
        if let Some(found) = one.fixture.ports.iter().position(|port| port.name == name) {
            return Ok(Found::Port(ix, found));
        }
        let list: Vec<&str> = one
            .fixture
            .ports
            .iter()
            .map(|port| port.name.as_str())
            .collect();
        let span = port.map_or(tag.span, |port| port.span);
        let mistake = Diagnostic::mistake(
            "unknown-port",
            span,
            format!("{}, a {}, has no port `{name}`", tag.text, one.kind.name),
        )
        .expected(format!("expected one of {}", list.join(", ")));
        let hint = match name {
            "vent" if list.contains(&"tee") => {
                Some(format!("the vent of {} starts at its `tee`", tag.text))
            }
            _ => port.and_then(|port| wyeline_job::did_you_mean(&port.text, list.iter().copied())),
        };
        self.remarks.push(match hint {
            Some(hint) => mistake.help(hint),
            None => mistake,
        });
        Err(Stop::Mistake)
    }

    /// What a reference to a fixture leads to.
    pub fn find_fixture(&mut self, target: &PortRef, system: System) -> Result<Found, Stop<'a>> {
        self.find_port(&target.tag, target.port.as_ref(), system)
    }

    /// What a reference to a point or a port leads to.
    pub fn find_point(&mut self, point: &'a PointRef, system: System) -> Result<Found, Stop<'a>> {
        let name = &point.name;
        if point.port.is_some() {
            return self.find_port(name, point.port.as_ref(), system);
        }
        if let Some(&node) = self.points.get(name.text.as_str()) {
            return Ok(Found::Node(self.alive(node)));
        }
        if self.declared.contains_key(name.text.as_str()) {
            return Err(Stop::Wait(&name.text));
        }
        if self.tags.contains_key(name.text.as_str()) {
            return self.find_port(name, None, system);
        }
        let points = self
            .job
            .runs
            .iter()
            .flat_map(|run| &run.steps)
            .filter_map(|step| match &step.kind {
                StepKind::Point(name) => Some(name.text.as_str()),
                _ => None,
            });
        let known = points.chain(self.job.fixtures.iter().map(|told| told.tag.text.as_str()));
        let mistake = self.remarks.unknown(
            "unknown-point",
            name.span,
            &name.text,
            "point or fixture",
            known,
        );
        self.remarks.push(mistake);
        Err(Stop::Mistake)
    }

    /// Whether a vent begins or ends at a point: there a drain may go on as that vent.
    pub fn ends_vent(&self, point: &PointRef, found: Found) -> bool {
        let Found::Node(node) = found else {
            return false;
        };
        let Some(&run) = self.declared.get(point.name.text.as_str()) else {
            return false;
        };
        let run = &self.job.runs[run];
        let begins = matches!(run.steps.first(), Some(step) if matches!(step.kind, StepKind::Start(Start::At { .. })))
            && names(run.steps.iter().skip(1), &point.name.text);
        run.system == System::Vent
            && self.node(node).system == System::Vent
            && (begins || names(last_steps(run), &point.name.text))
    }

    /// Whether a vent is told from the open air, or from another vent, down to the drain it takes its air to.
    pub fn told_from_air(&self, run: &Run) -> bool {
        let (Some(first), Some(last)) = (run.steps.first(), run.steps.last()) else {
            return false;
        };
        if run.system != System::Vent {
            return false;
        }
        let drains = |point: &PointRef| match (&point.port, self.declared.get(&*point.name.text)) {
            (None, Some(&run)) => self.job.runs[run].system.drains(),
            // A fixture: its tee or its drain, unless a port for the vent itself is named.
            (port, _) => port.as_ref().is_none_or(|port| port.text != "vent"),
        };
        let from_drain = match &first.kind {
            StepKind::Start(Start::From(point)) => drains(point),
            _ => false,
        };
        let to_drain = match &last.kind {
            StepKind::Join(point) => drains(point),
            StepKind::End { .. } => true,
            _ => last_steps(run).any(|step| {
                matches!(&step.kind, StepKind::Point(name) if self.joined.contains(&*name.text))
            }),
        };
        to_drain && !from_drain
    }

    /// Whether a run of a system may begin or end there; a mistake where not.
    pub fn check_system(
        &mut self,
        system: System,
        found: Found,
        span: Span,
    ) -> Result<(), Stop<'a>> {
        let (fits, what) = match found {
            Found::Port(fixture, port) => {
                let one = &self.placed[fixture as usize];
                let port = &one.fixture.ports[port].name;
                let equipment = one.kind.centred && one.kind.trap == Trap::None;
                (
                    port_takes(port, system, equipment),
                    format!("the {port} of {}", one.fixture.tag),
                )
            }
            Found::Node(node) => {
                let node = self.node(node);
                let mixes = node
                    .device
                    .as_ref()
                    .is_some_and(|device| device.kind == DeviceKind::MixingValve);
                let fits = match node.fixture.zip(node.id.rsplit_once('.')) {
                    Some((ix, (_, port))) if node.kind != NodeKind::Trap => {
                        let kind = self.placed[ix.0 as usize].kind;
                        port_takes(port, system, kind.centred && kind.trap == Trap::None)
                    }
                    _ => systems_meet(system, node.system, mixes),
                };
                (fits, format!("a {} run", node.system.word()))
            }
        };
        if fits {
            return Ok(());
        }
        self.remarks.push(
            Diagnostic::mistake(
                "systems-do-not-meet",
                span,
                format!("{} does not go into {what}", system.word()),
            )
            .help("name a port or a point of the same system"),
        );
        Err(Stop::Mistake)
    }
}

/// The port of a fixture a system uses where none is said.
pub fn usual_port(kind: &Kind, system: System) -> &'static str {
    match system {
        System::Waste | System::Vent if kind.trap == Trap::Arm => "tee",
        System::Waste | System::Vent | System::Storm => "drain",
        System::Cold => "cold",
        System::Hot => "hot",
        System::HotReturn => "return",
        System::Gas => "gas",
    }
}

/// The steps after the last move of a run, from its end.
fn last_steps(run: &Run) -> impl Iterator<Item = &Step> {
    let cap = run
        .steps
        .iter()
        .rev()
        .skip_while(|step| step.kind == StepKind::Cap);
    cap.take_while(|step| !step.kind.leads_on())
}

/// Whether one of the steps up to the next move names a point so.
fn names<'s>(steps: impl Iterator<Item = &'s Step>, name: &str) -> bool {
    steps
        .take_while(|step| !step.kind.leads_on())
        .any(|step| matches!(&step.kind, StepKind::Point(point) if point.text == name))
}

/// Whether a run of a system may reach a port of that name; `equipment` stands free and has no trap.
pub fn port_takes(port: &str, system: System, equipment: bool) -> bool {
    let water = matches!(system, System::Cold | System::Hot | System::HotReturn);
    match port {
        "drain" | "tee" => matches!(system, System::Waste | System::Vent | System::Storm),
        // Tanks and heaters in series are fed by what another one has heated.
        "cold" => matches!(system, System::Cold | System::HotReturn) || equipment && water,
        "hot" | "return" => matches!(system, System::Hot | System::HotReturn) || equipment && water,
        "gas" => system == System::Gas,
        "relief" => system.drains(),
        _ => system == System::Vent,
    }
}

/// Whether a run may begin at, or join, a point of another run; `mixes`: a mixing valve sits there.
pub fn systems_meet(run: System, other: System, mixes: bool) -> bool {
    match run {
        System::Vent => matches!(other, System::Vent | System::Waste | System::Storm),
        System::Waste | System::Storm => other.drains(),
        System::Gas => other == System::Gas,
        System::HotReturn => matches!(other, System::Cold | System::Hot | System::HotReturn),
        System::Hot => {
            matches!(other, System::Hot | System::HotReturn) || mixes && other == System::Cold
        }
        System::Cold => other == System::Cold || mixes && other == System::Hot,
    }
}
