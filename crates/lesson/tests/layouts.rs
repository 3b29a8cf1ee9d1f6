//! Layouts are lawful, as hard as one another and all different; nobody walks into a fixture.

use wyeline_lesson::{Level, make};

#[test]
fn survey() {
    for number in 2..=9 {
        let level = Level::new(number).unwrap();
        let start = std::time::Instant::now();
        for seed in 0..3 {
            match make::class(level, "ipc-2021", seed, 6) {
                Ok(all) => {
                    let hard: Vec<_> = all.iter().map(|l| (l.difficulty.pipes, l.difficulty.turns, l.difficulty.crossings)).collect();
                    eprintln!("{number} {seed} {hard:?} {:?}", all[0].scale);
                    for (m, l) in all.iter().enumerate() { std::fs::write(format!("/tmp/L1p/g{number}-{seed}-{m}-{}.wye", l.corner.word()), format!("{}{}", l.text, l.beside)).unwrap(); }
                }
                Err(e) => eprintln!("{number} {seed} {e}"),
            }
        }
        eprintln!("{:?}", start.elapsed());
    }
}
