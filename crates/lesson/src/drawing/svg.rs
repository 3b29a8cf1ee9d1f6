//! Reads an SVG of any program into pencil lines and letters, mm of paper.
//!
//! Lines, polylines, polygons, rectangles, paths and texts under transforms; a stroke with a dash pattern becomes dashes. What only describes (definitions,
//! symbols, clips) and whatever is called `grid` or `paper` by its id or class is left out. Sizes by SVG 1.1: 96 user units to the inch.

use kurbo::{Affine, BezPath, PathEl, Point, Rect, Vec2};
use roxmltree::{Document, Node, ParsingOptions};
use svgtypes::{
    Length, LengthUnit, PointsParser, TransformListParser, TransformListToken, ViewBox,
};

use super::{Drawing, DrawingError, Letters, POINTS};

/// Elements read at most.
const NODES: u32 = 200_000;
/// User units of SVG to mm.
const UNIT_MM: f64 = 25.4 / 96.0;
/// Curves become straight pieces this near to them, mm.
const FLAT_MM: f64 = 0.05;
/// Height of capitals and mean width of a letter, as shares of the size of a font: common proportions of plain sans-serif letters.
const CAPITALS: f64 = 0.7;
const WIDTH: f64 = 0.6;

/// What is handed down from an element to those in it.
#[derive(Clone, Copy)]
struct Given<'a> {
    place: Affine,
    stroke: Option<&'a str>,
    dashes: Option<&'a str>,
    font: f64,
    anchor: &'a str,
}

/// The drawing that an SVG shows.
///
/// # Errors
/// It is not well formed, or larger than a drawing may be.
pub(super) fn read(text: &str) -> Result<Drawing, DrawingError> {
    let options = ParsingOptions {
        allow_dtd: true,
        nodes_limit: NODES,
        ..ParsingOptions::default()
    };
    let document = Document::parse_with_options(text, options)
        .map_err(|why| DrawingError::Form(format!("as an SVG it cannot be read: {why}")))?;
    let root = document.root_element();
    if root.tag_name().name() != "svg" {
        return Err(DrawingError::Form("it is XML, but no svg".to_owned()));
    }
    let given = Given {
        place: paper(root),
        stroke: None,
        dashes: None,
        font: 16.0,
        anchor: "start",
    };
    let mut reader = Reader::default();
    // A list of what is still to be read, rather than calls within calls: an SVG may be as deep as it likes.
    let mut open = vec![(root, given)];
    while let Some((element, given)) = open.pop() {
        let Some(given) = reader.element(element, given)? else {
            continue;
        };
        let children: Vec<_> = element.children().filter(Node::is_element).collect();
        open.extend(children.into_iter().rev().map(|child| (child, given)));
    }
    Ok(reader.drawing)
}

/// From user units of the whole to mm of paper.
fn paper(root: Node) -> Affine {
    let length = |name| {
        let length: Length = root.attribute(name)?.parse().ok()?;
        let mm = match length.unit {
            LengthUnit::None | LengthUnit::Px => UNIT_MM,
            LengthUnit::Mm => 1.0,
            LengthUnit::Cm => 10.0,
            LengthUnit::In => 25.4,
            LengthUnit::Pt => 25.4 / 72.0,
            LengthUnit::Pc => 25.4 / 6.0,
            LengthUnit::Em | LengthUnit::Ex | LengthUnit::Percent => return None,
        };
        let mm = length.number * mm;
        (mm.is_finite() && mm > 0.0).then_some(mm)
    };
    let view = root.attribute("viewBox");
    let Some(view) = view.and_then(|view| view.parse::<ViewBox>().ok()) else {
        return Affine::scale(UNIT_MM);
    };
    let across = length("width").map(|width| width / view.w);
    let down = length("height").map(|height| height / view.h);
    let factor = match (across, down) {
        (Some(across), Some(down)) => across.min(down),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => UNIT_MM,
    };
    Affine::scale(factor) * Affine::translate((-view.x, -view.y))
}

/// An attribute, or the property of that name in the element's `style`.
fn told<'a>(element: Node<'a, '_>, name: &str) -> Option<&'a str> {
    let style = element.attribute("style").and_then(|style| {
        let mut all = style.split(';').filter_map(|one| one.split_once(':'));
        all.find(|(key, _)| key.trim() == name)
            .map(|(_, value)| value)
    });
    style.or_else(|| element.attribute(name)).map(str::trim)
}

fn number(element: Node, name: &str) -> f64 {
    let length = told(element, name).and_then(|text| text.parse::<Length>().ok());
    length.map_or(0.0, |length| length.number)
}

