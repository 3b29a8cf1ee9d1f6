//! Bathroom groups: the fixtures of one storey that drain together, counted by kind, and what a group saves.
//!
//! In: fixtures joining as they flow. Out: the load with groups counted as the code counts them. A group is a
//! closet, a lavatory and a bathtub or shower, with or without a bidet, on one storey (IPC 2021 Section 202, from memory).

use wyeline_network::model::LevelIx;

/// Kinds of fixture that make a bathroom group.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Part {
    Closet,
    Lavatory,
    Bathtub,
    Shower,
    Bidet,
}

impl Part {
    /// The part that a kind of fixture plays.
    pub fn of(kind: &str) -> Option<Self> {
        match kind {
            "water-closet" => Some(Self::Closet),
            "lavatory" => Some(Self::Lavatory),
            "bathtub" => Some(Self::Bathtub),
            "shower" => Some(Self::Shower),
            "bidet" => Some(Self::Bidet),
            _ => None,
        }
    }
}

/// Loads of the parts of a group and of the whole, as the code gives them.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct GroupLoads {
    /// By [`Part`].
    pub parts: [f64; 5],
    /// Of a whole group; nothing where the code counts none.
    pub whole: Option<f64>,
}

/// Fixtures of one storey, counted by [`Part`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Counts([u32; 5]);

/// Fixtures draining together, by storey.
#[derive(Clone, Debug, Default)]
pub(crate) struct Together {
    /// Loads of all, each for itself.
    pub sum: f64,
    /// What counting groups takes off it.
    saving: f64,
    storeys: Vec<(LevelIx, Counts)>,
}

impl Together {
    /// The load, groups counted as groups.
    pub fn units(&self) -> f64 {
        self.sum - self.saving
    }

    /// Adds a fixture, or a load told by the job.
    pub fn add(&mut self, units: f64) {
        self.sum += units;
    }

    /// Adds a fixture that may be part of a group.
    pub fn add_part(&mut self, units: f64, part: Part, storey: LevelIx, loads: &GroupLoads) {
        self.sum += units;
        let mut one = Counts::default();
        one.0[part as usize] = 1;
        self.put(storey, one, loads);
    }

    /// Joins with what flows in from elsewhere. The longer list is kept, so that a stack hands its own down.
    pub fn join(&mut self, mut other: Self, loads: &GroupLoads) {
        if other.storeys.len() > self.storeys.len() {
            std::mem::swap(self, &mut other);
        }
        self.sum += other.sum;
        self.saving += other.saving;
        for (storey, counts) in other.storeys {
            self.saving -= counts.saving(loads);
            self.put(storey, counts, loads);
        }
    }

    fn put(&mut self, storey: LevelIx, more: Counts, loads: &GroupLoads) {
        match self.storeys.binary_search_by_key(&storey, |(at, _)| *at) {
            Ok(ix) => {
                let counts = &mut self.storeys[ix].1;
                self.saving -= counts.saving(loads);
                for (count, more) in counts.0.iter_mut().zip(more.0) {
                    *count += more;
                }
                self.saving += counts.saving(loads);
            }
            Err(ix) => {
                self.saving += more.saving(loads);
                self.storeys.insert(ix, (storey, more));
            }
        }
    }
}

impl Counts {
    fn count(&self, part: Part) -> u32 {
        self.0[part as usize]
    }

    fn groups(&self) -> u32 {
        let baths = self.count(Part::Bathtub) + self.count(Part::Shower);
        self.count(Part::Closet)
            .min(self.count(Part::Lavatory))
            .min(baths)
    }

    /// What counting groups takes off the sum, never below 0. Bathtubs are taken before showers; a bidet goes
    /// with each group while there are any.
    fn saving(&self, loads: &GroupLoads) -> f64 {
        let Some(whole) = loads.whole else {
            return 0.0;
        };
        let groups = self.groups();
        let tubs = groups.min(self.count(Part::Bathtub));
        let of = |part: Part, count: u32| loads.parts[part as usize] * f64::from(count);
        let apart = of(Part::Closet, groups)
            + of(Part::Lavatory, groups)
            + of(Part::Bathtub, tubs)
            + of(Part::Shower, groups - tubs)
            + of(Part::Bidet, groups.min(self.count(Part::Bidet)));
        (apart - whole * f64::from(groups)).max(0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// IPC: closet 3, lavatory 1, bathtub 2, shower 2, bidet 1; a group of them 5.
    const IPC: GroupLoads = GroupLoads {
        parts: [3.0, 1.0, 2.0, 2.0, 1.0],
        whole: Some(5.0),
    };

    fn fixtures(parts: &[Part], storey: u32) -> Together {
        let mut all = Together::default();
        for &part in parts {
            all.add_part(IPC.parts[part as usize], part, LevelIx(storey), &IPC);
        }
        all
    }

    #[test]
    fn a_closet_a_lavatory_and_a_tub_count_5_together() {
        let all = fixtures(&[Part::Closet, Part::Lavatory, Part::Bathtub], 0);
        assert_eq!((all.sum, all.units()), (6.0, 5.0));
    }

    #[test]
    fn a_second_lavatory_adds_its_own_unit() {
        let all = fixtures(
            &[Part::Closet, Part::Lavatory, Part::Shower, Part::Lavatory],
            0,
        );
        assert_eq!(all.units(), 5.0 + 1.0);
    }

    #[test]
    fn without_a_bath_there_is_no_group() {
        let all = fixtures(&[Part::Closet, Part::Lavatory], 0);
        assert_eq!(all.units(), 4.0);
    }

    #[test]
    fn fixtures_of_two_storeys_make_no_group() {
        let mut all = fixtures(&[Part::Closet, Part::Lavatory], 0);
        all.join(fixtures(&[Part::Bathtub], 1), &IPC);
        assert_eq!(all.units(), 6.0);
    }

    /// A group may come together from two branches: 3 + 1 and 2 make 5.
    #[test]
    fn a_group_may_meet_on_the_way() {
        let mut all = fixtures(&[Part::Closet, Part::Lavatory], 0);
        all.join(fixtures(&[Part::Bathtub], 0), &IPC);
        assert_eq!(all.units(), 5.0);
    }

    #[test]
    fn two_whole_groups_count_10() {
        let bath = [Part::Closet, Part::Lavatory, Part::Shower];
        let mut all = fixtures(&bath, 0);
        all.join(fixtures(&bath, 0), &IPC);
        assert_eq!(all.units(), 10.0);
    }

    #[test]
    fn a_code_without_groups_counts_each_fixture() {
        let loads = GroupLoads { whole: None, ..IPC };
        let mut all = Together::default();
        for part in [Part::Closet, Part::Lavatory, Part::Bathtub] {
            all.add_part(loads.parts[part as usize], part, LevelIx(0), &loads);
        }
        assert_eq!(all.units(), 6.0);
    }
}
