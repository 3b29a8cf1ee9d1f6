//! The whole set of sheets: views chosen, arranged, numbered and furnished.

use std::fmt;
use std::rc::Rc;

use kurbo::{Point, Rect};
use wyeline_draw::Corner;
use wyeline_network::Network;
use wyeline_network::model::LevelIx;
use wyeline_units::{Scale, UnitSystem};

use crate::arrange::{Desk, Draft, whole};
use crate::block::Block;
use crate::drawer::{Kind, Shown, Source, Wanted, by_level, plan_levels};
use crate::frame::{Page, flow, left_over, note_columns};
use crate::notes;
use crate::options::{Options, Views};
use crate::page::{Group, Item, Sheet};
use crate::paper::Paper;
use crate::scales::{scale_words, standard};
use crate::schedule::{self, Schedule};
use crate::section::{self, Section};
use crate::subset::Subsets;
use crate::title::{SheetWords, title_block};
use crate::{caution, legend};

/// The sheets of a job and what its maker should know about them.
#[derive(Clone, Debug)]
pub struct Layout {
    /// The sheets, in order.
    pub sheets: Vec<Sheet>,
    /// What was chosen and why, and what could not be done.
    pub remarks: Vec<String>,
}

/// Why no sheets could be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SheetError {
    /// There is neither a pipe nor a building.
    Nothing,
    /// A plan was asked for, but the job has no level, or not that one.
    NoLevel,
    /// No scale is allowed.
    NoScale,
    /// Even cut up by system, level and area it does not fit at this scale.
    TooLarge(Scale),
}

impl fmt::Display for SheetError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Nothing => f.write_str("there is no pipe, fixture or wall to draw"),
            Self::NoLevel => f.write_str("there is no such level to draw a plan of"),
            Self::NoScale => f.write_str("no scale is allowed"),
            Self::TooLarge(scale) => {
                write!(
                    f,
                    "does not fit at {} even cut up by system, level and area",
                    scale_words(*scale)
                )
            }
        }
    }
}

impl std::error::Error for SheetError {}

/// Returns the sheets of a network.
///
/// The largest standard scale at which everything fits is chosen unless one is asked for; what does not fit at
/// the smallest is told on several sheets, by system, level and area, and never drawn smaller without being asked.
///
/// # Errors
/// Where there is nothing to draw, or a part cannot be made small enough for the paper at the scale asked for.
pub fn sheets(network: &Network, options: &Options) -> Result<Layout, SheetError> {
    if network.pipes.is_empty() && network.fixtures.is_empty() && network.building.walls.is_empty()
    {
        return Err(SheetError::Nothing);
    }
    let scales = options.scale.map_or_else(
        || standard(network.units).collect::<Vec<_>>(),
        |scale| vec![scale],
    );
    let mut remarks = Vec::new();
    let views = Viewed::new(network, options, &scales, &mut remarks)?;
    let papers = options
        .paper
        .map_or_else(|| usual_papers(network.units), |paper| vec![paper]);
    let mut best: Option<Attempt> = None;
    let mut refused = SheetError::NoScale;
    for paper in papers {
        let desk = Desk {
            network,
            options,
            paper,
            scales: scales.clone(),
        };
        match views.lay_out(&desk) {
            Ok(attempt) => {
                if best.as_ref().is_none_or(|b| attempt.numbered < b.numbered) {
                    best = Some(attempt);
                }
            }
            Err(error) => refused = error,
        }
        // What has to be cut up is not helped by a little more paper.
        let enough = |a: &Attempt| a.numbered <= FEW || a.drafts.len() > MANY;
        if best.as_ref().is_some_and(enough) {
            break;
        }
    }
    let Some(attempt) = best else {
        return Err(refused);
    };
    remarks.extend(attempt.remarks);
    Ok(Layout {
        sheets: furnished(network, attempt.drafts, &options.schedules, &mut remarks),
        remarks,
    })
}

/// So many numbered labels may a sheet's table hold before more room is looked for; our choice.
pub(crate) const FEW: usize = 6;
/// With more sheets than this a larger paper is not tried unasked; our choice.
const MANY: usize = 8;

