//! Groups as written, and the statements that place them.

use std::collections::BTreeMap;

use wyeline_units::Len;

use crate::Span;
use crate::diagnostic::Diagnostic;
use crate::line::Line;
use crate::model::{Body, Fixture, Name, Opening, RoomName, Run, StepKind, Wall};

/// Things that a group or the job itself may hold.
#[derive(Debug, Default)]
pub struct Parts {
    pub walls: Vec<Wall>,
    pub openings: Vec<Opening>,
    pub rooms: Vec<RoomName>,
    pub bodies: Vec<Body>,
    pub fixtures: Vec<Fixture>,
    pub runs: Vec<Run>,
    pub placements: Vec<Placement>,
}

impl Parts {
    /// How much there is to copy, inner groups aside.
    pub fn weight(&self) -> usize {
        let steps: usize = self.runs.iter().map(|run| 1 + run.steps.len()).sum();
        let told = self.runs.iter().flat_map(|run| &run.steps);
        let fittings = told.map(|step| match &step.kind {
            StepKind::Fitting(names) => names.len(),
            _ => 0,
        });
        let corners: usize = self.walls.iter().map(|wall| 1 + wall.points.len()).sum();
        let placements: usize = self
            .placements
            .iter()
            .map(|placement| 1 + placement.with.len())
            .sum();
        steps
            + fittings.sum::<usize>()
            + corners
            + placements
            + self.openings.len()
            + self.rooms.len()
            + self.bodies.len()
            + self.fixtures.len()
    }

    /// Every name that the parts give to something a run can refer to.
    pub fn names(&self) -> impl Iterator<Item = &Name> {
        let fixtures = self.fixtures.iter().map(|fixture| &fixture.tag);
        let bodies = self.bodies.iter().map(|body| &body.tag);
        let steps = self.runs.iter().flat_map(|run| &run.steps);
        let points = steps.filter_map(|step| match &step.kind {
            StepKind::Point(name) => Some(name),
            StepKind::Device { tag, .. } => tag.as_ref(),
            _ => None,
        });
        fixtures.chain(bodies).chain(points)
    }
}

/// A group as written.
#[derive(Debug)]
pub struct Group {
    pub name: Name,
    pub parts: Parts,
    /// The `$words` it uses.
    pub words: Vec<Name>,
}

/// Which way a placement is mirrored.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mirror {
    EastWest,
    NorthSouth,
}

/// Where a group is placed.
#[derive(Debug)]
pub struct Placement {
    pub group: Name,
    pub prefix: Name,
    pub at: (Len, Len),
    pub level: Name,
    /// Quarter turns counter-clockwise.
    pub quarters: usize,
    pub mirror: Option<Mirror>,
    pub raised: Len,
    /// What each `$word` stands for, by the word without its `$`: the word as given, and the name.
    pub with: BTreeMap<String, (Name, Name)>,
    pub span: Span,
}

impl Placement {
    /// What a word (without its `$`) stands for.
    pub fn given(&self, word: &str) -> Option<&Name> {
        self.with.get(word).map(|(_, name)| name)
    }
}

const TURNS: [(&str, usize); 3] = [("90", 1), ("180", 2), ("270", 3)];
const MIRRORS: [(&str, Mirror); 2] = [
    ("east-west", Mirror::EastWest),
    ("north-south", Mirror::NorthSouth),
];

/// `place NAME as PREFIX at X,Y on LEVEL …`.
pub fn placement(line: &mut Line) -> Option<Placement> {
    let group = line.name_unless("a group", &["as"]);
    line.expect("as");
    let prefix = line.name_unless("a name for what is placed", &["at"]);
    line.expect("at");
    let at = line.spot();
    line.expect("on");
    let level = line.level();
    let (mut quarters, mut mirror, mut raised, mut with) = (0, None, Len::ZERO, BTreeMap::new());
    while let Some(option) = line.option(&["turned", "mirrored", "raised", "with"]) {
        match option {
            "turned" => {
                quarters = line
                    .one_of("not-an-angle", "`90`, `180` or `270`", &TURNS)
                    .unwrap_or(0);
            }
            "mirrored" => {
                mirror = line.one_of("word-missing", "`east-west` or `north-south`", &MIRRORS);
            }
            "raised" => raised = line.length("a length").unwrap_or_default(),
            _ => {
                let word = line.name("the word to replace");
                let name = line.reference("the name to put in its place");
                if let (Some(word), Some(name)) = (word, name) {
                    if let Some((first, _)) = with.get(&word.text) {
                        let first: &Name = first;
                        let mistake = Diagnostic::mistake(
                            "word-twice",
                            word.span,
                            format!("`{}` is given twice", word.text),
                        )
                        .expected("expected each word once")
                        .note(first.span, "given here first");
                        line.report(mistake);
                    } else {
                        with.insert(word.text.clone(), (word, name.name));
                    }
                }
            }
        }
    }
    Some(Placement {
        group: group?,
        prefix: prefix?,
        at: at?,
        level: level?,
        quarters,
        mirror,
        raised,
        with,
        span: line.whole(),
    })
}
