//! Papers, their frames and the corner kept clear for a stamp, from `data/papers.toml`.

use std::sync::OnceLock;

use kurbo::Rect;
use serde::Deserialize;

/// A paper a job can be printed on; lengths in mm.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Paper {
    /// Its name (`letter`, `a3`).
    pub name: String,
    /// Short and long edge.
    size: (f64, f64),
    /// From the binding (left) edge of the paper to the frame.
    binding: f64,
    /// From the other edges to the frame.
    edge: f64,
    /// Width of the column with legend, notes and title block.
    pub(crate) side: f64,
    /// The upper right corner is kept clear for a stamp where there is room.
    pub(crate) keep_stamp: bool,
}

/// Which way up a sheet lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Orientation {
    /// Long edge level.
    Landscape,
    /// Short edge level.
    Portrait,
}

#[derive(Deserialize)]
struct Table {
    stamp: (f64, f64),
    paper: Vec<Paper>,
}

fn table() -> &'static Table {
    static TABLE: OnceLock<Table> = OnceLock::new();
    TABLE.get_or_init(|| {
        toml::from_str(include_str!("../data/papers.toml"))
            .expect("a test reads the table of papers")
    })
}

impl Paper {
    /// All papers known.
    pub fn all() -> &'static [Self] {
        &table().paper
    }

    /// The paper of that name, if there is one.
    pub fn named(name: &str) -> Option<&'static Self> {
        Self::all().iter().find(|paper| paper.name == name)
    }

    /// Width and height that way up, mm.
    pub fn size(&self, orientation: Orientation) -> (f64, f64) {
        match orientation {
            Orientation::Landscape => (self.size.1, self.size.0),
            Orientation::Portrait => self.size,
        }
    }

    /// The frame that way up, mm from the upper left corner of the paper.
    pub fn frame(&self, orientation: Orientation) -> Rect {
        let (width, height) = self.size(orientation);
        Rect::new(
            self.binding,
            self.edge,
            width - self.edge,
            height - self.edge,
        )
    }

    /// The part of the frame kept clear for a stamp, where this paper keeps one.
    pub fn stamp(&self, orientation: Orientation) -> Option<Rect> {
        let (width, height) = table().stamp;
        let frame = self.frame(orientation);
        self.keep_stamp
            .then(|| Rect::new(frame.x1 - width, frame.y0, frame.x1, frame.y0 + height))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_paper_has_room_for_a_frame_and_its_column() {
        for paper in Paper::all() {
            for orientation in [Orientation::Landscape, Orientation::Portrait] {
                let frame = paper.frame(orientation);
                assert!(
                    frame.width() > paper.side + 80.0 && frame.height() > 150.0,
                    "{}",
                    paper.name
                );
            }
        }
    }

    #[test]
    fn a_tabloid_sheet_is_seventeen_by_eleven_inches() {
        // ANSI B: 11 x 17 in; 1 in = 25.4 mm.
        let (width, height) = Paper::named("tabloid")
            .expect("listed")
            .size(Orientation::Landscape);
        assert!((width - 17.0 * 25.4).abs() < 1e-9 && (height - 11.0 * 25.4).abs() < 1e-9);
    }

    #[test]
    fn an_a3_sheet_is_half_the_area_of_an_a2_sheet() {
        // ISO 216: each size is the next larger one halved across its long edge.
        let a3 = Paper::named("a3")
            .expect("listed")
            .size(Orientation::Landscape);
        let a2 = Paper::named("a2")
            .expect("listed")
            .size(Orientation::Portrait);
        assert_eq!((a3.0, a3.1 * 2.0), a2);
    }

    #[test]
    fn the_stamp_space_is_in_the_upper_right_corner_of_the_frame() {
        let paper = Paper::named("tabloid").expect("listed");
        let (frame, stamp) = (
            paper.frame(Orientation::Landscape),
            paper
                .stamp(Orientation::Landscape)
                .expect("kept on tabloid"),
        );
        assert_eq!((stamp.x1, stamp.y0), (frame.x1, frame.y0));
        // 5-3/4 by 3-3/4 in.
        assert!(
            (stamp.width() - 5.75 * 25.4).abs() < 1e-9
                && (stamp.height() - 3.75 * 25.4).abs() < 1e-9
        );
    }
}
