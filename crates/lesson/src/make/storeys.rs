//! Level 8: two storeys on one stack, a bath over another or over a half bath, each lavatory's vent tied in over the upper rims.
//! Sizes, heights and distances are our own choice; what a code asks is asked of the checks afterwards.

use super::choices::Choices;
use super::rooms::{facts, kind, row};
use super::told::Told;
use super::turned::{E, S, Turned, W, above, feet};
use super::{Kind, title};

const WC: &str = "water-closet";
const LAV: &str = "lavatory";
const SHR: &str = "shower";

/// Heights of the upper floor, the branch in it, its vents' tie over its rims; all in above the main floor.
struct Heights {
    upper: i64,
    branch: i64,
    tie: i64,
}

/// Tells the job.
pub(super) fn storeys(kind_of: Kind, choices: &mut Choices) -> Option<Told> {
    let wet = choices.shared.pick(&facts().wet).half;
    let half_bath = choices.shared.coin();
    let mirrored = choices.own(2) == 1;
    let quarters = choices.own(4) as u8;
    let depth = choices.own_of(&[66, 72, 78]);
    let stack = choices.own_of(&[12, 18]);
    let orders: &[&[&str]] = &[&[WC, SHR, LAV], &[SHR, WC, LAV]];
    let above_order = choices.own_of(orders);
    let below_order: &[&str] = if half_bath {
        &[WC, LAV]
    } else {
        choices.own_of(orders)
    };
    let first = choices.own_of(&[12, 18, 24]);
    let more_above = [0, choices.own_of(&[0, 6, 12]), choices.own_of(&[0, 6, 12])];
    let more_below = [0, choices.own_of(&[0, 6, 12]), choices.own_of(&[0, 6])];
    let wider = choices.own_of(&[0, 6, 12]);
    let heights = Heights {
        upper: choices.own_of(&[108, 114, 120]),
        branch: 6,
        tie: 42,
    };
    let out = choices.own_of(&[24, 30, 36]);
    let back = choices.own_of(&[12, 18]);
    let aside = choices.own_of(&[12, 18]);

    let place = |kinds: &[&'static str], more: &[i64]| {
        let mut more = more.to_vec();
        let (at, _) = row(&kinds[..1], &[0], false);
        more[0] = (stack + first - at[0]).max(0);
        row(kinds, &more, false)
    };
    let upper_kinds: Vec<&'static str> = above_order.to_vec();
    let lower_kinds: Vec<&'static str> = below_order.to_vec();
    let (upper_at, upper_width) = place(&upper_kinds, &more_above);
    let (lower_at, lower_width) = place(&lower_kinds, &more_below);
    let width = upper_width.max(lower_width) + wider;
    let turned = Turned {
        mirrored,
        quarters,
        size: [width, depth],
    };
    let mut told = Told::new(
        turned,
        wet,
        &title(choices, "two storeys"),
        kind_of.code,
        &["slope 1/4 in per ft", "grade main floor -6\""],
    );
    told.say("level main floor 0' ceiling 8' slab 4\"");
    told.say(&format!(
        "level upper floor {} ceiling 8'",
        feet(heights.upper)
    ));
    told.say(&format!("roof {}", feet(heights.upper + 114)));
    told.say("");
    told.walls("main");
    told.walls("upper");
    let mut lines = told.clone();
    for (level, number, kinds, at) in [
        ("upper", 2, &upper_kinds, &upper_at),
        ("main", 1, &lower_kinds, &lower_at),
    ] {
        lines.text.clear();
        lines.taken.clear();
        for (name, east) in kinds.iter().zip(at) {
            let tag = format!("{}{number}", kind(name).letters);
            lines.fixture(name, &tag, level, (*east, depth - wet), S);
        }
        told.door(&lines, level, facts().bath_door, choices)?;
        let room = if kinds.len() == 2 {
            "HALF BATH"
        } else {
            "BATH"
        };
        let at = turned.at(width / 2, depth / 3);
        told.say(&format!("room \"{room}\" {level} {at}"));
        told.text.push_str(&lines.text);
        told.say("");
    }
    runs(
        &mut told,
        stack,
        out,
        aside,
        &heights,
        [&lower_kinds, &upper_kinds],
    );
    let tie = upper_at[2].min(*lower_at.last()?) - back;
    if tie <= stack + 6 {
        return None;
    }
    vents(&mut told, tie, &heights);
    Some(told)
}

/// The drain, the stack, a branch on each floor.
fn runs(told: &mut Told, stack: i64, out: i64, aside: i64, heights: &Heights, kinds: [&[&str]; 2]) {
    let turned = told.turned;
    let [_, depth] = turned.size;
    let (east, south) = (turned.way(E), turned.way(S));
    told.run(
        "waste house-drain",
        &[
            format!(
                "start {} {}",
                turned.at(-out, depth),
                above("main floor", -30)
            ),
            "size 3\"".into(),
            "material pvc".into(),
            format!("{east} 1'"),
            "cleanout CO1".into(),
            format!("{east} to abreast {}", turned.at(stack, depth)),
            "cleanout CO2".into(),
            format!("up to {}", above("main floor", -12)),
            "point S1".into(),
            format!("up to {}", above("upper floor", -heights.branch)),
            "point S2".into(),
        ],
    );
    for (number, name, kinds) in [(1, "main-branch", kinds[0]), (2, "upper-branch", kinds[1])] {
        let mut steps = vec![
            format!("start S{number}"),
            "size 3\"".into(),
            "material pvc".into(),
            format!("{south} {}", feet(18 + aside)),
        ];
        for kind_name in kinds {
            let letters = &kind(kind_name).letters;
            let tag = format!("{letters}{number}");
            if *kind_name == LAV {
                steps.push(format!("{east} to abreast {tag}.tee"));
                steps.push(format!("cleanout CO{}", number + 2));
                steps.push(format!("end {tag}"));
            } else {
                steps.push(format!("{east} to abreast {tag}.drain"));
                let size = if *kind_name == WC { "" } else { " size 2\"" };
                steps.push(format!("catch {tag}{size}"));
            }
            if *kind_name == WC {
                steps.push("size 2\"".into());
            }
        }
        told.run(&format!("waste {name}"), &steps);
    }
}

/// The stack goes on as its vent; the lavatories' vents come to it over the upper rims.
fn vents(told: &mut Told, tie: i64, heights: &Heights) {
    let turned = told.turned;
    let [_, depth] = turned.size;
    let back = format!("{} to abreast {}", turned.way(W), turned.at(tie, depth));
    told.run(
        "vent stack-vent",
        &[
            "start S2".into(),
            "size 3\"".into(),
            "material pvc".into(),
            format!("up to {}", above("upper floor", heights.tie)),
            "point UNION".into(),
            "up through roof".into(),
        ],
    );
    let begin = |number: i64, level: &str| {
        vec![
            format!("start LAV{number}.tee"),
            "size 2\"".into(),
            "material pvc".into(),
            format!("up to {}", above(level, 42)),
            back.clone(),
        ]
    };
    let mut steps = begin(2, "upper floor");
    steps.push("point TIE".into());
    steps.push("join UNION".into());
    told.run("vent upper-vent", &steps);
    let mut steps = begin(1, "main floor");
    steps.push("join TIE".into());
    told.run("vent main-vent", &steps);
}
