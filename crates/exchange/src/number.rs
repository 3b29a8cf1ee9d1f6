//! Numbers and words as SVG text: at most three decimals, the same on every machine, nothing that breaks out of an attribute.

/// Room for the digits of any number, its sign and its point.
const LONGEST: usize = 24;

/// Writes a number rounded to 1/1000, without trailing zeros.
///
/// Paper millimetres to a micrometre; what is not a number is written as 0.
pub(crate) fn number(out: &mut Vec<u8>, value: f64) {
    if !value.is_finite() {
        out.push(b'0');
        return;
    }
    let thousandths = rounded(value * 1000.0);
    let size = thousandths.unsigned_abs();
    let (mut digits, mut first) = ([0_u8; LONGEST], LONGEST);
    let mut rest = size % 1000;
    // From the last digit that is not 0 to the point.
    let mut places = 3;
    while places > 0 && rest.is_multiple_of(10) {
        rest /= 10;
        places -= 1;
    }
    if places > 0 {
        for _ in 0..places {
            first -= 1;
            digits[first] = b'0' + (rest % 10) as u8;
            rest /= 10;
        }
        first -= 1;
        digits[first] = b'.';
    }
    first = digits_before(&mut digits, first, size / 1000);
    if thousandths < 0 {
        first -= 1;
        digits[first] = b'-';
    }
    out.extend_from_slice(&digits[first..]);
}

/// The nearest whole number, halves away from 0: `f64::round` without a call where the machine has no instruction for it.
fn rounded(value: f64) -> i64 {
    let whole = value as i64;
    let over = value - whole as f64;
    if over >= 0.5 {
        whole.saturating_add(1)
    } else if over <= -0.5 {
        whole.saturating_sub(1)
    } else {
        whole
    }
}

/// Puts the digits of a whole number before the place `first`; where they begin.
fn digits_before(digits: &mut [u8; LONGEST], mut first: usize, mut value: u64) -> usize {
    loop {
        first -= 1;
        digits[first] = b'0' + (value % 10) as u8;
        value /= 10;
        if value == 0 {
            return first;
        }
    }
}

/// Writes a whole number.
pub(crate) fn whole(out: &mut Vec<u8>, value: u64) {
    let mut digits = [0_u8; LONGEST];
    let first = digits_before(&mut digits, LONGEST, value);
    out.extend_from_slice(&digits[first..]);
}

/// Writes a colour as `#rrggbb`.
pub(crate) fn colour(out: &mut Vec<u8>, colour: wyeline_draw::ink::Colour) {
    const HEX: [u8; 16] = *b"0123456789abcdef";
    let wyeline_draw::ink::Colour(r, g, b) = colour;
    let [r1, r0, g1, g0, b1, b0] =
        [r >> 4, r & 15, g >> 4, g & 15, b >> 4, b & 15].map(|digit| HEX[usize::from(digit)]);
    out.extend_from_slice(&[b'#', r1, r0, g1, g0, b1, b0]);
}

/// Writes words so that they stay words inside an element or a quoted attribute.
///
/// Characters that XML 1.0 does not allow (section 2.2) become U+FFFD.
pub(crate) fn words(out: &mut Vec<u8>, text: &str) {
    // What needs no care is copied in one go: from the end of the last character that did.
    let mut plain = 0;
    for (at, c) in text.char_indices() {
        let instead = match c {
            '&' => "&amp;",
            '<' => "&lt;",
            '>' => "&gt;",
            '"' => "&quot;",
            '\'' => "&#39;",
            '\t' | '\n' | '\r' => " ",
            '\0'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => "\u{fffd}",
            _ => continue,
        };
        out.extend_from_slice(&text.as_bytes()[plain..at]);
        out.extend_from_slice(instead.as_bytes());
        plain = at + c.len_utf8();
    }
    out.extend_from_slice(&text.as_bytes()[plain..]);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(value: f64) -> String {
        let mut out = Vec::new();
        number(&mut out, value);
        String::from_utf8(out).expect("digits")
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
            (0.0005, "0.001"),
            (-0.0005, "-0.001"),
            (0.49, "0.49"),
            (120.05, "120.05"),
            (f64::NAN, "0"),
            (f64::INFINITY, "0"),
        ] {
            assert_eq!(written(value), expected, "{value}");
        }
    }

    #[test]
    fn a_colour_is_written_in_two_hexadecimal_digits_each() {
        // 0 is 00, 10 is 0a, 255 is ff.
        let mut out = Vec::new();
        colour(&mut out, wyeline_draw::ink::Colour(0, 10, 255));
        assert_eq!(out, b"#000aff");
    }

    #[test]
    fn words_cannot_close_an_element_or_an_attribute() {
        let mut out = Vec::new();
        words(&mut out, "</text><script>\"'&\u{0}\u{1b}\n");
        assert_eq!(
            String::from_utf8(out).expect("whole characters"),
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
