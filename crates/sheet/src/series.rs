//! A view too large for one sheet, told on several: by system, then by level, then by area, with match words and key plans.

use std::rc::Rc;

use kurbo::Vec2;
use wyeline_draw::Part;
use wyeline_job::model::System;
use wyeline_network::Network;
use wyeline_network::model::{FixtureIx, LevelIx};
use wyeline_units::Scale;

use crate::SheetError;
use crate::arrange::{Desk, Draft, Fitted, LABELS};
use crate::drawer::{Kind, Source, Wanted};
use crate::key::key_plan;
use crate::paper::Orientation;
use crate::set::FEW;
use crate::split::{Cuts, Room, Tile, cuts, shared_out, tiles};
use crate::subset::{Keep, Subsets};

/// Systems that stay on one sheet as long as they fit, and what they are called.
const GROUPS: [(Name, &[System]); 3] = [
    (Name::Each, &[System::Waste, System::Vent, System::Storm]),
    (
        Name::Is("Water"),
        &[System::Cold, System::Hot, System::HotReturn],
    ),
    (Name::Is("Gas"), &[System::Gas]),
];

/// What a group of systems is called.
#[derive(Clone, Copy)]
enum Name {
    /// By one word.
    Is(&'static str),
    /// By those of its systems that occur.
    Each,
}

impl Name {
    fn words(self, systems: &[System]) -> String {
        if let Self::Is(word) = self {
            return word.to_owned();
        }
        let mut words = systems
            .iter()
            .map(|s| s.word())
            .collect::<Vec<_>>()
            .join(", ");
        if let Some(at) = words.rfind(", ") {
            words.replace_range(at..at + 2, " and ");
        }
        let mut letters = words.chars();
        let first = letters.next().map(|c| c.to_ascii_uppercase());
        first.into_iter().chain(letters).collect()
    }
}
/// Room for the words of levels beside an isometric, mm; our choice, checked after drawing.
const LEVEL_WORDS: f64 = 25.0;
/// So many parts are drawn first to see how far labels reach, and so often more room is left for them; our choice.
const PILOTS: usize = 6;
const ROUNDS: u32 = 5;
/// More sheets than this are refused; our choice.
const MOST: usize = 5000;

impl<'a> Desk<'a> {
    /// The sheets of one view, the first of them numbered `first`.
    pub fn series(
        &self,
        wanted: &Wanted<'a>,
        first: u32,
        remarks: &mut Vec<String>,
    ) -> Result<Vec<Draft<'a>>, SheetError> {
        let one = std::slice::from_ref(wanted);
        let groups = Self::groups(wanted);
        // Where another way of drawing is at hand, a crowded one need not be finished.
        if groups.len() > 1 {
            match self.one_sheet_unless_crowded(wanted, &self.scales) {
                Fitted::On(draft) => return Ok(self.less_crowded(*draft, &groups, remarks)),
                Fitted::Crowded => {
                    if let Some(apart) = self.apart(&groups) {
                        remarks.push(format!(
                            "drawn on {} sheets by system: on one too many labels find no room",
                            apart.len()
                        ));
                        return Ok(apart);
                    }
                    if let Some(draft) = self.one_sheet(one, &self.scales, None) {
                        return Ok(vec![draft]);
                    }
                }
                Fitted::No => {}
            }
        } else if let Some(draft) = self.one_sheet(one, &self.scales, None) {
            return Ok(vec![draft]);
        }
        let way = self.way();
        if groups.len() > 1 {
            for scale in &self.scales {
                let drafts: Option<Vec<Draft<'a>>> = groups
                    .iter()
                    .map(|group| self.one_sheet(std::slice::from_ref(group), &[*scale], Some(way)))
                    .collect();
                if let Some(drafts) = drafts {
                    remarks.push(format!(
                        "drawn on {} sheets by system: it does not fit on one",
                        drafts.len()
                    ));
                    return Ok(drafts);
                }
            }
        }
        // What has to be cut up is drawn large enough to be read on site, at the usual scale of plans.
        let enough = crate::scales::enough(self.network.units);
        let scale = self
            .scales
            .iter()
            .copied()
            .filter(|s| *s >= enough)
            .min()
            .or(self.scales.last().copied());
        let Some(scale) = scale else {
            return Err(SheetError::NoScale);
        };
        let mut drafts = Vec::new();
        for group in &groups {
            let from = first + drafts.len() as u32;
            match self.one_sheet(std::slice::from_ref(group), &[scale], Some(way)) {
                Some(draft) => drafts.push(draft),
                None => drafts.extend(self.parts(group, scale, way, from, remarks)?),
            }
        }
        remarks.push(format!(
            "drawn on {} sheets by system, level and area: it does not fit on one; a larger paper would need fewer",
            drafts.len()
        ));
        Ok(drafts)
    }

