//! Makes layouts: choices become the text of a job, one file a kind of layout.
//!
//! A layout is kept only where it builds without a doubt, breaks no rule of the code of practice, can be seen well from the corner chosen, and is as
//! hard as the others of its class. What is free is thrown anew otherwise, then the member's own number: no two members share one.

mod bath;
mod choices;
mod hard;
mod rooms;
mod single;
mod storeys;
mod told;
mod turned;
mod water;

use std::fmt;

use wyeline_draw::{Corner, Part, best};
use wyeline_units::Scale;
use wyeline_whole::{Built, Judged};

use crate::code::{Code, CodeError, MEMBERS};
use crate::dice::Dice;
use crate::level::Level;
use choices::{Choices, scattered};
pub use hard::Difficulty;
use told::Told;

/// A layout: the job of an exercise, and from where it is drawn.
#[derive(Clone, Debug)]
pub struct Layout {
    /// Its code.
    pub code: Code,
    /// What it is called: an invented house and the room.
    pub title: String,
    /// The job that is to be drawn, as text.
    pub text: String,
    /// What a lawful building has besides, and another sheet shows: runs that may follow the job's text. Empty for most.
    pub beside: String,
    /// What the text says.
    pub built: Built,
    /// The corner the learner draws from.
    pub corner: Corner,
    /// The scale.
    pub scale: Scale,
    /// How hard it is.
    pub difficulty: Difficulty,
}

/// Why there is no such layout.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MakeError {
    /// The code of an exercise cannot say it.
    Code(CodeError),
    /// Level 1 is of blocks, which have no layout.
    Blocks,
    /// The code of practice does not hold enough to judge such a job, or jobs by it are told in other sizes.
    NotCarried {
        /// The code of practice, as it is printed.
        practice: &'static str,
        /// The level.
        level: u8,
    },
    /// None of all that were tried keeps the rules.
    NoneFound,
}

impl fmt::Display for MakeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Code(error) => error.fmt(f),
            Self::Blocks => f.write_str("level 1 is of blocks: they have no pipes to lay out"),
            Self::NotCarried { practice, level } => write!(
                f,
                "{practice} cannot carry level {level} here: layouts are told in feet, inches and inch sizes and held against ipc-2021 or upc-2021"
            ),
            Self::NoneFound => {
                f.write_str("no layout was found that keeps all rules: take another seed")
            }
        }
    }
}

impl std::error::Error for MakeError {}

impl From<CodeError> for MakeError {
    fn from(error: CodeError) -> Self {
        Self::Code(error)
    }
}

/// What a kind of layout is told for.
#[derive(Clone, Copy, Debug)]
struct Kind {
    /// The code of practice.
    code: &'static str,
}

/// What makes a level's layouts.
struct Maker {
    make: fn(Kind, &mut Choices) -> Option<Told>,
    /// Fewest crossings, as seen from the learner's corner.
    crossings: u32,
    /// The scale, one for all of a level.
    scale: Scale,
}

/// Codes of practice by which layouts are made.
const PRACTICES: [&str; 2] = ["ipc-2021", "upc-2021"];
/// How often what is free is thrown anew for one number.
const THROWS: u32 = 2;
/// How many numbers a member has at most.
const NUMBERS: u64 = 400;

/// The maker of a level; none for blocks.
fn maker(level: Level) -> Option<Maker> {
    type Make = fn(Kind, &mut Choices) -> Option<Told>;
    // 1/2 and 1/4 in to the foot: a grid of 1/4 in along the axes is then 6 in or 1 ft.
    let (half, quarter) = (Scale(24), Scale(48));
    let (make, crossings, scale): (Make, u32, Scale) = match level.number() {
        2 => (single::axes, 0, half),
        3 => (bath::waste, 0, half),
        4 => (bath::forty_fives, 0, half),
        5 => (bath::vented, 0, half),
        6 => (water::bath, 4, quarter),
        7 => (single::rolling, 0, half),
        8 => (storeys::storeys, 0, quarter),
        9 => (water::shop, 12, quarter),
        _ => return None,
    };
    Some(Maker {
        make,
        crossings,
        scale,
    })
}

