//! What the SVG of a sheet holds, read back by an XML parser.

mod support;

use roxmltree::{Document, Node};
use wyeline_exchange::{svg, svg_in_page};
use wyeline_sheet::{Options, Views};

fn number(node: Node, name: &str) -> f64 {
    let value = node
        .attribute(name)
        .unwrap_or_else(|| panic!("{name} in {node:?}"));
    value
        .trim_end_matches("mm")
        .parse()
        .unwrap_or_else(|_| panic!("{name} = {value}"))
}

fn with_class<'a>(document: &'a Document, class: &str) -> Vec<Node<'a, 'a>> {
    document
        .descendants()
        .filter(|n| n.attribute("class") == Some(class))
        .collect()
}

/// The two points of `M x y L x y`.
fn ends(path: Node) -> [(f64, f64); 2] {
    let numbers: Vec<f64> = path
        .attribute("d")
        .expect("a path")
        .split([' ', 'M', 'L'])
        .filter_map(|w| w.parse().ok())
        .collect();
    assert_eq!(numbers.len(), 4, "{path:?}");
    [(numbers[0], numbers[1]), (numbers[2], numbers[3])]
}

#[test]
fn one_user_unit_is_one_millimetre_of_paper() {
    let sheet = &support::ten_feet().sheets[0];
    let text = svg(sheet);
    let document = Document::parse(&text).expect("well-formed");
    let root = document.root_element();
    // 11 x 17 in, lying.
    assert!(
        (number(root, "width") - 17.0 * 25.4).abs() < 1e-3
            && (number(root, "height") - 11.0 * 25.4).abs() < 1e-3
    );
    assert_eq!(root.attribute("viewBox"), Some("0 0 431.8 279.4"));
}

/// A page that takes no style but its own files' (Content Security Policy Level 3, `style-src 'self'`) refuses style in markup.
#[test]
fn in_a_page_the_same_pipes_stand_without_style_of_their_own() {
    let sheet = &support::ten_feet().sheets[0];
    let (alone, within) = (svg(sheet), svg_in_page(sheet));
    let (alone, within) = (
        Document::parse(&alone).expect("well-formed"),
        Document::parse(&within).expect("well-formed"),
    );
    let shapes = |document: &Document| -> Vec<String> {
        let lines = with_class(document, "line");
        lines
            .into_iter()
            .filter_map(|line| line.attribute("d").map(str::to_owned))
            .collect()
    };
    assert!(!shapes(&within).is_empty());
    assert_eq!(shapes(&within), shapes(&alone));
    assert!(within.descendants().all(|n| n.attribute("style").is_none()));
    assert!(alone.descendants().any(|n| n.attribute("style").is_some()));
}

#[test]
fn a_sheet_says_what_it_is_to_those_who_cannot_see_it() {
    let sheet = &support::ten_feet().sheets[0];
    let text = svg(sheet);
    let document = Document::parse(&text).expect("well-formed");
    let root = document.root_element();
    assert_eq!(root.attribute("role"), Some("img"));
    let ids: Vec<&str> = root
        .attribute("aria-labelledby")
        .expect("named")
        .split(' ')
        .collect();
    let words: Vec<&str> = ids
        .iter()
        .map(|id| {
            document
                .descendants()
                .find(|n| n.attribute("id") == Some(id))
                .and_then(|n| n.text())
                .expect("there")
        })
        .collect();
    assert!(
        words[0].contains("Ten feet") && words[1].contains("1/4 in = 1 ft"),
        "{words:?}"
    );
}

#[test]
fn pipe_pieces_lie_on_the_projected_centre_line() {
    let layout = support::ten_feet();
    let text = svg(&layout.sheets[0]);
    let document = Document::parse(&text).expect("well-formed");
    let view = with_class(&document, "view iso")[0];
    assert_eq!(view.attribute("data-corner"), Some("sw"));
    assert_eq!(view.attribute("data-scale"), Some("48"));
    let origin: Vec<f64> = view
        .attribute("data-origin")
        .expect("told")
        .split(' ')
        .map(|w| w.parse().expect("a number"))
        .collect();
    // From the south-west, east goes up to the right at 30 degrees and up goes up the page, both at 1/48:
    // (0, 0, 1 ft) -> (0, -6.35); 10 ft east of it -> 63.5 mm along the axis; 6 ft above that -> 38.1 mm higher.
    let (cos, sin) = (30_f64.to_radians().cos(), 0.5);
    let corners = [
        (0.0, -6.35),
        (63.5 * cos, -6.35 - 63.5 * sin),
        (63.5 * cos, -6.35 - 63.5 * sin - 38.1),
    ]
    .map(|(x, y)| (origin[0] + x, origin[1] + y));
    // Pieces leave room for symbols and letters, but every end of one lies on the centre line, and most of it is there.
    let mut drawn = 0.0;
    for [a, b] in view
        .descendants()
        .filter(|n| n.attribute("class") == Some("line"))
        .map(ends)
    {
        drawn += (b.0 - a.0).hypot(b.1 - a.1);
        let on = |p: (f64, f64)| {
            corners.windows(2).any(|c| {
                let way = |from: (f64, f64), to: (f64, f64)| (to.0 - from.0).hypot(to.1 - from.1);
                (way(c[0], p) + way(p, c[1]) - way(c[0], c[1])).abs() < 0.005
            })
        };
        assert!(on(a) && on(b), "{a:?} {b:?} off {corners:?}");
    }
    assert!(
        drawn > 0.7 * (63.5 + 38.1) && drawn < 63.5 + 38.1 + 0.01,
        "{drawn}"
    );
}

