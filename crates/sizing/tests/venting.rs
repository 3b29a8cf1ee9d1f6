//! Drains that give air to the traps on them: circuits, waste stacks, combination drains; expected sizes from the tables
//! named beside them.

mod support;

use std::fmt::Write as _;

use support::{Sizing, sizing};
use wyeline_sizing::{Airs, Governs, Role, why};

const HEAD: &str = "job v\nunits ft-in\nslope 1/4 in per ft\nlevel cellar floor -10'\nlevel main floor 0'\nlevel upper floor 10'\nroof 20'\n";

fn pipe_words(sizing: &Sizing, id: &str) -> Vec<String> {
    let steps = why(
        &sizing.job,
        &sizing.network,
        &sizing.pack,
        &sizing.sized,
        sizing.ix(id),
    );
    steps.into_iter().map(|step| step.text).collect()
}

/// A row of fixtures, 3 ft apart, on a branch to a stack that passes the cellar; its vent comes in so many fixtures from
/// the upstream end.
fn row(code: &str, kind: &str, fixtures: u32, after: u32) -> Sizing {
    let mut text = HEAD.to_owned();
    for n in 0..fixtures {
        let _ = writeln!(
            text,
            "fixture F{n} {kind} main {}',3' faces south",
            4 + 3 * n
        );
    }
    text.push_str("waste s\nstart 0',0' cellar floor -1'\nup to main floor -2'\npoint B\nup 1'\ncap\nwaste d\nstart B\n");
    for n in 0..fixtures {
        let left = fixtures - n;
        if left == after {
            text.push_str("east 6\"\npoint V\n");
        }
        let word = if left == 1 { "end" } else { "catch" };
        let _ = writeln!(text, "east to abreast F{n}.drain\n{word} F{n}");
    }
    text.push_str("vent v\nstart V\nup through roof\n");
    sizing(code, &text)
}

/// Six floor sinks by the size of their 2 in trap: 3 dfu each (IPC Table 709.2), 18 together. A branch of 18 dfu is
/// 3 in (Table 710.1(2): 2-1/2 in 12, 3 in 20), all along to the most upstream fixture (914.3), where the 3 dfu of one alone
/// would do with 1-1/2 in.
#[test]
fn a_circuit_vented_branch_has_one_size_for_its_whole_load() {
    let circuit = row("ipc-2021", "floor-sink", 6, 1);
    let on_branch: Vec<&str> = circuit
        .network
        .pipes
        .iter()
        .filter(|pipe| pipe.id.starts_with("d/") && pipe.id.matches('/').count() == 1)
        .map(|pipe| pipe.id.as_str())
        .collect();
    assert!(on_branch.len() >= 7, "{on_branch:?}");
    for id in on_branch {
        let told = circuit.told(id);
        if told.fall_mm > 300.0 {
            continue;
        }
        assert_eq!(circuit.needs(id), "3\"", "{id}");
    }
    assert_eq!(circuit.pipe("v/1").role, Role::CircuitVent);
    let middle = circuit.network.pipes.iter().position(|pipe| {
        pipe.id.starts_with("d/") && circuit.pipe(&pipe.id).airs == Some(Airs::Circuit)
    });
    let id = &circuit.network.pipes[middle.expect("a circuit-vented piece")].id;
    let Governs::Table {
        carries, allows, ..
    } = &circuit.pipe(id).governs
    else {
        panic!("{:?}", circuit.pipe(id).governs);
    };
    assert_eq!((*carries, *allows), (18.0, 20.0));
    let words = pipe_words(&circuit, id);
    assert!(
        words
            .iter()
            .any(|text| text.contains("one size for the whole branch, 18 dfu")),
        "{words:#?}"
    );
}

/// Half of the 3 in branch is 1-1/2 in (IPC 906.2).
#[test]
fn the_circuit_vent_is_half_of_the_branch() {
    assert_eq!(row("ipc-2021", "floor-sink", 6, 1).needs("v/1"), "1-1/2\"");
}