fn transform(text: &str) -> Affine {
    let tokens = TransformListParser::from(text).map_while(Result::ok);
    tokens.fold(Affine::IDENTITY, |so_far, token| {
        so_far
            * match token {
                TransformListToken::Matrix { a, b, c, d, e, f } => Affine::new([a, b, c, d, e, f]),
                TransformListToken::Translate { tx, ty } => Affine::translate((tx, ty)),
                TransformListToken::Scale { sx, sy } => Affine::scale_non_uniform(sx, sy),
                TransformListToken::Rotate { angle } => Affine::rotate(angle.to_radians()),
                TransformListToken::SkewX { angle } => Affine::skew(angle.to_radians().tan(), 0.0),
                TransformListToken::SkewY { angle } => Affine::skew(0.0, angle.to_radians().tan()),
            }
    })
}

#[derive(Default)]
struct Reader {
    drawing: Drawing,
    points: usize,
}

impl Reader {
    /// Reads one element; what it hands down to those in it, unless they are not to be read.
    fn element<'a>(
        &mut self,
        element: Node<'a, '_>,
        mut given: Given<'a>,
    ) -> Result<Option<Given<'a>>, DrawingError> {
        let name = element.tag_name().name();
        let named = |word: &str| {
            element.attribute("id") == Some(word)
                || element
                    .attribute("class")
                    .is_some_and(|all| all.split_whitespace().any(|class| class == word))
        };
        if matches!(
            name,
            "defs" | "symbol" | "clipPath" | "mask" | "pattern" | "marker" | "metadata" | "style"
        ) || told(element, "display") == Some("none")
            || named("grid")
            || named("paper")
        {
            return Ok(None);
        }
        if let Some(text) = element.attribute("transform") {
            given.place *= transform(text);
        }
        given.stroke = told(element, "stroke").or(given.stroke);
        given.dashes = told(element, "stroke-dasharray").or(given.dashes);
        given.anchor = told(element, "text-anchor").unwrap_or(given.anchor);
        let font = told(element, "font-size").and_then(|size| size.parse::<Length>().ok());
        given.font = font.map_or(given.font, |size| size.number);
        if name == "text" {
            self.text(element, given);
            return Ok(None);
        }
        if given.stroke != Some("none")
            && let Some(path) = outline(element)
        {
            self.path(&path, given)?;
        }
        Ok(Some(given))
    }

    fn path(&mut self, path: &BezPath, given: Given) -> Result<(), DrawingError> {
        let path = given.place * path;
        let mut strokes: Vec<Vec<Point>> = Vec::new();
        let mut points = self.points;
        kurbo::flatten(&path, FLAT_MM, |element| {
            points += 1;
            if points > POINTS {
                return;
            }
            match (element, strokes.last_mut()) {
                (PathEl::MoveTo(at), _) => strokes.push(vec![at]),
                (PathEl::LineTo(at), Some(stroke)) => stroke.push(at),
                (PathEl::ClosePath, Some(stroke)) => {
                    let first = stroke[0];
                    stroke.push(first);
                    // What follows without a new start begins where the closed line did.
                    strokes.push(vec![first]);
                }
                _ => {}
            }
        });
        let root = given.place.determinant().abs().sqrt();
        let pattern: Vec<f64> = given
            .dashes
            .unwrap_or_default()
            .split([',', ' '])
            .filter_map(|length| length.parse::<Length>().ok())
            .map(|length| length.number * root)
            .collect();
        let dashed =
            pattern.iter().all(|length| *length >= 0.0) && pattern.iter().sum::<f64>() > FLAT_MM;
        for stroke in strokes.into_iter().filter(|stroke| stroke.len() > 1) {
            if points > POINTS {
                break;
            }
            if dashed {
                for dash in dashes(&stroke, &pattern, POINTS) {
                    points += 2;
                    self.drawing
                        .strokes
                        .push(dash.map(|at| [at.x, at.y]).to_vec());
                }
            } else {
                let stroke = stroke.iter().map(|at| [at.x, at.y]).collect();
                self.drawing.strokes.push(stroke);
            }
        }
        self.points = points;
        if points > POINTS {
            return Err(DrawingError::Large("points", POINTS));
        }
        Ok(())
    }

    fn text(&mut self, element: Node, given: Given) {
        let mut words = String::new();
        for part in element
            .descendants()
            .filter_map(|node| node.text().filter(|_| node.is_text()))
        {
            words.push_str(part);
        }
        let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
        if words.is_empty() {
            return;
        }
        // The first place told: on the text itself, or on a span of it.
        let first = |name| {
            let told = element.descendants().find_map(|node| node.attribute(name));
            told.and_then(|all| all.split([' ', ',']).next()?.parse::<Length>().ok())
                .map_or(0.0, |length| length.number)
        };
        let width = words.chars().count() as f64 * WIDTH * given.font;
        let across = match given.anchor {
            "middle" => 0.0,
            "end" => -width / 2.0,
            _ => width / 2.0,
        };
        let middle = Vec2::new(across, -CAPITALS * given.font / 2.0);
        let at = given.place * (Point::new(first("x"), first("y")) + middle);
        self.drawing.letters.push(Letters {
            at: [at.x, at.y],
            text: words,
            height: CAPITALS * given.font * given.place.determinant().abs().sqrt(),
        });
    }
}

