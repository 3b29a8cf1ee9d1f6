//! Whatever a hand does to a sample job: no panic, only the changes named change, and the text reads.

mod common;

use std::collections::HashMap;
use std::sync::LazyLock;

use common::changed;
use proptest::prelude::*;
use wyeline_edit::{Edit, apply};
use wyeline_job::{Job, Severity, read};
use wyeline_network::{Network, build};

struct Sample {
    text: String,
    job: Job,
    network: Network,
}

fn sample(text: String) -> Sample {
    let job = read(&text).job;
    let network = build(&job, &text).network;
    Sample { text, job, network }
}

/// The examples, and one in which baths are placed.
static SAMPLES: LazyLock<Vec<Sample>> = LazyLock::new(|| {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples");
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .unwrap()
        .map(|file| file.unwrap().path())
        .collect();
    files.sort();
    let texts = files
        .iter()
        .map(|file| std::fs::read_to_string(file).unwrap());
    let mut texts: Vec<String> = texts.collect();
    let windows = texts[0].replace('\n', "\r\n");
    texts.push(windows);
    texts.push(String::new());
    texts.push(GROUPS.to_owned());
    texts.into_iter().map(sample).collect()
});

const GROUPS: &str = "\
units ft-in
level cellar floor -8'
level main floor 0' ceiling 8'
roof 12'
group bath
  wall    here 0',0' 8',0' thick 4-1/2\"
  fixture WC  water-closet here 2',0'   faces north
  fixture LAV lavatory     here 4'6\",0' faces north drain left
  waste branch
    start $stack
    size  3\"
    north to abreast WC.drain
    east  to abreast WC.drain
    catch WC
    point P
    size  2\"
    east  to abreast LAV.tee
    end   LAV
  vent branch-vent
    start LAV.tee
    up    5'
end-group
place bath as A at 20',0' on main with stack S
place bath as B at 20',-4' on main turned 180 with stack S
waste stack
  start 18',-2' cellar floor -9\"
  up    to main floor -9\"
  point S
";

/// What a random gesture is made of.
#[derive(Clone, Debug)]
struct Dice {
    sample: usize,
    gesture: usize,
    thing: usize,
    other: usize,
    at: [f64; 2],
    far: [f64; 2],
    within: f64,
    words: String,
    yes: bool,
}

fn dice() -> impl Strategy<Value = Dice> {
    let number = || prop_oneof![4 => -2000.0..16_000.0, 1 => Just(0.0), 1 => any::<f64>()];
    let word = prop_oneof![
        Just("5'3-1/2\"".to_owned()),
        Just("1.6m".to_owned()),
        Just("2\"".to_owned()),
        Just("main floor -9\"".to_owned()),
        Just("east 3'\nup 2'".to_owned()),
        Just("up through roof".to_owned()),
        Just("ball-valve".to_owned()),
        Just("1/8 in per ft".to_owned()),
        Just("level loft floor 40'".to_owned()),
        Just("X9".to_owned()),
        "[a-z0-9 '\"#,.\\-\u{e9}\n]{0,24}",
    ];
    let near = prop_oneof![Just(0.0), 1.0..400.0];
    (
        (
            any::<usize>(),
            any::<usize>(),
            any::<usize>(),
            any::<usize>(),
        ),
        (
            [number(), number()],
            [number(), number()],
            near,
            word,
            any::<bool>(),
        ),
    )
        .prop_map(
            |((sample, gesture, thing, other), (at, far, within, words, yes))| Dice {
                sample,
                gesture,
                thing,
                other,
                at,
                far,
                within,
                words,
                yes,
            },
        )
}

fn pick(names: &[String], at: usize) -> String {
    names
        .get(at % names.len().max(1))
        .cloned()
        .unwrap_or_default()
}

