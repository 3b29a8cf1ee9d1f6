//! Slopes, pipe sizes and scales as they are typed and as they are written.

use proptest::prelude::*;
use wyeline_units::{Scale, Size, Slope, UnitSystem};

#[test]
fn every_way_to_write_a_quarter_inch_per_foot() {
    // 1/4 in in 12 in is 1 in 48.
    for way in [
        "1/4 in per ft",
        "1/4\"/ft",
        "1/4\" per ft",
        "1/4 in/ft",
        "0.25 in per foot",
        "1/4\" per '",
        "1:48",
        "¼″/ft",
    ] {
        assert_eq!(way.parse(), Ok(Slope::QUARTER_INCH_PER_FOOT), "{way}");
    }
}

#[test]
fn metric_slopes() {
    // 2 in 100, 20 mm in 1000 mm: all 1 in 50.
    for way in [
        "1:50",
        "2%",
        "2 %",
        "20mm per m",
        "20 mm/m",
        "2.0%",
        "1 : 50",
        "0.5:25",
    ] {
        assert_eq!(way.parse(), Ok(Slope::ONE_IN_FIFTY), "{way}");
    }
}

#[test]
fn what_is_no_slope_is_refused() {
    for text in [
        "",
        "1/4",
        "1:0",
        "1/4 in",
        "1/4 in per yard",
        "steep",
        "-2%",
        "2%%",
        "1:50x",
        "1/4 in per ft x",
        "1:99999999999999",
    ] {
        assert!(text.parse::<Slope>().is_err(), "{text}");
    }
}

#[test]
fn slopes_are_shown_in_the_jobs_units() {
    let show = |text: &str, units| text.parse::<Slope>().unwrap().show(units);
    assert_eq!(show("1:48", UnitSystem::FeetInches), "1/4 in/ft");
    assert_eq!(show("1:96", UnitSystem::Inches), "1/8 in/ft");
    assert_eq!(show("1:8", UnitSystem::Inches), "1-1/2 in/ft");
    assert_eq!(show("1:12", UnitSystem::FeetInches), "1 in/ft");
    assert_eq!(show("1:50", UnitSystem::FeetInches), "0.24 in/ft"); // 12/50
    assert_eq!(show("2%", UnitSystem::Metres), "1:50");
    assert_eq!(show("2.1%", UnitSystem::Millimetres), "2.1%");
    assert_eq!(Slope::LEVEL.show(UnitSystem::Metres), "level");
}

#[test]
fn pipe_sizes_are_read_as_the_trade_writes_them() {
    let inch = |eighths| Ok(Size::Inch { eighths });
    for (text, size) in [
        ("3\"", inch(24)),
        ("1-1/2\"", inch(12)),
        ("1 1/2\"", inch(12)),
        ("1½\"", inch(12)),
        ("1.5\"", inch(12)),
        ("3/4\"", inch(6)),
        ("3/4 in", inch(6)),
        ("DN100", Ok(Size::Dn(100))),
        ("DN 100", Ok(Size::Dn(100))),
        ("100mm", Ok(Size::Dn(100))),
    ] {
        assert_eq!(text.parse(), size, "{text}");
    }
}

#[test]
fn what_is_no_pipe_size_is_refused() {
    for text in [
        "", "3", "0\"", "3/16\"", "200\"", "DN", "DN0", "DN2.5", "99999mm", "3\"x", "3'",
    ] {
        assert!(text.parse::<Size>().is_err(), "{text}");
    }
}

#[test]
fn pipe_sizes_are_shown() {
    for text in [
        "1/8\"", "1/4\"", "3/8\"", "1/2\"", "3/4\"", "1\"", "1-1/4\"", "1-1/2\"", "2\"", "2-1/2\"",
        "12\"", "DN15",
    ] {
        assert_eq!(text.parse::<Size>().unwrap().to_string(), text);
    }
}

#[test]
fn scales_are_read() {
    // 1/4 in to the foot is 12 in / (1/4 in) = 48.
    for (text, scale) in [
        ("1/4", 48),
        ("1/4\"", 48),
        ("1/4 in", 48),
        ("1/4\" = 1'-0\"", 48),
        ("1/4\"=1'", 48),
        ("3/16", 64),
        ("1/8", 96),
        ("3/8", 32),
        ("1/2", 24),
        ("3/4", 16),
        ("1", 12),
        ("1:50", 50),
        ("1:20", 20),
    ] {
        assert_eq!(text.parse(), Ok(Scale(scale)), "{text}");
    }
}

#[test]
fn what_is_no_scale_is_refused() {
    for text in [
        "",
        "0",
        "1:0",
        "5",
        "1/4 = 2'",
        "1:2.5",
        "2:1",
        "big",
        "1/4 ft",
        "1:99999999999",
    ] {
        assert!(text.parse::<Scale>().is_err(), "{text}");
    }
}

#[test]
fn allowed_scales_are_shown_and_read_back() {
    let shown: Vec<String> = Scale::allowed(false)
        .iter()
        .map(ToString::to_string)
        .collect();
    let inches = ["1", "3/4", "1/2", "3/8", "1/4", "3/16", "1/8"];
    assert_eq!(shown, inches.map(|inches| format!("{inches}\" = 1'-0\"")));
    let shown: Vec<String> = Scale::allowed(true)
        .iter()
        .map(ToString::to_string)
        .collect();
    assert_eq!(shown, ["1:20", "1:25", "1:50", "1:100"]);
    for scale in Scale::allowed(false).iter().chain(Scale::allowed(true)) {
        assert_eq!(scale.to_string().parse(), Ok(*scale));
    }
}

#[test]
fn paper_is_the_building_over_the_scale() {
    assert_eq!(Scale(50).paper(1000.0), 20.0);
}

proptest! {
    #[test]
    fn a_slope_written_reads_back_the_same(fall in 0_u32.., run in 1_u32..) {
        let slope = Slope::new(fall, run).unwrap();
        prop_assert_eq!(slope.to_string().parse(), Ok(slope));
        prop_assert!((slope.ratio() - f64::from(fall) / f64::from(run)).abs() <= 1e-9 * slope.ratio());
    }

    #[test]
    fn a_size_written_reads_back_the_same(eighths in 1_u16..=768, mm in 1_u16..=2400) {
        for size in [Size::Inch { eighths }, Size::Dn(mm)] {
            prop_assert_eq!(size.to_string().parse(), Ok(size));
        }
    }

    #[test]
    fn any_scale_written_reads_back_the_same(scale in 1_u32..100_000) {
        prop_assert_eq!(Scale(scale).to_string().parse(), Ok(Scale(scale)));
    }

    #[test]
    fn any_text_is_read_or_refused(text in "(\\PC|[0-9/:%\" inperftm½.]){0,40}") {
        let _ = text.parse::<Slope>();
        let _ = text.parse::<Size>();
        let _ = text.parse::<Scale>();
    }
}
