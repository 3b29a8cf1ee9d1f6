//! The sheets of a job as they are printed, and its lists as files: bytes with the type and the name they go by.

use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};
use serde::Deserialize;
use serde_json::{Value, json};
use wyeline_network::model::LevelIx;
use wyeline_sheet::{Layout, Options, Orientation, Paper, Views};
use wyeline_units::Scale;
use wyeline_whole::{list_paper, mark};

use crate::look::{corner, systems};
use crate::refusal::Refusal;
use crate::work::Work;

/// What is to stand on the sheets.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Print {
    /// `iso`, `plan` or `both`.
    #[serde(default)]
    pub views: String,
    /// The corner; the best where empty.
    #[serde(default)]
    pub corner: String,
    /// Systems, with commas between; all where empty.
    #[serde(default)]
    pub systems: String,
    /// The scale's ratio; the largest that fits where 0.
    #[serde(default)]
    pub scale: u32,
    /// The paper's name; chosen where empty.
    #[serde(default)]
    pub paper: String,
    /// `landscape` or `portrait`; chosen where empty.
    #[serde(default)]
    pub way: String,
    /// The level of the plan; every one where empty.
    #[serde(default)]
    pub level: String,
    /// The grid behind.
    #[serde(default)]
    pub grid: bool,
    /// Marks of pieces and fittings.
    #[serde(default)]
    pub marks: bool,
    /// Lists on sheets of their own.
    #[serde(default)]
    pub lists: bool,
}

/// Lays out the sheets of a job.
pub fn layout(work: &Work, print: &Print) -> Result<Layout, Refusal> {
    let mut network = work.drawn().clone();
    let listed = (print.marks || print.lists).then(|| &work.listed().0);
    if let Some(listed) = listed.filter(|_| print.marks) {
        mark::marks(&mut network, listed);
    }
    let schedules = listed
        .filter(|_| print.lists)
        .map_or_else(Vec::new, |listed| list_paper::all(&listed.all(&work.built)));
    let level = network
        .levels
        .iter()
        .position(|level| level.name == print.level);
    let options = Options {
        views: match print.views.as_str() {
            "plan" => Views::Plan,
            "both" => Views::Both,
            _ => Views::Iso,
        },
        corner: corner(&print.corner),
        systems: systems(&print.systems),
        scale: Some(Scale(print.scale)).filter(|scale| (1..=1000).contains(&scale.0)),
        paper: Paper::named(&print.paper),
        orientation: match print.way.as_str() {
            "landscape" => Some(Orientation::Landscape),
            "portrait" => Some(Orientation::Portrait),
            _ => None,
        },
        grid: print.grid,
        true_fall: false,
        labels_along: false,
        level: level.map(|at| LevelIx(at as u32)),
        schedules,
    };
    wyeline_sheet::sheets(&network, &options)
        .map_err(|error| Refusal::wrong(format!("nothing drawn: {error}")))
}

/// What the sheets are, for choosing one.
pub fn index(layout: &Layout) -> Value {
    let sheets = layout.sheets.iter().map(|sheet| {
        json!({ "number": sheet.number, "title": sheet.title, "size": [sheet.size_mm.0, sheet.size_mm.1], "words": sheet.description })
    });
    json!({ "sheets": sheets.collect::<Vec<_>>(), "remarks": layout.remarks })
}

/// A file to be handed out.
pub struct Handed {
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// Its media type.
    pub kind: &'static str,
    /// The name to save it by; shown in the page where there is none.
    pub name: Option<String>,
}

/// Dots per inch of a picture: sharp on paper in the hand. Our own choice.
const DPI: f64 = 150.0;

/// A sheet, or all of them, as a file: `1.svg`, `2.png`, `all.pdf`.
pub fn file(job: &str, layout: &Layout, name: &str) -> Result<Handed, Refusal> {
    let missing = || Refusal::missing(format!("there is no sheet {name}"));
    let stem = job.strip_suffix(".wye").unwrap_or(job);
    if name == "all.pdf" {
        let bytes = wyeline_exchange::pdf(&layout.sheets)
            .map_err(|error| Refusal::wrong(error.to_string()))?;
        return Ok(Handed {
            bytes,
            kind: "application/pdf",
            name: Some(format!("{stem}.pdf")),
        });
    }
    let (number, ending) = name.split_once('.').ok_or_else(missing)?;
    let number: u32 = number.parse().map_err(|_| missing())?;
    let sheet = layout
        .sheets
        .iter()
        .find(|sheet| sheet.number == number)
        .ok_or_else(missing)?;
    match ending {
        "svg" => Ok(Handed {
            bytes: wyeline_exchange::svg(sheet).into_bytes(),
            kind: "image/svg+xml",
            name: None,
        }),
        "png" => Ok(Handed {
            bytes: wyeline_exchange::png(sheet, DPI)
                .map_err(|error| Refusal::wrong(error.to_string()))?,
            kind: "image/png",
            name: Some(format!("{stem}-{number}.png")),
        }),
        _ => Err(missing()),
    }
}

/// The lists as one workbook, or one of them as comma-separated values: `lists.xlsx`, `pieces.csv`.
pub fn lists(job: &str, work: &Work, name: &str) -> Result<Handed, Refusal> {
    let stem = job.strip_suffix(".wye").unwrap_or(job);
    let lists = work.listed().0.all(&work.built);
    if name == "lists.xlsx" {
        let filled: Vec<_> = lists.into_iter().filter(|list| !list.is_empty()).collect();
        let title = work.built.network.title.job.as_ref();
        let book = wyeline_exchange::xlsx(title.map_or(stem, |name| &name.text), &filled);
        return Ok(Handed {
            bytes: book.map_err(|error| Refusal::wrong(error.to_string()))?,
            kind: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
            name: Some(format!("{stem}.xlsx")),
        });
    }
    let list = name
        .strip_suffix(".csv")
        .and_then(|id| lists.iter().find(|list| list.id == id));
    let list = list.ok_or_else(|| Refusal::missing(format!("there is no list {name}")))?;
    Ok(Handed {
        bytes: wyeline_exchange::csv(list).map_err(|error| Refusal::wrong(error.to_string()))?,
        kind: "text/csv; charset=utf-8",
        name: Some(format!("{stem}-{}.csv", list.id)),
    })
}

/// What stands as it is in addresses and in names of files in headers.
pub const PLAIN: &AsciiSet = &NON_ALPHANUMERIC.remove(b'.').remove(b'-').remove(b'_');

/// A file's name as a header tells it: plain letters, and the whole name percent-encoded (RFC 6266, RFC 8187).
pub fn disposition(name: &str) -> String {
    let plain: String = name
        .chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '_' | ' ') {
                c
            } else {
                '_'
            }
        })
        .collect();
    let encoded = utf8_percent_encode(name, PLAIN);
    format!("attachment; filename=\"{plain}\"; filename*=UTF-8''{encoded}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_cannot_break_out_of_its_header() {
        assert_eq!(
            disposition("a\"\r\nx: é.pdf"),
            "attachment; filename=\"a___x_ _.pdf\"; filename*=UTF-8''a%22%0D%0Ax%3A%20%C3%A9.pdf"
        );
    }
}
