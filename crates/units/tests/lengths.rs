//! Lengths as they are typed and as they are written.

use proptest::prelude::*;
use wyeline_units::{Len, LenFault, UnitSystem};

const FT_IN: UnitSystem = UnitSystem::FeetInches;

/// So many sixty-fourths of an inch above whole feet and inches.
fn ft_in(feet: i64, inches: i64, sixty_fourths: i64) -> Len {
    Len::feet(feet) + Len::inches(inches) + Len::sixty_fourths(sixty_fourths)
}

#[test]
fn one_unit_is_25_nm() {
    // 1 in = 25.4 mm exactly (international yard and pound agreement, 1959): 25,400,000 nm / 25 = 1,016,000.
    assert_eq!(Len::inches(1).units(), 1_016_000);
    assert_eq!(Len::millimetres(1).units(), 40_000);
    assert_eq!(Len::sixty_fourths(1).units(), 15_875);
    assert_eq!(Len::feet(1).units(), 12 * 1_016_000);
}

#[test]
fn every_way_to_write_five_feet_three_and_a_half() {
    let ways = [
        "5'3-1/2\"",
        "5'-3 1/2\"",
        "5' 3 1/2\"",
        "5' 3 1/2",
        "5'3 1/2",
        "5ft 3.5in",
        "5 ft 3.5 in",
        "5-3.5",
        "5'3.5\"",
        "5' - 3.5\"",
        "5-3-1/2",
        "5-3 1/2\"",
        "5'-3½\"",
        "5′3½″",
        "5’3½”",
        "5'3.5''",
        "63.5\"",
        "63-1/2\"",
        "63 1/2 in",
        "+5'3-1/2\"",
        "5feet 3.5inches",
        "05'03.50\"",
        "5ft-3.5in",
    ];
    for way in ways {
        let reading = Len::read(way, FT_IN).unwrap_or_else(|error| panic!("{way}: {error:?}"));
        assert_eq!(reading.len, ft_in(5, 3, 32), "{way}");
        assert_eq!(reading.bytes, way.len(), "{way}");
    }
}

#[test]
fn metric_lengths() {
    for way in ["1.6m", "1600mm", "160cm", "1.6 m", "1600 mm"] {
        assert_eq!(
            Len::read(way, FT_IN).unwrap().len,
            Len::millimetres(1600),
            "{way}"
        );
    }
}

#[test]
fn a_bare_number_is_in_the_jobs_units() {
    let seven = |units| Len::read("7", units).unwrap().len;
    assert_eq!(seven(UnitSystem::FeetInches), Len::feet(7));
    assert_eq!(seven(UnitSystem::Inches), Len::inches(7));
    assert_eq!(seven(UnitSystem::Millimetres), Len::millimetres(7));
    assert_eq!(seven(UnitSystem::Metres), Len::millimetres(7000));
    assert_eq!(
        Len::read("40-1/2", UnitSystem::Inches).unwrap().len,
        ft_in(0, 40, 32)
    );
}

#[test]
fn a_sign_holds_for_the_whole_length() {
    assert_eq!(Len::read("-9\"", FT_IN).unwrap().len, Len::inches(-9));
    assert_eq!(Len::read("-3-4.5", FT_IN).unwrap().len, -ft_in(3, 4, 32));
    assert_eq!(
        Len::read("\u{2212}5'3\"", FT_IN).unwrap().len,
        -ft_in(5, 3, 0)
    );
}

#[test]
fn reading_stops_where_the_length_does() {
    for (text, bytes) in [
        ("5',3'", 2),   // a coordinate goes on
        ("5' 3'", 2),   // another length
        ("5' 3,4", 2),  // the next coordinate
        ("5' 3mm", 2),  // another unit
        ("5' -9\"", 2), // a signed length
        ("5' at 45", 2),
        ("16\" from 4\"", 3),
        ("6 in 12", 4),
        ("5 into wall", 1),
        ("5' 3 north", 4), // the inches belong to the feet
        ("7 1/2\" x", 6),
    ] {
        assert_eq!(
            Len::read(text, FT_IN).map(|reading| reading.bytes),
            Ok(bytes),
            "{text}"
        );
    }
}

