//! Any bytes are read and tidied without a panic; tidying changes no meaning and settles at once.
//!
//! Run with `cargo +nightly fuzz run read_and_tidy -- -dict=wye.dict`.

#![no_main]

use libfuzzer_sys::fuzz_target;
use wyeline_job::{read, read_bytes, text_of, tidy};

fuzz_target!(|bytes: &[u8]| {
    let text = text_of(bytes);
    let reading = read_bytes(bytes);
    for diagnostic in &reading.diagnostics {
        let (start, end) = (diagnostic.span.start as usize, diagnostic.span.end as usize);
        assert!(start <= end && text.is_char_boundary(start) && text.is_char_boundary(end));
    }
    let tidied = tidy(&text);
    assert_eq!(tidy(&tidied), tidied, "tidying twice is tidying once");
    let codes = |text: &str| -> Vec<&str> { read(text).diagnostics.iter().map(|found| found.code).collect() };
    assert_eq!(codes(&tidied), codes(&text), "tidying makes and cures no mistake");
});
