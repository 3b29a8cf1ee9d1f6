//! What a hand did on the plan, as data: one variant a gesture.
//!
//! Plan points are `[east, north]` in mm. `within` is the hand's tolerance in mm: how far the pointer
//! may be off, and so how far things snap. Words are those of the job language. Lines count from 1.

use serde::{Deserialize, Serialize};

/// A gesture.
#[derive(Clone, Debug, PartialEq, Deserialize, Serialize)]
#[serde(tag = "do", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Edit {
    /// A wall traced corner by corner; closed where the last point lies on the first.
    Wall {
        /// The level's name.
        level: String,
        /// Its corners.
        points: Vec<[f64; 2]>,
        /// Its thickness.
        thick: Option<String>,
        /// Tolerance, mm.
        within: f64,
    },
    /// A rectangle of walls, and its name.
    Room {
        /// The level's name.
        level: String,
        /// One corner.
        a: [f64; 2],
        /// The opposite corner.
        b: [f64; 2],
        /// The room's name.
        name: Option<String>,
        /// The walls' thickness.
        thick: Option<String>,
        /// Tolerance, mm.
        within: f64,
    },
    /// A stretch of a wall gets a typed length; what follows it shifts along.
    Side {
        /// The wall's line.
        line: u32,
        /// Which stretch, from 1.
        side: u32,
        /// Its length, in words.
        length: String,
    },
    /// A stretch of a wall moved square to itself.
    Push {
        /// The wall's line.
        line: u32,
        /// Which stretch, from 1.
        side: u32,
        /// How far, mm; positive to the left of the stretch as it is walked.
        by: f64,
        /// Tolerance, mm.
        within: f64,
    },
    /// A door or a window in the nearest wall.
    Opening {
        /// `door` or `window`.
        kind: String,
        /// The level's name.
        level: String,
        /// Its middle.
        at: [f64; 2],
        /// Its width, in words.
        wide: Option<String>,
        /// Tolerance, mm.
        within: f64,
    },
    /// A new fixture, turned to the wall it is put against.
    Fixture {
        /// Its kind.
        kind: String,
        /// The level's name.
        level: String,
        /// Where.
        at: [f64; 2],
        /// Tolerance, mm.
        within: f64,
        /// Its tag; a free one where none is given.
        tag: Option<String>,
    },
    /// A fixture put elsewhere on its level.
    Move {
        /// Its tag.
        tag: String,
        /// Where.
        at: [f64; 2],
        /// Tolerance, mm.
        within: f64,
    },
    /// A fixture turned by a quarter, counter-clockwise.
    Turn {
        /// Its tag.
        tag: String,
    },
    /// A fixture made to look a way.
    Face {
        /// Its tag.
        tag: String,
        /// A compass word.
        dir: String,
    },
    /// A fixture's sides swapped, except hot and cold.
    Mirror {
        /// Its tag.
        tag: String,
    },
    /// A second fixture of the same words.
    Copy {
        /// The first one's tag.
        tag: String,
        /// The level's name.
        level: String,
        /// Where.
        at: [f64; 2],
        /// Tolerance, mm.
        within: f64,
    },
    /// The same fixtures on other levels.
    Repeat {
        /// Their tags.
        tags: Vec<String>,
        /// The levels' names.
        levels: Vec<String>,
    },
    /// Another tag, wherever it is spoken of.
    Tag {
        /// The tag there is.
        tag: String,
        /// The new one.
        to: String,
    },
    /// A new run, begun where the pointer is.
    Start {
        /// The system's word.
        system: String,
        /// The level's name.
        level: String,
        /// Where.
        at: [f64; 2],
        /// Tolerance, mm.
        within: f64,
        /// The run's name; a free one where none is given.
        name: Option<String>,
        /// Its height in words, for a start in space.
        height: Option<String>,
        /// Its size, in words.
        size: Option<String>,
    },
    /// The next level move of a run, toward the pointer.
    Pull {
        /// The run.
        run: String,
        /// The pointer.
        to: [f64; 2],
        /// Tolerance, mm.
        within: f64,
        /// The length of the move, in words: the whole of it, also where the last move is lengthened.
        typed: Option<String>,
        /// Straight to the pointer instead of one of the eight ways.
        #[serde(default)]
        free: bool,
    },
    /// The run ends in what lies under the pointer.
    Meet {
        /// The run.
        run: String,
        /// The pointer.
        at: [f64; 2],
        /// Tolerance, mm.
        within: f64,
    },
    /// A branch from the run's open end to a fixture; the run goes on.
    Catch {
        /// The run.
        run: String,
        /// The fixture's tag.
        tag: String,
        /// Its port, where not the usual one.
        port: Option<String>,
    },
    /// Any steps at the run's open end, one a line.
    Step {
        /// The run.
        run: String,
        /// The steps.
        words: String,
    },
    /// Up or down at the run's open end.
    Rise {
        /// The run.
        run: String,
        /// Words that begin with `up` or `down`.
        to: String,
    },
    /// The run is capped.
    Finish {
        /// The run.
        run: String,
    },
    /// A point put into a pipe.
    Split {
        /// The pipe's id.
        pipe: String,
        /// Where.
        at: [f64; 2],
        /// The height on a plumb pipe, mm; its middle where not given.
        z: Option<f64>,
        /// The point's name; a free one where none is given.
        name: Option<String>,
    },
    /// The move that told a pipe gets a length.
    Length {
        /// The pipe's id.
        pipe: String,
        /// The length.
        words: String,
    },
    /// A pipe gets a size, those after it keep theirs.
    Size {
        /// The pipe's id.
        pipe: String,
        /// The size.
        words: String,
    },
    /// A pipe gets a slope, those after it keep theirs.
    Slope {
        /// The pipe's id.
        pipe: String,
        /// The slope.
        words: String,
    },
    /// A pipe gets a material, those after it keep theirs.
    Material {
        /// The pipe's id.
        pipe: String,
        /// The material.
        words: String,
    },
    /// A device put into a pipe.
    Device {
        /// The pipe's id.
        pipe: String,
        /// Where.
        at: [f64; 2],
        /// The height on a plumb pipe, mm; its middle where not given.
        z: Option<f64>,
        /// The device's line.
        words: String,
    },
    /// The height told in a line is another.
    Height {
        /// The line.
        line: u32,
        /// The height.
        words: String,
    },
    /// What a line tells has been verified.
    Known {
        /// The line.
        line: u32,
    },
    /// A line says something else; its remark stays.
    Say {
        /// The line.
        line: u32,
        /// What it says.
        words: String,
    },
    /// A new statement, where its kind stands.
    Add {
        /// The statement; a run with its steps, one a line.
        words: String,
        /// The line after which it is put, where its kind does not decide.
        after: Option<u32>,
    },
    /// A statement or a step goes.
    Delete {
        /// The line.
        line: u32,
    },
    /// A run goes.
    DeleteRun {
        /// The run.
        run: String,
    },
}
