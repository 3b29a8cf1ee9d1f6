//! The shipped examples go clean through the lists: each junction is made by stock fittings, each piece of pipe can be
//! cut. What is broken on purpose is named here, with what is still said of it.

mod common;

use common::{Ran, examples, run};
use serde_json::Value;

const VERBS: [&str; 3] = ["materials", "cuts", "roughin"];
/// A page of mistakes, and a drain that is too high under its closet.
const BROKEN: [&str; 2] = ["mistakes", "slab-house-square"];

fn lists(verb: &str, example: &str) -> (Ran, Vec<Value>) {
    let ran = run(&[verb, &format!("examples/{example}.wye"), "--json"]);
    let all: Value = serde_json::from_str(ran.text()).expect("JSON");
    let mistakes = all["mistakes"].as_array().expect("a list").clone();
    (ran, mistakes)
}

/// The names of what is said with a severity.
fn names<'a>(mistakes: &'a [Value], severity: &str) -> Vec<&'a str> {
    let of = mistakes.iter().filter(|one| one["severity"] == severity);
    of.map(|one| one["code"].as_str().expect("a name"))
        .collect()
}

/// The jobs that break a rule of the code are plumbed like the others: stock fittings make what is not allowed, too.
#[test]
fn examples_are_built_of_stock_fittings() {
    let built = examples()
        .into_iter()
        .filter(|name| !BROKEN.contains(&&**name));
    for example in built {
        for verb in VERBS {
            let (ran, mistakes) = lists(verb, &example);
            let said = names(&mistakes, "mistake");
            assert_eq!(
                (ran.code, said),
                (0, vec![]),
                "{verb} {example}: {mistakes:#?}"
            );
        }
    }
}

/// Nor does any hang on how long an estimated fitting turns out to be. Of one, drawn without a code, that is said.
#[test]
fn examples_do_not_lie_on_the_edge() {
    let built = examples()
        .into_iter()
        .filter(|name| !BROKEN.contains(&&**name));
    for example in built {
        let (_, mistakes) = lists("cuts", &example);
        let expected: &[&str] = match &*example {
            "flat-bath" => &["no-code"],
            _ => &[],
        };
        assert_eq!(
            names(&mistakes, "warning"),
            expected,
            "{example}: {mistakes:#?}"
        );
    }
}

/// The square drain arrives 1 in too high under WC1, and that inch is what the pipe from flange to closet bend lacks. By
/// hand: the invert lies at -8 in, the centre of 3 in pipe (bore 3.068, ASTM D1785) at -6.466, so that 6-7/16 in are
/// left; a flange of 1-1/2, two sockets of 1-1/2 and a bend of 3-1/16 in need 7-9/16.
#[test]
fn the_square_drain_leaves_no_room_under_its_closet() {
    for verb in VERBS {
        let (ran, mistakes) = lists(verb, "slab-house-square");
        assert_eq!(ran.code, 1, "{verb}");
        assert_eq!(names(&mistakes, "mistake"), ["piece-too-short"], "{verb}");
    }
    let (_, mistakes) = lists("cuts", "slab-house-square");
    let short = mistakes.iter().find(|one| one["code"] == "piece-too-short");
    let said = short.expect("it is said")["message"]
        .as_str()
        .expect("words");
    assert!(
        said.contains("need 7 9/16\"") && said.contains("there are 6 7/16\""),
        "{said}"
    );
    // The hall's closet is nearer to what estimates leave open; the miss itself is told first.
    let others = names(&mistakes, "warning");
    assert_eq!(others, ["misses-height", "piece-may-be-short"]);
}

/// Among the mistakes of the page one is a junction: a step that is not understood leaves two pipes one upon the other.
#[test]
fn the_page_of_mistakes_has_one_junction_that_nothing_makes() {
    for verb in VERBS {
        let (ran, mistakes) = lists(verb, "mistakes");
        assert_eq!(ran.code, 1, "{verb}");
        let said = names(&mistakes, "mistake");
        let fitting = said.iter().filter(|name| **name == "no-such-fitting");
        assert_eq!(fitting.count(), 1, "{verb}: {said:?}");
    }
}