/// A gesture on a sample: mostly at something that is there.
fn gesture(sample: &Sample, dice: &Dice) -> Edit {
    let network = &sample.network;
    let tags: Vec<String> = network.fixtures.iter().map(|one| one.tag.clone()).collect();
    let runs: Vec<String> = network.runs.iter().map(|run| run.name.clone()).collect();
    let pipes: Vec<String> = network.pipes.iter().map(|pipe| pipe.id.clone()).collect();
    let levels: Vec<String> = network
        .levels
        .iter()
        .map(|level| level.name.clone())
        .collect();
    let (run, pipe) = (pick(&runs, dice.thing), pick(&pipes, dice.thing));
    let (tag, level) = (pick(&tags, dice.thing), pick(&levels, dice.other));
    let line = (dice.thing % (sample.text.lines().count() + 2)) as u32;
    let (within, words) = (dice.within, dice.words.clone());
    let at = if dice.yes {
        let node = network.nodes.get(dice.other % network.nodes.len().max(1));
        node.map_or(dice.at, |node| [node.at.x + 20.0, node.at.y])
    } else {
        dice.at
    };
    let some = dice.yes.then(|| words.clone());
    let z = dice.yes.then_some(dice.far[0]);
    let side = dice.other as u32 % 6;
    match dice.gesture % 30 {
        0 => Edit::Wall {
            level,
            points: vec![at, dice.far, [dice.far[0], at[1]]],
            thick: None,
            within,
        },
        1 => Edit::Room {
            level,
            a: at,
            b: dice.far,
            name: some,
            thick: None,
            within,
        },
        2 => Edit::Side {
            line,
            side,
            length: words,
        },
        3 => Edit::Push {
            line,
            side,
            by: dice.far[0] / 10.0,
            within,
        },
        4 => Edit::Opening {
            kind: "door".to_owned(),
            level,
            at,
            wide: some,
            within,
        },
        5 => Edit::Fixture {
            kind: "lavatory".to_owned(),
            level,
            at,
            within,
            tag: None,
        },
        6 => Edit::Move {
            tag,
            at: dice.at,
            within,
        },
        7 => Edit::Turn { tag },
        8 => Edit::Face {
            tag,
            dir: "north".to_owned(),
        },
        9 => Edit::Mirror { tag },
        10 => Edit::Copy {
            tag,
            level,
            at,
            within,
        },
        11 => Edit::Repeat {
            tags: vec![tag, pick(&tags, dice.other)],
            levels: vec![level],
        },
        12 => Edit::Tag { tag, to: words },
        13 => {
            let systems = ["waste", "vent", "cold", "hot", "gas"];
            let system = systems[dice.thing % systems.len()].to_owned();
            Edit::Start {
                system,
                level,
                at,
                within,
                name: None,
                height: None,
                size: None,
            }
        }
        14 => Edit::Pull {
            run,
            to: at,
            within,
            typed: None,
            free: dice.yes,
        },
        15 => Edit::Pull {
            run,
            to: at,
            within,
            typed: Some(words),
            free: dice.yes,
        },
        16 => Edit::Meet { run, at, within },
        17 => Edit::Catch {
            run,
            tag: pick(&tags, dice.other),
            port: None,
        },
        18 => Edit::Step { run, words },
        19 => Edit::Rise { run, to: words },
        20 => Edit::Finish { run },
        21 => Edit::Split {
            pipe,
            at,
            z,
            name: None,
        },
        22 => Edit::Length { pipe, words },
        23 => Edit::Size { pipe, words },
        24 => Edit::Slope { pipe, words },
        25 => Edit::Device { pipe, at, z, words },
        26 => Edit::Height { line, words },
        27 => Edit::Say { line, words },
        28 => Edit::Add {
            words,
            after: dice.yes.then_some(line),
        },
        _ => Edit::Delete { line },
    }
}

/// How many mistakes of the reader there are of each kind, but that a run is not finished.
fn counts(text: &str) -> HashMap<&'static str, usize> {
    let mut counts = HashMap::new();
    for one in read(text).diagnostics {
        if one.severity == Severity::Mistake && one.code != "run-not-finished" {
            *counts.entry(one.code).or_default() += 1;
        }
    }
    counts
}