/// Drafts of one paper, with what is said of them.
struct Attempt<'a> {
    drafts: Vec<Draft<'a>>,
    remarks: Vec<String>,
    /// Labels that found no room beside their pipes.
    numbered: usize,
}

/// The views wanted, whatever the paper.
struct Viewed<'a> {
    iso: Option<Wanted<'a>>,
    plans: Vec<Wanted<'a>>,
}

impl<'a> Viewed<'a> {
    fn new(
        network: &'a Network,
        options: &Options,
        scales: &[Scale],
        remarks: &mut Vec<String>,
    ) -> Result<Self, SheetError> {
        let iso = match options.views {
            Views::Iso | Views::Both => Some(Wanted::new(
                Kind::Iso(corner(network, options, scales, remarks)),
                whole(options),
                Source::Whole(network),
            )),
            Views::Plan => None,
        };
        let plans = match options.views {
            Views::Iso => Vec::new(),
            Views::Plan | Views::Both => plans(network, options)?,
        };
        Ok(Self { iso, plans })
    }

    /// All views on one paper: together where there is room for them and their words, else one after the other.
    fn lay_out(&self, desk: &Desk<'a>) -> Result<Attempt<'a>, SheetError> {
        let mut remarks = Vec::new();
        let together: Vec<Wanted> = self.plans.iter().chain(&self.iso).cloned().collect();
        let one = if together.len() > 1 {
            desk.one_sheet(&together, &desk.scales, None)
        } else {
            None
        };
        let mut drafts = Vec::new();
        // Plan and isometric are read side by side: crowded, they ask for larger paper, not for a sheet each.
        if let Some(draft) = one {
            drafts.push(draft);
        } else {
            let shared = if self.iso.is_some() && self.plans.len() > 1 {
                desk.plans_together(&self.plans)
            } else {
                None
            };
            let apart = if shared.is_some() {
                self.iso.as_slice()
            } else {
                together.as_slice()
            };
            drafts.extend(shared);
            for wanted in apart {
                drafts.extend(desk.series(wanted, drafts.len() as u32 + 1, &mut remarks)?);
            }
        }
        let numbered = drafts.iter().map(Draft::numbered).sum();
        Ok(Attempt {
            drafts,
            remarks,
            numbered,
        })
    }
}

/// The papers where none is asked for, the likeliest first: 11 x 17 in is the usual single-line isometric sheet and the
/// least that many offices take, A3 its metric neighbour; the larger ones are for drawings whose labels need the room.
fn usual_papers(units: UnitSystem) -> Vec<&'static Paper> {
    let names: &[&str] = if units.is_metric() {
        &["a3", "a2"]
    } else {
        &["tabloid", "arch-c", "arch-d"]
    };
    names.iter().filter_map(|name| Paper::named(name)).collect()
}

/// The corner to look from.
fn corner(
    network: &Network,
    options: &Options,
    scales: &[Scale],
    remarks: &mut Vec<String>,
) -> Corner {
    if let Some(corner) = options.corner {
        return corner;
    }
    let scale = scales.last().copied().unwrap_or(Scale(96));
    let choice = wyeline_draw::best::best(network, &whole(options), scale);
    remarks.push(format!("seen from the {}", choice.reason));
    choice.corner
}

/// The plans wanted, each of a network of its own that holds what the level may show.
fn plans(network: &Network, options: &Options) -> Result<Vec<Wanted<'static>>, SheetError> {
    let levels = match options.level {
        Some(level) if (level.0 as usize) < network.levels.len() => vec![level],
        Some(_) => return Err(SheetError::NoLevel),
        None => plan_levels(network),
    };
    if levels.is_empty() {
        return Err(SheetError::NoLevel);
    }
    let (kept, mut subsets) = (by_level(network), Subsets::new(network));
    let wanted = |level: LevelIx| {
        let keep = kept.get(level.0 as usize)?;
        let kind = Kind::Plan(LevelIx(keep.levels.binary_search(&level).ok()? as u32));
        let network = Source::Part(Rc::new(subsets.take(keep)));
        Some(Wanted::new(kind, whole(options), network))
    };
    Ok(levels.into_iter().filter_map(wanted).collect())
}

