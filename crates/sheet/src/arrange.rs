//! Views arranged on a page at the largest scale at which they and their labels fit.

use kurbo::{Rect, Size, Vec2};
use wyeline_draw::{Corner, Part, Picture, View};
use wyeline_network::Network;
use wyeline_units::Scale;

use crate::block::Block;
use crate::caption;
use crate::drawer::{Kind, Source, Wanted};
use crate::frame::Page;
use crate::notes::view_words;
use crate::options::Options;
use crate::page::{Datum, Group, Item, Mark};
use crate::paper::{Orientation, Paper};
use crate::place;
use crate::title::{SheetWords, title_block};

/// Room for labels on each side of a view, mm, before it is drawn; our choice, checked after drawing.
pub(crate) const LABELS: Vec2 = Vec2::new(13.0, 8.0);
/// Room for the viewpoint's mark round a plan, mm.
const EYE: f64 = 9.0;

/// A picture drawn and the cell it stands in.
pub(crate) struct Drawn<'a> {
    pub picture: Picture,
    /// The words for its part.
    pub part: String,
    pub cell: Rect,
    /// The network its indices are of.
    pub network: Source<'a>,
}

/// A sheet with its pictures drawn, before it has its number.
pub(crate) struct Draft<'a> {
    pub page: Page,
    pub cells: Vec<Drawn<'a>>,
    pub title: String,
    pub key: Option<Block>,
    /// How far labels reach out of the page's area across and down, mm; 0 where all is well.
    pub beyond: Vec2,
}

/// Whether views fit on one sheet.
pub(crate) enum Fitted<'a> {
    /// They do.
    On(Box<Draft<'a>>),
    /// They do, but their words find too little room.
    Crowded,
    /// At no scale allowed.
    No,
}

impl<'a> Fitted<'a> {
    fn draft(self) -> Option<Draft<'a>> {
        match self {
            Self::On(draft) => Some(*draft),
            Self::Crowded | Self::No => None,
        }
    }
}

/// What all sheets of a job have in common while they are arranged.
pub(crate) struct Desk<'a> {
    pub network: &'a Network,
    pub options: &'a Options,
    pub paper: &'static Paper,
    /// The scales that may be chosen, the largest first.
    pub scales: Vec<Scale>,
}

impl<'a> Desk<'a> {
    /// A page whose title block has room for these words.
    pub fn page(&self, orientation: Orientation, title: &str) -> Page {
        Page::new(self.paper, orientation, self.title_height(title))
    }

    /// How high a title block with these words is, mm.
    fn title_height(&self, title: &str) -> f64 {
        let words = SheetWords {
            title,
            scale: "3/16 in = 1 ft",
            number: (999, 999),
        };
        title_block(self.network, &words, self.paper.side).height
    }