/// Opens runs that are finished, so that there is something to walk on: their last lines go.
fn opened(sample: &Sample, dice: &Dice) -> Option<Sample> {
    let walks = matches!(dice.gesture % 30, 14..=20);
    let run = sample
        .job
        .runs
        .get(dice.thing % sample.job.runs.len().max(1))?;
    let last = run.steps.last()?.span;
    let mut text = sample.text.clone();
    if !walks || run.steps.len() < 3 {
        return None;
    }
    text.replace_range(last.start as usize..last.end as usize, "");
    Some(self::sample(text))
}

fn hold(old: &Sample, edit: &Edit) -> Result<Option<String>, TestCaseError> {
    let Ok(done) = apply(&old.text, &old.job, &old.network, edit) else {
        return Ok(None);
    };
    prop_assert_eq!(&changed(&old.text, &done), &done.text);
    let before = counts(&old.text);
    for (code, count) in counts(&done.text) {
        prop_assert!(
            count <= before.get(code).copied().unwrap_or(0),
            "{code}: {edit:?}"
        );
    }
    if let Some(line) = done.chosen {
        prop_assert!(
            (1..=done.text.lines().count() as u32 + 1).contains(&line),
            "{edit:?}"
        );
    }
    // What is outside the changes ends up in the new text as it was.
    let mut kept = 0;
    let mut at = 0;
    for change in &done.changes {
        kept += change.from as usize - at;
        at = change.to as usize;
        prop_assert!(done.text.is_char_boundary(0) && old.text.is_char_boundary(at));
    }
    kept += old.text.len() - at;
    let written: usize = done.changes.iter().map(|change| change.text.len()).sum();
    prop_assert_eq!(kept + written, done.text.len());
    Ok(Some(done.text))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn any_gestures_on_any_sample(dice in prop::collection::vec(dice(), 1..6)) {
        let all = &*SAMPLES;
        let first = &all[dice[0].sample % all.len()];
        let mut now = sample(first.text.clone());
        for dice in &dice {
            if let Some(opened) = opened(&now, dice) {
                now = opened;
            }
            if let Some(text) = hold(&now, &gesture(&now, dice))? {
                now = sample(text);
            }
        }
    }
}

/// The property above is no empty one: of a fixed set of gestures many are made.
#[test]
fn many_gestures_are_made() {
    let mut made = [0; 30];
    for (gesture_at, made) in made.iter_mut().enumerate() {
        for thing in 0..40 {
            let dice = Dice {
                sample: 0,
                gesture: gesture_at,
                thing,
                other: thing / 2,
                at: [1000.0, 500.0],
                far: [2500.0, 1800.0],
                within: 80.0,
                words: match gesture_at {
                    12 => "X9",
                    18 | 19 => "up 2'",
                    23 => "2\"",
                    24 => "1:60",
                    25 => "ball-valve",
                    26 => "main floor -9\"",
                    27 => "note \"as found\"",
                    28 => "level loft floor 40'",
                    _ => "5'",
                }
                .to_owned(),
                yes: thing % 2 == 0,
            };
            // The half bath in a ranch house: walls, fixtures, runs of four systems.
            let named = |sample: &&Sample| sample.text.starts_with("# A half bath");
            let sample = SAMPLES.iter().find(named).unwrap();
            let edit = gesture(sample, &dice);
            let done = match opened(sample, &dice) {
                Some(opened) => hold(&opened, &edit),
                None => hold(sample, &edit),
            };
            *made += usize::from(done.unwrap().is_some());
        }
    }
    // Its fixtures have the same on both sides, so that there is nothing to mirror.
    let never: Vec<usize> = (0..30).filter(|&k| made[k] == 0).collect();
    assert_eq!(never, [9], "{made:?}");
}
