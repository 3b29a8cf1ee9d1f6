//! Scanned or photographed plans that lie under the plan, a level each, kept beside the job in the folder of its history.
//!
//! In: the bytes of a PNG, a JPEG or a PDF (its first page), and where it is to lie. Out: a picture that a browser shows, and its place in
//! millimetres of the building. They are no part of the job: the words tell what was traced from them.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use hayro::hayro_interpret::InterpreterSettings;
use hayro::hayro_syntax::Pdf;
use hayro::vello_cpu::color::palette::css::WHITE;
use hayro::{RenderCache, RenderSettings, render};
use serde::{Deserialize, Serialize};
use wyeline_units::{Len, UnitSystem};

use crate::refusal::Refusal;

/// Largest picture taken, bytes: a scan of a large sheet. Our own choice.
pub const LARGEST: usize = 32 << 20;
/// Pixels along the longer side of a page of a PDF: enough to read dimensions by. Our own choice.
const PIXELS: f32 = 3000.0;
/// How wide a picture lies before it is scaled, mm: about a small house. Our own choice.
const WIDE_MM: f64 = 12_000.0;
/// A sheet is taken to be drawn at 1/4 in = 1 ft until it is scaled: the usual scale of floor plans (common practice).
const USUAL_SCALE: f64 = 48.0;

/// Where a picture lies.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Place {
    /// East of its left edge, mm.
    pub x: f64,
    /// North of its upper edge, mm.
    pub y: f64,
    /// Width, mm of the building.
    pub wide: f64,
    /// Height, mm of the building.
    pub high: f64,
    /// Grows with every picture laid there.
    pub version: u64,
}

/// The pictures under a job, by level.
pub type Underlays = BTreeMap<u32, Place>;

/// What is to be done with a picture that lies there.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Change {
    /// It goes.
    #[serde(default)]
    gone: bool,
    /// The point that stays where it is, mm.
    #[serde(default)]
    about: [f64; 2],
    /// How far two points of it are apart as it lies now, mm.
    #[serde(default)]
    apart: f64,
    /// How far they are apart in the building, in words.
    #[serde(default)]
    words: String,
}

/// The pictures under the job of a file.
pub struct Shelf {
    folder: PathBuf,
    name: String,
}

impl Shelf {
    /// The shelf of a job.
    pub fn of(job: &Path) -> Self {
        let name = job
            .file_name()
            .and_then(|name| name.to_str())
            .unwrap_or("job.wye");
        Self {
            folder: job.with_file_name(".wyeline"),
            name: name.to_owned(),
        }
    }

    fn index(&self) -> PathBuf {
        self.folder.join(format!("{}.underlays.json", self.name))
    }

    fn picture(&self, level: u32) -> PathBuf {
        self.folder.join(format!("{}.underlay-{level}", self.name))
    }

    /// Where pictures lie. An index that cannot be read is an empty one: the pictures can be laid anew.
    pub fn all(&self) -> Underlays {
        let bytes = fs::read(self.index()).unwrap_or_default();
        serde_json::from_slice(&bytes).unwrap_or_default()
    }

    /// A picture's bytes and media type.
    pub fn read(&self, level: u32) -> Result<(Vec<u8>, &'static str), Refusal> {
        let bytes = fs::read(self.picture(level))
            .map_err(|_| Refusal::missing("no picture lies under that level".to_owned()))?;
        let kind = if bytes.starts_with(PNG) {
            "image/png"
        } else {
            "image/jpeg"
        };
        Ok((bytes, kind))
    }

    /// Lays a picture under a level.
    pub fn put(&self, level: u32, bytes: &[u8]) -> Result<Underlays, Refusal> {
        let (picture, wide, high) = shown(bytes)?;
        let mut all = self.all();
        let version = all.get(&level).map_or(1, |place| place.version + 1);
        fs::create_dir_all(&self.folder).map_err(|error| Refusal::disk(&error))?;
        replace(&self.picture(level), &picture).map_err(|error| Refusal::disk(&error))?;
        all.insert(
            level,
            Place {
                x: 0.0,
                y: high,
                wide,
                high,
                version,
            },
        );
        self.write(&all)
    }

    /// Scales a picture, or takes it away.
    pub fn change(
        &self,
        level: u32,
        change: &Change,
        units: UnitSystem,
    ) -> Result<Underlays, Refusal> {
        let mut all = self.all();
        if change.gone {
            all.remove(&level);
            // The picture itself is only found by the index.
            let _ = fs::remove_file(self.picture(level));
            return self.write(&all);
        }
        let place = all
            .get_mut(&level)
            .ok_or_else(|| Refusal::missing("no picture lies under that level".to_owned()))?;
        let known = Len::read(change.words.trim(), units)
            .map_err(|error| Refusal::wrong(format!("the distance: {error}")))?;
        let by = known.len.mm() / change.apart;
        if !by.is_finite() || !(1e-4..1e4).contains(&by) {
            return Err(Refusal::wrong(
                "those two points and that distance give no scale".to_owned(),
            ));
        }
        let [x, y] = change.about;
        *place = Place {
            x: x + (place.x - x) * by,
            y: y + (place.y - y) * by,
            wide: place.wide * by,
            high: place.high * by,
            version: place.version,
        };
        self.write(&all)
    }

    fn write(&self, all: &Underlays) -> Result<Underlays, Refusal> {
        let json = serde_json::to_vec(all).map_err(|error| Refusal::wrong(error.to_string()))?;
        replace(&self.index(), &json).map_err(|error| Refusal::disk(&error))?;
        Ok(all.clone())
    }
}

