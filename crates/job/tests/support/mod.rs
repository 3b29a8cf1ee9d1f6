//! What several tests share.
#![allow(dead_code, reason = "each test file uses its own part")]

use wyeline_job::{Job, read};

/// A job as text, without its places: what it says, and nothing of where.
pub fn says(job: &Job) -> String {
    let told = format!(
        "{:?}",
        Job {
            text_len: 0,
            ..job.clone()
        }
    );
    let mut out = String::with_capacity(told.len());
    let mut rest = told.as_str();
    while let Some(at) = rest.find("Span {") {
        out.push_str(&rest[..at]);
        let end = rest[at..].find('}').expect("a span closes") + at + 1;
        rest = &rest[end..];
    }
    out + rest
}

/// What a text says, and the codes of its mistakes in order.
pub fn meaning(text: &str) -> (String, Vec<&'static str>) {
    let reading = read(text);
    let codes = reading
        .diagnostics
        .iter()
        .map(|diagnostic| diagnostic.code)
        .collect();
    (says(&reading.job), codes)
}

/// A job that uses most of the language.
pub const TOWER: &str = include_str!("../tower.wye");
