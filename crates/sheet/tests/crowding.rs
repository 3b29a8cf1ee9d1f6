//! What a set does when labels find no room: systems apart, then a larger paper, never unasked what was asked for.

use wyeline_network::Network;
use wyeline_sheet::{Layout, Options, Paper, Views, sheets};

/// A washroom with waste, vent, cold and hot in one corner.
const WASHROOM: &str = include_str!("../../../examples/heron-cottage.wye");
/// Cold and hot mains of a shop.
const SHOP: &str = include_str!("../../../examples/bakery-water.wye");

fn network(text: &str) -> Network {
    let reading = wyeline_job::read(text);
    wyeline_network::build(&reading.job, text).network
}

fn made(text: &str, paper: Option<&str>) -> Layout {
    let options = Options {
        paper: paper.map(|name| Paper::named(name).expect("a known paper")),
        ..Options::default()
    };
    sheets(&network(text), &options).expect("there is something to draw")
}

/// Labels that the remarks say found no room.
fn numbered(layout: &Layout) -> usize {
    let counts = layout.remarks.iter().filter_map(|remark| {
        let (words, _) = remark.split_once(" found no room")?;
        words.rsplit(' ').nth(1)?.parse::<usize>().ok()
    });
    counts.sum()
}

#[test]
fn a_crowded_job_is_told_by_system() {
    let titles: Vec<String> = made(WASHROOM, Some("tabloid"))
        .sheets
        .into_iter()
        .map(|sheet| sheet.title)
        .collect();
    assert_eq!(titles.len(), 2, "{titles:?}");
    assert!(titles[0].contains("Waste and vent"), "{titles:?}");
    assert!(titles[1].contains("Water"), "{titles:?}");
}

#[test]
fn a_larger_paper_is_taken_where_none_is_asked_for_and_labels_need_it() {
    // 11 x 17 in is 431.8 mm long.
    let asked = made(SHOP, Some("tabloid"));
    let free = made(SHOP, None);
    assert!(
        asked
            .sheets
            .iter()
            .all(|s| (s.size_mm.0 - 431.8).abs() < 1e-9)
    );
    assert!(free.sheets[0].size_mm.0 > 431.8);
    assert!(numbered(&free) < numbered(&asked));
}

#[test]
fn plan_and_isometric_stay_together_though_they_crowd() {
    let options = Options {
        views: Views::Both,
        ..Options::default()
    };
    let layout = sheets(&network(WASHROOM), &options).expect("there is something to draw");
    assert_eq!(layout.sheets.len(), 1, "{:?}", layout.remarks);
    let title = &layout.sheets[0].title;
    assert!(
        title.contains("Plan, main") || title.contains("plan, main"),
        "{title}"
    );
    assert!(title.contains("isometric"), "{title}");
}
