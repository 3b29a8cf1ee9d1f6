//! The text of a job as it grows: its head, the room, its fixtures, runs.

use std::fmt::Write as _;

use super::choices::Choices;
use super::rooms::{facts, kind};
use super::turned::{N, Turned, W, Way, feet};

/// A job being told.
#[derive(Clone, Debug)]
pub struct Told {
    /// How the room is laid on the plan.
    pub turned: Turned,
    /// The job.
    pub text: String,
    /// What a lawful building has besides, and another sheet shows: told after the job.
    pub beside: String,
    /// Half the thickness of the wall to the north, in.
    pub wet: i64,
    /// Rectangles that fixtures take up, in the room that is not turned: west, south, east, north.
    pub taken: Vec<[i64; 4]>,
}

impl Told {
    /// Begins a job.
    pub fn new(turned: Turned, wet: i64, title: &str, code: &str, more: &[&str]) -> Self {
        let mut told = Self {
            turned,
            text: String::new(),
            beside: String::new(),
            wet,
            taken: Vec::new(),
        };
        told.say(&format!("job {title}"));
        told.say("units ft-in");
        told.say(&format!("code {code}"));
        told.say("datum main floor is 0");
        for line in more {
            told.say(line);
        }
        told.say("");
        told
    }

    /// Adds a line.
    pub fn say(&mut self, line: &str) {
        let _ = writeln!(self.text, "{line}");
    }

    /// Adds a run: its first line and its steps.
    pub fn run(&mut self, first: &str, steps: &[String]) {
        let text = run(first, steps);
        self.text.push_str(&text);
    }

    /// Adds a run that another sheet shows.
    pub fn run_beside(&mut self, first: &str, steps: &[String]) {
        let text = run(first, steps);
        self.beside.push_str(&text);
    }

    /// The walls of the room on a level, as wide and deep as it is from centre to centre.
    pub fn walls(&mut self, level: &str) {
        let [width, depth] = self.turned.size;
        let dry = facts().dry.half;
        let (east, north) = (width - dry, depth - self.wet);
        // Walked with the room on the left: the walls lie on the right.
        let around = [(dry, north), (dry, dry), (east, dry), (east, north)];
        if self.wet == dry {
            self.wall(level, &[&around[..], &around[..1]].concat(), dry);
        } else {
            self.wall(level, &around, dry);
            // Over the ends of the walls beside it.
            let ends = [(width + dry, north), (-dry, north)];
            self.wall(level, &ends, self.wet);
        }
    }

    /// A wall along points, the room on the left.
    pub fn wall(&mut self, level: &str, points: &[(i64, i64)], half: i64) {
        let mut at: Vec<String> = points.iter().map(|p| self.turned.at(p.0, p.1)).collect();
        if self.turned.mirrored {
            at.reverse();
        }
        let line = format!("wall {level} {} thick {}", at.join(" "), feet(2 * half));
        self.say(&line);
    }

    /// A fixture at a point of its wall.
    pub fn fixture(&mut self, name: &str, tag: &str, level: &str, at: (i64, i64), faces: Way) {
        let kind = kind(name);
        let ports = kind.ports(self.wet, self.turned.left());
        let place = self.turned.at(at.0, at.1);
        let way = self.turned.way(faces);
        self.say(&format!(
            "fixture {tag} {name} {level} {place} faces {way} {ports}"
        ));
        let (side, depth) = (kind.side, kind.depth);
        let rectangle = if name == "water-heater" {
            [at.0 - side, at.1 - side, at.0 + side, at.1 + side]
        } else if faces == W {
            [at.0 - depth, at.1 - side, at.0, at.1 + side]
        } else if faces == N {
            [at.0 - side, at.1, at.0 + side, at.1 + depth]
        } else {
            [at.0 - side, at.1 - depth, at.0 + side, at.1]
        };
        self.taken.push(rectangle);
    }

    /// Tells a door of a level at a place that meets nothing of what `lines` has put up; nothing where there is none.
    pub fn door(
        &mut self,
        lines: &Self,
        level: &str,
        leaf: i64,
        choices: &mut Choices,
    ) -> Option<()> {
        let doors = lines.doors(leaf);
        if doors.is_empty() {
            return None;
        }
        let (east, north) = *choices.free.pick(&doors);
        let at = self.turned.at(east, north);
        self.say(&format!("door {level} {at} wide {}", feet(leaf)));
        Some(())
    }

    /// Places on the south and west walls where a door may stand: its leaf, swung into the room to either side, meets nothing.
    fn doors(&self, leaf: i64) -> Vec<(i64, i64)> {
        let [width, depth] = self.turned.size;
        let (dry, half) = (facts().dry.half, leaf / 2);
        // 3 in of wall stay beside a door for its frame.
        let free = |square: [i64; 4]| {
            self.taken.iter().all(|taken| {
                taken[0] >= square[2]
                    || square[0] >= taken[2]
                    || taken[1] >= square[3]
                    || square[1] >= taken[3]
            })
        };
        let south = (dry + 3 + half..=width - dry - 3 - half)
            .step_by(6)
            .filter(|east| free([east - half, dry, east + half, dry + leaf]))
            .map(|east| (east, dry));
        let west = (dry + 3 + half..=depth - self.wet - 3 - half)
            .step_by(6)
            .filter(|north| free([dry, north - half, dry + leaf, north + half]))
            .map(|north| (dry, north));
        south.chain(west).collect()
    }
}

fn run(first: &str, steps: &[String]) -> String {
    let mut text = format!("\n{first}\n");
    for step in steps {
        let _ = writeln!(text, "  {step}");
    }
    text
}