/// Makes the layout of a code.
///
/// # Errors
/// The level has none, the code of practice cannot carry it, or none was found.
pub fn layout(code: Code) -> Result<Layout, MakeError> {
    let maker = maker(code.level).ok_or(MakeError::Blocks)?;
    let practice = PRACTICES
        .into_iter()
        .find(|id| *id == code.practice().id())
        .ok_or_else(|| MakeError::NotCarried {
            practice: code.practice().name(),
            level: code.level.number(),
        })?;
    let kind = Kind { code: practice };
    let (level, seed, member) = (code.level.number(), code.seed(), code.member());
    // What a class shares hangs on nothing of the member: a place that no member has.
    let shared = Dice::new(level, seed, MEMBERS, 0);
    let told_by = |number, free| {
        let mut choices = Choices::new(shared.clone(), free, number);
        let told = (maker.make)(kind, &mut choices);
        (told, choices)
    };
    // The first that comes tells for the whole class how many numbers there are (all digits are taken only where a layout came of them) and how
    // many pipes and turns there have to be.
    let (told, choices) = (0..NUMBERS)
        .map(|number| told_by(number * 7919, shared.clone()))
        .find_map(|(told, choices)| Some((told?, choices)))
        .ok_or(MakeError::NoneFound)?;
    let ways = choices.ways();
    let plain = hard::plain(&Built::of(told.text.as_bytes(), |_| ()).network);
    let mut throw = 0;
    for place in 0..NUMBERS {
        let place = u64::from(member) + place * u64::from(MEMBERS);
        if place >= ways {
            break;
        }
        let number = scattered(place, seed, ways);
        for _ in 0..THROWS {
            let (told, mut choices) = told_by(number, Dice::new(level, seed, member, throw));
            throw += 1;
            let Some(told) = told else { break };
            if let Some(layout) = kept(code, &maker, plain, &told, &mut choices.free) {
                return Ok(layout);
            }
        }
    }
    Err(MakeError::NoneFound)
}

/// Makes the layouts of a class: `count` members of one seed, as hard as one another and all different.
///
/// # Errors
/// As for [`layout`]; or the class has more members than codes can say.
pub fn class(
    level: Level,
    practice: &str,
    seed: u32,
    count: u16,
) -> Result<Vec<Layout>, MakeError> {
    (0..count)
        .map(|member| layout(Code::new(level, practice, seed, member)?))
        .collect()
}

/// The layout of a job that was told, where it keeps all rules and has the pipes and turns of its class.
fn kept(
    code: Code,
    maker: &Maker,
    plain: Difficulty,
    told: &Told,
    free: &mut Dice,
) -> Option<Layout> {
    let text = wyeline_job::tidy(&told.text);
    let built = Built::of(text.as_bytes(), |_| ());
    if !built.diagnostics.is_empty() || !built.network.doubts.is_empty() {
        return None;
    }
    if hard::plain(&built.network) != plain {
        return None;
    }
    let scores = best::best(&built.network, &Part::default(), maker.scale).scores;
    let mut seen: Vec<(Corner, u32)> = scores
        .iter()
        .filter(|score| {
            score.coinciding_mm < 0.01 && score.hidden_junctions == 0 && score.short_travels == 0
        })
        .filter(|score| {
            (maker.crossings..=maker.crossings + plain.spread(maker.crossings))
                .contains(&score.crossings)
        })
        .filter(|score| hard::turns_show(&built.network, score.corner))
        .filter(|score| hard::fits(&built.network, score.corner, maker.scale))
        .map(|score| (score.corner, score.crossings))
        .collect();
    if seen.is_empty() || !lawful(&text, &told.beside) {
        return None;
    }
    free.shuffle(&mut seen);
    let (corner, crossings) = seen[0];
    let title = built.job.title.job.as_ref()?.text.clone();
    Some(Layout {
        code,
        title,
        beside: told.beside.clone(),
        corner,
        scale: maker.scale,
        difficulty: Difficulty { crossings, ..plain },
        text,
        built,
    })
}

/// Whether a job, with what another sheet shows of it, breaks no rule of the code it names.
fn lawful(text: &str, beside: &str) -> bool {
    let all = [text, beside].concat();
    let mut built = Built::of(all.as_bytes(), |_| ());
    let Ok(judged) = Judged::of(&mut built, None) else {
        return false;
    };
    built.diagnostics.is_empty() && judged.check(&built).findings.is_empty()
}

/// An invented house and what is drawn of it.
fn title(choices: &mut Choices, what: &str) -> String {
    format!("{}, {what}", choices.free.pick(&rooms::facts().names))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers name different layouts only where all take the same digits; a class of 1,024 needs as many, and more where some are thrown away.
    #[test]
    fn all_layouts_of_a_class_take_the_same_digits() {
        let kind = Kind { code: "ipc-2021" };
        for maker in Level::all().into_iter().filter_map(maker) {
            for seed in 0..8 {
                let shared = Dice::new(2, seed, MEMBERS, 0);
                let ways = (0..200).filter_map(|number| {
                    let mut choices = Choices::new(shared.clone(), shared.clone(), number * 7919);
                    (maker.make)(kind, &mut choices).map(|_| choices.ways())
                });
                let ways: Vec<u64> = ways.collect();
                assert!(ways.len() > 20 && ways.iter().all(|way| way == &ways[0]));
                assert!(ways[0] > 8 * u64::from(MEMBERS), "{}", ways[0]);
            }
        }
    }
}
