//! What a layout is free in: digits of the member's own number, which no other member shares, and the dice for the rest.
//!
//! A number below the product of all digits' counts is taken apart digit by digit (mixed radix), so two numbers differ in at least one choice.

use crate::dice::Dice;

/// Choices of one layout.
#[derive(Clone, Debug)]
pub struct Choices {
    /// What the whole class shares.
    pub shared: Dice,
    /// What may be anything.
    pub free: Dice,
    number: u64,
    ways: u64,
}

impl Choices {
    /// Choices by the set's dice, the member's dice and the member's number.
    pub fn new(shared: Dice, free: Dice, number: u64) -> Self {
        Self {
            shared,
            free,
            number,
            ways: 1,
        }
    }

    /// A digit of the member's own, 0 to `count` - 1. `count` may hang on what the class shares only.
    pub fn own(&mut self, count: u32) -> u32 {
        let count = u64::from(count.max(1));
        let digit = self.number % count;
        self.number /= count;
        self.ways = self.ways.saturating_mul(count);
        digit as u32
    }

    /// One of several, by a digit of the member's own.
    pub fn own_of<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.own(of.len() as u32) as usize]
    }

    /// How many numbers give different choices, as far as digits were taken.
    pub fn ways(&self) -> u64 {
        self.ways
    }
}

/// The number of the `place`th of all that there are below `ways`, in an order that hangs on `seed`: each once.
pub fn scattered(place: u64, seed: u32, ways: u64) -> u64 {
    // A step without a common divisor with the count meets every number once.
    let mut step = (2_654_435_761 + 2 * u64::from(seed)) % ways;
    while gcd(step, ways) != 1 {
        step += 1;
    }
    let first = u64::from(seed) * 40_503 % ways;
    ((u128::from(place) * u128::from(step) + u128::from(first)) % u128::from(ways)) as u64
}

fn gcd(a: u64, b: u64) -> u64 {
    if b == 0 { a } else { gcd(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_number_comes_once() {
        for (seed, ways) in [(0, 12), (7, 4096), (1_048_575, 1000)] {
            let mut all: Vec<u64> = (0..ways)
                .map(|place| scattered(place, seed, ways))
                .collect();
            all.sort_unstable();
            assert_eq!(all, (0..ways).collect::<Vec<_>>());
        }
    }

    #[test]
    fn numbers_below_the_product_differ_in_a_digit() {
        let digits = |number| {
            let dice = Dice::new(2, 0, 0, 0);
            let mut choices = Choices::new(dice.clone(), dice, number);
            let all = [choices.own(2), choices.own(4), choices.own(3)];
            assert_eq!(choices.ways(), 24);
            all
        };
        let mut all: Vec<_> = (0..24).map(digits).collect();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), 24);
    }
}
