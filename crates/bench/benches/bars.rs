//! Bars for 200 and 1,000 pieces: how long a plan takes, and whether it is proved.

use divan::{Bencher, black_box};
use wyeline_fit::bars::{Bar, Bound, Cut, Order};
use wyeline_units::Len;

/// Orders by name: pieces, shortest and longest, grid; mm. Made by formula, always the same.
const ORDERS: [(&str, u32, [u64; 2], u64); 8] = [
    ("200 different", 200, [300, 3_000], 1),
    ("200 on a grid of 50", 200, [300, 3_000], 50),
    ("1,000 different", 1_000, [300, 3_000], 1),
    ("1,000 on a grid of 50", 1_000, [300, 3_000], 50),
    ("200 different, long", 200, [1_200, 2_900], 1),
    ("200 on a grid, long", 200, [1_200, 2_900], 50),
    ("1,000 different, long", 1_000, [1_200, 2_900], 1),
    ("5,000 different, long", 5_000, [1_200, 2_900], 1),
];
/// Orders of a kind that are run.
const SEEDS: u64 = 5;

fn main() {
    for (name, ..) in ORDERS {
        let gaps: Vec<String> = (1..=SEEDS)
            .map(|seed| {
                let plan = order(name, seed).plan();
                match plan.bound {
                    Bound::Proven => format!("{} proved", plan.bars.len()),
                    Bound::AtLeast(_) => {
                        let gap = plan.gap().mm() / 6_000.0;
                        format!("{} (gap {gap})", plan.bars.len())
                    }
                }
            })
            .collect();
        println!("{name}: bars {}", gaps.join(", "));
    }
    divan::main();
}

/// Pieces for bars of 6 m with a kerf of 3 mm.
fn order(name: &str, seed: u64) -> Order {
    let (_, pieces, [least, most], grid) = *ORDERS
        .iter()
        .find(|order| order.0 == name)
        .expect("an order of the table");
    // Marsaglia's xorshift, 2003.
    let mut state = seed * 7_919 + least;
    let mut next = || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        state
    };
    let cuts = (1..=pieces)
        .map(|label| {
            let length = least + next() % (most - least + 1);
            Cut {
                label,
                length: Len::millimetres((length / grid * grid).cast_signed()),
            }
        })
        .collect();
    Order {
        bars: vec![Bar {
            length: Len::millimetres(6_000),
            have: None,
        }],
        kerf: Len::millimetres(3),
        trim: Len::ZERO,
        cuts,
    }
}

/// A sample is one order of each seed: divide by their number.
#[divan::bench(args = ORDERS.map(|order| order.0), sample_count = 20, sample_size = 1, max_time = 20)]
fn five_orders(bencher: Bencher<'_, '_>, name: &str) {
    let orders: Vec<Order> = (1..=SEEDS).map(|seed| order(name, seed)).collect();
    bencher.bench_local(|| {
        for order in &orders {
            black_box(black_box(order).plan());
        }
    });
}
