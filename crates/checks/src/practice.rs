//! Sizes of lumber and habits of the trade, from `data/practice.toml`; lengths in mm.

use std::sync::LazyLock;

use serde::Deserialize;
use wyeline_codes::How;

const INCH: f64 = 25.4;

/// Sizes of lumber and habits of the trade.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Practice {
    /// Joists.
    pub joists: Joists,
    /// Studs and the boards on them.
    pub studs: Studs,
    /// Showers.
    pub shower: Shower,
    /// Rough-in of closets.
    pub closet: Closet,
    /// Heights of ports.
    pub height: Vec<Height>,
}

/// Sawn joists.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Joists {
    depths: Vec<f64>,
    thick: f64,
    within: f64,
    /// Where it stands.
    pub document: String,
    /// How it was come by.
    pub how: How,
}

/// Studs.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Studs {
    widths: Vec<f64>,
    board: f64,
    spacing: f64,
    within: f64,
    /// Where it stands.
    pub document: String,
    /// How it was come by.
    pub how: How,
}

/// Shower pans.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Shower {
    least: f64,
    /// Where it stands.
    pub document: String,
    /// How it was come by.
    pub how: How,
}

/// Rough-in of closets.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Closet {
    rough_in: Vec<f64>,
    within: f64,
    /// Where it stands.
    pub document: String,
    /// How it was come by.
    pub how: How,
}

/// Usual heights of a kind's port.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Height {
    /// The kind.
    pub kind: String,
    /// The port.
    pub port: String,
    range: (f64, f64),
    /// Where it stands.
    pub document: String,
    /// How it was come by.
    pub how: How,
}

fn near(all: &[f64], mm: f64, within: f64) -> Option<f64> {
    let inches = mm / INCH;
    let mut all = all.iter().copied();
    // A length typed at the very limit may be rounded past it.
    all.find(|one| (inches - one).abs() <= within + 1e-6)
}

impl Joists {
    /// Whether a joist of this depth (mm) is sawn lumber.
    pub fn sawn(&self, depth: f64) -> bool {
        near(&self.depths, depth, self.within).is_some()
    }
    /// Thickness of one, mm.
    pub fn thick(&self) -> f64 {
        self.thick * INCH
    }
}

impl Studs {
    /// Width of the studs (mm) in a wall so thick between its finished faces, where it is one of studs.
    pub fn in_wall(&self, thick: f64) -> Option<f64> {
        let width = thick - 2.0 * self.board * INCH;
        near(&self.widths, width, self.within).map(|inches| inches * INCH)
    }
    /// The most they are apart, mm.
    pub fn spacing(&self) -> f64 {
        self.spacing * INCH
    }
}

impl Shower {
    /// Side of the least pan, mm.
    pub fn least(&self) -> f64 {
        self.least * INCH
    }
}

impl Closet {
    /// Whether closets are made for a flange so far (mm) from the wall.
    pub fn made_for(&self, mm: f64) -> bool {
        near(&self.rough_in, mm, self.within).is_some()
    }
}

impl Height {
    /// Lowest and highest, mm above the finished floor.
    pub fn range(&self) -> (f64, f64) {
        (self.range.0 * INCH, self.range.1 * INCH)
    }
}

/// The table.
pub fn practice() -> &'static Practice {
    static PRACTICE: LazyLock<Practice> = LazyLock::new(|| {
        toml::from_str(include_str!("../data/practice.toml"))
            .expect("the table of practice is well formed")
    });
    &PRACTICE
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every part names its document and is no better known than it says.
    #[test]
    fn every_part_has_its_source() {
        let table = practice();
        let parts = [
            (&table.joists.document, table.joists.how),
            (&table.studs.document, table.studs.how),
            (&table.shower.document, table.shower.how),
            (&table.closet.document, table.closet.how),
        ];
        let heights = table.height.iter().map(|row| (&row.document, row.how));
        for (document, how) in parts.into_iter().chain(heights) {
            assert!(!document.is_empty() && how != How::Local, "{document}");
        }
        for row in &table.height {
            let kind = wyeline_network::kinds::kinds().get(&row.kind).unwrap();
            let port = kind.port(&row.port).unwrap();
            let (low, high) = row.range;
            assert!(
                (low..=high).contains(&port.up),
                "{} {}: its own default",
                row.kind,
                row.port
            );
        }
    }

    /// A 2 x 10 is 9-1/4 deep, in metric 235 mm (235 / 25.4 = 9.252); an I-joist of 11-7/8 is not sawn.
    #[test]
    fn sawn_and_engineered() {
        let joists = &practice().joists;
        assert!(joists.sawn(9.25 * INCH) && joists.sawn(235.0));
        assert!(!joists.sawn(11.875 * INCH));
    }

    /// A wall of 4-1/2 in has studs of 3-1/2 behind two boards of 1/2; one of 10 in is no wall of studs.
    #[test]
    fn studs_behind_their_boards() {
        assert_eq!(practice().studs.in_wall(4.5 * INCH), Some(3.5 * INCH));
        assert_eq!(practice().studs.in_wall(10.0 * INCH), None);
    }
}
