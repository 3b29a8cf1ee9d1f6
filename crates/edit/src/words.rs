//! Lengths, coordinates and sizes between millimetres and the words of the job.
//!
//! What a hand sets is rounded to whole inches or centimetres, what follows from other things to 1/16 in or 1 mm.

use wyeline_job::model::{Compass, System};
use wyeline_job::words::{COMPASS, look_up, system};
use wyeline_units::{Len, UnitSystem};

use crate::Refusal;

/// The nearest whole inch or centimetre.
pub fn coarse(mm: f64, units: UnitSystem) -> Len {
    let step = if units.is_metric() {
        Len::millimetres(10)
    } else {
        Len::inches(1)
    };
    rounded(mm, step)
}

/// The nearest 1/16 in or millimetre.
pub fn fine(mm: f64, units: UnitSystem) -> Len {
    let step = if units.is_metric() {
        Len::millimetres(1)
    } else {
        Len::sixty_fourths(4)
    };
    rounded(mm, step)
}

fn rounded(mm: f64, step: Len) -> Len {
    step * ((mm / step.mm()).round() as i64)
}

/// A length as the job writes it: `5'3-1/2"`, `5'`, `9"`, `1600` in mm, `1.6m` in m.
pub fn length(len: Len, units: UnitSystem) -> String {
    let words = len.exact(units);
    match units {
        UnitSystem::FeetInches if len == Len::ZERO => "0'".to_owned(),
        UnitSystem::FeetInches => words
            .strip_suffix("'0\"")
            .map_or_else(|| words.clone(), |feet| format!("{feet}'")),
        UnitSystem::Inches => words,
        UnitSystem::Millimetres => words
            .strip_suffix("mm")
            .map_or_else(|| words.clone(), ToOwned::to_owned),
        UnitSystem::Metres if len == Len::ZERO => "0".to_owned(),
        UnitSystem::Metres => {
            let whole = len.units() % Len::millimetres(1).units() == 0;
            if !whole {
                return words;
            }
            let shown = len.show(units, 1);
            let short = shown.trim_end_matches('0').trim_end_matches('.');
            format!("{short}m")
        }
    }
}

/// `EAST,NORTH`.
pub fn place(at: [Len; 2], units: UnitSystem) -> String {
    format!("{},{}", length(at[0], units), length(at[1], units))
}

/// A height above or below a surface: `-9"`, `+16"`, nothing for 0.
pub fn signed(len: Len, units: UnitSystem) -> String {
    if len == Len::ZERO {
        return String::new();
    }
    let sign = if len < Len::ZERO { "-" } else { "+" };
    format!(" {sign}{}", length(len.abs(), units))
}

/// A length that was typed, above 0.
pub fn read_length(typed: &str, units: UnitSystem) -> Result<Len, Refusal> {
    let typed = typed.trim();
    let reading = Len::read(typed, units)
        .map_err(|error| Refusal::new(format!("`{typed}` is not a length"), error.to_string()))?;
    if reading.bytes < typed.len() {
        return Err(Refusal::new(
            format!("`{typed}` is not a length"),
            "expected nothing after the length",
        ));
    }
    if reading.len <= Len::ZERO {
        return Err(Refusal::new(
            format!("`{typed}` is no length to go"),
            "expected a length above 0",
        ));
    }
    Ok(reading.len)
}

/// The system of that word.
pub fn read_system(word: &str) -> Result<System, Refusal> {
    system(word).ok_or_else(|| {
        let all: Vec<&str> = System::ALL.iter().map(|system| system.word()).collect();
        Refusal::new(
            format!("there is no system `{word}`"),
            format!("one of {}", all.join(", ")),
        )
    })
}

/// The compass word's way.
pub fn read_compass(word: &str) -> Result<Compass, Refusal> {
    look_up(&COMPASS, word).ok_or_else(|| {
        let all: Vec<&str> = COMPASS.iter().map(|(word, _)| *word).collect();
        Refusal::new(
            format!("`{word}` is no compass word"),
            format!("one of {}", all.join(", ")),
        )
    })
}

/// The unit vector of a compass word.
pub fn way(compass: Compass) -> [f64; 2] {
    wyeline_network::way(compass).into()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Lengths come out as people write them, and read back as the same length.
    #[test]
    fn lengths_read_back() {
        let told = [
            (Len::inches(63), UnitSystem::FeetInches, "5'3\""),
            (Len::feet(5), UnitSystem::FeetInches, "5'"),
            (Len::feet(10), UnitSystem::FeetInches, "10'"),
            (Len::inches(-9), UnitSystem::FeetInches, "-9\""),
            (Len::ZERO, UnitSystem::FeetInches, "0'"),
            (
                Len::sixty_fourths(127 * 32),
                UnitSystem::FeetInches,
                "5'3-1/2\"",
            ),
            (Len::sixty_fourths(127 * 32), UnitSystem::Inches, "63-1/2\""),
            (Len::millimetres(1600), UnitSystem::Millimetres, "1600"),
            (Len::millimetres(1600), UnitSystem::Metres, "1.6m"),
            (Len::millimetres(10_000), UnitSystem::Metres, "10m"),
        ];
        for (len, units, words) in told {
            assert_eq!(length(len, units), words);
            assert_eq!(Len::read(words, units).unwrap().len, len, "{words}");
        }
    }
}
