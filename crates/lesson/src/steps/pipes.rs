//! The steps that draw pipes: the uprights of a main, the main, its branches one by one, the vents.
//!
//! Each path becomes legs, each step a few of them. Sentences begin where the pencil is put down, which the picture rings.

use std::fmt::Write as _;

use kurbo::Line;
use wyeline_draw::Picture;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{NodeIx, NodeKind};

use super::legs::{self, Leg};
use super::order::{Path, way};
use super::style::style;
use super::words::{Measure, capital, listed};
use super::{Draft, New, marks, skew};

/// Cosines between which a branch comes in at 45 degrees.
const AT_45: std::ops::Range<f64> = 0.6..0.8;
/// Tees on one leg whose places are told one by one, at most.
const TEES: usize = 8;

/// The steps of all paths, in their order.
pub(super) fn drafts(
    network: &Network,
    picture: &Picture,
    measure: &Measure,
    paths: &[Path],
) -> Vec<Draft> {
    let single = paths.len() == 1;
    let mut all = Vec::new();
    for path in paths {
        let legs = legs::legs(network, path);
        let mut script = Script {
            network,
            picture,
            measure,
            path,
            legs: &legs,
            branches: branches(paths, path),
            steps: Vec::new(),
        };
        let plumb = |leg: &Leg| leg.plumb();
        if single {
            for at in 0..legs.len() {
                script.draw(&[at], &format!("Leg {} of {}", at + 1, legs.len()));
            }
        } else if script.branches && legs.iter().any(plumb) && !legs.iter().all(plumb) {
            let (uprights, rest): (Vec<_>, Vec<_>) =
                (0..legs.len()).partition(|&at| legs[at].plumb());
            script.uprights(&uprights);
            script.draw(&rest, &script.title());
        } else {
            let every: Vec<usize> = (0..legs.len()).collect();
            script.draw(&every, &script.title());
        }
        all.append(&mut script.steps);
    }
    all
}

/// Whether a path is a main from which others branch off: its uprights are drawn before anything else. Vents are drawn upward, leg by leg.
fn branches(paths: &[Path], main: &Path) -> bool {
    let branch = |path: &Path| {
        let begins = main.nodes.contains(&path.nodes[0]);
        !path.main && path.system == main.system && begins
    };
    main.main && main.system != System::Vent && paths.iter().any(branch)
}

/// The steps of one path.
struct Script<'a> {
    network: &'a Network,
    picture: &'a Picture,
    measure: &'a Measure,
    path: &'a Path,
    legs: &'a [Leg],
    /// Others branch off it.
    branches: bool,
    steps: Vec<Draft>,
}

