//! The letters that questions point with: each thing has one, whatever is asked of it.

use std::collections::BTreeMap;

use super::{At, Lettered};

/// Letters in their order; I and O are left out, for they look like figures.
pub const LETTERS: &str = "ABCDEFGHJKLMNPQRSTUVWXYZ";

/// The letters that are set.
#[derive(Default)]
pub(crate) struct Letters(BTreeMap<At, char>);

impl Letters {
    /// The letters of these things, new ones where they have none; nothing at all where not enough are left.
    pub fn of(&mut self, things: &[At]) -> Option<Vec<Lettered>> {
        let new = things.iter().filter(|at| !self.0.contains_key(at)).count();
        if self.0.len() + new > LETTERS.len() {
            return None;
        }
        let set = things.iter().map(|&at| {
            let next = self.0.len();
            let letter = *self
                .0
                .entry(at)
                .or_insert_with(|| char::from(LETTERS.as_bytes()[next]));
            Lettered { letter, at }
        });
        Some(set.collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thing_keeps_its_letter_and_letters_come_to_an_end() {
        let mut letters = Letters::default();
        let first = letters
            .of(&[At::Edge(7), At::Edge(9)])
            .expect("two are left");
        assert_eq!((first[0].letter, first[1].letter), ('A', 'B'));
        let again = letters
            .of(&[At::Edge(9), At::Edge(8)])
            .expect("one is left");
        assert_eq!((again[0].letter, again[1].letter), ('B', 'C'));
        // 26 letters without I and O are 24; three are gone.
        let rest: Vec<At> = (100..121).map(At::Edge).collect();
        assert!(letters.of(&rest).is_some());
        assert!(letters.of(&[At::Edge(200)]).is_none());
        assert!(letters.of(&[At::Edge(7)]).is_some());
    }
}