    /// The draft, or one sheet for each group of systems where that leaves less than half of its labels without room.
    fn less_crowded(
        &self,
        draft: Draft<'a>,
        groups: &[Wanted<'a>],
        remarks: &mut Vec<String>,
    ) -> Vec<Draft<'a>> {
        let crowded = draft.numbered();
        if crowded <= FEW {
            return vec![draft];
        }
        match self.apart(groups) {
            Some(apart) if apart.iter().map(Draft::numbered).sum::<usize>() * 2 < crowded => {
                remarks.push(format!(
                    "drawn on {} sheets by system: on one {crowded} labels find no room",
                    apart.len()
                ));
                apart
            }
            _ => vec![draft],
        }
    }

    /// One sheet for each group of systems, where all of them fit.
    fn apart(&self, groups: &[Wanted<'a>]) -> Option<Vec<Draft<'a>>> {
        let one = |group| self.one_sheet(std::slice::from_ref(group), &self.scales, None);
        groups.iter().map(one).collect()
    }

    /// The view once for each group of systems that occurs.
    fn groups(wanted: &Wanted<'a>) -> Vec<Wanted<'a>> {
        let asked = &wanted.part.systems;
        let mut present = [false; System::ALL.len()];
        for pipe in &wanted.network.pipes {
            present[pipe.system as usize] = true;
        }
        let occurs = |s: &System| present[*s as usize] && (asked.is_empty() || asked.contains(s));
        let groups: Vec<Wanted<'a>> = GROUPS
            .iter()
            .filter_map(|(name, systems)| {
                let systems: Vec<System> = systems.iter().copied().filter(occurs).collect();
                let part = Part {
                    title: name.words(&systems),
                    systems,
                    ..wanted.part.clone()
                };
                let group = |part| Wanted::new(wanted.kind, part, wanted.network.clone());
                (!part.systems.is_empty()).then(|| group(part))
            })
            .collect();
        if groups.len() == 1 {
            vec![wanted.clone()]
        } else {
            groups
        }
    }

    /// The view cut up by level and area until every part fits.
    fn parts(
        &self,
        wanted: &Wanted<'a>,
        scale: Scale,
        way: Orientation,
        first: u32,
        remarks: &mut Vec<String>,
    ) -> Result<Vec<Draft<'a>>, SheetError> {
        let pipes = wanted.pipes();
        let page = self.page(
            way,
            &format!(
                "{}: {}",
                wanted.part.title, "isometric from the south-west, part A1"
            ),
        );
        let below = self.caption_height(wanted, scale, page.area.width()) + 8.0;
        let mut spare = Vec2::ZERO;
        for round in 0.. {
            let width = page.area.width() - 2.0 * LABELS.x - LEVEL_WORDS - spare.x;
            let height = page.area.height() - below - 2.0 * LABELS.y - spare.y;
            let (width, height) = (width * f64::from(scale.0), height * f64::from(scale.0));
            let room = match wanted.kind {
                Kind::Iso(_) => Room::Iso(width, height),
                Kind::Plan(_) => Room::Plan(width, height),
            };
            let cuts = cuts(&wanted.network, &pipes, room).ok_or(SheetError::TooLarge(scale))?;
            let tiles = tiles(&wanted.network, &pipes, &cuts);
            if tiles.len() > MOST {
                return Err(SheetError::TooLarge(scale));
            }
            // A few parts show how far labels reach, before all are drawn; where that is well they are kept.
            let few: Vec<usize> = (0..PILOTS).map(|i| i * tiles.len() / PILOTS).collect();
            let last = round == ROUNDS;
            let mut drafts = Tiled::new(self, wanted, scale, way, first, &cuts, &tiles);
            let mut beyond = Vec2::ZERO;
            if tiles.len() > PILOTS && !last {
                beyond = drafts.draw(few);
            }
            if beyond == Vec2::ZERO {
                beyond = drafts.draw(0..tiles.len());
                if beyond == Vec2::ZERO || last {
                    let drafts = drafts.done();
                    for (draft, number) in drafts
                        .iter()
                        .zip(first..)
                        .filter(|(d, _)| d.beyond != Vec2::ZERO)
                    {
                        let by = draft.beyond.x.max(draft.beyond.y);
                        remarks.push(format!(
                            "labels on sheet {number} reach {by:.0} mm beyond their place"
                        ));
                    }
                    return Ok(drafts);
                }
            }
            spare += beyond + Vec2::new(2.0, 2.0);
        }
        Err(SheetError::TooLarge(scale))
    }
}

/// Sheets of the parts of a view, each drawn once.
struct Tiled<'d, 'a> {
    desk: &'d Desk<'a>,
    wanted: &'d Wanted<'a>,
    scale: Scale,
    way: Orientation,
    cuts: &'d Cuts,
    tiles: &'d [Tile],
    parts: Parts<'d>,
    /// The numbers of the sheets of all cells that have one.
    numbers: Vec<Option<u32>>,
    /// What is drawn so far, by part.
    drafts: Vec<Option<Draft<'a>>>,
}

impl<'d, 'a> Tiled<'d, 'a> {
    /// Nothing drawn yet; the sheet of the first part will be numbered `first`.
    fn new(
        desk: &'d Desk<'a>,
        wanted: &'d Wanted<'a>,
        scale: Scale,
        way: Orientation,
        first: u32,
        cuts: &'d Cuts,
        tiles: &'d [Tile],
    ) -> Self {
        let mut numbers = vec![None; cuts.counts().iter().product()];
        for (tile, number) in tiles.iter().zip(first..) {
            numbers[cuts.index(tile.cell)] = Some(number);
        }
        Self {
            desk,
            wanted,
            scale,
            way,
            cuts,
            tiles,
            parts: Parts::new(wanted, cuts),
            numbers,
            drafts: tiles.iter().map(|_| None).collect(),
        }
    }

    /// Draws those of some parts that are not drawn yet; gives how far labels reach beyond any of them, mm.
    fn draw(&mut self, some: impl IntoIterator<Item = usize>) -> Vec2 {
        let mut most = Vec2::ZERO;
        for i in some {
            let draft = match self.drafts[i].take() {
                Some(drawn) => drawn,
                None => self.sheet(&self.tiles[i]),
            };
            most = Vec2::new(most.x.max(draft.beyond.x), most.y.max(draft.beyond.y));
            self.drafts[i] = Some(draft);
        }
        most
    }

    /// What is drawn.
    fn done(self) -> Vec<Draft<'a>> {
        self.drafts.into_iter().flatten().collect()
    }

    /// The sheet of a part.
    fn sheet(&mut self, tile: &Tile) -> Draft<'a> {
        let title = [
            self.wanted.part.title.as_str(),
            &levels(&self.wanted.network, self.cuts, tile.cell),
            &area(self.cuts, tile.cell),
        ]
        .into_iter()
        .filter(|words| !words.is_empty())
        .collect::<Vec<_>>()
        .join(", ");
        let (kind, network) = self.parts.take(tile);
        let part = Part {
            title,
            systems: self.wanted.part.systems.clone(),
            pipes: None,
            clip: Some(self.cuts.cell(tile.cell)),
            beyond: std::array::from_fn(|face| self.beyond(tile.cell, face)),
        };
        let wanted = Wanted::new(kind, part, Source::Part(Rc::new(network)));
        let key = key_plan(self.cuts, tile.cell);
        self.desk.forced(&wanted, self.scale, self.way, Some(key))
    }