impl Script<'_> {
    /// Adds the steps that draw some of the legs.
    fn draw(&mut self, legs: &[usize], title: &str) {
        let before = self.steps.len();
        let mut together: Vec<usize> = Vec::new();
        for &at in legs {
            let square = self.legs[at]
                .skew()
                .then(|| skew::frame(self.network, self.picture, self.measure, &self.legs[at]))
                .flatten();
            if square.is_some() || together.len() == style().lines {
                self.flush(&mut together, title);
            }
            self.steps.extend(square);
            together.push(at);
        }
        self.flush(&mut together, title);
        self.number(before, title);
    }

    /// Tells steps of the same title apart.
    fn number(&mut self, before: usize, title: &str) {
        let mut same: Vec<&mut Draft> = self.steps[before..]
            .iter_mut()
            .filter(|step| step.title == title)
            .collect();
        let count = same.len();
        for (number, step) in same.iter_mut().enumerate().filter(|_| count > 1) {
            step.title = format!("{title}, {} of {count}", number + 1);
        }
    }

    /// Makes one step of the legs gathered.
    fn flush(&mut self, together: &mut Vec<usize>, title: &str) {
        let Some(&first) = together.first() else {
            return;
        };
        let mut said = Vec::new();
        for (n, &at) in together.iter().enumerate() {
            let leg = &self.legs[at];
            let fresh = n == 0 || together[n - 1] + 1 != at;
            let told = if leg.skew() {
                skew::diagonal(self.measure, leg)
            } else if n == 0 && !leg.plumb() {
                let along = leg.to - leg.from;
                format!(
                    "{} {}: {}, {} of the grid",
                    self.measure.length(along.length()),
                    super::words::compass(along),
                    self.measure.paper(along),
                    self.measure.squares(along.length())
                )
            } else {
                self.measure.along(leg.to - leg.from)
            };
            let mut words = if fresh {
                let ring = if n == 0 { " (ringed)" } else { "" };
                format!("From {}{ring}, {told}", self.begins(at))
            } else {
                format!("Then {told}")
            };
            if let Some(end) = self.ends(at) {
                let _ = write!(words, ", {end}");
            }
            words.push('.');
            words += &self.tees(leg);
            said.push(words);
        }
        if together.iter().any(|&at| self.broken(&self.legs[at])) {
            said.push("Leave the gap: another pipe passes in front there.".to_owned());
        }
        let pipes = together.iter().flat_map(|&at| &self.legs[at].pipes);
        if let Some(letters) = marks::letters(self.picture, pipes.copied()) {
            said.push(format!("Letter the line {letters}."));
        }
        if self.path.system == System::Vent && self.steps.is_empty() {
            said.push("Vents are dashed.".to_owned());
        }
        self.push(together, title, said.join(" "), self.legs[first].first());
        together.clear();
    }

    /// Adds a step that draws these legs.
    fn push(&mut self, legs: &[usize], title: &str, sentence: String, ring: NodeIx) {
        let pipes = legs.iter().flat_map(|&at| self.legs[at].pipes.iter());
        self.steps.push(Draft {
            title: title.to_owned(),
            sentence,
            new: New {
                pipes: pipes.copied().collect(),
                ..New::default()
            },
            ring: Some(ring),
        });
    }

    /// Adds the steps that draw the uprights of a main, before there is anything between them.
    fn uprights(&mut self, uprights: &[usize]) {
        let title = format!("Upright pipes of the {}", main_of(self.path.system));
        let mut here = (begins(self.network, self.path, 0), self.legs[0].from);
        let mut ring = self.legs[0].first();
        let before = self.steps.len();
        for together in uprights.chunks(style().lines) {
            let mut said = Vec::new();
            let begin = ring;
            for &at in together {
                let leg = &self.legs[at];
                let away = Measure::axes(leg.from - here.1);
                let told: Vec<String> = away.iter().map(|part| self.measure.along(*part)).collect();
                let up = self.measure.along(leg.to - leg.from);
                let marked = if said.is_empty() { " (ringed)" } else { "" };
                said.push(if told.is_empty() {
                    format!("From {}{marked}, {up}.", here.0)
                } else {
                    format!(
                        "From {}{marked} count {} without drawing; from there {up}.",
                        here.0,
                        told.join(", then ")
                    )
                });
                said.push(self.tees(leg).trim_start().to_owned());
                here = ("the end of that upright".to_owned(), leg.to);
                ring = leg.last();
            }
            said.retain(|words| !words.is_empty());
            self.push(together, &title, said.join(" "), begin);
        }
        self.number(before, &title);
    }

    /// Where a leg begins, in words.
    fn begins(&self, at: usize) -> String {
        match at.checked_sub(1) {
            None => begins(self.network, self.path, 0),
            Some(before) if self.legs[before].plumb() => {
                let rises = self.legs[before].to.z > self.legs[before].from.z;
                let end = if rises { "top" } else { "foot" };
                format!("the {end} of the upright")
            }
            Some(_) => "where the last line ended".to_owned(),
        }
    }

    /// Where a leg ends, in words, where that is anything but a turn.
    fn ends(&self, at: usize) -> Option<String> {
        let node = self.network.node(self.legs[at].last());
        let tag = || {
            let fixture = node.fixture?;
            Some(self.network.fixtures.get(fixture.0 as usize)?.tag.clone())
        };
        let last = at + 1 == self.legs.len();
        match &node.kind {
            NodeKind::Trap => Some(format!("to the trap of {}, a small hook", tag()?)),
            NodeKind::Outlet => Some(format!("to the outlet of {}", tag()?)),
            NodeKind::Stub | NodeKind::Port => Some(format!("to {}", tag()?)),
            NodeKind::ArmEnd if !last => Some(format!("to the tee of {}", tag()?)),
            NodeKind::RoofEnd => Some("out through the roof".to_owned()),
            NodeKind::Continues { to, .. } => Some(format!("to a break mark: it goes on {to}")),
            NodeKind::Cap => Some("to its cap".to_owned()),
            _ if last && self.path.system == System::Vent && self.joins() => {
                Some("into the vent that is there already".to_owned())
            }
            _ => None,
        }
    }

    /// Whether a vent ends in another.
    fn joins(&self) -> bool {
        let end = self.path.nodes[self.path.nodes.len() - 1];
        let vents = self.network.node(end).pipes.iter();
        vents
            .filter(|pipe| self.network.pipe(**pipe).system == System::Vent)
            .count()
            > 1
    }

    /// The tees on the way, from where the leg begins.
    fn tees(&self, leg: &Leg) -> String {
        let inner = &leg.nodes[1..leg.nodes.len() - 1];
        let tees: Vec<f64> = inner
            .iter()
            .map(|&node| self.network.node(node))
            .filter(|node| node.kind == NodeKind::Junction)
            .map(|node| node.drawn().distance(leg.from))
            .collect();
        match tees.as_slice() {
            [] => String::new(),
            [one] => format!(" Tick the tee after {}.", self.measure.squares(*one)),
            many if many.len() <= TEES => format!(
                " Tick its {} tees, counted from there: after {} squares.",
                many.len(),
                listed(
                    &many
                        .iter()
                        .map(|mm| self.measure.count(*mm))
                        .collect::<Vec<_>>()
                )
            ),
            many => format!(
                " Tick its {} tees, the first after {}, the last after {}.",
                many.len(),
                self.measure.squares(many[0]),
                self.measure.squares(many[many.len() - 1])
            ),
        }
    }

    /// Whether the key breaks a line of the leg where another pipe passes in front; valves and letters in the line break it too.
    fn broken(&self, leg: &Leg) -> bool {
        let (own, others): (Vec<_>, Vec<_>) = self
            .picture
            .pipes
            .iter()
            .partition(|mark| leg.pipes.contains(&mark.pipe));
        let mut gaps = own.iter().flat_map(|mark| {
            let next = mark.pieces.iter().skip(1);
            mark.pieces
                .iter()
                .zip(next)
                .map(|(a, b)| Line::new(a.1, b.0))
        });
        let passes = |gap: Line| {
            let lines = others.iter().flat_map(|mark| &mark.pieces);
            let mut lines = lines.map(|(a, b)| Line::new(*a, *b));
            lines.any(|line| {
                gap.crossing_point(line).is_some_and(|at| {
                    [gap, line].iter().all(|one| {
                        let along = one.p1 - one.p0;
                        let share = (at - one.p0).dot(along) / along.hypot2();
                        (0.0..=1.0).contains(&share)
                    })
                })
            })
        };
        gaps.any(passes)
    }

    /// What the path is called.
    fn title(&self) -> String {
        let tags: Vec<String> = self
            .path
            .serves
            .iter()
            .filter_map(|fixture| self.network.fixtures.get(fixture.0 as usize))
            .map(|fixture| fixture.tag.clone())
            .collect();
        let end = self.path.nodes[self.path.nodes.len() - 1];
        let end = &self.network.node(end).kind;
        let of = match tags.as_slice() {
            [first, second, _, ..] => format!("{first}, {second} and {} more", tags.len() - 2),
            few => listed(few),
        };
        match (self.path.system, end) {
            (System::Vent, NodeKind::RoofEnd) if self.path.main => {
                "The vent through the roof".to_owned()
            }
            (System::Vent, _) if of.is_empty() => "A vent".to_owned(),
            (System::Vent, _) => format!("Vent of {of}"),
            (system, _) if self.branches || (self.path.main && of.is_empty()) => {
                capital(&format!("the {}", main_of(system)))
            }
            (_, NodeKind::Continues { to, .. }) if of.is_empty() => {
                format!("Where it goes on {to}")
            }
            (system, _) if of.is_empty() => {
                capital(&format!("a branch of the {}", main_of(system)))
            }
            (System::Waste, _) => format!("Branch to {of}"),
            (system, _) => capital(&format!("{} to {of}", called(system))),
        }
    }
}

