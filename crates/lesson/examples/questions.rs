//! Asks reading questions of a job: `questions JOB FILE.png [CORNER] [SCALE] [SEED]`; the sheet with the letters goes into the file.

use wyeline_draw::Corner;
use wyeline_exchange::png;
use wyeline_lesson::ask;
use wyeline_lesson::dice::Dice;
use wyeline_lesson::steps::View;
use wyeline_units::Scale;
use wyeline_whole::Built;

fn main() {
    let mut words = std::env::args().skip(1);
    let (Some(job), Some(file)) = (words.next(), words.next()) else {
        eprintln!("questions JOB FILE.png [CORNER] [SCALE] [SEED]");
        return;
    };
    let corner = words.next().unwrap_or_default();
    let corner = Corner::ALL.into_iter().find(|one| one.word() == corner);
    let scale = words.next().and_then(|scale| scale.parse().ok());
    let seed = words.next().and_then(|seed| seed.parse().ok()).unwrap_or(1);
    let built = Built::of(&std::fs::read(job).expect("the job's file"), |_| {});
    let view = View {
        corner: corner.unwrap_or(Corner::Sw),
        scale: Scale(scale.unwrap_or(24)),
        pitch_mm: 6.35,
        systems: Vec::new(),
    };
    let mut dice = Dice::new(9, seed, 0, 0);
    let questions = ask::of_job(&built, view.corner, &view.systems, &mut dice, 14);
    for (n, question) in questions.iter().enumerate() {
        println!("{}. {}", n + 1, question.words);
        if let ask::Answer::Choice { options, .. } = &question.answer {
            println!("     {}", options.join(" | "));
        }
        println!("     = {}   {}", question.key(), question.why);
    }
    let sheet = ask::sheet(&built.network, &view, &questions);
    std::fs::write(file, png(&sheet, 150.0).expect("small enough")).expect("written");
}