    /// The ways up that may be chosen at a scale, the likelier first: portrait only below the scale at which
    /// a drawing is large enough, so that most sheets lie one way and keep room for notes and stamp.
    fn ways(&self, scale: Scale) -> &'static [Orientation] {
        match self.options.orientation {
            Some(Orientation::Portrait) => &[Orientation::Portrait],
            None if scale >= crate::scales::enough(self.network.units) => {
                &[Orientation::Landscape, Orientation::Portrait]
            }
            Some(Orientation::Landscape) | None => &[Orientation::Landscape],
        }
    }

    /// The way up of a set of several sheets.
    pub fn way(&self) -> Orientation {
        self.options.orientation.unwrap_or(Orientation::Landscape)
    }

    /// All views on one sheet, at the largest of the scales at which they fit; nothing where they do not.
    pub fn one_sheet(
        &self,
        wanted: &[Wanted<'a>],
        scales: &[Scale],
        way: Option<Orientation>,
    ) -> Option<Draft<'a>> {
        let draw = |w: &Wanted<'a>, scale| Some(w.draw(self.options, scale));
        self.fitted(wanted, scales, way, draw).draft()
    }

    /// The same, given up where words find too little room: then there is another way of drawing it.
    pub fn one_sheet_unless_crowded(&self, wanted: &Wanted<'a>, scales: &[Scale]) -> Fitted<'a> {
        let draw = |w: &Wanted<'a>, scale| w.draw_unless_crowded(self.options, scale);
        self.fitted(std::slice::from_ref(wanted), scales, None, draw)
    }

    fn fitted(
        &self,
        wanted: &[Wanted<'a>],
        scales: &[Scale],
        way: Option<Orientation>,
        draw: impl Fn(&Wanted<'a>, Scale) -> Option<Picture>,
    ) -> Fitted<'a> {
        let title = title(wanted);
        let height = self.title_height(&title);
        let page = |way| Page::new(self.paper, way, height);
        let pages = [page(Orientation::Landscape), page(Orientation::Portrait)];
        let extents: Vec<Rect> = wanted.iter().map(Wanted::extent).collect();
        for scale in scales {
            let estimate: Vec<Size> = extents
                .iter()
                .map(|e| {
                    Size::new(scale.paper(e.width()), scale.paper(e.height()))
                        + LABELS.to_size() * 2.0
                })
                .collect();
            let ways = way.as_ref().map_or(self.ways(*scale), std::slice::from_ref);
            let likely: Vec<&Page> = ways
                .iter()
                .filter_map(|way| pages.iter().find(|p| p.orientation == *way))
                .filter(|page| self.cells(page, wanted, &estimate, *scale).is_some())
                .collect();
            if likely.is_empty() {
                continue;
            }
            // What is crowded at the largest scale is more so at the next.
            let pictures: Option<Vec<Picture>> = wanted.iter().map(|w| draw(w, *scale)).collect();
            let Some(pictures) = pictures else {
                return Fitted::Crowded;
            };
            let sizes: Vec<Size> = pictures.iter().map(|p| p.bounds.size()).collect();
            for page in likely {
                if let Some(cells) = self.cells(page, wanted, &sizes, *scale) {
                    let cells = wanted
                        .iter()
                        .zip(pictures)
                        .zip(cells)
                        .map(|((w, p), c)| w.drawn(p, c))
                        .collect();
                    return Fitted::On(Box::new(Draft {
                        page: page.clone(),
                        cells,
                        title,
                        key: None,
                        beyond: Vec2::ZERO,
                    }));
                }
            }
        }
        Fitted::No
    }

    /// All plans on one sheet, unless each of them alone could be drawn larger; nothing where they do not fit.
    pub fn plans_together(&self, plans: &[Wanted<'a>]) -> Option<Draft<'a>> {
        let draft = self.one_sheet(plans, &self.scales, Some(self.way()))?;
        let scale = draft.cells.first()?.picture.scale;
        let Some(larger) = self.scales.iter().rev().find(|s| **s < scale) else {
            return Some(draft);
        };
        if scale <= crate::scales::enough(self.network.units) {
            return Some(draft);
        }
        let page = self.page(self.way(), &draft.title);
        let alone = |plan: &Wanted| {
            let extent = plan.extent();
            let size = Size::new(larger.paper(extent.width()), larger.paper(extent.height()))
                + LABELS.to_size() * 2.0;
            self.cells(&page, std::slice::from_ref(plan), &[size], *larger)
                .is_some()
        };
        (!plans.iter().all(alone)).then_some(draft)
    }

    /// Cells for views of these sizes, captions included.
    fn cells(
        &self,
        page: &Page,
        wanted: &[Wanted],
        sizes: &[Size],
        scale: Scale,
    ) -> Option<Vec<Rect>> {
        let several = wanted.len() > 1;
        let full: Vec<Size> = wanted
            .iter()
            .zip(sizes)
            .map(|(w, size)| {
                let eye = if several && matches!(w.kind, Kind::Plan(_)) {
                    2.0 * EYE
                } else {
                    0.0
                };
                let width = (size.width + eye).max(caption::LEAST);
                Size::new(
                    width,
                    size.height + eye + self.caption_height(w, scale, width),
                )
            })
            .collect();
        let iso = wanted.iter().position(|w| matches!(w.kind, Kind::Iso(_)));
        match iso {
            Some(last) => crate::pack::pack(page.area, &full[..last], Some(full[last])),
            None => crate::pack::pack(page.area, &full, None),
        }
    }

    /// Height of a view's caption, mm.
    pub fn caption_height(&self, wanted: &Wanted, scale: Scale, width: f64) -> f64 {
        let view = wanted.kind.view(self.options.true_fall);
        caption::words(&wanted.network, view, &wanted.part.title, scale, width).height()
    }

    /// One view on a sheet of its own, however far it reaches.
    pub fn forced(
        &self,
        wanted: &Wanted<'a>,
        scale: Scale,
        way: Orientation,
        key: Option<Block>,
    ) -> Draft<'a> {
        let title = title(std::slice::from_ref(wanted));
        let page = self.page(way, &title);
        let picture = wanted.draw(self.options, scale);
        let tall = picture.bounds.height() + self.caption_height(wanted, scale, page.area.width());
        let beyond = Vec2::new(
            (picture.bounds.width() - page.area.width()).max(0.0),
            (tall - page.area.height()).max(0.0),
        );
        let cell = page.area;
        Draft {
            page,
            cells: vec![wanted.drawn(picture, cell)],
            title,
            key,
            beyond,
        }
    }
}

/// The title of a sheet with these views.
fn title(wanted: &[Wanted]) -> String {
    let words: Vec<String> = wanted
        .iter()
        .map(|w| view_words(&w.network, w.kind.view(false)))
        .collect();
    let mut said = words.join("; ");
    if let Some(part) = wanted.iter().map(|w| &w.part.title).find(|t| !t.is_empty()) {
        said = format!("{part}: {said}");
    }
    let mut letters = said.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

impl Draft<'_> {
    /// How many labels found no room beside their pipes and stand in the table.
    pub fn numbered(&self) -> usize {
        self.cells.iter().map(|d| d.picture.overflow.len()).sum()
    }

    /// The scale in words, where all pictures share one.
    pub fn scale_words(&self) -> String {
        let mut scales = self.cells.iter().map(|drawn| drawn.picture.scale);
        match scales.next() {
            None => "none".to_owned(),
            Some(first) if scales.all(|s| s == first) => crate::scales::scale_words(first),
            Some(_) => "as shown".to_owned(),
        }
    }

    /// Puts the pictures into their cells, each moved by so much.
    pub fn views(drawn: Vec<Drawn>, cells: &[Rect], by: &[Vec2]) -> Vec<Item> {
        let mut items = Vec::new();
        let corner = drawn.iter().find_map(|d| match d.picture.view {
            View::Iso { corner, .. } => Some(corner),
            View::Plan { .. } => None,
        });
        for ((drawn, cell), by) in drawn.into_iter().zip(cells).zip(by) {
            let Drawn {
                picture,
                part,
                network,
                ..
            } = drawn;
            let (view, scale, bounds) = (picture.view, picture.scale, picture.bounds + *by);
            items.push(Item::Group(place::view(&network, picture, by.to_point())));
            if let (View::Plan { .. }, Some(corner)) = (view, corner) {
                items.push(Item::Group(eye(corner, bounds)));
            }
            let words = caption::words(&network, view, &part, scale, cell.width());
            items.push(Item::Group(words.draw(&network, view, scale, *cell)));
        }
        items
    }
}

impl<'a> Wanted<'a> {
    fn drawn(&self, picture: Picture, cell: Rect) -> Drawn<'a> {
        Drawn {
            picture,
            part: self.part.title.clone(),
            cell,
            network: self.network.clone(),
        }
    }
}

impl Drawn<'_> {
    /// A cell without the caption.
    pub fn inner(&self, cell: Rect) -> Rect {
        Rect::new(
            cell.x0,
            cell.y0,
            cell.x1,
            cell.y1 - self.words(cell).height(),
        )
    }

    /// Where the caption of a cell stands.
    pub fn caption(&self, cell: Rect) -> Rect {
        let words = self.words(cell);
        let width = words.width(self.picture.scale, self.network.units);
        Rect::new(cell.x0, cell.y1 - words.height(), cell.x0 + width, cell.y1)
    }

    fn words(&self, cell: Rect) -> caption::Words {
        let picture = &self.picture;
        caption::words(
            &self.network,
            picture.view,
            &self.part,
            picture.scale,
            cell.width(),
        )
    }
}

/// The mark on a plan for where the isometric is seen from.
fn eye(corner: Corner, plan: Rect) -> Group {
    let mut group = Group::new("viewpoint").with("corner", Datum::Word(corner.word()));
    group.title = Some(format!("the isometric is seen from the {}", corner.name()));
    let marks = wyeline_draw::plan::viewpoint_mark(plan, corner);
    group.items.extend(
        marks
            .into_iter()
            .map(|stroke| Item::Stroke(Mark { class: "", stroke })),
    );
    group
}

/// The whole of a job for the systems asked for.
pub(crate) fn whole(options: &Options) -> Part {
    Part {
        systems: options.systems.clone(),
        ..Part::default()
    }
}