/// What flows in a system's pipes, as it is said.
pub(super) fn called(system: System) -> &'static str {
    match system {
        System::Waste => "waste",
        System::Vent => "vent",
        System::Storm => "storm water",
        System::Cold => "cold",
        System::Hot => "hot",
        System::HotReturn => "hot return",
        System::Gas => "gas",
    }
}

/// What a system's main is called.
fn main_of(system: System) -> &'static str {
    match system {
        System::Waste => "main drain",
        System::Vent => "main vent",
        System::Storm => "storm drain",
        System::Cold => "cold main",
        System::Hot => "hot main",
        System::HotReturn => "hot return",
        System::Gas => "gas main",
    }
}

/// The node of a path by its place, as a point to begin from.
pub(super) fn begins(network: &Network, path: &Path, at: usize) -> String {
    let ix = path.nodes[at];
    let node = network.node(ix);
    let fixture = node
        .fixture
        .and_then(|fixture| network.fixtures.get(fixture.0 as usize));
    match (&node.kind, fixture) {
        (NodeKind::Start, _) if path.system.drains() => "the outlet".to_owned(),
        (NodeKind::Start, _) => format!("the start of the {}", main_of(path.system)),
        (NodeKind::Continues { to, .. }, _) => format!("the end that goes on {to}"),
        (NodeKind::Port | NodeKind::Stub, Some(fixture)) => {
            format!("the {} side of {}", called(path.system), fixture.tag)
        }
        (NodeKind::ArmEnd, Some(fixture)) => format!("the tee of {}", fixture.tag),
        (NodeKind::Outlet, Some(fixture)) => format!("the outlet of {}", fixture.tag),
        (NodeKind::Trap, Some(fixture)) => format!("the trap of {}", fixture.tag),
        (NodeKind::Junction, _) => {
            let leaves = way(network, path.pipes[at.min(path.pipes.len() - 1)], ix);
            let slants = node
                .pipes
                .iter()
                .any(|&pipe| AT_45.contains(&way(network, pipe, ix).dot(leaves).abs()));
            if slants { "the wye" } else { "the tee" }.to_owned()
        }
        (NodeKind::Turn, _) => "the turn".to_owned(),
        _ => "the point".to_owned(),
    }
}