    /// Where what goes on behind a face of a part is drawn.
    fn beyond(&self, cell: [usize; 3], face: usize) -> Option<String> {
        let mut next = cell;
        next[face / 2] = if face.is_multiple_of(2) {
            cell[face / 2].checked_sub(1)?
        } else {
            cell[face / 2] + 1
        };
        let mut inside = next.iter().zip(self.cuts.counts());
        let number = if inside.all(|(i, count)| *i < count) {
            self.numbers[self.cuts.index(next)]?
        } else {
            return None;
        };
        Some(format!("see sheet {number}"))
    }
}

/// What each part of a view's network holds, found once for all parts.
struct Parts<'a> {
    wanted: &'a Wanted<'a>,
    cuts: &'a Cuts,
    subsets: Subsets<'a>,
    walls: Vec<Vec<u32>>,
    bodies: Vec<Vec<u32>>,
    fixtures: Vec<Vec<FixtureIx>>,
}

impl<'a> Parts<'a> {
    fn new(wanted: &'a Wanted<'a>, cuts: &'a Cuts) -> Self {
        let network: &Network = &wanted.network;
        let walls = network.building.walls.iter().zip(0..).map(|(w, i)| {
            let (a, b) = (w.from, w.to);
            (
                i,
                [a.0.min(b.0), a.1.min(b.1), w.z.0],
                [a.0.max(b.0), a.1.max(b.1), w.z.1],
            )
        });
        let bodies = network.building.bodies.iter().zip(0..).map(|(body, i)| {
            let (xs, ys) = (body.corners.map(|c| c.0), body.corners.map(|c| c.1));
            let least = |v: [f64; 4]| v.into_iter().fold(f64::INFINITY, f64::min);
            let most = |v: [f64; 4]| v.into_iter().fold(f64::NEG_INFINITY, f64::max);
            (
                i,
                [least(xs), least(ys), body.z.0],
                [most(xs), most(ys), body.z.1],
            )
        });
        let fixtures = network
            .fixtures
            .iter()
            .zip(0..)
            .map(|(f, i)| (FixtureIx(i), f.anchor.to_array(), f.anchor.to_array()));
        Self {
            walls: shared_out(cuts, walls),
            bodies: shared_out(cuts, bodies),
            fixtures: shared_out(cuts, fixtures),
            subsets: Subsets::new(network),
            wanted,
            cuts,
        }
    }

