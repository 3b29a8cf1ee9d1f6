//! What all codes share: the kinds of fixtures, and which sizes in inches and DN stand for each other.

use std::sync::LazyLock;

use serde::Deserialize;
use wyeline_units::Size;

/// Whether a job can name that kind of fixture.
pub(crate) fn is_kind(name: &str) -> bool {
    KINDS.iter().any(|kind| kind == name)
}

/// The kinds of fixtures that a job can name.
pub(crate) static KINDS: LazyLock<Vec<String>> = LazyLock::new(|| {
    #[derive(Deserialize)]
    struct File {
        kinds: Vec<String>,
    }
    let file: File = toml::from_str(include_str!("../data/kinds.toml")).expect("a list of kinds");
    file.kinds
});

static PAIRS: LazyLock<Vec<(Size, Size)>> = LazyLock::new(|| {
    #[derive(Deserialize)]
    struct File {
        pairs: Vec<(String, String)>,
    }
    let file: File = toml::from_str(include_str!("../data/nominal.toml")).expect("pairs of sizes");
    let read = |text: &String| text.parse().expect("a nominal size");
    file.pairs
        .iter()
        .map(|(inch, dn)| (read(inch), read(dn)))
        .collect()
});

/// The size of the other system that stands for this one.
pub(crate) fn other_system(size: Size) -> Option<Size> {
    PAIRS.iter().find_map(|&(inch, dn)| match size {
        size if size == inch => Some(dn),
        size if size == dn => Some(inch),
        _ => None,
    })
}

/// The size's number in millimetres, to compare sizes by fractions of each other.
pub(crate) fn nominal_mm(size: Size) -> f64 {
    match size {
        Size::Inch { eighths } => f64::from(eighths) * 25.4 / 8.0,
        Size::Dn(mm) => f64::from(mm),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_are_those_of_the_rough_in_table() {
        #[derive(Deserialize)]
        struct File {
            kind: Vec<Kind>,
        }
        #[derive(Deserialize)]
        struct Kind {
            name: String,
        }
        let table = include_str!("../../network/data/rough-in.toml");
        let file: File = toml::from_str(table).expect("the rough-in table");
        let names: Vec<_> = file.kind.into_iter().map(|kind| kind.name).collect();
        assert_eq!(*KINDS, names);
    }

    #[test]
    fn four_inch_stands_for_dn100() {
        let size = |text: &str| text.parse::<Size>().expect("a size");
        assert_eq!(other_system(size("4\"")), Some(size("DN100")));
        assert_eq!(other_system(size("DN40")), Some(size("1-1/2\"")));
        assert_eq!(other_system(size("DN90")), None);
    }
}