/// A sheet with everything on it but its number.
struct Furnished {
    page: Page,
    title: String,
    scale: String,
    description: String,
    items: Vec<Item>,
    /// It holds pictures, not notes alone.
    drawn: bool,
    /// What finds no room on it.
    rest: Vec<Section>,
    /// Where it is said on which sheets that is.
    pointer: Point,
}

/// Furnishes and numbers the sheets; what finds no room beside the drawings goes on sheets of notes at the end.
fn furnished(
    network: &Network,
    drafts: Vec<Draft>,
    schedules: &[Schedule],
    remarks: &mut Vec<String>,
) -> Vec<Sheet> {
    let mut done: Vec<Furnished> = Vec::with_capacity(drafts.len());
    for (i, draft) in drafts.into_iter().enumerate() {
        done.push(furnish(network, draft, i == 0, i as u32 + 1, remarks));
    }
    on_notes_sheets(&mut done, remarks);
    on_list_sheets(&mut done, schedules);
    let count = done.len() as u32;
    let job = network
        .title
        .job
        .as_ref()
        .map_or("Drawing", |name| name.text.as_str());
    done.into_iter()
        .zip(1..)
        .map(|(sheet, number)| {
            let words = SheetWords {
                title: &sheet.title,
                scale: &sheet.scale,
                number: (number, count),
            };
            let block = title_block(network, &words, sheet.page.title.width());
            let mut items = sheet.page.furniture(network, sheet.drawn);
            items.extend(sheet.items);
            let top = sheet.page.title.y1 - block.height;
            items.push(block.at(Point::new(sheet.page.title.x0, top)));
            Sheet {
                size_mm: sheet.page.paper.size(sheet.page.orientation),
                number,
                count,
                title: format!("{job}: {} (sheet {number} of {count})", sheet.title),
                description: sheet.description,
                items,
            }
        })
        .collect()
}

/// Adds sheets of notes for what finds no room beside the drawings, and says on each drawing's sheet where it is.
fn on_notes_sheets(done: &mut Vec<Furnished>, remarks: &mut Vec<String>) {
    let rest: Vec<(u32, Vec<Section>)> = done
        .iter_mut()
        .zip(1..)
        .filter(|(sheet, _)| !sheet.rest.is_empty())
        .map(|(sheet, number)| (number, std::mem::take(&mut sheet.rest)))
        .collect();
    let Some(first) = done.first().filter(|_| !rest.is_empty()) else {
        return;
    };
    let page = first.page.clone();
    let columns = note_columns(&page);
    let mut sections = section::elsewhere(&rest);
    let mut at = 0;
    while at < sections.len() {
        let number = done.len() as u32 + 1;
        let (items, next) = section::set(&mut sections, at, &columns, number);
        at = next;
        if items.is_empty() {
            remarks.push("some notes are too long for the paper and are left out".to_owned());
            break;
        }
        done.push(Furnished {
            page: page.clone(),
            title: "Notes".to_owned(),
            scale: "no drawing".to_owned(),
            description: "Notes to the drawings.".to_owned(),
            items,
            drawn: false,
            rest: Vec::new(),
            pointer: Point::ZERO,
        });
    }
    for (number, rest) in rest {
        let Some(sheet) = done.get_mut(number as usize - 1) else {
            continue;
        };
        let mut at = sheet.pointer;
        for block in section::pointer(number, &rest, Some(&sections), sheet.page.room()) {
            let height = block.height;
            sheet.items.push(block.at(at));
            at.y += height;
        }
    }
}

/// Adds sheets of tables.
fn on_list_sheets(done: &mut Vec<Furnished>, schedules: &[Schedule]) {
    let Some(page) = done.first().map(|first| first.page.clone()) else {
        return;
    };
    let titles = schedules.iter().map(|schedule| schedule.title.as_str());
    let titles = titles.collect::<Vec<_>>().join(", ");
    for items in schedule::set(schedules, &page) {
        done.push(Furnished {
            page: page.clone(),
            title: "Lists".to_owned(),
            scale: "no drawing".to_owned(),
            description: format!("Lists: {titles}."),
            items,
            drawn: true,
            rest: Vec::new(),
            pointer: Point::ZERO,
        });
    }
}