/// Sinks on two storeys, one over the other, on a stack that goes on as its vent.
fn stack(kinds: [&str; 2], change: &[(&str, &str)]) -> Sizing {
    let mut text = format!(
        "{HEAD}fixture A {} upper 3',0' faces east\nfixture B {} main 3',0' faces east\n\
         waste s\nstart 0',0' cellar floor -1'\nup to main floor -1'\npoint P\nup to upper floor -1'\npoint Q\nup 2'\npoint TOP\n\
         waste a\nstart Q\neast to abreast A.drain\nend A\nwaste b\nstart P\neast to abreast B.drain\nend B\n\
         vent t\nstart TOP\nup through roof\n",
        kinds[0], kinds[1]
    );
    for (from, to) in change {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    sizing("ipc-2021", &text)
}

/// Two floor drains of 2 dfu, each an interval of its own: IPC Table 913.4 allows 2 in one interval and 4 together on 2 in.
/// The stack vent is as large (913.3), where Table 906.1 alone would do with 1-1/4 in for a 2 in stack.
#[test]
fn a_waste_stack_vents_itself_by_its_own_table() {
    let waste = stack(["floor-drain", "floor-drain"], &[]);
    for id in ["s/1", "s/2", "s/3"] {
        assert_eq!(waste.pipe(id).airs, Some(Airs::WasteStack), "{id}");
        assert_eq!(waste.needs(id), "2\"", "{id}");
    }
    assert_eq!(waste.pipe("t/1").role, Role::StackVent);
    assert_eq!(waste.needs("t/1"), "2\"");
    let words = pipe_words(&waste, "s/1");
    assert!(
        words
            .iter()
            .any(|text| text.starts_with("waste stack vent")),
        "{words:#?}"
    );
}

/// A third fixture makes 6 dfu: more than the 4 of 2 in, within the 8 of 2-1/2 in; all of the stack is as large.
#[test]
fn a_waste_stack_has_one_size() {
    let more = "point Q\nup 2'\npoint R\nup 2'\npoint TOP\n";
    let waste = stack(
        ["floor-drain", "floor-drain"],
        &[
            ("point Q\nup 2'\npoint TOP\n", more),
            (
                "vent t\n",
                "waste c\nstart R\nwest to abreast C.drain\nend C\nvent t\n",
            ),
            (
                "waste s\n",
                "fixture C floor-drain upper -4',0' faces west\nwaste s\n",
            ),
            ("upper floor -1'\npoint Q", "upper floor -6'\npoint Q"),
        ],
    );
    for id in ["s/1", "s/2", "s/3", "s/4"] {
        assert_eq!(waste.needs(id), "2-1/2\"", "{id}");
    }
}

/// IPC 913.2: no closets, no offset between the lowest and the highest fixture.
#[test]
fn a_closet_or_an_offset_makes_no_waste_stack() {
    let closet = stack(["water-closet", "floor-drain"], &[]);
    assert_eq!(closet.pipe("s/2").airs, Some(Airs::Stack));
    let offset = stack(
        ["floor-drain", "floor-drain"],
        &[(
            "up to upper floor -1'\n",
            "up 3'\nup 1' at 45 north\nup to upper floor -1'\n",
        )],
    );
    assert_ne!(offset.pipe("s/1").airs, Some(Airs::WasteStack));
}

/// Three floor drains of 2 dfu with one vent at their downstream end: a combination drain and vent of 6 dfu into a stack.
/// IPC Table 915.3: 2 in 3, 2-1/2 in 6; 4 dfu upstream of the last ask for 2-1/2 in as well. The vent is half, and no
/// less than 1-1/4 in.
#[test]
fn a_combination_drain_is_sized_by_its_own_table() {
    let text = format!(
        "{HEAD}fixture A floor-drain main 8',3' faces south\nfixture B floor-drain main 12',3' faces south\nfixture C floor-drain main 16',3' faces south\n\
         waste s\nstart 0',0' cellar floor -1'\nup to main floor -2'\npoint B1\nup 1'\ncap\n\
         waste d\nstart B1\neast 2'\npoint V\neast to abreast A.drain\ncatch A\neast to abreast B.drain\ncatch B\neast to abreast C.drain\nend C\n\
         vent v\nstart V\nup through roof\n"
    );
    let floor = sizing("ipc-2021", &text);
    for id in ["d/1", "d/2", "d/3"] {
        assert_eq!(floor.pipe(id).airs, Some(Airs::Combination), "{id}");
        assert_eq!(floor.needs(id), "2-1/2\"", "{id}");
    }
    assert_eq!(floor.needs("v/1"), "1-1/4\"");
    assert_eq!(floor.pipe("v/1").load.drain, 6.0);
    let words = pipe_words(&floor, "d/1");
    assert!(
        words
            .iter()
            .any(|text| text.starts_with("combination drain and vent")),
        "{words:#?}"
    );
    // The UPC's like (Section 910) is not held: that is said, and nothing is guessed.
    let upc = sizing("upc-2021", &text);
    assert!(
        upc.sized
            .gaps
            .iter()
            .any(|gap| gap.why.contains("combination drain and vent")),
        "{:#?}",
        upc.sized.gaps
    );
}

/// IPC 903.2: at 0 °F a vent through the roof is 3 in, whatever it serves; at 1 °F by its drain alone (half of 1-1/4 in,
/// 1-1/4 in at the least). UPC 906.7: 2 in.
#[test]
fn a_hard_winter_enlarges_the_vent_through_the_roof() {
    let vent = |code: &str, winter: &str| {
        let text = format!(
            "{HEAD}{winter}\nfixture L lavatory main 10',10' faces south\n\
             waste d\nstart 0',5' main floor -2'\neast to abreast L.tee\nend L\n\
             vent v\nstart L.tee\nup to roof -2'\npoint T\nup through roof\n"
        );
        let sized = sizing(code, &text);
        (sized.needs("v/1"), sized.needs("v/2"))
    };
    let pair = |a: &str, b: &str| (a.to_owned(), b.to_owned());
    assert_eq!(vent("ipc-2021", "winter 0 F"), pair("1-1/4\"", "3\""));
    assert_eq!(vent("ipc-2021", "winter 1 F"), pair("1-1/4\"", "1-1/4\""));
    assert_eq!(vent("ipc-2021", ""), pair("1-1/4\"", "1-1/4\""));
    assert_eq!(vent("upc-2021", "winter -20 C"), pair("1-1/4\"", "2\""));
}
