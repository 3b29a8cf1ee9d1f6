//! Nominal sizes in inches and in millimetres, put in one order.
//!
//! In: sizes. Out: which is the larger. DN and inch sizes are the same pipe in pairs (ISO 6708 gives DN as
//! a number without unit; the pairs, DN 100 with 4 in and so on, are those of ASME B36.10M, from memory).

use wyeline_network::model::Pipe;
use wyeline_units::Size;

/// Place of a size in the order of sizes, mm of nominal diameter in hundredths.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct Rank(u32);

/// DN and the eighths of an inch of the same pipe.
const PAIRS: [(u16, u16); 17] = [
    (6, 1),
    (8, 2),
    (10, 3),
    (15, 4),
    (20, 6),
    (25, 8),
    (32, 10),
    (40, 12),
    (50, 16),
    (65, 20),
    (80, 24),
    (90, 28),
    (100, 32),
    (125, 40),
    (150, 48),
    (200, 64),
    (250, 80),
];

/// Where a size stands among all sizes.
pub(crate) fn rank(size: Size) -> Rank {
    let eighths = match size {
        Size::Inch { eighths } => eighths,
        Size::Dn(dn) => match PAIRS.binary_search_by_key(&dn, |(dn, _)| *dn) {
            Ok(at) => PAIRS[at].1,
            Err(_) => return Rank(u32::from(dn) * 100),
        },
    };
    Rank((f64::from(eighths) * 317.5).round() as u32)
}

impl Rank {
    /// Nominal diameter, mm.
    pub fn mm(self) -> f64 {
        f64::from(self.0) / 100.0
    }
}

/// Whether a size is not smaller than another. Sizes of different systems count as one within 8 %: plastic pipe
/// by its outside diameter (75, 110, 160 mm) passes for 3, 4 and 6 in, 90 mm not for 4 in.
///
/// # Source
/// Common practice; the bores agree (110 mm pipe to EN 1329: 103.6 mm; 4 in Schedule 40: 102.3 mm).
pub fn at_least(size: Size, needed: Size) -> bool {
    match (size, needed) {
        (Size::Inch { .. }, Size::Inch { .. }) | (Size::Dn(_), Size::Dn(_)) => size >= needed,
        _ => rank(size).mm() * 1.08 >= rank(needed).mm(),
    }
}

/// The size that the job states for a pipe; one that was worked out before is none.
pub(crate) fn stated(pipe: &Pipe) -> Option<Size> {
    pipe.size.filter(|_| !pipe.worked_out)
}

/// The larger of two sizes.
pub(crate) fn larger(a: Size, b: Size) -> Size {
    if rank(b) > rank(a) { b } else { a }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn size(text: &str) -> Size {
        text.parse().expect("a size")
    }

    #[test]
    fn dn_100_is_4_inches() {
        assert_eq!(rank(size("DN100")), rank(size("4\"")));
        assert!(rank(size("DN80")) < rank(size("4\"")));
    }

    #[test]
    fn plastic_by_its_outside_diameter_passes_for_the_next_nominal_size() {
        assert!(at_least(size("110mm"), size("4\"")));
        assert!(at_least(size("75mm"), size("3\"")));
        assert!(!at_least(size("90mm"), size("4\"")));
    }

    #[test]
    fn in_one_system_sizes_are_compared_as_they_are() {
        assert!(at_least(size("2\""), size("2\"")));
        assert!(!at_least(size("1-1/2\""), size("2\"")));
    }
}
