//! Nothing is lost or made up between the drawing and the lines.

use super::*;

/// Lines divide what is cut, and lose none of it: by phase, system and level, plumb apart.
#[test]
fn lines_of_pipe_are_the_cuts() {
    for (name, text) in EXAMPLES {
        let (fit, taken) = take(text);
        let new = |straight: &&wyeline_fit::model::Straight| !straight.pieces[0].existing;
        let straights = fit.fitted.straights.iter().filter(new);
        let cut = straights.flat_map(|straight| {
            let length =
                |piece: &wyeline_fit::model::Piece| piece.cut_mm.unwrap_or(straight.centre_mm);
            straight
                .pieces
                .iter()
                .map(move |piece| length(piece).max(0.0))
        });
        let cut: f64 = cut.sum();
        assert!(cut > 0.0, "{name}");
        near(sum(&taken, What::Pipe), cut);
        for by in [By::Whole, By::Phase, By::System, By::Level] {
            let parts = grouped(&taken.lines, by);
            let pipe = parts
                .iter()
                .flat_map(|(_, sums)| sums)
                .filter(|sum| sum.what == What::Pipe);
            near(pipe.map(|sum| sum.amount.value()).sum(), cut);
        }
    }
}

/// Every fitting on the drawing that is not there already is on a line, and no other.
#[test]
fn lines_of_fittings_are_the_fittings() {
    for (name, text) in EXAMPLES {
        let (fit, taken) = take(text);
        let at_nodes = fit.fitted.joints.iter().flat_map(|joint| &joint.fittings);
        let between = fit
            .fitted
            .straights
            .iter()
            .flat_map(|straight| &straight.couplings);
        let new = at_nodes
            .chain(between)
            .filter(|fitting| !fitting.existing)
            .count();
        let counted = taken
            .lines
            .iter()
            .filter(|line| matches!(line.what, What::Fitting(_) | What::Flashing));
        let counted: f64 = counted.map(|line| line.amount.value()).sum();
        near(counted, new as f64);
        assert!(new > 0, "{name}");
    }
}

/// Two bends 3 in apart leave no room for pipe: of 5 ft, 3 in and 5 ft only the two long pieces are bought, each less
/// one 1/4 bend's leg of 2-5/16 in (2 in, ASTM D3311), and the list says which is not.
#[test]
fn a_piece_that_cannot_be_cut_is_not_bought() {
    let (fit, taken) = take(
        "job Short\nunits ft-in\nlevel main floor 0' ceiling 8'\nroof 10'\n\
         vent v\nstart 0',0' main floor +1'\nsize 2\"\nmaterial pvc\nslope level\neast 5'\nnorth 3\"\neast 5'\ncap\n",
    );
    let leg = 2.3125 * INCH;
    near(sum(&taken, What::Pipe), 2.0 * (5.0 * FOOT - leg));
    let short = fit.fitted.straights.iter().flat_map(|one| &one.pieces);
    let short = short.min_by(|a, b| a.cut_mm.partial_cmp(&b.cut_mm).unwrap());
    let mark = short.expect("three pieces").mark;
    let told = format!("P{mark} not counted: too short for the fittings at the ends.");
    assert!(taken.notes.contains(&told), "{:?}", taken.notes);
}

#[test]
fn each_line_leads_back_and_has_a_source() {
    for (name, text) in EXAMPLES {
        for line in take(text).1.lines {
            assert!(
                !line.from.is_empty() && !line.source.is_empty(),
                "{name}: {line:#?}"
            );
            assert!(line.amount.value() > 0.0, "{name}: {line:#?}");
        }
    }
}

/// The old pipe of a run counts nothing: 10 ft old, then 5 ft new up to its cap.
#[test]
fn what_is_there_is_not_bought() {
    let (_, taken) = house(
        "cold c\nstart 0',0' main floor +4'\nsize 3/4\"\nmaterial copper\nexisting\neast 10'\nnorth 1'\nnew\nnorth 5'\ncap\n",
    );
    let long = sum(&taken, What::Pipe);
    // The joint of old and new is a coupling that takes less than an inch of it.
    assert!(long <= 5.0 * FOOT && long > 4.0 * FOOT, "{long}");
}
