//! Lays pieces into bars, coils and offcuts so that the least length is bought.
//!
//! In: bars on sale, offcuts in the truck, what a cut takes, the pieces. Out: a [`Plan`] bar by bar, in cutting order, with a
//! lower bound beside it. Whole numbers throughout; knows nothing of networks. Start at [`Order::plan`]; the methods are put in order in `solve`.

mod bound;
mod dive;
mod even;
mod fill;
mod knapsack;
mod parts;
mod problem;
mod relax;
mod simplex;
mod solve;
mod stock;
mod tidy;

use std::cmp::Reverse;
use std::collections::{BTreeMap, VecDeque};

use problem::{Item, Problem};
use wyeline_units::Len;

pub use stock::{Cutter, Row, Stock, bought, longest, stock};

/// Bars or coils of one length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bar {
    /// Its length, more than none.
    pub length: Len,
    /// How many offcuts of it are in the truck; nothing where it is bought as needed.
    pub have: Option<u32>,
}

/// A piece to be cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cut {
    /// Its mark.
    pub label: u32,
    /// Its length, more than none.
    pub length: Len,
}

/// What is to be cut from what.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Order {
    /// Lengths on sale, and offcuts.
    pub bars: Vec<Bar>,
    /// What one cut takes.
    pub kerf: Len,
    /// What is cut off a bar's first end to make it square; a bar used whole keeps it.
    pub trim: Len,
    /// The pieces.
    pub cuts: Vec<Cut>,
}

/// Where a bar comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Origin {
    /// Left over from another job.
    Offcut,
    /// To be bought.
    Bought,
}

/// A bar with its pieces. `length` = pieces + `trim` + `kerf` + `rest`, exactly.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Laid {
    /// The bar's length.
    pub length: Len,
    /// Where it comes from.
    pub origin: Origin,
    /// Its pieces in cutting order: longest first, so that a slip costs a short piece.
    pub cuts: Vec<Cut>,
    /// Taken off to make the end square.
    pub trim: Len,
    /// Lost in cuts.
    pub kerf: Len,
    /// Left over.
    pub rest: Len,
}

/// What is known of the least that has to be bought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// No plan buys less than this one.
    Proven,
    /// No plan buys less than this length; whether one does as little is not known.
    AtLeast(Len),
}

/// Which piece comes from which bar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    /// All bars used: offcuts, then long before short, full before less full.
    pub bars: Vec<Laid>,
    /// Length bought.
    pub bought: Len,
    /// Whether less could be bought.
    pub bound: Bound,
    /// Pieces that nothing holds: longer than all that is sold, and no offcut left that is long enough.
    pub too_long: Vec<Cut>,
}

impl Plan {
    /// How much less might be bought at most; none where the plan is proved.
    pub fn gap(&self) -> Len {
        match self.bound {
            Bound::Proven => Len::ZERO,
            Bound::AtLeast(least) => self.bought - least,
        }
    }
}

/// A bar that may be used, with pieces that had to be laid into it beforehand.
struct Source {
    length: u64,
    origin: Origin,
    limit: Option<u32>,
    first: Vec<u64>,
}

/// Labels of pieces by their length, longest first.
type Labels = BTreeMap<Reverse<u64>, VecDeque<u32>>;

impl Order {
    /// Lays the pieces so that the least length is bought.
    ///
    /// Among plans that buy the same, it prefers few bars, bars cut alike and what is left in one long piece: by trying, without proof.
    /// Long bars are preferred to short ones for the same length because each end saved is a cut and, in a long run, a coupling saved.
    /// A piece longer than all that is sold goes into the shortest offcut that holds it. Same order, same plan: no clock is asked.
    /// Bars and pieces without a length are not used; a kerf or trim below none counts as none.
    pub fn plan(&self) -> Plan {
        self.plan_among(self.cuts.len())
    }

    /// The same as one of several orders, which share what one may take by their pieces.
    ///
    /// * `all`: pieces of all the orders
    pub fn plan_among(&self, all: usize) -> Plan {
        let kerf = length(self.kerf);
        let trim = length(self.trim);
        let mut labels = Labels::new();
        let mut too_long = Vec::new();
        for cut in &self.cuts {
            if cut.length > Len::ZERO {
                labels
                    .entry(Reverse(length(cut.length)))
                    .or_default()
                    .push_back(cut.label);
            } else {
                too_long.push(*cut);
            }
        }
        let mut sources = self.sources();
        let holds = |source: &Source, piece: u64| {
            let used: u64 = source.first.iter().map(|first| first + kerf).sum();
            used + piece + trim <= source.length || used == 0 && piece == source.length
        };
        let mut counts: BTreeMap<Reverse<u64>, u32> = BTreeMap::new();
        for (&Reverse(piece), marks) in &mut labels {
            let sold = |source: &Source| source.limit.is_none() && holds(source, piece);
            if sources.iter().any(sold) {
                counts.insert(Reverse(piece), marks.len() as u32);
                continue;
            }
            for mark in 0..marks.len() {
                let tightest = (0..sources.len())
                    .filter(|&at| sources[at].limit != Some(0) && holds(&sources[at], piece))
                    .min_by_key(|&at| {
                        let first: u64 = sources[at].first.iter().map(|first| first + kerf).sum();
                        sources[at].length - first
                    });
                let Some(at) = tightest else {
                    too_long.extend(marks.drain(mark..).map(|label| Cut {
                        label,
                        length: len(piece),
                    }));
                    break;
                };
                lay_first(&mut sources, at, piece);
            }
        }
        let share = (self.cuts.len(), all);
        lay_rest(kerf, trim, &sources, &counts, labels, too_long, share)
    }

