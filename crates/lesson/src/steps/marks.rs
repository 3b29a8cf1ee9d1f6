//! The last steps: flow, symbols, letters and figures, and a look over the whole.

use std::collections::BTreeSet;

use wyeline_draw::Picture;
use wyeline_draw::picture::{Label, LabelClass, SymbolKind};
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{NodeKind, PipeIx};

use super::style::style;
use super::words::listed;
use super::{Draft, New};

/// The steps of everything that is not drawn yet.
pub(super) fn drafts(network: &Network, picture: &Picture, before: &[Draft]) -> Vec<Draft> {
    let mut drafts: Vec<Draft> = flow(network, picture).into_iter().collect();
    drafts.extend(symbols(network, picture));
    let there: BTreeSet<usize> = before
        .iter()
        .flat_map(|draft| &draft.new.labels)
        .copied()
        .collect();
    drafts.extend(labels(picture, &there));
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

/// Kinds of symbols that are drawn together: what they are called, and how they are drawn.
const SYMBOLS: [(&str, &str); 5] = [
    (
        "Traps and outlets",
        "Hang each trap under its outlet as a small hook, and put the outlet's ring above it",
    ),
    (
        "Turns and tees",
        "Round off the turns and mark the tees",
    ),
    ("Valves and what else sits in the pipe", "Set each on its line"),
    (
        "Ends",
        "Show how each pipe ends: outlet or start, cap, stub, vent above the roof, break where it goes on",
    ),
    (
        "Fixtures",
        "Sketch each fixture over its outlet, lightly",
    ),
];

/// The place of a symbol's kind among those.
fn group(kind: SymbolKind) -> usize {
    match kind {
        SymbolKind::Trap
        | SymbolKind::ClosetFlange
        | SymbolKind::FloorDrain
        | SymbolKind::Outlet => 0,
        SymbolKind::Bend | SymbolKind::Junction | SymbolKind::Reducer => 1,
        SymbolKind::Cleanout | SymbolKind::Device(_) => 2,
        SymbolKind::Stub
        | SymbolKind::GasOutlet
        | SymbolKind::RoofEnd
        | SymbolKind::Cap
        | SymbolKind::Break
        | SymbolKind::Match
        | SymbolKind::Loose
        | SymbolKind::Start
        | SymbolKind::RiserUp
        | SymbolKind::RiserDown
        | SymbolKind::LevelMark => 3,
        SymbolKind::Fixture => 4,
    }
}

/// The steps of symbols, group by group.
fn symbols(network: &Network, picture: &Picture) -> Vec<Draft> {
    let mut drafts = Vec::new();
    for (which, (title, how)) in SYMBOLS.into_iter().enumerate() {
        let symbols = picture.symbols.iter().enumerate();
        let of_group: Vec<usize> = symbols
            .filter(|(_, symbol)| group(symbol.kind) == which)
            .map(|(at, _)| at)
            .collect();
        several(title, &of_group, &mut drafts, |some| {
            let tags: BTreeSet<&str> = some
                .iter()
                .filter_map(|&at| {
                    let symbol = &picture.symbols[at];
                    let node = symbol.node.map(|node| network.node(node));
                    let device = node.and_then(|node| node.device.as_ref()?.tag.as_deref());
                    let fixture = symbol
                        .fixture
                        .or_else(|| node.and_then(|node| node.fixture))
                        .and_then(|fixture| network.fixtures.get(fixture.0 as usize));
                    device.or(fixture.map(|fixture| fixture.tag.as_str()))
                })
                .collect();
            let tags: Vec<String> = tags.into_iter().map(str::to_owned).collect();
            let whose = if tags.is_empty() || which == 1 || which == 3 {
                format!("{} of them", some.len())
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

/// Kinds of labels that are written together, and what is said of them before an example.
const LABELS: [(&str, &str, &[LabelClass]); 5] = [
    (
        "Letters",
        "Letter the fixtures and, where more than one water runs, each line",
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

/// The steps of labels, group by group.
fn labels(picture: &Picture, there: &BTreeSet<usize>) -> Vec<Draft> {
    let mut drafts = Vec::new();
    for (title, how, classes) in LABELS {
        let labels = picture.labels.iter().enumerate();
        let of_group: Vec<usize> = labels
            .filter(|(at, label)| classes.contains(&label.class) && !there.contains(at))
            .map(|(at, _)| at)
            .collect();
        several(title, &of_group, &mut drafts, |some| {
            let example = some.iter().map(|&at| said(&picture.labels[at]));
            let longest = example.rev().max_by_key(String::len).unwrap_or_default();
            (
                format!("{how}; here {longest}."),
                New {
                    labels: some.to_vec(),
                    ..New::default()
                },
            )
        });
    }
    drafts
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
    add(fixtures.len(), "fixture or appliance", "fixtures or appliances");
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
        sentence += &format!(" Of the numbers, {}.", listed(&numbers));
    }
    Draft {
        title: "Look it over".to_owned(),
        sentence,
        new: New::default(),
        ring: None,
    }
}

