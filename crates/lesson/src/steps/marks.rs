//! The last steps: flow, symbols, letters and figures, and a look over the whole.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

use wyeline_draw::Picture;
use wyeline_draw::picture::{About, Label, LabelClass, SymbolKind};
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{NodeKind, PipeIx};

use super::order::SYSTEMS;
use super::pipes::called;
use super::style::style;
use super::words::listed;
use super::{Draft, New};

/// The steps of everything that is not drawn yet.
pub(super) fn drafts(network: &Network, picture: &Picture, before: &[Draft]) -> Vec<Draft> {
    let mut drafts: Vec<Draft> = flow(network, picture).into_iter().collect();
    let there = |marks: fn(&New) -> &Vec<usize>| -> BTreeSet<usize> {
        let drafts = before.iter();
        drafts
            .flat_map(|draft| marks(&draft.new))
            .copied()
            .collect()
    };
    drafts.extend(symbols(network, picture, &there(|new| &new.symbols)));
    drafts.extend(labels(network, picture, &there(|new| &new.labels)));
    drafts.push(whole(network, picture));
    drafts
}

/// Arrows.
fn flow(network: &Network, picture: &Picture) -> Option<Draft> {
    let arrows: Vec<PipeIx> = picture
        .pipes
        .iter()
        .filter(|mark| !mark.arrows.is_empty())
        .map(|mark| mark.pipe)
        .collect();
    let drains = arrows
        .iter()
        .any(|&pipe| network.pipe(pipe).system.drains());
    let sentence = if drains {
        "Arrows on the lines show the way of flow, towards the outlet: where pipe turns from upright to level, and on every branch. \
         Vents get none."
    } else {
        "Arrows on the lines show the way of flow, away from where the water comes in."
    };
    (!arrows.is_empty()).then(|| Draft {
        title: "Flow".to_owned(),
        sentence: sentence.to_owned(),
        new: New {
            arrows,
            ..New::default()
        },
        ring: None,
    })
}

/// Symbols without which a line has a gap: turns, tees, changes of size and traps. They are drawn with their pipes.
fn in_line(kind: SymbolKind) -> bool {
    matches!(
        kind,
        SymbolKind::Bend | SymbolKind::Junction | SymbolKind::Reducer | SymbolKind::Trap
    )
}

/// The letters that stand in the lines of these pipes, where there are any.
pub(super) fn letters(picture: &Picture, pipes: impl Iterator<Item = PipeIx>) -> Option<String> {
    let pipes: BTreeSet<PipeIx> = pipes.collect();
    let mut labels = picture.labels.iter();
    labels
        .find(|label| in_line_of(label).is_some_and(|pipe| pipes.contains(&pipe)))
        .map(said)
}

/// The pipe in whose line a label stands.
fn in_line_of(label: &Label) -> Option<PipeIx> {
    match (label.class, label.about) {
        (LabelClass::Letters, About::Pipe(pipe)) => Some(pipe),
        _ => None,
    }
}

/// Adds symbols and letters in the line to the steps in which the last of their pipes is drawn.
pub(super) fn with_pipes(network: &Network, picture: &Picture, drafts: &mut [Draft]) {
    let mut drawn: BTreeMap<PipeIx, usize> = BTreeMap::new();
    for (step, draft) in drafts.iter().enumerate() {
        drawn.extend(draft.new.pipes.iter().map(|&pipe| (pipe, step)));
    }
    for (at, symbol) in picture.symbols.iter().enumerate() {
        let Some(node) = symbol.node.filter(|_| in_line(symbol.kind)) else {
            continue;
        };
        let pipes = network.node(node).pipes.iter();
        if let Some(step) = pipes.filter_map(|pipe| drawn.get(pipe)).max() {
            drafts[*step].new.symbols.push(at);
        }
    }
    for (at, label) in picture.labels.iter().enumerate() {
        if let Some(step) = in_line_of(label).and_then(|pipe| drawn.get(&pipe)) {
            drafts[*step].new.labels.push(at);
        }
    }
}

/// Kinds of symbols that are drawn together: what they are called, and how they are drawn.
const SYMBOLS: [(&str, &str); 4] = [
    (
        "Outlets",
        "Put a ring where each fixture drains, a flange as two rings",
    ),
    (
        "Valves and what else sits in the pipe",
        "Set each on its line",
    ),
    (
        "Ends",
        "Show how each pipe ends: outlet or start, stub at a fixture, cap, vent above the roof, break where it goes on",
    ),
    (
        "Fixtures",
        "Sketch each fixture where its pipes end, lightly",
    ),
];

