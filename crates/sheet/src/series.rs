//! A view too large for one sheet, told on several: by system, then by level, then by area, with match words and key plans.

use wyeline_draw::Part;
use wyeline_job::model::System;
use wyeline_units::Scale;

use crate::SheetError;
use crate::arrange::{Desk, Draft, LABELS};
use crate::drawer::{Kind, Wanted};
use crate::key::key_plan;
use crate::paper::Orientation;
use crate::split::{Cuts, Room, Tile, cuts, tiles};

/// Systems that stay on one sheet as long as they fit, and what they are called.
const GROUPS: [(&str, &[System]); 3] = [
    ("Waste, vent and storm", &[System::Waste, System::Vent, System::Storm]),
    ("Water", &[System::Cold, System::Hot, System::HotReturn]),
    ("Gas", &[System::Gas]),
];
/// More sheets than this are refused; our choice.
const MOST: usize = 5000;

impl Desk<'_> {
    /// The sheets of one view, the first of them numbered `first`.
    pub fn series(&self, wanted: &Wanted, first: u32, remarks: &mut Vec<String>) -> Result<Vec<Draft>, SheetError> {
        let one = std::slice::from_ref(wanted);
        if let Some(draft) = self.one_sheet(one, &self.scales, None) {
            return Ok(vec![draft]);
        }
        let way = self.way();
        let groups = self.groups(wanted);
        if groups.len() > 1 {
            for scale in &self.scales {
                let drafts: Option<Vec<Draft>> = groups
                    .iter()
                    .map(|group| self.one_sheet(std::slice::from_ref(group), &[*scale], Some(way)))
                    .collect();
                if let Some(drafts) = drafts {
                    remarks.push(format!("drawn on {} sheets by system: it does not fit on one", drafts.len()));
                    return Ok(drafts);
                }
            }
        }
        let Some(scale) = self.scales.last().copied() else { return Err(SheetError::NoScale) };
        let mut drafts = Vec::new();
        for group in &groups {
            let from = first + drafts.len() as u32;
            match self.one_sheet(std::slice::from_ref(group), &[scale], Some(way)) {
                Some(draft) => drafts.push(draft),
                None => drafts.extend(self.parts(group, scale, way, from, remarks)?),
            }
        }
        remarks.push(format!("drawn on {} sheets by system, level and area: it does not fit on one", drafts.len()));
        Ok(drafts)
    }

    /// The view once for each group of systems that occurs.
    fn groups(&self, wanted: &Wanted) -> Vec<Wanted> {
        let asked = &wanted.part.systems;
        let mut present = [false; System::ALL.len()];
        for pipe in &self.network.pipes {
            present[pipe.system as usize] = true;
        }
        let occurs = |s: &System| present[*s as usize] && (asked.is_empty() || asked.contains(s));
        let groups: Vec<Wanted> = GROUPS
            .iter()
            .filter_map(|(title, systems)| {
                let systems: Vec<System> = systems.iter().copied().filter(occurs).collect();
                let part = Part { title: (*title).to_owned(), systems, ..wanted.part.clone() };
                (!part.systems.is_empty()).then_some(Wanted { kind: wanted.kind, part })
            })
            .collect();
        if groups.len() == 1 { vec![wanted.clone()] } else { groups }
    }

    /// The view cut up by level and area until every part fits.
    fn parts(
        &self,
        wanted: &Wanted,
        scale: Scale,
        way: Orientation,
        first: u32,
        remarks: &mut Vec<String>,
    ) -> Result<Vec<Draft>, SheetError> {
        let pipes = wanted.pipes(self.network);
        let page = self.page(way, &format!("{}: {}", wanted.part.title, "isometric from the south-west, part A1"));
        let below = self.caption_height(wanted, scale, page.area.width()) + 8.0;
        let mut spare = 0.0;
        loop {
            let room = (
                (page.area.width() - 2.0 * LABELS.x - spare) * f64::from(scale.0),
                (page.area.height() - below - 2.0 * LABELS.y - spare) * f64::from(scale.0),
            );
            let room = match wanted.kind {
                Kind::Iso(_) => Room::Iso(room.0, room.1),
                Kind::Plan(_) => Room::Plan(room.0, room.1),
            };
            let cuts = cuts(self.network, &pipes, room).ok_or(SheetError::TooLarge(scale))?;
            let tiles = tiles(self.network, &pipes, &cuts);
            if tiles.len() > MOST {
                return Err(SheetError::TooLarge(scale));
            }
            let drafts = self.tiles(wanted, scale, way, first, &cuts, &tiles);
            let beyond = drafts.iter().map(|d| d.beyond).fold(0.0, f64::max);
            if beyond <= 0.0 || spare > 60.0 {
                for (i, draft) in drafts.iter().enumerate().filter(|(_, d)| d.beyond > 0.0) {
                    remarks.push(format!("labels on sheet {} reach {:.0} mm beyond their place", first + i as u32, draft.beyond));
                }
                return Ok(drafts);
            }
            spare += beyond + 4.0;
        }
    }

    /// A sheet for every part.
    fn tiles(
        &self,
        wanted: &Wanted,
        scale: Scale,
        way: Orientation,
        first: u32,
        cuts: &Cuts,
        tiles: &[Tile],
    ) -> Vec<Draft> {
        let counts = cuts.counts();
        let index = |cell: [usize; 3]| (cell[2] * counts[1] + cell[1]) * counts[0] + cell[0];
        let mut numbers: Vec<Option<u32>> = vec![None; counts.iter().product()];
        for (i, tile) in tiles.iter().enumerate() {
            numbers[index(tile.cell)] = Some(first + i as u32);
        }
        let beyond = |cell: [usize; 3], face: usize| -> Option<String> {
            let mut next = cell;
            next[face / 2] = if face % 2 == 0 { cell[face / 2].checked_sub(1)? } else { cell[face / 2] + 1 };
            let inside = next.iter().zip(counts).all(|(i, count)| *i < count);
            let number = if inside { numbers[index(next)]? } else { return None };
            Some(format!("see sheet {number}"))
        };
        tiles
            .iter()
            .map(|tile| {
                let title = [wanted.part.title.as_str(), &self.levels(cuts, tile.cell), &area(cuts, tile.cell)]
                    .into_iter()
                    .filter(|words| !words.is_empty())
                    .collect::<Vec<_>>()
                    .join(", ");
                let part = Part {
                    title,
                    systems: wanted.part.systems.clone(),
                    pipes: Some(tile.pipes.clone()),
                    clip: Some(cuts.cell(tile.cell)),
                    beyond: std::array::from_fn(|face| beyond(tile.cell, face)),
                };
                let wanted = Wanted { kind: wanted.kind, part };
                self.forced(&wanted, scale, way, Some(key_plan(cuts, tile.cell)))
            })
            .collect()
    }

    /// The levels whose floors lie in a part, in words; nothing where height is not cut.
    fn levels(&self, cuts: &Cuts, cell: [usize; 3]) -> String {
        if cuts.z.is_empty() {
            return String::new();
        }
        let (from, to) = cuts.cell(cell);
        let mut inside: Vec<_> = self.network.levels.iter().filter(|l| l.floor >= from[2] && l.floor < to[2]).collect();
        inside.sort_by(|a, b| a.floor.total_cmp(&b.floor));
        match inside.as_slice() {
            [] if cell[2] == 0 => "below the lowest floor".to_owned(),
            [] => format!("height {} of {}", cell[2] + 1, cuts.z.len() + 1),
            [only] => only.name.clone(),
            [first, .., last] => format!("{} to {}", first.name, last.name),
        }
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
        let cuts = Cuts { x: vec![1.0; 30], ..Cuts::default() };
        assert_eq!(area(&cuts, [0, 0, 0]), "part A1");
        assert_eq!(area(&cuts, [2, 1, 0]), "part C2");
        assert_eq!(area(&cuts, [26, 0, 0]), "part AA1");
    }
}