    /// All bars with a length, each length once.
    fn sources(&self) -> Vec<Source> {
        let mut known: BTreeMap<(Reverse<u64>, bool), u32> = BTreeMap::new();
        for bar in self.bars.iter().filter(|bar| bar.length > Len::ZERO) {
            let have = known
                .entry((Reverse(length(bar.length)), bar.have.is_some()))
                .or_default();
            *have = have.saturating_add(bar.have.unwrap_or(0));
        }
        known
            .into_iter()
            .map(|((Reverse(length), offcut), have)| Source {
                length,
                origin: if offcut {
                    Origin::Offcut
                } else {
                    Origin::Bought
                },
                limit: offcut.then_some(have),
                first: Vec::new(),
            })
            .collect()
    }
}

/// Lays what remains, and puts marks to the pieces.
fn lay_rest(
    kerf: u64,
    trim: u64,
    sources: &[Source],
    counts: &BTreeMap<Reverse<u64>, u32>,
    mut labels: Labels,
    too_long: Vec<Cut>,
    share: (usize, usize),
) -> Plan {
    let lengths: Vec<u64> = counts.keys().map(|piece| piece.0).collect();
    let grain = lengths
        .iter()
        .fold(0, |all, piece| gcd(all, piece + kerf))
        .max(1);
    let sold = sources.iter().filter(|source| source.limit.is_none());
    let unit = sold.fold(0, |all, source| gcd(all, source.length)).max(1);
    let problem = Problem {
        items: counts
            .iter()
            .map(|(piece, &count)| Item {
                weight: (piece.0 + kerf) / grain,
                count,
            })
            .collect(),
        stocks: sources
            .iter()
            .map(|source| {
                let widest = (source.length + kerf).saturating_sub(trim);
                let used: u64 = source.first.iter().map(|first| first + kerf).sum();
                problem::Stock {
                    room: widest.saturating_sub(used) / grain,
                    widest: widest / grain,
                    cost: source.limit.map_or(source.length / unit, |_| 0),
                    limit: source.limit,
                    whole: lengths
                        .iter()
                        .position(|&piece| trim > 0 && used == 0 && piece == source.length),
                }
            })
            .collect(),
    };
    let packing = solve::solve(&problem, share);
    let mut bars = Vec::new();
    let mut lay = |source: &Source, more: &[u64]| {
        let mut pieces = [&source.first[..], more].concat();
        pieces.sort_unstable_by_key(|&piece| Reverse(piece));
        bars.push((source.length, source.origin, pieces));
    };
    let mut untouched = vec![true; sources.len()];
    for packed in &packing.lays {
        untouched[packed.stock] = false;
        let more: Vec<u64> = packed
            .pattern
            .iter()
            .flat_map(|&(item, count)| std::iter::repeat_n(lengths[item], count as usize))
            .collect();
        for _ in 0..packed.times {
            lay(&sources[packed.stock], &more);
        }
    }
    for (source, _) in sources
        .iter()
        .zip(untouched)
        .filter(|(source, untouched)| *untouched && !source.first.is_empty())
    {
        lay(source, &[]);
    }
    let mut bars: Vec<Laid> = bars
        .into_iter()
        .map(|(length, origin, pieces)| laid(length, origin, &pieces, kerf, trim))
        .collect();
    bars.sort_by(|a, b| {
        let shape = |bar: &Laid| (bar.origin, Reverse(bar.length), bar.rest);
        let pieces = |bar: &Laid| bar.cuts.iter().map(|cut| cut.length).collect::<Vec<_>>();
        shape(a)
            .cmp(&shape(b))
            .then_with(|| pieces(b).cmp(&pieces(a)))
    });
    for cut in bars.iter_mut().flat_map(|bar| &mut bar.cuts) {
        cut.label = labels
            .get_mut(&Reverse(length(cut.length)))
            .and_then(VecDeque::pop_front)
            .expect("each piece is laid once");
    }
    let bought = len(packing.cost * unit);
    Plan {
        bars,
        bought,
        bound: if packing.cost <= packing.least {
            Bound::Proven
        } else {
            Bound::AtLeast(len(packing.least * unit))
        },
        too_long,
    }
}

/// Lays a piece into an offcut before all others; an offcut that was one of several becomes a source of its own.
fn lay_first(sources: &mut Vec<Source>, at: usize, piece: u64) {
    if sources[at].first.is_empty() {
        sources[at].limit = sources[at].limit.map(|have| have - 1);
        sources.push(Source {
            length: sources[at].length,
            origin: sources[at].origin,
            limit: Some(1),
            first: vec![piece],
        });
    } else {
        sources[at].first.push(piece);
    }
}

/// A bar with its pieces, unmarked, and where all of its length goes.
fn laid(bar: u64, origin: Origin, pieces: &[u64], kerf: u64, trim: u64) -> Laid {
    let net: u64 = pieces.iter().sum();
    let trim = if net == bar { 0 } else { trim };
    let after = bar - trim - net;
    // The last cut takes no more than there is.
    let kerf = after.min(kerf * pieces.len() as u64);
    Laid {
        length: len(bar),
        origin,
        cuts: pieces
            .iter()
            .map(|&piece| Cut {
                label: 0,
                length: len(piece),
            })
            .collect(),
        trim: len(trim),
        kerf: len(kerf),
        rest: len(after - kerf),
    }
}

/// Units of a length, none where it is below none.
fn length(len: Len) -> u64 {
    u64::try_from(len.units()).unwrap_or(0)
}

/// A length of so many units.
fn len(units: u64) -> Len {
    Len::from_units(i64::try_from(units).unwrap_or(i64::MAX))
}

/// Greatest common divisor; of 0 and a number that number.
fn gcd(mut a: u64, mut b: u64) -> u64 {
    while b > 0 {
        (a, b) = (b, a % b);
    }
    a
}
