//! Numbers and words as SVG text: at most three decimals, the same on every machine, nothing that breaks out of an attribute.

use std::fmt::Write as _;

/// Writes a number rounded to 1/1000, without trailing zeros.
///
/// Paper millimetres to a micrometre; what is not a number is written as 0.
pub(crate) fn number(out: &mut String, value: f64) {
    if !value.is_finite() {
        out.push('0');
        return;
    }
    let thousandths = (value * 1000.0).round() as i64;
    if thousandths < 0 {
        out.push('-');
    }
    let size = thousandths.unsigned_abs();
    whole(out, size / 1000);
    let rest = (size % 1000) as u16;
    if rest > 0 {
        let digits = [
            b'0' + (rest / 100) as u8,
            b'0' + (rest / 10 % 10) as u8,
            b'0' + (rest % 10) as u8,
        ];
        let used = if rest.is_multiple_of(100) {
            1
        } else if rest.is_multiple_of(10) {
            2
        } else {
            3
        };
        out.push('.');
        for digit in &digits[..used] {
            out.push(char::from(*digit));
        }
    }
}

/// Writes a whole number.
pub(crate) fn whole(out: &mut String, mut value: u64) {
    let mut digits = [0_u8; 20];
    let mut first = digits.len();
    loop {
        first -= 1;
        digits[first] = b'0' + (value % 10) as u8;
        value /= 10;
        if value == 0 {
            break;
        }
    }
    for digit in &digits[first..] {
        out.push(char::from(*digit));
    }
}

/// Writes a colour as `#rrggbb`.
pub(crate) fn colour(out: &mut String, colour: wyeline_draw::ink::Colour) {
    let wyeline_draw::ink::Colour(r, g, b) = colour;
    // Writing to a String cannot fail.
    let _ = write!(out, "#{r:02x}{g:02x}{b:02x}");
}

/// Writes words so that they stay words inside an element or a quoted attribute.
///
/// Characters that XML 1.0 does not allow (section 2.2) become U+FFFD.
pub(crate) fn words(out: &mut String, text: &str) {
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(' '),
            '\0'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            _ => out.push(c),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(value: f64) -> String {
        let mut out = String::new();
        number(&mut out, value);
        out
    }

    #[test]
    fn a_number_is_rounded_to_a_thousandth_and_loses_its_trailing_zeros() {
        for (value, expected) in [
            (0.0, "0"),
            (-0.0001, "0"),
            (12.0, "12"),
            (12.5, "12.5"),
            (12.34, "12.34"),
            (12.3456, "12.346"),
            (0.007, "0.007"),
            (-3.25, "-3.25"),
            (0.9999, "1"),
            (f64::NAN, "0"),
            (f64::INFINITY, "0"),
        ] {
            assert_eq!(written(value), expected, "{value}");
        }
    }

    #[test]
    fn words_cannot_close_an_element_or_an_attribute() {
        let mut out = String::new();
        words(&mut out, "</text><script>\"'&\u{0}\u{1b}\n");
        assert_eq!(
            out,
            "&lt;/text&gt;&lt;script&gt;&quot;&#39;&amp;\u{fffd}\u{fffd} "
        );
    }

    proptest::proptest! {
        #[test]
        fn a_written_number_reads_back_within_half_a_thousandth(value in -1e6_f64..1e6) {
            let back: f64 = written(value).parse().expect("a plain decimal");
            proptest::prop_assert!((back - value).abs() <= 0.0005 + 1e-9);
        }
    }
}