#[test]
fn every_pipe_is_told_with_its_system_and_its_line_in_the_job() {
    let text = svg(&support::ten_feet().sheets[0]);
    let document = Document::parse(&text).expect("well-formed");
    let pipes = with_class(&document, "pipe");
    assert_eq!(pipes.len(), 2);
    // `east 10'` is line 8 of the job, `up 6'` line 9.
    let lines: Vec<_> = pipes
        .iter()
        .map(|p| p.attribute("data-line").expect("told"))
        .collect();
    assert_eq!(lines, ["8", "9"]);
    for pipe in pipes {
        assert_eq!(pipe.attribute("data-system"), Some("cold"));
        assert!(pipe.attribute("data-pipe").is_some_and(|id| !id.is_empty()));
    }
}

#[test]
fn all_lettering_carries_its_measured_width_and_is_set_without_kerning() {
    let text = svg(&support::ten_feet().sheets[0]);
    let document = Document::parse(&text).expect("well-formed");
    let root = document.root_element();
    assert!(
        root.attribute("style")
            .is_some_and(|s| s.contains("font-kerning:none"))
    );
    assert!(
        root.attribute("font-family")
            .is_some_and(|f| f.starts_with("\"IBM Plex Sans Condensed\""))
    );
    for words in document.descendants().filter(|n| n.has_tag_name("text")) {
        let weight = match words.attribute("font-weight") {
            Some("600") => wyeline_draw::ink::Weight::SemiBold,
            _ => wyeline_draw::ink::Weight::Regular,
        };
        // OS/2 sCapHeight of both fonts is 698 in 1000 units.
        let height = number(words, "font-size") * 0.698;
        let measured = wyeline_draw::lettering::width(words.text().expect("words"), height, weight);
        assert!(
            (number(words, "textLength") - measured).abs() < 0.02,
            "{words:?}"
        );
    }
}

/// Browsers fold the blanks of a text that does not say itself that they count, whatever is said further out.
#[test]
fn lettering_with_several_blanks_in_a_row_says_that_they_count() {
    let text = svg(&support::ten_feet().sheets[0]);
    let document = Document::parse(&text).expect("well-formed");
    let mut seen = 0;
    for words in document.descendants().filter(|n| n.has_tag_name("text")) {
        let kept = words.attribute(("http://www.w3.org/XML/1998/namespace", "space"));
        let several = words.text().expect("words").contains("  ");
        assert_eq!(kept, several.then_some("preserve"), "{words:?}");
        seen += u32::from(several);
    }
    // The floor and the ceiling are marked with name and height, two blanks apart.
    assert!(seen >= 2);
}

#[test]
fn the_white_behind_a_label_stands_right_before_it_and_holds_it() {
    let text = svg(&support::ten_feet().sheets[0]);
    let document = Document::parse(&text).expect("well-formed");
    let boxes = with_class(&document, "halo");
    assert!(!boxes.is_empty());
    for white in boxes {
        let label = white.next_sibling_element().expect("lettering follows");
        assert!(label.has_tag_name("text") && label.attribute("transform").is_none());
        let numbers: Vec<f64> = white
            .attribute("d")
            .expect("a shape")
            .split([' ', 'M', 'L', 'Z'])
            .filter_map(|word| word.parse().ok())
            .collect();
        let (left, right, bottom) = (numbers[0], numbers[2], numbers[5]);
        let (x, y) = (number(label, "x"), number(label, "y"));
        let rim = 0.3;
        assert!((left - (x - rim)).abs() < 0.002, "{label:?}");
        assert!(
            (right - (x + number(label, "textLength") + rim)).abs() < 0.002,
            "{label:?}"
        );
        assert!(bottom > y + rim - 0.002, "{label:?}");
    }
}

#[test]
fn the_check_bar_is_four_inches_long() {
    let text = svg(&support::ten_feet().sheets[0]);
    let document = Document::parse(&text).expect("well-formed");
    let [a, b] = ends(with_class(&document, "check")[0]);
    assert!(((b.0 - a.0).abs() - 101.6).abs() < 1e-3 && a.1 == b.1);
}

#[test]
fn words_from_the_job_stay_words() {
    let hostile = "job </title><script>alert('1')</script> & \"x\"\nunits ft-in\naddress \"<g onload='x'>\"\n\
                   level main floor 0' ceiling 8'\nroof 12'\nroom \"<b>&amp;\" main 2',2'\nwall main 0',0' 9',0' 9',9' 0',9' 0',0'\n\
                   vent v\n  start 1',1' main floor +1'\n  note \"]]><image href='x'/>\"\n  up 3'\n  cap\nnote \"--><foreignObject/>\"\n";
    for views in [Views::Iso, Views::Plan, Views::Both] {
        let layout = support::layout(
            hostile,
            &Options {
                views,
                ..Options::default()
            },
        );
        for sheet in &layout.sheets {
            let text = svg(sheet);
            let document = Document::parse(&text).expect("well-formed");
            let allowed = ["svg", "title", "desc", "rect", "g", "path", "text"];
            for node in document.descendants().filter(Node::is_element) {
                assert!(allowed.contains(&node.tag_name().name()), "{node:?}");
                assert!(
                    node.attributes().all(|a| !a.name().starts_with("on")),
                    "{node:?}"
                );
            }
            let title = document
                .descendants()
                .find(|n| n.has_tag_name("title"))
                .and_then(|n| n.text());
            assert!(
                title.is_some_and(|t| t.contains("</title><script>alert('1')</script>")),
                "{title:?}"
            );
        }
    }
}

#[test]
fn the_same_sheet_gives_the_same_bytes() {
    assert_eq!(
        svg(&support::ten_feet().sheets[0]),
        svg(&support::ten_feet().sheets[0])
    );
}
