//! What is handed out: every member of a class gets sheets, whatever room its lettering needs.

use wyeline_lesson::mark::{Rubric, mark_exercise};
use wyeline_lesson::{Code, Drawing, Exercise, Level, handout};

/// A class as an instructor has it: twenty of one seed, at each level.
#[test]
fn every_member_of_a_class_of_twenty_has_its_sheets() {
    for level in Level::all() {
        for member in 0..20 {
            let code = Code::new(level, "ipc-2021", 7, member).expect("a code");
            let exercise = Exercise::of(code).expect("an exercise");
            let made = handout::handout(&exercise, Rubric::published(), 4);
            let made = made.unwrap_or_else(|error| panic!("{code}: {error}"));
            assert_eq!(
                made.keys.len(),
                3,
                "{code}: key, key from four corners, marking sheet"
            );
            assert!(made.learner.len() >= 2, "{code}: plan and grid");
        }
    }
}

/// A drawing is marked for what it is: one that lies right but for a pipe left out is unfinished, not drawn at another scale.
#[test]
fn a_pipe_left_out_leaves_the_others_right() {
    for level in [2, 3, 5] {
        for seed in 0..12 {
            let level = Level::new(level).expect("a level");
            let exercise = Exercise::of(Code::new(level, "ipc-2021", seed, 0).expect("a code"))
                .expect("an exercise");
            // The longest line, for that is missed most.
            let long = |at: &usize| {
                exercise.figure.lines[*at]
                    .from
                    .distance(exercise.figure.lines[*at].to)
            };
            let longest = (0..exercise.figure.lines.len())
                .max_by(|one, other| long(one).total_cmp(&long(other)));
            let mut figure = exercise.figure.clone();
            figure.lines.remove(longest.expect("it has lines"));
            let mut drawing =
                Drawing::of_key(&figure, exercise.corner, exercise.scale, exercise.pitch_mm);
            drawing.corner = Some(exercise.corner.word().to_owned());
            let marks = mark_exercise(&exercise, &drawing, Rubric::published());
            let wrong = [
                "wrong-length",
                "wrong-way",
                "turned",
                "mirrored",
                "off-angle",
            ];
            let named: Vec<&str> = marks
                .faults
                .iter()
                .map(|fault| fault.name.as_str())
                .collect();
            assert!(
                !named.iter().any(|name| wrong.contains(name)),
                "{} {named:?}",
                exercise.name()
            );
            let missing = ["pipe-missing", "vent-missing", "drop-missing"];
            assert!(
                named.iter().any(|name| missing.contains(name)),
                "{} {named:?}",
                exercise.name()
            );
        }
    }
}