/// The line that an element draws, in its own units.
fn outline(element: Node) -> Option<BezPath> {
    let through = |points: Vec<Point>, closed: bool| {
        let mut path = BezPath::new();
        for (place, point) in points.into_iter().enumerate() {
            if place == 0 {
                path.move_to(point);
            } else {
                path.line_to(point);
            }
        }
        if closed && !path.is_empty() {
            path.close_path();
        }
        path
    };
    let listed = || {
        let points = element.attribute("points").unwrap_or_default();
        PointsParser::from(points)
            .map(|(x, y)| Point::new(x, y))
            .collect()
    };
    let get = |name| number(element, name);
    match element.tag_name().name() {
        "line" => Some(through(
            vec![
                Point::new(get("x1"), get("y1")),
                Point::new(get("x2"), get("y2")),
            ],
            false,
        )),
        "polyline" => Some(through(listed(), false)),
        "polygon" => Some(through(listed(), true)),
        "rect" => {
            let corner = Point::new(get("x"), get("y"));
            let size = (get("width"), get("height"));
            Some(kurbo::Shape::to_path(
                &Rect::from_origin_size(corner, size),
                FLAT_MM,
            ))
        }
        "path" => BezPath::from_svg(element.attribute("d")?).ok(),
        _ => None,
    }
}

/// The dashes of a line by a pattern of lengths on and off, not more than `most`.
fn dashes(stroke: &[Point], pattern: &[f64], most: usize) -> Vec<[Point; 2]> {
    let mut out = Vec::new();
    let (mut place, mut left) = (0, pattern[0]);
    for pair in stroke.windows(2) {
        let length = pair[0].distance(pair[1]);
        let mut at = 0.0;
        while at < length && out.len() < most {
            let end = (at + left).min(length);
            if place % 2 == 0 && end > at {
                let point = |along: f64| pair[0].lerp(pair[1], along / length);
                out.push([point(at), point(end)]);
            }
            left -= end - at;
            at = end;
            // Lengths of nothing are passed over; one of the pattern is longer.
            while left <= 0.0 {
                place += 1;
                left = pattern[place % pattern.len()];
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strokes(inside: &str, head: &str) -> Vec<Vec<[f64; 2]>> {
        let text = format!("<svg xmlns='http://www.w3.org/2000/svg' {head}>{inside}</svg>");
        let rounded = |at: &[f64; 2]| at.map(|along| (along * 1e3).round() / 1e3);
        let strokes = read(&text).expect("an svg").strokes;
        strokes
            .iter()
            .map(|stroke| stroke.iter().map(rounded).collect())
            .collect()
    }

    /// 100 units to 50 mm: a unit is half a millimetre, and the view begins at 10, 10.
    const HEAD: &str = "width='50mm' height='50mm' viewBox='10 10 100 100'";

    #[test]
    fn lines_of_every_kind_lie_where_they_are_told_in_mm() {
        let wanted = vec![vec![[0.0, 0.0], [10.0, 5.0]]];
        for inside in [
            "<line x1='10' y1='10' x2='30' y2='20'/>",
            "<polyline points='10,10 30,20'/>",
            "<path d='M10 10l20 10'/>",
            "<g transform='translate(10 10)'><path d='M0,0 20,10'/></g>",
            "<g transform='translate(10,10) scale(2)'><line x2='10' y2='5'/></g>",
        ] {
            assert_eq!(strokes(inside, HEAD), wanted, "{inside}");
        }
    }

    #[test]
    fn a_pattern_becomes_dashes_and_the_grid_is_no_ink() {
        // 4 on, 2 off over 10 units: 0 to 4, 6 to 10; a unit is half a millimetre.
        let dashed = "<line x1='10' y1='10' x2='20' y2='10' stroke-dasharray='4 2'/>";
        let wanted = vec![vec![[0.0, 0.0], [2.0, 0.0]], vec![[3.0, 0.0], [5.0, 0.0]]];
        assert_eq!(strokes(dashed, HEAD), wanted);
        let unseen = "<g id='grid'><line x2='9'/></g><defs><line x2='9'/></defs><path stroke='none' d='M0 0 9 9'/>";
        assert!(strokes(unseen, HEAD).is_empty());
    }

    #[test]
    fn letters_have_their_middle_and_the_height_of_capitals() {
        let text = format!(
            "<svg xmlns='http://www.w3.org/2000/svg' {HEAD}><text x='30' y='50' font-size='10' text-anchor='middle'>W<tspan>C</tspan></text></svg>"
        );
        let drawing = read(&text).expect("an svg");
        // Capitals of 7 units stand on 50, so that their middle is at 46.5: 36.5 from the view's top, in halves of a millimetre.
        let wanted = Letters {
            at: [10.0, 18.25],
            text: "WC".to_owned(),
            height: 3.5,
        };
        assert_eq!(drawing.letters, [wanted]);
    }
}
