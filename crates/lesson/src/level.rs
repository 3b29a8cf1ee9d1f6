//! The levels of learning, from blocks on the axes to a small shop; what each asks stands in `data/levels.toml`.

use std::sync::LazyLock;

use serde::Deserialize;

/// A level, by its number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Level(u8);

/// What a level is about.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LevelFacts {
    /// Its name.
    pub name: String,
    /// What is learnt by it, in one sentence.
    pub learnt: String,
    /// What the learner is told to do, in plain words.
    pub brief: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    /// Where the order comes from.
    #[expect(dead_code, reason = "it stands in the file for whoever reads it")]
    source: String,
    level: Vec<LevelFacts>,
}

static LEVELS: LazyLock<Vec<LevelFacts>> = LazyLock::new(|| {
    let file: File =
        toml::from_str(include_str!("../data/levels.toml")).expect("our own file, read by a test");
    file.level
});

impl Level {
    /// The level of a number, from 1.
    pub fn new(number: u8) -> Option<Self> {
        (1..=LEVELS.len())
            .contains(&usize::from(number))
            .then_some(Self(number))
    }
    /// All of them, the easiest first.
    pub fn all() -> Vec<Self> {
        (1..=LEVELS.len() as u8).map(Self).collect()
    }
    /// Its number, from 1.
    pub fn number(self) -> u8 {
        self.0
    }
    /// What it is about.
    pub fn facts(self) -> &'static LevelFacts {
        &LEVELS[usize::from(self.0) - 1]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_are_nine_levels_and_each_says_what_it_asks() {
        assert_eq!(Level::all().len(), 9);
        assert_eq!((Level::new(0), Level::new(10)), (None, None));
        for level in Level::all() {
            let facts = level.facts();
            assert!(
                [&facts.name, &facts.learnt, &facts.brief]
                    .iter()
                    .all(|words| !words.is_empty())
            );
        }
    }
}
