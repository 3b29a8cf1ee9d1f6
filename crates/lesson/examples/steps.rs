//! Draws the steps of a job's key into a folder, as PNG and as one animated SVG: `steps JOB FOLDER [CORNER] [SCALE]`.

use std::path::Path;

use wyeline_draw::Corner;
use wyeline_exchange::{Frame, png, svg_steps};
use wyeline_lesson::steps::{View, of_network};
use wyeline_units::Scale;
use wyeline_whole::Built;

fn main() {
    let mut words = std::env::args().skip(1);
    let (Some(job), Some(folder)) = (words.next(), words.next()) else {
        eprintln!("steps JOB FOLDER [CORNER] [SCALE]");
        return;
    };
    let corner = words.next().unwrap_or_default();
    let corner = Corner::ALL.into_iter().find(|one| one.word() == corner);
    let scale = words.next().and_then(|scale| scale.parse().ok());
    let built = Built::of(&std::fs::read(job).expect("the job's file"), |_| {});
    let view = View {
        corner: corner.unwrap_or(Corner::Sw),
        scale: Scale(scale.unwrap_or(24)),
        pitch_mm: if built.network.units.is_metric() {
            5.0
        } else {
            6.35
        },
        systems: Vec::new(),
    };
    let steps = of_network(&built.network, &view);
    let folder = Path::new(&folder);
    for (n, step) in steps.iter().enumerate() {
        println!("{}. {}: {}", n + 1, step.title, step.sentence);
        let bytes = png(&step.sheet, 100.0).expect("small enough");
        std::fs::write(folder.join(format!("step-{:02}.png", n + 1)), bytes).expect("written");
    }
    let frames: Vec<Frame> = steps
        .iter()
        .map(|step| Frame {
            title: &step.title,
            sentence: &step.sentence,
            sheet: &step.sheet,
        })
        .collect();
    std::fs::write(folder.join("steps.svg"), svg_steps(&frames)).expect("written");
}
