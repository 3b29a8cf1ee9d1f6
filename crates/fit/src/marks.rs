//! Marks by which lists and drawing call the same thing: pieces `P12`, fittings `F3`.
//!
//! In: what fitting gives, in its order. Out: a number for each fitting that is to be set; pieces carry theirs.

use std::collections::HashMap;

use wyeline_network::Network;
use wyeline_network::model::{NodeIx, PipeIx};

use crate::model::{Fitted, Fitting, Straight};

/// Which pieces a pipe is cut in, and numbers of fittings, from 1 over the whole job, in the order of their nodes, couplings between pieces last.
#[derive(Clone, Debug, Default)]
pub struct Marks {
    numbers: HashMap<String, u32>,
    /// New pieces by the pipes of the network that they are cut for.
    pieces: HashMap<PipeIx, Vec<u32>>,
}

impl Marks {
    /// Numbers the fittings that are not there already.
    pub fn of(fitted: &Fitted) -> Self {
        let at_nodes = fitted.joints.iter().flat_map(|joint| &joint.fittings);
        let between = fitted.straights.iter().flat_map(|s| &s.couplings);
        let new = at_nodes.chain(between).filter(|fitting| !fitting.existing);
        let mut numbers = HashMap::new();
        for fitting in new {
            let next = numbers.len() as u32 + 1;
            numbers.entry(fitting.id.clone()).or_insert(next);
        }
        let mut pieces = HashMap::new();
        for straight in &fitted.straights {
            let new = straight.pieces.iter().filter(|piece| !piece.existing);
            let new: Vec<u32> = new.map(|piece| piece.mark).collect();
            pieces.extend(straight.pipes.iter().map(|&pipe| (pipe, new.clone())));
        }
        Self { numbers, pieces }
    }

    /// The new pieces that a pipe of the network is cut in: `P12`, `P12-P14`; nothing where there are none.
    pub fn pieces(&self, pipe: PipeIx) -> String {
        let pieces = self.pieces.get(&pipe);
        pieces.map_or_else(String::new, |pieces| several('P', pieces))
    }

    /// The number of a fitting by its id; nothing for what is there already.
    pub fn fitting(&self, id: &str) -> Option<u32> {
        self.numbers.get(id).copied()
    }

    /// What the drawing says at each node where fittings are set: `F3`, `F4-F6`.
    pub fn at_nodes(&self, fitted: &Fitted) -> Vec<(NodeIx, String)> {
        let joints = fitted.joints.iter().enumerate();
        let said = joints.map(|(at, joint)| {
            let numbers = self.numbers(&joint.fittings);
            (NodeIx(at as u32), several('F', &numbers))
        });
        said.filter(|(_, mark)| !mark.is_empty()).collect()
    }

    /// The numbers of fittings, those that are there already left out.
    pub fn numbers(&self, fittings: &[Fitting]) -> Vec<u32> {
        let fittings = fittings.iter();
        fittings
            .filter_map(|fitting| self.fitting(&fitting.id))
            .collect()
    }
}

/// What the drawing says of each straight that pieces are cut for, at its longest pipe: `P12`, `P12-P14`.
pub fn at_pipes(network: &Network, fitted: &Fitted, marks: &Marks) -> Vec<(PipeIx, String)> {
    let longest = |straight: &Straight| {
        let length = |pipe: &PipeIx| network.length_mm(network.pipe(*pipe));
        let pipes = straight.pipes.iter().copied();
        pipes.reduce(|best, pipe| {
            if length(&pipe) > length(&best) {
                pipe
            } else {
                best
            }
        })
    };
    let said = fitted.straights.iter().filter_map(|straight| {
        let pipe = longest(straight)?;
        Some((pipe, marks.pieces(pipe)))
    });
    said.filter(|(_, mark)| !mark.is_empty()).collect()
}

/// A piece's mark.
pub fn piece(number: u32) -> String {
    format!("P{number}")
}

/// Several marks in short: `P1-P3, P7`; two in a row stay two.
pub fn several(letter: char, numbers: &[u32]) -> String {
    let mut numbers = numbers.to_vec();
    numbers.sort_unstable();
    numbers.dedup();
    let rows = numbers.chunk_by(|a, b| a + 1 == *b);
    let words = rows.map(|row| match row {
        [first, _, .., last] => format!("{letter}{first}-{letter}{last}"),
        few => {
            let few = few.iter().map(|number| format!("{letter}{number}"));
            few.collect::<Vec<_>>().join(", ")
        }
    });
    words.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_in_a_row_are_told_in_short() {
        assert_eq!(several('P', &[7, 3, 1, 2]), "P1-P3, P7");
        assert_eq!(several('F', &[4, 5, 5]), "F4, F5");
        assert_eq!(several('F', &[]), "");
    }
}
