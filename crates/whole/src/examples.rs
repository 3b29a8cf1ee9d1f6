//! The shipped examples: jobs to begin from, and jobs that go wrong to learn from.

macro_rules! examples {
    ($($name:literal),* $(,)?) => {
        /// Name and text of every shipped example, in the order in which they are offered.
        pub const ALL: &[(&str, &str)] = &[$(($name, include_str!(concat!("../../../examples/", $name, ".wye")))),*];
    };
}

examples![
    "heron-cottage",
    "half-bath",
    "attic-bath",
    "beam-offset",
    "family-bath-water",
    "bakery-waste",
    "bakery-water",
    "three-storeys",
    "slab-house",
    "slab-house-square",
    "semi-detached",
    "flat-bath",
    "broken-flat-vent",
    "broken-fourth-closet",
    "broken-s-trap",
    "broken-top-floor",
    "mistakes",
];

/// The first sentence of the remarks that open an example.
pub fn first_sentence(text: &str) -> String {
    let remarks = text
        .lines()
        .map_while(|line| line.strip_prefix('#'))
        .map(str::trim);
    let words = remarks.collect::<Vec<_>>().join(" ");
    words
        .split_once(". ")
        .map_or(words.as_str(), |(first, _)| first)
        .trim_end_matches('.')
        .to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_example_in_the_folder_is_shipped() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples");
        let mut in_folder: Vec<String> = std::fs::read_dir(folder)
            .expect("the folder of examples")
            .map(|entry| {
                entry
                    .expect("an entry")
                    .file_name()
                    .into_string()
                    .expect("a plain name")
            })
            .filter_map(|name| name.strip_suffix(".wye").map(str::to_owned))
            .collect();
        let mut shipped: Vec<String> = ALL.iter().map(|(name, _)| (*name).to_owned()).collect();
        in_folder.sort();
        shipped.sort();
        assert_eq!(shipped, in_folder);
    }
}