/// The place of a symbol's kind among those.
fn group(kind: SymbolKind) -> usize {
    match kind {
        SymbolKind::ClosetFlange
        | SymbolKind::FloorDrain
        | SymbolKind::Outlet
        | SymbolKind::Trap => 0,
        SymbolKind::Cleanout | SymbolKind::Device(_) | SymbolKind::Reducer => 1,
        SymbolKind::Bend
        | SymbolKind::Junction
        | SymbolKind::Stub
        | SymbolKind::GasOutlet
        | SymbolKind::RoofEnd
        | SymbolKind::Cap
        | SymbolKind::Break
        | SymbolKind::Match
        | SymbolKind::Loose
        | SymbolKind::Start
        | SymbolKind::RiserUp
        | SymbolKind::RiserDown
        | SymbolKind::LevelMark => 2,
        SymbolKind::Fixture => 3,
    }
}

/// The steps of symbols that are not drawn yet, group by group.
fn symbols(network: &Network, picture: &Picture, there: &BTreeSet<usize>) -> Vec<Draft> {
    let mut drafts = Vec::new();
    for (which, (title, how)) in SYMBOLS.into_iter().enumerate() {
        let symbols = picture.symbols.iter().enumerate();
        let of_group: Vec<usize> = symbols
            .filter(|(at, symbol)| group(symbol.kind) == which && !there.contains(at))
            .map(|(at, _)| at)
            .collect();
        several(title, &of_group, &mut drafts, |some| {
            let tags: BTreeSet<&str> = some
                .iter()
                .filter_map(|&at| tag(network, picture, at))
                .collect();
            let tags: Vec<String> = tags.into_iter().map(str::to_owned).collect();
            let whose = if tags.is_empty() || which == 2 {
                format!("{} in all", some.len())
            } else {
                listed(&tags)
            };
            (
                format!("{how}: {whose}."),
                New {
                    symbols: some.to_vec(),
                    ..New::default()
                },
            )
        });
    }
    drafts
}

/// The tag of what a symbol shows: of its device, or its fixture.
fn tag<'a>(network: &'a Network, picture: &Picture, at: usize) -> Option<&'a str> {
    let symbol = &picture.symbols[at];
    let node = symbol.node.map(|node| network.node(node));
    let device = node.and_then(|node| node.device.as_ref()?.tag.as_deref());
    let fixture = symbol
        .fixture
        .or_else(|| node.and_then(|node| node.fixture))
        .and_then(|fixture| network.fixtures.get(fixture.0 as usize));
    device.or(fixture.map(|fixture| fixture.tag.as_str()))
}

/// Kinds of labels that are written together, and what is said of them before an example.
const LABELS: [(&str, &str, &[LabelClass]); 5] = [
    (
        "Letters",
        "Letter the fixtures",
        &[LabelClass::Tag, LabelClass::Letters],
    ),
    (
        "Sizes and lengths",
        "Write size and length beside each pipe, centre to centre: never what a rule laid on a slanting line says. Falls go with their arrow",
        &[LabelClass::Pipe, LabelClass::Frame],
    ),
    (
        "Heights",
        "Write heights where pipe changes level: INV is the bottom of the bore, CL the centre",
        &[LabelClass::Height],
    ),
    (
        "Notes",
        "Write what else has to be known",
        &[LabelClass::Note, LabelClass::Flag],
    ),
    (
        "Floors and ceilings",
        "Name the levels and write their heights",
        &[LabelClass::Level],
    ),
];

