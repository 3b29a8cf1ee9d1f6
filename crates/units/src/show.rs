//! Writes a [`Len`] as the trade does, rounded for the drawing or exact for the text of a job.

use crate::length::{INCH, Len, MILLIMETRE, UnitSystem};

/// `over / under`, rounded to a whole number, halves away from zero.
fn rounded(over: i128, under: i128) -> i128 {
    let half = under / 2;
    if over < 0 {
        -((half - over) / under)
    } else {
        (over + half) / under
    }
}

fn common(a: i128, b: i128) -> i128 {
    if b == 0 { a } else { common(b, a % b) }
}

/// Whole inches and a reduced fraction: `3 1/2`, `0`; half an inch is `1/2`, or `0 1/2` after feet.
fn inches(parts: i128, fraction: i128, after_feet: bool) -> String {
    let (whole, part) = (parts / fraction, parts % fraction);
    if part == 0 {
        return whole.to_string();
    }
    let shared = common(part, fraction);
    let (over, under) = (part / shared, fraction / shared);
    if whole == 0 && !after_feet {
        format!("{over}/{under}")
    } else {
        format!("{whole} {over}/{under}")
    }
}

pub(crate) fn show(len: Len, units: UnitSystem, fraction: u32) -> String {
    let value = i128::from(len.units());
    let fraction = i128::from(fraction.max(1));
    match units {
        UnitSystem::FeetInches | UnitSystem::Inches => {
            let parts = rounded(value * fraction, i128::from(INCH));
            let sign = if parts < 0 { "-" } else { "" };
            let parts = parts.abs();
            let foot = 12 * fraction;
            if units == UnitSystem::Inches || parts < foot {
                format!("{sign}{}\"", inches(parts, fraction, false))
            } else {
                format!(
                    "{sign}{}'-{}\"",
                    parts / foot,
                    inches(parts % foot, fraction, true)
                )
            }
        }
        UnitSystem::Millimetres => rounded(value, i128::from(MILLIMETRE)).to_string(),
        UnitSystem::Metres => {
            let mm = rounded(value, i128::from(MILLIMETRE));
            let sign = if mm < 0 { "-" } else { "" };
            let mm = mm.abs();
            format!("{sign}{}.{:03}", mm / 1000, mm % 1000)
        }
    }
}

/// Millimetres with as many decimals as are needed, at most six.
fn exact_mm(units: i64) -> String {
    let sign = if units < 0 { "-" } else { "" };
    let units = units.unsigned_abs();
    let (whole, part) = (units / MILLIMETRE as u64, units % MILLIMETRE as u64);
    if part == 0 {
        return format!("{sign}{whole}mm");
    }
    // One unit is 0.000025 mm.
    let decimals = format!("{:06}", part * 25);
    format!("{sign}{whole}.{}mm", decimals.trim_end_matches('0'))
}

pub(crate) fn exact(len: Len, units: UnitSystem) -> String {
    const THOUSANDTH_OF_FOOT: i64 = 12 * INCH / 1000;
    let value = len.units();
    if !units.is_metric() {
        if value % (INCH / 64) == 0 {
            return show(len, units, 64).replace(' ', "-").replace("'-", "'");
        }
        if value % THOUSANDTH_OF_FOOT == 0 {
            let sign = if value < 0 { "-" } else { "" };
            let thousandths = value.unsigned_abs() / THOUSANDTH_OF_FOOT as u64;
            return format!("{sign}{}.{:03}'", thousandths / 1000, thousandths % 1000);
        }
    }
    exact_mm(value)
}