/// Room kept at the foot of the last column to say where the rest of a sheet's notes is, mm; 0 where all of them fit.
fn kept_for_pointer(
    sections: &[Section],
    blocks: &[Block],
    columns: &[Rect],
    number: u32,
    room: f64,
) -> f64 {
    let mut kept = 0.0;
    loop {
        let left = left_over(blocks, &shortened(columns, kept));
        if left == 0 {
            return 0.0;
        }
        // The more room is kept, the more there is to say, but no more than all of it.
        let rest = section::remaining(sections.to_vec(), left);
        let lines = section::pointer(number, &rest, None, room);
        let needed = lines.iter().map(|b| b.height).sum::<f64>();
        if needed <= kept {
            return kept;
        }
        kept = needed;
    }
}

/// Columns of which the last ends so much higher, mm.
fn shortened(columns: &[Rect], by: f64) -> Vec<Rect> {
    let mut columns = columns.to_vec();
    if let Some(last) = columns.last_mut() {
        last.y1 -= by;
    }
    columns
}

/// Puts pictures, legend, notes and cautions on a sheet.
fn furnish(
    network: &Network,
    draft: Draft,
    first: bool,
    number: u32,
    remarks: &mut Vec<String>,
) -> Furnished {
    let room = draft.page.room();
    let scale = draft.scale_words();
    let pictures: Vec<Shown> = draft
        .cells
        .iter()
        .map(|d| (&*d.network, &d.picture))
        .collect();
    // What a ring stands for is wanted first, then what reading the drawing and working by it needs: the rest may go
    // to a sheet of notes.
    let key = draft.key.clone().map(|key| Section::new("", vec![key]));
    let mut sections: Vec<Section> = key.into_iter().collect();
    sections.push(notes::flags(network, &pictures, first, room));
    sections.extend(notes::overflow(&pictures, true, room));
    sections.push(legend::legend(&pictures, room));
    sections.push(caution::section(network, &pictures, room));
    sections.push(notes::reading(network, &pictures, room));
    if first {
        sections.extend(notes::of_the_job(network, room));
    }
    sections.extend(notes::overflow(&pictures, false, room));
    sections.retain(|section| !section.blocks.is_empty());
    let blocks = section::blocks(&sections, room);
    let description = description(&pictures, &scale);
    let numbered: usize = pictures.iter().map(|(_, p)| p.overflow.len()).sum();
    if numbered > 0 {
        let labels = if numbered == 1 {
            "1 label found no room on the drawing and is".to_owned()
        } else {
            format!("{numbered} labels found no room on the drawing and are")
        };
        remarks.push(format!(
            "sheet {number}: {labels} listed beside it; a larger paper or fewer systems at a time would help"
        ));
    }
    let shares = draft.shares(&blocks);
    if draft.page.stamp().is_some() && shares.stamp.is_none() {
        remarks.push(format!(
            "sheet {number}: no room was left for a stamp in the upper right corner"
        ));
    }
    let kept = kept_for_pointer(&sections, &blocks, &shares.columns, number, room);
    let columns = shortened(&shares.columns, kept);
    let pointer = columns
        .last()
        .map_or(Point::ZERO, |c| Point::new(c.x0, c.y1));
    let (set, rest) = flow(blocks, &columns);
    let rest = section::remaining(sections, rest.len());
    let mut items = Draft::views(draft.cells, &shares.cells, &shares.by);
    let mut notes = Group::new("notes");
    notes.items = set;
    items.push(Item::Group(notes));
    Furnished {
        page: draft.page,
        title: draft.title,
        scale,
        description,
        items,
        drawn: true,
        rest,
        pointer,
    }
}

/// What a sheet shows, in words.
fn description(pictures: &[Shown], scale: &str) -> String {
    let mut words = Vec::new();
    for (network, picture) in pictures {
        let name = notes::view_words(network, picture.view);
        let mut counts = Vec::new();
        for system in wyeline_job::model::System::ALL {
            let count = picture.pipes.iter().filter(|p| p.system == system).count();
            if count > 0 {
                counts.push(format!("{count} {}", legend::system_words(system)));
            }
        }
        let counts = if counts.is_empty() {
            "no".to_owned()
        } else {
            counts.join(", ")
        };
        words.push(format!("{name}: {counts} pipes."));
    }
    format!("{} Scale {scale}.", words.join(" "))
}
