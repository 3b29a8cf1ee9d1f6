//! What the job adds for waste.

use super::*;

const RUN: &str = "cold c\nstart 0',0' main floor +4'\nsize 1/2\"\nmaterial copper\neast 5'\nnorth 5'\nup 8'\ncap\n";

#[test]
fn none_is_made_up() {
    let (_, taken) = house(RUN);
    assert!(taken.lines.iter().all(|line| line.spare.is_none()));
    assert!(taken.notes[..].iter().any(|note| note.contains("no spare")));
}

/// What is told for a material goes before what is told for all, and stands apart from the amount.
#[test]
fn a_material_goes_first() {
    let (_, plain) = house(RUN);
    let (_, taken) = house(&format!("{RUN}spare 5 %\nspare 10 % for copper\n"));
    near(sum(&taken, What::Pipe), sum(&plain, What::Pipe));
    for line in of(&taken, What::Pipe) {
        near(line.spare.unwrap().value(), line.amount.value() / 10.0);
    }
}

/// Two elbows and a cap on two levels: 5 percent of each line is one piece, 5 percent of the two elbows is one too.
#[test]
fn counts_are_rounded_up_once() {
    let (_, taken) = house(&format!(
        "{RUN}cold d\nstart 0',0' upper floor +4'\nsize 1/2\"\nmaterial copper\neast 5'\nnorth 5'\ncap\nspare 5 %\n"
    ));
    let elbows = of(&taken, What::Fitting(Shape::Elbow90));
    assert_eq!(elbows.len(), 2);
    assert!(
        elbows
            .iter()
            .all(|line| line.spare == Some(Amount::Count(1)))
    );
    let whole = grouped(&taken.lines, By::Whole);
    assert_eq!(whole[0].0, Part::Whole);
    let elbows = whole[0]
        .1
        .iter()
        .find(|sum| sum.what == What::Fitting(Shape::Elbow90))
        .unwrap();
    assert_eq!(
        (elbows.amount, elbows.spare),
        (Amount::Count(3), Some(Amount::Count(1)))
    );
    assert!(
        elbows
            .from
            .iter()
            .all(|mark| matches!(mark, Mark::Fitting(_)))
    );
}