    /// A part as a network, and the view of it.
    fn take(&mut self, tile: &Tile) -> (Kind, Network) {
        let cell = self.cuts.index(tile.cell);
        let clip = self.cuts.cell(tile.cell);
        let network: &Network = &self.wanted.network;
        // A plan keeps all its levels: they say where its storey ends. An isometric keeps those it shows.
        let inside = |floor: f64| floor >= clip.0[2] && floor < clip.1[2];
        let levels: Vec<LevelIx> = network
            .levels
            .iter()
            .zip(0..)
            .filter(|(level, _)| matches!(self.wanted.kind, Kind::Plan(_)) || inside(level.floor))
            .map(|(_, i)| LevelIx(i))
            .collect();
        let keep = Keep {
            pipes: tile.pipes.clone(),
            levels,
            fixtures: std::mem::take(&mut self.fixtures[cell]),
            walls: std::mem::take(&mut self.walls[cell]),
            bodies: std::mem::take(&mut self.bodies[cell]),
            clip: Some(clip),
        };
        (self.wanted.kind, self.subsets.take(&keep))
    }
}

/// The levels whose floors lie in a part, in words; nothing where height is not cut.
fn levels(network: &Network, cuts: &Cuts, cell: [usize; 3]) -> String {
    if cuts.z.is_empty() {
        return String::new();
    }
    let (from, to) = cuts.cell(cell);
    let mut inside: Vec<_> = network
        .levels
        .iter()
        .filter(|l| l.floor >= from[2] && l.floor < to[2])
        .collect();
    inside.sort_by(|a, b| a.floor.total_cmp(&b.floor));
    match inside.as_slice() {
        [] if cell[2] == 0 => "below the lowest floor".to_owned(),
        [] => format!("height {} of {}", cell[2] + 1, cuts.z.len() + 1),
        [only] => only.name.clone(),
        [first, .., last] => format!("{} to {}", first.name, last.name),
    }
}

/// The name of an area: a letter from the west, a number from the south.
fn area(cuts: &Cuts, cell: [usize; 3]) -> String {
    if cuts.x.is_empty() && cuts.y.is_empty() {
        return String::new();
    }
    let mut letters = String::new();
    let mut i = cell[0];
    loop {
        letters.insert(0, char::from(b'A' + (i % 26) as u8));
        if i < 26 {
            break;
        }
        i = i / 26 - 1;
    }
    format!("part {letters}{}", cell[1] + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn areas_are_lettered_from_the_west_and_numbered_from_the_south() {
        let cuts = Cuts {
            x: vec![1.0; 30],
            ..Cuts::default()
        };
        assert_eq!(area(&cuts, [0, 0, 0]), "part A1");
        assert_eq!(area(&cuts, [2, 1, 0]), "part C2");
        assert_eq!(area(&cuts, [26, 0, 0]), "part AA1");
    }
}
