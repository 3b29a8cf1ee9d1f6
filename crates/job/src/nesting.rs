//! Checks which group places which, and places them all.
//!
//! In: the groups and placements as written. Out: their things in the job, and what is wrong
//! with the placements, each told once however often its group is placed.

use std::collections::{HashMap, HashSet};

use crate::diagnostic::{Diagnostic, Span};
use crate::groups::{Group, Parts, Placement};
use crate::model::Level;
use crate::names::{twice, unique, with_near};
use crate::placing::{Placing, Scope};

/// Most things that placing may make; a tower of 50,000 pipes stays far below.
const MOST_PLACED: usize = 1_000_000;
/// Most groups one in the other: a building of wings of floors of flats of rooms needs five.
const MOST_NESTED: usize = 16;
/// Every so many letters of a name that placing copies count as another thing.
const LETTERS: usize = 64;

/// What a group gives names to.
pub struct Own<'a> {
    things: HashSet<&'a str>,
    placements: HashSet<&'a str>,
}

impl<'a> Own<'a> {
    fn of(parts: &'a Parts) -> Self {
        let placements = parts.placements.iter();
        Self {
            things: parts.names().map(|name| name.text.as_str()).collect(),
            placements: placements
                .map(|placement| placement.prefix.text.as_str())
                .collect(),
        }
    }

    /// Whether a name, as used in the group, is one of its own.
    pub fn has(&self, name: &str) -> bool {
        match name.split_once('/') {
            Some((placement, _)) => self.placements.contains(placement),
            None => self.things.contains(name),
        }
    }
}

/// Groups, and what is known of them before anything is placed.
pub struct Plan<'a> {
    pub groups: &'a [Group],
    pub levels: &'a [Level],
    /// Levels by name.
    pub storeys: HashMap<&'a str, usize>,
    pub own: Vec<Own<'a>>,
    /// For each group, the group that each of its placements places; nothing where that is a mistake.
    pub places: Vec<Vec<Option<usize>>>,
    /// For each group, how many things placing it makes.
    sizes: Vec<usize>,
    /// Letters of the longest level's name.
    longest_level: usize,
}

/// Checks groups and places them all.
pub fn place_all(
    groups: &[Group],
    levels: &[Level],
    parts: &mut Parts,
    found: &mut Vec<Diagnostic>,
) {
    let placements = std::mem::take(&mut parts.placements);
    let mut check = Check::new(groups, found);
    let places: Vec<_> = groups
        .iter()
        .map(|group| check.placements(&group.parts.placements))
        .collect();
    let outermost = check.placements(&placements);
    check.never_placed();
    let storeys = levels.iter().enumerate().rev();
    let mut plan = Plan {
        groups,
        levels,
        storeys: storeys
            .map(|(storey, level)| (level.name.text.as_str(), storey))
            .collect(),
        own: groups.iter().map(|group| Own::of(&group.parts)).collect(),
        places,
        sizes: vec![0; groups.len()],
        longest_level: levels
            .iter()
            .map(|level| level.name.text.len())
            .max()
            .unwrap_or(0),
    };
    plan.measure(found);
    plan.place(&placements, &outermost, parts, found);
}

/// Checks placements, each by itself.
struct Check<'a, 'f> {
    groups: &'a [Group],
    known: HashMap<&'a str, usize>,
    /// Groups that some placement names; of several with one name the first.
    placed: Vec<bool>,
    /// Words compared so far.
    compared: usize,
    found: &'f mut Vec<Diagnostic>,
}

impl<'a, 'f> Check<'a, 'f> {
    /// Checks each group's own names as well.
    fn new(groups: &'a [Group], found: &'f mut Vec<Diagnostic>) -> Self {
        let mut known: HashMap<&str, usize> = HashMap::new();
        for (index, group) in groups.iter().enumerate() {
            unique(&group.parts, found);
            let name = &group.name;
            if let Some(first) = known.get(name.text.as_str()) {
                // A group whose name was misread has been reported.
                if !name.text.is_empty() {
                    let first = groups[*first].name.span;
                    found.push(twice("duplicate-group", name, first, "group"));
                }
            } else {
                known.insert(&name.text, index);
            }
        }
        Self {
            groups,
            known,
            placed: vec![false; groups.len()],
            compared: 0,
            found,
        }
    }