/// The steps of labels, group by group and within it system by system.
fn labels(network: &Network, picture: &Picture, there: &BTreeSet<usize>) -> Vec<Draft> {
    let mut drafts = Vec::new();
    for (title, how, classes) in LABELS {
        let mut groups: BTreeMap<Option<usize>, Vec<usize>> = BTreeMap::new();
        for (at, label) in picture.labels.iter().enumerate() {
            if classes.contains(&label.class) && !there.contains(&at) {
                let system = system(network, label).filter(|_| by_system(label.class));
                let place = system.and_then(|one| SYSTEMS.iter().position(|other| *other == one));
                groups.entry(place).or_default().push(at);
            }
        }
        let many = groups.len() > 1;
        for (n, (place, labels)) in groups.into_iter().enumerate() {
            let of = place.map_or("the rest", |place| called(SYSTEMS[place]));
            let title = if many {
                format!("{title}: {of}")
            } else {
                title.to_owned()
            };
            several(&title, &labels, &mut drafts, |some| {
                let said = some.iter().map(|&at| said(&picture.labels[at]));
                let longest = said.rev().max_by_key(String::len).unwrap_or_default();
                let how = if n == 0 {
                    how.to_owned()
                } else {
                    format!("Go on with the {of}")
                };
                (
                    format!("{how}; as {longest}."),
                    New {
                        labels: some.to_vec(),
                        ..New::default()
                    },
                )
            });
        }
    }
    drafts
}

/// Whether labels of a class are written system by system.
fn by_system(class: LabelClass) -> bool {
    matches!(class, LabelClass::Pipe | LabelClass::Frame)
}

/// The system a label tells of.
fn system(network: &Network, label: &Label) -> Option<System> {
    match label.about {
        About::Pipe(pipe) => Some(network.pipe(pipe).system),
        About::Node(node) => Some(network.node(node).system),
        About::Fixture(_) | About::Building => None,
    }
}

/// What a label says.
fn said(label: &Label) -> String {
    let lines: Vec<&str> = label.lines.iter().map(|line| line.text.trim()).collect();
    lines.join(" ")
}

/// Adds a step for as many marks as one holds, of these as many as it takes.
fn several(
    title: &str,
    marks: &[usize],
    drafts: &mut Vec<Draft>,
    step: impl Fn(&[usize]) -> (String, New),
) {
    // Steps of about the same size, rather than full ones and a rest of one mark.
    let steps = marks.len().div_ceil(style().marks);
    if steps == 0 {
        return;
    }
    for (n, some) in marks.chunks(marks.len().div_ceil(steps)).enumerate() {
        let (sentence, new) = step(some);
        let title = if steps == 1 {
            title.to_owned()
        } else {
            format!("{title}, {} of {steps}", n + 1)
        };
        drafts.push(Draft {
            title,
            sentence,
            new,
            ring: None,
        });
    }
}

/// The whole, to be looked over.
fn whole(network: &Network, picture: &Picture) -> Draft {
    let shown: BTreeSet<PipeIx> = picture.pipes.iter().map(|mark| mark.pipe).collect();
    let count = |what: &dyn Fn(&NodeKind) -> bool| {
        let nodes = network.nodes.iter();
        nodes
            .filter(|node| what(&node.kind) && node.pipes.iter().any(|pipe| shown.contains(pipe)))
            .count()
    };
    let fixtures: BTreeSet<_> = network
        .nodes
        .iter()
        .filter(|node| node.pipes.iter().any(|pipe| shown.contains(pipe)))
        .filter_map(|node| node.fixture)
        .collect();
    let systems: BTreeSet<System> = shown
        .iter()
        .map(|&pipe| network.pipe(pipe).system)
        .collect();
    let mut counted = Vec::new();
    let mut add = |number: usize, one: &str, many: &str| {
        if number > 0 {
            counted.push(format!("{number} {}", if number == 1 { one } else { many }));
        }
    };
    add(
        fixtures.len(),
        "fixture or appliance",
        "fixtures or appliances",
    );
    add(count(&|kind| *kind == NodeKind::Trap), "trap", "traps");
    add(
        count(&|kind| *kind == NodeKind::RoofEnd),
        "vent through the roof",
        "vents through the roof",
    );
    add(count(&|kind| *kind == NodeKind::Stub), "stub", "stubs");
    let mut sentence = if counted.is_empty() {
        String::new()
    } else {
        format!("Count: {}. ", listed(&counted))
    };
    sentence += "Level pipe slants on paper; only what stands plumb is upright, and only skew pipe has a square or a box.";
    if systems.contains(&System::Vent) {
        sentence += " Follow each trap to the open air and to the outlet.";
    }
    if !picture.overflow.is_empty() {
        let numbers: Vec<String> = picture
            .overflow
            .iter()
            .map(|(number, words)| format!("{number} is {words}"))
            .collect();
        let _ = write!(sentence, " Of the numbers, {}.", listed(&numbers));
    }
    Draft {
        title: "Look it over".to_owned(),
        sentence,
        new: New::default(),
        ring: None,
    }
}