/// Writes a file whole or not at all.
fn replace(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut part = path.as_os_str().to_owned();
    part.push(".part");
    fs::write(&part, bytes)?;
    fs::rename(&part, path)
}

const PNG: &[u8] = b"\x89PNG\r\n\x1a\n";
const JPEG: &[u8] = b"\xff\xd8\xff";

/// A picture that a browser shows, with the width and height it first lies at, mm of the building.
fn shown(bytes: &[u8]) -> Result<(Vec<u8>, f64, f64), Refusal> {
    if bytes.starts_with(b"%PDF-") {
        return page(bytes);
    }
    if !bytes.starts_with(PNG) && !bytes.starts_with(JPEG) {
        return Err(Refusal::wrong(
            "a plan to lie underneath is a PNG, a JPEG or a PDF".to_owned(),
        ));
    }
    let size = imagesize::blob_size(bytes)
        .map_err(|error| Refusal::wrong(format!("that picture cannot be read: {error}")))?;
    if size.width == 0 || size.height == 0 {
        return Err(Refusal::wrong("that picture is empty".to_owned()));
    }
    let high = WIDE_MM * size.height as f64 / size.width as f64;
    Ok((bytes.to_vec(), WIDE_MM, high))
}

/// The first page of a PDF as a picture.
fn page(bytes: &[u8]) -> Result<(Vec<u8>, f64, f64), Refusal> {
    let wrong = |why: &str| Refusal::wrong(format!("that PDF cannot be read: {why}"));
    let pdf = Pdf::new(bytes.to_vec()).map_err(|_| wrong("it is damaged or locked"))?;
    let page = pdf.pages().first().ok_or_else(|| wrong("it has no page"))?;
    let (wide, high) = page.render_dimensions();
    let longest = wide.max(high);
    if !longest.is_finite() || wide < 1.0 || high < 1.0 {
        return Err(wrong("its first page is empty"));
    }
    let scale = PIXELS / longest;
    let settings = RenderSettings {
        x_scale: scale,
        y_scale: scale,
        bg_color: WHITE,
        ..RenderSettings::default()
    };
    let pixmap = render(
        page,
        &RenderCache::new(),
        &InterpreterSettings::default(),
        &settings,
    );
    let mut out = Vec::new();
    let mut encoder = png::Encoder::new(&mut out, pixmap.width().into(), pixmap.height().into());
    encoder.set_color(png::ColorType::Rgba);
    encoder.set_depth(png::BitDepth::Eight);
    let written = encoder
        .write_header()
        .and_then(|mut writer| writer.write_image_data(pixmap.data_as_u8_slice()));
    written.map_err(|error| wrong(&error.to_string()))?;
    // A point is 1/72 in.
    let mm = |points: f32| f64::from(points) * 25.4 / 72.0 * USUAL_SCALE;
    Ok((out, mm(wide), mm(high)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1 by 2 pixels: 12 m wide, 24 m high.
    fn picture() -> Vec<u8> {
        let mut out = Vec::new();
        let mut encoder = png::Encoder::new(&mut out, 1, 2);
        encoder.set_color(png::ColorType::Grayscale);
        encoder
            .write_header()
            .and_then(|mut w| w.write_image_data(&[0, 255]))
            .expect("two pixels");
        out
    }

    #[test]
    fn a_picture_is_scaled_about_the_first_of_two_points() {
        let folder = tempfile::tempdir().expect("a folder");
        let shelf = Shelf::of(&folder.path().join("a.wye"));
        shelf.put(0, &picture()).expect("laid");
        // Two points 3 m apart that are 6 m apart in the building: twice as large, the first stays.
        let change = Change {
            gone: false,
            about: [1000.0, 1000.0],
            apart: 3000.0,
            words: "6m".to_owned(),
        };
        let all = shelf
            .change(0, &change, UnitSystem::Metres)
            .expect("scaled");
        let place = all[&0];
        assert_eq!((place.wide, place.high), (24_000.0, 48_000.0));
        assert_eq!((place.x, place.y), (-1000.0, 47_000.0));
    }

    /// A letter sheet lying, 11 in wide, at 1/4 in = 1 ft: 44 ft, which is 13,411.2 mm.
    #[test]
    fn a_page_of_a_pdf_lies_at_the_usual_scale_of_a_plan() {
        let sheet = wyeline_sheet::Sheet {
            size_mm: (279.4, 215.9),
            number: 1,
            count: 1,
            title: "Plan".to_owned(),
            description: String::new(),
            items: Vec::new(),
        };
        let pdf = wyeline_exchange::pdf(&[sheet]).expect("an empty page");
        let folder = tempfile::tempdir().expect("a folder");
        let shelf = Shelf::of(&folder.path().join("a.wye"));
        let all = shelf.put(1, &pdf).expect("laid");
        assert!((all[&1].wide - 13_411.2).abs() < 1.0, "{:?}", all[&1]);
        assert_eq!(shelf.read(1).expect("a picture").1, "image/png");
    }

    #[test]
    fn what_is_no_picture_is_refused_and_nothing_is_kept() {
        let folder = tempfile::tempdir().expect("a folder");
        let shelf = Shelf::of(&folder.path().join("a.wye"));
        assert!(shelf.put(0, b"<svg onload=x>").is_err());
        assert!(shelf.put(0, b"%PDF-1.7 nothing else").is_err());
        assert!(shelf.put(0, PNG).is_err());
        assert!(shelf.all().is_empty());
    }
}
