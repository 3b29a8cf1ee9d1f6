//! Turns an exercise's number into choices that are the same on every machine and in every later version.
//!
//! ChaCha with 8 rounds (D. J. Bernstein, 2008), whose stream is fixed by its definition; how a word of it becomes a choice stands here.

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};

/// A source of choices.
#[derive(Clone, Debug)]
pub struct Dice(ChaCha8Rng);

impl Dice {
    /// The choices of an exercise's level, seed and place in its class; `attempt` counts layouts that were thrown away before.
    pub fn new(level: u8, seed: u32, member: u16, attempt: u32) -> Self {
        let mut key = [0; 32];
        key[0] = level;
        key[4..8].copy_from_slice(&seed.to_le_bytes());
        key[8..10].copy_from_slice(&member.to_le_bytes());
        key[12..16].copy_from_slice(&attempt.to_le_bytes());
        Self(ChaCha8Rng::from_seed(key))
    }

    /// A whole number from `low` to `high`, both included; `low` where `high` is below it.
    pub fn whole(&mut self, low: i64, high: i64) -> i64 {
        let span = u64::try_from(high - low).map_or(1, |span| span + 1);
        // The high half of the product: no number is favoured by more than 2^-32 for the spans used here.
        let scaled = (u128::from(self.0.next_u64()) * u128::from(span)) >> 64;
        low + i64::try_from(scaled).unwrap_or(0)
    }

    /// A place among so many; the first where there is none.
    fn below(&mut self, count: usize) -> usize {
        let last = i64::try_from(count).unwrap_or(i64::MAX) - 1;
        usize::try_from(self.whole(0, last)).unwrap_or(0)
    }

    /// One of two.
    pub fn coin(&mut self) -> bool {
        self.whole(0, 1) == 1
    }

    /// One of several. There has to be at least one.
    pub fn pick<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        &of[self.below(of.len())]
    }

    /// The same things in another order.
    pub fn shuffle<T>(&mut self, things: &mut [T]) {
        for last in (1..things.len()).rev() {
            things.swap(last, self.below(last + 1));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_number_of_a_span_comes_about_as_often() {
        let mut dice = Dice::new(3, 7, 0, 0);
        let mut counts = [0; 6];
        for _ in 0..6000 {
            counts[dice.whole(1, 6) as usize - 1] += 1;
        }
        // 1000 expected, standard deviation sqrt(6000 * 1/6 * 5/6) = 29: five of them either way.
        assert!(
            counts.iter().all(|count| (855..=1145).contains(count)),
            "{counts:?}"
        );
    }

    #[test]
    fn another_member_of_a_class_gets_other_choices() {
        let row = |member| {
            let mut dice = Dice::new(3, 7, member, 0);
            (0..8).map(|_| dice.whole(0, 999)).collect::<Vec<_>>()
        };
        assert_eq!(row(1), row(1));
        assert_ne!(row(1), row(2));
    }
}