    /// The groups that placements of one group, or of the job, place.
    fn placements(&mut self, placements: &[Placement]) -> Vec<Option<usize>> {
        let mut prefixes: HashMap<&str, Span> = HashMap::new();
        let mut places = Vec::with_capacity(placements.len());
        for placement in placements {
            let prefix = &placement.prefix;
            let group = self.group(placement);
            if let Some(first) = prefixes.get(prefix.text.as_str()) {
                self.found
                    .push(twice("duplicate-placement", prefix, *first, "placement"));
                places.push(None);
            } else {
                prefixes.insert(&prefix.text, prefix.span);
                places.push(group);
            }
        }
        places
    }

    fn group(&mut self, placement: &Placement) -> Option<usize> {
        let name = &placement.group;
        if let Some(&index) = self.known.get(name.text.as_str()) {
            self.placed[index] = true;
            self.words(&self.groups[index], placement);
            return Some(index);
        }
        let mistake = Diagnostic::mistake(
            "unknown-group",
            name.span,
            format!("there is no group `{}`", name.text),
        )
        .expected("expected a group");
        let names = self.groups.iter().map(|group| group.name.text.as_str());
        let mistake = with_near(mistake, &name.text, names, "group", self.found.len());
        self.found.push(mistake);
        None
    }

    /// Every `$WORD` the group uses has to be given, and every one given should be used.
    fn words(&mut self, group: &Group, placement: &Placement) {
        self.compared += group.words.len() + placement.with.len();
        if self.compared > MOST_PLACED {
            return;
        }
        for word in &group.words {
            if placement.given(&word.text).is_none() {
                let mistake = Diagnostic::mistake(
                    "word-not-given",
                    placement.span,
                    format!("what `${}` stands for is not said", word.text),
                )
                .expected(format!("expected `with {} NAME`", word.text))
                .note(word.span, "used here");
                self.found.push(mistake);
            }
        }
        let used: HashSet<&str> = group.words.iter().map(|word| word.text.as_str()).collect();
        let given = placement.with.values().map(|(word, _)| word);
        for word in given.filter(|word| !used.contains(word.text.as_str())) {
            let warning = Diagnostic::warning(
                "word-not-used",
                word.span,
                format!(
                    "the group `{}` does not use `${}`",
                    group.name.text, word.text
                ),
            )
            .note(group.name.span, "the group");
            self.found.push(warning);
        }
    }

    fn never_placed(&mut self) {
        for group in self
            .groups
            .iter()
            .filter(|group| !group.name.text.is_empty())
        {
            let first = self.known.get(group.name.text.as_str());
            if !first.is_some_and(|first| self.placed[*first]) {
                let warning = Diagnostic::warning(
                    "group-not-placed",
                    group.name.span,
                    format!("the group `{}` is never placed", group.name.text),
                )
                .help(format!("place {} as A at 0,0 on LEVEL", group.name.text));
                self.found.push(warning);
            }
        }
    }
}

/// How far a group has been measured.
#[derive(Clone, Copy, PartialEq)]
enum Measured {
    Not,
    Begun,
    Done,
}

