//! Facts of `data/rooms.toml`, and a row of fixtures along a wall laid out by them.

use std::sync::LazyLock;

use serde::Deserialize;

use super::turned::feet;

/// What rooms are made of. Inches.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Facts {
    /// Names of houses.
    pub names: Vec<String>,
    /// A door's leaf into a bathroom.
    pub bath_door: i64,
    /// A door's leaf into a shop.
    pub shop_door: i64,
    /// Walls that stacks stand in.
    pub wet: Vec<Wall>,
    /// All other walls.
    pub dry: Wall,
    fixture: Vec<Kind>,
}

/// A wall.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wall {
    /// Half its thickness.
    pub half: i64,
}

/// A kind of fixture.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Kind {
    #[serde(rename = "kind")]
    name: String,
    /// The first part of its tag.
    pub letters: String,
    /// What a single pipe to it is in.
    #[serde(default)]
    pub room: String,
    /// Kept free on each side of its centre.
    pub side: i64,
    /// How far it stands out from the wall.
    pub depth: i64,
    #[serde(default)]
    facts: String,
    ports: String,
    #[expect(dead_code, reason = "it stands in the file for whoever reads it")]
    how: String,
}

static FACTS: LazyLock<Facts> = LazyLock::new(|| {
    toml::from_str(include_str!("../../data/rooms.toml")).expect("our own file, read by a test")
});

/// The facts.
pub fn facts() -> &'static Facts {
    &FACTS
}

/// A kind of fixture; only those of the file are asked for.
pub fn kind(name: &str) -> &'static Kind {
    let all = &facts().fixture;
    all.iter().find(|kind| kind.name == name).unwrap_or(&all[0])
}

impl Kind {
    /// How its ports are told where half its wall is `half` thick; `left` is the hand of its left side.
    pub fn ports(&self, half: i64, left: &str) -> String {
        // In a wet wall flange and bowl lie 18 in, and 12 or 18 in, from its centre; a bath's tail as far from the wall at its end as the flange.
        let (flange, bowl) = match half {
            0..=3 => (12, 9),
            4 | 5 => (18 - half, 12 - half),
            _ => (18 - half, 18 - half),
        };
        let told = self.ports.replace("{flange}", &feet(flange));
        let told = told.replace("{bowl}", &feet(bowl)).replace("{end}", left);
        let told = told.replace("{tail}", &feet(12 + half));
        [told.as_str(), self.facts.as_str()]
            .join(" ")
            .trim_end()
            .to_owned()
    }
}

/// The next multiple of 6 in.
pub fn grid(inches: i64) -> i64 {
    (inches + 5).div_euclid(6) * 6
}

/// Centres of fixtures side by side along a wall, in from the centre of the wall at the row's west end, and the room's least width. `more` is
/// added before each fixture. Fixtures with two supplies stand 3 in off the grid where `paired`, so that the supplies lie on it.
pub fn row(kinds: &[&str], more: &[i64], paired: bool) -> (Vec<i64>, i64) {
    // IPC 2021 405.3.1, UPC 2021 402.5: 30 in between centres.
    const APART: i64 = 30;
    let mut at: Vec<i64> = Vec::new();
    let mut last: Option<(i64, i64)> = None;
    for (name, more) in kinds.iter().zip(more) {
        let side = kind(name).side;
        let from = match last {
            None => facts().dry.half + side,
            Some((at, before)) => at + APART.max(side + before),
        };
        let off = if paired && *name != "water-closet" {
            3
        } else {
            0
        };
        let here = grid(from + more - off) + off;
        at.push(here);
        last = Some((here, side));
    }
    let width = last.map_or(0, |(at, side)| grid(at + side + facts().dry.half));
    (at, width)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_is_read_and_names_are_all_different() {
        let mut names = facts().names.clone();
        names.sort();
        names.dedup();
        assert_eq!(names.len(), 32);
    }

    #[test]
    fn a_closets_flange_is_a_closets_rough_in() {
        for wet in &facts().wet {
            assert!([10, 12, 14].contains(&(18 - wet.half)));
        }
    }

    /// 3 + 15 = 18 in from the wall's centre; 30 in on; 15 + 18 = 33, on the grid 36 in; then 18 + 3 = 21, on the grid 24 in.
    #[test]
    fn a_row_keeps_what_codes_ask_beside_each() {
        let kinds = ["water-closet", "lavatory", "shower"];
        assert_eq!(row(&kinds, &[0, 0, 0], false), (vec![18, 48, 84], 108));
    }
}
