use super::common::*;
use wyeline_draw::Corner;
use wyeline_lesson::dice::Dice;

pub fn svg(d: &wyeline_lesson::Drawing, faults: &[wyeline_lesson::marks::Fault]) -> String {
    let mut s = String::from(
        "<svg xmlns='http://www.w3.org/2000/svg' width='400mm' height='400mm' viewBox='0 0 400 400'><rect width='400' height='400' fill='white'/>",
    );
    for st in &d.strokes {
        s += "<polyline fill='none' stroke='black' stroke-width='0.3' points='";
        for p in st {
            s += &format!("{:.2},{:.2} ", p[0], p[1]);
        }
        s += "'/>";
    }
    for l in &d.letters {
        s += &format!(
            "<text x='{:.2}' y='{:.2}' font-size='{:.2}' text-anchor='middle' font-family='sans-serif'>{}</text>",
            l.at[0],
            l.at[1] + l.height / 2.0,
            l.height / 0.7,
            l.text
        );
    }
    for f in faults {
        if let Some(at) = f.at {
            s += &format!(
                "<circle cx='{:.2}' cy='{:.2}' r='2' fill='none' stroke='red'/><text x='{:.2}' y='{:.2}' fill='red' font-size='3'>{}</text>",
                at[0],
                at[1],
                at[0] + 2.0,
                at[1],
                f.name
            );
        }
    }
    s + "</svg>"
}

#[test]
fn explore() {
    let only = std::env::var("ONLY").ok();
    for name in [
        "half-bath",
        "attic-bath",
        "beam-offset",
        "family-bath-water",
        "bakery-waste",
        "bakery-water",
        "three-storeys",
        "slab-house",
        "semi-detached",
        "flat-bath",
        "heron-cottage",
    ] {
        if only.as_ref().is_some_and(|o| o != name) {
            continue;
        }
        let figure = example(name);
        for corner in Corner::ALL {
            let drawing = key(&figure, corner);
            let time = std::time::Instant::now();
            let marks = marked(&figure, &drawing);
            let took = time.elapsed();
            std::fs::write(
                format!("/tmp/wL2-{name}-{}.svg", corner.word()),
                svg(&drawing, &marks.faults),
            )
            .unwrap();
            println!(
                "{name} {} lines {} strokes {}: {} {:?} {:?} {took:?}",
                corner.word(),
                figure.lines.len(),
                drawing.strokes.len(),
                marks.got,
                marks.corner,
                faults(&marks)
            );
            if std::env::var("WORDS").is_ok() {
                for f in &marks.faults {
                    println!("    {} {:?} {}", f.name, f.at, f.words);
                }
            }
            let mut dice = Dice::new(1, 1, 1, 1);
            for wobble in [0.0, 0.1, 0.15] {
                let hand = by_hand(&drawing, wobble, &mut dice);
                let time = std::time::Instant::now();
                let marks = marked(&figure, &hand);
                let took = time.elapsed();
                println!(
                    "      hand {wobble}: {} {:?} {:?} {took:?}",
                    marks.got,
                    marks.corner,
                    faults(&marks)
                );
            }
        }
    }
}