#[test]
fn what_is_no_length_says_why() {
    for (text, fault) in [
        ("", LenFault::NotALength),
        ("wide", LenFault::NotALength),
        ("-", LenFault::NotALength),
        ("1/0\"", LenFault::NotALength),
        ("5'-x", LenFault::NotALength),
        ("5'3'", LenFault::NotALength),
        ("5'12\"", LenFault::NotALength),
        ("5.5'3\"", LenFault::NotALength),
        ("5-1/2", LenFault::TwoMeanings),
        ("1/2", LenFault::TwoMeanings),
        ("1/3\"", LenFault::Inexact),
        ("0.00001mm", LenFault::Inexact),
        ("1/128\"", LenFault::Inexact),
        ("99999999999999999999'", LenFault::TooLong),
        ("1000001m", LenFault::TooLong),
    ] {
        let error = Len::read(text, FT_IN).expect_err(text);
        assert_eq!(error.fault, fault, "{text}: {error:?}");
        assert!(error.at <= text.len());
    }
}

#[test]
fn feet_and_inches_need_their_marks_in_a_metric_job() {
    let error = Len::read("5-3.5", UnitSystem::Millimetres).unwrap_err();
    assert_eq!(error.fault, LenFault::TwoMeanings);
}

#[test]
fn the_longest_length_is_a_hundred_kilometres() {
    assert_eq!(
        Len::read("100000m", FT_IN).unwrap().len,
        Len::millimetres(100_000_000)
    );
    assert_eq!(
        Len::read("100000.001m", FT_IN).unwrap_err().fault,
        LenFault::TooLong
    );
}

#[test]
fn feet_and_inches_are_shown_as_the_trade_writes_them() {
    for (len, shown) in [
        (ft_in(5, 3, 32), "5'-3 1/2\""),
        (ft_in(5, 0, 0), "5'-0\""),
        (ft_in(0, 9, 0), "9\""),
        (ft_in(0, 0, 48), "3/4\""),
        (ft_in(2, 0, 32), "2'-0 1/2\""),
        (Len::ZERO, "0\""),
        (Len::inches(-9), "-9\""),
        (-ft_in(5, 3, 0), "-5'-3\""),
    ] {
        assert_eq!(len.show(FT_IN, 16), shown);
    }
}

#[test]
fn showing_rounds_to_the_fraction_asked_for() {
    // 2/64 is half of 1/16 and goes up; 1/64 goes down. 11-63/64 in becomes a foot.
    assert_eq!(Len::sixty_fourths(2).show(FT_IN, 16), "1/16\"");
    assert_eq!(Len::sixty_fourths(1).show(FT_IN, 16), "0\"");
    assert_eq!(Len::sixty_fourths(-2).show(FT_IN, 16), "-1/16\"");
    assert_eq!(Len::sixty_fourths(-1).show(FT_IN, 16), "0\"");
    assert_eq!(ft_in(0, 11, 63).show(FT_IN, 16), "1'-0\"");
    assert_eq!(ft_in(0, 1, 24).show(FT_IN, 8), "1 3/8\"");
    assert_eq!(ft_in(0, 1, 24).show(FT_IN, 0), "1\"");
}

#[test]
fn inches_and_metric_are_shown_plainly() {
    assert_eq!(ft_in(5, 3, 32).show(UnitSystem::Inches, 16), "63 1/2\"");
    assert_eq!(
        Len::millimetres(1600).show(UnitSystem::Millimetres, 16),
        "1600"
    );
    assert_eq!(Len::millimetres(1600).show(UnitSystem::Metres, 16), "1.600");
    assert_eq!(Len::millimetres(-50).show(UnitSystem::Metres, 16), "-0.050");
    // 1/2 in is 12.7 mm.
    assert_eq!(ft_in(0, 0, 32).show(UnitSystem::Millimetres, 16), "13");
}

