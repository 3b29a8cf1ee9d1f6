//! Lengths, heights, sizes and falls as they are written on the drawing.

use wyeline_network::model::{FallSlope, Pipe};
use wyeline_units::{Len, Size, UnitSystem};

/// Lengths and heights are printed to this fraction of an inch (1 mm in metric jobs).
const FRACTION: u32 = 16;

/// A length under a foot with its `0'-`, so that it is never taken for a pipe size.
fn with_feet(text: String, units: UnitSystem) -> String {
    if units == UnitSystem::FeetInches && !text.contains('\'') {
        match text.strip_prefix('-') {
            Some(inches) => format!("-0'-{inches}"),
            None => format!("0'-{text}"),
        }
    } else {
        text
    }
}

/// A centre-to-centre length, mm, as printed: `4'-6"`, `0'-9 1/2"`, `1372`.
pub fn length(mm: f64, units: UnitSystem) -> String {
    let text = with_feet(Len::from_mm(mm).show(units, FRACTION), units);
    // In inches alone a length would look like a size.
    if units == UnitSystem::Inches {
        text + " c-c"
    } else {
        text
    }
}

/// A height above the datum, mm, as printed with its sign: `+1'-6"`, `-1'-9 1/2"`, `+2600`.
pub fn height(mm: f64, units: UnitSystem) -> String {
    let text = with_feet(Len::from_mm(mm).show(units, FRACTION), units);
    if text.starts_with('-') {
        text
    } else {
        format!("+{text}")
    }
}

/// A fall: `1/4"/ft`, `1:50`, with a star where nobody stated it.
pub(super) fn fall(fall: FallSlope, units: UnitSystem) -> String {
    let mut text = fall.slope.show(units);
    if let Some(inches) = text.strip_suffix(" in/ft") {
        text = format!("{inches}\"/ft");
    }
    if fall.assumed {
        text.push('*');
    }
    text
}

/// A size, with a dagger where nobody stated it and it was worked out.
pub(super) fn size(size: Size, worked_out: bool) -> String {
    let mut text = size.to_string();
    if worked_out {
        text.push('\u{2020}');
    }
    text
}

/// What is said of a pipe beside its measures: existing, not verified.
pub(super) fn marks(pipe: &Pipe) -> &'static str {
    match (pipe.existing, pipe.unverified) {
        (true, true) => "(E) (verify)",
        (true, false) => "(E)",
        (false, true) => "(verify)",
        (false, false) => "",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use wyeline_units::Slope;

    const FT: UnitSystem = UnitSystem::FeetInches;
    const FOOT: f64 = 304.8;
    const INCH: f64 = 25.4;

    #[test]
    fn a_diagonal_is_rounded_to_the_nearest_sixteenth() {
        // The diagonal of a 3 ft square: 4.2426 ft = 4 ft 2.912 in; 0.912 x 16 = 14.6, so 15/16.
        assert_eq!(length(18.0_f64.sqrt() * FOOT, FT), "4'-2 15/16\"");
    }

    #[test]
    fn lengths_under_a_foot_say_so_lest_they_be_read_as_sizes() {
        assert_eq!(length(9.5 * INCH, FT), "0'-9 1/2\"");
        assert_eq!(length(3.0 * INCH, UnitSystem::Inches), "3\" c-c");
        assert_eq!(length(4.5 * FOOT, UnitSystem::Millimetres), "1372"); // 1371.6
    }

    #[test]
    fn heights_carry_their_sign_and_zero_a_plus() {
        assert_eq!(height(1.5 * FOOT, FT), "+1'-6\"");
        assert_eq!(height(-(FOOT + 9.5 * INCH), FT), "-1'-9 1/2\"");
        assert_eq!(height(-5.0 * INCH, FT), "-0'-5\"");
        assert_eq!(height(0.0, FT), "+0'-0\"");
        assert_eq!(height(2600.0, UnitSystem::Millimetres), "+2600");
        assert_eq!(height(-2798.0, UnitSystem::Metres), "-2.798");
    }

    #[test]
    fn a_size_that_was_worked_out_carries_a_dagger() {
        let three = Size::Inch { eighths: 24 };
        assert_eq!(size(three, false), "3\"");
        assert_eq!(size(three, true), "3\"\u{2020}");
    }

    #[test]
    fn an_assumed_fall_carries_a_star() {
        let quarter = FallSlope {
            slope: Slope::QUARTER_INCH_PER_FOOT,
            assumed: true,
        };
        assert_eq!(fall(quarter, FT), "1/4\"/ft*");
        let fiftieth = FallSlope {
            slope: Slope::ONE_IN_FIFTY,
            assumed: false,
        };
        assert_eq!(fall(fiftieth, UnitSystem::Millimetres), "1:50");
    }
}
