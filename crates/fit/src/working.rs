//! The sum by which a piece is cut, line by line: centre to centre, less what fittings take, is what the saw leaves.

use crate::model::{Straight, Takeout};

/// Returns the working of a straight: what is added or taken off, in words, with the length, mm; what is taken off is negative.
///
/// The lines down to the last before `cut` add up to `cut`. Where several pieces make the straight, `cut in all` stands
/// in its place and each piece follows by its number. Where a dimension is missing nothing can be cut: the lines end
/// with what is known, and [`Takeout::Missing`] says what is to be measured.
pub fn working(straight: &Straight) -> Vec<(String, f64)> {
    let mut lines = vec![("centre to centre".to_owned(), straight.centre_mm)];
    let takeouts = straight.takeouts.iter().flat_map(|takeout| match takeout {
        Takeout::Known(parts) => parts.as_slice(),
        Takeout::Missing(_) => &[],
    });
    let taken = takeouts.chain(&straight.coupling_mm);
    lines.extend(taken.map(|part| (part.what.clone(), -part.mm)));
    let cuts: Option<Vec<f64>> = straight.pieces.iter().map(|piece| piece.cut_mm).collect();
    let Some(cuts) = cuts.filter(|cuts| !cuts.is_empty()) else {
        return lines;
    };
    let one = cuts.len() == 1;
    let name = if one { "cut" } else { "cut in all" };
    lines.push((name.to_owned(), cuts.iter().sum()));
    if !one {
        let pieces = straight.pieces.iter().zip(cuts);
        lines.extend(pieces.map(|(piece, mm)| (format!("piece {}", piece.mark), mm)));
    }
    lines
}