#[test]
fn the_largest_values_do_not_overflow() {
    let most = Len::from_units(i64::MAX);
    let least = Len::from_units(i64::MIN);
    assert_eq!(most + most, most);
    assert_eq!(least + least, least);
    assert_eq!(-least, most);
    assert_eq!(least.abs(), most);
    assert_eq!(Len::feet(i64::MAX), most);
    for units in [
        FT_IN,
        UnitSystem::Inches,
        UnitSystem::Millimetres,
        UnitSystem::Metres,
    ] {
        assert!(least.show(units, u32::MAX).starts_with('-'));
        assert!(least.exact(units).starts_with('-'));
    }
}

fn units() -> impl Strategy<Value = UnitSystem> {
    prop::sample::select(vec![
        FT_IN,
        UnitSystem::Inches,
        UnitSystem::Millimetres,
        UnitSystem::Metres,
    ])
}

proptest! {
    #[test]
    fn what_is_written_exactly_reads_back_the_same(units in -4_000_000_000_000_i64..4_000_000_000_000, system in units()) {
        let len = Len::from_units(units);
        let text = len.exact(system);
        let reading = Len::read(&text, system).unwrap();
        prop_assert_eq!(reading.len, len, "{}", text);
        prop_assert_eq!(reading.bytes, text.len());
    }

    #[test]
    fn sixteenths_shown_read_back_the_same(sixteenths in -1_000_000_i64..1_000_000) {
        for system in [FT_IN, UnitSystem::Inches] {
            let len = Len::sixty_fourths(4 * sixteenths);
            let text = len.show(system, 16);
            prop_assert_eq!(text.parse::<Len>(), Ok(len));
        }
    }

    #[test]
    fn whole_millimetres_shown_read_back_the_same(mm in -10_000_000_i64..10_000_000) {
        for system in [UnitSystem::Millimetres, UnitSystem::Metres] {
            let len = Len::millimetres(mm);
            prop_assert_eq!(Len::read(&len.show(system, 16), system).map(|reading| reading.len), Ok(len));
        }
    }

    #[test]
    fn showing_is_never_off_by_more_than_half_a_sixteenth(units in -10_000_000_000_i64..10_000_000_000) {
        let len = Len::from_units(units);
        let shown: Len = len.show(FT_IN, 16).parse().unwrap();
        prop_assert!((shown - len).abs() <= Len::sixty_fourths(2));
    }

    #[test]
    fn fine_steps_are_held_exactly(count in 0_i64..100_000) {
        // 1/64 in: 1,016,000 / 64; 0.001 ft: 12,192; 0.001 in: 1,016; 0.001 mm: 40 units each.
        let (whole, thousandths) = (count / 1000, count % 1000);
        let read = |text: String| Len::read(&text, FT_IN).unwrap().len.units();
        prop_assert_eq!(read(format!("{count}/64\"")), count * 15_875);
        prop_assert_eq!(read(format!("{whole}.{thousandths:03}'")), count * 12_192);
        prop_assert_eq!(read(format!("{whole}.{thousandths:03}\"")), count * 1_016);
        prop_assert_eq!(read(format!("{whole}.{thousandths:03}mm")), count * 40);
    }

    #[test]
    fn sums_go_back_exactly(a in -1_000_000_000_000_i64..1_000_000_000_000, b in -1_000_000_000_000_i64..1_000_000_000_000) {
        let (a, b) = (Len::from_units(a), Len::from_units(b));
        prop_assert_eq!(a + b - b, a);
        prop_assert_eq!(a + b, b + a);
        prop_assert_eq!(-(-a), a);
    }

    #[test]
    fn any_text_is_read_or_refused(text in "[-+0-9'\"./ ½″ftinmc,]{0,40}", system in units()) {
        match Len::read(&text, system) {
            Ok(reading) => prop_assert!(text.is_char_boundary(reading.bytes)),
            Err(error) => prop_assert!(error.at <= text.len() && text.is_char_boundary(error.at)),
        }
    }
}