impl Plan<'_> {
    /// Works out how much each group makes, inner groups first, and cuts what would never end.
    /// Goes by a list of its own, for a text may nest deeper than the stack.
    fn measure(&mut self, found: &mut Vec<Diagnostic>) {
        let mut measured = vec![Measured::Not; self.groups.len()];
        let mut heights = vec![0; self.groups.len()];
        for root in 0..self.groups.len() {
            if measured[root] != Measured::Not {
                continue;
            }
            measured[root] = Measured::Begun;
            // Groups being measured, outermost first, each with how many of its placements are done.
            let mut open = vec![(root, 0)];
            // Where each open group stands in the list.
            let mut depth: HashMap<usize, usize> = HashMap::from([(root, 0)]);
            while let Some((group, next)) = open.last_mut() {
                let (group, at) = (*group, *next);
                let Some(&inner) = self.places[group].get(at) else {
                    self.add_up(group, &mut heights, found);
                    measured[group] = Measured::Done;
                    depth.remove(&group);
                    open.pop();
                    continue;
                };
                *next += 1;
                match inner.map(|inner| (inner, measured[inner])) {
                    Some((inner, Measured::Not)) => {
                        measured[inner] = Measured::Begun;
                        depth.insert(inner, open.len());
                        open.push((inner, 0));
                    }
                    Some((inner, Measured::Begun)) => {
                        let (_, done) = open[depth[&inner]];
                        found.push(self.in_itself(group, at, inner, done - 1));
                        self.places[group][at] = None;
                    }
                    Some((_, Measured::Done)) | None => {}
                }
            }
        }
    }

    /// The mistake of a group whose placement `at` places the group `whole` that it is itself part of,
    /// by the placement `by` of that one.
    fn in_itself(&self, group: usize, at: usize, whole: usize, by: usize) -> Diagnostic {
        let name = &self.groups[whole].name.text;
        let span = self.groups[group].parts.placements[at].span;
        let mistake = |message| {
            Diagnostic::mistake("group-in-itself", span, message)
                .expected("expected another group")
                .help("a group without end cannot be built: take this placement out")
        };
        if group == whole {
            return mistake(format!("the group `{name}` places itself"));
        }
        let first = &self.groups[whole].parts.placements[by];
        mistake(format!(
            "the group `{name}` places itself by way of `{}`",
            first.group.text
        ))
        .note(first.span, format!("`{name}` begins the circle here"))
    }

    fn add_up(&mut self, group: usize, heights: &mut [usize], found: &mut Vec<Diagnostic>) {
        let parts = &self.groups[group].parts;
        let mut size = parts.weight();
        for (at, placement) in parts.placements.iter().enumerate() {
            let Some(inner) = self.places[group][at] else {
                continue;
            };
            if heights[inner] + 1 >= MOST_NESTED {
                let mistake = Diagnostic::mistake(
                    "nested-too-deep",
                    placement.span,
                    "groups are placed too deep in one another",
                )
                .expected(format!("expected at most {MOST_NESTED} one in the other"))
                .help("place the inner groups in the job itself");
                found.push(mistake);
                self.places[group][at] = None;
                continue;
            }
            heights[group] = heights[group].max(heights[inner] + 1);
            size = size.saturating_add(self.size(inner, placement));
        }
        self.sizes[group] = size;
    }

    /// How much a placement makes. Long names count, for each thing placed holds some of them.
    fn size(&self, group: usize, placement: &Placement) -> usize {
        let given = placement.with.values().map(|(_, name)| name.text.len());
        let longest = given
            .chain([placement.prefix.text.len(), self.longest_level])
            .max()
            .unwrap_or(0);
        self.sizes[group].saturating_mul(1 + longest / LETTERS)
    }

    fn place(
        &self,
        placements: &[Placement],
        places: &[Option<usize>],
        parts: &mut Parts,
        found: &mut Vec<Diagnostic>,
    ) {
        let mut spent: usize = 0;
        for (placement, group) in placements.iter().zip(places) {
            let Some(group) = *group else { continue };
            // Keeps a small text from growing without bound.
            spent = spent.saturating_add(self.size(group, placement));
            if spent > MOST_PLACED {
                let mistake = Diagnostic::mistake(
                    "too-much-placed",
                    placement.span,
                    "placing this makes the job too large",
                )
                .expected(format!(
                    "expected at most {MOST_PLACED} steps and things in all"
                ))
                .help("split the job into several files");
                found.push(mistake);
                break;
            }
            // An unknown level has been reported where it is named.
            if let Some(&storey) = self.storeys.get(placement.level.text.as_str()) {
                let scope = Scope::outermost(group, placement, storey);
                Placing {
                    plan: self,
                    scope: &scope,
                    found,
                }
                .place(parts);
            }
        }
    }
}
