//! Things that belong together: disjoint sets, each known by its least member.
//!
//! Union by least index with path halving (Tarjan and van Leeuwen, J. ACM 31(2), 1984).

/// Disjoint sets over 0..n.
pub(crate) struct Sets(Vec<usize>);

impl Sets {
    /// Every member by itself.
    pub(crate) fn new(n: usize) -> Self {
        Self((0..n).collect())
    }

    /// The least member of the set `i` is in.
    pub(crate) fn of(&mut self, mut i: usize) -> usize {
        while self.0[i] != i {
            self.0[i] = self.0[self.0[i]];
            i = self.0[i];
        }
        i
    }

    /// Puts the sets of `a` and `b` together.
    pub(crate) fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.of(a), self.of(b));
        self.0[a.max(b)] = a.min(b);
    }
}

#[cfg(test)]
mod tests {
    use super::Sets;

    /// 4-2 and 2-3 make one set, known by 2; 1 stays alone.
    #[test]
    fn joined_members_have_the_least_one_in_common() {
        let mut sets = Sets::new(5);
        sets.join(4, 2);
        sets.join(3, 4);
        assert_eq!([1, 2, 3, 4].map(|i| sets.of(i)), [1, 2, 2, 2]);
    }
}
